import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { open } from './fixtures.ts';

/** The example in a room of 25 °C, without what its keeper wants, and with a watch over the fan of its cold side. */
const petrel = readFileSync(new URL('../../examples/petrel.gusset', import.meta.url), 'utf8')
  .replace(/ambient = .*/, 'ambient = 25 degC')
  .replaceAll(/^ *require .*\n/gm, '')
  .replace(
    'fan sink_fan is fan_24v_40mm { place = tool }',
    'fan sink_fan is fan_24v_40mm {\n    place = tool\n    watched = yes\n  }',
  );

/** A good small machine: what is different from the example, and why it is good all the same. */
interface Good {
  readonly name: string;
  readonly why: string;
  readonly text: string;
}

const good: Good[] = [
  {
    name: 'Pla',
    why: 'PLA at 215 °C on a bed of 60 °C is what most machines print',
    text: 'bed { target = 60 degC }\n extruder { filament = pla\n hot_end { target = 215 degC } }',
  },
  {
    name: 'Faster',
    why: '100 mm/s of PLA with a plain nozzle of 0.4 mm and a geared drive are ordinary',
    text: 'extruder { filament = pla\n bead_speed = 100 mm/s\n gear_train is gears_18_53\n hot_end { target = 220 degC } }',
  },
  {
    name: 'Ungeared',
    why: '100 mm/s of PLA ask for 32 N: four fifths of what a motor of 0.22 N m gives on a wheel of 11 mm, without gears',
    text: 'extruder { filament = pla\n bead_speed = 100 mm/s\n hot_end { target = 220 degC } }',
  },
  {
    name: 'Small_wheel',
    why: 'the same on a wheel of 8 mm, with 50 N, and a motor that is turned down',
    text: 'extruder { filament = pla\n bead_speed = 100 mm/s\n drive_gear is wheel_pair_8mm\n motor { set_current = 0.85 A }\n hot_end { target = 220 degC } }\n controller { driver fourth_driver { setting = 0.85 A } }',
  },
  {
    name: 'Two_zones',
    why: 'a bed of two halves, each on an output of its own, both watched by the sensor over them, each with a cutoff',
    text: `board controller is board_6_axis {
    output third_fan_output { regulated_by = controller.bed_input }
  }
  bed {
    heater { power = 38 W
      size = 150 mm x 75 mm }
    heater outer_heater {
      power = 38 W
      voltage = 24 V
      size = 150 mm x 75 mm
      material = silicone_rubber
    }
  }
  cutoff second_cutoff is thermal_link_133c { place = bed
    sits = on_plate }
  relay zone_relay is relay_dc_10a { control = controller.third_fan_output }
  fuse zone_fuse is blade_3a
  wire outer_wire {
    area = 1 mm^2
    length = 0.6 m
    insulation = silicone
  }
  circuit outer_circuit { path = [psu, zone_fuse, zone_relay, outer_wire, second_cutoff, bed.outer_heater] }`,
  },
  {
    name: 'Wide_bore',
    why: 'a bore of 0.6 mm lays thick beads slowly',
    text: 'extruder { layer_height = 0.3 mm\n bead_speed = 40 mm/s\n hot_end { nozzle { bore = 0.6 mm } } }',
  },
  {
    name: 'Fine_bore',
    why: 'a bore of 0.25 mm prints fine and slowly',
    text: 'extruder { layer_height = 0.1 mm\n bead_speed = 30 mm/s\n hot_end { nozzle { bore = 0.25 mm } } }',
  },
  {
    name: 'Hard_nozzle',
    why: 'hardened steel wears less, and prints as well',
    text: 'extruder { hot_end { nozzle is steel_nozzle } }',
  },
  {
    name: 'Split_core',
    why: 'a split core melts 140 mm/s',
    text: 'extruder { bead_speed = 140 mm/s\n motor is nema17_40mm { set_current = 1.15 A }\n hot_end { nozzle is split_core_nozzle } }\n controller { driver fourth_driver { setting = 1.15 A } }',
  },
  {
    name: 'Long_zone',
    why: 'a hot zone of 22 mm melts 130 mm/s',
    text: 'extruder { bead_speed = 130 mm/s\n hot_end { heat_block { heated_length = 14 mm } } }',
  },
  {
    name: 'Titanium',
    why: 'a heat break of titanium alloy lets less heat up',
    text: 'extruder { hot_end { heat_break is titanium_break } }',
  },
  {
    name: 'Flexible',
    why: 'flexible filament runs through a gap of 2 mm, slowly',
    text: 'bed { target = 40 degC }\n extruder { filament = tpu_95a\n gap = 2 mm\n bead_speed = 25 mm/s\n hot_end { target = 230 degC } }',
  },
  {
    name: 'One_wheel',
    why: 'one wheel holds what 40 mm/s ask for',
    text: 'extruder { bead_speed = 40 mm/s\n drive_gear is wheel_11mm }',
  },
  {
    name: 'Geared',
    why: 'moulded gears of three to one keep the motor cool and the wheel cold',
    text: 'extruder { gear_train is gears_18_53 }',
  },
  {
    name: 'Planetary',
    why: 'a planetary train of five to one on the motor',
    text: 'extruder { gear_train is planetary_5 }\n moving_bed { carriage_mass = 0.42 kg }',
  },
  {
    name: 'Remote',
    why: 'a tube of 400 mm, with its motor set so that the fitting holds',
    text: 'extruder { guide_tube is tube_4x2 { length = 400 mm } }',
  },
  {
    name: 'Strong_fitting',
    why: 'a clamped fitting holds whatever the wheel gives',
    text: 'extruder { gear_train is gears_18_53\n guide_tube is tube_4x2 { length = 400 mm\n fitting_hold = 150 N } }',
  },
  {
    name: 'Short_retraction',
    why: '0.8 mm at 40 mm/s is usual without a tube',
    text: 'extruder { retraction { length = 0.8 mm\n speed = 40 mm/s } }',
  },
  {
    name: 'Long_retraction',
    why: '5 mm are usual with a tube of 400 mm',
    text: 'extruder { guide_tube is tube_4x2 { length = 400 mm }\n retraction { length = 5 mm } }',
  },
  {
    name: 'Measured',
    why: '14 mm^3/s were measured, which formulas would not promise',
    text: 'extruder { bead_speed = 160 mm/s\n measured_flow { nozzle = 235 degC\n flow = 14 mm^3/s } }',
  },
  {
    name: 'Loose_spool',
    why: 'a spool on bearings drags with next to nothing',
    text: 'extruder { spool_drag = 0.5 N }',
  },
  { name: 'Fine_steps', why: 'a motor of 0.9 degrees steps finer', text: 'extruder { motor { full_steps = 400 } }' },
  {
    name: 'Many_microsteps',
    why: '64 microsteps take 64 times 200 steps a turn, which a board of 32 bit sends',
    text: 'extruder { motor { microsteps = 64 } }',
  },
  { name: 'Cool_room', why: 'a cool room costs warm-up, and is no fault', text: 'ambient = 12 degC' },
  {
    name: 'Magnetic_sheet',
    why: 'a flexible magnetic sheet bears 80 °C, and the bed has 60',
    text: 'bed { target = 60 degC\n magnets is magnetic_sheet }\n extruder { filament = pla\n hot_end { target = 215 degC } }',
  },
  {
    name: 'Strong_magnets',
    why: 'samarium and cobalt keep their hold where neodymium would not',
    text: 'bed { magnets is samarium_cobalt }',
  },
  {
    name: 'Clipped_glass',
    why: 'glass with clips, on a bed without magnets',
    text: 'bed { no magnets\n sheet { material = borosilicate_glass\n thickness = 3 mm\n held_by = clips } }',
  },
  { name: 'Slow_layers', why: 'layers of 0.1 mm ask for half of the flow', text: 'extruder { layer_height = 0.1 mm }' },
  {
    name: 'Thick_layers',
    why: 'layers of 0.28 mm are within three quarters of the bore',
    text: 'extruder { layer_height = 0.28 mm\n bead_speed = 50 mm/s }',
  },
  {
    name: 'Wide_beads',
    why: 'beads of 0.5 mm through 0.4 mm are usual',
    text: 'extruder { bead_width = 0.5 mm\n bead_speed = 50 mm/s }',
  },
  { name: 'Long_gap', why: 'PETG bears its push over 10 mm', text: 'extruder { gap = 10 mm }' },
  { name: 'Hotter', why: 'PETG at 250 °C flows better', text: 'extruder { hot_end { target = 250 degC } }' },
  {
    name: 'Less_current',
    why: 'a motor turned down still pushes enough at 50 mm/s',
    text: 'extruder { bead_speed = 50 mm/s\n motor { set_current = 0.9 A } }\n controller { driver fourth_driver { setting = 0.9 A } }',
  },
  {
    name: 'Hard_springs',
    why: 'a stronger spring holds soft filament',
    text: 'bed { target = 40 degC }\n extruder { filament = tpu_95a\n gap = 1 mm\n bead_speed = 30 mm/s\n drive_gear { pinch = 50 N }\n hot_end { target = 230 degC } }',
  },
  {
    name: 'Two_part_fans',
    why: 'two blowers from left and right share an output: what they draw together is less than it carries',
    text: 'bed { heater { power = 75 W } }\n fan left_fan is fan_24v_40mm_blower\n circuit left_fan_circuit is fan_circuit { path = [controller.second_fan_output, fuse, connector, wire, left_fan] }\n extruder { print_fans = [part_fan, left_fan] }',
  },
  {
    name: 'Runout',
    why: 'a sensor on an input that is free stops the print where filament runs out',
    text: 'board controller is board_6_axis\n bed { heater { power = 75 W } }\n filament_sensor runout { input = controller.spare_switch_input }',
  },
  {
    name: 'Lid',
    why: 'a switch at the lid lets the controller stop all, as its maker means it',
    text: 'board controller is board_6_axis\n bed { heater { power = 75 W } }\n door_switch lid { input = controller.spare_switch_input\n does = stops_all }',
  },
  {
    name: 'Lit',
    why: 'a light that is dimmed by 1 kHz is not seen to flicker',
    text: 'board controller is board_6_axis { output third_fan_output { switching_frequency = 1 kHz } }\n bed { heater { power = 75 W } }\n light lamp is strip_24v_300mm { dimmed = yes }\n circuit lamp_power is fan_circuit { wire { length = 1 m }\n path = [controller.third_fan_output, fuse, connector, wire, lamp] }',
  },
  {
    name: 'Bolted',
    why: 'screws of 10 mm through plates of 4 mm hold in slot nuts by more than their diameter',
    text: 'bolt screw * 8 is bolt_m5 { length = 10 mm\n clamps = 4 mm\n into = m5\n through = through_m5 }\n slot_nut nut * 8 is slot_nut_m5_6mm { slot = slot_6mm }',
  },
  {
    name: 'Inserted',
    why: 'screws of 8 mm through 3 mm hold in inserts that are 5.7 mm long; bearings sit on pins of their size',
    text: 'bolt screw * 4 is bolt_m3 { length = 8 mm\n clamps = 3 mm\n depth = 5.7 mm\n holds_in = insert\n into = m3 }\n threaded_insert bush * 4 is insert_m3 { set_into = hole_for_insert_m3 }\n ball_bearing idler * 2 is bearing_5x16x5 { sits_on = pin_5mm }',
  },
  {
    name: 'Filled',
    why: 'PETG with fibres through a nozzle of hardened steel',
    text: 'extruder { filament = petg_carbon\n bead_speed = 40 mm/s\n hot_end { nozzle is steel_nozzle } }',
  },
  {
    name: 'Slow_drive',
    why: 'retraction at 25 mm/s is easy for any motor',
    text: 'extruder { retraction { speed = 25 mm/s\n acceleration = 1 m/s^2 } }',
  },
];

test('there are thirty of them at least, and each says why it is good', () => {
  expect(good.length).toBeGreaterThanOrEqual(30);
  expect(new Set(good.map(({ name }) => name)).size).toBe(good.length);
  for (const { why } of good) expect(why.length).toBeGreaterThan(20);
});

// Common practice, no source: builds of these sorts work. Nothing is found in them.
test.each(good)('$name: $why', ({ name, text }) => {
  const { project, file } = open(`${petrel}\nmachine Petrel_${name} is Petrel {\n${text}\n}\n`);
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  const machine = project.machines(file).find(({ tree }) => tree.name === `Petrel_${name}`);
  const said = machine?.assessment.findings.map((finding) => `${finding.rule}: ${finding.message}`);
  expect(said).toEqual([]);
});
