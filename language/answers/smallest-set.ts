/**
 * The smallest sets of items that bring something about, where all of them together do: each item that does so alone or, where none
 * does, one set from which nothing can be left out. `brings` must give the same answer for the same set.
 * Source: Zeller and Hildebrandt, "Simplifying and isolating failure-inducing input", IEEE Transactions on Software Engineering 28
 * (2002), their algorithm ddmin.
 */
export function smallestSets(items: readonly number[], brings: (items: readonly number[]) => boolean): number[][] {
  const alone = items.filter((item) => brings([item]));
  if (alone.length > 0 || items.length === 0) return alone.map((item) => [item]);
  return [reduced(items, brings)];
}

function reduced(items: readonly number[], brings: (items: readonly number[]) => boolean): number[] {
  let left = [...items];
  for (let parts = 2; left.length > 1; ) {
    const size = Math.ceil(left.length / parts);
    const chunks = Array.from({ length: Math.ceil(left.length / size) }, (_, i) =>
      left.slice(i * size, (i + 1) * size),
    );
    const chunk = chunks.find((each) => each.length < left.length && brings(each));
    const without = (each: readonly number[]) => left.filter((item) => !each.includes(item));
    const rest = chunk ?? chunks.map(without).find((each) => each.length > 0 && brings(each));
    if (rest) {
      parts = chunk ? 2 : Math.max(parts - 1, 2);
      left = [...rest];
    } else if (size === 1) break;
    else parts = Math.min(parts * 2, left.length);
  }
  return left;
}
