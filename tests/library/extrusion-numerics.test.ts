import { describe, expect, test } from 'vitest';
import { generator, oracle } from './oracle.ts';
import { valuesOf } from './values.ts';

/** The values of many expressions at once, each as a value of one kind made up for the test. */
function askAll(type: string, expressions: readonly string[]): number[] {
  const values = expressions.map((e, i) => `  v${i}: ${type} = ${e} {\n    source defined "a question"\n  }`);
  const machine = 'machine Bench {\n  ambient = 25 degC\n  asker {\n  }\n}\n';
  const value = valuesOf(`kind asker {\n  inside machine\n${values.join('\n')}\n}\n\n${machine}`);
  return expressions.map((_, i) => value(`asker.v${i}`));
}

/** The mean relative error, with its sign, printed: what is wrong in one way shows in it though no case is wrong by much. */
function meanError(what: string, ours: readonly number[], theirs: readonly number[]): number {
  const mean = ours.reduce((sum, value, i) => sum + value / (theirs[i] as number) - 1, 0) / ours.length;
  console.log(`${what}: mean error ${mean.toExponential(1)}`);
  return mean;
}

/** The largest relative error, printed. */
function largest(what: string, ours: readonly number[], theirs: readonly number[]): number {
  const errors = ours.map((value, i) => Math.abs(value / (theirs[i] as number) - 1));
  const worst = Math.max(...errors);
  console.log(`${what}: ${ours.length} cases, largest error ${worst.toExponential(1)}`);
  return worst;
}

const count = 40;
const cases = <T>(make: (between: (low: number, high: number) => number) => T, seed: number): T[] => {
  const between = generator(seed);
  return Array.from({ length: count }, () => make(between));
};
const fixed = (x: number) => x.toFixed(6);

describe('against SciPy', () => {
  test('pressure along a cone, by integrating the gradient', () => {
    const list = cases((between) => {
      const narrow = between(0.15, 1.4);
      const wide = narrow * between(1.05, 6);
      return {
        narrow,
        wide,
        length: between(0.5, 8),
        flow: between(0.5, 40),
        k: between(500, 50000),
        n: between(0.2, 1),
      };
    }, 1);
    const ours = askAll(
      'Pressure',
      list.map(
        (c) =>
          `taper_pressure(flow: ${fixed(c.flow)} mm^3/s, wide: ${fixed(c.wide)} mm, narrow: ${fixed(c.narrow)} mm, length: ${fixed(c.length)} mm, consistency: ${fixed(c.k)} Pa, exponent: ${fixed(c.n)})`,
      ),
    );
    const theirs = oracle<number>(
      'extrusion-oracle.py',
      list.map((c) => ({
        ask: 'cone',
        narrow: +fixed(c.narrow) * 1e-3,
        wide: +fixed(c.wide) * 1e-3,
        length: +fixed(c.length) * 1e-3,
        flow: +fixed(c.flow) * 1e-9,
        consistency: +fixed(c.k),
        exponent: +fixed(c.n),
      })),
    );
    expect(largest('cone', ours, theirs)).toBeLessThan(1e-9);
  });

  // One term of the series: 2 % of how cold the mean still is, 7 % of the core, for Fo above 0.12.
  test('how cold a rod still is that is warmed through a film, by the whole series', () => {
    const list = cases((between) => ({ biot: between(1, 20), fo: between(0.12, 0.6) }), 2);
    const coefficient = (biot: number) => `mean_coefficient(biot: ${biot})`;
    const asked = (of: (biot: number) => string) =>
      askAll(
        'Ratio',
        list.map(
          ({ biot, fo }) =>
            `coldness(flow: ${Math.PI} mm^3/s, diffusivity: ${fo} mm^2/s, length: 1 mm, biot: ${biot}, coefficient: ${of(biot)})`,
        ),
      );
    const theirs = oracle<{ mean: number; core: number }>(
      'extrusion-oracle.py',
      list.map((c) => ({ ask: 'film', ...c })),
    );
    const mean = asked(coefficient);
    const core = asked((biot) => `${coefficient(biot)} / mean_by_core(biot: ${biot})`);
    expect(
      largest(
        'mean of a rod',
        mean,
        theirs.map((t) => t.mean),
      ),
    ).toBeLessThan(0.03);
    expect(
      largest(
        'core of a rod',
        core,
        theirs.map((t) => t.core),
      ),
    ).toBeLessThan(0.08);
    const ofMean = theirs.map((t) => t.mean);
    const ofCore = theirs.map((t) => t.core);
    // What the other terms add is little at most times: within 1 % all in all, though a few cases are colder by more.
    expect(Math.abs(meanError('mean of a rod', mean, ofMean))).toBeLessThan(0.01);
    expect(Math.abs(meanError('core of a rod', core, ofCore))).toBeLessThan(0.01);
  });

  test('buckling, as an eigenvalue', () => {
    const list = cases(
      (between) => ({ modulus: between(10, 5000), diameter: between(1.5, 3), length: between(5, 40) }),
      3,
    );
    const ours = askAll(
      'Force',
      list.map(
        (c) =>
          `column_force(modulus: ${fixed(c.modulus)} MPa, strength: ${fixed(c.modulus)} MPa, diameter: ${fixed(c.diameter)} mm, length: ${fixed(c.length)} mm, ends: 1)`,
      ),
    );
    const theirs = oracle<number>(
      'extrusion-oracle.py',
      list.map((c) => ({
        ask: 'buckling',
        modulus: c.modulus * 1e6,
        diameter: c.diameter * 1e-3,
        length: c.length * 1e-3,
      })),
    );
    expect(largest('buckling', ours, theirs)).toBeLessThan(1e-5);
  });

  test('friction of a tube, integrated along its bends', () => {
    const list = cases((between) => ({ friction: between(0.03, 0.3), bend: between(10, 720) }), 4);
    const ours = askAll(
      'Ratio',
      list.map((c) => `tube_friction(friction: ${fixed(c.friction)}, bend: ${fixed(c.bend)} deg)`),
    );
    const theirs = oracle<number>(
      'extrusion-oracle.py',
      list.map((c) => ({ ask: 'friction', friction: c.friction, bend: (c.bend * Math.PI) / 180 })),
    );
    expect(largest('tube friction', ours, theirs)).toBeLessThan(1e-5);
  });

  // Pressure by quadrature, limits by root finding, melting by the whole series: within a few percent of its first term.
  test('push and greatest flow of generated extruders, and what sets it', () => {
    const list = cases((between) => {
      const digits = (low: number, high: number) => +between(low, high).toPrecision(6);
      const bore = digits(0.2, 1);
      return {
        ...{ bore, channel: digits(1.9, 2.3), taper: digits(0.5, 3), land: digits(0.3, 2) },
        ...{ torque: digits(0.02, 0.3), reduction: digits(1, 6), efficiency: digits(0.7, 1), wheel: digits(7, 14) },
        ...{ grip: digits(15, 90), fitting: digits(15, 120), friction: digits(0.03, 0.2) },
        ...{ bend: digits(30, 400), consistency: digits(1000, 40000), exponent: digits(0.3, 0.8) },
        ...{ heated: digits(6, 25), speed: digits(10, 80) },
      };
    }, 6);
    const values = list.map((c) => valuesOf(geared(c)));
    const theirs = oracle<{ push: number; limit: number; by: string }>(
      'extrusion-oracle.py',
      list.map((c, i) => ({
        ask: 'extruder',
        ...{ bore: c.bore * 1e-3, channel: c.channel * 1e-3, taper: c.taper * 1e-3, land: c.land * 1e-3 },
        ...{ torque: c.torque, reduction: c.reduction, efficiency: c.efficiency, wheel: c.wheel * 1e-3 },
        ...{ grip: c.grip, fitting: c.fitting, friction: c.friction, bend: (c.bend * Math.PI) / 180 },
        ...{ heated: c.heated * 1e-3, flow: values[i]?.('extruder.wanted_flow'), ...melted(c) },
      })),
    );
    const ours = (path: string) => values.map((value) => value(`extruder.${path}`));
    const pushes = theirs.map((t) => t.push);
    expect(largest('push at the wheel', ours('needed_push'), pushes)).toBeLessThan(0.05);
    const limits = theirs.map((t) => t.limit);
    expect(largest('greatest flow', ours('melt_flow_limit'), limits)).toBeLessThan(0.03);
    for (const [i, { by }] of theirs.entries()) {
      expect(values[i]?.(`extruder.${by}_limit`)).toBe(values[i]?.('extruder.melt_flow_limit'));
    }
    expect([...new Set(theirs.map((t) => t.by))].toSorted()).toEqual(['grip', 'melting', 'torque']);
  }, 180_000);

  // Torque against speed by root finding on the voltage of a phase, the flow by root finding on what is left over.
  test('the flow at which a motor has no torque to spare', () => {
    const list = cases((between) => {
      const digits = (low: number, high: number) => +between(low, high).toPrecision(6);
      return {
        ...{ torque: digits(0.05, 0.5), rated: digits(0.8, 2.5), share_of_current: digits(0.2, 1) },
        ...{ resistance: digits(0.8, 5), inductance: digits(1, 6), voltage: digits(10, 30) },
        ...{ reduction: digits(1, 150), efficiency: digits(0.6, 1), wheel: digits(7, 14), usable: digits(0.4, 0.9) },
        ...{ consistency: digits(1000, 40000), exponent: digits(0.3, 0.8) },
      };
    }, 7);
    const values = list.map((c) => valuesOf(driven(c)));
    const theirs = oracle<number>(
      'extrusion-oracle.py',
      list.map((c) => ({
        ask: 'motor',
        ...{ k: c.torque / (Math.SQRT2 * c.rated), peak: Math.SQRT2 * c.rated * c.share_of_current },
        ...{ resistance: c.resistance, inductance: c.inductance * 1e-3, voltage: c.voltage },
        ...{ reduction: c.reduction, efficiency: c.efficiency, wheel: c.wheel * 1e-3, share: c.usable },
        ...{ bore: 0.4e-3, channel: 2e-3, taper: 1.5e-3, land: 1e-3 },
        ...{ friction: 0, bend: 0, heated: 12e-3, ...melted(c) },
      })),
    );
    const ours = values.map((value) => value('extruder.torque_limit'));
    // The first term of the series, and what it leaves of the melt's thickness.
    expect(largest("flow by the motor's torque", ours, theirs)).toBeLessThan(0.03);
    // Where the gears step down far, the motor's speed sets it: with less of a step there would be more flow.
    const geared = values.filter((value) => value('extruder.reduction') > 50);
    expect(geared.length).toBeGreaterThan(5);
    for (const value of geared) {
      expect(value('extruder.torque_limit')).toBeLessThan(value('extruder.grip_limit'));
      expect(value('extruder.motor_torque_full') * value('extruder.usable_share')).toBeGreaterThanOrEqual(
        value('extruder.needed_torque_full') * (1 - 1e-6),
      );
    }
  });

  test('warm-up and rest of generated hot ends', () => {
    const list = cases((between) => {
      const outer = between(2.4, 4.5);
      return {
        ambient: Math.round(between(5, 45)),
        sides: [between(15, 30), between(12, 25), between(8, 20)].map((s) => +s.toFixed(3)),
        neck_length: +between(1.5, 6).toFixed(3),
        outer: +outer.toFixed(3),
        inner: +(outer - between(0.3, 0.9)).toFixed(3),
        material: ['stainless_steel', 'titanium_alloy'][Math.floor(between(0, 2))] as string,
        sink: +between(1.5, 4).toFixed(3),
        power: +between(25, 60).toFixed(2),
        target: Math.round(between(180, 260)),
      };
    }, 5);
    const read = list.map((c) => valuesOf(hotEnd(c)));
    const theirs = oracle<{ time: number; rest: number; stuck: number }>(
      'extrusion-oracle.py',
      list.map((c) => ({
        ask: 'hot_end',
        ambient: c.ambient,
        sides: c.sides.map((s) => s * 1e-3),
        neck_length: c.neck_length * 1e-3,
        outer: c.outer * 1e-3,
        inner: c.inner * 1e-3,
        neck_conductivity: c.material === 'stainless_steel' ? 14.9 : 6.7,
        sink: c.sink,
        power: c.power,
        emissivity: 0.09,
        capacity: capacityOf(c.sides),
        target: c.target,
        limit: 300,
      })),
    );
    const ours = (path: string) => read.map((value) => value(`extruder.hot_end.${path}`));
    for (const [i, c] of list.entries()) {
      expect(ours('heat_capacity')[i]).toBeCloseTo(capacityOf(c.sides), 9);
    }
    expect(
      largest(
        'warm-up of a hot end',
        ours('warm_up_time'),
        theirs.map((t) => t.time),
      ),
    ).toBeLessThan(1e-5);
    const stuck = read.map((value) => value('watcher.stuck_time'));
    expect(
      largest(
        'time with the heater stuck on',
        stuck,
        theirs.map((t) => t.stuck),
      ),
    ).toBeLessThan(1e-5);
    const kelvins = theirs.map((t) => t.rest);
    expect(largest('rest of a hot end', ours('stuck_on_temperature'), kelvins)).toBeLessThan(1e-6);
  });
});

/** What the other program is told of the melt of `geared`. */
const melted = (c: Record<string, number>) => ({
  ...{ nozzle: 220, ambient: 25, diameter: 1.75e-3, spool: 2 },
  filament: {
    ...{
      consistency: c.consistency,
      exponent: c.exponent,
      glass: 60,
      at: 210,
      thinning: 0.018,
      entrance: 3,
      well: 165,
    },
    ...{ conductivity: 0.2, density: 1200, specific_heat: 1900 },
  },
});

interface HotEnd {
  ambient: number;
  sides: number[];
  neck_length: number;
  outer: number;
  inner: number;
  material: string;
  sink: number;
  power: number;
  target: number;
}

/** J/K of a block of aluminium (2700 kg/m^3, 896 J/(kg K)), 3 g of brass (380) and a cartridge of 5 g (500). */
function capacityOf(sides: readonly number[]): number {
  const [w = 0, d = 0, h = 0] = sides;
  return w * d * h * 1e-9 * 2700 * 896 + 3e-3 * 380 + 5e-3 * 500;
}

function hotEnd(c: HotEnd): string {
  return `machine Bench {
  ambient = ${c.ambient} degC
  extruder {
    filament = pla
    motor_torque = 0.25 N*m
    motor_mass = 140 g
    drive_gear is wheel_11mm
    hot_end {
      target = ${c.target} degC
      heat_block {
        size = ${c.sides.map((s) => `${s} mm`).join(' x ')}
      }
      nozzle is brass_nozzle
      heat_break {
        neck {
          length = ${c.neck_length} mm
          outer = ${c.outer} mm
          inner = ${c.inner} mm
          material = ${c.material}
        }
      }
      heat_sink is finned_sink {
        with_fan = ${c.sink} K/W
      }
      cartridge is cartridge_24v_40w {
        power = ${c.power} W
      }
      sensor is pt1000
    }
  }
  watcher {
    of = extruder.hot_end
  }
}

kind watcher {
  inside machine
  of: hot_end
  stuck_time: Time = of.stuck_time(to: 300 degC) {
    source defined "a question"
  }
}
`;
}

/** An extruder with the numbers of a case, and a heater that is strong enough not to set the flow. */
function geared(c: Record<string, number>): string {
  return `part goo is filament {
  nozzle_from = 180 degC
  nozzle_to = 220 degC
  bed = 20 degC
  softening = 60 degC
  flows_at = 150 degC
  melts_well_at = 165 degC
  consistency_at = 210 degC
  strength = 600 MPa
  density = 1200 kg/m^3
  specific_heat = 1900 J/(kg*K)
  conductivity = 0.2 W/(m*K)
  consistency = ${c.consistency} Pa
  exponent = ${c.exponent}
  modulus = 35 GPa
}

machine Bench {
  ambient = 25 degC
  extruder {
    filament = goo
    bead_speed = ${c.speed} mm/s
    motor_torque = ${c.torque} N*m
    motor_mass = 140 g
    gap = 1 mm
    drive_gear {
      diameter = ${c.wheel} mm
      grip = ${c.grip} N
    }
    gear_train {
      reduction = ${c.reduction}
      efficiency = ${c.efficiency}
    }
    guide_tube {
      length = 400 mm
      friction = ${c.friction}
      bend = ${c.bend} deg
      fitting_hold = ${c.fitting} N
    }
    hot_end {
      target = 220 degC
      dry_length = 0 mm
      heat_block is small_block {
        heated_length = ${c.heated} mm
      }
      nozzle {
        bore = ${c.bore} mm
        channel_diameter = ${c.channel} mm
        taper = ${c.taper} mm
        land = ${c.land} mm
        heated_length = 0 mm
      }
      heat_break is titanium_break
      heat_sink is finned_sink
      cartridge is cartridge_24v_40w {
        power = 2000 W
      }
      sensor is pt1000
    }
  }
}
`;
}

/** An extruder with a motor and gears of a case, on a nozzle of 0.4 mm. */
function driven(c: Record<string, number>): string {
  return geared({
    ...c,
    grip: 5000,
    friction: 0,
    bend: 0,
    fitting: 5000,
    heated: 4,
    speed: 20,
  })
    .replace(/ +guide_tube \{[^}]*\}\n/, '')
    .replace(
      / +motor_torque = .*\n +motor_mass = .*\n/,
      `    usable_share = ${c.usable}\n    motor {
      holding_torque = ${c.torque} N*m
      rated_current = ${c.rated} A
      resistance = ${c.resistance} ohm
      inductance = ${c.inductance} mH
      rotor_inertia = 50 g*cm^2
      mass = 200 g
      voltage = ${c.voltage} V
      set_current = ${(c.rated ?? 0) * (c.share_of_current ?? 0)} A
    }\n`,
    )
    .replace(/nozzle \{[^}]*\}/, 'nozzle is brass_nozzle');
}
