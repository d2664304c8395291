import { describe, expect, test } from 'vitest';
import { loopCurrents, loopVoltages } from '../../language/numerics/network.ts';
import { Fault, Formula, Unknown, type Value } from '../../language/values/value.ts';

const unknown = new Unknown([]);

interface Circuit {
  readonly volts: Value;
  readonly out: readonly string[];
  readonly back?: readonly string[];
  readonly paired?: boolean;
  readonly load: string;
  readonly ohms?: Value;
  readonly watts?: Value;
  readonly source?: string;
  readonly perAmpere?: Value;
  readonly joins?: number;
}

/** Ohms of some elements. */
const ohms: Record<string, Value> = {
  one: 1,
  two: 2,
  half: 0.5,
  wire: 1,
  none: 0,
  secret: unknown,
  lost: new Fault('lost'),
};
const resistance = new Formula('resistance', (of) => ohms[of as string] ?? 0);

function currents(circuits: readonly Circuit[], { on, atMost = false }: { on?: boolean[][]; atMost?: boolean } = {}) {
  const of = (value: (c: Circuit) => Value) => circuits.map(value);
  return loopCurrents(
    of((c) => c.volts),
    of((c) => c.out),
    of((c) => c.back ?? []),
    of((c) => c.paired ?? false),
    resistance,
    of((c) => c.load),
    of((c) => c.ohms ?? 0),
    of((c) => c.watts ?? 0),
    of((c) => c.source ?? 'mains'),
    of((c) => c.perAmpere ?? 0),
    on ?? [circuits.map(() => true)],
    atMost,
    of((c) => c.joins ?? 0),
  ) as Value[][];
}

const near = (rows: readonly Value[] | undefined, ...expected: number[]) => {
  expect(rows).toHaveLength(expected.length);
  for (const [k, amperes] of expected.entries()) expect(rows?.[k]).toBeCloseTo(amperes, 9);
};

// Kirchhoff's laws, solved by hand.
describe('currents', () => {
  test('of one circuit: U / (R + R_load)', () => {
    near(currents([{ volts: 10, out: ['wire'], load: 'a', ohms: 4 }])[0], 2);
    near(currents([{ volts: 10, out: ['wire'], back: ['two'], load: 'a', ohms: 7 }])[0], 1);
    // The same conductor out and back, and its second one.
    near(currents([{ volts: 10, out: ['two'], back: ['two'], load: 'a', ohms: 6 }])[0], 1);
    near(currents([{ volts: 10, out: ['two'], back: ['two'], paired: true, load: 'a', ohms: 6 }])[0], 1);
  });

  test('of two that share a wire: it carries both', () => {
    const both = [
      { volts: 10, out: ['wire'], load: 'a', ohms: 4 },
      { volts: 10, out: ['wire'], load: 'b', ohms: 4 },
    ];
    near(currents(both)[0], 5 / 3, 5 / 3);
    // One off: it has no current, and the other has the wire for itself.
    near(currents(both, { on: [[true, false]] })[0], 2, 0);
    expect(
      currents(both, {
        on: [
          [true, true],
          [false, true],
          [false, false],
        ],
      }),
    ).toHaveLength(3);
    near(
      currents(both, {
        on: [
          [false, true],
          [false, false],
        ],
      })[1],
      0,
      0,
    );
    // At most: what each would draw alone.
    near(currents(both, { atMost: true })[0], 2, 2);
  });

  test('of two that share a second conductor, and a plain one beside it', () => {
    const paired = (load: string): Circuit => ({
      volts: 10,
      out: ['wire'],
      back: ['wire'],
      paired: true,
      load,
      ohms: 4,
    });
    // U = 4 I + 2 * 2 I
    near(currents([paired('a'), paired('b')])[0], 1.25, 1.25);
  });

  test('a second conductor is shared by no current that flows through the first', () => {
    const [row] = currents([
      { volts: 10, out: ['wire'], back: ['wire'], paired: true, load: 'a', ohms: 3 },
      { volts: 10, out: ['wire'], load: 'b', ohms: 3 },
      { volts: 10, out: ['two'], back: ['wire'], load: 'c', ohms: 3 },
    ]);
    // 5 I + J + K = 10, I + 4 J + K = 10, I + J + 6 K = 10
    near(row, 150 / 107, 200 / 107, 120 / 107);
  });

  test('of a load that takes its power: the smaller root of U I - R I^2 = P', () => {
    near(currents([{ volts: 10, out: ['wire'], load: 'a', watts: 16 }])[0], 2);
    near(currents([{ volts: 10, out: ['none'], load: 'a', watts: 16 }])[0], 1.6);
    // No more than U^2 / (4 R) = 25 W can arrive.
    const [[most]] = currents([{ volts: 10, out: ['wire'], load: 'a', watts: 26 }]) as [[Value]];
    expect(most).toEqual(new Fault('the loads take more power than the way to them lets through'));
    near(currents([{ volts: 10, out: ['wire'], load: 'a', watts: 24.99 }])[0], 5 - Math.sqrt(0.01));
  });

  test('of one that feeds another: by watts for each ampere of it', () => {
    const fed = [
      { volts: 10, out: ['none'], load: 'converter' },
      { volts: 12, out: ['none'], load: 'a', ohms: 12, source: 'converter', perAmpere: 15 },
    ];
    // 1 A there is 15 W here.
    near(currents(fed as Circuit[])[0], 0, 1);
    const asked = [{ ...fed[0], perAmpere: 15 } as Circuit, { ...fed[1], perAmpere: 0 } as Circuit];
    near(currents(asked)[0], 1.5, 1);
    near(currents([{ ...asked[0], watts: 5 } as Circuit, asked[1] as Circuit])[0], 2, 1);
  });

  test('that join another way have a fault, and what shares something with them', () => {
    const [row] = currents([
      { volts: 10, out: ['wire'], load: 'a', ohms: 4, joins: 2 },
      { volts: 10, out: ['wire'], load: 'b', ohms: 4 },
      { volts: 10, out: ['two'], load: 'c', ohms: 3 },
    ]);
    expect(row?.slice(0, 2)).toEqual([
      expect.objectContaining({ message: expect.stringContaining('joins another') }),
      expect.any(Fault),
    ]);
    expect(row?.[2]).toBeCloseTo(2, 9);
  });

  test('of which something is not known: only those that share something with it', () => {
    const [row] = currents([
      { volts: 10, out: ['wire', 'secret'], load: 'a', ohms: 4 },
      { volts: 10, out: ['wire'], load: 'b', ohms: 4 },
      { volts: 10, out: ['two'], load: 'c', ohms: 3 },
    ]);
    expect(row?.slice(0, 2)).toEqual([new Unknown([]), new Unknown([])]);
    expect(row?.[2]).toBeCloseTo(2, 9);
    for (const lacking of [{ volts: unknown }, { ohms: unknown }, { watts: unknown }, { perAmpere: unknown }])
      expect(currents([{ volts: 10, out: ['wire'], load: 'a', ohms: 4, ...lacking }])[0]).toEqual([new Unknown([])]);
    expect(currents([{ volts: 10, out: ['lost'], load: 'a', ohms: 4 }])[0]?.[0]).toMatchObject({ message: 'lost' });
  });

  test('two that share what is fed, or the load, are solved together', () => {
    const [row] = currents([
      { volts: 10, out: ['one'], load: 'a', ohms: 4 },
      { volts: 10, out: ['half'], load: 'a', ohms: 4 },
    ]);
    // 5 I + 4 J = 10, 4 I + 4.5 J = 10
    near(row, 5 / 6.5, 10 / 6.5);
  });

  test('a way that is not known leads through nothing', () => {
    const asked: Value[] = [];
    const listens = new Formula('resistance', (of) => asked.push(of));
    const of = (out: Value) =>
      loopCurrents([10], [out], [[]], [false], listens, ['a'], [4], [0], ['mains'], [0], [[true]], false, [0]);
    expect(of(unknown)).toEqual([[new Unknown([])]]);
    expect(asked).toEqual([]);
  });

  test('what is not known of all', () => {
    expect(loopCurrents(unknown, [], [], [], resistance, [], [], [], [], [], [], false, [])).toEqual(new Unknown([]));
    expect(loopCurrents([], [], [], [], 3, [], [], [], [], [], [], false, [])).toEqual(new Unknown([]));
    expect(loopCurrents([], [], [], [], resistance, [], [], [], [], [], [unknown], false, [])).toEqual([
      new Unknown([]),
    ]);
  });
});

describe('voltages that are left', () => {
  const left = (out: string[][], amperes: Value[], { back = [] as string[][], paired = false } = {}) =>
    loopVoltages(
      out.map(() => 10),
      out,
      out.map((_, k) => back[k] ?? []),
      out.map(() => paired),
      resistance,
      [amperes],
    ) as Value[][];

  test('the source’s, less what the way drops for all that flows through it', () => {
    near(left([['wire']], [2])[0], 8);
    near(left([['wire'], ['wire', 'two']], [2, 1])[0], 7, 5);
    near(left([['wire'], ['two']], [2, 1], { back: [['half'], ['half']] })[0], 6.5, 6.5);
    near(left([['wire']], [2], { back: [['wire']] })[0], 6);
    near(left([['wire']], [2], { back: [['wire']], paired: true })[0], 6);
  });

  test('what is off keeps all of it', () => near(left([['wire'], ['wire']], [2, 0])[0], 8, 10));

  test('what is not known stays so', () => {
    expect(left([['wire'], ['two']], [unknown, 1])[0]).toEqual([new Unknown([]), 8]);
    expect(loopVoltages([unknown], [['wire']], [[]], [false], resistance, [[2]])).toEqual([[new Unknown([])]]);
    expect(loopVoltages([unknown], [['wire']], [[]], [false], resistance, [[0]])).toEqual([[new Unknown([])]]);
    const fault = new Fault('lost');
    expect(loopVoltages([], [], [], fault, resistance, [])).toBe(fault);
    expect(loopCurrents([], [], [], [], resistance, [], [], [], [], [], [], fault, [])).toBe(fault);
    expect(loopVoltages(unknown, [], [], [], resistance, [])).toEqual(new Unknown([]));
    expect(loopVoltages([], [], [], [], 3, [])).toEqual(new Unknown([]));
    expect(loopVoltages([10], [['wire']], [[]], [false], resistance, [unknown])).toEqual([new Unknown([])]);
  });
});
