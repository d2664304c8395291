import { expect, test } from 'vitest';
import { generator } from './oracle.ts';
import { valuesOf } from './values.ts';

// What draws a tool onto its seats, against statics reckoned seat by seat. How many times that it is to be, how far a tool may stand
// elsewhere, what it hangs by and how deep its docks are is common practice, no source.

const coupling = (said: string, axes = '1500 mm/s^2', depth = 260) =>
  valuesOf(`machine Bench {
  ambient = 20 degC
  crossed_belts motion {
    carriage_mass = 0.4 kg
    bed_mass = 1 kg
    tools = one_at_a_time
    tool_coupling {
      pull = 80 N
      holds_unpowered = yes
      ${said}
    }
    x { travel = 280 mm
      wanted_acceleration = ${axes} }
    y { travel = ${depth} mm
      wanted_acceleration = ${axes} }
    z { travel = 200 mm }
  }
}
`);

type Three = [number, number, number];
const determinant = ([a, b, c]: [Three, Three, Three]) =>
  a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0]);

/**
 * What presses on each of three seats on a circle, by equilibrium alone: their sum is what draws, and their moments about two axes in
 * the plane of the seats are what tips (Meriam and Kraige, Statics, equilibrium in three dimensions; solved by Cramer's rule).
 */
function seatForces(draws: number, tips: number, towards: number, radius: number): Three {
  const at = [0, 1, 2].map((k) => (k * 2 * Math.PI) / 3);
  const rows: [Three, Three, Three] = [
    [1, 1, 1],
    at.map((angle) => radius * Math.cos(angle)) as Three,
    at.map((angle) => radius * Math.sin(angle)) as Three,
  ];
  const right: Three = [draws, tips * Math.cos(towards), tips * Math.sin(towards)];
  const whole = determinant(rows);
  return [0, 1, 2].map((k) => {
    const put = rows.map((row, i) => row.map((each, j) => (j === k ? right[i] : each))) as [Three, Three, Three];
    return determinant(put) / whole;
  }) as Three;
}

test('20 tools: drawn by what it needs, the least pressed of three seats is just not lifted, whichever way it is tipped', () => {
  const between = generator(5);
  for (let i = 0; i < 20; i++) {
    const [mass, radius, ahead, cable, level] = [
      between(0.1, 0.8),
      between(10, 40),
      between(20, 80),
      between(0, 10),
      between(500, 9000),
    ].map((each) => +each.toFixed(2)) as [number, number, number, number, number];
    const read = coupling(
      `heaviest = ${mass} kg\n seat_radius = ${radius} mm\n tool_ahead = ${ahead} mm\n cable_pull = ${cable} N`,
      `${level} mm/s^2`,
    );
    // Both axes jerk at once, and weight pulls at a right angle to that; the jerk itself, and the cables, also draw it off.
    const jerk = Math.hypot(level, level) * 1e-3;
    const tips = (mass * Math.hypot(jerk, 9.80665) + cable) * ahead * 1e-3;
    const draws = read('motion.tool_coupling.needed_pull') - mass * jerk - cable;
    const least = Array.from({ length: 3600 }, (_, k) =>
      Math.min(...seatForces(draws, tips, (k * Math.PI) / 1800, radius * 1e-3)),
    );
    expect(Math.abs(Math.min(...least))).toBeLessThan(1e-6 * draws);
    // With a hundredth less one of them is lifted.
    expect(Math.min(...seatForces(0.99 * draws, tips, Math.PI, radius * 1e-3))).toBeLessThan(0);
  }
});

test.each([
  [1, 60],
  [3, 70],
  [5, 82.5],
])('%d docks: from the first to the last, place by place', (docks, distance) => {
  const read = coupling(`heaviest = 0.2 kg\n docks = ${docks}\n dock_distance = ${distance} mm\n dock_depth = 45 mm`);
  const places = Array.from({ length: docks }, (_, k) => 12 + k * distance);
  expect(read('motion.tool_coupling.docks_span') * 1e3).toBeCloseTo(Math.max(...places) - Math.min(...places), 9);
  expect(read('motion.tool_coupling.depth_left') * 1e3).toBeCloseTo(260 - 45, 9);
});
