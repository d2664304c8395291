import { complete } from '../../language/answers/complete.ts';
import { read } from '../support.ts';

/** Halls with lamps. */
export const kinds = `sizes widths: Length = [narrow = 1 m, 2 m]
kind hall {
  toplevel
  shared air: Temperature default 20 degC
  width: Length {
    sizes widths
  }
  deep: Length default 1 m
  torque: Torque?
  energy: Energy?
  mode: one of dim, bright
  lit: YesNo default yes
  spare: lamp?
  box: Length x Length
  rim(share: Ratio, by: Length): Length = deep * share + by
  has lamp*
  has hall?
  has cellar?
  headline deep
}
kind big_hall is hall {
  further: Length default 1 m
}
kind lamp {
  power: Power default 1 W
}
kind cellar {
  has lamp*
}
/// A good one.
part small is lamp {
}
/// How far.
constant reach: Length = 1 m
function twice(of: Length): Length = 2 * of
`;

/** What is proposed where `<|>` stands, the best first. */
export function proposals(marked: string) {
  const offset = marked.indexOf('<|>');
  const { file, project } = read(marked.replace('<|>', ''));
  project.mistakes(file);
  return complete(file, offset)?.proposals ?? [];
}
/** A hall with that line in it. */
export const inHall = (line: string, rest = '') => `${kinds}hall H {\n  ${line}\n${rest}}\n`;
/** Those of some names, in their order. */
export const order = (marked: string, ...names: string[]) =>
  proposals(marked)
    .map(({ label }) => label)
    .filter((label) => names.includes(label));
