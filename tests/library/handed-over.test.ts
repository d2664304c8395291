// What the library hands over of a machine: what its controller is to be set to, and what is checked before it is used.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { connectionsOf } from '../../language/answers/connections.ts';
import { dueChecksOf } from '../../language/judge/commissioning.ts';
import type { Assessed } from '../../language/project.ts';
import { machineIn, shown } from '../support.ts';

const example = (name: string) => readFileSync(join(import.meta.dirname, '../../examples', `${name}.gusset`), 'utf8');

describe('the curve of a sensor, as the controller is to have it', () => {
  const pointsOf = (sensor: string) =>
    shown(machineIn(`machine M {\n  ambient = 20 degC\n  resistive_sensor s is ${sensor}\n}`), 's.curve_points');

  test('of platinum is that of the standard', () => {
    // IEC 60751:2008, table 1: 100.00, 109.73, 119.40, 138.51, 157.33, 175.86, 194.10, 212.05 ohm.
    expect(pointsOf('pt1000')).toBe(
      '[1 kΩ at 0 °C, 1.1 kΩ at 25 °C, 1.19 kΩ at 50 °C, 1.39 kΩ at 100 °C, 1.57 kΩ at 150 °C, 1.76 kΩ at 200 °C, 1.94 kΩ at 250 °C, 2.12 kΩ at 300 °C]',
    );
  });

  test('of a bead ends where the bead does', () => {
    // By its three numbers, B = 3950 K near 25 degC: 100 kohm exp(3950 (1/323.15 - 1/298.15)) = 35.9 kohm at 50 degC.
    expect(pointsOf('ntc_100k_beta')).toMatch(/^\[.*100 kΩ at 25 °C, 35\.9 kΩ at 50 °C.* at 150 °C\]$/);
    expect(pointsOf('ntc_100k')).toMatch(/ at 250 °C\]$/);
  });

  test('of a pair of wires is named', () => {
    const text = 'machine M {\n  ambient = 20 degC\n  thermocouple_k s\n}';
    expect(shown(machineIn(text), 's.curve_words')).toBe('type K of IEC 60584-1');
  });
});

test('a driver tells how several motors hang on it, at each of its terminals', () => {
  const toldOf = (machine: Assessed) => [
    ...new Set(
      connectionsOf(machine).flatMap(({ from, wire }) => (wire.startsWith('motors ') ? `${from} ${wire}` : [])),
    ),
  ];
  expect(toldOf(machineIn(example('heron'), 'Heron'))).toEqual(
    ['A+', 'A−', 'B+', 'B−'].map((pin) => `controller.third_driver:${pin} motors 2 in series`),
  );
  expect(toldOf(machineIn(example('kestrel'), 'Kestrel'))).toEqual([]);
});

test('a block that stands for several counts as many in the parts list, with as much length', () => {
  const heron = machineIn(example('heron'), 'Heron');
  // The file says four screws at the corners, two rods under the bed of 230 + 120 mm, and two motors and rods for the gantry.
  expect(shown(heron, 'levelling.levelling_screw.quantity')).toBe('4');
  expect(shown(heron, 'motion.y.guide.total_length')).toBe('700 mm');
  expect(shown(heron, 'motion.z.drive.motor.quantity')).toBe('2');
});

describe('each axis is moved by hand of the controller before it runs', () => {
  const moved = (name: string, machine: string) =>
    dueChecksOf(machineIn(example(name), machine)).filter(({ check }) => check.name === 'moves_as_told');

  test('where two motors share two axes too, with what tells that they are joined the wrong way', () => {
    // a = x + y, b = x - y: with b reversed a way in x becomes one in y, with a and b swapped one in y is reversed.
    const told = moved('kestrel', 'Kestrel');
    expect(told.map(({ instance }) => instance.name)).toEqual(['x', 'y', 'z']);
    expect(told.map(({ how }) => how.includes('reverse one of them'))).toEqual([true, true, false]);
  });

  test('where each has a motor of its own nothing is said of others', () => {
    const told = moved('heron', 'Heron');
    expect(told.map(({ instance }) => instance.name)).toEqual(['x', 'y', 'z']);
    expect(told.filter(({ how }) => how.includes('Two motors'))).toEqual([]);
  });
});
