// What a value rests on that nobody has said or looked up.
import { expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { everyInputOf, softIn } from '../../language/answers/foundations.ts';
import { machineIn } from '../support.ts';

const kinds = `kind pot {
  toplevel
  height: Length default 100 mm {
    source practice "as pots are"
  }
  width: Length default 200 mm {
    source quoted "ISO 1"
  }
  wall: Length default 2 mm {
    source read "ISO 2"
    source recalled "and thinner ones"
  }
  given_wall: Length
  share: Ratio = height / width {
    source recalled "a rule of potters"
  }
  end: Ratio = share + wall / width + given_wall / width {
    source defined "their sum"
  }
}
`;
const machine = (lines: string) => machineIn(`${kinds}pot P {\n${lines}\n}\n`);
const soft = (lines: string) => {
  const one = machine(lines);
  return softIn(cellAt('end', one) as never, one).map(({ cell, source, byDefault }) => [
    cell.name,
    source.standing,
    byDefault,
  ]);
};

test('defaults of the trade and formulas from memory count, what was read or quoted does not', () => {
  expect(soft('  given_wall = 1 mm')).toEqual([
    ['share', 'recalled', false],
    ['height', 'practice', true],
  ]);
});

test('what was said is no default any more', () => {
  expect(soft('  given_wall = 1 mm\n  height = 90 mm')).toEqual([['share', 'recalled', false]]);
});

test('all that a value is computed from is found, however far, and itself first', () => {
  const one = machine('  given_wall = 1 mm');
  const names = [...everyInputOf(cellAt('end', one) as never, one)].map(({ name }) => name);
  expect(names[0]).toBe('end');
  expect(names.toSorted()).toEqual(['end', 'given_wall', 'height', 'share', 'wall', 'width']);
});
