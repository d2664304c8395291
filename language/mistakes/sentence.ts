import { closest, distance } from 'fastest-levenshtein';

/** What a sentence begins with, such as `a hot end`. */
export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The candidate that was probably meant, if one is near enough. */
export function nearest(name: string, candidates: Iterable<string>): string | undefined {
  const list = [...candidates].filter((c) => c !== name);
  if (list.length === 0) return undefined;
  const found = closest(
    name.toLowerCase(),
    list.map((c) => c.toLowerCase()),
  );
  const best = list.find((c) => c.toLowerCase() === found);
  const near = distance(name.toLowerCase(), found) <= Math.max(1, Math.floor(name.length / 3));
  return near || areSwapped(name.toLowerCase(), found) ? best : undefined;
}

/** Do two words differ in two letters beside each other that changed places? */
function areSwapped(one: string, other: string): boolean {
  let at = 0;
  while (at < one.length && one[at] === other[at]) at++;
  const swapped = `${one.slice(0, at)}${one[at + 1] ?? ''}${one[at] ?? ''}${one.slice(at + 2)}`;
  return at < one.length && swapped === other;
}

/** `a, b and c` */
export function listed(names: readonly string[], most = 8): string {
  const shown = names.length > most ? [...names.slice(0, most), `${names.length - most} more`] : names;
  return shown.length < 2 ? (shown[0] ?? '') : `${shown.slice(0, -1).join(', ')} and ${shown[shown.length - 1]}`;
}

/** ` Did you mean wire?`, where something near is known. */
export function didYouMean(near: string | undefined, otherwise = ''): string {
  return near ? ` Did you mean ${near}?` : otherwise;
}
