/** A shelf on a lath, of which there are two that could stand there: one breaks under its load. */
export const shelf = `/// A lath.
kind lath {
  specified thick
  /// How thick it is.
  thick: Length
  /// What it bears.
  bears: Force = 1 N/mm^2 * thick ^ 2 { source defined "so be it" }
}
part thin_lath is lath { thick = 5 mm }
part stout_lath is lath { thick = 10 mm }
/// It holds.
rule breaks on shelf {
  holds load <= lath.bears
  error "{name} breaks"
  source practice "so be it"
}
/// A shelf.
kind shelf {
  toplevel
  has lath
  /// What lies on it.
  load: Force
  /// What is left.
  left: Force = lath.bears - load { source defined "the rest" }
  headline left, load
}
shelf s {
  load = 60 N
  lath is stout_lath
}
`;
