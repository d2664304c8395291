import { listed } from '../../language/mistakes/sentence.ts';
import type { Compared, ComparedFiles, Turned } from './compare-schema.ts';
import { count, type Io, type Styles, stylesFor } from './io.ts';

/** An ordinary change takes no more lines than this. */
const mostLines = 15;

/** What is said under one label: what is left out of it first, where there is too much, has the highest number. */
interface Group {
  readonly label: string;
  readonly lines: readonly string[];
  readonly rank: number;
}

/** Does something fail now that did not, beyond advice? */
export function hasTurnedWorse({ turns, mistakes }: Compared): boolean {
  return mistakes.length > 0 || turns.some((turn) => turn.after === 'fails' && turn.severity !== 'advice');
}

/** A comparison as people read it in a terminal: short, unless all is wanted. */
export function comparisonText({ machines, come, gone }: ComparedFiles, all: boolean, io: Io): string {
  const style = stylesFor(io);
  const others = [
    ...(come.length > 0 ? [`New: ${listed(come)}.`] : []),
    ...(gone.length > 0 ? [`Gone: ${listed(gone)}.`] : []),
  ];
  return `${[...machines.map((each) => sectionOf(each, all, style)), ...others].join('\n\n') || 'There is no machine in them.'}\n`;
}

function sectionOf(compared: Compared, all: boolean, style: Styles): string {
  const groups = groupsOf(compared).filter(({ lines }) => lines.length > 0);
  const title = style.heading(titleOf(compared));
  if (groups.length === 0) return `${title}\nNothing differs.`;
  const kept = all ? groups.map(({ lines }) => lines.length) : fitting(groups);
  const width = Math.max(...groups.map(({ label }) => label.length)) + 2;
  const lines = groups.flatMap(({ label, lines }, i) => {
    const most = kept[i] as number;
    const shown = lines.slice(0, most);
    const left = lines.length - most;
    if (left > 0) shown[most - 1] += style.quiet(`  … and ${left} more (--all)`);
    return shown.map((line, at) => style.quiet((at === 0 ? label : '').padEnd(width)) + line);
  });
  return [title, ...lines].join('\n');
}

/** How many lines of each group fit: the longest of those that count least give way first. */
function fitting(groups: readonly Group[]): number[] {
  const kept = groups.map(({ lines }) => Math.min(lines.length, mostInGroup));
  const total = () => kept.reduce((sum, each) => sum + each, 1);
  while (total() > mostLines) {
    const order = [...kept.keys()].sort(
      (a, b) => (groups[b]?.rank ?? 0) - (groups[a]?.rank ?? 0) || (kept[b] as number) - (kept[a] as number),
    );
    const gives = order.find((i) => (kept[i] as number) > 2) ?? order.find((i) => (kept[i] as number) > 1);
    if (gives === undefined) break;
    kept[gives] = (kept[gives] as number) - 1;
  }
  return kept;
}

const mostInGroup = 5;

/** `Heron, a.gusset at HEAD~1 → now`; of two machines or files both. */
export function titleOf({ before, after }: Compared): string {
  const isSameFile = before.file === after.file;
  const machines = before.machine === after.machine ? before.machine : `${before.machine} → ${after.machine}`;
  if (before.revision !== null || after.revision !== null)
    return `${machines}, ${after.file}: ${before.revision ?? 'now'} → ${after.revision ?? 'now'}`;
  return `${machines}, ${isSameFile ? after.file : `${before.file} → ${after.file}`}`;
}

function groupsOf(compared: Compared): Group[] {
  const { edits, renamed, mistakes, unread, margins, values, parts, byLibrary } = compared;
  const own = (of: (turn: Turned) => boolean) => compared.turns.filter((turn) => !turn.follows && of(turn));
  return [
    { label: 'text', lines: edits.map(({ text }) => text), rank: 3 },
    { label: 'renamed', lines: renamedLines(renamed), rank: 3 },
    { label: 'mistakes', lines: mistakes, rank: 1 },
    { label: 'not read', lines: unread > 0 ? [`${count(unread, 'place')} of the texts: not compared`] : [], rank: 1 },
    { label: 'fails now', lines: own(isWorse).map((turn) => turnWords(turn, compared)), rank: 1 },
    {
      label: 'undecided now',
      lines: togetherUndecided(
        own((turn) => turn.after === 'undecided'),
        compared,
      ),
      rank: 2,
    },
    { label: 'holds now', lines: own(isBetter).map((turn) => turnWords(turn, compared)), rank: 2 },
    {
      label: 'margins',
      lines: margins.map(
        ({ code, path, before, after }) => `${code}${path ? ` (${path})` : ''}: ${fromTo(before, after)}`,
      ),
      rank: 5,
    },
    {
      label: 'values',
      lines: values.map(({ path, before, after }) => `${path}: ${before ?? 'none'} → ${after ?? 'none'}`),
      rank: 4,
    },
    { label: 'parts', lines: partLines(parts), rank: 4 },
    { label: 'by the library', lines: byLibrary ? libraryLines(byLibrary) : [], rank: 2 },
  ];
}

/** Fails, or is graver, and is not accepted. */
export function isWorse({ after }: Pick<Turned, 'after'>): boolean {
  return after === 'fails';
}

/** Failed, or could not be decided, and is neither now. */
export function isBetter({ after }: Pick<Turned, 'after'>): boolean {
  return after !== 'fails' && after !== 'undecided';
}

/** `22 % to spare → 3 %`: what is the same in both is said once. */
export function fromTo(before: string, after: string): string {
  const [amount, words] = [/^\S+ \S+/.exec(before)?.[0], before.replace(/^\S+ \S+/, '')];
  return words && after.endsWith(words) ? `${amount} → ${after}` : `${before} → ${after}`;
}

export function renamedLines(renamed: Compared['renamed']): string[] {
  return renamed.length > 0 ? [renamed.map(({ before, after }) => `${before} → ${after}`).join(', ')] : [];
}

/** What turned, with what is said of it, and the edits that did it. */
export function turnWords(turn: Turned, { edits }: Pick<Compared, 'edits'>): string {
  const { code, path, severity, message, before, after } = turn;
  const name = `${code}${path ? ` (${path})` : ''}`;
  const how = after === 'fails' && severity !== 'note' ? `${severity} ` : '';
  if (after === 'absent') return `${name}: no longer there`;
  if (after === 'unasked') return `${name}: no longer asked`;
  if (after === 'accepted') return `${name}: accepted`;
  if (after === 'holds') return `${name}${before === 'undecided' ? ', undecided before' : ''}`;
  return `${how}${name}: ${message}${causeWords(turn, edits)}`;
}

/** Which edits brought it about: ` (by bed.target)`. */
function causeWords({ causes }: Pick<Turned, 'causes'>, edits: Compared['edits']): string {
  if (causes === undefined) return '';
  const named = causes.map((set) => listed(set.map((i) => edits[i]?.path ?? '')) + (set.length > 1 ? ' together' : ''));
  if (named.length === 0) return ' (by no change of the text)';
  const [first = '', ...rest] = named;
  return rest.length === 0 ? ` (by ${first})` : ` (by each of these: ${listed(named, 4)})`;
}

/** Rules that wait for the same are told of together. */
function togetherUndecided(turns: readonly Turned[], { edits }: Compared): string[] {
  const groups = new Map<string, string[]>();
  for (const turn of turns) {
    const why = `${turn.message}${causeWords(turn, edits)}`;
    groups.set(why, [...(groups.get(why) ?? []), turn.path ? `${turn.code} (${turn.path})` : turn.code]);
  }
  return [...groups].map(([why, names]) => `${listed(names, 3)}: ${why}`);
}

export function partLines(parts: Compared['parts']): string[] {
  const of = (is: string) => parts.filter((part) => part.is === is);
  const [come, gone, changed] = [of('comes'), of('goes'), of('changes')];
  const names = (all: Compared['parts']) =>
    listed(
      all.map(({ name }) => name),
      6,
    );
  return [
    ...(come.length > 0 || gone.length > 0
      ? [
          [come.length > 0 ? `in: ${names(come)}` : '', gone.length > 0 ? `out: ${names(gone)}` : '']
            .filter(Boolean)
            .join('; '),
        ]
      : []),
    ...(changed.length > 0
      ? [
          listed(
            changed.map(({ name, what }) => `${name} ${what}`),
            4,
          ),
        ]
      : []),
  ];
}

/** What moved because the library is another one: what turned, and how much else. */
export function libraryLines({ turns, margins, values, parts }: NonNullable<Compared['byLibrary']>): string[] {
  const own = turns.filter(({ follows }) => !follows);
  const told = own.map((turn) => {
    const name = `${turn.code}${turn.path ? ` (${turn.path})` : ''}`;
    return turn.after === 'fails'
      ? `fails: ${turnWords(turn, { edits: [] })}`
      : `${name}: ${turn.before} → ${turn.after}`;
  });
  const moved = [
    margins.length > 0 ? count(margins.length, 'margin') : '',
    values.length > 0
      ? `${count(values.length, 'value')} (${values
          .slice(0, 2)
          .map(({ path, before, after }) => `${path}: ${before ?? 'none'} → ${after ?? 'none'}`)
          .join('; ')})`
      : '',
    parts.length > 0 ? count(parts.length, 'part') : '',
  ].filter(Boolean);
  return [...told, ...(moved.length > 0 ? [`moved: ${listed(moved)}`] : [])];
}
