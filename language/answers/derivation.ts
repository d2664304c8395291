import { callCell } from '../compute/call-cell.ts';
import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import { stepsOfCell } from '../compute/evaluate-cells.ts';
import type { Frame } from '../compute/frame.ts';
import type { Machine } from '../compute/machine.ts';
import { extremesOf, pathOfCell, showCell, typeOfCell, valueOver } from '../compute/show-cell.ts';
import type { Body, Declaration, Source } from '../grammar/generated/ast.ts';
import { parse } from '../grammar/parser.ts';
import { type AstNode, contentOf, textOf } from '../grammar/syntax.ts';
import type { Origin } from '../machine/definition.ts';
import { Instance } from '../machine/tree.ts';
import { anyType, describeType } from '../names/type.ts';
import { contextWithin } from '../types/situation.ts';
import { stepsOf, withSteps } from '../types/steps.ts';
import { clausesOf } from '../units/units.ts';
import { showValue } from '../values/show.ts';
import { Formula, Unknown, type Value } from '../values/value.ts';
import { memberDoc } from './docs.ts';

/** Where a formula, a table or a rule comes from, and how good that source is. */
export interface SourceNote {
  readonly standing: Source['standing'];
  readonly text: string;
}

/** How good a source is, in words. */
export const standingWords: Readonly<Record<SourceNote['standing'], string>> = {
  defined: 'true by definition',
  read: 'read in the source itself',
  quoted: 'as quoted by others',
  practice: 'common practice, no published source',
  recalled: 'from memory, to be checked',
};

/** How a value came about. */
export interface Derivation {
  readonly path: string;
  readonly cell: Cell;
  readonly value: Value;
  readonly shown: string;
  /** Where it is least and greatest, where it is a range. */
  readonly extremes: { least: string; greatest: string } | undefined;
  /** "a current" */
  readonly type: string;
  readonly origin: Origin | 'proposed';
  readonly documentation: string;
  /** The formula or the text that gives it. */
  readonly formula: string | undefined;
  /** Where that stands: in the machine's file, a part's, or the library. */
  readonly writtenAt: AstNode | undefined;
  readonly sources: readonly SourceNote[];
  readonly assumptions: readonly string[];
  readonly inputs: readonly Cell[];
  /** What stands under the formula as `where NAME = …`, and what it comes to. */
  readonly steps: readonly { readonly name: string; readonly formula: string; readonly shown: string }[];
}

export function sourcesOf(node: { body?: Body } | undefined): SourceNote[] {
  return (node?.body?.members ?? []).flatMap((m) =>
    m.$type === 'Source' && m.text ? [{ standing: m.standing, text: contentOf(m.text) }] : [],
  );
}

/** What a formula, a rule or a table assumes. */
export const assumptionsOf = (node: { body?: Body } | undefined) => textsOf(node, 'assumes');

/** Where a rule is known to be wrong, or blind. */
export const limitsKnownOf = (node: { body?: Body } | undefined) => textsOf(node, 'known');

function textsOf(node: { body?: Body } | undefined, keyword: string): string[] {
  if (!node?.body) return [];
  return clausesOf(node as Declaration, keyword).flatMap((clause) =>
    clause.values.flatMap((v) => (v.$type === 'Text' ? [contentOf(v)] : [])),
  );
}

/** The derivation of one value: its formula, its source, what it assumes, and the values that went in. */
export function explainCell(cell: Cell, machine: Machine): Derivation {
  const subject = cell.called?.cell ?? cell;
  const { definition, member } = subject;
  const declared = member?.node;
  const value = valueOver(cell, machine);
  const isGiven = definition.origin === 'given' || definition.origin === 'measured';
  return {
    path: pathOfCell(cell, machine),
    cell,
    value,
    shown: showCell(cell, machine, value),
    extremes: extremesOf(cell, machine),
    type: describeType(typeOfCell(cell), machine.scope.system),
    origin: subject.origin,
    documentation: memberDoc(member),
    formula: definition.expression && textOf(definition.expression).replace(/\s+/g, ' '),
    writtenAt: definition.expression ?? definition.node,
    sources: isGiven ? statedSources(definition.node) : sourcesOf(declared),
    assumptions: isGiven ? [] : assumptionsOf(declared),
    inputs: inputsOf(cell, machine),
    steps: stepsShown(cell, machine),
  };
}

/** The steps of a value's formula, at the first end of the ranges that it rests on. */
function stepsShown(cell: Cell, { engine, scope }: Machine): Derivation['steps'] {
  const { definition } = cell.called?.cell ?? cell;
  const { node } = definition;
  if (node?.$type !== 'Entry' || definition.origin === 'given') return [];
  const types = withSteps(node, contextWithin(node, cell.instance, definition.scope, definition.mode)).locals;
  return engine.under(engine.low, () =>
    engine.aside(() => {
      const steps = stepsOfCell(cell, engine);
      return stepsOf(node).map(({ name, value }) => ({
        name: name.text,
        formula: value ? textOf(value).replace(/\s+/g, ' ') : '',
        shown: showValue(steps?.get(name.text) ?? new Unknown([]), types?.get(name.text) ?? anyType, scope.system),
      }));
    }),
  );
}

/** Where a value that was given says it comes from: its own statement, or the block around it. */
function statedSources(node: AstNode | undefined): SourceNote[] {
  const own = sourcesOf(node as { body?: Body });
  return own.length > 0 ? own : sourcesOf({ body: node?.$container as Body | undefined });
}

/** The values that went in, each once; formulas handed over by name are not values themselves. */
export function inputsOf(cell: Cell, { engine }: Machine): Cell[] {
  const inputs = engine.under(engine.low, () =>
    engine.inputs(cell).filter((dep) => !(engine.value(dep) instanceof Formula)),
  );
  return inputs.filter((dep) => dep.member || dep.called);
}

/** The cell that an expression such as `bed.warm_up(to: 100 degC)` names, seen from the machine; undefined if it names none. */
export function cellAt(path: string, machine: Machine): Cell | undefined {
  const item = parse(`value = ${path}`).file.items[0];
  const node = item?.$type === 'Entry' ? item.value : undefined;
  const frame: Frame = { engine: machine.engine, self: machine.tree, scope: machine.scope, mode: 'block' };
  const called = node?.$type === 'Call' ? node : undefined;
  const target = called ? called.callee : node;
  const name =
    target?.$type === 'Access' ? target.member?.text : target?.$type === 'Reference' ? target.name.text : undefined;
  const holder = target?.$type === 'Access' ? evaluate(target.object, frame) : machine.tree;
  const cell = holder instanceof Instance && name ? cellOf(holder, name) : undefined;
  if (!cell || !called) return cell;
  const parameters = cell.member?.parameters ?? [];
  const args = parameters.map((p, i): Value => {
    const argument =
      called.arguments.find((a) => a.name?.text === p.name) ??
      (called.arguments[i]?.name ? undefined : called.arguments[i]);
    return argument ? evaluate(argument.value, frame) : new Unknown([]);
  });
  return callCell(cell, args);
}
