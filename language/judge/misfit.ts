import type { Machine } from '../compute/machine.ts';
import { rankOf, showMargin } from '../compute/margin.ts';
import { markForBlock, standsIn } from '../compute/marks.ts';
import type { Severity } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import { answerTo, type Choice, gravityOf, type TriedCandidate } from './choices.ts';
import type { Finding } from './finding.ts';
import { compare } from './joint.ts';
import type { OwnFinding } from './own-findings.ts';
import type { Failure } from './trials.ts';

/** Why nothing fits in place of a `?`, and what would have to give. */
interface Misfit {
  readonly severity: Severity;
  readonly message: string;
  readonly waysOut: readonly string[];
  /** What to mind, where all that can be chosen endangers people. */
  readonly caution: string | undefined;
}

/** The most rules of which every combination is tried as the reason. */
const mostReasons = 4;

/** What is to be said of a choice that nothing fits; undefined where something does. */
function misfitOf(choice: Choice): Misfit | undefined {
  const { furthest } = choice;
  // With what comes nearest, what fails with any value is found at its own place.
  if (furthest?.isAnyhow || furthest?.isLeftOut) return undefined;
  if (furthest && !furthest.found && furthest.stretches.length === 0) {
    const isError = furthest.stops.some(({ severity }) => severity === 'error');
    const caution = furthest.stops.find((each) => each.caution)?.caution;
    return { severity: isError ? 'error' : 'warning', message: answerTo(choice), waysOut: [], caution };
  }
  if (!choice.nearest) return undefined;
  const tried = choice
    .tryAll()
    .map((each) => ({ ...each, failures: each.failures.filter((f) => isConcern(f, choice)) }));
  const grave = tried.map(({ failures }) => failures.filter((failure) => failure.grave));
  if (grave.some((failures) => failures.length === 0)) return undefined;
  const nearest = tried.find(({ candidate }) => candidate === choice.nearest);
  const reasons = chain(excluding(grave), tried);
  const worst = tried.map(({ failures }) =>
    failures.some(({ severity }) => severity === 'error') ? 'error' : 'warning',
  );
  return {
    severity: worst.includes('warning') ? 'warning' : 'error',
    message: `${choice.isBestFound ? 'nothing was found that fits here, with the other choices as they are' : 'nothing fits here'}: ${reasons.join('; ')}. ${choice.nearest.shown} comes nearest`,
    waysOut: [givenUp(tried, choice)],
    caution: nearest?.failures.find(({ caution }) => caution)?.caution,
  };
}

/** Leaves out what fails with every candidate, since it is found at its own place, unless it is said of the open block itself. */
function isConcern({ key }: Failure, choice: Choice): boolean {
  return choice.against.some((each) => each.key === key) || !choice.tryAll().every((each) => has(each, key));
}

function has({ failures }: TriedCandidate, key: string): boolean {
  return failures.some((failure) => failure.key === key);
}

// ---- why ----

/** The fewest things that together rule out every candidate; of as many those that rule out more, then by their names. */
function excluding(failing: readonly (readonly Failure[])[]): string[] {
  const ruledOut = new Map<string, number>();
  for (const failures of failing) for (const { key } of failures) ruledOut.set(key, (ruledOut.get(key) ?? 0) + 1);
  const keys = [...ruledOut.keys()].sort(
    (a, b) => (ruledOut.get(b) as number) - (ruledOut.get(a) as number) || (a < b ? -1 : 1),
  );
  const left = (by: readonly string[]) => failing.filter((failures) => !failures.some(({ key }) => by.includes(key)));
  for (let size = 1; size <= mostReasons; size++) {
    for (const some of combinations(keys, size)) if (left(some).length === 0) return some;
  }
  // Too many to try all: always the one that rules out most of what is left.
  const found: string[] = [];
  while (left(found).length > 0) {
    const rest = left(found);
    const counts = (key: string) => rest.filter((failures) => failures.some((failure) => failure.key === key)).length;
    found.push(keys.reduce((best, key) => (counts(key) > counts(best) ? key : best)));
  }
  return found;
}

function* combinations(keys: readonly string[], size: number, from = 0): Generator<string[]> {
  if (size === 0) yield [];
  for (let i = from; size > 0 && i <= keys.length - size; i++)
    for (const rest of combinations(keys, size - 1, i + 1)) yield [keys[i] as string, ...rest];
}

/** Why none fits, from the first candidate to the last: of each reason those that the ones before it leave. */
function chain(keys: readonly string[], tried: readonly TriedCandidate[]): string[] {
  const first = (key: string) => tried.findIndex((each) => has(each, key));
  let left = tried;
  return keys
    .toSorted((a, b) => first(a) - first(b))
    .flatMap((key) => {
      const ruledOut = left.filter((each) => has(each, key));
      left = left.filter((each) => !ruledOut.includes(each));
      return ruledOut.length > 0 ? [reason(key, ruledOut, tried)] : [];
    });
}

/** Which candidates something rules out, with its numbers at the one that comes nearest to meeting it: `1 mm² to 4 mm², even 4 mm²: …`. */
function reason(key: string, ruledOut: readonly TriedCandidate[], tried: readonly TriedCandidate[]): string {
  const failures = ruledOut.map((each) => each.failures.find((failure) => failure.key === key) as Failure);
  const short = ({ margin }: Failure) => (margin ? -rankOf(margin) : 1);
  const nearest = failures.reduce((best, failure) => (short(failure) < short(best) ? failure : best));
  const shown = ruledOut[failures.indexOf(nearest)]?.candidate.shown;
  const which = ruledOut.length === tried.length ? 'each' : spanned(ruledOut, tried);
  return `${which}${ruledOut.length > 1 ? `, even ${shown}` : ''}: ${nearest.message}`;
}

/** Candidates in words: those that follow each other by the first and the last. */
function spanned(some: readonly TriedCandidate[], all: readonly TriedCandidate[]): string {
  const [first, last] = [all.indexOf(some[0] as TriedCandidate), all.indexOf(some.at(-1) as TriedCandidate)];
  if (some.length > 2 && last - first + 1 === some.length)
    return `${some[0]?.candidate.shown} to ${some.at(-1)?.candidate.shown}`;
  return listed(
    some.map(({ candidate }) => candidate.shown),
    4,
  );
}

// ---- what to give up ----

/** The least that would have to be given up so that a candidate fits, with the amounts; nothing that protects people. */
function givenUp(tried: readonly TriedCandidate[], { elsewhere }: Choice): string {
  const harmless = tried.filter(({ failures }) => failures.every(({ caution }) => caution === undefined));
  const [first, ...others] = harmless;
  if (!first && elsewhere) {
    const { change, candidate, warnings } = elsewhere;
    const but = warnings === 0 ? '' : warnings === 1 ? ', with a new warning' : `, with ${warnings} new warnings`;
    return `change ${change}: then ${candidate.shown} fits${but}`;
  }
  if (!first) return 'change something else: each that can be chosen breaks a rule about people’s safety';
  const size = ({ failures }: TriedCandidate) => [failures.length, ...gravityOf(failures)];
  const least = others.reduce((best, each) => (compare(size(each), size(best)) < 0 ? each : best), first);
  return `with ${least.candidate.shown} this would have to give: ${least.failures.map(amount).join('; ')}`;
}

function amount({ message, margin, changes }: Failure): string {
  if (changes.length > 0) return `${changes.join(' or ')} (${message})`;
  return margin ? `${message} (${showMargin(margin)})` : message;
}

/** A finding for each choice that nothing fits, over what fails there with what comes nearest; what is about people's safety stays by itself. */
export function withMisfits(choices: readonly Choice[], findings: readonly Finding[], machine: Machine): Finding[] {
  const rest = [...findings];
  const found = choices.flatMap((choice): Finding[] => {
    const misfit = misfitOf(choice);
    if (!misfit) return [];
    const follows = rest.filter(
      (finding) =>
        !finding.caution &&
        choice.against.some(({ rule, instance }) => rule === finding.rule && instance === finding.instance),
    );
    for (const finding of follows) rest.splice(rest.indexOf(finding), 1);
    const { engine, entry } = machine;
    const place = standsIn(choice.node, entry) ? choice.node : markForBlock(choice.instance, entry);
    const own = {
      rule: 'nothing_fits' satisfies OwnFinding,
      instance: choice.instance,
      places: [place],
      worst: undefined,
    };
    return [{ ...own, ...misfit, scenario: engine.low, consequences: follows }];
  });
  return [...rest, ...found];
}
