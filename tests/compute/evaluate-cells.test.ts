import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import type { Cell } from '../../language/compute/cell.ts';
import { evaluateCell, stepsOfCell } from '../../language/compute/evaluate-cells.ts';
import { Formula, Unknown } from '../../language/values/value.ts';
import { findingsOf, machineIn, shown, undecidedOf } from '../support.ts';

const kinds = `/// Holds cells.
kind rack {
  toplevel
  /// Cells.
  has cell*
  total: Power = sum(c.load for c in every cell) {
    source defined "a question of a test"
  }
}
/// A cell.
kind cell {
  load: Power
  spare: Power?
  doubled: Power = both + load {
    where both = 2 * load
    source defined "a question of a test"
  }
  portion(share: Ratio): Power = part {
    where part = share * load
    source defined "a question of a test"
  }
}
`;

describe('the value of a cell', () => {
  const machine = machineIn(
    `${kinds}rack R {\n  cell a {\n    load = 4 W\n  }\n  cell b {\n    load = ?\n  }\n  cell c\n}\n`,
  );
  const value = (path: string) => {
    const cell = cellAt(path, machine);
    return cell && evaluateCell(cell, machine.engine);
  };

  test('is what its text comes to, with the steps of its formula', () => {
    expect(value('a.load')).toBe(4);
    expect(value('a.doubled')).toBe(12);
    const cell = cellAt('a.doubled', machine);
    expect(cell && stepsOfCell(cell, machine.engine)?.get('both')).toBe(8);
    const called = cellAt('a.portion(share: 0.5)', machine);
    expect(called && stepsOfCell(called, machine.engine)?.get('part')).toBe(2);
  });

  test('is a formula where it takes arguments', () => {
    const formula = value('a.portion');
    expect(formula).toBeInstanceOf(Formula);
    expect((formula as Formula).call(0.25)).toBe(1);
  });

  test('is not known where nothing is given, or a choice is open, and left out only where it may be', () => {
    for (const path of ['c.load', 'b.load']) expect(value(path)).toMatchObject({ absent: false });
    expect(value('c.spare')).toMatchObject({ absent: true });
    expect(value('c.load')).toBeInstanceOf(Unknown);
    // Of a part that is still open it is not known, unless it is said to be left out.
    const open = machineIn(`${kinds}rack R {\n  cell d is ?\n  cell e is ? {\n    no spare\n  }\n}\n`);
    const spare = (path: string) => evaluateCell(cellAt(path, open) as Cell, open.engine);
    expect([spare('d.spare'), spare('e.spare')]).toMatchObject([{ absent: false }, { absent: true }]);
    const bare = cellAt('c.load', machine);
    expect(bare && [stepsOfCell(bare, machine.engine)]).toEqual([undefined]);
  });
});

describe('a default that looks for something and finds nothing', () => {
  const missingOf = (line: string, more = '') => {
    const machine = machineIn(
      `${kinds.replace('  spare: Power?', `  spare: Power?\n  ${line}`)}${more}rack R {\n  cell a { load = 4 W }\n  ${more ? 'big' : 'cell'} b { load = 5 W }\n}\n`,
    );
    const cell = cellAt('b.found', machine);
    const value = cell && evaluateCell(cell, machine.engine);
    return value instanceof Unknown ? value.missing.map(({ name }) => name) : value;
  };
  const none = 'first(c.load for c in every cell where c.load > 9 W)';

  test('leaves the value to be given, but where it may be left out', () => {
    expect(missingOf(`found: Power default ${none}`)).toEqual(['found']);
    expect(missingOf(`found: Power? default ${none}`)).toEqual([]);
    expect(missingOf(`found: Power default ${none.replace('9 W', '3 W')}`)).toBe(4);
  });

  test('is to be said where it only passes on what nothing around says', () => {
    const around = `kind yard {\n  toplevel\n  shared yard_load: Power\n}\n`;
    const text = kinds.replace('  spare: Power?', '  spare: Power?\n  found: Power? default yard_load');
    const machine = machineIn(`${around}${text}rack R {\n  cell a { load = 4 W }\n}\n`);
    expect(evaluateCell(cellAt('a.found', machine) as Cell, machine.engine)).toMatchObject({
      missing: [{ name: 'found' }],
      absent: true,
    });
  });

  test('does so too where a kind says another default', () => {
    const big = (value: string) => `kind big is cell {\n  found: Power default ${value}\n}\n`;
    expect(missingOf('found: Power default 1 W', big(none))).toEqual(['found']);
    expect(missingOf('found: Power default 1 W', big('7 W'))).toBe(7);
  });

  test('tells what is missing where that is what it rests on', () => {
    expect(missingOf('found: Power default 2 * spare')).toEqual(['spare']);
  });
});

describe('what the checks found to be wrong', () => {
  const rule = `/// Not too much.
rule cell_heavy on cell {
  holds load <= 10 W
  error "{name} draws {load}"
  source defined "a test"
}
`;
  test.each(['12 K', '"much"', '12', 'wat', '3 W + 2 V'])('load = %s is not computed with', (value) => {
    const machine = machineIn(`${kinds}${rule}rack R {\n  cell a {\n    load = ${value}\n  }\n}\n`);
    expect(findingsOf(machine)).toEqual([]);
    expect(undecidedOf(machine)).toEqual(['cell_heavy: a.load has a mistake in it']);
    expect(shown(machine, 'total')).toBe('not known');
  });

  test('a good one beside it is', () => {
    const machine = machineIn(
      `${kinds}${rule}rack R {\n  cell a {\n    load = 12 K\n  }\n  cell b {\n    load = 12 W\n  }\n}\n`,
    );
    expect(findingsOf(machine)).toEqual(['cell_heavy: b draws 12 W']);
    expect(machine.assessment.held).toBe(0);
  });
});
