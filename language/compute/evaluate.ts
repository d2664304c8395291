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
  Text,
} from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/texts.ts';
import { buildPart, buildTree, Instance, isRoleList, noBlocks } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import { type Declared, declaredName, type Scope } from '../names/scope.ts';
import { numerics } from '../numerics/index.ts';
import { matchArguments } from '../types/arguments.ts';
import { type Ambiguous, type Binding, bind } from '../types/bind.ts';
import type { FunctionName } from '../types/functions.ts';
import { contextWithin, expectedAt, kindsOfText } from '../types/situation.ts';
import { stepsOf } from '../types/steps.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import * as op from '../values/operators.ts';
import { hasSpan, isSpanOrNumber, Opaque, refuseSpans, spanArithmetic, spanFunctions } from '../values/span.ts';
import {
  Fault,
  Formula,
  isMissing,
  Money,
  missingOf,
  Sides,
  Unknown,
  type Value,
  type ValueList,
} from '../values/value.ts';
import { blocksOf, Cell, cellOf, cellsOf, computedCell, type Engine, everyOf } from './cell.ts';
import { type Counted, type Frame, Locals, type Steps } from './frame.ts';
import { builtins } from './functions.ts';
import { renderText } from './render.ts';
import { lookUpInTable } from './table.ts';

type Code = (frame: Frame) => Value;
const compiled = new WeakMap<Expression, Code>();

/** The value of an expression. Never throws: what cannot be computed is a `Fault`, what is not given an `Unknown`. */
export function evaluate(node: Expression | undefined, frame: Frame): Value {
  return node && frame.scope.isSpoiled(node) ? new Unknown([]) : codeOf(node)(frame);
}

const nothing: Code = () => new Unknown([]);

function codeOf(node: Expression | undefined): Code {
  if (!node) return nothing;
  let code = compiled.get(node);
  if (!code) {
    code = compile(node);
    compiled.set(node, code);
  }
  return code;
}

/** The value of a cell, from the text that defines it. */
export function evaluateCell(cell: Cell, engine: Engine): Value {
  const { definition, instance, member } = cell;
  if (member && member.parameters.length > 0 && definition.origin === 'derived') return formulaOf(cell, engine);
  if (!definition.expression)
    return new Unknown(
      [{ instance, name: cell.name }],
      definition.origin === 'absent' || (member?.role === 'optional' && !instance.open),
    );
  if (definition.origin === 'open') return new Unknown([{ instance, name: cell.name }]);
  const expression = definition.expression;
  if (definition.scope.isSpoiled(expression)) return new Unknown([{ instance, name: cell.name, unreadable: true }]);
  const frame = { engine, self: instance, scope: definition.scope, mode: definition.mode };
  const value = evaluate(expression, stepped(expression, frame));
  return mayBeLeftOut(member) ? value : named(value, cell);
}

function mayBeLeftOut(member: Member | undefined): boolean {
  return member?.node.$type === 'Entry' && (member.node.type?.optional ?? false);
}

/** What looked for something and found nothing is itself what is missing: a default then leaves its value to be given. */
function named(value: Value, { instance, name }: Cell): Value {
  return value instanceof Unknown && value.missing.length === 0
    ? new Unknown([{ instance, name }], value.absent)
    : value;
}

/** A derived value with arguments. Its results for given arguments are cells of their own, so that they are kept. */
function formulaOf(cell: Cell, engine: Engine): Formula {
  const { instance, member, definition } = cell;
  const names = member?.parameters.map((p) => p.name) ?? [];
  const code = codeOf(definition.expression);
  const { scope } = definition;
  const direct = (...args: Value[]) =>
    code(
      stepped(definition.expression, { engine, self: instance, scope, mode: 'kind', locals: new Locals(names, args) }),
    );
  return new Formula(cell.name, direct, names);
}

/** The frame of a formula, with the steps that stand under it. */
function stepped(expression: Expression | undefined, frame: Frame): Frame {
  const formula = expression?.$container;
  if (formula?.$type !== 'Entry' && formula?.$type !== 'Declaration') return frame;
  const nodes = stepsOf(formula as Entry | Declaration);
  if (nodes.length === 0) return frame;
  const values = new Map<string, Value>();
  const steps: Steps = {
    has: (name) => nodes.some((step) => step.name?.text === name),
    get: (name) => {
      const step = values.has(name) ? undefined : nodes.find((each) => each.name?.text === name);
      if (!step) return values.get(name);
      // One that leads back to itself was reported, and is not known.
      values.set(name, new Unknown([]));
      let value: Value | undefined;
      try {
        value = evaluate(step.value, inner);
      } finally {
        // Where computing is given up, it is begun anew the next time.
        if (value === undefined) values.delete(name);
        else values.set(name, value);
      }
      return value;
    },
  };
  const inner = { ...frame, steps };
  return inner;
}

/** What the steps of a value's formula come to, by their names. */
export function stepsOfCell(cell: Cell, engine: Engine): Steps | undefined {
  const { instance, definition, member } = cell.called?.cell ?? cell;
  const { scope, mode, expression } = definition;
  const names = member?.parameters.map((p) => p.name) ?? [];
  const locals = cell.called ? new Locals(names, cell.called.args) : undefined;
  return stepped(expression, { engine, self: instance, scope, mode, locals }).steps;
}

/** The cell of a derived value for given arguments, such as `warm_up(to: 100 degC)`; undefined where they cannot be told apart. */
export function callCell(cell: Cell, args: readonly Value[]): Cell | undefined {
  const keys = args.map(keyOf);
  if (keys.includes(undefined)) return undefined;
  const key = `${cell.name}(${keys.join(', ')})`;
  let made = cellsOf(cell.instance).values.get(key);
  if (!made) {
    made = new Cell(cell.instance, key, undefined);
    made.definition = cell.definition;
    made.called = { cell, args };
    made.compute = (engine) => {
      const formula = engine.value(cell);
      return formula instanceof Formula ? formula.call(...args) : formula;
    };
    cellsOf(cell.instance).values.set(key, made);
  }
  return made;
}

const numbers = new WeakMap<Instance, number>();
let counted = 0;

/** A text that tells one argument from every other; undefined for what has none, such as a curve. */
function keyOf(value: Value): string | undefined {
  if (typeof value !== 'object') return String(value);
  if (value instanceof Sides) return value.sides.join(' x ');
  if (value instanceof Money) return `${value.amount} ${value.code}`;
  if (Array.isArray(value)) {
    const keys = value.map(keyOf);
    return keys.includes(undefined) ? undefined : `[${keys.join(', ')}]`;
  }
  if (!(value instanceof Instance)) return undefined;
  if (!numbers.has(value)) numbers.set(value, ++counted);
  return `${value.name}#${numbers.get(value)}`;
}

function compile(node: Expression): Code {
  switch (node.$type) {
    case 'Quantity':
      return quantity(node, 1);
    case 'Text':
      return text(node);
    case 'DateValue':
      return () => node.date;
    case 'Truth':
      return () => node.value === 'yes';
    case 'Open':
      return () => new Unknown([]);
    case 'Group':
      return codeOf(node.inner);
    case 'List': {
      const elements = node.elements.map((e) => codeOf(e.value));
      return (frame) => elements.map((element) => element(frame)) as ValueList;
    }
    case 'Reference':
      return reference(node);
    case 'Access': {
      const [object, name] = [codeOf(node.object), node.member?.text ?? ''];
      return (frame) => access(object(frame), name, frame, node);
    }
    case 'Index': {
      const [object, index] = [codeOf(node.object), codeOf(node.index)];
      return (frame) => indexed(object(frame), index(frame), node);
    }
    case 'Unary': {
      if (node.operator === '-' && node.operand?.$type === 'Quantity') return quantity(node.operand, -1);
      const operand = codeOf(node.operand);
      return node.operator === 'not' ? (f) => op.not(operand(f)) : (f) => op.negate(operand(f));
    }
    case 'Conditional':
      return conditional(codeOf(node.condition), codeOf(node.then), codeOf(node.else));
    case 'Binary':
      return binary(node);
    case 'Call':
      return call(node);
    default:
      return nothing;
  }
}

function conditional(condition: Code, then: Code, otherwise: Code): Code {
  return (frame) => {
    const value = condition(frame);
    if (typeof value !== 'boolean') return isMissing(value) ? value : new Unknown([]);
    return (value ? then : otherwise)(frame);
  };
}

function quantity(node: Quantity, sign: number): Code {
  const number = sign * Number(node.number);
  const { unit } = node;
  if (!unit) {
    const value = op.finite(number, node);
    return () => value;
  }
  let known: { readonly system: UnitSystem; readonly value: Value } | undefined;
  return ({ scope: { system } }) => {
    if (known?.system !== system) known = { system, value: inUnit(number, unit, system, node) };
    return known.value;
  };
}

function inUnit(number: number, unit: string, system: UnitSystem, node: Quantity): Value {
  const found = system.unit(unit);
  if (!isUnit(found)) return new Fault(`${unit} is not a unit`, node);
  if (found.currency) return new Money(number * found.factor, found.currency);
  return op.finite(number * found.factor + (found.zero ?? 0), node);
}

function binary(node: Binary): Code {
  const { operator } = node;
  const [left, right] = [codeOf(node.left), codeOf(node.right)];
  switch (operator) {
    case 'and':
    case 'or':
      return (f) =>
        op.junction(
          operator,
          () => left(f),
          () => right(f),
        );
    case 'otherwise':
      return (f) => {
        const value = left(f);
        return value instanceof Unknown && value.absent ? right(f) : value;
      };
    case 'is':
      return (f) => {
        const value = left(f);
        const kind = node.right?.$type === 'Reference' ? f.scope.kindNamed(node.right.name.text) : undefined;
        return value instanceof Instance ? value.kind.isA(kind) : isMissing(value) ? value : false;
      };
    case 'x':
      return (f) => op.sides(left(f), right(f));
    case '..':
      return (f) => op.range(left(f), right(f), node);
    default: {
      const ofNumbers = op.ofNumbers[operator];
      return (f) => {
        const a = left(f);
        const b = right(f);
        return typeof a === 'number' && typeof b === 'number' && ofNumbers
          ? ofNumbers(a, b, node)
          : op.binary(operator, a, b, f, node);
      };
    }
  }
}

/** A text with the values in its braces: it is known where all of them are. */
function text(node: Text): Code {
  const parts = interpolations(node);
  if (parts.every((part) => typeof part === 'string')) {
    const plain = parts.join('');
    return () => plain;
  }
  return (frame) => {
    const values = parts.map((part) => (typeof part === 'string' ? part : evaluate(part, frame)));
    refuseSpans(...values);
    const missing = missingOf(...values);
    return missing ?? renderText(node, frame, contextWithin(node, frame.self, frame.scope, frame.mode), evaluate);
  };
}

/** The value of what a name means. */
function reference(node: Reference): Code {
  const name = node.name?.text ?? '';
  const binding = bindingOf(node, false);
  return (frame) => frame.locals?.get(name) ?? frame.steps?.get(name) ?? meant(binding(frame), frame);
}

interface Bound {
  readonly scope: Scope;
  readonly version: number;
  readonly binding: Binding | undefined;
}

/** Tells what a name means that is no argument. In a kind's text that is the same for all blocks of the kind, and kept. */
function bindingOf(node: Reference, called: boolean): (frame: Frame) => Binding | undefined {
  let known: Bound | undefined;
  return (frame) => {
    const { scope } = frame;
    if (frame.mode === 'block') return boundInBlock(node, frame, called);
    if (known?.scope !== scope || known.version !== scope.version)
      known = { scope, version: scope.version, binding: boundInKind(node, scope, called) };
    return known.binding;
  };
}

function boundInKind(node: Reference, scope: Scope, called: boolean): Binding | undefined {
  const name = node.name?.text ?? '';
  const expected = scope.isChoiceWord(name) ? expectedAt(node, scope) : undefined;
  return certain(bind(name, { scope, mode: 'kind', ...kindsOfText(node, scope) }, { expected, called }));
}

function boundInBlock(node: Reference, frame: Frame, called: boolean): Binding | undefined {
  const { engine, scope, self } = frame;
  const name = node.name?.text ?? '';
  // What asks is asked again when blocks come or go.
  const visit = (instance: Instance) => engine.value(blocksOf(instance));
  const viewpoint = { scope, mode: frame.mode, kind: self.kind, instance: self, visit };
  const expected = scope.isChoiceWord(name) ? expectedAt(node, scope, self) : undefined;
  return certain(bind(name, viewpoint, { expected, called }));
}

/** What could mean two things was reported, and means neither. */
function certain(binding: Binding | Ambiguous | undefined): Binding | undefined {
  return binding?.is === 'ambiguous' ? undefined : binding;
}

function meant(binding: Binding | undefined, frame: Frame): Value {
  const { self, engine } = frame;
  switch (binding?.is) {
    case 'choice':
      return binding.word;
    case 'self':
      return self;
    case 'holder':
      return self.holder ?? new Unknown([]);
    case 'member':
      return memberValue(binding, frame);
    case 'block':
      return binding.instance;
    case 'size': {
      const { declaration, index, scope } = binding.size;
      return sizeValues(declaration, { ...frame, scope })[index] ?? new Unknown([]);
    }
    case 'declared':
      engine.lookedUp(declaredName(binding.node) ?? '', frame.scope, binding.node);
      return declared(binding.node, binding.scope, frame);
    case 'word':
      return builtinMember(self, binding.word) ?? new Unknown([]);
    default:
      return new Unknown([]);
  }
}

function memberValue({ from, member }: Extract<Binding, { is: 'member' }>, frame: Frame): Value {
  const holder = holderOf(from, member.name, frame);
  const value = holder && own(holder, member.name, frame);
  // Shared by some kind, but by nothing that holds this block: left out, as where a machine stands on no site.
  return value ?? new Unknown([], true);
}

/** The block that has what a name leads to. */
function holderOf(from: 'own' | 'around' | 'shared', name: string, { self }: Frame): Instance | undefined {
  if (from === 'own') return self;
  if (from === 'around') return self.holder;
  // A function sees what the block shares that calls it.
  for (let at: Instance | undefined = self; at; at = at.around) if (at.member(name)?.shared) return at;
  return undefined;
}

/** Whose text asks: a machine's or a part's goes by the names of blocks first, a kind's by roles alone. */
type Asking = Pick<Frame, 'engine' | 'mode'>;

/** A value or a block of the instance itself. */
function own(instance: Instance, name: string, asking: Asking): Value | undefined {
  const member = instance.member(name);
  if (member && member.role !== 'child') return asking.engine.value(cellOf(instance, name) as Cell);
  const block = blockIn(instance, name, asking);
  if (block || !member) return block;
  if (member.occurs === 'many' && !instance.open) return instance.filling(member);
  return new Unknown([{ instance, name }], !instance.open);
}

/** A block directly in another, or what stands in place of one whose kind is not known. What asks is asked again when blocks come or go. */
function blockIn(instance: Instance, name: string, { engine, mode }: Asking): Value | undefined {
  engine.value(blocksOf(instance));
  const block = mode === 'kind' ? instance.inRole(name) : instance.called(name);
  return block ?? (instance.broken.has(name) ? new Unknown([]) : undefined);
}

/** The one instance that stands for a part, or for another block that stands alone in its file, in a machine's evaluation. */
export function blockStandingFor(node: Declaration | Entry, scope: Scope, engine: Engine): Instance | undefined {
  if (!engine.standing.has(node))
    engine.standing.set(node, node.$type === 'Entry' ? buildTree(node, scope) : buildPart(node, scope));
  return engine.standing.get(node);
}

function declared(node: Declared, scope: Scope, frame: Frame): Value {
  const { engine, self } = frame;
  if (node.$type === 'Entry')
    return node === self.root.node ? self.root : (blockStandingFor(node, scope, engine) ?? new Unknown([]));
  switch (node.what) {
    case 'part':
      return blockStandingFor(node, scope, engine) ?? new Unknown([]);
    case 'constant':
      return constant(node, { ...frame, scope, mode: 'kind', locals: undefined, steps: undefined });
    case 'function':
    case 'table':
    case 'numeric':
      return new Formula(node.name.text, (...args) => invoke(node, scope, args, engine, self), parametersOf(node));
    default:
      return new Unknown([]);
  }
}

function constant(node: Declaration, frame: Frame): Value {
  return frame.scope.once(node, () =>
    frame.engine.calling(node, () => evaluate(node.value, stepped(node.value, frame))),
  );
}

/** Standard sizes, in the order they are declared in. */
export function sizeValues(node: Declaration, frame: Frame): readonly Value[] {
  return frame.scope.once(node, () => {
    const value = frame.engine.aside(() =>
      evaluate(node.value, { ...frame, mode: 'kind', locals: undefined, steps: undefined }),
    );
    return Array.isArray(value) ? value : [];
  });
}

const parameters = new WeakMap<Declaration, readonly string[]>();
function parametersOf(node: Declaration): readonly string[] {
  let names = parameters.get(node);
  if (!names) {
    names = node.parameters.map((p) => p.name?.text ?? '');
    parameters.set(node, names);
  }
  return names;
}

/** Calls a function, a table or a numeric with its arguments in the order of its parameters. */
function invoke(node: Declaration, scope: Scope, args: Value[], engine: Engine, self: Instance): Value {
  if (node.what === 'function') {
    const locals = new Locals(parametersOf(node), args);
    const frame = stepped(node.value, { engine, self, scope, mode: 'kind', locals });
    return engine.calling(node, () => codeOf(node.value)(frame));
  }
  const missing = missingOf(...args);
  if (missing) return missing;
  refuseSpans(...args);
  if (node.what === 'table') return lookUpInTable(node, args, { engine, self, scope, mode: 'kind' }, evaluate);
  const numeric = numerics[node.name.text];
  if (!numeric) return new Fault(`the numeric ${node.name.text} has no implementation`, node);
  const value = numeric(...(engine.scenario === engine.everywhere ? args.map(plainly) : args));
  return typeof value === 'number' ? op.finite(value, node) : value;
}

/** A formula as a numeric may call it: what it gives are no bounds. */
function plainly(arg: Value): Value {
  if (!(arg instanceof Formula)) return arg;
  const call = (...args: Value[]) => {
    const value = arg.call(...args);
    refuseSpans(value);
    return value;
  };
  return new Formula(arg.name, call, arg.parameters);
}

function access(object: Value, name: string, frame: Frame, node: Expression): Value {
  if (object instanceof Instance) return own(object, name, frame) ?? builtinMember(object, name) ?? new Unknown([]);
  if (object instanceof Sides) {
    const side = object.sides[['width', 'depth', 'height'].indexOf(name)];
    return side ?? new Fault(`this size has no ${name}`, node);
  }
  if (object instanceof Money && name === 'currency') return object.code;
  return isMissing(object) ? object : new Unknown([]);
}

function builtinMember(instance: Instance, name: string): Value | undefined {
  if (name === 'name') return instance.label;
  if (name === 'count') return instance.count;
  if (name === 'part') return instance.part?.name?.text ?? new Unknown([], true);
  return undefined;
}

function indexed(list: Value, index: Value, node: Expression): Value {
  refuseSpans(index);
  if (!Array.isArray(list) || typeof index !== 'number') return missingOf(list, index) ?? new Unknown([]);
  return list[index - 1] ?? new Fault(`the list has ${list.length} elements; there is no number ${index}`, node);
}

function call(node: Call): Code {
  const { callee } = node;
  if (callee?.$type !== 'Reference') return memberCall(node);
  const name = callee.name.text;
  const whatever = anyCall(node);
  const bindingOfCallee = bindingOf(callee, true);
  // How a call is made is the same while its name means the same.
  let plan: { binding: Binding | undefined; code: Code } | undefined;
  return (frame) => {
    if (frame.locals?.has(name) || frame.steps?.has(name)) return whatever(frame);
    const binding = bindingOfCallee(frame);
    if (!plan || plan.binding !== binding) plan = { binding, code: planned(node, binding) ?? whatever };
    return plan.code(frame);
  };
}

function given(node: Call): Code {
  const argument = node.arguments[0]?.value;
  const code = codeOf(argument);
  return (frame) => {
    const value = code(frame);
    // A role for any number of blocks that no block fills is not given.
    if (!(value instanceof Unknown)) return value !== noBlocks;
    // A part that is still to be chosen may bring it.
    if (value.missing.some(({ instance }) => instance.open)) return value;
    return !(value.absent || isDirect(value, argument));
  };
}

/** How what a name leads to is called; undefined where it is nothing with arguments of its own. */
function planned(node: Call, binding: Binding | undefined): Code | undefined {
  if (binding?.is === 'function') return languageCall(node, binding.name);
  if (binding?.is === 'member') return binding.member.parameters.length > 0 ? memberPlan(node, binding) : undefined;
  if (binding?.is !== 'declared' || binding.node.$type !== 'Declaration') return undefined;
  const { node: declaration, scope } = binding;
  if (declaration.what !== 'function' && declaration.what !== 'table' && declaration.what !== 'numeric')
    return undefined;
  const args = inOrder(node.arguments, parametersOf(declaration));
  return (frame) => {
    frame.engine.lookedUp(declaration.name.text, frame.scope, declaration);
    return invoke(declaration, scope, valuesOf(args, frame), frame.engine, frame.self);
  };
}

function valuesOf(codes: readonly Code[], frame: Frame): Value[] {
  const values: Value[] = [];
  for (const code of codes) values.push(code(frame));
  return values;
}

function memberPlan(node: Call, { from, member }: Extract<Binding, { is: 'member' }>): Code {
  const args = inOrder(
    node.arguments,
    member.parameters.map((p) => p.name),
  );
  return (frame) => {
    const holder = holderOf(from, member.name, frame);
    return holder ? calledMember(holder, member.name, args, frame) : new Unknown([], true);
  };
}

function languageCall(node: Call, name: FunctionName): Code {
  if (name === 'given') return given(node);
  const builtin = builtins[name];
  const first = node.arguments[0];
  const question = first?.comprehension;
  if (question)
    return (frame) => {
      const counted = comprehend(first.value, question, frame);
      if (frame.engine.scenario === frame.engine.everywhere && Array.isArray(counted)) {
        const items = counted.map(({ value, weight, isUnsure }) => ({ value, weight, isUnsure }));
        if (hasSpan(items.map(({ value }) => value)) && !picks.has(name)) return overSpans(name, items);
      }
      return builtin.overList?.(counted, frame, node) ?? new Unknown([]);
    };
  const args = node.arguments.map((a) => codeOf(a.value));
  return (frame) => {
    const values = valuesOf(args, frame);
    if (frame.engine.scenario === frame.engine.everywhere && hasSpan(values) && !picks.has(name)) {
      const list = values.length === 1 && Array.isArray(values[0]) ? (values[0] as ValueList) : values;
      return overSpans(
        name,
        list.map((value) => ({ value, weight: 1 })),
      );
    }
    return builtin.call(values, frame, node);
  };
}

/** Functions that hand out what they are given: whichever that is does not hang on what it comes to. */
const picks: ReadonlySet<FunctionName> = new Set(['first', 'last', 'each']);

/** A function of the language over bounds, and numbers beside them; opaque where it is not made for them. */
function overSpans(name: FunctionName, items: readonly { value: Value; weight: number; isUnsure?: boolean }[]): Value {
  const compute = spanFunctions[name];
  const values = items.map(({ value, weight, isUnsure }) => {
    if (!isSpanOrNumber(value) || isUnsure) throw new Opaque();
    return name === 'sum' && weight !== 1 ? spanArithmetic('*', value, weight) : value;
  });
  if (!compute) throw new Opaque();
  return compute(values);
}

/** A call of what a block has: `bed.loss(at: 60 degC)`. */
function memberCall(node: Call): Code {
  const { callee } = node;
  if (callee?.$type !== 'Access') return anyCall(node);
  const [object, name] = [codeOf(callee.object), callee.member?.text ?? ''];
  return (frame) => {
    const holder = object(frame);
    if (isMissing(holder)) return holder;
    const member = holder instanceof Instance ? holder.member(name) : undefined;
    if (!(holder instanceof Instance) || !member?.parameters.length) return anyCall(node)(frame);
    return calledMember(
      holder,
      name,
      inOrder(
        node.arguments,
        member.parameters.map((p) => p.name),
      ),
      frame,
    );
  };
}

/** A call of whatever the callee turns out to be. */
function anyCall(node: Call): Code {
  return (frame) => {
    const formula = evaluate(node.callee, frame);
    if (!(formula instanceof Formula)) return isMissing(formula) ? formula : new Unknown([]);
    return formula.call(...inOrder(node.arguments, formula.parameters).map((arg) => arg(frame)));
  };
}

function isDirect(value: Unknown, node: Expression | undefined): boolean {
  const name = node?.$type === 'Reference' ? node.name.text : node?.$type === 'Access' ? node.member?.text : undefined;
  const [only, ...others] = value.missing;
  return others.length === 0 && only?.name === name && !only?.unreadable;
}

/** A call's arguments in the order of the parameters; where their names are not known, in their own. */
function inOrder(args: readonly Argument[], names: readonly string[]): Code[] {
  if (names.length === 0) return args.map((argument) => codeOf(argument.value));
  const matched = matchArguments(
    args,
    names.map((name) => ({ name })),
  );
  return matched.arguments.map((index) => (index === undefined ? nothing : codeOf(args[index]?.value)));
}

/** A derived value with arguments, called. Inside a numeric, which calls with many values, results are not kept. */
function calledMember(holder: Instance, name: string, args: readonly Code[], frame: Frame): Value {
  const cell = cellOf(holder, name) as Cell;
  const values = valuesOf(args, frame);
  const kept = frame.locals?.hasNumber() ? undefined : callCell(cell, values);
  if (kept) return frame.engine.value(kept);
  const formula = frame.engine.value(cell);
  return formula instanceof Formula ? formula.call(...values) : formula;
}

/** What a question comes to for each of what it goes through. */
export function comprehend(body: Expression, node: Comprehension, frame: Frame): Counted[] | Unknown | Fault {
  const domain =
    node.domain?.$type === 'Every'
      ? every(node.domain, node, frame)
      : listed(evaluate(node.domain as Expression, frame));
  if (!Array.isArray(domain)) return domain;
  const counted: Counted[] = [];
  const names = [node.variable?.text ?? ''];
  for (const [i, { item, weight }] of domain.entries()) {
    const spent = frame.engine.step();
    if (spent) return spent;
    const inner = { ...frame, locals: new Locals(names, [item], frame.locals) };
    const kept = node.condition ? evaluate(node.condition, inner) : true;
    if (kept === false) continue;
    counted.push({
      item,
      value: kept === true ? evaluate(body, inner) : (missingOf(kept) ?? new Unknown([])),
      weight,
      position: i + 1,
      isUnsure: kept !== true || isMissing(item),
    });
  }
  return counted;
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
    // Nothing stands in a list that was left out.
    if (value instanceof Unknown && value.absent) continue;
    if (!Array.isArray(value) || value.some((item) => !(item instanceof Instance))) unsure.push(instance);
    else
      for (const item of new Set(value as Instance[])) {
        const before = by.get(item);
        if (before) before.push(instance);
        else by.set(item, [instance]);
      }
  }
  const order = unsure.length ? all : [];
  return new Formula(list, (item = new Unknown([])) => {
    const sure = by.get(item) ?? [];
    return unsure.length ? order.filter((instance) => sure.includes(instance) || unsure.includes(instance)) : sure;
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
