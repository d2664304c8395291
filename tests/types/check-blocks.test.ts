import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

const mistakes: readonly [text: string, code: string, marks: string, message: string, ...fixes: string[]][] = [
  [
    'machine M {\n  heatr\n}\n',
    'unknown_kind',
    'heatr',
    'There is no kind called heatr. Did you mean heater?',
    'Write heater',
  ],
  [
    'mashine M {\n}\n',
    'unknown_kind',
    'mashine',
    'There is no kind called mashine. Did you mean machine?',
    'Write machine',
  ],
  [
    'plate p {\n}\n',
    'wrong_place',
    'p',
    'A plate does not stand alone in a file: it stands in a block of another kind.',
  ],
  ['wire w {\n}\n', 'wrong_place', 'w', 'A wire does not stand alone in a file: it stands in a machine or a circuit.'],
  [
    'machine M {\n  bed is mat_24v_250w\n}\n',
    'wrong_part',
    'mat_24v_250w',
    'mat_24v_250w is a heater; expected a bed.',
  ],
  [
    'machine M {\n  bed {\n    heatr {\n    }\n  }\n}\n',
    'unknown_kind',
    'heatr',
    'There is no kind called heatr. Did you mean heater?',
    'Write heater',
  ],
  [
    'machine M {\n  bed {\n    plate = 3\n  }\n}\n',
    'block_expected',
    'plate',
    'plate is a block: write plate { … } or plate is PART.',
  ],
  [
    'machine M {\n  bed {\n    plate = plate_230\n  }\n}\npart plate_230 is plate {\n}\n',
    'block_expected',
    'plate',
    'plate is a block: write plate { … } or plate is plate_230.',
    'Write plate is plate_230',
  ],
  [
    'machine M {\n  bed {\n    plate = mat_24v_250w\n  }\n}\n',
    'block_expected',
    'plate',
    'plate is a block: write plate { … } or plate is PART.',
  ],
  [
    'machine M {\n  bed {\n  }\n  bed {\n  }\n}\n',
    'said_twice',
    'bed',
    'bed is already said in this block; the first one counts.',
  ],
  ['machine M {\n  ambient\n}\n', 'missing_equals', 'ambient', 'ambient is a value: expected = and what it is.'],
  ['machine M {\n  fuse f * 0\n}\n', 'wrong_count', '0', 'How many there are is a whole number, such as * 2.'],
  ['machine M {\n  fuse f * 1.5\n}\n', 'wrong_count', '1.5', 'How many there are is a whole number, such as * 2.'],
  [
    'machine M {\n  fuse * 2 spare\n}\n',
    'wrong_count',
    '2 spare',
    'How many there are is a bare number, and spare stands behind it as if it were a unit. A name stands before it: fuse spare * 2.',
    'Write fuse spare * 2',
  ],
  ...['holder', 'self', 'no'].map((word): [string, string, string, string] => [
    `machine M {\n  fuse ${word}\n}\n`,
    'clash',
    word,
    `${word} is a word of the language, so that nothing can be read by it as a name: give this one another name.`,
  ]),
  [
    'machine A {\n  fuse f\n}\nmachine B is A {\n  no g\n}\n',
    'unknown_absence',
    'g',
    'A machine has nothing called g, and what it starts from gives no such block: there is nothing to be without.',
  ],
];

const told = (text: string) => toldOf(text).filter(({ severity }) => severity !== 'note');

describe('one mistake in the blocks of a machine', () => {
  test.each(mistakes)('%s: %s', (text, code, marks, message, ...fixes) => {
    expect(told(text).map(({ severity: _, ...rest }) => rest)).toEqual([{ code, marks, message, fixes }]);
  });

  test.each([
    'machine M {\n  fuse holders\n  fuse f * 2 is blade_15a\n}\n',
    'machine A {\n  fuse f\n}\nmachine B is A {\n  no f\n}\n',
  ])('nothing is wrong with %s', (text) => {
    expect(told(text)).toEqual([]);
  });
});

describe('what is still to be given', () => {
  const notes = (text: string) => toldOf(text).map(({ severity, marks, message }) => [severity, marks, message]);

  test('is noted once for each block, where it would be given', () => {
    expect(notes('machine M {\n  bed {\n    plate {\n    }\n  }\n}\n')).toEqual([
      ['note', 'M', 'Not given yet: ambient. What depends on it is not known.'],
      ['note', 'bed', 'Not given yet: target. What depends on it is not known.'],
      ['note', 'plate', 'Not given yet: size, thickness and material. What depends on them is not known.'],
    ]);
  });

  test('is not noted in a part, which leaves it to what starts from it, nor where the part is open', () => {
    expect(notes('part p is plate {\n}\n')).toEqual([]);
    expect(notes('machine M {\n  ambient = 20 degC\n  fuse f is ?\n}\n')).toEqual([]);
    expect(notes('machine M {\n  ambient = 20 degC\n  fuse f\n}\n')).toHaveLength(1);
  });

  test('a half-written statement has its own problem, and no note beside it', () => {
    expect(notes('machine M {\n  ambient =\n}\n').map(([severity]) => severity)).toEqual(['error']);
  });
});

const oneOf = (text: string) => told(text).map(({ code, marks, message }) => [code, marks, message]);

test('what stands deep inside a part is checked as what stands in it', () => {
  const part = (value: string) =>
    `kind room {\n  inside machine, room\n  height: Length?\n}\npart house is room {\n  room hall {\n    room cellar {\n      height = ${value}\n    }\n  }\n}\n`;
  expect(oneOf(part('3 W')).map(([code]) => code)).toEqual(['wrong_dimension']);
  expect(oneOf(part('3 m'))).toEqual([]);
});
