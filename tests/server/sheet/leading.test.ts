import { toHtml } from 'hast-util-to-html';
import { s } from 'hastscript';
import { expect, test } from 'vitest';
import { hitLine, linked, placeText } from '../../../server/sheet/leading.ts';

const at = (line: number) => ({ file: 'a.gusset', line, column: 5 });
const drawn = (marks: Parameters<typeof linked>[0]) =>
  linked(marks, ({ title = '' }) => [s('path', { d: title }) as never])
    .map((each) => toHtml(each))
    .join('')
    .replaceAll('</path>', '');

test('neighbours that lead to one place are one link, with what they show as its name', () => {
  const marks = [
    { place: at(3), title: '<b>' },
    { place: at(3), title: '<b>' },
    { place: at(4), title: 'two' },
    { place: at(3), title: '<b>' },
  ];
  const one = '<g data-place="a.gusset:3:5"><title>&#x3C;b></title>';
  expect(drawn(marks)).toBe(
    `${one}<path d="<b>"><path d="<b>"></g><g data-place="a.gusset:4:5"><title>two</title><path d="two"></g>${one}<path d="<b>"></g>`,
  );
});

test('what shows another thing is a link of its own though it stands in the same place, and what leads nowhere is none', () => {
  const marks = [{ place: at(3), title: 'a' }, { place: at(3), title: 'b' }, { place: null, title: 'c' }, {}];
  expect(drawn(marks).match(/<title>.<\/title>/g)).toEqual(['<title>a</title>', '<title>b</title>']);
  expect(drawn(marks)).toMatch(/<\/g><path d="c"><path d="">$/);
});

test('a place is told as file, line and column; a line is hit though it is not seen', () => {
  expect(placeText(at(3))).toBe('a.gusset:3:5');
  expect(toHtml(hitLine('0,0 1,1', 9), { space: 'svg' })).toBe(
    '<polyline points="0,0 1,1" stroke-opacity="0" stroke-width="9"></polyline>',
  );
});
