import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import { valuesOf } from './values.ts';

/** A solver of differential equations that shares nothing with ours: an extrapolation method (Hairer's ODEX). */
const { Solver } = createRequire(import.meta.url)('odex') as {
  Solver: new (
    n: number,
  ) => {
    absoluteTolerance: number;
    relativeTolerance: number;
    solve(f: (x: number, y: number[]) => number[], from: number, start: number[], to: number): { y: number[] };
  };
};

/** Values of a kind made up for a test, so that functions of the library can be asked. */
function ask(type: string, expression: string, ambient = 25): number {
  return valuesOf(`kind asker {
  inside machine
  asked: ${type} = ${expression} {
    source defined "a question of a test"
  }
}

machine Bench {
  ambient = ${ambient} degC
  asker {
  }
}
`)('asker.asked');
}

const within = (actual: number, wanted: number, share: number) =>
  expect(Math.abs(actual / wanted - 1), `${actual} against ${wanted}`).toBeLessThan(share);

describe('air', () => {
  // Incropera, table A.4, from memory: conductivity in W/(m K), kinematic viscosity and diffusivity in 1e-6 m^2/s; within 0.5 %.
  test.each([
    [300, 0.0263, 15.89, 22.5],
    [350, 0.03, 20.92, 29.9],
    [400, 0.0338, 26.41, 38.3],
  ])('at %i K', (kelvin, conductivity, viscosity, diffusivity) => {
    const at = `at: ${(kelvin - 273.15).toFixed(2)} degC`;
    within(ask('ThermalConductivity', `air_conductivity(${at})`), conductivity, 0.005);
    within(ask('KinematicViscosity', `air_viscosity(${at})`) * 1e6, viscosity, 0.005);
    within(ask('ThermalDiffusivity', `air_diffusivity(${at})`) * 1e6, diffusivity, 0.005);
  });

  // Cengel, table A-15, as quoted on two engineering sites: tables of air disagree by 2 to 3 %.
  test.each([
    [60, 0.02808, 18.96],
    [100, 0.03095, 23.06],
    [120, 0.03235, 25.22],
  ])('at %i degC, against another table', (celsius, conductivity, viscosity) => {
    within(ask('ThermalConductivity', `air_conductivity(at: ${celsius} degC)`), conductivity, 0.03);
    within(ask('KinematicViscosity', `air_viscosity(at: ${celsius} degC)`) * 1e6, viscosity, 0.03);
  });
});

describe('natural convection', () => {
  // Cengel, example 9-2: a square of 0.6 m, 90 degC in air of 30 degC. Numbers from memory, computed again from the formulas.
  // A Rayleigh number divides by viscosity and diffusivity: tables of air disagree by 2 to 3 % in each, together by up to 6 %.
  test('Cengel, example 9-2: Rayleigh numbers, vertical plate', () => {
    within(ask('Ratio', 'rayleigh(surface: 90 degC, air: 30 degC, length: 0.6 m)'), 7.649e8, 0.06);
    within(ask('Ratio', 'rayleigh(surface: 90 degC, air: 30 degC, length: 0.15 m)'), 1.195e7, 0.06);
    within(ask('Ratio', 'nusselt_edge(rayleigh: 7.649e8, prandtl: 0.7202)'), 113.3, 0.001);
    within(
      ask('Power', '0.36 m^2 * 60 K * convection_edge(surface: 90 degC, air: 30 degC, height: 0.6 m)'),
      114.6,
      0.02,
    );
  });

  // Two correlations for the same plate facing down. The book's 0.27 Ra^(1/4) gives 64.2 W (from memory); ours is that of Incropera, 7th
  // edition, eq. 9.32: with the book's Rayleigh number and its air of 0.028 W/(m K) it is 0.52 (1.195e7)^0.2 k / L. Both are said to
  // be within 15 %, and so far they are apart.
  test('Cengel, example 9-2: plate facing down', () => {
    const down = ask('Power', '0.36 m^2 * 60 K * convection_down(surface: 90 degC, air: 30 degC, length: 0.15 m)');
    within(down, ((0.52 * 1.195e7 ** 0.2 * 0.028) / 0.15) * 0.36 * 60, 0.02);
    within(down, 64.2, 0.16);
  });

  // McAdams, as in Incropera eq. 9.30 and 9.31: 0.54 Ra^(1/4) below 1e7, 0.15 Ra^(1/3) from there.
  test('a plate facing up, below and above 1e7', () => {
    expect(ask('Ratio', 'nusselt_up(rayleigh: 1e6)')).toBeCloseTo(0.54 * 1e6 ** 0.25, 9);
    expect(ask('Ratio', 'nusselt_up(rayleigh: 1.195e7)')).toBeCloseTo(0.15 * 1.195e7 ** (1 / 3), 9);
  });

  // A plate of 300 mm by 300 mm in air of 25 degC, computed from the same correlations with tables of air; within 2 %.
  test.each([
    [60, 6.36, 3.05],
    [100, 7.55, 3.54],
    [110, 7.75, 3.62],
  ])('a bed of 300 mm at %i degC', (at, up, down) => {
    within(ask('HeatTransferCoefficient', `convection_up(surface: ${at} degC, air: 25 degC, length: 75 mm)`), up, 0.02);
    within(
      ask('HeatTransferCoefficient', `convection_down(surface: ${at} degC, air: 25 degC, length: 75 mm)`),
      down,
      0.02,
    );
  });
});

describe('radiation', () => {
  // CODATA 2018: sigma (373.15 K)^4 = 1099.374 W/m^2, by GNU units and three libraries.
  test('a black body at 100 degC', () => {
    const kept = ask('PowerDensity', 'radiation(surface: 100 degC, walls: 25 degC, emissivity: 1)');
    expect(kept + 5.670374419e-8 * 298.15 ** 4).toBeCloseTo(1099.374, 3);
  });

  // Cengel, example 9-2: 182 W from memory, 182.4 W computed.
  test('Cengel, example 9-2: radiation', () => {
    within(ask('Power', '0.36 m^2 * radiation(surface: 90 degC, walls: 30 degC, emissivity: 1)'), 182.4, 0.005);
  });

  // h_r(100 degC, 25 degC, 0.9) = 7.82 W/(m^2 K), computed from the formula.
  test('as a coefficient', () => {
    within(
      ask('HeatTransferCoefficient', 'radiation_coefficient(surface: 100 degC, walls: 25 degC, emissivity: 0.9)'),
      7.82,
      0.001,
    );
  });
});

/** A bed of 300 mm by 300 mm by 6 mm of 6061, emissivity 0.9, over 10 mm of 0.035 W/(m K) that holds no heat. */
function bed(power: number, target = 100, insulated = true): (path: string) => number {
  return valuesOf(`part weightless is material {
  density = 0.001 kg/m^3
  specific_heat = 1 J/(kg*K)
  conductivity = 0.035 W/(m*K)
}

part thin_foil is material {
  density = 0.001 kg/m^3
  specific_heat = 1 J/(kg*K)
  conductivity = 1000 W/(m*K)
}

kind edgeless {
  inside machine
  watched: bed
  power: Power
  loss(at: Temperature): Power = watched.top_loss(at: at) + watched.bottom_loss(at: at) {
    source defined "a question of a test"
  }
  net(at: Temperature): Power = power - loss(at: at) {
    source defined "a question of a test"
  }
  loss_at_target: Power = loss(at: watched.target) {
    source defined "a question of a test"
  }
  comes_to: Temperature = balance(net: net, low: 25 degC, high: 1000 degC) {
    source defined "a question of a test"
  }
}

machine Bench {
  ambient = 25 degC
  edgeless {
    watched = bed
    power = ${power} W
  }
  bed {
    target = ${target} degC
    plate {
      size = 300 mm x 300 mm
      thickness = 6 mm
      material = aluminium
      emissivity = 0.9
    }
    ${insulated ? 'insulation {\n      thickness = 10 mm\n      material = weightless\n    }' : ''}
    heater {
      power = ${power} W
      voltage = 230 V
      material = thin_foil
    }
  }
}
`);
}

describe('a heated bed', () => {
  // C = m c with the handbook's 2700 kg/m^3 and 896 J/(kg K): 1306 J/K.
  test('heat capacity', () => {
    expect(bed(600)('bed.plate.heat_capacity')).toBeCloseTo(1306.368, 3);
    expect(bed(600)('bed.heat_capacity')).toBeCloseTo(1306.368, 1);
  });

  // Losses upward and downward computed independently for this bed, without its edges; within 3 % as for any table of air.
  test.each([
    [60, 48.0, true],
    [100, 120.6, true],
    [110, 141.2, true],
    [60, 70.2, false],
    [100, 180.3, false],
    [110, 212.4, false],
  ])('loss at %i degC is %d W without the edges, insulated: %s', (at, loss, insulated) => {
    const value = bed(600, at, insulated);
    within(value('edgeless.loss_at_target'), loss, 0.03);
    expect(value('bed.loss_at_target')).toBeGreaterThan(value('edgeless.loss_at_target'));
  });

  // Temperatures with the heater stuck on, computed independently for this bed without its edges; they cool it further.
  test.each([
    [120, 99.7],
    [200, 136],
    [250, 156],
    [400, 208],
    [600, 263],
    [750, 297],
  ])('%i W stuck on come to %d degC without the edges', (power, celsius) => {
    const value = bed(power);
    within(value('edgeless.comes_to') - 298.15, celsius - 25, 0.02);
    expect(value('bed.full_power_temperature')).toBeLessThan(value('edgeless.comes_to'));
  });

  // 600 W from 25 to 100 degC: 163.3 s without loss, 180.4 s with the losses of this bed without its edges.
  test('600 W take 180 s to 100 degC', () => {
    within(bed(600)('bed.warm_up_time'), 180.4, 0.02);
    expect(bed(600)('bed.warm_up_time')).toBeGreaterThan(163.3);
  });
});

describe('numerics against other solutions', () => {
  const slope = `kind plate_of_linear_loss {
  inside machine
  slope(at: Temperature): TemperatureRate = (600 W - (at - 25 degC) / 0.62 K/W) / 1306.368 J/K {
    source defined "C dT/dt = P - dT/R"
  }
  arrives: Time = time_to(slope: slope, from: 25 degC, to: 100 degC) {
    source defined "a question of a test"
  }
  course: curve of Time, Temperature = rise(slope: slope, from: 25 degC, during: 4000 s) {
    source defined "a question of a test"
  }
  at_the_end: Temperature = value_at(curve: course, at: 4000 s) {
    source defined "a question of a test"
  }
}

machine Bench {
  ambient = 25 degC
  plate_of_linear_loss {
  }
}
`;

  // Closed form, ngspice, mathjs and odex agree: 182.369 s, and 394.335 degC after 4000 s.
  test('a plate with a linear loss', () => {
    const value = valuesOf(slope);
    expect(value('plate_of_linear_loss.arrives')).toBeCloseTo(182.369, 2);
    expect(value('plate_of_linear_loss.at_the_end') - 273.15).toBeCloseTo(394.335, 2);
  });

  // The whole bed's heat balance, its physics written a second time here, and solved by another method.
  test('warm-up of a bed against an independent solution', () => {
    const solver = new Solver(1);
    solver.absoluteTolerance = 1e-9;
    solver.relativeTolerance = 1e-9;
    const seconds = bed(400)('bed.warm_up_time');
    const rate = (kelvin: number) => (400 - lossOf(kelvin)) / 1306.368;
    const end = solver.solve((_x, [kelvin = 0]) => [rate(kelvin)], 0, [298.15], seconds).y[0] as number;
    // There the plate has one temperature; here its upper side is a little colder than its underside.
    expect(Math.abs(end - 273.15 - 100)).toBeLessThan(0.1);
  });
});

/** Heat lost by the bed above, in W: the published correlations, written down a second time and iterated to the end. */
function lossOf(kelvin: number): number {
  const [ambient, sigma, area] = [298.15, 5.670374419e-8, 0.09];
  if (kelvin - ambient < 1e-9) return 0;
  const radiated = (t: number) => 0.9 * sigma * (t ** 4 - ambient ** 4);
  const air = (t: number) => ({
    k: 6.6857e-4 + 9.3e-5 * t - 2.5714e-8 * t ** 2,
    nu: 1.005714e-10 * t ** 2 + 3.444e-8 * t - 3.466857e-6,
    alpha: 1.6e-10 * t ** 2 + 4.48e-8 * t - 5.32e-6,
    prandtl: 0.7601 - 1.7e-4 * t,
  });
  const coefficient = (t: number, length: number, nusselt: (ra: number, pr: number) => number) => {
    const film = (t + ambient) / 2;
    const { k, nu, alpha, prandtl } = air(film);
    return (nusselt((9.80665 * Math.abs(t - ambient) * length ** 3) / (film * nu * alpha), prandtl) * k) / length;
  };
  const up = coefficient(kelvin, 0.075, (ra) => (ra < 1e7 ? 0.54 * ra ** 0.25 : 0.15 * ra ** (1 / 3)));
  const edge = coefficient(
    kelvin,
    0.006,
    (ra, pr) => (0.825 + (0.387 * ra ** (1 / 6)) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)) ** 2,
  );
  let outside = ambient + (kelvin - ambient) / 4;
  let through = 0;
  for (let i = 0; i < 60; i++) {
    const down = coefficient(outside, 0.075, (ra) => 0.52 * ra ** 0.2) + radiated(outside) / (outside - ambient);
    outside = ambient + (kelvin - ambient) / (1 + (down * 0.01) / 0.035);
    through = area * down * (outside - ambient);
  }
  return (
    area * (up * (kelvin - ambient) + radiated(kelvin)) +
    0.0072 * (edge * (kelvin - ambient) + radiated(kelvin)) +
    through
  );
}
