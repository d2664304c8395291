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
  share: Ratio default 0.5 {
    within 0.2 .. 1
  }
  load: Energy default 1 J
  lean: TemperatureDifference default 0 K
  drop: Energy default -2 J
  spot: Temperature default 20 degC
  hum: Frequency default 1 Hz
  sag: Length = span ^ 2 * people / (1000 * plank)
}
rule sags on floor {
  holds sag <= 1 m
  error "{sag}"
  source defined "a test"
}
rule leans on floor {
  holds lean > -0.3 K and lean < 0.7 K
  error "{lean}"
  source defined "a test"
}
rule drops on floor {
  holds drop > -3 J and drop < -0.8 J
  error "{drop}"
  source defined "a test"
}
rule damp on floor {
  holds not (spot > 19.5 degC and spot < 19.8 degC)
  error "{spot}"
  source defined "a test"
}
rule hums on floor {
  holds not (hum > 1.3 Hz and hum < 1.5 Hz)
  error "{hum}"
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

  test('passes by the sizes one after another, the nearest first', () => {
    const { less } = told('plank', '  span = 2 m\n  plank = 40 mm\n');
    expect(less).toMatchObject({ last: { text: '20 mm' }, next: { text: '10 mm' } });
  });

  test('from nothing, and from below it, goes both ways', () => {
    expect(told('lean')).toMatchObject({
      less: { last: { text: '-0.299 K' }, next: { text: '-0.3 K', turns: ['leans fails'] } },
      more: { last: { text: '0.699 K' }, next: { text: '0.7 K', turns: ['leans fails'] } },
    });
    expect(told('drop')).toMatchObject({
      less: { last: { text: '-2.99 J' }, next: { text: '-3 J' } },
      more: { last: { text: '-0.801 J' }, next: { text: '-0.8 J' } },
    });
  });

  test('looks at what lies near: a temperature half a kelvin off, another number half a doubling off', () => {
    expect(told('spot').less.next?.turns).toEqual(['damp fails']);
    expect(told('hum').more.next?.turns).toEqual(['hums fails']);
  });

  test('is told of the machine that is asked about, and not of what it is made of', () => {
    const { project, file } = read(
      `${kinds}floor F {\n  span = 2 m\n  plank = 20 mm\n}\nfloor G is F { span = 3 m }\n`,
    );
    expect(around({ project, file, machine: 'G' }, 'span').shown).toBe('3 m');
  });

  test('tells as well what no longer fails', () => {
    const { less } = told('span', '  span = 3 m\n  plank = 20 mm\n');
    expect(less).toMatchObject({ last: { text: '2.24 m' }, next: { text: '2.23 m', turns: ['sags no longer fails'] } });
  });

  test('is as far as can be meant where nothing turns', () => {
    expect(told('share')).toMatchObject({ less: { last: { text: '20 %' } }, more: { last: { text: '1' } } });
    expect(aroundInWords(told('share'))).toBe('From 20 % to 1 no verdict changes.');
    // Twenty doublings: 2^20 J, and 1 J by as much.
    const { less, more } = told('load');
    expect([less.next, more.next]).toEqual([undefined, undefined]);
    expect(aroundInWords({ ...told('load'), less })).toMatch(/^From .* to .* no verdict changes\.$/);
    expect([less.last.text, more.last.text]).toEqual(['9.54e-7 J', '1.05 MJ']);
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

test('where it can go no way, that is said', () => {
  const last = { text: '2 m', shown: '2 m' };
  const edge = { last, next: { text: '3 m', shown: '3 m', turns: ['sags fails', 'bends fails'] } };
  expect(aroundInWords({ path: 'span', shown: '2 m', less: { last }, more: edge })).toBe(
    'At 2 m alone no verdict changes. At 3 m: sags fails and bends fails.',
  );
});
