import type { Cell, Corners, Ends } from '../compute/cell.ts';
import { endsTriedOf, searchedIn } from '../compute/corners.ts';
import { type FailedPart, failedParts } from '../compute/failed-parts.ts';
import type { Machine } from '../compute/machine.ts';
import { leastMargin, marginOf } from '../compute/margin.ts';
import { isKnown, renderMessage, renderWayOut } from '../compute/message.ts';
import { whereOf } from '../compute/show-cell.ts';
import type { Instance } from '../machine/tree.ts';
import { isMissing } from '../values/value.ts';
import { acceptanceOf } from './acceptance.ts';
import type { Finding } from './finding.ts';
import { marksOf } from './finding-marks.ts';
import { cautionOf, contextOf, frameOf, notApplicable, type Rule, verdictCell } from './rule.ts';
import { type WhyUnknown, whyUnknown } from './verdict-words.ts';
import { type Settled, settledOf, wordsOfSettled } from './whatever.ts';

/** A rule that holds. */
export interface Held {
  readonly rule: string;
  readonly instance: Instance;
  /** Said where the worst was searched for, and how far. */
  readonly searched: string | undefined;
  /** Is it certain that it is nowhere worse, as far as it rests on ranges? Undefined where it rests on none, or this was not asked. */
  readonly proved?: boolean;
  /** Was every combination of ends among what was tried? */
  readonly everyEnd: boolean;
  /** What it holds for, where it lacks values that make no difference: "for any length from 1 mm to 100 m". */
  readonly whatever?: string;
}

/** A rule that cannot be decided, and why. */
export interface Undecided extends WhyUnknown {
  readonly rule: string;
  readonly instance: Instance;
}

/** A rule on a block. */
export interface Verdict {
  readonly rule: Rule;
  readonly instance: Instance;
  readonly cell: Cell;
  /** What was last decided, and from what. */
  corners?: Corners;
  decided?: ReturnType<typeof decision>;
}

/** The worst that a rule says of an instance, over the ends of the ranges it depends on and over all that could be said for what it lacks. */
export function decide(verdict: Verdict, machine: Machine): Finding | Undecided | Held | undefined {
  const decided = decideAsSaid(verdict, machine);
  const settled = decided && 'missing' in decided ? settledOf(verdict.cell) : undefined;
  return settled ? (whateverIsSaid(settled, verdict, machine) ?? decided) : decided;
}

/** What comes of a rule whatever is said for what it lacks; its numbers are those at one end of that. */
function whateverIsSaid(settled: Settled, verdict: Verdict, machine: Machine): Finding | Held | undefined {
  const whatever = wordsOfSettled(settled, machine);
  const { rule, instance, cell } = verdict;
  const at = machine.engine.supposing(settled.at, () => decideAsSaid({ rule, instance, cell }, machine));
  if (!at) return { rule: rule.name, instance, searched: undefined, everyEnd: true, whatever };
  if ('missing' in at) return undefined;
  return 'message' in at ? { ...at, message: `${at.message} (${whatever})` } : { ...at, whatever };
}

/** What is known of a rule from what is said. */
function decideAsSaid(verdict: Verdict, machine: Machine): Finding | Undecided | Held | undefined {
  const { rule, instance, cell } = verdict;
  const corners = machine.engine.corners(cell);
  if (corners !== verdict.corners) {
    verdict.corners = corners;
    verdict.decided = decision(rule, cell, corners);
  }
  const { decided } = verdict;
  return Array.isArray(decided) ? failure(rule, instance, decided, corners, machine) : decided;
}

/** Under which ends it fails; or what keeps it from being decided, or that it holds; undefined where it does not apply. */
function decision(rule: Rule, cell: Cell, corners: Corners): Ends[] | Undecided | Held | undefined {
  const { instance } = cell;
  let missing: Undecided | undefined;
  let holds = false;
  const failing: Ends[] = [];
  for (const [i, value] of corners.values.entries()) {
    if (value === false) failing.push(corners.tried[i] as Ends);
    else if (isMissing(value)) missing ??= { rule: rule.name, instance, ...whyUnknown(value) };
    else if (value !== notApplicable) holds = true;
  }
  if (failing.length > 0) return failing;
  return (
    missing ??
    (holds
      ? {
          rule: rule.name,
          instance,
          searched: searchedIn(corners),
          proved: corners.proved,
          everyEnd: !endsTriedOf(corners),
        }
      : undefined)
  );
}

function failure(
  rule: Rule,
  instance: Instance,
  failing: readonly Ends[],
  corners: Corners,
  machine: Machine,
): Finding {
  const { engine } = machine;
  const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
  const marginIn = (scenario: Ends) =>
    engine.under(scenario, () => engine.aside(() => leastMargin(rule.holds.map((part) => marginOf(part, frame, ctx)))));
  let worst = failing[0] as Ends;
  let margin = marginIn(worst);
  for (const scenario of failing.slice(1)) {
    const other = marginIn(scenario);
    // Where several ends are as bad, the high ones are told of: a message about temperatures then tells of the hot end.
    if (leastMargin([other, margin]) === other) [worst, margin] = [scenario, other];
  }
  return engine.under(worst, () =>
    engine.aside(() => ({
      rule: rule.name,
      severity: rule.severity,
      message: withSearch(renderMessage(rule.message, frame, ctx, margin), endsTriedOf(corners)),
      caution: cautionOf(rule, instance, engine),
      instance,
      waysOut: rule.remedies.flatMap(({ text }) =>
        text && isKnown(text, frame) ? [renderWayOut(text, frame, ctx, margin)] : [],
      ),
      places: marksOf(rule, instance, machine),
      declared: rule,
      scenario: worst,
      worst: whereOf(worst, verdictCell(rule, instance), machine),
      searched: searchedIn(corners),
      accepted: acceptanceOf(rule, instance, margin, machine),
      consequences: [],
    })),
  );
}

/** The parts of a rule's condition that fail where it was found, with what they compare; none where no rule was. */
export function failedPartsOf(
  { declared, failed = [], instance, scenario }: Finding,
  { engine }: Machine,
): readonly FailedPart[] {
  if (!declared) return failed;
  const [frame, ctx] = [frameOf(declared, instance, engine), contextOf(declared)];
  return engine.under(scenario, () =>
    engine.aside(() => declared.holds.flatMap((part) => failedParts(part, frame, ctx))),
  );
}

/** A line with what is to be known of how the worst was looked for. */
export function withSearch(line: string, searched: string | undefined): string {
  return searched ? `${line} (${searched})` : line;
}
