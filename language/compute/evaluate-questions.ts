import type { Comprehension, Every, Expression } from '../grammar/generated/ast.ts';
import { Instance, isRoleList } from '../machine/tree.ts';
import type { Kind } from '../names/kind.ts';
import { type Fault, Formula, isMissing, missingOf, Unknown, type Value } from '../values/value.ts';
import { type Cell, cellsOf, computedCell, type Engine, everyOf } from './cell.ts';
import { scenariosApart, severalAround } from './copies.ts';
import { own } from './evaluate-names.ts';
import { type Counted, type EvaluateExpression, type Frame, Locals, withLocals } from './frame.ts';

/**
 * What a question comes to for each of what it goes through; where copies of a block are told apart, for each of these, but where it `picks`
 * blocks, which are no others for it.
 */
export function comprehend(
  body: Expression,
  node: Comprehension,
  frame: Frame,
  evaluate: EvaluateExpression,
  picks = true,
): Counted[] | Unknown | Fault {
  const domain =
    node.domain?.$type === 'Every'
      ? every(node.domain, node, frame, evaluate)
      : listed(evaluate(node.domain as Expression, frame));
  if (!Array.isArray(domain)) return domain;
  const counted: Counted[] = [];
  const names = [node.variable?.text ?? ''];
  const { engine } = frame;
  for (const [i, { item, weight }] of domain.entries()) {
    const apart = picks || weight === 1 || !(item instanceof Instance) ? [] : copiesApart(item, frame);
    const scenarios = apart.length > 0 ? scenariosApart(apart, engine) : [engine.scenario];
    for (const scenario of scenarios) {
      const spent = engine.step();
      if (spent) return spent;
      const inner = withLocals(frame, new Locals(names, [item], frame.locals));
      const ask = (): Counted | undefined => {
        const kept = node.condition ? evaluate(node.condition, inner) : true;
        if (kept === false) return undefined;
        return {
          item,
          value: kept === true ? evaluate(body, inner) : (missingOf(kept) ?? new Unknown([])),
          weight: weight / scenarios.length,
          position: i + 1,
          isUnsure: kept !== true || isMissing(item),
        };
      };
      const found = scenario === engine.scenario ? ask() : engine.under(scenario, ask);
      if (found) counted.push(found);
    }
  }
  return counted;
}

/** The blocks around what a question goes through of which each copy is another one, seen from where it is asked. */
function copiesApart(item: Instance, { engine, self }: Frame): Instance[] {
  if (engine.copies.size === 0 || engine.scenario === engine.everywhere) return [];
  return severalAround(item).filter((each) => engine.copies.has(each) && !holds(each, self));
}

function listed(value: Value): { item: Value; weight: number }[] | Unknown | Fault {
  if (Array.isArray(value)) {
    const blocks = isRoleList(value);
    return value.map((item: Value) => ({ item, weight: blocks && item instanceof Instance ? item.count : 1 }));
  }
  return isMissing(value) ? value : [{ item: value, weight: 1 }];
}

function every(
  node: Every,
  question: Comprehension,
  frame: Frame,
  evaluate: EvaluateExpression,
): { item: Instance; weight: number }[] | Unknown | Fault {
  const within = node.within ? evaluate(node.within, frame) : machineOf(frame.self);
  if (!(within instanceof Instance)) return isMissing(within) ? within : new Unknown([]);
  const kind = frame.scope.kindNamed(node.kind?.text ?? '');
  if (!kind) return [];
  const lists = listsAsked(question);
  const found = lists ? listing(within, kind, lists, frame) : allOf(within, kind, frame.engine);
  return found.map((item) => ({ item, weight: weight(item, within, frame.self) }));
}

function allOf(within: Instance, kind: Kind, engine: Engine): readonly Instance[] {
  return engine.value(everyOf(within, kind)) as readonly Instance[];
}

// A question such as `… for c in every circuit where self in c.path` would ask every circuit, for every element of each of
// them. So what stands in a list is noted once, and only those that list the block, or that might, are asked.

const asked = new WeakMap<Comprehension, readonly string[] | 'none'>();

/** The lists that a block must stand in for a question's condition to hold, if it says so; undefined if it does not. */
function listsAsked(node: Comprehension): readonly string[] | undefined {
  let lists = asked.get(node);
  if (!lists) {
    lists = listsIn(node.condition, node.variable?.text ?? '') ?? 'none';
    asked.set(node, lists);
  }
  return lists === 'none' ? undefined : lists;
}

function listsIn(node: Expression | undefined, variable: string): readonly string[] | undefined {
  if (node?.$type === 'Group') return listsIn(node.inner, variable);
  if (node?.$type !== 'Binary') return undefined;
  const { operator, left, right } = node;
  if (operator === 'and') return listsIn(left, variable) ?? listsIn(right, variable);
  if (operator === 'or') {
    const [a, b] = [listsIn(left, variable), listsIn(right, variable)];
    return a && b && [...a, ...b];
  }
  const isSelf = left?.$type === 'Reference' && left.name?.text === 'self';
  if (operator !== 'in' || !isSelf || right?.$type !== 'Access' || right.object.$type !== 'Reference') return undefined;
  return right.object.name?.text === variable && right.member ? [right.member.text] : undefined;
}

/** Those of a kind that have the frame's block in one of these lists, or whose lists are not all known. */
function listing(within: Instance, kind: Kind, lists: readonly string[], frame: Frame): readonly Instance[] {
  const found = new Set<Instance>();
  for (const list of lists) {
    const listed = frame.engine.value(listCell(within, kind, list));
    const items = listed instanceof Formula ? listed.call(frame.self) : undefined;
    for (const item of Array.isArray(items) ? items : []) found.add(item as Instance);
  }
  if (lists.length === 1) return [...found];
  return found.size < 2 ? [...found] : allOf(within, kind, frame.engine).filter((instance) => found.has(instance));
}

/** A cell for who stands in a list of those of a kind: made anew only where one of these lists changes. */
function listCell(within: Instance, kind: Kind, list: string): Cell {
  const key = `every ${kind.name} by ${list}`;
  let cell = cellsOf(within).values.get(key);
  if (!cell) {
    cell = computedCell(within, key, kind.scope, (engine) => noted(allOf(within, kind, engine), list, engine));
    cellsOf(within).values.set(key, cell);
  }
  return cell;
}

function noted(all: readonly Instance[], list: string, engine: Engine): Formula {
  const by = new Map<Value, Instance[]>();
  const unsure: Instance[] = [];
  for (const instance of all) {
    const value = own(instance, list, { engine, mode: 'kind' }) ?? new Unknown([]);
    // A list that was left out holds no block.
    if (value instanceof Unknown && value.absent) continue;
    if (!Array.isArray(value) || value.some((item) => !(item instanceof Instance))) unsure.push(instance);
    else
      for (const item of new Set(value as Instance[])) {
        const before = by.get(item);
        if (before) before.push(instance);
        else by.set(item, [instance]);
      }
  }
  const maybe = new Set(unsure);
  return new Formula(list, (item = new Unknown([])) => {
    const sure = by.get(item) ?? [];
    return maybe.size > 0 ? all.filter((instance) => maybe.has(instance) || sure.includes(instance)) : sure;
  });
}

/** The innermost block around that can stand alone: a machine, even where it stands on a site. */
function machineOf(self: Instance): Instance {
  for (let at: Instance | undefined = self; at; at = at.holder) if (at.kind.toplevel) return at;
  return self.root;
}

/** How often a block counts for another: what holds both of them is there once, seen from inside. */
function weight(instance: Instance, within: Instance, self: Instance): number {
  let product = 1;
  for (let i: Instance | undefined = instance; i && i !== within; i = i.holder)
    if (i.count !== 1 && !holds(i, self)) product *= i.count;
  return product;
}

function holds(holder: Instance, instance: Instance): boolean {
  for (let at: Instance | undefined = instance; at; at = at.holder) if (at === holder) return true;
  return false;
}
