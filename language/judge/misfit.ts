import type { Machine } from '../compute/machine.ts';
import { rankOf, showMargin } from '../compute/margin.ts';
import { markForBlock, standsIn } from '../compute/marks.ts';
import type { Severity } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import { answerTo, type Choice, gravityOf, isConcern, type TriedCandidate } from './choices.ts';
import { excluding } from './excluding.ts';
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
    .map((each) => ({ ...each, failures: each.failures.filter((f) => isConcern(f, choice.against, choice.tryAll())) }));
  const grave = tried.map(({ failures }) => failures.filter((failure) => failure.grave));
  if (grave.some((failures) => failures.length === 0)) return undefined;
  const nearest = tried.find(({ candidate }) => candidate === choice.nearest);
  const reasons = chain(excluding(grave.map((failures) => failures.map(({ key }) => key))), tried);
  const worst = tried.map(({ failures }) =>
    failures.some(({ severity }) => severity === 'error') ? 'error' : 'warning',
  );
  return {
    severity: worst.includes('warning') ? 'warning' : 'error',
    message: `${choice.isBestFound ? 'nothing was found that fits here, with the other choices as they are' : 'nothing fits here'}: ${reasons.join('; ')}. ${choice.nearest.shown} comes nearest`,
    waysOut: waysOutOf(tried, choice),
    caution: nearest?.failures.find(({ caution }) => caution)?.caution,
  };
}

function has({ failures }: TriedCandidate, key: string): boolean {
  return failures.some((failure) => failure.key === key);
}

// ---- why ----

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

/** What fits though it is not listed, and what could be given up; that nothing can be only where there is nothing else to tell. */
function waysOutOf(tried: readonly TriedCandidate[], choice: Choice): string[] {
  const { unlisted } = choice;
  const given = givenUp(tried, choice);
  if (!unlisted) return [given ?? 'change something else: each that can be chosen breaks a rule about people’s safety'];
  return [
    `none of those listed fits: ${unlisted.candidate.shown} would${withWarnings(unlisted.warnings)}`,
    ...(given ? [given] : []),
  ];
}

function withWarnings(count: number): string {
  return count === 0 ? '' : count === 1 ? ', with a new warning' : `, with ${count} new warnings`;
}

/** The least that would have to be given up so that a candidate fits, with the amounts; nothing that protects people. */
function givenUp(tried: readonly TriedCandidate[], { elsewhere }: Choice): string | undefined {
  const harmless = tried.filter(({ failures }) => failures.every(({ caution }) => caution === undefined));
  const [first, ...others] = harmless;
  if (!first && elsewhere) {
    const { change, candidate, warnings } = elsewhere;
    return `change ${change}: then ${candidate.shown} fits${withWarnings(warnings)}`;
  }
  if (!first) return undefined;
  const size = ({ failures }: TriedCandidate) => [failures.length, ...gravityOf(failures)];
  const least = others.reduce((best, each) => (compare(size(each), size(best)) < 0 ? each : best), first);
  return `with ${least.candidate.shown} this would have to give: ${least.failures.map(amount).join('; ')}`;
}

function amount({ message, margin, changes }: Failure): string {
  if (changes.length > 0) return `${changes.join(' or ')} (${message})`;
  return margin ? `${message} (${showMargin(margin)})` : message;
}

/**
 * A finding for each choice that nothing fits, over what fails there with what comes nearest. Choices that the same speaks against are one
 * finding, at the first of them.
 */
export function withMisfits(choices: readonly Choice[], findings: readonly Finding[], machine: Machine): Finding[] {
  const rest = [...findings];
  const found: { readonly finding: Finding; readonly keys: readonly string[] }[] = [];
  for (const choice of choices) {
    const misfit = misfitOf(choice);
    if (!misfit) continue;
    const { against } = choice;
    const follows = rest.filter((finding) =>
      against.some(({ rule, instance }) => rule === finding.rule && instance === finding.instance),
    );
    for (const finding of follows) rest.splice(rest.indexOf(finding), 1);
    const keys = against.flatMap(({ grave, key }) => (grave ? [key] : []));
    const finding = misfitFinding(choice, misfit, follows, machine);
    const same = found.find((other) => other.keys.some((key) => keys.includes(key)));
    if (same) same.finding.consequences.push(finding);
    else found.push({ finding, keys });
  }
  return [...rest, ...found.map(({ finding }) => finding)];
}

/** What follows from it is no less grave by standing under it, and what it cautions against is said. */
function misfitFinding(choice: Choice, misfit: Misfit, follows: Finding[], { engine, entry }: Machine): Finding {
  const cautions = [...new Set([misfit, ...follows].flatMap(({ caution }) => caution ?? []))];
  const isError = follows.some(({ caution, severity }) => caution && severity === 'error');
  const { unlisted, node, instance } = choice;
  return {
    ...misfit,
    rule: 'nothing_fits' satisfies OwnFinding,
    severity: isError ? 'error' : misfit.severity,
    ...(cautions.length > 0 && { caution: cautions.join(' ') }),
    instance,
    places: [standsIn(node, entry) ? node : markForBlock(instance, entry)],
    ...(unlisted && standsIn(node, entry) && { instead: { node, text: unlisted.candidate.text } }),
    worst: undefined,
    scenario: engine.low,
    consequences: follows,
  };
}
