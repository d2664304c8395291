import { missingPaths } from '../compute/machine.ts';
import { listed } from '../mistakes/sentence.ts';
import { cannotBe } from '../values/show.ts';
import { Fault, Unknown, type Value } from '../values/value.ts';

/** What keeps something from being known. */
export interface WhyUnknown {
  readonly missing: readonly string[];
  /** What is given, but with a mistake in it. */
  readonly unreadable?: readonly string[];
  /** Why it cannot be computed. */
  readonly because?: string;
}

/** What keeps a value from being known. */
export function whyUnknown(value: Value): WhyUnknown {
  if (value instanceof Fault) return { missing: [], because: value.message };
  const unreadable = missingPaths(value, true);
  return { missing: missingPaths(value), ...(unreadable.length > 0 && { unreadable }) };
}

/** What keeps something from being known, as every page words it: `bed.area is not given, and fan has a mistake in it`. */
export function whyNotKnown({ missing = [], unreadable = [], because }: Partial<WhyUnknown>): string {
  if (because) return `it ${cannotBe(because)}`;
  const several = (paths: readonly string[], one: string, many: string) =>
    paths.length > 0 ? [`${listed(paths)} ${paths.length > 1 ? many : one}`] : [];
  const parts = [
    ...several(missing, 'is not given', 'are not given'),
    ...several(unreadable, 'has a mistake in it', 'have mistakes in them'),
  ];
  return parts.join(', and ') || 'something it needs has a mistake in it';
}

/** A value as people read it; where there is none, why: `not known: bed.area is not given`. */
export function valueOrWhy(value: Value, shown: string): string {
  return value instanceof Unknown && value.missing.length > 0 ? `not known: ${whyNotKnown(whyUnknown(value))}` : shown;
}

// ---- how what was judged stands ----

type Verdict = 'holds' | 'fails' | 'undecided';

export function verdictOf(holds: boolean | undefined | null): Verdict {
  return holds === undefined || holds === null ? 'undecided' : holds ? 'holds' : 'fails';
}

/** What is said of something that was judged, beside its verdict. */
interface Judged extends Partial<WhyUnknown> {
  readonly holds: boolean | undefined;
  /** What it comes to. */
  readonly shown?: string;
  /** How far that is from its limit. */
  readonly margin?: string;
  /** What is to be known of how it was judged, such as how far the worst was searched for. */
  readonly notes?: readonly (string | undefined)[];
}

/** What it comes to, how far that is from its limit, and how it was judged: `250 W, 17 % to spare`. */
export function amountWords({ shown, margin, notes = [] }: Omit<Judged, 'holds'>): string {
  return [shown, margin, ...notes].filter(Boolean).join(', ');
}

/** How something that was judged stands, with its reason: `undecided: bed.area is not given`. */
export function outcome(judged: Judged): string {
  const verdict = verdictOf(judged.holds);
  const why = verdict === 'undecided' ? whyNotKnown(judged) : amountWords(judged);
  return why ? `${verdict}: ${why}` : verdict;
}

/** So many of something with a verdict: `1 requirement fails`, `2 rules hold`, `3 rules undecided`; none where there are none. */
export function countedInWords(count: number, noun: string, verdict: Verdict): string[] {
  if (count === 0) return [];
  if (verdict === 'undecided') return [`${count} ${noun}${count === 1 ? '' : 's'} undecided`];
  return [count === 1 ? `1 ${noun} ${verdict}` : `${count} ${noun}s ${verdict.replace(/s$/, '')}`];
}

// ---- what many rules wait for ----

/** Names of what is not given, those that most rules wait for first; by the alphabet where as many do. */
export function mostWantedFirst(undecided: readonly { readonly missing: readonly string[] }[]): string[] {
  const waiting = new Map<string, number>();
  for (const { missing } of undecided)
    for (const name of new Set(missing)) waiting.set(name, (waiting.get(name) ?? 0) + 1);
  const first = (a: [string, number], b: [string, number]) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1);
  return [...waiting].sort(first).map(([name]) => name);
}

/** "could not be judged, for want of bed.sensor, mains and 3 more": said of rules that wait for these names. */
export function notJudged(names: readonly string[]): string {
  return `could not be judged${names.length > 0 ? `, for want of ${listed(names, 3)}` : ''}`;
}
