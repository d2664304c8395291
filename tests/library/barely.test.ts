import { describe, expect, test } from 'vitest';
import { fixture, foundIn, open } from './fixtures.ts';
import { valuesOf } from './values.ts';

/** Reads a value of a text by its path, in coherent SI units. */
type Reads = (path: string) => number;

/** A value of a rule's keeping example, set to where the rule just holds, and to a hair beyond. */
interface Barely {
  readonly rule: string;
  /** Whose keeping example it is, where not the rule's own. */
  readonly of?: string;
  /** What of the example's text gives way. */
  readonly find: string;
  /** What stands there instead, with the value as it is to be written. */
  readonly put: (value: string) => string;
  readonly unit: string;
  /** Where the limit lies, in that unit: from a standard or by hand, or of what the machine comes to by its own values. */
  readonly limit: number | ((value: Reads, at: (value: number) => Reads) => number);
  /** Must the value be at least that, or at most? */
  readonly is: 'at least' | 'at most';
  /** How far beyond is beyond, in that unit. */
  readonly hair: number;
}

/** Where something comes to a value as another is raised, by halving. */
function where(reaches: (value: number) => boolean, low: number, high: number): number {
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (reaches(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

const celsius = (kelvin: number) => kelvin - 273.15;
const rated = (part: string) => ({
  find: `is ${part}`,
  put: (value: string) => `is ${part} {\n rated_current = ${value}\n }`,
  unit: 'A',
  is: 'at least' as const,
  hair: 0.05,
});

const rows: readonly Barely[] = [
  // Ratings against the current that flows.
  {
    rule: 'relay_overloaded',
    ...rated('relay_dc_25a'),
    find: 'rated_current = 25 A',
    put: (value) => `rated_current = ${value}`,
    limit: (value) => value('mat_power.current'),
  },
  {
    // Common practice, no source: 50 to 60 % of what is printed on a solid-state relay.
    rule: 'relay_near_limit',
    of: 'relay_overloaded',
    ...rated('relay_dc_25a'),
    find: 'rated_current = 25 A',
    put: (value) => `rated_current = ${value}`,
    limit: (value) => value('mat_power.current') / 0.6,
  },
  { rule: 'switch_overloaded', ...rated('toggle_dc_5a'), limit: (value) => value('mat_power.current') },
  { rule: 'connector_overloaded', ...rated('blade_tab_6_3mm'), limit: (value) => value('mat_power.current') },
  {
    rule: 'cutoff_current_too_low',
    ...rated('thermal_link_133c'),
    find: 'rated_current = 15 A',
    put: (value) => `rated_current = ${value}`,
    limit: (value) => value('bed_power.current'),
  },
  { rule: 'fuse_too_small', ...rated('blade_15a'), limit: (value) => value('mat_power.current') },
  {
    rule: 'filter_overloaded',
    ...rated('mains_filter_10a'),
    find: 'rated_current = 10 A',
    put: (value) => `rated_current = ${value}`,
    limit: (value) => value('mat_power.current'),
  },
  {
    rule: 'relay_inrush_too_high',
    find: 'inrush_limit = 120 A',
    put: (value) => `inrush_limit = ${value}`,
    unit: 'A',
    limit: (value) => value('mains_side.relay.inrush_through'),
    is: 'at least',
    hair: 0.05,
  },
  {
    // IEC 61058-1, from memory: the number in brackets on a switch is the current for motors.
    rule: 'switch_winding_current_too_high',
    find: 'is toggle_dc_5a',
    put: (value) => `is toggle_dc_5a {\n rated_winding_current = ${value}\n }`,
    unit: 'A',
    limit: (value) => value('pump_power.current'),
    is: 'at least',
    hair: 0.01,
  },
  {
    rule: 'relay_winding_current_too_high',
    find: 'coil_suppressed = yes',
    put: (value) => `coil_suppressed = yes\n rated_winding_current = ${value}`,
    unit: 'A',
    limit: (value) => value('pump_power.current'),
    is: 'at least',
    hair: 0.01,
  },
  {
    // Common practice, no source: a cold filament draws ten times its current, here that of 45 W at 24 V.
    rule: 'switch_inrush_too_high',
    of: 'switch_winding_current_too_high',
    find: 'draws_as = windings\n  }\n  circuit pump_power {\n    fuse is blade_7_5a\n    switch is toggle_dc_5a',
    put: (value) =>
      `draws_as = filament\n }\n circuit pump_power {\n fuse is blade_7_5a\n switch is toggle_dc_5a {\n inrush_limit = ${value}\n }`,
    unit: 'A',
    limit: (10 * 45) / 24,
    is: 'at least',
    hair: 0.05,
  },
  // 1.2 W/cm^2 over 23 cm by 23 cm, as on a maker's page on mats of silicone rubber.
  {
    rule: 'heater_too_dense',
    find: 'power = 250 W',
    put: (value) => `power = ${value}`,
    unit: 'W',
    limit: 1.2 * 23 ** 2,
    is: 'at most',
    hair: 0.1,
  },
  // Heat.
  {
    // Data sheets of thermal links, from memory: T_h at least 10 K below T_f, here 130 degC.
    rule: 'cutoff_holds_too_near',
    find: 'holds_at = 115 degC',
    put: (value) => `holds_at = ${value}`,
    unit: 'degC',
    limit: 120,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'heater_alone_stuck_on',
    find: 'power = 40 W',
    put: (value) => `power = 40 W\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('pad.rest_alone_at_most')),
    is: 'at least',
    hair: 0.1,
  },
  {
    // The margin of a fault: 15 % of the rise, at least 10 K, common practice. The plate is what bears the least.
    rule: 'stuck_on_unprotected',
    of: 'touchable_too_hot',
    find: 'touchable = yes',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) =>
      celsius(value('bed.stuck_on_temperature')) +
      Math.max(10, 0.15 * (celsius(value('bed.stuck_on_temperature')) - 20)),
    is: 'at least',
    hair: 0.1,
  },
  {
    // Silicone bears 180 degC: the wire that ends at the bed.
    rule: 'plausible_limit_too_high',
    find: 'highest_plausible = 180 degC',
    put: (value) => `highest_plausible = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.lowest_limit')),
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'chamber_limit_too_high',
    find: 'highest_plausible = 80 degC',
    put: (value) => `highest_plausible = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('chamber.lowest_limit')),
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'too_hot_where_it_sits',
    find: 'temperature = 55 degC',
    put: (value) => `temperature = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('object_fan.limit')),
    is: 'at most',
    hair: 0.1,
  },
  // ISO 13732-1, from memory: 48 degC for what is gripped, and 60 degC as the usual limit for bare metal.
  {
    rule: 'grip_too_hot',
    find: 'ambient = 20 degC',
    put: (value) => `ambient = ${value}`,
    unit: 'degC',
    limit: 48,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'touchable_too_hot',
    find: 'target = 60 degC',
    put: (value) => `target = ${value}`,
    unit: 'degC',
    limit: 60,
    is: 'at most',
    hair: 0.1,
  },
  // A chamber: 10 K to spare for spots with less air and for the spread of a cutoff, common practice.
  {
    rule: 'chamber_heater_too_hot',
    find: 'size = 250 mm x 250 mm',
    put: (value) => `size = 250 mm x 250 mm\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('chamber.element_in_use')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'chamber_cutoff_opens_in_use',
    find: 'opens_at = 150 degC',
    put: (value) => `opens_at = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('chamber.element_in_use')) + value('chamber.cutoff.own_rise') + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'chamber_cutoff_opens_too_late',
    find: 'limit = 200 degC',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('chamber.element_hottest')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    // ISO 13732-1, from memory: 60 degC for bare metal that is touched in passing.
    rule: 'enclosure_outside_too_hot',
    find: 'temperature = 70 degC',
    put: (value) => `temperature = ${value}`,
    unit: 'degC',
    limit: (_, at) => where((value) => celsius(at(value)('chamber.outside_temperature')) >= 60, 60, 200),
    is: 'at most',
    hair: 0.1,
  },
  // A hot end: filament burns from 350 degC on, from memory; 10 K to spare in use, common practice.
  {
    rule: 'hot_end_melts_down',
    find: 'cartridge is self_limiting_24v_40w',
    put: (value) => `cartridge is self_limiting_24v_40w {\n switches_at = ${value}\n }`,
    unit: 'degC',
    limit: (_, at) =>
      where((value) => celsius(at(value)('extruder.hot_end.stuck_on_temperature')) + 10 >= 350, 240, 400),
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'hot_end_stuck_on',
    find: 'nozzle is brass_nozzle',
    put: (value) => `nozzle is brass_nozzle {\n limit = ${value}\n }`,
    unit: 'degC',
    limit: (value) => celsius(value('extruder.hot_end.stuck_on_at_most')),
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'hot_end_cutoff_opens_in_use',
    find: 'holds_at = 235 degC',
    put: (value) => `holds_at = ${value}`,
    unit: 'degC',
    limit: (value) => 220 + value('extruder.hot_end.cutoff.own_rise') + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'hot_end_cutoff_opens_too_late',
    find: 'nozzle is brass_nozzle',
    put: (value) => `nozzle is brass_nozzle {\n limit = ${value}\n }`,
    unit: 'degC',
    limit: (value) => celsius(value('extruder.hot_end.hottest_in_fault')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'liner_too_hot',
    find: 'limit = 250 degC',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('extruder.hot_end.liner.comes_to')),
    is: 'at least',
    hair: 0.1,
  },
  {
    // 20 K beyond the target are to be seen, common practice: 220 degC.
    rule: 'hot_end_sensor_out_of_range',
    find: 'hottest = 250 degC',
    put: (value) => `hottest = ${value}`,
    unit: 'degC',
    limit: 240,
    is: 'at least',
    hair: 0.1,
  },
  // A bed in use and in its fault: 10 K to spare each time, common practice.
  {
    rule: 'sensor_out_of_range',
    find: 'sensor is ntc_100k',
    put: (value) => `sensor is ntc_100k {\n hottest = ${value}\n }`,
    unit: 'degC',
    limit: 110,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'cutoff_opens_in_use',
    find: 'cutoff is thermal_link_133c',
    put: (value) => `cutoff is thermal_link_133c {\n holds_at = ${value}\n }`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.guard_in_use')) + value('bed.guard_rise_in_use') + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'cutoff_opens_too_late',
    find: 'material = cast_aluminium',
    put: (value) => `material = cast_aluminium\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.temperature_when_opened')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'heater_limit_below_target',
    find: 'power = 250 W',
    put: (value) => `power = 250 W\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.heater_temperature')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'adhesive_too_hot',
    find: 'limit = 200 degC',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.hottest_spot')) + value('bed.bond_excess'),
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'insulation_too_hot',
    find: 'material = silicone_foam',
    put: (value) => `material = silicone_foam\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.heater_temperature')) + 10,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'sensor_behind_bed',
    find: 'limit = 150 degC',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.target')) + value('bed.sensor.behind'),
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'cutoff_opens_while_sensor_lags',
    find: 'cutoff is thermal_link_133c',
    put: (value) => `cutoff is thermal_link_133c {\n holds_at = ${value}\n }`,
    unit: 'degC',
    limit: (value) => celsius(value('bed.target')) + value('bed.sensor.behind'),
    is: 'at least',
    hair: 0.1,
  },
  // Silicone bears 180 degC: the wires that end at the bed.
  {
    rule: 'bed_wire_ends_too_hot',
    find: 'target = 100 degC',
    put: (value) => `target = ${value}`,
    unit: 'degC',
    limit: 180,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'bed_back_wire_too_hot',
    find: 'target = 100 degC',
    put: (value) => `target = ${value}`,
    unit: 'degC',
    limit: 180,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'mains_part_too_hot',
    find: 'temperature = 50 degC',
    put: (value) => `temperature = ${value}`,
    unit: 'degC',
    limit: 55,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'enclosure_hot_without_fan',
    find: 'watched = yes\n  }\n  board controller is board_4_axis {\n    place = box\n    power = 16 W\n  }\n  computer brain is computer_5v_15w {\n    place = box\n    limit = 60 degC',
    put: (value) =>
      `}\n board controller is board_4_axis {\n place = box\n power = 16 W\n limit = 90 degC\n }\n computer brain is computer_5v_15w {\n place = box\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('box.without_fan')),
    is: 'at least',
    hair: 0.1,
  },
  // What protects, and what it protects.
  {
    rule: 'relay_slower_than_fuse',
    find: 'surge_integral = 900 A^2*s',
    put: (value) => `surge_integral = ${value}`,
    unit: 'A^2*s',
    limit: (value) => value('mat_power.fuse.let_through'),
    is: 'at least',
    hair: 0.5,
  },
  {
    // IEC 60364-4-43, 433.1, from memory: what opens the fuse is at most 1.45 times what is behind it bears.
    rule: 'contact_unprotected',
    find: 'thickest = 2.5 mm^2',
    put: (value) => `thickest = 2.5 mm^2\n rated_current = ${value}`,
    unit: 'A',
    limit: (value) => value('mat_power.fuse.opening_current') / 1.45,
    is: 'at least',
    hair: 0.01,
  },
  {
    rule: 'copper_too_hot_for_terminal',
    find: 'limit = 85 degC',
    put: (value) => `limit = ${value}`,
    unit: 'degC',
    limit: (value) => 72 + value('mat_power.wire.own_rise'),
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'relay_too_hot',
    find: 'sink_to_air = 2 K/W',
    put: (value) => `sink_to_air = 2 K/W\n base_limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('mat_power.relay.base_temperature')),
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'board_input_overloaded',
    find: 'input_limit = 20 A',
    put: (value) => `input_limit = ${value}`,
    unit: 'A',
    limit: (value) => value('controller.input_current'),
    is: 'at least',
    hair: 0.05,
  },
  // Mains.
  {
    // EN 50160, from memory: within a tenth of the nominal voltage.
    rule: 'mains_unlike_site',
    find: 'mains = 230 V',
    put: (value) => `mains = ${value}`,
    unit: 'V',
    limit: 253,
    is: 'at most',
    hair: 0.1,
  },
  {
    // IEC 60664-1, table F.4, from memory: 2.5 mm for basic insulation of 250 V, twice that for reinforced.
    rule: 'mains_too_close',
    find: 'separation = 8 mm',
    put: (value) => `separation = ${value}`,
    unit: 'mm',
    limit: 5,
    is: 'at least',
    hair: 0.01,
  },
  {
    // IEC 60364-5-53, 531.3.2, from memory: 30 % of the device's rating in normal use.
    rule: 'leakage_trips_residual_device',
    find: 'residual_current = 30 mA',
    put: (value) => `residual_current = ${value}`,
    unit: 'mA',
    limit: (value) => (8 * value('leakage') * 1e3) / 0.3,
    is: 'at least',
    hair: 0.1,
  },
  // Shock.
  // IEC 60364-4-41, 415.1, from memory: 30 mA saves people.
  {
    rule: 'mains_heater_without_residual_device',
    find: 'residual_current = 30 mA',
    put: (value) => `residual_current = ${value}`,
    unit: 'mA',
    limit: 30,
    is: 'at most',
    hair: 0.1,
  },
  // IEC 60364-5-54, table 54.2, from memory: as thick as the line, here 1 mm^2.
  {
    rule: 'frame_earth_too_thin',
    find: 'wire frame_bond {\n    area = 1.5 mm^2',
    put: (value) => `wire frame_bond {\n    area = ${value}`,
    unit: 'mm^2',
    limit: 1,
    is: 'at least',
    hair: 0.01,
  },
  {
    rule: 'earth_too_thin',
    of: 'sensor_on_mains_heater',
    find: 'wire earth_wire {\n      area = 1 mm^2',
    put: (value) => `wire earth_wire {\n      area = ${value}`,
    unit: 'mm^2',
    limit: 1,
    is: 'at least',
    hair: 0.01,
  },
  {
    // EN 50106: 0.1 ohm; the resistance grows with the length.
    rule: 'earth_resistance_too_high',
    find: 'area = 2.5 mm^2\n    length = 0.3 m',
    put: (value) => `area = 2.5 mm^2\n    length = ${value}`,
    unit: 'm',
    limit: (value) => (0.3 * 0.1) / value('supply_earth.resistance'),
    is: 'at most',
    hair: 0.05,
  },
  {
    // IEC 60204-1, 6.2.4, from memory: 60 V after 1 s. 470 nF, charged to the peak of mains that are a tenth high.
    rule: 'plug_stays_charged',
    find: 'bleed_resistance = 1 Mohm',
    put: (value) => `bleed_resistance = ${value}`,
    unit: 'kohm',
    limit: 1 / Math.log((Math.SQRT2 * 1.1 * 230) / 60) / 470e-9 / 1e3,
    is: 'at most',
    hair: 1,
  },
  // Ratings of temperature where a part sits, or what it lies on.
  {
    // FEP bears 200 degC.
    rule: 'leads_too_hot',
    find: 'target = 90 degC',
    put: (value) => `target = ${value}`,
    unit: 'degC',
    limit: 200,
    is: 'at most',
    hair: 0.1,
  },
  {
    // Silicone bears 180 degC, in a room of 20 degC.
    rule: 'wire_insulation_too_hot',
    find: 'rise = 60 K',
    put: (value) => `rise = ${value}`,
    unit: 'K',
    limit: 160,
    is: 'at most',
    hair: 0.1,
  },
  {
    rule: 'magnet_too_hot',
    find: 'magnets is neodymium_sh',
    put: (value) => `magnets is neodymium_sh {\n limit = ${value}\n }`,
    unit: 'degC',
    limit: 100,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'layer_too_hot',
    find: 'surface is pei_film',
    put: (value) => `surface is pei_film {\n limit = ${value}\n }`,
    unit: 'degC',
    limit: 100,
    is: 'at least',
    hair: 0.1,
  },
  {
    // 10 K to spare, common practice, at 255 degC.
    rule: 'tape_lets_go',
    find: 'fastened = clamped',
    put: (value) => `fastened = taped\n tape_limit = ${value}`,
    unit: 'degC',
    limit: 265,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'connector_too_hot',
    find: 'place = surroundings',
    put: (value) => `place = surroundings\n limit = ${value}`,
    unit: 'degC',
    limit: (value) => celsius(value('mat_power.connector.working_temperature')),
    is: 'at least',
    hair: 0.1,
  },
  // What the controller believes: 10 K beyond the target and 5 K below the room, common practice.
  {
    rule: 'target_taken_for_fault',
    find: 'highest_plausible = 120 degC',
    put: (value) => `highest_plausible = ${value}`,
    unit: 'degC',
    limit: 110,
    is: 'at least',
    hair: 0.1,
  },
  {
    rule: 'room_taken_for_break',
    find: 'lowest_plausible = 0 degC',
    put: (value) => `lowest_plausible = ${value}`,
    unit: 'degC',
    limit: 3,
    is: 'at most',
    hair: 0.1,
  },
  // More ratings against what flows.
  {
    rule: 'inlet_overloaded',
    ...rated('inlet_10a'),
    find: 'residual_current = 30 mA',
    put: (value) => `residual_current = 30 mA\n rated_current = ${value}`,
    limit: (value) => value('mat_power.current'),
  },
  {
    rule: 'converter_overloaded',
    ...rated('step_down_5v_5a'),
    limit: (value) => value('brain_power.current'),
  },
  {
    rule: 'supply_terminals_overloaded',
    ...rated('supply_24v_350w'),
    find: 'output_current = 8 A',
    put: (value) => `output_current = ${value}`,
    limit: (value) => (value('left_power.current') + value('right_power.current')) / 2,
  },
  {
    // At a socket some hundreds to some thousands of amperes, from memory: here 1000 A.
    rule: 'fuse_breaking_too_low',
    ...rated('cartridge_4a'),
    find: 'fuse is cartridge_4a {',
    put: (value) => `fuse is cartridge_4a {\n breaking_current = ${value}`,
    limit: 1000,
  },
];

/** The rules that fail in a text without mistakes, those that follow from others included. */
function failing(text: string): string[] {
  const { project, file } = open(text);
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  return project.machines(file).flatMap(({ assessment }) => foundIn(assessment.findings, file).map(({ rule }) => rule));
}

describe.each(rows)('$rule', ({ rule, of, find, put, unit, limit, is, hair }) => {
  const keeps = fixture(of ?? rule, 'Keeps') ?? '';
  const set = (value: number) => keeps.replace(find, put(`${value} ${unit}`));

  test('just holds, and fails a hair beyond', () => {
    expect(keeps.split(find).length - 1).toBeGreaterThan(0);
    const at = typeof limit === 'number' ? limit : limit(valuesOf(keeps), (value) => valuesOf(set(value)));
    const inward = is === 'at least' ? 1 : -1;
    // What is computed is not exact to its last digit.
    const just = Number.isInteger(at) ? at : at + inward * Math.abs(at) * 1e-6;
    expect(failing(set(just))).not.toContain(rule);
    expect(failing(set(at - inward * hair))).toContain(rule);
  });
});
