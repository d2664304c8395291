import type {
  Argument,
  Binary,
  Call,
  Comprehension,
  Declaration,
  Entry,
  Every,
  Expression,
  Quantity,
  Reference,
} from '../grammar/generated/ast.ts';
import { numerics } from '../numerics/index.ts';
import { isUnit } from '../units/units.ts';
import { builtins } from './builtins.ts';
import { Cell, type Engine } from './cell.ts';
import { sharedMember } from './infer.ts';
import * as op from './operators.ts';
import type { Scope } from './scope.ts';
import { lookUp } from './table.ts';
import { buildPart, buildTree, Instance, type Mode } from './tree.ts';
import { Fault, Formula, isMissing, Money, missingOf, Sides, Unknown, type Value, type ValueList } from './value.ts';

/** What an expression is computed in: the instance whose text it is, and the names bound around it. */
export interface Frame {
  readonly engine: Engine;
  readonly self: Instance;
  readonly scope: Scope;
  readonly mode: Mode;
  readonly locals?: ReadonlyMap<string, Value>;
}

type Code = (frame: Frame) => Value;
const compiled = new WeakMap<Expression, Code>();
/** Names that the checks found to be choices (`ac`), whatever else goes by that name. */
export const choiceNames = new WeakSet<Reference>();

/** The value of an expression. Never throws: what cannot be computed is a `Fault`, what is not given an `Unknown`. */
export function evaluate(node: Expression | undefined, frame: Frame): Value {
  if (!node) return new Unknown([]);
  let code = compiled.get(node);
  if (!code) {
    code = compile(node);
    compiled.set(node, code);
  }
  return code(frame);
}

/** The value of a cell, from the text that defines it. */
export function evaluateCell(cell: Cell, engine: Engine): Value {
  const { definition, instance, member } = cell;
  if (member && member.parameters.length > 0 && definition.origin === 'derived') return formulaOf(cell, engine);
  if (!definition.expression) return new Unknown([{ instance, name: cell.name }], member?.role === 'optional');
  if (definition.origin === 'open') return new Unknown([{ instance, name: cell.name }]);
  const expression = definition.expression;
  if (member?.type.is === 'choice' && expression.$type === 'Reference') {
    if (member.type.options.includes(expression.name.text)) return expression.name.text;
  }
  return evaluate(expression, { engine, self: instance, scope: definition.scope, mode: definition.mode });
}

/** A derived value with arguments. Its results for given arguments are cells of their own, so that they are kept. */
function formulaOf(cell: Cell, engine: Engine): Formula {
  const { instance, member, definition } = cell;
  const names = member?.parameters.map((p) => p.name) ?? [];
  const direct = (...args: Value[]) => {
    const locals = new Map(names.map((name, i) => [name, args[i] ?? new Unknown([])]));
    return evaluate(definition.expression, { engine, self: instance, scope: definition.scope, mode: 'kind', locals });
  };
  return new Formula(cell.name, direct);
}

/** The cell of a derived value for given arguments, such as `warm_up(to: 100 degC)`. */
export function callCell(cell: Cell, args: readonly Value[]): Cell {
  const key = `${cell.name}(${args.map((a) => (typeof a === 'object' ? '…' : String(a))).join(', ')})`;
  let made = cell.instance.cells.get(key);
  if (!made) {
    made = new Cell(cell.instance, key, undefined);
    made.definition = cell.definition;
    made.called = { cell, args };
    made.compute = (engine) => {
      const formula = engine.value(cell);
      return formula instanceof Formula ? formula.call(...args) : formula;
    };
    cell.instance.cells.set(key, made);
  }
  return made;
}

function compile(node: Expression): Code {
  switch (node.$type) {
    case 'Quantity':
      return quantity(node, 1);
    case 'Text': {
      const text = node.text.replace(/^"|"$/g, '').replace(/\\(.)/g, '$1');
      return () => text;
    }
    case 'DateValue':
      return () => node.date;
    case 'Truth':
      return () => node.value === 'yes';
    case 'Open':
      return () => new Unknown([]);
    case 'Group':
      return (frame) => evaluate(node.inner, frame);
    case 'List':
      return (frame) => node.elements.map((e) => evaluate(e.value, frame)) as ValueList;
    case 'Reference':
      return (frame) => (choiceNames.has(node) ? node.name.text : resolve(frame, node.name?.text ?? ''));
    case 'Access':
      return (frame) => access(evaluate(node.object, frame), node.member?.text ?? '', frame, node);
    case 'Index':
      return (frame) => indexed(evaluate(node.object, frame), evaluate(node.index, frame), node);
    case 'Unary':
      if (node.operator === '-' && node.operand?.$type === 'Quantity') return quantity(node.operand, -1);
      return node.operator === 'not'
        ? (f) => op.not(evaluate(node.operand, f))
        : (f) => op.negate(evaluate(node.operand, f));
    case 'Conditional':
      return (frame) => {
        const condition = evaluate(node.condition, frame);
        if (typeof condition !== 'boolean') return isMissing(condition) ? condition : new Unknown([]);
        return evaluate(condition ? node.then : node.else, frame);
      };
    case 'Binary':
      return binary(node);
    case 'Call':
      return (frame) => call(node, frame);
    default:
      return () => new Unknown([]);
  }
}

function quantity(node: Quantity, sign: number): Code {
  const number = sign * Number(node.number);
  const { unit } = node;
  if (!unit) return () => number;
  return (frame) => {
    const found = frame.scope.system.unit(unit);
    if (!isUnit(found)) return new Fault(`${unit} is not a unit`, node);
    if (found.currency) return new Money(number * found.factor, found.currency);
    return number * found.factor + (found.zero ?? 0);
  };
}

function binary(node: Binary): Code {
  const { operator } = node;
  switch (operator) {
    case 'and':
    case 'or':
      return (f) =>
        op.junction(
          operator,
          () => evaluate(node.left, f),
          () => evaluate(node.right, f),
        );
    case 'otherwise':
      return (f) => {
        const left = evaluate(node.left, f);
        return left instanceof Unknown && left.absent ? evaluate(node.right, f) : left;
      };
    case 'is':
      return (f) => {
        const left = evaluate(node.left, f);
        const kind = node.right?.$type === 'Reference' ? f.scope.kindNamed(node.right.name.text) : undefined;
        return left instanceof Instance ? left.kind.isA(kind) : isMissing(left) ? left : false;
      };
    case 'x':
      return (f) => op.sides(evaluate(node.left, f), evaluate(node.right, f));
    case '..':
      return (f) => op.range(evaluate(node.left, f), evaluate(node.right, f));
    default:
      return (f) => {
        const left = evaluate(node.left, f);
        const right = evaluate(node.right, f);
        return op.binary(operator, left, right, f, node);
      };
  }
}

/** The value of a name, looked for from the inside outward. */
function resolve(frame: Frame, name: string): Value {
  const local = frame.locals?.get(name);
  if (local !== undefined) return local;
  const { self } = frame;
  if (name === 'self') return self;
  if (name === 'holder') return self.holder ?? new Unknown([]);
  const found = own(self, name, frame.engine) ?? around(frame, name);
  if (found !== undefined) return found;
  const known = declared(frame, name) ?? builtinMember(self, name);
  if (known !== undefined) return known;
  // Shared by some kind, but by nothing that holds this block: left out, as where a machine stands on no site.
  if (sharedMember(name, frame.scope)) return new Unknown([], true);
  return frame.scope.kindNamed(name) ? new Unknown([]) : name;
}

/** A value or a block of the instance itself. */
export function own(instance: Instance, name: string, engine: Engine): Value | undefined {
  const child = instance.children.get(name);
  if (child) return child;
  const cell = instance.cell(name);
  if (cell) return engine.value(cell);
  if (instance.broken.has(name)) return new Unknown([]);
  if (instance.member(name)) return new Unknown([{ instance, name }], true);
  return undefined;
}

function around(frame: Frame, name: string): Value | undefined {
  for (let holder = frame.self.holder; holder; holder = holder.holder) {
    if (frame.mode === 'kind' ? holder.member(name)?.shared || isSlotText(frame) : holder.member(name)?.shared) {
      const value = own(holder, name, frame.engine);
      if (value !== undefined) return value;
    }
    if (frame.mode === 'block') {
      const child = holder.children.get(name);
      if (child) return child;
      if (holder.broken.has(name)) return new Unknown([]);
    }
  }
  return undefined;
}

/** Is the text a slot's own block in a kind (`has plus: terminal { role = … }`), which sees the kind's values? */
function isSlotText(frame: Frame): boolean {
  return frame.self.layers.some((layer) => layer.mode === 'kind');
}

/** The one instance that stands for a part, or for another block that stands alone in its file, in a machine's evaluation. */
export function standingFor(node: Declaration | Entry, scope: Scope, engine: Engine): Instance | undefined {
  if (!engine.standing.has(node))
    engine.standing.set(node, node.$type === 'Entry' ? buildTree(node, scope) : buildPart(node, scope));
  return engine.standing.get(node);
}

function declared(frame: Frame, name: string): Value | undefined {
  const size = frame.scope.sizeNamed(name);
  if (size) frame.engine.lookedUp(name, frame.scope, size.declaration);
  if (size) return sizeValues(size.declaration, { ...frame, scope: size.scope })[size.index] ?? new Unknown([]);
  const found = frame.scope.find(name);
  frame.engine.lookedUp(name, frame.scope, found?.node);
  if (!found) return undefined;
  const { node, scope } = found;
  if (node.$type === 'Entry')
    return node === frame.self.root.node
      ? frame.self.root
      : (standingFor(node, scope, frame.engine) ?? new Unknown([]));
  switch (node.what) {
    case 'part':
      return standingFor(node, scope, frame.engine) ?? new Unknown([]);
    case 'constant':
      return constant(node, { ...frame, scope, locals: undefined });
    case 'function':
    case 'table':
    case 'numeric':
      return new Formula(name, (...args) => invoke(node, scope, args, frame.engine, frame.self));
    default:
      return undefined;
  }
}

function constant(node: Declaration, frame: Frame): Value {
  return frame.scope.once(node, () => evaluate(node.value, frame));
}

/** Standard sizes, in the order they are declared in. */
export function sizeValues(node: Declaration, frame: Frame): readonly Value[] {
  return frame.scope.once(node, () => {
    const value = evaluate(node.value, { ...frame, locals: undefined });
    return Array.isArray(value) ? value : [];
  });
}

/** Calls a function, a table or a numeric with its arguments in the order of its parameters. */
function invoke(node: Declaration, scope: Scope, args: Value[], engine: Engine, self: Instance): Value {
  if (node.what === 'function') {
    const locals = new Map(node.parameters.map((p, i) => [p.name?.text ?? '', args[i] ?? new Unknown([])]));
    return evaluate(node.value, { engine, self, scope, mode: 'kind', locals });
  }
  const missing = missingOf(...args);
  if (missing) return missing;
  if (node.what === 'table') return lookUp(node, args, { engine, self, scope, mode: 'kind' });
  const numeric = numerics[node.name.text];
  if (!numeric) return new Fault(`the numeric ${node.name.text} has no implementation`, node);
  return numeric(...args);
}

function access(object: Value, name: string, frame: Frame, node: Expression): Value {
  if (object instanceof Instance)
    return own(object, name, frame.engine) ?? builtinMember(object, name) ?? new Unknown([]);
  if (object instanceof Sides) {
    const side = object.sides[['width', 'depth', 'height'].indexOf(name)];
    return side ?? new Fault(`this size has no ${name}`, node);
  }
  return isMissing(object) ? object : new Unknown([]);
}

function builtinMember(instance: Instance, name: string): Value | undefined {
  if (name === 'name') return instance.label;
  if (name === 'count') return instance.count;
  return undefined;
}

function indexed(list: Value, index: Value, node: Expression): Value {
  if (!Array.isArray(list) || typeof index !== 'number') return missingOf(list, index) ?? new Unknown([]);
  return list[index - 1] ?? new Fault(`the list has ${list.length} elements; there is no number ${index}`, node);
}

function call(node: Call, frame: Frame): Value {
  const { callee } = node;
  const args = node.arguments;
  if (callee?.$type === 'Reference' && !frame.locals?.has(callee.name.text)) {
    const name = callee.name.text;
    if (name === 'given') {
      const value = evaluate(args[0]?.value, frame);
      return !(value instanceof Unknown && (value.absent || isDirect(value, args[0]?.value)));
    }
    const builtin = builtins[name];
    if (builtin && !frame.self.member(name)) {
      const first = args[0];
      if (first?.comprehension)
        return builtin.overList?.(comprehend(first.value, first.comprehension, frame), frame) ?? new Unknown([]);
      return builtin.call(
        args.map((a) => evaluate(a.value, frame)),
        frame,
        node,
      );
    }
    const cell = frame.self.children.has(name) ? undefined : frame.self.cell(name);
    if (cell?.member?.parameters.length) return called(cell, args, frame);
  }
  if (callee?.$type === 'Access') {
    const object = evaluate(callee.object, frame);
    const cell = object instanceof Instance ? object.cell(callee.member?.text ?? '') : undefined;
    if (cell?.member?.parameters.length) return called(cell, args, frame);
    if (isMissing(object)) return object;
  }
  const formula = evaluate(callee, frame);
  if (!(formula instanceof Formula)) return isMissing(formula) ? formula : new Unknown([]);
  return formula.call(...inOrder(args, parameterNames(formula, frame), frame));
}

function isDirect(value: Unknown, node: Expression | undefined): boolean {
  const name = node?.$type === 'Reference' ? node.name.text : node?.$type === 'Access' ? node.member?.text : undefined;
  return value.missing.length === 1 && value.missing[0]?.name === name;
}

function parameterNames(formula: Formula, frame: Frame): string[] {
  const found = frame.scope.find(formula.name)?.node;
  return found?.$type === 'Declaration' ? found.parameters.map((p) => p.name?.text ?? '') : [];
}

function inOrder(args: readonly Argument[], names: readonly string[], frame: Frame): Value[] {
  const values: Value[] = [];
  for (const [i, argument] of args.entries()) {
    const at = argument.name ? names.indexOf(argument.name.text) : i;
    if (at >= 0) values[at] = evaluate(argument.value, frame);
  }
  for (let i = 0; i < names.length; i++) values[i] ??= new Unknown([]);
  return values;
}

/** A derived value with arguments, called. Inside a numeric, which calls with many values, results are not kept. */
function called(cell: Cell, args: readonly Argument[], frame: Frame): Value {
  const values = inOrder(args, cell.member?.parameters.map((p) => p.name) ?? [], frame);
  if (frame.locals && [...frame.locals.values()].some((v) => typeof v === 'number')) {
    const formula = frame.engine.value(cell);
    return formula instanceof Formula ? formula.call(...values) : formula;
  }
  return frame.engine.value(callCell(cell, values));
}

/** Values of a question over a list or over the tree, each with how often it counts. */
export interface Counted {
  readonly item: Value;
  readonly value: Value;
  readonly weight: number;
}

function comprehend(body: Expression, node: Comprehension, frame: Frame): Counted[] | Unknown | Fault {
  const domain =
    node.domain?.$type === 'Every' ? every(node.domain, frame) : listed(evaluate(node.domain as Expression, frame));
  if (!Array.isArray(domain)) return domain;
  const counted: Counted[] = [];
  for (const { item, weight } of domain) {
    const locals = new Map(frame.locals);
    locals.set(node.variable?.text ?? '', item);
    const inner = { ...frame, locals };
    const kept = node.condition ? evaluate(node.condition, inner) : true;
    if (kept === false) continue;
    counted.push({ item, value: kept === true ? evaluate(body, inner) : (missingOf(kept) ?? new Unknown([])), weight });
  }
  return counted;
}

function listed(value: Value): { item: Value; weight: number }[] | Unknown | Fault {
  if (Array.isArray(value)) return value.map((item: Value) => ({ item, weight: 1 }));
  return isMissing(value) ? value : [{ item: value, weight: 1 }];
}

function every(node: Every, frame: Frame): { item: Instance; weight: number }[] | Unknown | Fault {
  const within = node.within ? evaluate(node.within, frame) : frame.self.root;
  if (!(within instanceof Instance)) return isMissing(within) ? within : new Unknown([]);
  const kind = frame.scope.kindNamed(node.kind?.text ?? '');
  const found: { item: Instance; weight: number }[] = [];
  for (const instance of within.all())
    if (kind && instance.kind.isA(kind)) found.push({ item: instance, weight: weight(instance, within) });
  return found;
}

function weight(instance: Instance, within: Instance): number {
  let product = 1;
  for (let i: Instance | undefined = instance; i && i !== within; i = i.holder) product *= i.count;
  return product;
}
