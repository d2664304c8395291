import { describe, expect, test } from 'vitest';
import { complete } from '../../language/answers/complete.ts';
import { read } from '../support.ts';

const kinds = `/// A hall.
kind hall {
  toplevel
  /// How wide.
  width: Length
  gap: Length?
  depth: Length default 2 m
  area: Area = width * depth
  has door
  has lamp*
  has stove?
  has floor: plate {
  }
  has roof: plate
  headline depth
}
kind door {
}
kind lamp {
  power: Power
}
kind stove {
}
kind plate {
}
/// Stands in halls.
kind chair {
  inside hall
}
part bright is lamp {
  power = 10 W
}
`;
/** What is proposed where the mark stands, with how well it fits. */
function proposals(marked: string) {
  const offset = marked.indexOf('<|>');
  const { file, project } = read(marked.replace('<|>', ''));
  project.mistakes(file);
  return complete(file, offset)?.proposals ?? [];
}
const ranks = (marked: string) => Object.fromEntries(proposals(marked).map(({ label, rank }) => [label, rank]));
const labels = (marked: string) => proposals(marked).map(({ label }) => label);
const inHall = (lines: string) => `${kinds}hall H {\n${lines}\n}\n`;

describe('keys of a block', () => {
  test('what is still missing comes first, then what may be given, its kind’s own before its base’s, then blocks and statements', () => {
    expect(labels(inHall('  <|>'))).toEqual([
      'width',
      'door',
      'roof',
      'depth',
      'gap',
      'lamp',
      'stove',
      'plate',
      'chair',
      'floor',
      'require',
      'accept',
      'measured',
      'checked',
      'set',
      'no',
    ]);
  });

  test('with an equals sign where none follows, and what a value is', () => {
    const of = (marked: string, label: string) => proposals(marked).find((each) => each.label === label);
    expect(of(inHall('  <|>'), 'width')).toMatchObject({
      text: 'width = ',
      sort: 'value',
      detail: 'a length, in mm or m',
      documentation: 'How wide.',
    });
    expect(of(inHall('  <|> = 3 m'), 'width')?.text).toBe('width');
    expect(of(inHall('  <|>'), 'depth')?.detail).toBe('a length, in mm or m, default 2 m');
    expect(of(inHall('  <|>'), 'door')).toMatchObject({ sort: 'block', detail: 'block of kind door' });
    expect(of(inHall('  <|>'), 'chair')).toMatchObject({
      sort: 'kind',
      detail: 'block',
      documentation: 'Stands in halls.',
    });
  });

  test('what is said already is not proposed, but in the statement that says it', () => {
    expect(labels(inHall('  width = 3 m\n  door\n  <|>'))).not.toEqual(expect.arrayContaining(['width']));
    expect(labels(inHall('  width = 3 m\n  door\n  <|>'))).not.toContain('door');
    expect(labels(inHall('  wid<|> = 3 m'))).toContain('width');
    // Any number may stand there.
    expect(labels(inHall('  lamp a\n  <|>'))).toContain('lamp');
    expect(labels(inHall('  floor {\n  }\n  <|>'))).not.toContain('floor');
  });

  test('a role that a block of another name fills is not expected any more', () => {
    expect(ranks(inHall('  <|>')).door).toBe(1);
    expect(labels(inHall('  door gate\n  <|>'))).not.toContain('door');
    // Of what a variant takes over more can be said: but that is not missing.
    const variant = (base: string) => `${kinds}hall Base {\n${base}\n}\nhall H is Base {\n  <|>\n}\n`;
    expect(ranks(variant('')).door).toBe(1);
    expect(ranks(variant('  door')).door).toBe(4.5);
    expect(labels(variant('  door gate'))).not.toContain('door');
    expect(labels(variant('  door gate'))).toContain('door gate');
  });

  test('in a variant what is given there already comes later, with what it is', () => {
    const found = proposals(`${kinds}hall Base {\n  width = 3 m\n}\nhall H is Base {\n  <|>\n}\n`);
    expect(found.find(({ label }) => label === 'width')).toMatchObject({
      rank: 4,
      detail: 'a length, in mm or m, given as 3 m',
    });
    expect(found.map(({ label }) => label)).toContain('no');
  });
});

test('keys of a role’s own block, and of a part', () => {
  expect(labels(`${kinds}kind k {\n  has x: hall {\n    <|>\n  }\n}\n`)).toEqual(['width', 'gap', 'depth']);
  expect(labels(`${kinds}part p is lamp {\n  <|>\n}\n`)).toEqual(expect.arrayContaining(['power', 'require', 'no']));
});

test('values of the base, declared anew as they are', () => {
  const texts = proposals(`${kinds}kind k is hall {\n  width: Length default 1 m\n  <|>\n}\n`);
  const of = (label: string) => texts.find((each) => each.label === label)?.text;
  expect(of('width')).toBeUndefined();
  expect(of('depth')).toBe('depth: Length');
  expect(of('area')).toBe('area: Area = ');
  expect(texts.find(({ label }) => label === 'gap')?.detail).toBe('declared by hall');
});

test('a clause that may stand once is not proposed a second time', () => {
  const rule = (clauses: string) => labels(`${kinds}rule r on hall {\n${clauses}\n  <|>\n}\n`);
  expect(rule('')).toContain('error');
  expect(rule('  error "x"')).not.toContain('error');
  expect(rule('  holds width > 1 m')).toContain('holds');
  expect(labels(`${kinds}rule r on hall {\n  err<|> "x"\n}\n`)).toContain('error');
  // Nor is the word itself taken away from under the cursor.
  expect(labels(`${kinds}rule r on hall {\n  error<|> "x"\n}\n`)).toContain('error');
});

test('how good a source is', () => {
  expect(labels(`${kinds}rule r on hall {\n  source <|>\n}\n`)).toEqual([
    'defined',
    'read',
    'quoted',
    'practice',
    'recalled',
  ]);
});

test('in the block of a role, which stands in no machine, what its kind can be given', () => {
  const asked = proposals(`${kinds}kind k {\n  toplevel\n  has lamp {\n    <|>\n  }\n}\n`);
  expect(asked[0]).toMatchObject({ label: 'power', sort: 'value', text: 'power = ' });
});
