import { expect, test } from 'vitest';
import { InfluenceError, influences, weakestSources } from '../../language/explore/influence.ts';
import { bench, read } from '../support.ts';

const text = `kind shelf {
  toplevel
  /// What lies on it.
  load: Mass
  /// What lies beside.
  more: Mass default 2 kg
  /// Nothing hangs on it.
  idle: Mass default 1 kg
  /// How warm it is.
  spot: Temperature default 20 degC
  /// Both, one twice.
  total: Mass = 2 * load + more - 0.1 kg/K * (spot - 0 degC) {
    source defined "their sum"
  }
  /// Its name.
  word: Text default "left"
}
shelf left {
  load = 1 kg .. 3 kg
  more = 4 kg { varies 25 % }
  spot = 20 degC { varies 5 K }
}
`;
const of = (path: string, share = 0) => influences({ ...read(text), machine: 'left' }, path, share);

test('each input alone, over its range or its tolerance, what moves it most first', () => {
  expect(of('total').map(({ path, by, from, to, atFrom, atTo }) => [path, by, from, to, atFrom, atTo])).toEqual([
    ['load', 'range', '1 kg', '3 kg', '4 kg', '8 kg'],
    ['more', 'tolerance', '3 kg', '5 kg', '5 kg', '7 kg'],
    ['spot', 'tolerance', '15 °C', '25 °C', '6.5 kg', '5.5 kg'],
  ]);
  expect(of('total').map(({ moved }) => Number(moved.toFixed(9)))).toEqual([4, 2, -1]);
});

test('both ends of what is moved, and of what comes of it, are told in one unit', () => {
  const light = `kind shelf {
  toplevel
  load: Mass {
    shown g, kg
  }
  total: Mass = 2 * load {
    shown g, kg
  }
}
shelf left {
  load = 100 g .. 1 kg
}
`;
  const [load] = influences({ ...read(light), machine: 'left' }, 'total', 0);
  expect(load && [load.from, load.to, load.atFrom, load.atTo]).toEqual(['0.1 kg', '1 kg', '0.2 kg', '2 kg']);
});

test('every other number that is given by a share, but no point of temperature', () => {
  const plain = text.replace(' { varies 25 % }', '').replace(' { varies 5 K }', '');
  const found = influences({ ...read(plain), machine: 'left' }, 'total', 0.05);
  expect(found.map(({ path, by, moved }) => [path, by, Number(moved.toFixed(9))])).toEqual([
    ['load', 'range', 4],
    ['more', 'share', 0.4],
  ]);
});

test('of a value with arguments, through blocks and questions', () => {
  const found = influences({ ...read(bench), machine: 'Bench' }, 'bed.warm_up(to: 60 degC)', 0.01);
  const paths = found.map(({ path }) => path);
  expect(paths).toContain('bed.heater.power');
  // More power, and it is warm the sooner.
  expect(found.find(({ path }) => path === 'bed.heater.power')?.moved).toBeLessThan(0);
  expect(paths).not.toContain('bed.target');
  // Of a part that is pointed at, its name and the value's.
  expect(paths).toContain('cast_aluminium.specific_heat');
});

test('what is no number, or not there, is told', () => {
  expect(() => of('word')).toThrow(InfluenceError);
  expect(() => of('word')).toThrow('word is no number that is known');
  expect(() => of('totl')).toThrow('left has no value totl');
});

const pots = (lines = '') => `kind pot {
  toplevel
  wall: Length default 2 mm {
    source practice "as pots are"
  }
  shine: Ratio default 95 % {
    source recalled "glazed clay"
    within 0 .. 1
  }
  width: Length default 100 mm {
    source read "ISO 1"
  }
  word: Text default "pot"
  glaze: Length default 1 mm {
    source recalled "glazes"
  }
  /// The wall moves it more, and is read last.
  rim: Length = 2 * glaze + wall * 3 {
    source recalled "rims"
  }
  height: Length = width + 10 * wall * shine {
    source defined "their sum"
  }
  plain: Length = 2 * width {
    source defined "twice"
  }
}
pot left {
${lines}
}
`;
const weakest = (lines: string, ...paths: string[]) =>
  weakestSources({ ...read(pots(lines)), machine: 'left' }, paths, 0.2).map(({ path, most, source, others }) => [
    path,
    most.path,
    source.standing,
    most.atFrom,
    most.atTo,
    others,
  ]);

test('the weakest source of a value is the default from memory or practice that moves it most, as far as it can be meant', () => {
  // By hand: 100 mm + 10 * 2 mm * 0.95 = 119 mm; a wall of 1.6 to 2.4 mm makes 115.2 to 122.8 mm, a shine of 0.76 to 1 only 115.2 to 120 mm.
  expect(weakest('', 'height', 'plain', 'word', 'nothing')).toEqual([
    ['height', 'wall', 'practice', '115 mm', '123 mm', 1],
  ]);
});

test('what is said is no longer the weakest, and where all is said nothing is', () => {
  expect(weakest('  wall = 2 mm', 'height')).toEqual([['height', 'shine', 'recalled', '115 mm', '120 mm', 0]]);
  expect(weakest('  wall = 2 mm\n  shine = 90 %', 'height')).toEqual([]);
});

test('what moves a value most stands first whatever is read first, with its own source', () => {
  // By hand: 2 * 1 mm + 3 * 2 mm; a fifth of the glaze is 0.4 mm each way, of the wall 1.2 mm.
  expect(weakest('', 'rim')).toEqual([['rim', 'wall', 'practice', '6.8 mm', '9.2 mm', 1]]);
});

const yard = `kind yard {
  toplevel
  wide: Length
  deep: Length
  high: Length default 1 m
  /// No more than a metre of it counts.
  cap: Length default 3 m
  full: Ratio default 98 % {
    within 0.96 .. 1
  }
  price: Money default 5 EUR
  empty: Length default 0 m
  /// Each is read before what moves it more.
  volume: Volume = min(cap, 1 m) * 0.1 m ^ 2 + high * 1 m^2 + wide * deep * 1 m + empty * 1 m^2 {
    source defined "a test"
  }
  cost: Money = price + 2 EUR/m * wide {
    source defined "a test"
  }
  filled: Volume = full * 1 m^3 {
    source defined "a test"
  }
}
yard one {
  wide = 1 m .. 4 m
  deep = 2 m .. 6 m { varies 50 % }
  high = 1 m { varies 10 % }
}
yard two is one {
  wide = 1 m .. 2 m
}
`;
const inYard = (path: string, share: number, machine = 'one') =>
  influences({ ...read(yard), machine }, path, share).map(({ path: input, by, moved }) => [
    input,
    by,
    Number(moved.toFixed(9)),
  ]);

test('the others stand in their middle meanwhile, each is told once, and what moves nothing is not told', () => {
  // By hand: (4 - 1) * 4, (6 - 2) * 2.5 and 1.1 - 0.9; what has a range or a tolerance is not taken by a share besides.
  expect(inYard('volume', 0.05)).toEqual([
    ['wide', 'range', 12],
    ['deep', 'range', 10],
    ['high', 'tolerance', 0.2],
  ]);
  expect(inYard('volume', 0.05, 'two')[0]).toEqual(['deep', 'range', 6]);
});

test('money is moved, and is no number to be taken by a share; a share ends where nothing more can be meant', () => {
  expect(inYard('cost', 0.05)).toEqual([['wide', 'range', 6]]);
  expect(inYard('filled', 0.05)).toEqual([['full', 'share', 0.04]]);
});

test('of a machine that is not there, and of what is no number, there is no weakest source', () => {
  expect(weakest('', 'word')).toEqual([]);
  expect(weakestSources({ ...read(pots('')), machine: 'right' }, ['height'], 0.2)).toEqual([]);
  const two = `${pots('')}pot right is left { wall = 2 mm }\n`;
  const ofRight = weakestSources({ ...read(two), machine: 'right' }, ['height'], 0.2);
  expect(ofRight.map(({ most }) => most.path)).toEqual(['shine']);
});

test('an input that is not known moves nothing, and neither does a word, though it is given', () => {
  const odd = `kind shelf {
  toplevel
  load: Mass default 2 kg
  odd: Mass? default other
  other: Mass?
  of: one of oak, fir default oak
  price: Price default 3 EUR
  total: Mass = load + (odd otherwise 1 kg) + (if of == oak then 1 kg else 0 kg) + price / 1 EUR * 1 kg
}
shelf left {
}
`;
  const found = influences({ ...read(odd), machine: 'left' }, 'total', 0.1);
  expect(found.map(({ path, by, moved }) => [path, by, Number(moved.toFixed(9))])).toEqual([['load', 'share', 0.4]]);
});
