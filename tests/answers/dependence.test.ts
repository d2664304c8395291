import { expect, test } from 'vitest';
import { whatRestsOn } from '../../language/answers/dependence.ts';
import { cellAt } from '../../language/answers/derivation.ts';
import type { Cell } from '../../language/compute/cell.ts';
import { pathOfCell } from '../../language/compute/show-cell.ts';
import { machineIn } from '../support.ts';

const text = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  half: Length = width / 2
  quarter: Length = half / 2
  rim(share: Ratio): Length = width * share
  bright: Power = sum(l.power for l in every lamp)
  edge: Length = rim(share: 0.1)
}
kind lamp {
  power: Power
}
rule narrow on hall {
  holds width > 1 m
  warning "narrow"
}
rule dim on hall {
  holds bright > 100 W
  warning "dim"
}
hall H {
  lamp a {
    power = 5 W
  }
  require width < 9 m
}
`;
const machine = machineIn(text);
const on = (path: string) =>
  whatRestsOn(cellAt(path, machine) as Cell, machine).map((each) => {
    if (each.is === 'value') return pathOfCell(each.cell, machine);
    return each.is === 'rule' ? `rule ${each.rule.name}` : `require ${each.requirement.text}`;
  });

test('values, rules and requirements that read a value, and not what reads these', () => {
  expect(on('width')).toEqual(['half', 'rim(share: 10 %)', 'rule narrow', 'require width < 9 m']);
  expect(on('half')).toEqual(['quarter']);
  expect(on('rim(share: 0.1)')).toEqual(['edge']);
  expect(on('quarter')).toEqual([]);
});

test('what goes through blocks reads the values of each', () => {
  expect(on('a.power')).toEqual(['bright']);
  expect(on('bright')).toEqual(['rule dim']);
});
