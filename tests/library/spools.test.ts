import { expect, test } from 'vitest';
import { broken, valuesOf } from './values.ts';

const drawn = (spool: string, rest = '') => `machine Bench {
  ambient = 25 degC
  ${rest}
  extruder { filament = pla\n motor_torque = 0.2 N*m\n motor_mass = 200 g\n drive_gear is wheel_11mm
    hot_end is hot_end_24v_40w { target = 215 degC }\n spool { ${spool} } }
}`;

test('drawing from a spool takes the torque of its friction, by the arm on which filament pulls', () => {
  // Coulomb's friction, 0.3 of 1.22 kg on an axle of 40 mm, by a winding of 190 mm: 0.3 x 11.96 N x 40/190 = 0.756 N.
  const full = valuesOf(drawn('filament_mass = 1 kg\n tare = 220 g'));
  expect(full('extruder.spool.drag')).toBeCloseTo(0.3 * 1.22 * 9.80665 * (40 / 190), 3);
  expect(full('extruder.spool_drag')).toBeCloseTo(full('extruder.spool.drag'), 9);
  // Euler 1762, Eytelwein 1808: half a turn with a friction of 0.1 makes 1.369 times as much of it.
  const bent = valuesOf(drawn('filament_mass = 1 kg\n tare = 220 g\n bend = 180 deg'));
  expect(bent('extruder.spool.drag') / full('extruder.spool.drag')).toBeCloseTo(Math.exp(0.1 * Math.PI), 6);
  // Common practice, no source: 1 to 3 N where it turns freely on its way.
  expect(bent('extruder.spool.drag')).toBeGreaterThan(0.5);
  expect(bent('extruder.spool.drag')).toBeLessThan(3);
});

test('a spool that is nearly empty pulls on a shorter arm', () => {
  const heavy = valuesOf(drawn('filament_mass = 100 g\n tare = 500 g\n wound_to = 190 mm\n wound_from = 60 mm'));
  expect(heavy('extruder.spool.drag')).toBeCloseTo(0.3 * 0.5 * 9.80665 * (40 / 60), 3);
});

test('a spool stands in the room, and sticks together in a place that is too warm for it', () => {
  const hot = 'place attic { temperature = 70 degC }';
  expect(broken(drawn('', hot))).not.toContain('too_hot_where_it_sits');
  expect(valuesOf(drawn('', hot))('extruder.spool.comes_to')).toBeCloseTo(273.15 + 25, 6);
  expect(broken(drawn('place = attic', hot))).toContain('too_hot_where_it_sits');
});
