import type { Argument, Call, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { typing } from '../mistakes/typing.ts';
import {
  anyType,
  bareNumber,
  describeType,
  type ParameterType,
  type QuantityType,
  quantityOf,
  type Signature,
  signatureOf,
  type Type,
  truthType,
} from '../names/type.ts';
import { dimensionless, raise } from '../units/dimension.ts';
import { matchArguments } from './arguments.ts';
import { difference } from './arithmetic.ts';
import { bind, bindMember } from './bind.ts';
import { type Context, narrowed, report } from './context.ts';
import { isBare } from './fit.ts';
import { type FunctionName, type FunctionShape, languageFunctions } from './functions.ts';
import type { Inference } from './inference.ts';
import { domainType } from './question.ts';

/** What a call calls: a function of the language, or something with arguments; undefined where it is neither. */
type Called =
  | { readonly is: 'function'; readonly name: FunctionName }
  | { readonly is: 'formula'; readonly name: string; readonly signature: Signature };

/** What an expression that is called leads to. */
export function calledBy(callee: Expression | undefined, ctx: Context, types: Inference): Called | undefined {
  if (callee?.$type === 'Access') {
    const object = types.typeIn(callee.object, ctx);
    const binding = object.is === 'instance' ? bindMember(callee.member?.text ?? '', object.kind) : undefined;
    return binding?.is === 'member' ? memberCalled(binding.member) : undefined;
  }
  if (callee?.$type !== 'Reference') return undefined;
  const name = callee.name?.text ?? '';
  const binding = bind(name, ctx, { called: true });
  if (binding?.is === 'function') return binding;
  if (binding?.is === 'member') return memberCalled(binding.member);
  if (binding?.is === 'local' && binding.type.is === 'formula') return formulaCalled(name, binding.type);
  if (binding?.is !== 'declared' || binding.type.is !== 'formula' || binding.node.$type !== 'Declaration')
    return undefined;
  return { is: 'formula', name, signature: signatureOf(binding.node, binding.scope) };
}

function memberCalled(member: { name: string; parameters: readonly ParameterType[]; type: Type }): Called | undefined {
  if (member.parameters.length === 0) return undefined;
  return { is: 'formula', name: member.name, signature: { parameters: member.parameters, result: member.type } };
}

/** A formula that was handed over takes its arguments in order: their names are not known. */
function formulaCalled(name: string, type: Extract<Type, { is: 'formula' }>): Called {
  const parameters = type.parameters.map((each) => ({ name: '', type: each, node: undefined as never }));
  return { is: 'formula', name, signature: { parameters, result: type.result } };
}

/** The type of a call; its arguments are checked against what it takes. */
export function call(node: Call, ctx: Context, types: Inference): Type {
  const called = calledBy(node.callee, ctx, types);
  if (called?.is === 'function') return languageCall(called.name, node, ctx, types);
  const type = types.infer(node.callee, ctx);
  if (called) return type.is === 'any' ? anyArguments(node, ctx, types) : argumentsFit(node, called, ctx, types);
  anyArguments(node, ctx, types);
  if (type.is === 'any') return anyType;
  const what = describeType(type, ctx.scope.system);
  return report(ctx, node.callee ?? node, typing.not_callable(textOf(node.callee ?? node), what));
}

function anyArguments(node: Call, ctx: Context, types: Inference): Type {
  for (const argument of node.arguments) types.infer(argument.value, ctx);
  return anyType;
}

function argumentsFit(
  node: Call,
  { name, signature }: Extract<Called, { is: 'formula' }>,
  ctx: Context,
  types: Inference,
): Type {
  const { parameters, result } = signature;
  const matched = matchArguments(node.arguments, parameters);
  const found: Substitution = new Map();
  for (const [i, argument] of node.arguments.entries()) {
    const parameter = matched.parameters[i];
    if (!parameter) wrongArgument(argument, name, parameters, ctx);
    else if (matched.repeated.includes(i)) report(ctx, argument, typing.wrong_argument.twice(name, parameter.name));
    if (parameter) expectArgument(argument.value, parameter.type, found, ctx, types);
    else types.infer(argument.value, ctx);
  }
  const left = parameters.filter((_, i) => matched.arguments[i] === undefined).map((p) => p.name);
  // An argument that goes to no parameter was probably meant for one that has none yet.
  const stray = matched.parameters.includes(undefined);
  if (left.length && !stray && node.arguments.length <= parameters.length)
    report(ctx, node, typing.missing_argument.others(name, left, takenBy(name, parameters)));
  return substituted(result, found, anyType);
}

/** A call as it is written: `half(of: …)`. */
function takenBy(name: string, parameters: Signature['parameters']): string {
  return `${name}(${parameters.map((p) => `${p.name}: …`).join(', ')})`;
}

function wrongArgument(argument: Argument, name: string, parameters: Signature['parameters'], ctx: Context): void {
  const takes = takenBy(name, parameters);
  const { named, many } = typing.wrong_argument;
  const unknown = argument.name?.text;
  report(ctx, argument, unknown ? named(name, unknown, takes) : many(name, parameters.length, takes));
}

// ---- any quantity ----

/** What the names of any quantity stand for in one call. */
type Substitution = Map<string, Type>;

/** An argument where any quantity may stand tells which one is meant; all others must go with it. */
function expectArgument(
  node: Expression | undefined,
  wanted: Type,
  found: Substitution,
  ctx: Context,
  types: Inference,
): void {
  // Where no earlier argument has told which quantity a name stands for, nothing can be expected of this one: its own type tells it.
  learn(types.typeIn(node, ctx, substituted(wanted, found, anyType)), wanted, found);
  types.expect(node, ctx, substituted(wanted, found));
}

function learn(actual: Type, wanted: Type, found: Substitution): void {
  if (wanted.is === 'variable') {
    if ((actual.is === 'quantity' || actual.is === 'variable') && !found.has(wanted.name))
      found.set(wanted.name, actual);
  } else if (wanted.is === 'list' && actual.is === 'list') learn(actual.of, wanted.of, found);
  else if (wanted.is === 'curve' && actual.is === 'curve') {
    learn(actual.x, wanted.x, found);
    learn(actual.y, wanted.y, found);
  } else if (wanted.is === 'formula' && actual.is === 'formula') {
    for (const [i, parameter] of wanted.parameters.entries()) learn(actual.parameters[i] ?? anyType, parameter, found);
    learn(actual.result, wanted.result, found);
  }
}

/** A type with the quantities put in that its names stand for. A name of which no argument told anything becomes `unknown`, or is kept. */
function substituted(type: Type, found: Substitution, unknown?: Type): Type {
  switch (type.is) {
    case 'variable':
      return found.get(type.name) ?? unknown ?? type;
    case 'list':
      return { is: 'list', of: substituted(type.of, found, unknown) };
    case 'curve':
      return { is: 'curve', x: substituted(type.x, found, unknown), y: substituted(type.y, found, unknown) };
    case 'formula':
      return {
        is: 'formula',
        parameters: type.parameters.map((parameter) => substituted(parameter, found, unknown)),
        result: substituted(type.result, found, unknown),
      };
    default:
      return type;
  }
}

// ---- the language's own functions ----

function languageCall(name: FunctionName, node: Call, ctx: Context, types: Inference): Type {
  const { shape } = languageFunctions[name];
  const [first, ...others] = node.arguments;
  if (!first) return report(ctx, node, typing.missing_argument.one(name));
  const named = node.arguments.find((argument) => argument.name);
  if (named) report(ctx, named, typing.wrong_argument.unnamed(name));
  const extra = takesMany(name) && !first.comprehension ? undefined : others[0];
  if (extra) report(ctx, extra, typing.wrong_argument.one(name));
  const type = questioned(first, ctx, types);
  if (shape === 'one of its arguments') return oneOf(name, first, type, extra ? [] : others, ctx, types);
  if (shape === 'lists to list') return oneList(name, node.arguments, type, ctx, types);
  for (const other of others) types.infer(other.value, ctx);
  return isQuestion(shape)
    ? listFunction(name, shape, first, type, ctx)
    : numberFunction(name, shape, first, type, ctx);
}

function takesMany(name: FunctionName): boolean {
  return name === 'min' || name === 'max' || name === 'chain';
}

/** The type of an argument; with a question, of what comes out for each. */
function questioned(argument: Argument, ctx: Context, types: Inference): Type {
  const { comprehension } = argument;
  if (!comprehension) return types.infer(argument.value, ctx);
  const inner = withName(comprehension, domainType(comprehension.domain, ctx, types), ctx);
  if (comprehension.condition) types.expect(comprehension.condition, inner, truthType);
  return types.infer(argument.value, narrowed(comprehension.condition, inner));
}

/** With the name that a question gives to each of what it goes through. */
export function withName(comprehension: NonNullable<Argument['comprehension']>, of: Type, ctx: Context): Context {
  return { ...ctx, locals: new Map(ctx.locals).set(comprehension.variable?.text ?? '', of) };
}

function oneOf(
  name: string,
  first: Argument,
  type: Type,
  others: readonly Argument[],
  ctx: Context,
  types: Inference,
): Type {
  const inner = !first.comprehension && type.is === 'list' ? type.of : type;
  const common = others.reduce<Type>(
    (so, other) => types.joined(`The arguments of ${name}`, so, other.value, ctx, undefined),
    inner,
  );
  if (common.is === 'quantity' || common.is === 'any') return common;
  const actual = describeType(common, ctx.scope.system);
  return report(ctx, first, typing.wrong_type.argument(name, 'quantities', actual));
}

/** Lists of one sort are one list of it. */
function oneList(name: string, [first, ...others]: readonly Argument[], type: Type, ctx: Context, types: Inference) {
  const list =
    type.is === 'list' || type.is === 'any'
      ? type
      : report(ctx, first as Argument, typing.wrong_type.argument(name, 'lists', describeType(type, ctx.scope.system)));
  return others.reduce<Type>(
    (so, other) => types.joined(`The arguments of ${name}`, so, other.value, ctx, undefined),
    list,
  );
}

function isQuestion(shape: FunctionShape): boolean {
  return ['truth', 'value to truth', 'count', 'list to element', 'to list'].includes(shape);
}

function listFunction(name: string, shape: FunctionShape, argument: Argument, type: Type, ctx: Context): Type {
  const { system } = ctx.scope;
  const asks = argument.comprehension !== undefined;
  const inner: Type = !asks && type.is === 'list' ? type.of : type;
  if (shape === 'value to truth') return valueAsked(name, argument, ctx);
  if (!asks && type.is !== 'list' && type.is !== 'any') {
    report(ctx, argument, typing.wrong_type.argument(name, 'a list or a question', describeType(type, system)));
  } else if (shape === 'truth' && inner.is !== 'truth' && inner.is !== 'any')
    report(ctx, argument, typing.wrong_type.truth(name, describeType(inner, system)));
  if (shape === 'truth') return truthType;
  if (shape === 'count') return bareNumber;
  if (shape === 'list to element') return inner;
  return { is: 'list', of: inner };
}

/** `given` asks of a value by its name whether it is there. */
function valueAsked(name: string, { value, comprehension }: Argument, ctx: Context): Type {
  const named = value?.$type === 'Reference' || value?.$type === 'Access' || value?.$type === 'Call';
  if (value && (comprehension || !(named || value.$type === 'Index')))
    report(ctx, value, typing.wrong_type.given(name));
  return truthType;
}

function numberFunction(name: string, shape: FunctionShape, argument: Argument, type: Type, ctx: Context): Type {
  const { system } = ctx.scope;
  if (type.is === 'any') return anyType;
  const needs = (what: string) =>
    report(ctx, argument, typing.wrong_type.argument(name, what, describeType(type, system)));
  if (type.is !== 'quantity') return needs('a quantity');
  if (shape === 'same as its argument')
    return type.points ? needs('a quantity that counts from zero, such as a difference') : type;
  if (shape === 'root')
    return type.points || type.money
      ? needs('a quantity that counts from zero')
      : { is: 'quantity', dimension: raise(type.dimension, 0.5), bare: type.bare };
  if (shape === 'temperature to difference') return type.points ? difference(type, ctx) : needs('a temperature');
  return plainFunction(name, shape, argument, type, ctx);
}

function plainFunction(name: string, shape: FunctionShape, argument: Argument, type: QuantityType, ctx: Context): Type {
  const { system } = ctx.scope;
  const angle = angleOf(ctx);
  const wrong = (what: string) =>
    report(ctx, argument, typing.wrong_dimension.argument(name, what, describeType(type, system)));
  const isAngle = angle !== undefined && type.named === angle;
  if (shape === 'angle to number') {
    if (type.dimension !== dimensionless || type.bare || isBare(type)) return wrong('an angle');
    return { is: 'quantity', dimension: dimensionless };
  }
  if (type.dimension !== dimensionless || (isAngle && shape === 'number to angle'))
    return wrong('a number without a unit');
  if (shape === 'number to angle') return angle ? quantityOf(angle) : { is: 'quantity', dimension: dimensionless };
  return { is: 'quantity', dimension: dimensionless, bare: type.bare };
}

/** The quantity that a turn is measured in: the one without a dimension that is not written as a bare number. */
function angleOf({ scope }: Context) {
  return scope.system.named(dimensionless).find((named) => !named.shown.includes('1'));
}
