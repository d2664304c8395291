import { describe, expect, test } from 'vitest';
import { proposed, toldOf } from '../support.ts';

const own = `sizes drum_sizes: Length = [100 mm, 200 mm]
/// A hall.
kind hall {
  toplevel
  shared air: Temperature default 20 degC
  has drum*
  has gate?
  has sign
  total: Length = sum(d.width for d in every drum) {
    source defined "a test"
  }
}
/// A drum.
kind drum {
  width: Length {
    sizes drum_sizes
  }
  mass: Mass?
  turns: Count default 3
  mode: one of slow, fast
  is_on: YesNo default yes
  mate: drum?
  others: list of drum?
  half: Length = width / 2 {
    source defined "a test"
  }
  rim(at: Ratio, by: Length): Length = width * at {
    source defined "a test"
  }
  has rivet*
  headline half
}
kind big_drum is drum {
}
kind gate {
  height: Length
}
kind sign {
  says: Text
}
kind rivet {
  length: Length
}
rule drum_wide on drum {
  holds width < 1 m
  error "wide"
}
rule gate_low on gate {
  holds height > 1 m
  error "low"
}
part small_drum is drum {
  width = 100 mm
}
part steel_gate is gate {
  height = 2 m
}
function twice(of: Length): Length = 2 * of
constant inch_wide: Length = 25.4 mm
`;

/** Names that these files declare, and words that no library declares: others may come and go between them. */
const known = new Set(
  [
    'hall, drum, big_drum, gate, sign, rivet, k, r, p, small_drum, steel_gate, twice, inch_wide, drum_sizes, drum_wide, gate_low',
    'width, mass, turns, mode, is_on, mate, others, half, rim, at, by, of, air, total, height, says, length, a, c, d',
    '100 mm, 200 mm, yes, no, every, ?, Length, Mass, one of, list of, if, not',
    'kind, part, rule, function, constant, table, sizes, use, rate, self, holder, name',
  ].flatMap((line) => line.split(', ')),
);
const ofThese = (marked: string) =>
  proposed(marked)
    .filter((label) => known.has(label))
    .join(', ');
const inHall = (line: string) =>
  `${own}hall H {\n  drum a {\n    width = 100 mm\n    rivet b { length = 3 mm }\n  }\n  ${line}\n}\n`;

test('behind is stand kinds only for a block that is there already', () => {
  const variant = `${own}hall H {\n  drum c {\n    width = 100 mm\n  }\n}\n\nhall I is H {\n  drum c is <|>\n}\n`;
  expect(ofThese(variant)).toBe('small_drum, ?, big_drum');
  expect(ofThese(variant.replace('drum c is <', 'drum d is <'))).toBe('small_drum, ?');
});

test('the kinds of these tests have no mistake', () => {
  expect(toldOf(own)).toEqual([]);
});

describe('all that is proposed in a block, the best first', () => {
  test.each([
    ['<|>', 'sign, air, drum, gate, big_drum, require, accept, measured, checked, set, no'],
    ['drum <|>', 'is, {, is small_drum, is ?'],
    ['drum c is <|>', 'small_drum, ?'],
    [
      'drum c {\n    <|>\n  }',
      'width, mode, mass, mate, others, turns, is_on, rivet, require, accept, measured, checked, set, no',
    ],
    [
      'drum c {\n    width = 100 mm\n    <|>\n  }',
      'mode, mass, mate, others, turns, is_on, rivet, require, accept, measured, checked, set, no',
    ],
    ['drum c {\n    width = 3 <|>\n  }', 'mm, m, in, ft, km, Mm, um, dam, dm, hm, cm'],
    ['drum c {\n    mass = 3 <|>\n  }', 'g, kg, t, mg, Mg, ug, dag, dg, hg, cg'],
    ['drum c {\n    turns = 3 <|>\n  }', ''],
    ['drum c {\n    mode = <|>\n  }', 'slow, fast, a, c, mate'],
    ['drum c {\n    mate = <|>\n  }', 'a, c, small_drum, ?, first, last, the'],
    ['drum c {\n    others = [<|>]\n  }', 'a, c, first, last, the'],
    ['drum c {\n    others = [a, <|>]\n  }', 'c, first, last, the'],
    ['drum c {\n    mate = a.<|>\n  }', 'mate, b, half, width, mass, turns, mode, is_on, others, rim'],
    ['drum c {\n    accept <|>\n  }', 'drum_wide'],
    ['gate {\n    accept <|>\n  }', 'gate_low'],
    ['drum c {\n    measured <|>\n  }', 'half, mass, mate, others'],
    ['drum c {\n    width = a.<|>\n  }', 'half, width, rim, b, mass, turns, mode, is_on, mate, others'],
    ['require a.<|>', 'half, width, mass, turns, mode, is_on, mate, others, rim, b'],
    ['require a.half < 3 <|>', 'mm, m, in, ft, km, Mm, um, dam, dm, hm, cm'],
    ['require air < 3 <|>', 'degC, degF'],
    ['require a.mode == <|>', 'slow, fast, a'],
    ['require any(d.<|> for d in every drum)', 'is_on, half, width, mass, turns, mode, rim, mate, others, rivet'],
    ['air = 3 <|>', 'degC, degF'],
    ['sign {\n    says = <|>\n  }', 'a, sign'],
    ['no <|>', 'drum, gate'],
  ])('%s', (line, expected) => {
    expect(proposed(inHall(line)).join(', ')).toBe(expected);
  });
});

describe('in what order names of the file are proposed in a block, among the library’s', () => {
  test.each([
    ['drum c {\n    width = <|>\n  }', '100 mm, 200 mm, ?, half, a, c, mate, rim, twice, inch_wide'],
    [
      'drum c {\n    is_on = <|>\n  }',
      'yes, no, width, mass, turns, mode, mate, others, air, a, c, half, rim, twice, inch_wide, if, not',
    ],
    ['drum c {\n    width = a.rim(<|>\n  }', 'at, by, turns, a, c, mate'],
    ['drum c {\n    width = a.rim(at: 0.2, <|>\n  }', 'by, half, a, c, mate, rim, twice, inch_wide'],
    ['drum c {\n    width = twice(<|>\n  }', 'of, half, a, c, mate, rim, twice, inch_wide'],
    ['require <|>', 'yes, no, air, total, a, twice, inch_wide, if, not'],
    ['require a.half < <|>', 'total, a, twice, inch_wide'],
    ['require any(d.width > 1 m for d in <|>)', 'every, air, total, a, twice, inch_wide'],
    ['require any(d.width > 1 m for d in every <|>)', 'hall, drum, big_drum, gate, sign, rivet'],
    ['require any(d.width > 1 m for d in every drum where <|>)', 'yes, no, every, d, air, total, a, twice, inch_wide'],
  ])('%s', (line, expected) => {
    expect(ofThese(inHall(line))).toBe(expected);
  });
});

describe('all that is proposed in a declaration, the best first', () => {
  test.each([
    [
      'kind k is drum {\n  <|>\n}\n',
      'headline, inside, toplevel, order, symbol, cores, lead, rung, shape, specified, alongside, terminated, expects, report, has, check, symptom, defect, shared, deprecated, width, mass, turns, mode, is_on, mate, others, half, rim',
    ],
    ['kind k is drum {\n  headline <|>\n}\n', 'width, mass, turns, mode, is_on, mate, others, half'],
    ['kind k is drum {\n  order <|>\n}\n', 'width, mass, turns, mode, is_on, mate, others, half'],
    [
      'kind k is drum {\n  w: Length {\n    <|>\n  }\n}\n',
      'source, assumes, shown, sizes, within, asked, varies, scatters, how, reads, protects, deprecated, where',
    ],
    ['kind k is drum {\n  w: Length {\n    shown <|>\n  }\n}\n', 'mm, m, in, ft, km, Mm, um, dam, dm, hm, cm'],
    ['kind k is drum {\n  w: Length {\n    source <|>\n  }\n}\n', 'defined, read, quoted, practice, recalled'],
    [
      'rule r on drum {\n  <|>\n}\n',
      'when, holds, error, warning, advice, caution, source, assumes, known, deprecated, at, remedy, follows',
    ],
    ['rule r on drum {\n  remedy <|>\n}\n', 'width, mass, turns, mode, is_on, mate, others, half, rim, rivet'],
    [
      'part p is drum {\n  <|>\n}\n',
      'width, mode, mass, mate, others, turns, is_on, rivet, require, accept, measured, no',
    ],
    ['table t(a: Length): Current {\n  <|>\n}\n', 'source, assumes, deprecated, interpolation, row'],
    ['table t(a: Length): Current {\n  interpolation <|>\n}\n', 'linear, logarithmic'],
  ])('%s', (text, expected) => {
    expect(proposed(own + text).join(', ')).toBe(expected);
  });
});

describe('in what order names of the file are proposed in a declaration, among the library’s', () => {
  test.each([
    ['kind k is <|>', 'hall, drum, big_drum, gate, sign, rivet'],
    ['kind k {\n  a: <|>\n}\n', 'Length, Mass, one of, list of, hall, drum, big_drum, gate, sign, rivet, k'],
    ['kind k {\n  a: Length default <|>\n}\n', 'twice, inch_wide, holder, if, not'],
    ['kind k is drum {\n  d: Length = <|>\n}\n', 'half, width, rim, twice, inch_wide, mate, rivet, holder, if, not'],
    ['kind k is drum {\n  has <|>\n}\n', 'hall, drum, big_drum, gate, sign, rivet, k'],
    ['kind k is drum {\n  w: Length {\n    sizes <|>\n  }\n}\n', 'drum_sizes'],
    ['rule r on <|>', 'hall, drum, big_drum, gate, sign, rivet'],
    [
      'rule r on drum {\n  holds <|>\n}\n',
      'yes, no, is_on, half, width, mass, turns, mode, rim, mate, others, rivet, air, twice, inch_wide, holder, if, not, self, name, part',
    ],
    ['rule r on drum {\n  holds width < <|>\n}\n', 'half, width, rim, mate, rivet, twice, inch_wide, holder, if, not'],
    [
      'rule r on drum {\n  at <|>\n}\n',
      'half, width, mass, turns, mode, is_on, mate, others, rim, rivet, air, twice, inch_wide, self, holder, name, part, if, not',
    ],
    [
      'rule r on drum {\n  remedy width = <|>\n}\n',
      '100 mm, 200 mm, half, width, rim, mate, rivet, twice, inch_wide, holder, if, not',
    ],
    ['rule r on drum {\n  follows <|>\n}\n', 'drum_wide, gate_low, r'],
    [
      'rule r on drum {\n  error "{<|>"\n}\n',
      'half, width, mass, turns, mode, is_on, mate, others, rim, rivet, air, twice, inch_wide, self, holder, name, part, if, not',
    ],
    ['part p is <|>', 'hall, drum, big_drum, gate, sign, rivet, small_drum, steel_gate'],
  ])('%s', (text, expected) => {
    expect(ofThese(own + text)).toBe(expected);
  });
});

test('at the top: what stands alone first, and every declaration', () => {
  expect(ofThese(`${own}<|>`)).toBe('hall, kind, part, rule, function, constant, table, sizes, use, rate');
});

describe('nothing is proposed', () => {
  test.each(['sign {\n    says = "a <|>"\n  }', '// a <|>', 'drum c {\n    turns = 3 <|>\n  }'])('%s', (line) => {
    expect(proposed(inHall(line))).toEqual([]);
  });
});

test('after a word in a block whose kind is not known stands what any block can start with', () => {
  expect(proposed(`${own}nothing N {\n  foo <|>\n}\n`).slice(0, 2)).toEqual(['is', '{']);
});

test('after two words at the top of a file stands what it starts from, and after more nothing does', () => {
  expect(proposed('machine Heron <|>')).toEqual(['is']);
  expect(proposed('a machine Heron <|>')).toEqual([]);
});

test('a key that stands at the cursor already is proposed for its own place, and for no other', () => {
  const key = (line: string) => proposed(`${own}hall H {\n  drum d {\n    ${line}\n  }\n}\n`);
  expect(key('wid<|>th = 100 mm')).toContain('width');
  expect(key('width = 100 mm\n    <|>')).not.toContain('width');
  const slot = (line: string) => proposed(`${own}kind yard {\n  toplevel\n  has drum {\n    ${line}\n  }\n}\n`);
  expect(slot('wid<|>th = 100 mm')).toContain('width');
  expect(slot('width = 100 mm\n    <|>')).not.toContain('width');
});

test('in a list of which nobody knows what it is for, anything can stand', () => {
  expect(proposed(`${own}hall H {\n  drum d\n  nothing = [<|>]\n}\n`)).toContain('d');
});

test('in a message a number that stands alone in its braces has a unit too', () => {
  expect(proposed(`${own}rule drum_off on drum {\n  holds width < 1 m\n  error "{1 <|>}"\n}\n`)).toContain('m');
});

test('in a block whose kind is not known values are proposed all the same', () => {
  expect(ofThese(`${own}nothing N {\n  foo = <|>\n}\n`)).toContain('inch_wide');
});
