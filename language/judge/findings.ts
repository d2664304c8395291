import type { Corners, Ends } from '../compute/cell.ts';
import { type Cell, cellOf, type Engine } from '../compute/cell.ts';
import { endsTriedOf, searchedIn } from '../compute/corners.ts';
import { evaluate } from '../compute/evaluate.ts';
import { type FailedPart, failedParts, failureWords } from '../compute/failed-parts.ts';
import {
  blockContext,
  blockFrame,
  type Machine,
  type Target,
  targetsOf,
  writtenInstances,
} from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf, showMargin } from '../compute/margin.ts';
import { markForBlock, markForValue, ownStatement, standsIn } from '../compute/marks.ts';
import { isKnown, renderMessage, showExpression } from '../compute/message.ts';
import { whereOf } from '../compute/show-cell.ts';
import type { Body, Expression } from '../grammar/generated/ast.ts';
import { type AstNode, contentOf, rangeOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import type { Severity } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Kind } from '../names/kind.ts';
import { cannotBe } from '../values/show.ts';
import { Fault, isMissing, type Value } from '../values/value.ts';
import type { Choice } from './choices.ts';
import { misfitOf } from './misfit.ts';
import { type Expected, expectedIn, type NotSaid, notSaidIn, type Unjudged } from './not-said.ts';
import {
  acceptancesOf,
  cautionOf,
  contextOf,
  frameOf,
  notApplicable,
  type Rule,
  rulesOn,
  verdictCell,
} from './rule.ts';
import { restsOnChoices } from './trials.ts';
import { outcome, type WhyUnknown, whyUnknown } from './verdict-words.ts';

/** Something that does not hold, with its numbers and its places. */
export interface Finding {
  /** The rule's name, `requirement`, `not_computable`, or `nothing_fits`. */
  readonly rule: string;
  readonly severity: Severity;
  readonly message: string;
  /** People can be hurt: what to mind. Such a finding is never lowered. */
  readonly caution?: string;
  readonly instance: Instance;
  /** What to mark, the first of the places first. */
  readonly places: readonly AstNode[];
  /** Ways out, in words. */
  readonly waysOut: readonly string[];
  /** Where the rule is declared. */
  readonly declared?: Rule;
  /** Where the ranges are taken under which it is at its worst. */
  readonly scenario: Ends;
  /** The same in words, "at ambient 15 °C"; undefined where it rests on no range. */
  readonly worst: string | undefined;
  /** Said where that was searched for, and how far. */
  readonly searched?: string;
  readonly accepted?: Accepted;
  /** What follows from it, and is not listed by itself. */
  readonly consequences: Finding[];
}

interface Accepted {
  readonly reason: string;
  readonly node: AstNode;
  /** Said where the value has grown worse than the one accepted, so that the acceptance no longer counts. */
  readonly lapsed?: string;
  /** True where no value was stated, so that it could never lapse. */
  readonly valueless: boolean;
}

/** A rule that holds. */
interface Held {
  readonly rule: string;
  readonly instance: Instance;
  /** Said where the worst was searched for, and how far. */
  readonly searched: string | undefined;
  /** Is it certain that it is nowhere worse, as far as it rests on ranges? Undefined where it rests on none, or this was not asked. */
  readonly proved?: boolean;
  /** Was every combination of ends among what was tried? */
  readonly everyEnd: boolean;
}

/** A rule that cannot be decided, and why. */
export interface Undecided extends WhyUnknown {
  readonly rule: string;
  readonly instance: Instance;
}

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

export interface Assessment {
  readonly findings: readonly Finding[];
  readonly requirements: readonly Requirement[];
  readonly undecided: readonly Undecided[];
  /** What is expected, or waited for, and not said yet. */
  readonly notSaid: readonly NotSaid[];
  /** Rules that were decided and hold. */
  readonly held: number;
  /** How many of them rest on ranges, and are certain to hold wherever these are taken. */
  readonly proved: number;
  /** Those of them that hold wherever they were tried, which was not everywhere. */
  readonly searched: readonly Held[];
}

/** Everything the rules and requirements say of a machine, and what is to be said of its open choices. */
export function assess(machine: Machine, choices: readonly Choice[]): Assessment {
  return assessed(machine, choices, () => false);
}

/**
 * What is true of a machine whatever will be chosen, and what was told before and still fails with what stands in place of its open
 * choices: all else that rests on them is withheld until they are solved.
 */
export function assessUnsolved(machine: Machine, told: ReadonlySet<string>): Assessment {
  const rests = restsOnChoices(machine);
  return assessed(machine, [], (cell) => !told.has(cell.path) && rests(cell));
}

/** The verdicts that fail, by their paths. */
export function toldOf({ assessment, ...machine }: Machine & { assessment: Assessment }): Set<string> {
  const all = (findings: readonly Finding[]): Finding[] => findings.flatMap((f) => [f, ...all(f.consequences)]);
  const rules = all(assessment.findings).flatMap(({ declared, instance }) =>
    declared ? [verdictCell(declared, instance).path] : [],
  );
  const unmet = targetsOf(machine).filter(({ cell }) => machine.engine.corners(cell).values.includes(false));
  return new Set([...rules, ...unmet.map(({ cell }) => cell.path)]);
}

function assessed(machine: Machine, choices: readonly Choice[], isWithheld: (cell: Cell) => boolean): Assessment {
  const findings: Finding[] = [];
  const undecided: Undecided[] = [];
  const unsafe: Unsafe[] = [];
  const unjudged: Unjudged[] = [];
  const held: Held[] = [];
  for (const verdict of watchedOf(machine).verdicts) {
    const decided = decide(verdict, machine);
    if (!decided || 'missing' in decided) unjudged.push(verdict);
    if (!decided) continue;
    if ('message' in decided) {
      if (!isWithheld(verdict.cell)) findings.push(decided);
    } else if ('missing' in decided) {
      undecided.push(decided);
      const { because } = decided;
      if (verdict.rule.caution && because) unsafe.push({ rule: verdict.rule, cell: verdict.cell, because });
    } else held.push(decided);
  }
  const requirements = targetsOf(machine).map((target) => judge(target, machine));
  for (const requirement of requirements)
    if (requirement.holds === false && !isWithheld(requirement.target.cell)) findings.push(unmet(requirement, machine));
  const all = [...findings, ...faults(machine, findings, unsafe, isWithheld)];
  return {
    findings: grouped(withMisfits(choices, all, machine), machine.engine),
    requirements,
    undecided,
    notSaid: notSaidIn(machine, watchedOf(machine).expected, unjudged, findings),
    held: held.length,
    proved: held.filter(({ proved }) => proved).length,
    searched: held.filter(({ searched }) => searched),
  };
}

/**
 * Searches inside the ranges for what is worse there than at their ends: of every rule, requirement and value that is shown. In
 * steps; `assess` then says what was found. A search only adds: what failed still does.
 */
export function* searchDeeper(machine: Machine): Generator<void> {
  const { engine } = machine;
  const { verdicts, wanted } = watchedOf(machine);
  const cells = [...verdicts, ...targetsOf(machine), ...wanted].map(({ cell }) => cell);
  for (const cell of cells) {
    if (engine.corners(cell).of > 1) yield* engine.searchDeeper(cell);
  }
  engine.letGo(cells.flatMap((cell) => engine.corners(cell).tried));
}

/** What is looked at of a machine after each edit: gathered once for a machine, and what comes of it kept while it stands. */
interface Watched {
  readonly verdicts: readonly Verdict[];
  /** Values that are worth computing even where no rule asks. */
  readonly wanted: readonly Wanted[];
  /** What its kinds expect of its blocks. */
  readonly expected: readonly Expected[];
}

interface Verdict {
  readonly rule: Rule;
  readonly instance: Instance;
  readonly cell: Cell;
  /** What was last decided, and from what. */
  corners?: Corners;
  decided?: ReturnType<typeof decision>;
}

interface Wanted {
  readonly cell: Cell;
  /** Its values when they were last looked at, and whether one of them cannot be. */
  corners?: Corners;
  isFaulty?: boolean;
}

const watched = new WeakMap<Machine, Watched>();

function watchedOf(machine: Machine): Watched {
  let found = watched.get(machine);
  if (!found) {
    const verdicts = machine.tree
      .all()
      .flatMap((instance) =>
        rulesOn(instance.kind, machine.scope).map((rule) => ({ rule, instance, cell: verdictCell(rule, instance) })),
      );
    const wanted = [...writtenInstances(machine)].flatMap(wantedCells).map((cell) => ({ cell }));
    found = { verdicts, wanted, expected: expectedIn(machine) };
    watched.set(machine, found);
  }
  return found;
}

/** The worst that a rule says of an instance, over the ends of the ranges it depends on. */
function decide(verdict: Verdict, machine: Machine): Finding | Undecided | Held | undefined {
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
    // Where all are as bad, the high ends: what is said of temperatures is then said of the hot end.
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
        text && isKnown(text, frame) ? [renderMessage(text, frame, ctx)] : [],
      ),
      places: placesOf(rule, instance, machine),
      declared: rule,
      scenario: worst,
      worst: whereOf(worst, verdictCell(rule, instance), machine),
      searched: searchedIn(corners),
      accepted: acceptance(rule, instance, margin, machine),
      consequences: [],
    })),
  );
}

/** The parts of a rule's condition that fail where it was found, with what they compare; none where no rule was. */
export function failedPartsOf({ declared, instance, scenario }: Finding, { engine }: Machine): FailedPart[] {
  if (!declared) return [];
  const [frame, ctx] = [frameOf(declared, instance, engine), contextOf(declared)];
  return engine.under(scenario, () =>
    engine.aside(() => declared.holds.flatMap((part) => failedParts(part, frame, ctx))),
  );
}

/** A line with what is to be known of how the worst was looked for. */
function withSearch(line: string, searched: string | undefined): string {
  return searched ? `${line} (${searched})` : line;
}

function placesOf(rule: Rule, instance: Instance, machine: Machine): AstNode[] {
  const places = rule.at.map((node) => placeOf(node, instance, rule, machine));
  const marked = places.length ? [...new Set(places)] : [markForBlock(instance, machine.entry)];
  const isVariant = machine.entry.base !== undefined && !ownStatement(instance, machine.entry);
  const change = isVariant ? changeBehind(verdictCell(rule, instance), machine) : undefined;
  return change ? [change] : marked;
}

/** The statement of a variant that a verdict rests on, the nearest to it: a value that it gives, or a block that it adds or is without. */
function changeBehind(verdict: Cell, { entry, engine, tree }: Machine): AstNode | undefined {
  const cells = new Set([verdict]);
  let block: AstNode | undefined;
  for (const at of cells) {
    const { instance, member } = at;
    const { node, expression, origin } = member ? at.definition : {};
    if (node && origin !== 'derived' && standsIn(node, entry)) return expression ?? node;
    const own = instance === tree ? undefined : ownStatement(instance, entry);
    if (own?.$type === 'Entry') block ??= absenceIn(own) ?? own.name ?? own.first;
    for (const input of engine.inputs(at)) cells.add(input);
  }
  return block ?? absenceIn(entry);
}

function absenceIn({ body }: { readonly body?: Body }): AstNode | undefined {
  return body?.members.find((member) => member.$type === 'Absence');
}

/** What to mark for an expression such as `area` or `circuit.wire.area`. */
function placeOf(node: Expression, instance: Instance, rule: Rule, machine: Machine): AstNode {
  const { engine, entry } = machine;
  const object = node.$type === 'Access' ? evaluate(node.object, frameOf(rule, instance, engine)) : instance;
  const name = node.$type === 'Access' ? node.member?.text : node.$type === 'Reference' ? node.name.text : undefined;
  if (!(object instanceof Instance) || !name) return markForBlock(instance, entry);
  for (let at: Instance | undefined = object; at; at = node.$type === 'Reference' ? at.holder : undefined) {
    const child = at.inRole(name);
    if (child) return markForBlock(child, entry);
    const cell = cellOf(at, name);
    if (cell) return markForValue(cell, entry);
  }
  return markForBlock(object, entry);
}

function acceptance(
  rule: Rule,
  instance: Instance,
  margin: Margin | undefined,
  machine: Machine,
): Accepted | undefined {
  const found = acceptancesOf(instance).find((a) => a.node.rule.text === rule.name);
  if (!found) return undefined;
  const { node, scope } = found;
  const reason = node.reason ? contentOf(node.reason) : '';
  if (!node.value) return { reason, node, valueless: margin !== undefined };
  if (!margin) return { reason, node, valueless: false };
  const accepted = evaluate(node.value, { engine: machine.engine, self: instance, scope, mode: 'block' });
  const [frame, ctx] = [frameOf(rule, instance, machine.engine), contextOf(rule)];
  const value = evaluate(margin.value, frame);
  const worse = typeof accepted === 'number' && typeof value === 'number' && isWorse(value, accepted, margin.operator);
  const lapsed = worse
    ? `accepted at ${showExpression(node.value, frame, ctx)}, now ${showExpression(margin.value, frame, ctx)}`
    : undefined;
  return { reason, node, lapsed, valueless: false };
}

/** What is written is rounded to three digits: a value that much worse is still the one accepted. */
function isWorse(value: number, accepted: number, operator: Margin['operator']): boolean {
  const rounding = Math.abs(accepted) * 0.005;
  return operator === '<' || operator === '<=' ? value > accepted + rounding : value < accepted - rounding;
}

// ---- requirements ----

/** How a requirement stands. One that holds is judged once, until something that it or its margin rests on is touched. */
function judge(target: Target, machine: Machine): Requirement {
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
  const { margin, failed, shown, worst, searched, proved, ...rest } = requirement;
  const numbers = failed ? { shown: failureWords(failed) } : { shown, margin: margin && showMargin(margin) };
  return outcome({ ...rest, ...numbers, notes: [worst, proved ? 'proved' : searched] });
}

function unmet(requirement: Requirement, machine: Machine): Finding {
  const { target, failed = [], text } = requirement;
  const own = standsIn(target.node, machine.entry);
  return {
    rule: 'requirement',
    severity: 'warning',
    message: withSearch(`${text} does not hold: ${failureWords(failed)}`, requirement.endsTried),
    instance: target.instance,
    places: [own ? target.node.condition : markForBlock(target.instance, machine.entry)],
    waysOut: [],
    scenario: requirement.scenario,
    worst: requirement.worst,
    searched: requirement.searched,
    consequences: [],
  };
}

// ---- open choices ----

/** A finding for each choice that nothing fits, over what fails there with what comes nearest; what is about people's safety stays by itself. */
function withMisfits(choices: readonly Choice[], findings: readonly Finding[], machine: Machine): Finding[] {
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
    const own = { rule: 'nothing_fits', instance: choice.instance, places: [place], worst: undefined };
    return [{ ...own, ...misfit, scenario: engine.low, consequences: follows }];
  });
  return [...rest, ...found];
}

// ---- values that cannot be computed ----

/** A rule about people's safety that cannot be decided, though all it needs is given: something cannot be computed. */
interface Unsafe {
  readonly rule: Rule;
  readonly cell: Cell;
  readonly because: string;
}

/** One finding for each thing that cannot be computed, at its root; an error where people's safety rests on it. */
function faults(
  machine: Machine,
  findings: readonly Finding[],
  unsafe: readonly Unsafe[],
  isWithheld: (cell: Cell) => boolean,
): Finding[] {
  const { engine, entry } = machine;
  const found = new Map<string, { readonly finding: Finding; readonly origin: Cell }>();
  const faulty = watchedOf(machine).wanted.filter((wanted) => hasFault(wanted, engine));
  for (const { cell } of [...faulty, ...targetsOf(machine), ...unsafe]) {
    const { tried, values } = engine.corners(cell);
    for (const [i, value] of values.entries()) {
      if (!(value instanceof Fault) || found.has(value.message) || isWithheld(cell)) continue;
      const scenario = tried[i] as Ends;
      const root = engine.under(scenario, () => rootOf(cell, (v) => isSame(v, value), engine));
      const origin = engine.under(scenario, () => rootOf(root, (v) => carries(v, value), engine));
      found.set(value.message, { finding: notComputable(root, value, scenario, machine), origin });
    }
  }
  // Where a rule already tells why, the value that cannot be is a consequence.
  return [...found.values()].flatMap(({ finding, origin }) => {
    const cause = findings.find((f) => f.severity === 'error' && tellsWhy(f, finding, origin, engine));
    cause?.consequences.push(finding);
    return cause ? [] : [finding];
  });

  function notComputable(cell: Cell, fault: Fault, scenario: Ends, from: Machine): Finding {
    const place = standsIn(fault.node, entry) ? (fault.node as AstNode) : markForValue(cell, from.entry);
    const name = cell.instance.holder ? `${cell.instance.label}.${cell.name}` : cell.name;
    const resting = unsafe.filter(({ because }) => because === fault.message);
    const names = [...new Set(resting.map(({ rule }) => rule.name.replaceAll('_', ' ')))];
    // A ring is an error in any case, and says enough.
    const rests = names.length > 0 && !fault.ring ? `; what rests on it cannot be judged: ${listed(names)}` : '';
    return {
      rule: 'not_computable',
      severity: fault.ring || resting.length > 0 ? 'error' : 'warning',
      message: `${fault.ring ? fault.message : `${name} ${cannotBe(fault.message)}`}${rests}`,
      caution: resting[0] && cautionOf(resting[0].rule, resting[0].cell.instance, engine),
      instance: cell.instance,
      places: [place],
      waysOut: [],
      scenario,
      worst: whereOf(scenario, cell, from),
      consequences: [],
    };
  }
}

/** Can a value not be computed, at some of the ends that it is looked at? */
function hasFault(wanted: Wanted, engine: Engine): boolean {
  const corners = engine.corners(wanted.cell);
  if (corners !== wanted.corners) {
    wanted.corners = corners;
    wanted.isFaulty = corners.values.some((value) => value instanceof Fault);
  }
  return wanted.isFaulty ?? false;
}

const namesWanted = new WeakMap<Kind, readonly string[]>();

/** Names of the values of a kind that are given, or shown. */
function wantedNames(kind: Kind): readonly string[] {
  let names = namesWanted.get(kind);
  if (!names) {
    const given = [...kind.members.values()].filter(
      (m) => m.role !== 'child' && m.role !== 'derived' && m.parameters.length === 0,
    );
    names = [...new Set([...given.map((m) => m.name), ...kind.headlines])];
    namesWanted.set(kind, names);
  }
  return names;
}

/** Values that are worth computing even where no rule asks: what is given, and what is shown. */
function wantedCells(instance: Instance): Cell[] {
  return wantedNames(instance.kind).flatMap((name) => {
    const cell = cellOf(instance, name);
    return cell && (cell.definition.origin !== 'missing' || cell.member?.role === 'derived') ? [cell] : [];
  });
}

/**
 * Does a finding tell why a value cannot be computed? Where people's safety rests on the value, only one that is never laid aside,
 * and that judges what the value was to be computed from.
 */
function tellsWhy(cause: Finding, finding: Finding, origin: Cell, engine: Engine): boolean {
  if (cause.instance !== finding.instance) return false;
  if (!finding.caution) return true;
  if (!cause.caution || !cause.declared) return false;
  const judged = allInputs(verdictCell(cause.declared, cause.instance), engine);
  return engine.inputs(origin).some((input) => input.member?.role === 'derived' && judged.has(input));
}

/** All that a value is computed from, itself included. */
function allInputs(cell: Cell, engine: Engine): Set<Cell> {
  const found = new Set([cell]);
  for (const at of found) for (const input of engine.inputs(at)) found.add(input);
  return found;
}

/** The last value on the way back from a cell that still is as the fault makes it. */
function rootOf(cell: Cell, isAsFaultMakes: (value: Value) => boolean, engine: Engine): Cell {
  let at = cell;
  for (const seen = new Set([cell]); ; ) {
    const next = engine.inputs(at).find((dep) => !seen.has(dep) && dep.member && isAsFaultMakes(engine.value(dep)));
    if (!next) return at;
    seen.add(next);
    at = next;
  }
}

/** Is a value that fault, or a list with it inside? */
function carries(value: Value, fault: Fault): boolean {
  return Array.isArray(value) ? value.some((each) => carries(each, fault)) : isSame(value, fault);
}

function isSame(value: Value, fault: Fault): boolean {
  return value instanceof Fault && value.message === fault.message;
}

// ---- consequences ----

/** Puts each finding that follows from another under it, and orders the rest by their place in the text. */
function grouped(findings: readonly Finding[], engine: Engine): Finding[] {
  const roots: Finding[] = [];
  for (const finding of findings) {
    const cause = causeOf(finding, findings, engine);
    if (cause && cause !== finding) cause.consequences.push(finding);
    else roots.push(finding);
  }
  return roots.sort((a, b) => rangeOf(a.places[0] as AstNode).start - rangeOf(b.places[0] as AstNode).start);
}

function causeOf(finding: Finding, findings: readonly Finding[], engine: Engine): Finding | undefined {
  const { declared, instance, scenario } = finding;
  for (const follows of declared?.follows ?? []) {
    const of = engine.under(scenario, () =>
      engine.aside(() => evaluate(follows.of, frameOf(declared as Rule, instance, engine))),
    );
    const at = Array.isArray(of) ? of : [of];
    const cause = findings.find((f) => f.rule === follows.rule.text && at.includes(f.instance));
    // What follows from something accepted was not accepted with it.
    if (cause && !isLaidAside(cause)) return cause;
  }
  return undefined;
}

/** Accepted, with nobody's safety at stake, and not lapsed. */
export function isLaidAside(finding: Finding): boolean {
  return finding.accepted !== undefined && !finding.accepted.lapsed && !finding.caution;
}
