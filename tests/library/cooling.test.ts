import { describe, expect, test } from 'vitest';
import { ask, valuesOf } from './values.ts';

/** A machine that prints PLA under a fan of its own, and one of its values. */
const printed = (fan: string, rest = '', filament = 'pla') =>
  valuesOf(`part wind is fan { voltage = 24 V\n power = 1 W\n ${fan} }
machine Bench {
  ambient = 25 degC
  fan part_fan is wind
  extruder { filament = ${filament}\n print_fans = [part_fan]\n motor_torque = 0.2 N*m\n motor_mass = 200 g
    drive_gear is wheel_11mm\n hot_end is hot_end_24v_40w { target = 215 degC }\n ${rest} }
}`);

const strong = 'free_flow = 9999 m^3/h\n free_pressure = 100 Pa';

describe('what a fan blows through a duct', () => {
  test('is as fast as its pressure makes it, where its flow knows no end', () => {
    // Bernoulli: v = sqrt(2 p / rho); 100 Pa and 1.2 kg/m^3 give 12.91 m/s.
    expect(printed(strong, 'duct_loss = 0')('extruder.outlet_speed')).toBeCloseTo(12.91, 1);
    expect(printed(strong, 'duct_loss = 3')('extruder.outlet_speed')).toBeCloseTo(6.455, 1);
  });

  test('is its free flow, where the duct is no obstacle', () => {
    const at = printed('free_flow = 3.6 m^3/h\n free_pressure = 1 kPa', 'duct_outlet = 90 cm^2');
    expect(at('extruder.outlet_speed') * 0.009).toBeCloseTo(0.001, 5);
  });

  test('lies on the curve of the fan and on that of the duct', () => {
    const [p0, q0, area, zeta] = [80, 3.5 / 3600, 80e-6, 1.5];
    const v = printed('free_flow = 3.5 m^3/h\n free_pressure = 80 Pa')('extruder.outlet_speed');
    expect(p0 * (1 - (v * area) / q0)).toBeCloseTo((1 + zeta) * 0.6 * v * v, 6);
  });

  test('of two fans side by side is twice as much where the duct is no obstacle', () => {
    const one = 'free_flow = 3.6 m^3/h\n free_pressure = 1 kPa';
    const two = valuesOf(`part wind is fan { voltage = 24 V\n power = 1 W\n ${one} }
machine Bench { ambient = 25 degC\n fan part_fan * 2 is wind
  extruder { filament = pla\n print_fans = [part_fan]\n duct_outlet = 90 cm^2 } }`);
    expect(two('extruder.fan_flow')).toBeCloseTo(0.002, 9);
  });

  test('the outlet that a way out tells gives the speed that was asked for', () => {
    const [speed, zeta, p0, q0] = [3 * 1.02, 1.5, 80, 10 / 3600];
    const area = (q0 / speed) * (1 - ((1 + zeta) * 0.6 * speed ** 2) / p0);
    const fan = 'free_flow = 10 m^3/h\n free_pressure = 80 Pa';
    expect(printed(fan, `duct_outlet = ${area * 1e6} mm^2`)('extruder.outlet_speed')).toBeCloseTo(speed, 6);
  });
});

describe('how long a layer takes to get hard', () => {
  test('is the time of a lumped capacitance', () => {
    // Incropera, Fundamentals of Heat and Mass Transfer, example 5.1: a bead of 0.706 mm, which is 0.1177 mm of volume by area,
    // of 8500 kg/m^3 and 400 J/(kg K), at 400 W/(m^2 K), comes within 1 K of the 175 K between it and the gas in 5.2 s.
    const bead = 'height: 0.1177 mm, density: 8500 kg/m^3, specific_heat: 400 J/(kg*K), coefficient: 400 W/(m^2*K)';
    const time = ask('Time', `layer_cooling(${bead}, start: 375 degC, end: 201 degC, air: 200 degC)`);
    expect(time).toBeCloseTo(5.2, 1);
  });

  test('is 5 to 20 s for PLA under a fan, and some minute without', () => {
    // Common practice, no source: 5 to 15 s with a fan.
    const fan = 'free_flow = 7 m^3/h\n free_pressure = 150 Pa';
    const with_ = printed(fan)('extruder.least_layer_time');
    expect(with_).toBeGreaterThan(5);
    expect(with_).toBeLessThan(20);
    expect(printed(fan, '', 'abs_polymer')('extruder.least_layer_time')).toBeGreaterThan(2 * with_);
  });

  test('grows with the layer, and falls with the air', () => {
    const of = (fan: string, rest: string) =>
      printed(`free_flow = 7 m^3/h\n ${fan}`, rest)('extruder.least_layer_time');
    const base = of('free_pressure = 100 Pa', 'layer_height = 0.2 mm');
    expect(of('free_pressure = 100 Pa', 'layer_height = 0.3 mm')).toBeCloseTo(1.5 * base, 6);
    expect(of('free_pressure = 200 Pa', 'layer_height = 0.2 mm')).toBeLessThan(base);
  });
});
