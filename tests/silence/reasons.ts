import type { Looked } from './deletions.ts';

/** What a statement says that may go without a word, and why. */
export interface Reason {
  /** What the statement says. */
  readonly says: RegExp;
  /** The kind of the block that it stands in; any, where it is left out. */
  readonly inside?: RegExp;
  readonly reason: string;
}

/** Why a statement may go without a word, by what it says and where it stands. */
export const reasons: readonly Reason[] = [
  {
    says: /^(adhesive|insulation|surface|sheet|sleeve|liner|bed_mount) ?(is|\{)/,
    inside: /^(bed|hot_end)$/,
    reason:
      'a bed or a hot end may do without it: it is judged by itself alone, and the heat that it would hold back is computed',
  },
  {
    says: /^(motor_mount|held_in|sensor_body|shaft_diameter) = /,
    reason: 'whether two parts fit is judged where both faces are named',
  },
  {
    says: /^(measured )?(diagonal|other_diagonal) = /,
    inside: /frame/,
    reason: 'what was measured of a frame is a record of the one that was built',
  },
  {
    says: /^print_fans = /,
    inside: /^extruder$/,
    reason: 'where nothing is wired yet fans come later; where something is, a print without one is found',
  },
  {
    says: /^layer_time = /,
    inside: /^extruder$/,
    reason: 'how long small layers take depends on what is printed: whoever says it is told what they need',
  },
  { says: /^spool is /, inside: /^extruder$/, reason: 'where no spool is said, it draws as a usual one does' },
  { says: /^cable_chain \w+ is /, reason: 'wires in no chain hang free, and are judged as what moves and bends' },
  { says: /^(claimed|case) = /, reason: 'a wish of the builder, beside what is computed' },
  {
    says: /^setting(_is)? = /,
    inside: /driver/,
    reason: 'what was set in the controller is a record beside what is computed',
  },
  {
    says: /^signal_voltage = /,
    inside: /^limit_switch$/,
    reason: 'a bare contact has the voltage of its input, which that bears',
  },
  {
    says: /^(clamps|depth|holds_in|into|through) = /,
    inside: /^bolt$/,
    reason: 'what is said of a screw is judged, and what is not said is left to whoever puts it in',
  },
  {
    says: /^(off_first|screws_out|wears|most_(parts|screws)_off) = |^cover \w+/,
    reason: 'what is in the way is counted where it is said: whoever builds it sees it, and nothing else rests on it',
  },
  {
    says: /^bolt \w+ /,
    reason: 'screws are held together by whoever puts them in; what is said of one is judged',
  },
  {
    says: /^signal_voltage = /,
    inside: /^output$/,
    reason: 'an output that gives no signal of its own switches what its board is fed with',
  },
  {
    says: /^output_at = /,
    reason: 'where the wire to a control goes is measured before it is joined, as its commissioning asks',
  },
  {
    says: /^(filament_sensor|door_switch) \w+ /,
    reason: 'a machine may do without it: it then prints on, as most do',
  },
  {
    says: /^(limit_switch|probe) \w+ /,
    inside: /^machine$/,
    reason:
      'an axis asks what finds its end, and a bed probe names its signal; where there is neither, nothing needs it',
  },
  {
    says: /^heater( \w+)? (\{|is)/,
    inside: /^chamber$/,
    reason: 'a chamber may be warmed by its bed alone; whether it gets as warm as its filament wants is judged',
  },
  {
    says: /^(box|chamber)( \w+)?( is \w+)? \{/,
    inside: /^machine$/,
    reason: 'where nothing sits in it, it makes nothing warmer; what sits in it names it',
  },
  {
    says: /^[xyz] \{/,
    inside: /^(moving_bed|crossed_belts|moving_tool)$/,
    reason:
      'an axis is there all the same: what moves it, guides it and finds its end is asked where it stands without, and how fast it shall be is a wish',
  },
  {
    says: /^contents = /,
    inside: /^box$/,
    reason: 'that a thing sits in a box nobody knows but who says it; a box that nothing sits in is asked about',
  },
  {
    says: /^carrier = /,
    inside: /^rail_guide$/,
    reason: 'a rail may lie on a plate all along: that it bows with a bar is judged where it has one',
  },
  {
    says: /^pulley \w+ is /,
    inside: /^belt_drive$/,
    reason: 'one pulley says it for all of a drive: that they are alike is judged where each is named',
  },
  { says: /^fan = /, inside: /^(box|chamber)$/, reason: 'a box is as warm as it gets without a fan, and is judged so' },
  {
    says: /^fan \w+ is /,
    inside: /^machine$/,
    reason:
      'what a fan cools names it, and so does the circuit that feeds it; where neither does, it cools nothing that is judged',
  },
  {
    says: /^(computer|light) \w+ |^computer( is \w+)? \{/,
    inside: /^machine$/,
    reason: 'its circuit names it; in none, a machine works without it',
  },
  {
    says: /^(\w+ )?gear_train( is \w+| \{)/,
    inside: /^extruder$/,
    reason: 'a drive without gears turns its wheel by the motor itself, and its push and steps are judged so',
  },
  {
    says: /^guide_tube( is \w+)? \{/,
    reason: 'a drive without a tube sits on the carriage, and its mass counts there',
  },
  { says: /^element handle/, reason: 'a handle is judged by itself: a door may do without' },
  { says: /^printed_part \w+ \{/, reason: 'what it holds names it; a part that is not there softens nowhere' },
  { says: /^dry_cabinet( is \w+)? \{/, reason: 'filament may be dried elsewhere, as its moisture says' },
  {
    says: /^(extruder|bed|chamber)( \w+)?( is \w+)? \{/,
    reason: 'a variant that says no more of it is as its base is; a machine without one is asked for it',
  },
  {
    says: /^to = /,
    inside: /^wire$/,
    reason: 'a wire whose path tells of nothing that moves leads to what stands still',
  },
  {
    says: /^lead_insulation = /,
    inside: /ntc|thermistor|glass_bead|platinum|thermocouple/,
    reason: 'any insulation bears what gets no warmer than 70 °C: the leads of what gets warmer are asked for',
  },
  { says: /^loop_length = /, reason: 'a belt without one is cut from a roll to the length that its drive needs' },
  {
    says: /^source_output = /,
    inside: /^circuit$/,
    reason: 'a circuit that names no pair has one to itself; where there are not enough, it is asked',
  },
  {
    says: /^(parallel_with = |supply \w+ )/,
    reason:
      'a supply that is not said to share a rail is judged as the only one on it; a path that begins at one names it',
  },
  {
    says: /^(rated_voltage = |output \w+ \{)/,
    inside: /^(output|board)$/,
    reason:
      'what the transistor of an output bears is judged where its data sheet is known; what it carries has a default',
  },
  {
    says: /^sensor \w+ is /,
    inside: /^machine$/,
    reason: 'a sensor of the room switches nothing; what has a heater asks for one of its own',
  },
];

/** Is there a reason for a statement's silence? */
export function hasReason(statement: Looked): boolean {
  return isAmong(reasons, statement);
}

/** Is one of these reasons about a statement, or about each that it adds to a block which is there without it? */
export function isAmong(list: readonly Reason[], { text, inside, adds }: Looked): boolean {
  if (list.some((each) => each.says.test(text) && (each.inside?.test(inside) ?? true))) return true;
  return adds.length > 0 && adds.every((each) => isAmong(list, each));
}
