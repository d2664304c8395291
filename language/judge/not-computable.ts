import { type Cell, type Corners, cellOf, type Ends, type Engine } from '../compute/cell.ts';
import { type Machine, targetsOf } from '../compute/machine.ts';
import { markForValue, standsIn } from '../compute/marks.ts';
import { whereOf } from '../compute/show-cell.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Kind } from '../names/kind.ts';
import { cannotBe } from '../values/show.ts';
import { Fault, type Value } from '../values/value.ts';
import type { Finding } from './finding.ts';
import type { OwnFinding } from './own-findings.ts';
import { cautionOf, type Rule, verdictCell } from './rule.ts';

/** A value that is worth computing even where no rule asks. */
export interface Wanted {
  readonly cell: Cell;
  /** Its values when they were last looked at, and whether one of them cannot be. */
  corners?: Corners;
  isFaulty?: boolean;
}

/** A rule about people's safety that cannot be decided, though all it needs is given: something cannot be computed. */
export interface Unsafe {
  readonly rule: Rule;
  readonly cell: Cell;
  readonly because: string;
}

/** One finding for each thing that cannot be computed, at its root; an error where people's safety rests on it. */
export function notComputableFindings(
  machine: Machine,
  wanted: readonly Wanted[],
  findings: readonly Finding[],
  unsafe: readonly Unsafe[],
  isWithheld: (cell: Cell) => boolean,
): Finding[] {
  const { engine } = machine;
  const found = new Map<string, { readonly finding: Finding; readonly origin: Cell }>();
  const faulty = wanted.filter((each) => hasFault(each, engine));
  for (const { cell } of [...faulty, ...targetsOf(machine), ...unsafe]) {
    const { tried, values } = engine.corners(cell);
    for (const [i, value] of values.entries()) {
      if (!(value instanceof Fault) || found.has(value.message) || isWithheld(cell)) continue;
      const scenario = tried[i] as Ends;
      const root = engine.under(scenario, () => rootOf(cell, (v) => isSame(v, value), engine));
      const origin = engine.under(scenario, () => rootOf(root, (v) => carries(v, value), engine));
      found.set(value.message, {
        finding: notComputable({ cell: root, fault: value, scenario }, unsafe, machine),
        origin,
      });
    }
  }
  // Where a rule already tells why, the value that cannot be is a consequence.
  return [...found.values()].flatMap(({ finding, origin }) => {
    const cause = findings.find((f) => f.severity === 'error' && tellsWhy(f, finding, origin, engine));
    cause?.consequences.push(finding);
    return cause ? [] : [finding];
  });
}

/** The finding that a value cannot be computed, where that is not said by another. */
function notComputable(
  { cell, fault, scenario }: { readonly cell: Cell; readonly fault: Fault; readonly scenario: Ends },
  unsafe: readonly Unsafe[],
  machine: Machine,
): Finding {
  const { engine, entry } = machine;
  const place = standsIn(fault.node, entry) ? (fault.node as AstNode) : markForValue(cell, entry);
  const name = cell.instance.holder ? `${cell.instance.label}.${cell.name}` : cell.name;
  const resting = unsafe.filter(({ because }) => because === fault.message);
  const names = [...new Set(resting.map(({ rule }) => rule.name.replaceAll('_', ' ')))];
  // Values that need each other in a ring are an error whatever rests on them, and the message names them all.
  const rests = names.length > 0 && !fault.ring ? `; what rests on it cannot be judged: ${listed(names)}` : '';
  return {
    rule: 'not_computable' satisfies OwnFinding,
    severity: fault.ring || resting.length > 0 ? 'error' : 'warning',
    message: `${fault.ring ? fault.message : `${name} ${cannotBe(fault.message)}`}${rests}`,
    caution: resting[0] && cautionOf(resting[0].rule, resting[0].cell.instance, engine),
    instance: cell.instance,
    places: [place],
    waysOut: [],
    scenario,
    worst: whereOf(scenario, cell, machine),
    consequences: [],
  };
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
export function wantedCells(instance: Instance): Cell[] {
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
