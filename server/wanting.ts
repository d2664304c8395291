/** Names of what is not given, those that most rules wait for first; by the alphabet where as many do. */
export function wanted(undecided: readonly { readonly missing: readonly string[] }[]): string[] {
  const waiting = new Map<string, number>();
  for (const { missing } of undecided)
    for (const name of new Set(missing)) waiting.set(name, (waiting.get(name) ?? 0) + 1);
  const first = (a: [string, number], b: [string, number]) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1);
  return [...waiting].sort(first).map(([name]) => name);
}

/** ", for want of bed.sensor, mains and 3 more": what rules that could not be judged wait for. */
export function forWantOf(names: readonly string[]): string {
  const shown = names.slice(0, 3);
  const more = names.length - shown.length;
  if (shown.length === 0) return '';
  return `, for want of ${more > 0 ? `${shown.join(', ')} and ${more} more` : shown.join(', ').replace(/, ([^,]*)$/, ' and $1')}`;
}
