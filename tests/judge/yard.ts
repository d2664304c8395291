import { machineIn } from '../support.ts';

/** A beam that bends, and what stands on it; a lamp that burns. */
export const kinds = `/// A site of beams.
kind yard {
  toplevel
  has beam*
  has lamp*
  /// Air.
  shared air: Temperature default 20 degC
}
/// A beam.
kind beam {
  /// What it bears.
  load: Force
  /// What it is good for.
  good_for: Force default 100 N
  /// How thick it is.
  depth: Length default 50 mm
  /// What it rests on.
  rests_on: beam?
}
/// A lamp.
kind lamp {
  heat: Power
  limit: Power default 10 W
  stands_on: beam?
}
/// It bears its load.
rule beam_bends on beam {
  holds load <= good_for
  warning "{name} bears {load}, and is good for {good_for}"
  source practice "a test"
  at load
  remedy good_for = load
  remedy "take a thicker one than {depth}"
}
/// It is thick enough.
rule beam_thin on beam {
  holds depth >= 40 mm
  warning "{name} is {depth} thick"
  source practice "a test"
  remedy depth = 40 mm
}
/// What rests on a bent one is crooked.
rule beam_crooked on beam {
  when given(rests_on)
  holds rests_on.load <= rests_on.good_for
  advice "{name} is crooked"
  source practice "a test"
  follows beam_bends of rests_on
}
/// It does not burn.
rule lamp_burns on lamp {
  holds heat <= limit
  error "{name} has {heat}"
  caution "Fire: keep paper away."
  source practice "a test"
  at heat
}
`;
/** A yard with that in it, and the kinds and rules. */
export const yard = (body: string) => `${kinds}yard Y {\n  ${body.replaceAll('\n', '\n  ')}\n}\n`;
/** What is said of it. */
export const judged = (body: string) => machineIn(yard(body)).assessment;
export const beam = (name: string, lines: string) => `beam ${name} {\n  ${lines.replaceAll('\n', '\n  ')}\n}`;
