import { describe, expect, test } from 'vitest';
import { blockTableOf } from '../../language/answers/block-table.ts';
import { cellOf } from '../../language/compute/cell.ts';
import { machineIn } from '../support.ts';

const kinds = (shown = '') => `kind hall {
  toplevel
  has lamp*
  warm: Temperature default 20 degC
  lamps: list of lamp = each(l for l in every lamp) {
    ${shown}
  }
  widths: list of Length = [1 m]
}
kind lamp {
  power: Power
  life: Time?
  twice_life: Time = life * 2
  glow: Ratio = if warm > 25 degC then 50 % else 25 %
  says: Text default "falls to 20 V at once"
  headline power, life
  shared warm2: Temperature default 20 degC
}
kind torch is lamp {
}
part bright is lamp {
  power = 10 W
}
`;
const rows = (lines: string, shown = '', name = 'lamps') => {
  const machine = machineIn(
    `${kinds(shown).replace('glow: Ratio = if warm > 25 degC', 'glow: Ratio = if power > 9 W')}hall H {\n${lines}\n}\n`,
  );
  const found = blockTableOf(cellOf(machine.tree, name) as never, machine);
  return found && { heading: found.heading, rows: found.rows, missing: found.missing };
};

describe('a list of blocks as a table', () => {
  test('has their paths, and the values that are worth showing', () => {
    expect(rows('  lamp a {\n    power = 5 W\n  }\n  lamp b {\n    power = 6 W\n    life = 2 h\n  }')).toEqual({
      heading: ['', 'power', 'life'],
      rows: [
        ['a', '5 W', ''],
        ['b', '6 W', '2 h'],
      ],
      missing: [],
    });
  });

  test('what specifies each, what its base says first, so far as it is known', () => {
    const machine = machineIn(`kind hall {
  toplevel
  has lamp*
  lamps: list of lamp = each(l for l in every lamp) {
    shown brightness
  }
}
kind lamp {
  power: Power
  brightness: Ratio default 50 %
  specified power
}
kind torch is lamp {
  life_time: Time?
  specified life_time, power
}
hall H {
  lamp a { power = 5 W }
  torch b {
    power = 6 W
    life_time = 2 h
  }
  torch c
}
`);
    const table = blockTableOf(cellOf(machine.tree, 'lamps') as never, machine);
    expect(table?.heading).toEqual(['', 'is', 'with', 'brightness']);
    expect(table?.rows.map(([name, , told]) => [name, told])).toEqual([
      ['a', 'power 5 W'],
      ['b', 'power 6 W, life time 2 h'],
      ['c', ''],
    ]);
  });

  test('what has a column of its own is not told twice, and a list of nothing leaves its cell empty', () => {
    const machine = machineIn(`
kind hall {
  toplevel
  has lamp*
  lamps: list of lamp = each(l for l in every lamp) {
    shown power, notes
  }
}
kind lamp {
  power: Power
  life_time: Time default 3 h
  notes: list of Text = each("{power}" for l in [self] where power > 5 W)
  specified power, life_time
}
hall H {
  lamp a { power = 5 W }
  lamp b { power = 6 W }
}
`);
    const table = blockTableOf(cellOf(machine.tree, 'lamps') as never, machine);
    expect(table?.heading).toEqual(['', 'with', 'power', 'notes']);
    expect(table?.rows).toEqual([
      ['a', 'life time 3 h', '5 W', ''],
      ['b', 'life time 3 h', '6 W', '[6 W]'],
    ]);
  });

  test('what they start from, where that is more than the kind of the list', () => {
    expect(rows('  lamp a is bright\n  torch b {\n    power = 6 W\n  }')).toMatchObject({
      heading: ['', 'is', 'power'],
      rows: [
        ['a', 'bright', '10 W'],
        ['b', 'torch', '6 W'],
      ],
    });
  });

  test('what is not known is asked for, what may be left out is not', () => {
    expect(rows('  lamp a')).toEqual({ heading: ['', 'power'], rows: [['a', '?']], missing: ['a.power'] });
  });

  test('what is computed from what may be left out is left out with it', () => {
    expect(rows('  lamp a {\n    power = 5 W\n  }', 'shown power, twice_life')).toEqual({
      heading: ['', 'power'],
      rows: [['a', '5 W']],
      missing: [],
    });
    expect(rows('  lamp a {\n    life = 1 h\n  }', 'shown power, twice_life')).toEqual({
      heading: ['', 'power', 'twice_life'],
      rows: [['a', '?', '2 h']],
      missing: ['a.power'],
    });
  });

  test('the values that its declaration asks for, over all ends of ranges', () => {
    expect(rows('  lamp a {\n    power = 5 W .. 12 W\n  }', 'shown power, glow')).toMatchObject({
      heading: ['', 'power', 'glow'],
      rows: [['a', '5 to 12 W', '25 to 50 %']],
    });
  });

  test('texts that differ from one end to the other in one, what they share said once', () => {
    const says = (low: string, high: string) => {
      const machine = machineIn(
        `${kinds('shown says').replace('says: Text default "falls to 20 V at once"', `says: Text = if power > 9 W then "${high}" else "${low}"`)}hall H {\n  lamp a {\n    power = 5 W .. 12 W\n  }\n}\n`,
      );
      return blockTableOf(cellOf(machine.tree, 'lamps') as never, machine)?.rows;
    };
    expect(says('falls to 20 V at once', 'falls to 17 V at once')).toEqual([['a', 'falls to 20 or 17 V at once']]);
    expect(says('falls at once', 'falls')).toEqual([['a', 'falls at once']]);
    expect(says('nothing happens', 'it burns in a while')).toEqual([['a', 'nothing happens, or it burns in a while']]);
    expect(says('', 'it burns')).toEqual([['a', 'it burns']]);
    expect(says('it burns', 'it burns')).toEqual([['a', 'it burns']]);
  });

  test('of nothing is empty, and what lists no blocks is none', () => {
    expect(rows('')).toEqual({ heading: [], rows: [], missing: [] });
    expect(rows('', '', 'widths')).toBeUndefined();
    expect(rows('', '', 'warm')).toBeUndefined();
  });
});
