// Changes of rules that no machine can notice, each with its reason: they count neither as noticed nor as missed.

/** By rule and change, as `npm run grip` prints it. */
export const equivalent: Readonly<Record<string, string>> = {
  'too_few_guides: guides_wanted * 0.9':
    'guides are counted whole, and fewer than ten are wanted: what is more than nine tenths of them is all of them',
  'guides_too_many: most_guides * 1.1': 'guides are counted whole: a tenth more than four are four',
  'source_output_missing: source.outputs * 1.1': 'pairs of terminals are counted whole, and no supply has ten',
  'holder_softens_without_fan: 1500 degC + 10 K':
    '1500 degC stands for no end at all: no part is given a little less or more',
  'holder_softens_without_fan: 1500 degC - 10 K':
    '1500 degC stands for no end at all: no part is given a little less or more',
  'earth_in_a_row: without when is_earth': 'a wire that is no earth bonds nothing: it is only not asked of',
  'motor_on_two_drivers: without when any(d.motor_count > 0 for d in every driver)':
    'where no driver drives anything, none drives a motor twice',
  'switch_ends_two_axes: without when any(given(a.end_found_by) and a.end_found_by == self for a in every axis)':
    'a switch that ends no axis does not end two',
  'heater_regulated_by_other_sensor: without when count(l for l in heats) > 0': 'of no heaters none is unseen',
  'too_many_exclusions: without when exclusions > 0': 'none are not too many',
  'ways_join: without when count(c for c in every circuit) > 1': 'a circuit alone joins no other',
  'ways_join: 1 - 1': 'a circuit alone joins no other',
  'motors_turn_apart: without when count(m for m in beside) > 1': 'a motor alone turns as it does',
  'motors_turn_apart: 1 - 1': 'a motor alone turns as it does',
  'pulleys_move_unlike: without when count(p for p in every pulley of self) > 1': 'a pulley alone moves as it does',
  'pulleys_move_unlike: 1 - 1': 'a pulley alone moves as it does',
  'motors_on_driver_unlike: 1 - 1': 'a motor alone is like itself',
  'cutoff_closes_again: without closes_again': 'a cutoff that opens for good is itself one in the circuit that does',
  'chamber_cutoff_opens_in_use: without when given(guard)': 'where there is none, none opens',
  'holder_softens_without_fan: without when heat_sink.held_up_to < 1500 degC':
    '1500 degC stands for no end at all: nothing gets as hot',
  'fuse_opens_at_switch_on: without switch_on_integral > 0 A^2*s': 'nothing is less than any fuse melts by',
  'hot_end_cutoff_opens_too_late: without stuck_harms': 'where nothing is harmed the fault counts as stopped',
  'falls_without_power: without driven_weight > 0 N': 'what weighs nothing does not fall',
  'cutoff_on_earthed_side: without when given(feed)': 'a cutoff that is in no circuit stands on neither side',
  'wrong_curve_set: without not (set_curve == self)': 'read by its own curve a sensor is off by nothing',
  'stuck_on_unprotected: without when given(heater)': 'without a heater a bed stays at room temperature',
  'enclosure_hot_without_fan: without given(fan)':
    'without a fan it is as hot as it is judged at, which is a condition too: it is only not asked of',
};
