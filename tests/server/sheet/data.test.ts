import { expect, test } from 'vitest';
import { dataOf } from '../../../server/sheet/data.ts';

test('a sheet as plain data has places where parts of a syntax tree stood, and nothing else is changed', () => {
  const node = { $type: 'Name', text: 'a' } as never;
  const rows = { is: 'rows', rows: [{ label: 'a', shown: '3', margin: 0.5, place: node, formula: node }] } as const;
  const sheet = { machine: 'M', about: '', sections: [{ heading: 'H', parts: [rows] }] };
  const place = { file: 'a.gusset', line: 3, column: 5 };
  const placed = { is: 'rows', rows: [{ label: 'a', shown: '3', margin: 0.5, place, formula: place }] };
  expect(dataOf(sheet, () => ({ ...place, endLine: 3 }) as never)).toEqual({
    machine: 'M',
    about: '',
    sections: [{ heading: 'H', parts: [placed] }],
  });
  expect(dataOf(sheet, () => undefined).sections[0]?.parts[0]).toMatchObject({
    rows: [{ place: null, formula: null }],
  });
});

test('a sheet as plain data has no characters that turn the way in which what follows is read; letters from right to left stay', () => {
  const sheet = { machine: 'M\u202e', about: '\u2066a\u2069 \u05d0\u05d1 3', sections: [] };
  expect(dataOf(sheet, () => undefined)).toEqual({ machine: 'M', about: 'a \u05d0\u05d1 3', sections: [] });
});
