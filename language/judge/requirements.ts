import type { Corners, Ends } from '../compute/cell.ts';
import { endsTriedOf, searchedIn } from '../compute/corners.ts';
import { type FailedPart, failedParts, failureWords } from '../compute/failed-parts.ts';
import { blockContext, blockFrame, type Machine, type Target } from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf, showMargin } from '../compute/margin.ts';
import { markForBlock, standsIn } from '../compute/marks.ts';
import { showExpression } from '../compute/message.ts';
import { whereOf } from '../compute/show-cell.ts';
import type { Value } from '../values/value.ts';
import type { Finding } from './finding.ts';
import type { OwnFinding } from './own-findings.ts';
import { outcome, type WhyUnknown, whyUnknown } from './verdict-words.ts';
import { withSearch } from './verdicts.ts';
import { settledOf, wordsOfSettled } from './whatever.ts';

/** How a requirement stands. */
export interface Requirement extends WhyUnknown {
  readonly target: Target;
  readonly text: string;
  readonly holds: boolean | undefined;
  /** Said where the worst was searched for, and how far. */
  readonly searched?: string;
  /** Is it certain that it is nowhere worse? */
  readonly proved?: boolean;
  /** Said where not every combination of ends was tried. */
  readonly endsTried?: string;
  /** What it comes out alike for, where it lacks values that make no difference: "for any length from 1 mm to 100 m". */
  readonly whatever?: string;
  /** Where the ranges are taken under which it is at its worst. */
  readonly scenario: Ends;
  /** The same in words; undefined where it rests on no range. */
  readonly worst?: string;
  readonly margin?: Margin;
  /** What it comes to, as people read it. */
  readonly shown?: string;
  /** The parts of its condition that fail, with what they compare. */
  readonly failed?: readonly FailedPart[];
}

/** How a requirement stands, whatever is said for what it lacks, where that is known to make no difference. */
export function judgeRequirement(target: Target, machine: Machine): Requirement {
  const judged = judgeAsSaid(target, machine);
  const settled = judged.holds === undefined ? settledOf(target.cell) : undefined;
  if (!settled) return judged;
  const { engine } = machine;
  const at = engine.supposing(settled.at, () => judgeAnew(target, engine.corners(target.cell), machine));
  // Its numbers would be those at one end of what could be said.
  const { margin: _, shown: __, ...decided } = at;
  return { ...decided, holds: settled.holds, whatever: wordsOfSettled(settled, machine) };
}

/** How it stands by what is said. One that holds is judged once, until something that it or its margin rests on is touched. */
function judgeAsSaid(target: Target, machine: Machine): Requirement {
  const { engine } = machine;
  const { cell } = target;
  const corners = engine.corners(cell);
  const measure = cell.measure?.();
  if (!measure || corners.values.some((value) => value !== true)) return judgeAnew(target, corners, machine);
  const judged = engine.noted(measure, corners, () => {
    // What the margin rests on is known once it is computed as the value of a cell.
    engine.aside(() => corners.tried.map((ends) => engine.under(ends, () => engine.value(measure))));
    return judgeAnew(target, corners, machine);
  });
  return { ...judged, target };
}

function judgeAnew(target: Target, corners: Corners, machine: Machine): Requirement {
  const { engine } = machine;
  const frame = blockFrame(target.instance, target.layer, engine);
  const ctx = blockContext(target.instance, target.layer);
  let worst: Requirement | undefined;
  for (const scenario of corners.tried) {
    const judged = engine.under(scenario, () =>
      engine.aside(() =>
        judgeIn(
          target,
          scenario,
          engine.value(target.cell),
          () => marginOf(target.node.condition, frame, ctx),
          (m) => showExpression(m.value, frame, ctx),
        ),
      ),
    );
    if (!worst || isGraver(judged, worst)) worst = judged;
  }
  const found = worst as Requirement;
  const said = { searched: searchedIn(corners), endsTried: endsTriedOf(corners), proved: corners.proved };
  const failed =
    found.holds === false &&
    engine.under(found.scenario, () => engine.aside(() => failedParts(target.node.condition, frame, ctx)));
  return { ...found, ...(failed && { failed }), ...said, worst: whereOf(found.scenario, target.cell, machine) };
}

function judgeIn(
  target: Target,
  scenario: Ends,
  value: Value,
  margin: () => Margin | undefined,
  show: (margin: Margin) => string,
): Requirement {
  const { text } = target;
  if (typeof value === 'boolean') {
    const by = margin();
    return { target, scenario, text, holds: value, margin: by, shown: by && show(by), missing: [] };
  }
  return { target, scenario, text, holds: undefined, ...whyUnknown(value) };
}

function isGraver(a: Requirement, b: Requirement): boolean {
  const order = (r: Requirement) => (r.holds === false ? 0 : r.holds === undefined ? 1 : 2);
  if (order(a) !== order(b)) return order(a) < order(b);
  return a.margin !== undefined && leastMargin([b.margin, a.margin]) === a.margin && a.margin !== b.margin;
}

/** How a requirement stands, with its numbers, or what keeps it from being decided: `fails: a is 5 mm, the limit is 4 mm (25 % short)`. */
export function requirementOutcome(requirement: Requirement): string {
  const { margin, failed, shown, worst, searched, proved, whatever, ...rest } = requirement;
  const numbers = failed ? { shown: failureWords(failed) } : { shown, margin: margin && showMargin(margin) };
  return outcome({ ...rest, ...numbers, notes: [worst, whatever, proved ? 'proved' : searched] });
}

/** The finding that a requirement does not hold. */
export function unmetFinding(requirement: Requirement, machine: Machine): Finding {
  const { target, failed = [], text } = requirement;
  const own = standsIn(target.node, machine.entry);
  return {
    rule: 'requirement' satisfies OwnFinding,
    severity: 'warning',
    message: withSearch(
      `${text} does not hold: ${failureWords(failed)}`,
      requirement.whatever ?? requirement.endsTried,
    ),
    instance: target.instance,
    places: [own ? target.node.condition : markForBlock(target.instance, machine.entry)],
    waysOut: [],
    failed,
    target,
    scenario: requirement.scenario,
    worst: requirement.worst,
    searched: requirement.searched,
    consequences: [],
  };
}
