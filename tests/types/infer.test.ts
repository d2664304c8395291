import { describe, expect, test } from 'vitest';
import { mistakesIn } from '../support.ts';

/** A kind with a value of each sort, and one that is computed. */
const asking = (type: string, formula: string, rest = '') => `machine M {
  ambient = 20 degC
  asker {
  }
}
function twice(of: any Q): Q = if yes then of else of
${rest}
kind other {
}
kind asker {
  inside machine
  a: Length default 5 mm
  b: Current default 3 A
  t: Temperature default 60 degC
  mode: one of wide, narrow default wide
  yesno: YesNo default yes
  lengths: list of Length default [1 mm, 2 mm]
  f(at: Length): Power = 1 W * at / 1 mm
  g(at: Temperature): Power = (at - 20 degC) * 1 W/K
  speed(at: Temperature): Speed = (at - 20 degC) * 1 mm/(s*K)
  has other*
  asked: ${type} = ${formula}
}
`;

/** What is said of the formula, without its line. */
const saidOf = (type: string, formula: string, rest = '') =>
  mistakesIn(asking(type, formula, rest)).map((mistake) => mistake.replace(/^\d+: /, ''));

describe('branches, sides and elements are alike', () => {
  test.each([
    [
      'Text',
      'if a > 5 mm then "wide" else 3 A',
      'The branches of if must be alike: this is a current, what stands before is a text in quotes.',
    ],
    ['Length', 'if a > 5 mm then 3 mm else 3 A', 'Expected a length, this is a current'],
    ['Length', 'a otherwise 4 A', 'Expected a length, this is a current'],
    ['Length', 'min(a, b)', 'Expected a length, this is a current'],
    ['list of Length', '[1 mm, 2 A]', 'Expected a length, this is a current'],
    ['YesNo', '3 A in lengths', 'Expected a length, this is a current'],
    ['YesNo', '2 mm in a', 'After in stands a list; this is a length.'],
    ['YesNo', 'yesno < yes', 'Only quantities can be compared by size; this is yes or no.'],
    ['YesNo', 'a == yesno', 'A length cannot be compared with yes or no.'],
    ['YesNo', 'mode == broad', 'Expected one of wide and narrow; broad is none of them.'],
    ['YesNo', 'a is other', 'Only a block is of a kind; this is a length.'],
    ['Length', '-"a" * 1 mm', 'Arithmetic needs a quantity, this is a text in quotes.'],
    ['Length', 'a[1]', 'Only a list has numbered elements; this is a length.'],
    ['Length', 'first(a)', 'First needs a list or a question, this is a length.'],
    ['Length', 'sqrt(a * a, a)', 'Sqrt takes one argument.'],
    ['Ratio', 'sin(2)', 'Sin needs an angle, this is a bare number.'],
    ['Length', 'abs(t)', 'Abs needs a quantity that counts from zero'],
    [
      'Count',
      'count(x for x in a)',
      'A question goes through every block of a kind, or through a list; a is a length.',
    ],
    ['YesNo', 'given(a + a)', 'Given asks of one value by its name whether it is given'],
    ['Length', 'twice(of: "text")', 'Expected any quantity Q, this is a text in quotes.'],
    ['Length', 'twice(of: b)', 'Expected a length, this is a current'],
    ['Length', 'twice(of: a, of: a)', 'Twice is given of twice.'],
  ])('%s = %s', (type, formula, said) => {
    const mistakes = saidOf(type, formula);
    const isSaid = (mistake: string) => mistake.toLowerCase().startsWith(said.toLowerCase());
    expect(mistakes.filter(isSaid), mistakes.join('\n')).toHaveLength(1);
    expect(mistakes).toHaveLength(1);
  });

  test('a requirement and a text in a machine as well', () => {
    const text = (line: string) => asking('Length', 'a').replace('  asker {\n  }', `  asker {\n    ${line}\n  }`);
    expect(mistakesIn(text('require a <= 3 mm otherwise 4 A'))).toEqual([
      '4: The two sides of otherwise must be alike: this is a current, what stands before is yes or no.',
    ]);
    expect(mistakesIn(text('require a <= 3 mm'))).toEqual([]);
  });

  test.each([
    ['one of wide, narrow', 'if yesno then wide else narrow'],
    ['one of wide, narrow', 'if yesno then mode else narrow'],
    ['YesNo', 'wide == mode'],
    ['YesNo', 'mode in [wide, narrow]'],
    ['Length', 'twice(of: twice(of: a))'],
    ['list of Length', 'if yesno then [] else lengths'],
    ['Length', 'sum(lengths) + max(lengths) + lengths[2]'],
    ['Temperature', 'max(t, 40 degC) + 5 K'],
    ['Ratio', 'sin(30 deg) + sin(a / 5 mm)'],
  ])('%s = %s has no mistake', (type, formula) => {
    expect(saidOf(type, formula)).toEqual([]);
  });
});

describe('what two blocks, words or lists have in common', () => {
  const text = (type: string, formula: string) =>
    mistakesIn(`kind item {
}
kind lamp is item {
}
kind torch is lamp {
}
kind crate is item {
}
kind stone {
}
kind hall {
  toplevel
  lit: YesNo default yes
  lamp_there: lamp
  torch_there: torch
  crate_there: crate
  stone_there: stone
  mode: one of dim, bright default dim
  other: one of bright, glaring default bright
  asked: ${type} = ${formula}
}
`).map((mistake) => mistake.replace(/^\d+: /, ''));

  test.each([
    ['lamp', 'if lit then lamp_there else torch_there'],
    ['lamp', 'if lit then torch_there else lamp_there'],
    ['item', 'if lit then lamp_there else crate_there'],
    ['list of item', '[torch_there, crate_there, lamp_there]'],
    ['one of dim, bright, glaring', 'if lit then mode else other'],
    ['YesNo', 'mode == other'],
    ['YesNo', 'lamp_there == torch_there'],
    ['list of Length', 'if lit then [] else [1 m]'],
    ['Length x Length', 'if lit then 1 m x 2 m else 2 m x 3 m'],
  ])('%s = %s', (type, formula) => expect(text(type, formula)).toEqual([]));

  test.each([
    ['lamp', 'if lit then lamp_there else crate_there', 'Expected a lamp, this is an item.'],
    ['item', 'if lit then lamp_there else stone_there', 'The branches of if must be alike'],
    ['torch', 'if lit then lamp_there else torch_there', 'Expected a torch, this is a lamp.'],
    ['YesNo', 'lamp_there == crate_there', 'A lamp cannot be compared with a crate.'],
    ['YesNo', 'lamp_there == stone_there', 'A lamp cannot be compared with a stone.'],
    ['one of dim, bright', 'if lit then mode else other', 'Expected one of dim, bright, this is one of'],
    ['Length x Length', 'if lit then 1 m x 2 m else 2 m x 3 m x 4 m', 'The branches of if must be alike'],
  ])('%s = %s: %s', (type, formula, message) => {
    const mistakes = text(type, formula);
    expect(mistakes).toHaveLength(1);
    expect(mistakes[0]).toContain(message);
  });
});

describe('formulas and curves that are handed over', () => {
  test('a formula of another argument, or with another result, is refused', () => {
    expect(saidOf('Temperature', 'balance(net: g, low: 20 degC, high: 90 degC)')).toEqual([]);
    expect(saidOf('Length', 'balance(net: f, low: 1 mm, high: 9 mm)')).toEqual([]);
    expect(saidOf('Temperature', 'balance(net: f, low: 20 degC, high: 90 degC)')).toEqual([
      'Expected a temperature, this is a length.',
      'Expected a length, this is a temperature.',
      'Expected a length, this is a temperature.',
    ]);
    expect(saidOf('curve of Time, Temperature', 'rise(slope: g, from: 20 degC, during: 1 s)')).toEqual([
      'Expected a formula that takes a temperature and gives a temperature rate, this is a formula that takes a temperature and gives a power.',
    ]);
  });

  test('a curve is read at what it is a curve over', () => {
    const curve = 'sampled(of: speed, from: 20 degC, to: 90 degC)';
    expect(saidOf('Speed', `value_at(curve: ${curve}, at: 30 degC)`)).toEqual([]);
    expect(saidOf('Temperature', `when_reached(curve: ${curve}, at: 3 mm/s)`)).toEqual([]);
    expect(saidOf('Speed', `value_at(curve: ${curve}, at: 3 s)`)).toEqual(['Expected a temperature, this is a time.']);
    expect(saidOf('curve of Time, Temperature', curve)).toEqual([
      'Expected a curve of temperature over time, this is a curve of speed over temperature.',
    ]);
  });
});

describe('a unit behind a slash', () => {
  test.each([
    ['80/mm', '80 mm^-1'],
    ['80 / mm', '80 mm^-1'],
    ['9000 / mm ^ 2', '9000 mm^-2'],
    ['3 N / mm', '3 N/mm'],
  ])('%s: it stands behind its number', (written, meant) => {
    expect(saidOf('Length', `a * (${written})`)).toEqual([
      `A unit stands behind its number, with all that it is divided by: ${meant}, not ${written.replaceAll(' ', '')}.`,
    ]);
  });

  test('a name that is no unit, or is no divisor of a number, is only unknown', () => {
    expect(saidOf('Length', '5 mm / wide_')).toEqual([expect.stringContaining('Nothing is called wide_')]);
    expect(saidOf('Length', 'a * mm')).toEqual([expect.stringContaining('Nothing is called mm')]);
    expect(saidOf('Length', 'a / mm')).toEqual([expect.stringContaining('Nothing is called mm')]);
  });
});
