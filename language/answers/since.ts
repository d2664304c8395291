import type { Requirement } from '../judge/requirements.ts';
import { Instance } from '../machine/tree.ts';
import { isMissing } from '../values/value.ts';
import { type Judged, movedBetween, type ShownValues, type Standing, shownValues, standings } from './compare.ts';
import { requirementKey } from './statement-edits.ts';

/** A machine as it stood once, in plain data: its tree may have grown into another since. */
export interface Stood {
  readonly standings: ReadonlyMap<string, Standing>;
  readonly values: ShownValues;
  /** What each requirement is about, and what that came to. */
  readonly asked: ReadonlyMap<string, string>;
}

/** What is otherwise in a machine than it was. */
export interface Since {
  /** As in `bed.heater.current 10.2 → 16.2 A`: what is asked for first, then the machine's own, then what moved most. */
  readonly moved: readonly string[];
  readonly fails: readonly Standing[];
  readonly mended: readonly Standing[];
  /** Rules that can no longer be decided. */
  readonly undecided: readonly Standing[];
}

/** What moves by a smaller share is left out. */
const least = 0.005;
/** So many values are told in a line, and no more than so many characters of them after the first; the rest is counted. */
const mostInLine = 3;
const longest = 60;

/** How a machine stands now. */
export function stood(machine: Judged): Stood {
  const asked = machine.assessment.requirements.flatMap(({ target, shown }: Requirement): [string, string][] =>
    shown === undefined ? [] : [[requirementKey(target.node.condition).replace(/^require /, ''), shown]],
  );
  const values = [...shownValues(machine, new Map())].flatMap(([key, each]): [string, typeof each][] => {
    const { value, shown } = each;
    if (isMissing(value)) return [];
    // What points into the tree would keep it.
    return [[key, value instanceof Instance || Array.isArray(value) ? { ...each, value: shown } : each]];
  });
  return { standings: standings(machine, new Map()), values: new Map(values), asked: new Map(asked) };
}

/** What is otherwise in a machine than it was. */
export function since(before: Stood, now: Stood): Since {
  const asked = [...now.asked].flatMap(([about, shown]) => {
    const was = before.asked.get(about);
    return was === undefined || was === shown ? [] : [fromTo(about, was, shown)];
  });
  const values = movedBetween(before.values, now.values, least);
  const turned = (to: Standing['state'], one: Stood, other: Stood) =>
    [...one.standings].flatMap(([key, standing]) =>
      standing.state === to && other.standings.get(key)?.state !== to ? [standing] : [],
    );
  return {
    moved: [...asked, ...values.map(({ path, before: was, after }) => fromTo(path, was ?? 'none', after ?? 'none'))],
    fails: turned('fails', now, before),
    mended: turned('fails', before, now),
    undecided: turned('undecided', now, before),
  };
}

/** `current 10.2 → 16.2 A`: the unit once, where both have it. */
function fromTo(about: string, was: string, is: string): string {
  const [, unit = ''] = /^[-\d.]+( \S+)$/.exec(is) ?? [];
  return `${about} ${unit && was.endsWith(unit) ? was.slice(0, -unit.length) : was} → ${is}`;
}

/** All of it in a line; undefined where nothing is otherwise. */
export function inOneLine({ moved, fails, mended, undecided }: Since): string | undefined {
  const counted = (all: readonly Standing[], one: string, many: string) =>
    all.length === 0 ? [] : [all.length === 1 ? `1 ${one}` : `${all.length} ${many}`];
  const fit = moved.filter((_, i) => i < mostInLine && (i === 0 || moved.slice(0, i + 1).join(', ').length <= longest));
  const more = moved.length - fit.length;
  const told = [
    ...fit,
    ...(more > 0 ? [`${more} more`] : []),
    ...counted(fails, 'rule newly fails', 'rules newly fail'),
    ...counted(mended, 'rule no longer fails', 'rules no longer fail'),
    ...counted(undecided, 'rule can no longer be decided', 'rules can no longer be decided'),
  ];
  return told.length > 0 ? told.join(', ') : undefined;
}
