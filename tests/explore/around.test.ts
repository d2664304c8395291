import { describe, expect, test } from 'vitest';
import { AroundError, around, aroundInWords } from '../../language/explore/around.ts';
import { read } from '../support.ts';

const kinds = `sizes planks: Length = [10 mm, 20 mm, 30 mm, 40 mm]
kind floor {
  toplevel
  span: Length {
    within 1 mm .. 100 m
  }
  plank: Length {
    sizes planks
  }
  people: Count default 4
  air: Temperature default 20 degC
  share: Ratio default 0.5
  sag: Length = span ^ 2 * people / (1000 * plank)
}
rule sags on floor {
  holds sag <= 1 m
  error "{sag}"
  source defined "a test"
}
rule cold on floor {
  holds air > 15 degC
  warning "{air}"
  source defined "a test"
}
rule narrow on floor {
  holds span > 0.5 m
  warning "{span}"
  source defined "a test"
}
rule thick on floor {
  holds plank < 35 mm
  advice "{plank}"
  source defined "a test"
}
`;

function told(path: string, floor = '  span = 2 m\n  plank = 20 mm\n') {
  const { project, file } = read(`${kinds}floor F {\n${floor}}\n`);
  return around({ project, file, machine: 'F' }, path);
}

describe('how far a number can go', () => {
  test('is where a rule turns, told in three digits so that nothing turns there', () => {
    // 2.2360679… m is the root of 20 m^2 / 4, and 0.5 m may not be.
    expect(told('span')).toEqual({
      path: 'span',
      shown: '2 m',
      less: {
        last: { text: '501 mm', shown: '501 mm' },
        next: { text: '500 mm', shown: '500 mm', turns: ['narrow fails'] },
      },
      more: {
        last: { text: '2.23 m', shown: '2.23 m' },
        next: { text: '2.24 m', shown: '2.24 m', turns: ['sags fails'] },
      },
    });
  });

  test('goes by standard sizes where there are some, and only advice turns nothing', () => {
    expect(told('plank')).toMatchObject({
      less: { last: { text: '20 mm' }, next: { text: '10 mm', turns: ['sags fails'] } },
      more: { last: { text: '40 mm' } },
    });
    expect(told('plank').more.next).toBeUndefined();
  });

  test('goes by whole numbers where it counts, and by degrees of a temperature', () => {
    expect(told('people')).toMatchObject({ more: { last: { text: '5' }, next: { text: '6', turns: ['sags fails'] } } });
    expect(told('air').less).toMatchObject({
      last: { text: '15.1 degC' },
      next: { text: '15 degC', turns: ['cold fails'] },
    });
  });

  test('tells as well what no longer fails', () => {
    const { less } = told('span', '  span = 3 m\n  plank = 20 mm\n');
    expect(less).toMatchObject({ last: { text: '2.24 m' }, next: { text: '2.23 m', turns: ['sags no longer fails'] } });
  });

  test('is as far as can be meant where nothing turns', () => {
    const { less, more } = told('share');
    expect([less.next, more.next]).toEqual([undefined, undefined]);
    expect(aroundInWords(told('share'))).toMatch(/^From .* to .* no verdict changes\.$/);
  });

  test('is not told of ranges, of what is computed, and of what is not there', () => {
    const range = '  span = 1 m .. 2 m\n  plank = 20 mm\n';
    expect(() => told('span', range)).toThrow(AroundError);
    expect(() => told('sag')).toThrow('F has no number sag that is given, or taken by default, as one and no range');
    expect(() => told('roof')).toThrow(AroundError);
  });
});

test('in words', () => {
  expect(aroundInWords(told('span'))).toBe(
    'From 501 mm to 2.23 m no verdict changes. At 500 mm: narrow fails. At 2.24 m: sags fails.',
  );
});
