/** The most things of which every combination is tried as the reason. */
const mostReasons = 4;

/**
 * The fewest things that together rule out everything: of each what fails with it. Of as many those that rule out more, then by their
 * names.
 */
export function excluding(failing: readonly (readonly string[])[]): string[] {
  const ruledOut = new Map<string, number>();
  for (const keys of failing) for (const key of keys) ruledOut.set(key, (ruledOut.get(key) ?? 0) + 1);
  const keys = [...ruledOut.keys()].sort(
    (a, b) => (ruledOut.get(b) as number) - (ruledOut.get(a) as number) || (a < b ? -1 : 1),
  );
  const left = (by: readonly string[]) => failing.filter((some) => !some.some((key) => by.includes(key)));
  for (let size = 1; size <= mostReasons; size++) {
    for (const some of combinations(keys, size)) if (left(some).length === 0) return some;
  }
  // Too many to try all: always the one that rules out most of what is left.
  const found: string[] = [];
  while (left(found).length > 0) {
    const rest = left(found);
    const counts = (key: string) => rest.filter((some) => some.includes(key)).length;
    found.push(keys.reduce((best, key) => (counts(key) > counts(best) ? key : best)));
  }
  return found;
}

function* combinations(keys: readonly string[], size: number, from = 0): Generator<string[]> {
  if (size === 0) yield [];
  for (let i = from; size > 0 && i <= keys.length - size; i++)
    for (const rest of combinations(keys, size - 1, i + 1)) yield [keys[i] as string, ...rest];
}
