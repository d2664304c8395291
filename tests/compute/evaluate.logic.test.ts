import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { Fault, Unknown } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

/** A machine that computes one formula; `u` is not known, `f` is faulty, `o` was left out, `n` is needed and not given. */
const asking = (formula: string, type = 'YesNo') => `machine M {
  ambient = 20 degC
  asker {
  }
}
kind asker {
  inside machine
  y: YesNo = yes
  f: YesNo = 1 / 0 > 1
  n: YesNo
  o: YesNo?
  u: YesNo = not n
  asked: ${type} = ${formula}
}
`;

const names: Readonly<Record<string, string>> = {
  yes: 'y',
  no: '(not y)',
  'not known': 'u',
  faulty: 'f',
  known: 'y',
  'left out': 'o',
  'not given, but needed': 'n',
  'not known, since something it is computed from is not given': 'u',
};

function comesTo(formula: string): string {
  const machine = machineIn(asking(formula));
  const cell = cellAt('asker.asked', machine);
  const value = cell && machine.engine.value(cell);
  if (value instanceof Fault) return 'faulty';
  if (value instanceof Unknown) return 'not known';
  return value === true ? 'yes' : 'no';
}

/** The rows of the language page's table that begins with a heading. */
function rowsUnder(heading: string): string[][] {
  const page = readFileSync(new URL('../../language/manual/language.md', import.meta.url), 'utf8');
  const lines = page.split('\n');
  const start = lines.indexOf(heading) + 2;
  const end = lines.findIndex((line, i) => i >= start && !line.startsWith('|'));
  return lines.slice(start, end).map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
}

describe('what is not known, left out or faulty makes of a condition what the language page says', () => {
  const junctions = rowsUnder('| `A` | `B` | `A and B` | `A or B` | `not A` |');
  const fallbacks = rowsUnder('| `A` | `A otherwise B` | `given(A)` |');

  test('the tables are there', () => {
    expect([junctions.length, fallbacks.length]).toEqual([8, 5]);
  });

  test.each(junctions)('A %s, B %s: and %s, or %s, not %s', (a = '', b = '', and, or, not) => {
    const [left, right] = [names[a], names[b]];
    expect(comesTo(`${left} and ${right}`)).toBe(and);
    expect(comesTo(`${left} or ${right}`)).toBe(or);
    expect(comesTo(`not ${left}`)).toBe(not);
    // The order of the two sides changes nothing.
    expect(comesTo(`${right} and ${left}`)).toBe(and);
    expect(comesTo(`${right} or ${left}`)).toBe(or);
  });

  test.each(fallbacks)('A %s: otherwise %s, given %s', (a = '', otherwise, given) => {
    const expected = otherwise === 'A' ? 'yes' : otherwise === 'B' ? 'no' : otherwise;
    expect(comesTo(`${names[a]} otherwise no`)).toBe(expected);
    expect(comesTo(`given(${names[a]})`)).toBe(given);
  });
});

describe('what is asked of blocks that are not wholly known', () => {
  const lit = (lamp: string, formula: string, type = 'YesNo') => {
    const machine = machineIn(`/// Holds lamps.
kind stand {
  toplevel
  has lamp?
  asked: ${type} = ${formula} {
    source defined "a question of a test"
  }
  power: Power = lamp.power + lamp.loss {
    source defined "a question of a test"
  }
}
/// A lamp.
kind lamp {
  power: Power
  loss: Power
  colour: Text?
}
stand S {
  ${lamp}
}
`);
    const cell = cellAt('asked', machine);
    return cell && machine.engine.value(cell);
  };

  test('a part that is still to be chosen may bring what is not given yet', () => {
    expect(lit('lamp', 'given(lamp.colour)')).toBe(false);
    expect(lit('lamp is ?', 'given(lamp.colour)')).toBeInstanceOf(Unknown);
  });

  test('what is computed is given, though what it needs is not: even what has its name', () => {
    expect(lit('lamp', 'given(lamp.power)')).toBe(false);
    expect(lit('lamp', 'given(power)')).toBe(true);
  });

  test('a count of those that a faulty condition asks for is faulty', () => {
    expect(
      lit('lamp {\n power = 1 W\n }', 'count(l for l in every lamp where l.power / 0 W > 1)', 'Count'),
    ).toBeInstanceOf(Fault);
  });
});
