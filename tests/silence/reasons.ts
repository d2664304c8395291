/** Why a statement may go without a word, by what it says. */
export const reasons: readonly (readonly [says: RegExp, reason: string])[] = [
  [
    /^(magnets|adhesive|insulation|surface|sleeve|liner) (is|\{)/,
    'a machine may do without it; what is judged of it is gone with it',
  ],
  [/^(motor_mount|held_in|sensor_body) = /, 'whether two parts fit is judged where both faces are named'],
  [/^(diagonal|other_diagonal) = /, 'what was measured of a frame is a record of the one that was built'],
  [/^(claimed|case) = /, 'a wish of the builder, beside what is computed'],
  [
    /^(chamber|computer|light lamp|element handle|dry_cabinet|guide_tube|printed_part \w+|\w+ gear_train|extruder|bed)( is \w+)? \{/,
    'what is judged of it, or because of it, is gone with it; a variant without it is as its base is',
  ],
  [/^to = /, 'a wire whose path tells of nothing that moves leads to what stands still'],
  [/^setting = /, 'what was set in the controller is a record beside what is computed'],
];

/** Is there a reason for a statement's silence? */
export function hasReason(text: string): boolean {
  return reasons.some(([says]) => says.test(text));
}
