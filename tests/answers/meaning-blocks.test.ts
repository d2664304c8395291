import { expect, test } from 'vitest';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { ownKind } from '../own-kind.ts';
import { read } from '../support.ts';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['|machine First', ['kind']],
  ['machine |First', ['block@First']],
  ['drum |roller is', ['block@First.roller']],
  ['drum |roller {\n    width', ['block@Second.roller']],
  ['no |roller', ['block']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a machine, and a part, is declared by its name alone', () => {
  const { file } = read(ownKind);
  const declared = (piece: string) =>
    meaningsAt(file, ownKind.indexOf(piece) + piece.length)[0]?.declarations?.map((node) => textOf(node));
  expect(declared('machine Firs')).toEqual(['First']);
  expect(declared('part small_dru')).toEqual(['small_drum']);
});

test('a block is found in variants, where more is said of it, and where it is removed', () => {
  expect(lines('|roller is small_drum')).toEqual([
    'drum roller is small_drum {',
    'require roller.rim(at: 0.2) < 1 m',
    'drum roller {',
    'no roller',
  ]);
});

test('the name of a value is no block, though what stands behind it is written as of one', () => {
  const kinds = `kind hall {
  toplevel
  spare: lamp?
}
kind lamp {
}
part small is lamp {
}
`;
  const said = (line: string) => {
    const text = `${kinds}hall H {\n  ${line}\n}\n`;
    return meaningsAt(read(text).file, text.lastIndexOf(line) + 1).map(({ sort }) => sort);
  };
  expect(said('spare is small')).toEqual(['value']);
  expect(said('spare')).toEqual(['value']);
  expect(said('spare {\n  }')).toEqual([]);
});

test('in a block of a kind that there is not, nothing is known by its name', () => {
  const text = 'kind hall {\n  toplevel\n}\nhall H {\n  nothing x {\n    width = 1 m\n  }\n}\n';
  expect(meaningsAt(read(text).file, text.indexOf('width') + 1)).toEqual([]);
});
