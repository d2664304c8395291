import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn, shown, toldOf } from '../support.ts';

/** A shelf of crates: what some weigh is not given, so that the sum lies between bounds. */
function shelf(condition: string, { known = '4 kg', beside = '' } = {}): string {
  return `/// Holds crates.
kind shelf {
  toplevel
  has crate*
  /// What it holds.
  load: Mass = sum(b.mass for b in every crate) {
    source defined "a test"
  }
  /// Crates of more than 3 kg.
  heavy: Count = count(b for b in every crate where b.mass > 3 kg) {
    source defined "a test"
  }
  /// A value that is known.
  own: Mass default 2 kg
  /// What is asked.
  answer: ${condition} {
    source defined "a test"
  }
}
/// A crate.
kind crate {
  mass: Mass
}
${beside}
shelf S {
  crate a {
    mass = ${known}
  }
  crate b {
  }
}
`;
}

const answer = (type: string, formula: string) => {
  const text = shelf(`${type} = ${formula}`);
  expect(toldOf(text).filter(({ severity }) => severity !== 'note')).toEqual([]);
  return shown(machineIn(text), 'answer');
};

test('a sum of which a part is not known is at least the rest, a count lies between two bounds', () => {
  expect(answer('Mass', 'load')).toBe('at least 4 kg');
  expect(answer('Count', 'heavy')).toBe('at least 1, at most 2');
});

describe('arithmetic keeps what is known of them', () => {
  test.each([
    ['Mass', 'load + own', 'at least 6 kg'],
    ['Mass', 'own + load', 'at least 6 kg'],
    ['Mass', 'load - own', 'at least 2 kg'],
    // What is subtracted may be any more: nothing is known from below.
    ['Mass', 'own - load', 'at most -2 kg'],
    ['Mass', 'load * 3', 'at least 12 kg'],
    ['Mass', '3 * load', 'at least 12 kg'],
    ['Mass', 'load / 2', 'at least 2 kg'],
    ['Count', 'heavy + 1', 'at least 2, at most 3'],
    ['Count', '5 - heavy', 'at least 3, at most 4'],
    ['Count', 'heavy - heavy', 'at least -1, at most 1'],
    ['Count', '2 * heavy', 'at least 2, at most 4'],
    // A bound scaled by what is negative would turn round: nothing is said of it.
    ['Count', 'heavy * -1', 'not known'],
    ['Count', '-1 * heavy', 'not known'],
    ['Count', 'heavy / -1', 'not known'],
    ['Count', '1 / heavy', 'not known'],
    ['Count', 'heavy * heavy', 'not known'],
    ['Count', 'heavy ^ 2', 'not known'],
    // Which of two is the least is known only where the bounds decide it.
    ['Mass', 'min(load, 3 kg)', '3 kg'],
    ['Mass', 'min(load, 5 kg)', 'not known'],
    ['Mass', 'min(5 kg, load)', 'not known'],
    ['Mass', 'max(load, 3 kg)', 'at least 4 kg'],
    ['Mass', 'max(5 kg, load)', 'not known'],
  ])('%s: %s is %s', (type, formula, expected) => expect(answer(type, formula)).toBe(expected));
});

describe('a comparison is decided only where both bounds decide it', () => {
  test.each([
    ['load > 3 kg', 'yes'],
    ['load >= 4 kg', 'yes'],
    ['load > 4 kg', 'not known'],
    ['load < 4 kg', 'no'],
    ['load <= 4 kg', 'not known'],
    ['load <= 3 kg', 'no'],
    ['load < 9 kg', 'not known'],
    ['3 kg < load', 'yes'],
    ['3 kg > load', 'no'],
    ['heavy <= 2', 'yes'],
    ['heavy < 2', 'not known'],
    ['heavy < 3', 'yes'],
    ['heavy >= 1', 'yes'],
    ['heavy > 1', 'not known'],
    ['heavy > 2', 'no'],
    ['heavy >= 3', 'no'],
    ['heavy == 1', 'not known'],
    ['heavy != 2', 'not known'],
    ['heavy == 5', 'no'],
    ['heavy != 5', 'yes'],
    ['heavy == 0', 'no'],
    ['load == 3 kg', 'no'],
    ['load == 9 kg', 'not known'],
  ])('%s: %s', (formula, expected) => expect(answer('YesNo', formula)).toBe(expected));
});

describe('a rule over a sum that is partly unknown', () => {
  const rule = (holds: string) => `/// Bears it.
rule shelf_bends on shelf {
  holds ${holds}
  error "{name} holds {load}"
  source defined "a test"
}
`;
  const judged = (holds: string, known?: string) =>
    machineIn(shelf('Mass = own', { known, beside: rule(holds) })).assessment;

  test('is broken where what is known breaks it alone', () => {
    const machine = machineIn(shelf('Mass = own', { known: '12 kg', beside: rule('load <= 10 kg') }));
    expect(findingsOf(machine)).toEqual(['shelf_bends: S holds at least 12 kg']);
  });

  test('is undecided where what is missing could break it, and names what is missing', () => {
    const { undecided, findings, held } = judged('load <= 10 kg');
    expect(findings).toEqual([]);
    expect(held).toBe(0);
    expect(undecided.map(({ rule: name, missing }) => [name, missing])).toEqual([['shelf_bends', ['b.mass']]]);
  });

  test('holds where nothing that is missing could break it', () => {
    expect(judged('load >= 4 kg').held).toBe(1);
  });
});

test('how far a requirement is from failing is told of the bound that fails first', () => {
  const margin = (condition: string) => {
    const text = shelf('Mass = own').replace('shelf S {', `shelf S {\n  require ${condition}`);
    return machineIn(text).assessment.requirements[0]?.margin?.amount;
  };
  // At least 4 kg: the least that the limit can be, and the least that the value can be.
  expect(margin('own <= load')).toBeCloseTo(0.5, 9);
  expect(margin('load >= own')).toBeCloseTo(1, 9);
});

describe('blocks that stand for several, each with bounds of its own', () => {
  const racks = (count: number) => `/// Holds racks.
kind store {
  toplevel
  has rack*
  /// What all hold.
  load: Mass = sum(r.load for r in every rack) {
    source defined "a test"
  }
}
/// Holds crates.
kind rack {
  has crate*
  /// What it holds.
  load: Mass = sum(b.mass for b in every crate of self) {
    source defined "a test"
  }
}
/// A crate.
kind crate {
  mass: Mass
}
store S {
  rack r * ${count} {
    crate a {
      mass = 4 kg
    }
    crate b {
    }
  }
}
`;
  test.each([
    [1, 'at least 4 kg'],
    [3, 'at least 12 kg'],
  ])('%i of at least 4 kg: %s', (count, expected) => expect(shown(machineIn(racks(count)), 'load')).toBe(expected));
});
