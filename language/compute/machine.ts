import { marginOf, verdictAsNumber } from '../compute/margin.ts';
import type { Entry, Expression, Requirement } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { statementsOf } from '../machine/statements.ts';
import type { Instance, Layer } from '../machine/tree.ts';
import type { Scope } from '../names/scope.ts';
import type { Context } from '../types/context.ts';
import { Unknown, type Value } from '../values/value.ts';
import { type Cell, cellsOf, computedCell, type Engine, holdsFault } from './cell.ts';
import { evaluate } from './evaluate.ts';
import type { Frame } from './frame.ts';
import { ownStatement } from './marks.ts';

/** A block that stands alone in its file, with its tree and what was computed of it. */
export interface Machine {
  readonly entry: Entry;
  readonly scope: Scope;
  readonly tree: Instance;
  readonly engine: Engine;
}

/** Instances that the machine's own text writes, outermost first. */
export function* writtenInstances(machine: Machine): Generator<Instance> {
  for (const instance of machine.tree.all()) if (ownStatement(instance, machine.entry)) yield instance;
}

/** A target of the builder's own. */
export interface Target {
  readonly node: Requirement;
  readonly instance: Instance;
  readonly layer: Layer;
  readonly text: string;
  readonly cell: Cell;
}

const targets = new WeakMap<Machine, readonly Target[]>();

/** All requirements stated in the machine and in what it starts from. */
export function targetsOf(machine: Machine): readonly Target[] {
  let found = targets.get(machine);
  if (!found) {
    found = machine.tree
      .all()
      .flatMap((instance) =>
        instance.layers.flatMap((layer) =>
          statementsOf(layer.body).requirements.flatMap((node) =>
            node.condition ? [target(node, instance, layer, machine.engine)] : [],
          ),
        ),
      );
    targets.set(machine, found);
  }
  return found;
}

function target(node: Requirement, instance: Instance, layer: Layer, engine: Engine): Target {
  const text = textOf(node.condition).replace(/\s+/g, ' ');
  const key = `require ${text}`;
  const { condition } = node;
  const spoiled = layer.scope.isSpoiled(condition);
  const compute = () => evaluate(condition, blockFrame(instance, layer, engine));
  let cell = cellsOf(instance).values.get(key);
  if (!cell) {
    cell = computedCell(instance, key, layer.scope, compute, condition);
    cell.measure = () => marginCell(node, instance, layer, key);
    cellsOf(instance).values.set(key, cell);
  } else if (cell.definition.spoiled !== spoiled || holdsFault(cell)) {
    engine.touch([cell]);
  }
  // The same words, where they stand now.
  cell.compute = compute;
  const within = (of: Engine) => (each: Expression) => evaluate(each, blockFrame(instance, layer, of));
  cell.conditions = (of) => ({ when: [], holds: [condition], evaluate: within(of), showsMargin: true });
  cell.definition = { ...cell.definition, expression: condition, spoiled };
  return { node, instance, layer, text, cell };
}

/** The cell of how far a requirement is from failing. */
function marginCell(node: Requirement, instance: Instance, layer: Layer, of: string): Cell {
  const key = `margin of ${of}`;
  let cell = cellsOf(instance).values.get(key);
  if (!cell) {
    cell = computedCell(instance, key, layer.scope, (engine) => {
      const verdict = engine.value(cellsOf(instance).values.get(of) as Cell);
      const margin = () => marginOf(node.condition, blockFrame(instance, layer, engine), blockContext(instance, layer));
      return verdictAsNumber(verdict, margin);
    });
    cellsOf(instance).values.set(key, cell);
  }
  return cell;
}

/** What expressions in a block's own text are computed in. */
export function blockFrame(instance: Instance, layer: Layer, engine: Engine): Frame {
  return { engine, self: instance, scope: layer.scope, mode: layer.mode };
}

export function blockContext(instance: Instance, layer: Layer): Context {
  return { scope: layer.scope, mode: layer.mode, kind: instance.kind, instance, report: () => {} };
}

/** Everything that a value would need and that is not given (or, if `unreadable`, has a mistake in it), as paths. */
export function missingPaths(value: Value, unreadable = false): string[] {
  if (!(value instanceof Unknown)) return [];
  const wanted = value.missing.filter((m) => (m.unreadable ?? false) === unreadable);
  return [...new Set(wanted.map((m) => (m.instance.holder ? `${m.instance.label}.${m.name}` : m.name)))];
}
