import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

const told = (remedy: string) =>
  toldOf(`kind hall {
  toplevel
  width: Length default 1 m
  says: Text default "a"
  has lamp*
  has cellar?
  lamps: list of lamp = each(l for l in every lamp) {
    source defined "a test"
  }
}
kind lamp {
  power: Power default 1 W
}
kind torch is lamp {
  glow: Ratio default 50 %
}
kind cellar {
  depth: Length default 1 m
}
part bright is lamp {
  power = 10 W
}
rule r on hall {
  holds width > 2 m
  error "x"
  remedy ${remedy}
}
`).map(({ code, marks, message }) => `${code} [${marks}] ${message}`);

describe('a way out changes what is there', () => {
  test.each([
    'width',
    'width = 2 m',
    'cellar.depth = 2 m',
    'lamps.power = 2 W',
    // What only a kind has that starts from it may be changed where it is there.
    'lamps.glow = 60 %',
    '"make it {width} wide"',
    'self',
  ])('%s', (remedy) => expect(told(remedy)).toEqual([]));

  test.each([
    ['widht', 'unknown_value [widht] A hall has no value called widht.'],
    ['width = 2 W', 'wrong_dimension [2 W] Expected a length, this is a power.'],
    ['cellar.nothing = 2 m', 'unknown_value [nothing] A cellar has no value called nothing.'],
    ['cellar.depth = 2 W', 'wrong_dimension [2 W] Expected a length, this is a power.'],
    ['lamps.power = 2 m', 'wrong_dimension [2 m] Expected a power, this is a length.'],
    ['lamps.nothing = 2 m', 'unknown_value [nothing] A lamp has no value called nothing.'],
  ])('%s: %s', (remedy, message) => expect(told(remedy)).toEqual([message]));

  test('a text in it is looked at as any', () => {
    expect(told('"make it {widht} wide"')).toHaveLength(1);
  });
});
