import { describe, expect, test } from 'vitest';
import { layeredRise } from '../../language/numerics/layers.ts';
import { Curve, Fault, Unknown, type Value } from '../../language/values/value.ts';

const steady = (watts: number) => new Curve([0, 2000], [watts, watts]);
/** So many watts for each kelvin above a temperature. */
const linear = (perKelvin: number, above: number) =>
  new Curve([0, 2000], [-perKelvin * above, perKelvin * (2000 - above)]);

interface Stack {
  readonly capacities?: Value;
  readonly resistances?: Value;
  readonly heated?: Value;
  readonly power?: Value;
  readonly lostAt?: Value;
  readonly losses?: Value;
  readonly from?: Value;
  readonly held?: Value;
  readonly to?: Value;
  readonly during?: Value;
}

function faces(stack: Stack): Value {
  const { capacities = [100], resistances = [0], heated = 1, power = steady(50) } = stack;
  const { lostAt = [], losses = [], from = 300, held = 0, to = 0, during = 60 } = stack;
  return layeredRise(capacities, resistances, heated, power, lostAt, losses, from, held, to, during);
}

const at = (curve: Curve, time: number): number => {
  const i = curve.x.findIndex((x) => x >= time - 1e-9);
  const [x0, x1, y0, y1] = [curve.x[i - 1], curve.x[i], curve.y[i - 1], curve.y[i]] as [number, number, number, number];
  return i === 0 ? y1 : y0 + ((y1 - y0) * (time - x0)) / (x1 - x0);
};
const ends = (curve: Curve) => [curve.y[0] as number, curve.y.at(-1) as number];

// A step's error is below 0.01 K, as the library says of it.
describe('one mass', () => {
  test('that loses nothing rises by P t / C', () => {
    const [below, above] = faces({}) as [Curve, Curve];
    expect(below.x[0]).toBe(0);
    expect(below.x.at(-1)).toBeCloseTo(60, 9);
    expect(ends(below)[1]).toBeCloseTo(330, 6);
    expect(above.y).toEqual(below.y);
  });

  // T = a + P / h (1 - exp(-h t / C))
  test('with a linear loss comes to rest at P / h', () => {
    const [curve] = faces({ lostAt: [2], losses: [linear(2, 300)], during: 500 }) as [Curve];
    for (const t of [10, 50, 120, 400])
      expect(Math.abs(at(curve, t) - (300 + 25 * (1 - Math.exp(-t / 50))))).toBeLessThan(0.05);
  });

  // dT/dt = -k T^2 / C: 1 / T = 1 / T0 + k t / C, by the curve's own points. Errors of all steps add up, over a fall of 110 K.
  test('with a loss by the square, and a flow that is read between its points', () => {
    const x = Array.from({ length: 41 }, (_, i) => 200 + 5 * i);
    const square = new Curve(
      x,
      x.map((T) => 1e-3 * T * T),
    );
    const [curve] = faces({ power: steady(0), lostAt: [1], losses: [square], from: 390, during: 100 }) as [Curve];
    for (const [i, t] of curve.x.entries())
      expect(Math.abs((curve.y[i] as number) - 1 / (1 / 390 + 1e-5 * t))).toBeLessThan(0.15);
  });

  // At rest what comes in is what is lost: 80 W = 1e-3 T^2, whatever the steps there. A cubic with the slopes of parabolas is exact.
  test('a flow that is a parabola is one between its points too, wherever they lie', () => {
    const x = [200, 210, 260, 290, 390];
    const square = new Curve(
      x,
      x.map((T) => 1e-3 * T * T),
    );
    for (const from of [250, 350]) {
      const [curve] = faces({ power: steady(80), lostAt: [1], losses: [square], from, during: 5000 }) as [Curve];
      expect(ends(curve)[1]).toBeCloseTo(Math.sqrt(80_000), 2);
    }
  });

  test('its times go up to the end, and no further', () => {
    const [{ x }] = faces({ lostAt: [2], losses: [linear(2, 300)], during: 500 }) as [Curve];
    expect(x.slice(1).every((t, i) => t > (x[i] as number))).toBe(true);
    expect(x.at(-1)).toBeCloseTo(500, 9);
    expect(x.length).toBeLessThan(200);
  });

  test('beyond its points a flow goes on straight', () => {
    // 1 W/K from 300 K on, known between 301 and 302 K alone.
    const short = new Curve([301, 302], [1, 2]);
    const [curve] = faces({ lostAt: [1], losses: [short], during: 2000 }) as [Curve];
    expect(Math.abs(at(curve, 100) - (300 + 50 * (1 - Math.exp(-1))))).toBeLessThan(0.05);
    expect(ends(curve)[1]).toBeCloseTo(350, 1);
  });
});

describe('layers', () => {
  // Two masses of 5 J/K, 10 W/K between them: both rise by 10 K/s, apart by 5 K (1 - exp(-4 t)), by hand.
  test('one that heat passes at once: half its mass at either side', () => {
    const [below, above] = faces({ capacities: [10], resistances: [0.1], power: steady(100), during: 3 }) as [
      Curve,
      Curve,
    ];
    for (const t of [0.1, 0.3, 1, 3]) {
      const apart = 5 * (1 - Math.exp(-4 * t));
      expect(Math.abs(at(below, t) - (300 + 10 * t + apart / 2))).toBeLessThan(0.05);
      expect(Math.abs(at(above, t) - (300 + 10 * t - apart / 2))).toBeLessThan(0.05);
    }
  });

  test('heated from above it is the same upside down', () => {
    const [below, above] = faces({
      capacities: [10],
      resistances: [0.1],
      heated: 2,
      power: steady(100),
      during: 3,
    }) as [Curve, Curve];
    expect(Math.abs(at(above, 1) - at(below, 1) - 5 * (1 - Math.exp(-4)))).toBeLessThan(0.05);
  });

  test('several lie one on the other, each with its own drop: P R, once all is at rest', () => {
    const curves = faces({
      capacities: [10, 20, 10],
      resistances: [0.5, 0.25, 1],
      power: steady(10),
      lostAt: [4],
      losses: [linear(1, 300)],
      during: 4000,
    }) as Curve[];
    expect(curves.map((curve) => Math.round(10 * (ends(curve)[1] as number)) / 10)).toEqual([327.5, 322.5, 320, 310]);
  });

  // A slab whose underside is brought to a step and held there, closed above: Carslaw and Jaeger, Conduction of Heat in Solids,
  // 1959, section 3.4 (from memory). Four slices are within 3 % of the step.
  test('one that is slow is cut into slices: its far side follows the series', () => {
    const slab = { capacities: [100], resistances: [1], power: steady(1e6), held: 1, to: 310, during: 150 };
    const [, far] = faces(slab) as [Curve, Curve];
    for (const t of [10, 20, 50, 100, 150]) {
      const decay = (n: number) => Math.exp((-((n * Math.PI) ** 2) * t) / 400) / n;
      const series = 1 - (4 / Math.PI) * (decay(1) - decay(3) + decay(5));
      expect(Math.abs((at(far, t) - 300) / 10 - series), `${t} s`).toBeLessThan(0.03);
    }
  });

  test('a face that is held stays, from the moment it has come there', () => {
    const [below, above] = faces({
      capacities: [100],
      resistances: [0],
      held: 1,
      to: 320,
      during: 100,
    }) as [Curve, Curve];
    // 50 W into 100 J/K: 20 K after 40 s.
    expect(at(below, 20)).toBeCloseTo(310, 3);
    expect(below.x.filter((_, i) => (below.y[i] as number) < 320 - 1e-3).every((t) => t < 40)).toBe(true);
    for (const [i, t] of below.x.entries()) if (t > 40.01) expect(below.y[i]).toBe(320);
    expect(Math.max(...above.y)).toBeLessThan(320.001);
  });

  test('what lies beyond a face that is held comes after it: exp(-t / (R C))', () => {
    const [, above] = faces({
      capacities: [4],
      resistances: [1],
      power: steady(1e6),
      held: 1,
      to: 310,
      during: 20,
    }) as [Curve, Curve];
    // 2 J/K behind 1 K/W: a time constant of 2 s; the held face is there at once.
    for (const t of [1, 3, 8]) expect(Math.abs(at(above, t) - (310 - 10 * Math.exp(-t / 2)))).toBeLessThan(0.05);
  });

  test('once a face is held, what comes in at another one stops', () => {
    const [held, heated] = faces({
      capacities: [4],
      resistances: [1],
      heated: 2,
      power: steady(30),
      held: 1,
      to: 310,
      during: 40,
    }) as [Curve, Curve];
    expect(ends(held)[1]).toBe(310);
    expect(ends(heated)[1]).toBeCloseTo(310, 2);
    expect(Math.max(...heated.y)).toBeGreaterThan(315);
  });

  test('held from the start where it is warmer already', () => {
    const [below] = faces({ held: 1, to: 290 }) as [Curve];
    expect(ends(below)).toEqual([300, 300]);
  });
});

test('what is not known stays so', () => {
  const unknown = new Unknown([]);
  const fault = new Fault('not there');
  for (const name of [
    'capacities',
    'resistances',
    'heated',
    'power',
    'lostAt',
    'losses',
    'from',
    'held',
    'to',
    'during',
  ]) {
    expect(faces({ [name]: unknown }), name).toEqual(new Unknown([]));
    expect(faces({ [name]: fault }), name).toBe(fault);
  }
  expect(faces({ capacities: [unknown] })).toEqual(new Unknown([]));
  expect(faces({ losses: [fault], lostAt: [1] })).toBe(fault);
  expect(faces({ power: 3 })).toEqual(new Unknown([]));
  expect(faces({ capacities: 3 })).toEqual(new Unknown([]));
  expect(faces({ during: true })).toEqual(new Unknown([]));
});
