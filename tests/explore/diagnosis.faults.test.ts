import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { literalOf } from '../../language/compute/show-cell.ts';
import { diagnose } from '../../language/explore/diagnosis.ts';
import { read } from '../support.ts';

const [heron, stock] = ['heron', 'workshop-stock'].map((name) => readFileSync(`examples/${name}.gusset`, 'utf8'));

/**
 * Faults put into an example by its own text, as a builder would make them, and not by what the library says that a defect alters: what is in
 * the machine, what is seen of it (a value that is read there, or a symptom), and what is to be found.
 */
const faults: readonly (readonly [what: string, text: string, seen: string, found: string])[] = [
  ['the trimmer of the supply', 'supply psu { voltage = 21.2 V }', 'bed.ready_time', 'psu.set_too_low'],
  ['a mat at the edge of its tolerance', 'bed { heater { power = 229 W } }', 'bed.ready_time', 'bed.heater.power'],
  [
    'a lead of 20 m where a joint is bad',
    'circuit bed_power { wire { length = 20 m } }',
    'bed_power.wire.drop',
    'bed_power.wire.joint_loose',
  ],
  [
    'a mat with half of its tracks',
    'bed { heater { power = 124 W } }',
    'bed.heater.cold_resistance',
    'bed.heater.half_dead',
  ],
  [
    'insulation that hangs down',
    'bed { insulation { thickness = 1.5 mm } }',
    'bed.power_to_hold',
    'bed.insulation.hangs_down',
  ],
  ['a draught over the bed', 'bed { air_movement = 4.5 }', 'bed.power_to_hold', 'bed.draught'],
  ['a sensor that reads too warm', 'bed { target = 88 degC }', 'bed.power_to_hold', 'bed.reads_too_warm'],
  ['a film that bows', 'bed { surface { air_gap = 0.3 mm } }', 'bed.print_side_below', 'bed.surface.lies_hollow'],
  ['a mat that came off', 'bed { heater { air_gap = 0.9 mm } }', 'bed.warm_up_time', 'bed.heater.came_off'],
  [
    'a slack belt',
    'moving_bed motion { x { drive { tension = 3 N } } }',
    'motion.x.drive.tuning_frequency',
    'motion.x.drive.slack',
  ],
  [
    'another slack belt',
    'moving_bed motion { y { drive { tension = 5 N } } }',
    'motion.y.drive.tuning_frequency',
    'motion.y.drive.slack',
  ],
  [
    'a current set for another motor',
    'moving_bed motion { y { drive { motor { set_current = 0.7 A } } } }',
    'motion.y.drive.motor.winding_temperature',
    'motion.y.drive.motor.current_too_low',
  ],
  [
    'peak taken for root mean square',
    'moving_bed motion { x { drive { motor { set_current = 1.92 A } } } }',
    'motion.x.drive.motor.winding_temperature',
    'motion.x.drive.motor.current_too_high',
  ],
  [
    'dry rods',
    'moving_bed motion { y { axis_friction = 9 N } }',
    'motion.y.drive.torque_needed',
    'motion.y.runs_stiff',
  ],
  [
    'a nozzle half clogged',
    'extruder { hot_end { nozzle { bore = 0.22 mm } } }',
    'extruder.needed_push',
    'extruder.hot_end.nozzle.clogged',
  ],
  ['a strand crossed on the spool', 'extruder { spool_drag = 31 N }', 'extruder.needed_push', 'extruder.spool_drags'],
  ['a wheel full of dust', 'extruder { drive_gear { bite = 0.06 mm } }', 'extruder.grip', 'extruder.drive_gear.worn'],
  [
    'a fan full of dust',
    'extruder { hot_end { heat_sink { with_fan = 9 K/W } } }',
    'extruder.hot_end.cold_side',
    'extruder.hot_end.heat_sink.blown_at_weakly',
  ],
  ['a supply that promises too much', 'supply psu { power = 300 W }', 'resets', 'psu.weak'],
  [
    'screws of the frame that settled',
    'portal_frame frame { corner_stiffness = 3000 N*m }',
    'frame.mode_in_width',
    'frame.corners_loose',
  ],
  [
    'a tool that runs into the print',
    'moving_bed motion { x { axis_friction = 60 N } }',
    'motion.x.drive.loses_steps',
    'motion.x.held_back',
  ],
];

const at = ['ambient = 20 degC'];
const side = {
  ...read({ 'heron.gusset': heron as string, 'workshop-stock.gusset': stock as string }),
  machine: 'Heron',
};

/** What is read in a machine that is built with a fault. */
function readingOf(text: string, path: string): string {
  const built = `${heron}\nmachine Built is Heron {\n  ambient = 20 degC\n  ${text.replace(/[{}]/g, (brace) => (brace === '{' ? '{\n' : '\n}'))}\n}\n`;
  const { project, file } = read({ 'heron.gusset': built, 'workshop-stock.gusset': stock as string });
  expect(project.mistakes(file).map(({ message }) => message)).toEqual([]);
  const machine = project.computed(file).find(({ tree }) => tree.name === 'Built');
  if (!machine) throw new Error('there is no machine Built');
  const cell = cellAt(path, machine);
  if (!cell) throw new Error(`there is no value ${path}`);
  return `${path} = ${literalOf(machine.engine.value(cell), cell, machine)}`;
}

describe('each fault that is put into an example is among the first three that are told', () => {
  for (const [what, text, seen, found] of faults)
    test(what, () => {
      // A symptom is known by its name; a value by what is read.
      const said = cellAt(seen, side.project.computed(side.file)[0] as never) ? readingOf(text, seen) : seen;
      const { causes } = diagnose(side, [said], at);
      expect(causes.slice(0, 3).map(({ path }) => path)).toContain(found);
      expect(causes.find(({ path }) => path === found)?.explains).toBe(true);
    });
});

test('axes that share motors ring where the belts of these are slack', () => {
  const kestrel = readFileSync('examples/kestrel.gusset', 'utf8');
  const shared = {
    ...read({ 'kestrel.gusset': kestrel, 'workshop-stock.gusset': stock as string }),
    machine: 'Kestrel',
  };
  const [first] = diagnose(shared, ['rings'], []).causes;
  expect(first).toMatchObject({ path: 'motion.pair.slack', explains: true });
});
