import { describe, expect, test } from 'vitest';
import { complete } from '../../language/answers/complete.ts';
import { units } from '../../language/answers/complete-values.ts';
import { library, quantity as of, read } from '../support.ts';

const kinds = `sizes widths: Length = [narrow = 1 m, 2 m]
kind hall {
  toplevel
  shared air: Temperature default 20 degC
  width: Length {
    sizes widths
  }
  deep: Length default 1 m
  torque: Torque?
  energy: Energy?
  mode: one of dim, bright
  lit: YesNo default yes
  spare: lamp?
  box: Length x Length
  rim(share: Ratio, by: Length): Length = deep * share + by
  has lamp*
  has hall?
  has cellar?
  headline deep
}
kind big_hall is hall {
  further: Length default 1 m
}
kind lamp {
  power: Power default 1 W
}
kind cellar {
  has lamp*
}
/// A good one.
part small is lamp {
}
/// How far.
constant reach: Length = 1 m
function twice(of: Length): Length = 2 * of
`;
function proposals(marked: string) {
  const offset = marked.indexOf('<|>');
  const { file, project } = read(marked.replace('<|>', ''));
  project.mistakes(file);
  return complete(file, offset)?.proposals ?? [];
}
const inHall = (line: string, rest = '') => `${kinds}hall H {\n  ${line}\n${rest}}\n`;
/** Those of some names, in their order. */
const order = (marked: string, ...names: string[]) =>
  proposals(marked)
    .map(({ label }) => label)
    .filter((label) => names.includes(label));

describe('values that fit come first', () => {
  test('sizes, then the kind’s own, then what is declared, and `?` for what comes in sizes', () => {
    expect(order(inHall('width = <|>'), 'narrow', '2 m', 'deep', 'reach', '?', 'twice', 'rim', 'lit', 'air')).toEqual([
      'narrow',
      '2 m',
      'deep',
      'rim',
      '?',
      'reach',
      'twice',
    ]);
    expect(order(inHall('deep = <|>'), '?', 'narrow')).toEqual([]);
  });

  test('of one name before one of the same dimension', () => {
    expect(order(`${kinds}kind k is hall {\n  t: Torque = <|>\n}\n`, 'torque', 'energy')).toEqual(['torque', 'energy']);
    expect(order(`${kinds}kind k is hall {\n  t: Energy = <|>\n}\n`, 'torque', 'energy')).toEqual(['energy', 'torque']);
  });

  test('one’s own before what is declared further up, headlines before all', () => {
    expect(order(`${kinds}kind k is big_hall {\n  t: Length = <|>\n}\n`, 'further', 'width', 'deep', 'box')).toEqual([
      'deep',
      'further',
      'width',
      'box',
    ]);
  });

  test('words of a choice, yes and no', () => {
    expect(
      proposals(inHall('mode = <|>'))
        .slice(0, 2)
        .map(({ label }) => label),
    ).toEqual(['dim', 'bright']);
    expect(
      proposals(inHall('lit = <|>'))
        .slice(0, 2)
        .map(({ label }) => label),
    ).toEqual(['yes', 'no']);
  });

  test('blocks by the path that leads to them, and parts', () => {
    const rest = '  lamp a\n  hall inner {\n    lamp b\n  }\n  cellar {\n    lamp c\n  }\n';
    expect(order(inHall('spare = <|>', rest), 'a', 'inner', 'inner.b', 'cellar.c', 'cellar', 'small', '?')).toEqual([
      'a',
      'inner.b',
      'cellar.c',
      'small',
      '?',
      'inner',
      'cellar',
    ]);
  });

  test('not what is being given itself', () => {
    expect(order(inHall('deep = <|>'), 'deep', 'width')).toEqual(['width']);
  });
});

describe('arguments', () => {
  test('that a call still needs, with what they are', () => {
    const [first, second] = proposals(inHall('deep = rim(<|>'));
    expect([first, second]).toMatchObject([
      { label: 'share', text: 'share: ', sort: 'argument', detail: 'a ratio, in percent' },
      { label: 'by', text: 'by: ', detail: 'a length, in mm or m' },
    ]);
    expect(order(inHall('deep = rim(share: 1, <|>'), 'share', 'by')).toEqual(['by']);
    expect(order(inHall('deep = rim(by: <|>'), 'share', 'by')).toEqual([]);
  });
});

test('what a declaration is: with its arguments, its type and its documentation', () => {
  const of = (name: string) => proposals(inHall('width = <|>')).find(({ label }) => label === name);
  expect(of('reach')).toMatchObject({ sort: 'function', detail: 'a length, in mm or m', documentation: 'How far.' });
  expect(of('twice')?.detail).toBe('(of) a length, in mm or m');
  expect(of('rim')?.detail).toBe('(share, by) a length, in mm or m');
  expect(of('narrow')).toMatchObject({ sort: 'size', detail: 'widths' });
});

describe('after a dot', () => {
  test('what fits first; of a size its sides', () => {
    expect(proposals(inHall('require box.<|>')).map(({ label }) => label)).toEqual(['width', 'depth']);
    expect(
      order(inHall('deep = hall.<|>', '  hall {\n    lamp b\n  }\n'), 'deep', 'width', 'b', 'mode', 'lamp'),
    ).toEqual(['deep', 'width', 'b', 'mode']);
    expect(order(inHall('spare = hall.<|>', '  hall {\n    lamp b\n  }\n'), 'spare', 'b', 'deep')).toEqual([
      'b',
      'spare',
      'deep',
    ]);
  });

  test('of a kind alone its roles as well', () => {
    expect(order(`${kinds}rule r on hall {\n  holds hall.<|>\n}\n`, 'lit', 'deep', 'lamp')).toEqual([
      'lit',
      'deep',
      'lamp',
    ]);
  });
});

describe('units', () => {
  const { scope } = library;
  const labels = (name: string) =>
    units({ ctx: { scope } as never, expected: of(name) })
      .toSorted((a, b) => a.rank - b.rank)
      .map(({ label }) => label);

  test('those that a quantity is shown in first, then others of that name, thousandfolds before the rest', () => {
    expect(labels('Length').slice(0, 4)).toEqual(['mm', 'm', 'in', 'km']);
    expect(labels('Length').indexOf('cm')).toBeGreaterThan(labels('Length').indexOf('um'));
    expect(labels('Torque')).toContain('N*m');
    expect(labels('Torque')).not.toContain('J');
    expect(labels('Energy')).toContain('kJ');
    expect(labels('Temperature')).toEqual(expect.arrayContaining(['degC']));
    expect(labels('Temperature')).not.toContain('K');
    // Neither a billionth nor a billion is offered.
    expect(labels('Length')).not.toEqual(expect.arrayContaining(['nm']));
    expect(labels('Length')).not.toEqual(expect.arrayContaining(['Gm']));
  });

  test('of anything where any quantity will do, of nothing where none will', () => {
    expect(units({ ctx: { scope } as never }).length).toBeGreaterThan(50);
    expect(units({ ctx: { scope } as never, expected: { is: 'truth' } })).toEqual([]);
    expect(
      units({ ctx: { scope } as never, expected: { is: 'list', of: of('Mass') } }).map(({ label }) => label),
    ).toContain('kg');
  });
});

test('clauses name values, kinds, sizes and units', () => {
  const inKind = (line: string) => proposals(`${kinds}kind k is hall {\n  ${line}\n}\n`).map(({ label }) => label);
  expect(inKind('headline <|>')).toEqual(expect.arrayContaining(['deep', 'mode']));
  expect(inKind('headline <|>')).not.toEqual(expect.arrayContaining(['rim']));
  expect(inKind('inside <|>')).toEqual(expect.arrayContaining(['hall', 'lamp']));
  expect(inKind('w: Length {\n    sizes <|>\n  }')).toContain('widths');
  expect(inKind('w: Mass {\n    shown <|>\n  }').slice(0, 2)).toEqual(['g', 'kg']);
  expect(inKind('w: list of lamp = [] {\n    shown <|>\n  }')).toEqual(['power']);
});
