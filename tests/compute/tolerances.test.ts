import { describe, expect, test } from 'vitest';
import { tolerancesIn } from '../../language/compute/tolerances.ts';
import { machineIn, mistakesIn } from '../support.ts';

const text = (body: string) => `kind rod {
  toplevel
  /// How long.
  length: Length
  /// What it resists.
  resistance: Resistance default 10 ohm {
    varies 10 %
  }
  /// How warm.
  spot: Temperature default 20 degC
  /// How often.
  turns: Count default 3
  /// Its word.
  word: Text default "x"
  /// What it comes to.
  twice: Length = 2 m {
    varies 5 %
  }
}
rod r {
  ${body}
}
`;
const found = (body: string) =>
  tolerancesIn(machineIn(text(body))).map(({ cell, low, high }) => [
    cell.name,
    Number(low.toFixed(9)),
    Number(high.toFixed(9)),
  ]);
const kinds = ['resistance', 9, 11];

describe('a tolerance', () => {
  test('is a share of the value, an amount, or what its kind says', () => {
    expect(found('length = 2 m { varies 5 % }')).toEqual([['length', 1.9, 2.1], kinds]);
    expect(found('length = 2 m { varies 3 mm }')).toEqual([['length', 1.997, 2.003], kinds]);
    expect(found('spot = 20 degC { varies 5 K }')).toEqual([kinds, ['spot', 288.15, 298.15]]);
    expect(found('resistance = 20 ohm { varies 1 % }')).toEqual([['resistance', 19.8, 20.2]]);
    expect(found('length = 2 m { varies 2 * 1 mm }')).toEqual([['length', 1.998, 2.002], kinds]);
    expect(found('length = 2 m { varies 0.05 }')).toEqual([['length', 1.9, 2.1], kinds]);
    expect(found('resistance = 20 ohm')).toEqual([['resistance', 18, 22]]);
  });

  test('scatters evenly, or as it says', () => {
    const scatterOf = (body: string) => tolerancesIn(machineIn(text(body))).map(({ scatter }) => scatter);
    expect(scatterOf('length = 2 m { varies 5 % }')).toEqual(['uniform', 'uniform']);
    expect(scatterOf('length = 2 m {\n    varies 5 %\n    scatters normal\n  }')).toEqual(['normal', 'uniform']);
    expect(scatterOf('length = 2 m {\n    varies 5 %\n    scatters triangular\n  }')).toEqual([
      'triangular',
      'uniform',
    ]);
    expect(scatterOf('length = 2 m {\n    scatters normal\n  }')).toEqual(['uniform']);
    expect(mistakesIn(text('length = 2 m {\n    varies 5 %\n    scatters widely\n  }'))).toEqual([
      '23: Expected one of uniform, normal and triangular; widely is none of them.',
    ]);
  });

  test('of what is not given there is none', () => {
    expect(found('length = ? { varies 5 % }')).toEqual([kinds]);
    expect(found('length = ? { varies 3 mm }')).toEqual([kinds]);
    expect(found('')).toEqual([kinds]);
    expect(found('resistance = 20 ohm { varies 0 % }')).toEqual([]);
    const { tree } = machineIn(text('length = 2 m'));
    expect(tree.name).toBe('r');
  });

  test('changes nothing of what is computed, and reads without a mistake', () => {
    expect(mistakesIn(text('length = 2 m { varies 5 % }'))).toEqual([]);
  });

  test('is of the quantity of its value', () => {
    expect(mistakesIn(text('length = 2 m { varies 5 W }'))).toEqual(['21: Expected a length, this is a power.']);
    expect(mistakesIn(text('length = 2 m\n  spot = 20 degC { varies 5 % }'))).toEqual([
      '22: Expected a temperature difference, this is a ratio: multiply by a temperature difference?',
    ]);
    expect(mistakesIn(text('length = 2 m\n  word = "y" { varies 5 % }'))).toMatchObject([
      expect.stringContaining('22: '),
    ]);
  });
});
