import type {
  Access,
  Argument,
  Binary,
  Call,
  Expression,
  Quantity,
  Reference,
  Text,
} from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/parser.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import { type Dimension, dimensionless, multiply, raise } from '../units/dimension.ts';
import { inWords, withArticle } from '../units/display.ts';
import { isUnit } from '../units/units.ts';
import { builtins } from './builtins.ts';
import { choiceNames } from './evaluate.ts';
import type { Kind, Member } from './kind.ts';
import { listed, nearest, type Problem, replace, sentence, type TextFix } from './problem.ts';
import type { Declared, Scope } from './scope.ts';
import type { Instance, Mode } from './tree.ts';
import {
  anyType,
  bareNumber,
  describeType,
  type QuantityType,
  quantityOf,
  type Type,
  textType,
  truthType,
  typeOf,
} from './type.ts';

/** What an expression's names can mean, and where its problems go. */
export interface Context {
  readonly scope: Scope;
  readonly mode: Mode;
  /** The kind whose values it sees; `around` for a slot's block, which sees its holder kind's values too. */
  readonly kind: Kind | undefined;
  readonly around?: Kind;
  /** The block it stands in, for the text of machines and parts. */
  readonly instance?: Instance;
  readonly locals?: ReadonlyMap<string, Type>;
  report(problem: Problem): void;
}

function report(ctx: Context, node: AstNode, code: string, message: string, ...fixes: TextFix[]): Type {
  ctx.report({ code, severity: 'error', message: sentence(message), node, fixes });
  return anyType;
}

/** The type of an expression. Each mistake is reported once, and what it spoils is of any type. */
export function infer(node: Expression | undefined, ctx: Context, expected?: Type): Type {
  if (!node) return anyType;
  switch (node.$type) {
    case 'Quantity':
      return quantity(node, ctx, expected);
    case 'Text':
      return text(node, ctx);
    case 'DateValue':
      return { is: 'date' };
    case 'Truth':
      return truthType;
    case 'Open':
      return anyType;
    case 'Group':
      return infer(node.inner, ctx, expected);
    case 'List':
      return list(
        node.elements.map((e) => e.value),
        ctx,
        expected,
      );
    case 'Reference':
      return reference(node, ctx, expected);
    case 'Access':
      return access(node, ctx);
    case 'Index': {
      const object = infer(node.object, ctx);
      expect(node.index, ctx, bareNumber);
      return object.is === 'list' ? object.of : anyType;
    }
    case 'Unary':
      return unary(node.operator, node.operand, ctx);
    case 'Conditional': {
      expect(node.condition, ctx, truthType);
      const then = infer(node.then, narrowed(node.condition, ctx), expected);
      return merge(then, node.else, ctx, expected);
    }
    case 'Binary':
      return binary(node, ctx, expected);
    case 'Call':
      return call(node, ctx);
    default:
      return anyType;
  }
}

/** Infers, and reports where the result does not fit what is expected. */
export function expect(node: Expression | undefined, ctx: Context, expected: Type): Type {
  if (!node) return expected;
  const actual = infer(node, ctx, expected);
  const problem = mismatch(actual, expected, node, ctx);
  if (problem) report(ctx, node, problem.code, problem.message, ...problem.fixes);
  return problem ? anyType : actual;
}

interface Mismatch {
  code: string;
  message: string;
  fixes: TextFix[];
}

function mismatch(actual: Type, expected: Type, node: Expression, ctx: Context): Mismatch | undefined {
  const { system } = ctx.scope;
  if (actual.is === 'any' || expected.is === 'any') return undefined;
  if (actual.is === 'quantity' && expected.is === 'quantity') return quantityMismatch(actual, expected, node, ctx);
  if (actual.is === 'instance' && expected.is === 'instance') {
    if (!actual.kind || !expected.kind || actual.kind.isA(expected.kind)) return undefined;
  } else if (actual.is === 'list' && expected.is === 'list') {
    return mismatch(actual.of, expected.of, node, ctx);
  } else if (actual.is === 'sides' && expected.is === 'sides') {
    if (actual.count === expected.count) return quantityMismatch(actual.of, expected.of, node, ctx);
  } else if (actual.is === 'formula' && expected.is === 'formula') {
    if (actual.parameters.length === expected.parameters.length)
      return mismatch(actual.result, expected.result, node, ctx);
  } else if (actual.is === 'choice' && expected.is === 'choice') {
    if (actual.options.every((o) => expected.options.includes(o))) return undefined;
  } else if (actual.is === expected.is) return undefined;
  const hint =
    expected.is === 'sides' && actual.is === 'quantity' ? ': write all its sides, such as 235 mm x 235 mm' : '';
  const message = `Expected ${describeType(expected, system)}, this is ${describeType(actual, system)}${hint}.`;
  return { code: 'wrong_type', message, fixes: [] };
}

function isBare(type: QuantityType): boolean {
  return type.named?.shown.includes('1') ?? false;
}

function quantityMismatch(
  actual: QuantityType,
  expected: QuantityType,
  node: Expression,
  ctx: Context,
): Mismatch | undefined {
  const { system } = ctx.scope;
  const told = `Expected ${describeType(expected, system)}`;
  if (expected.money || actual.money) {
    if (expected.money && actual.money && actual.dimension === expected.dimension) return undefined;
    if (expected.money !== actual.money || actual.dimension !== expected.dimension) {
      const hint = actual.bare ? ': a price carries its currency, such as 12.50 EUR' : '';
      return {
        code: 'wrong_dimension',
        message: `${told}, this is ${describeType(actual, system)}${hint}.`,
        fixes: [],
      };
    }
  }
  if (actual.bare && (expected.dimension.powers.size > 0 || (expected.named && !isBare(expected)))) {
    return missingUnit(expected, node, ctx);
  }
  if (actual.dimension !== expected.dimension) {
    const hint = factorHint(actual.dimension, expected.dimension, ctx);
    return { code: 'wrong_dimension', message: `${told}, this is ${describeType(actual, system)}${hint}.`, fixes: [] };
  }
  if ((actual.points ?? false) !== (expected.points ?? false)) return pointMismatch(actual, node);
  if (actual.named && expected.named && actual.named !== expected.named && !bothBare(actual, expected)) {
    const units = expected.named.shown
      .filter((u) => u !== '1')
      .slice(0, 2)
      .join(' or ');
    const hint = units ? ` Write it in ${units}.` : '';
    return {
      code: 'wrong_quantity',
      message: `${told}, this is ${describeType(actual, system)}: they are not the same.${hint}`,
      fixes: [],
    };
  }
  return undefined;
}

function bothBare(a: QuantityType, b: QuantityType): boolean {
  return isBare(a) && isBare(b);
}

function missingUnit(expected: QuantityType, node: Expression, ctx: Context): Mismatch {
  const { system } = ctx.scope;
  const named = expected.named ?? system.named(expected.dimension)[0];
  const units = named?.shown.filter((u) => u !== '1') ?? [];
  const text = textOf(node);
  const fixes = units.slice(0, 3).map((unit) => replace(node, `${text} ${unit}`, `Write ${text} ${unit}`));
  const example = units[0]
    ? `: write it with its unit, such as ${text} ${units[0]}`
    : ': write its unit after the number';
  return {
    code: 'missing_unit',
    message: `Expected ${describeType(expected, system)}, this is a bare number${example}.`,
    fixes,
  };
}

function pointMismatch(actual: QuantityType, node: Expression): Mismatch {
  const text = textOf(node);
  if (actual.points) {
    const fixes = /^-?[\d.]+ degC$/.test(text)
      ? [replace(node, text.replace('degC', 'K'), `Write ${text.replace('degC', 'K')}`)]
      : [];
    return {
      code: 'point_for_difference',
      message: 'Expected a difference of temperature, in K; this is a point on the scale, in degC.',
      fixes,
    };
  }
  const fixes = /^-?[\d.]+ K$/.test(text)
    ? [replace(node, text.replace(' K', ' degC'), `Write ${text.replace(' K', ' degC')}`)]
    : [];
  return {
    code: 'difference_for_point',
    message: 'Expected a temperature, in degC; this is a difference, in K.',
    fixes,
  };
}

/** What would make one dimension the other: ": divide by a voltage?" */
function factorHint(actual: Dimension, expected: Dimension, ctx: Context): string {
  const { system } = ctx.scope;
  const factor = system.named(multiply(expected, actual, -1))[0];
  const divisor = system.named(multiply(actual, expected, -1))[0];
  if (divisor && divisor.dimension.powers.size > 0) return `: divide by ${withArticle(inWords(divisor.name))}?`;
  if (factor && factor.dimension.powers.size > 0) return `: multiply by ${withArticle(inWords(factor.name))}?`;
  return '';
}

function quantity(node: Quantity, ctx: Context, expected?: Type): Type {
  if (!node.unit) return bareNumber;
  const { system } = ctx.scope;
  const unit = system.unit(node.unit);
  if (isUnit(unit)) {
    const written = system.asWritten(node.unit);
    if (written) {
      const fix = replace(node, `${node.number} ${written}`, `Write ${written}`);
      ctx.report({
        code: 'unit_spelling',
        severity: 'advice',
        message: `Write ${written} for ${node.unit}.`,
        node,
        fixes: [fix],
      });
    }
    return {
      is: 'quantity',
      dimension: unit.dimension,
      named: unit.of,
      points: unit.of?.points,
      money: unit.currency !== undefined,
    };
  }
  const { part, suggestion } = unit;
  const split = /^(.+?)\*([\p{L}_]\w*)$/u.exec(node.unit);
  if (split && split[2] === part && isUnit(system.unit(split[1] as string))) {
    const fix = replace(node, `${node.number} ${split[1]} * ${part}`, 'Write it as arithmetic');
    return report(
      ctx,
      node,
      'unknown_unit',
      `${part} is not a unit. Without blanks ${node.unit} reads as one unit; to multiply, write ${node.number} ${split[1]} * ${part}.`,
      fix,
    );
  }
  if (!suggestion)
    return report(ctx, node, 'unknown_unit', `${part} is not a unit Gusset knows.${unitsOf(expected, ctx)}`);
  const fix = replace(node, `${node.number} ${node.unit.replace(part, suggestion)}`, `Write ${suggestion}`);
  return report(ctx, node, 'unknown_unit', `${part} is not a unit; did you mean ${suggestion}?`, fix);
}

/** In which units what is expected is written. */
function unitsOf(expected: Type | undefined, ctx: Context): string {
  const units =
    expected?.is === 'quantity' ? ctx.scope.system.plainUnits().filter((u) => u.of && u.of === expected.named) : [];
  const shown = expected?.is === 'quantity' ? (expected.named?.shown ?? []).filter((u) => u !== '1') : [];
  const names = [...new Set([...shown, ...units.map((u) => u.text)])];
  return names.length
    ? ` ${sentence(`${describeType(expected as Type, ctx.scope.system)} is written in ${listed(names, 5)}.`)}`
    : '';
}

function list(elements: Expression[], ctx: Context, expected?: Type): Type {
  const of = expected?.is === 'list' ? expected.of : undefined;
  let type: Type = of ?? anyType;
  for (const element of elements) {
    if (of) expect(element, ctx, of);
    else if (type.is === 'any') type = infer(element, ctx);
    else if (type.is === 'instance') infer(element, ctx);
    else expect(element, ctx, type);
  }
  return { is: 'list', of: type };
}

/** The type of a member as an expression sees it. */
export function memberType(member: Member): Type {
  if (member.parameters.length === 0) return member.occurs === 'many' ? { is: 'list', of: member.type } : member.type;
  return { is: 'formula', parameters: member.parameters.map((p) => p.type), result: member.type };
}

/** The member that a name leads to, looked for from the inside outward. */
export function findMember(name: string, ctx: Context): Member | undefined {
  const own = ctx.kind?.members.get(name) ?? ctx.around?.members.get(name);
  if (own) return own;
  if (ctx.mode === 'kind' || !ctx.instance) return sharedMember(name, ctx.scope);
  for (let holder = ctx.instance.holder; holder; holder = holder.holder) {
    const member = holder.member(name);
    if (member?.shared) return member;
  }
  return ctx.instance.root.kind.toplevel ? undefined : sharedMember(name, ctx.scope);
}

/** A text: what stands in its braces is an expression. */
function text(node: Text, ctx: Context): Type {
  for (const part of interpolations(node)) {
    if (typeof part !== 'string') infer(part, ctx);
    else if (/^\{.*\}$/.test(part) && !node.text.includes(`\\${part}`))
      report(ctx, node, 'bad_braces', `${part} is not an expression: write {current}, or \\{ for a brace.`);
  }
  return textType;
}

/** What some kind shares under that name. */
export function sharedMember(name: string, scope: Scope): Member | undefined {
  for (const seen of scope.visible()) {
    const found = seen.once('shared members', () => sharedMembers(seen)).get(name);
    if (found) return found;
  }
  return undefined;
}

/** What the kinds of a scope's own file, or of the library, share. Those in whose text nothing is shared are not read for it. */
function sharedMembers(scope: Scope): Map<string, Member> {
  const map = new Map<string, Member>();
  for (const [name, node] of scope.own.kinds) {
    if (!/^ *shared /m.test(textOf(node))) continue;
    for (const member of scope.kindNamed(name)?.members.values() ?? [])
      if (member.shared && !map.has(member.name)) map.set(member.name, member);
  }
  return map;
}

/** The block around that a name in the text of a machine or part leads to. */
export function blockAround(name: string, instance: Instance | undefined): Instance | 'broken' | undefined {
  for (let holder = instance; holder; holder = holder.holder) {
    const block = holder.called(name);
    if (block) return block;
    if (holder.broken.has(name)) return 'broken';
  }
  return undefined;
}

function reference(node: Reference, ctx: Context, expected?: Type): Type {
  const name = node.name?.text ?? '';
  const choice = expected?.is === 'list' ? expected.of : expected;
  if (choice?.is === 'choice' && choice.options.includes(name) && !ctx.locals?.has(name)) {
    choiceNames.add(node);
    return choice;
  }
  const type = nameType(name, ctx);
  if (type) return type;
  if (choice?.is === 'choice') {
    const near = nearest(name, choice.options);
    const fixes = near ? [replace(node, near, `Write ${near}`)] : [];
    return report(
      ctx,
      node,
      'unknown_choice',
      `Expected one of ${listed(choice.options, 20)}; ${name} is none of them.`,
      ...fixes,
    );
  }
  return unknownName(node, name, ctx);
}

/** The type of a name, or undefined where nothing goes by it. */
export function nameType(name: string, ctx: Context): Type | undefined {
  const local = ctx.locals?.get(name);
  if (local) return local;
  if (name === 'self') return { is: 'instance', kind: ctx.kind };
  if (name === 'holder') return ctx.instance?.holder ? { is: 'instance', kind: ctx.instance.holder.kind } : anyType;
  const block = ctx.mode === 'block' ? blockAround(name, ctx.instance) : undefined;
  if (block === 'broken') return anyType;
  const own = ctx.mode === 'block' ? ctx.instance?.called(name) : ctx.instance?.inRole(name);
  if (own) return { is: 'instance', kind: own.kind };
  const member = findMember(name, ctx);
  if (member) return memberType(member);
  if (block) return { is: 'instance', kind: block.kind };
  const size = ctx.scope.sizeNamed(name);
  if (size) return typeOf(size.declaration.type, size.scope);
  const found = ctx.scope.find(name);
  if (found) return declaredType(found.node, found.scope);
  return ownWordType(name);
}

/** The type of what every block has: its name, how many it stands for, the part it starts from. */
function ownWordType(name: string): Type | undefined {
  return name === 'name' || name === 'part' ? textType : name === 'count' ? bareNumber : undefined;
}

function declaredType(node: Declared, scope: Scope): Type | undefined {
  if (node.$type === 'Entry') return { is: 'instance', kind: scope.kindNamed(node.first?.text ?? '') };
  if (node.what === 'part') return { is: 'instance', kind: partKind(node.name?.text ?? '', scope) };
  if (node.what === 'constant') return typeOf(node.type, scope);
  if (node.what !== 'function' && node.what !== 'table' && node.what !== 'numeric') return undefined;
  return {
    is: 'formula',
    parameters: node.parameters.map((p) => typeOf(p.type, scope)),
    result: typeOf(node.type, scope),
  };
}

/** The kind a part starts from, through other parts. */
export function partKind(name: string, scope: Scope): Kind | undefined {
  let at: { name: string; scope: Scope } = { name, scope };
  for (let steps = 0; steps < 40; steps++) {
    const found = at.scope.find(at.name);
    if (!found) return at.scope.kindNamed(at.name);
    const { node } = found;
    if (node.$type === 'Entry') return found.scope.kindNamed(node.first?.text ?? '');
    if (node.what !== 'part' || !node.base) return undefined;
    at = { name: node.base.text, scope: found.scope };
  }
  return undefined;
}

function unknownName(node: AstNode & { name: { text: string } }, name: string, ctx: Context): Type {
  const candidates = [
    ...(ctx.locals?.keys() ?? []),
    ...(ctx.kind?.members.keys() ?? []),
    ...(ctx.around?.members.keys() ?? []),
    ...blocksAround(ctx.instance),
    ...ctx.scope.visible().flatMap((scope) => [...scope.own.declared.keys()]),
  ];
  const near = nearest(name, candidates);
  const fixes = near ? [replace(node, near, `Write ${near}`)] : [];
  const hint = near ? ` Did you mean ${near}?` : '';
  const where =
    ctx.mode === 'kind' && ctx.kind
      ? ` in ${ctx.kind.name.replaceAll('_', ' ')}, nor is it shared by what holds one`
      : ' here';
  return report(ctx, node, 'unknown_name', `Nothing is called ${name}${where}.${hint}`, ...fixes);
}

function blocksAround(instance: Instance | undefined): string[] {
  const names: string[] = [];
  for (let holder = instance; holder; holder = holder.holder) names.push(...holder.children.keys());
  return names;
}

function access(node: Access, ctx: Context): Type {
  const object = infer(node.object, ctx);
  const name = node.member?.text;
  if (!name || object.is === 'any') return anyType;
  if (object.is === 'sides') {
    if (['width', 'depth', 'height'].indexOf(name) in Array.from({ length: object.count })) return object.of;
    return report(
      ctx,
      node.member ?? node,
      'unknown_member',
      `A size of ${object.count} sides has ${object.count > 2 ? 'width, depth and height' : 'width and depth'}, not ${name}.`,
    );
  }
  if (object.is === 'quantity' && object.money && name === 'currency') return textType;
  if (object.is !== 'instance')
    return report(
      ctx,
      node.member ?? node,
      'unknown_member',
      `${describeType(object, ctx.scope.system)} has no parts of its own, so there is no .${name}.`,
    );
  if (!object.kind) return anyType;
  const child = node.object && ctx.mode === 'block' ? instanceOf(node.object, ctx)?.called(name) : undefined;
  if (child) return { is: 'instance', kind: child.kind };
  const member = object.kind.members.get(name);
  if (member) return memberType(member);
  const own = ownWordType(name);
  if (own) return own;
  const blocks = ctx.mode === 'block' ? instanceOf(node.object, ctx)?.children.keys() : undefined;
  const near = nearest(name, [...(blocks ?? []), ...object.kind.members.keys()]);
  const fixes = near && node.member ? [replace(node.member, near, `Write ${near}`)] : [];
  const hint = near ? ` Did you mean ${near}?` : ` It has ${listed([...object.kind.members.keys()])}.`;
  return report(
    ctx,
    node.member ?? node,
    'unknown_member',
    `${withArticle(object.kind.name.replaceAll('_', ' '))} has nothing called ${name}.${hint}`,
    ...fixes,
  );
}

/** The block that a path such as `bed.heater` leads to in a machine's text, if it leads to one. */
export function instanceOf(node: Expression, ctx: Context): Instance | undefined {
  if (node.$type === 'Reference') {
    const block = blockAround(node.name?.text ?? '', ctx.instance);
    return block === 'broken' ? undefined : block;
  }
  if (node.$type === 'Access') return instanceOf(node.object, ctx)?.called(node.member?.text ?? '');
  return undefined;
}

function unary(operator: string, operand: Expression, ctx: Context): Type {
  if (operator === 'not') {
    expect(operand, ctx, truthType);
    return truthType;
  }
  const type = infer(operand, ctx);
  if (type.is === 'quantity' && type.points && operand.$type !== 'Quantity') {
    return report(
      ctx,
      operand,
      'point_arithmetic',
      'A point of temperature has no negative: subtract it from another point, or use a difference in K.',
    );
  }
  return type;
}

/** Names that a condition says are of some kind, in what depends on it. */
export function narrowed(condition: Expression | undefined, ctx: Context): Context {
  if (condition?.$type === 'Group') return narrowed(condition.inner, ctx);
  if (condition?.$type !== 'Binary') return ctx;
  if (condition.operator === 'and') return narrowed(condition.right, narrowed(condition.left, ctx));
  if (condition.operator !== 'is' || condition.left?.$type !== 'Reference' || condition.right?.$type !== 'Reference')
    return ctx;
  const kind = ctx.scope.kindNamed(condition.right.name.text);
  const locals = new Map(ctx.locals);
  locals.set(condition.left.name.text, { is: 'instance', kind });
  return { ...ctx, locals };
}

function merge(first: Type, second: Expression | undefined, ctx: Context, expected?: Type): Type {
  if (first.is === 'any') return infer(second, ctx, expected);
  if (first.is !== 'quantity') {
    const other = infer(second, ctx, expected ?? first);
    return other.is === 'any' || first.is !== 'instance' || other.is !== 'instance'
      ? first
      : first.kind === other.kind
        ? first
        : { is: 'instance', kind: commonKind(first.kind, other.kind) };
  }
  const other = expect(second, ctx, { ...first, named: undefined });
  return other.is === 'quantity' && other.named === first.named
    ? first
    : { ...first, named: first.points ? first.named : undefined };
}

function commonKind(a: Kind | undefined, b: Kind | undefined): Kind | undefined {
  for (let kind = a; kind; kind = kind.base) if (b?.isA(kind)) return kind;
  return undefined;
}

function binary(node: Binary, ctx: Context, expected?: Type): Type {
  switch (node.operator) {
    case 'and':
      expect(node.left, ctx, truthType);
      expect(node.right, narrowed(node.left, ctx), truthType);
      return truthType;
    case 'or':
      expect(node.left, ctx, truthType);
      expect(node.right, ctx, truthType);
      return truthType;
    case 'is':
      infer(node.left, ctx);
      if (node.right?.$type === 'Reference' && !ctx.scope.kindNamed(node.right.name.text)) {
        report(ctx, node.right, 'unknown_kind', `There is no kind called ${node.right.name.text}.`);
      }
      return truthType;
    case 'in': {
      const of = infer(node.right, ctx);
      infer(node.left, ctx, of.is === 'list' ? of.of : undefined);
      return truthType;
    }
    case 'otherwise':
      return merge(infer(node.left, ctx, expected), node.right, ctx, expected);
    case 'x':
      return sides(node, ctx);
    case '..': {
      const low = infer(node.left, ctx);
      if (low.is === 'quantity') expect(node.right, ctx, low);
      return turnedRound(node, ctx) ?? low;
    }
    case '==':
    case '!=':
    case '<':
    case '<=':
    case '>':
    case '>=':
      return comparison(node, ctx);
    default:
      return arithmetic(node, ctx);
  }
}

/** A range whose ends are written the wrong way round. */
function turnedRound(node: Binary, ctx: Context): Type | undefined {
  const { left, right } = node;
  const [low, high] = [literal(left, ctx), literal(right, ctx)];
  if (low === undefined || high === undefined || low <= high) return undefined;
  const [a, b] = [quantityText(left), quantityText(right)];
  const message = `A range goes from its low end to its high end: ${b} .. ${a}.`;
  return report(ctx, node, 'wrong_way_round', message);
}

/** A quantity as written. */
export function quantityText(node: AstNode | undefined): string {
  const q = node as { $type: string; number?: string; unit?: string; operand?: AstNode } | undefined;
  if (q?.$type === 'Unary') return `-${quantityText(q.operand)}`;
  return `${q?.number ?? ''} ${q?.unit ?? ''}`.trim();
}

/** The number that a quantity stands for, where it is written out with a unit of its dimension. */
export function literal(node: Expression | undefined, ctx: Context): number | undefined {
  if (node?.$type === 'Unary' && node.operand?.$type === 'Quantity')
    return literal({ ...node.operand, number: `-${node.operand.number}` } as typeof node.operand, ctx);
  if (node?.$type !== 'Quantity') return undefined;
  const unit = node.unit ? ctx.scope.system.unit(node.unit) : undefined;
  if (!unit) return Number(node.number);
  return isUnit(unit) ? Number(node.number) * unit.factor + (unit.zero ?? 0) : undefined;
}

function sides(node: Binary, ctx: Context): Type {
  const { left: first, right: second } = node;
  if (first?.$type === 'Quantity' && second?.$type === 'Quantity' && !first.unit && second.unit) {
    const fix = replace(first, `${first.number} ${second.unit}`, `Write ${first.number} ${second.unit}`);
    const whole = `${first.number} ${second.unit} x ${second.number} ${second.unit}`;
    return report(ctx, first, 'missing_unit', `Each side has its own unit: ${whole}.`, fix);
  }
  const left = infer(node.left, ctx);
  const of = left.is === 'sides' ? left.of : left;
  if (of.is !== 'quantity')
    return of.is === 'any' ? anyType : report(ctx, node, 'wrong_type', 'A size is made of lengths: 235 mm x 235 mm.');
  const right = expect(node.right, ctx, of);
  if (right.is === 'any') return anyType;
  return { is: 'sides', of, count: left.is === 'sides' ? left.count + 1 : 2 };
}

function comparison(node: Binary, ctx: Context): Type {
  // A choice's name on either side is understood by the other side.
  const rightFirst = node.left?.$type === 'Reference' && !nameType(node.left.name?.text ?? '', ctx);
  if (rightFirst) infer(node.left, ctx, infer(node.right, ctx));
  else {
    const left = infer(node.left, ctx);
    const actual = infer(node.right, ctx, left);
    if (left.is === 'quantity' && actual.is === 'quantity' && node.right) {
      const problem = quantityMismatch(
        actual,
        {
          ...left,
          named: left.named && actual.named && !actual.bare ? left.named : isBare(left) ? left.named : undefined,
        },
        node.right,
        ctx,
      );
      if (problem && !(left.bare && actual.dimension === dimensionless))
        report(ctx, node.right, problem.code, problem.message, ...problem.fixes);
    } else if (left.is !== actual.is && left.is !== 'any' && actual.is !== 'any') {
      report(
        ctx,
        node,
        'wrong_type',
        `${describeType(left, ctx.scope.system)} cannot be compared with ${describeType(actual, ctx.scope.system)}.`,
      );
    }
  }
  return truthType;
}

function arithmetic(node: Binary, ctx: Context): Type {
  const left = infer(node.left, ctx);
  const right = infer(node.right, ctx);
  if (left.is === 'any' || right.is === 'any') return anyType;
  if (left.is !== 'quantity' || right.is !== 'quantity') {
    const wrong = left.is !== 'quantity' ? left : right;
    return report(
      ctx,
      (left.is !== 'quantity' ? node.left : node.right) ?? node,
      'wrong_type',
      `Arithmetic needs a quantity, this is ${describeType(wrong, ctx.scope.system)}.`,
    );
  }
  if (node.operator === '+' || node.operator === '-') return sum(node, left, right, ctx);
  const point = left.points ? node.left : right.points ? node.right : undefined;
  if (point)
    return report(
      ctx,
      point,
      'point_arithmetic',
      'A point of temperature cannot be multiplied or divided: subtract another point first, or use absolute(…).',
    );
  if (node.operator === '^') return power(node, left, ctx);
  const sign = node.operator === '/' ? -1 : 1;
  const dimension = multiply(left.dimension, right.dimension, sign);
  const plain = (type: QuantityType) => type.bare || isBare(type);
  const money = left.money !== right.money && (left.money || right.money);
  if (plain(right)) return { ...left, bare: left.bare && right.bare };
  if (plain(left) && sign > 0) return right;
  return { is: 'quantity', dimension, money: money || undefined };
}

function sum(node: Binary, left: QuantityType, right: QuantityType, ctx: Context): Type {
  const { system } = ctx.scope;
  if (left.dimension !== right.dimension) {
    if (right.named && isBare(right) && node.right && /%$/.test(textOf(node.right))) {
      const whole = `${textOf(node.left)} * ${100 + (node.operator === '+' ? 1 : -1) * Number.parseFloat(textOf(node.right))} %`;
      return report(
        ctx,
        node,
        'percent_added',
        `A percentage is a ratio and is multiplied, not added: write ${whole}.`,
        replace(node, whole, `Write ${whole}`),
      );
    }
    const verb = node.operator === '+' ? 'added to' : 'subtracted from';
    const [what, to] = node.operator === '+' ? [right, left] : [right, left];
    return report(
      ctx,
      node,
      'wrong_dimension',
      `${describeType(what, system)} cannot be ${verb} ${describeType(to, system)}.`,
    );
  }
  if (left.points && right.points) {
    if (node.operator === '-') return difference(left, ctx);
    return report(
      ctx,
      node,
      'point_arithmetic',
      'Two points of temperature cannot be added. A rise is a difference, in K: 60 degC + 20 K.',
    );
  }
  if (right.points && node.operator === '-')
    return report(
      ctx,
      node,
      'point_arithmetic',
      'A point of temperature cannot be taken from a difference: write the point first.',
    );
  if (left.points) return left;
  if (right.points) return right;
  if (left.named === right.named) return { ...left, bare: left.bare && right.bare };
  return { is: 'quantity', dimension: left.dimension, money: left.money };
}

function difference(point: QuantityType, ctx: Context): Type {
  const named = ctx.scope.system.named(point.dimension).find((n) => !n.points);
  return named ? quantityOf(named) : { is: 'quantity', dimension: point.dimension };
}

function power(node: Binary, base: QuantityType, ctx: Context): Type {
  const exponent = constantOf(node.right);
  if (base.dimension.powers.size === 0) return { is: 'quantity', dimension: dimensionless, bare: base.bare };
  if (exponent === undefined)
    return report(
      ctx,
      node.right ?? node,
      'wrong_dimension',
      'A quantity with a unit can only be raised to a plain number, such as 2 or (1/4).',
    );
  return { is: 'quantity', dimension: raise(base.dimension, exponent) };
}

function constantOf(node: Expression | undefined): number | undefined {
  if (node?.$type === 'Quantity' && !node.unit) return Number(node.number);
  if (node?.$type === 'Group') return constantOf(node.inner);
  if (node?.$type === 'Unary' && node.operator === '-') {
    const value = constantOf(node.operand);
    return value === undefined ? undefined : -value;
  }
  if (node?.$type !== 'Binary' || node.operator !== '/') return undefined;
  const [a, b] = [constantOf(node.left), constantOf(node.right)];
  return a === undefined || !b ? undefined : a / b;
}

function call(node: Call, ctx: Context): Type {
  const { callee } = node;
  if (callee?.$type === 'Reference') {
    const name = callee.name?.text ?? '';
    if (builtins[name] && !ctx.locals?.has(name) && !ctx.kind?.members.has(name)) return builtinCall(name, node, ctx);
    const member = ctx.locals?.has(name) ? undefined : findMember(name, ctx);
    if (member?.parameters.length) return argumentsFit(node, member.parameters, member.type, ctx, name);
    const found = ctx.scope.find(name);
    if (!member && found?.node.$type === 'Declaration' && ['function', 'table', 'numeric'].includes(found.node.what)) {
      const parameters = found.node.parameters.map((p) => ({
        name: p.name?.text ?? '',
        type: typeOf(p.type, found.scope),
      }));
      return argumentsFit(node, parameters, typeOf(found.node.type, found.scope), ctx, name);
    }
  }
  if (callee?.$type === 'Access') {
    const object = infer(callee.object, ctx);
    const member = object.is === 'instance' ? object.kind?.members.get(callee.member?.text ?? '') : undefined;
    if (member?.parameters.length) return argumentsFit(node, member.parameters, member.type, ctx, member.name);
  }
  const type = infer(callee, ctx);
  if (type.is === 'formula') {
    for (const [i, argument] of node.arguments.entries()) expect(argument.value, ctx, type.parameters[i] ?? anyType);
    return type.result;
  }
  for (const argument of node.arguments) infer(argument.value, ctx);
  return type.is === 'any'
    ? anyType
    : report(
        ctx,
        callee ?? node,
        'not_callable',
        `${textOf(callee ?? node)} takes no arguments: it is ${describeType(type, ctx.scope.system)}.`,
      );
}

function argumentsFit(
  node: Call,
  parameters: readonly { name: string; type: Type }[],
  result: Type,
  ctx: Context,
  callee: string,
): Type {
  const takes = `${callee}(${parameters.map((p) => `${p.name}: …`).join(', ')})`;
  const seen = new Set<string>();
  for (const [i, argument] of node.arguments.entries()) {
    const parameter = argument.name ? parameters.find((p) => p.name === argument.name?.text) : parameters[i];
    if (!parameter) {
      infer(argument.value, ctx);
      report(
        ctx,
        argument,
        'wrong_argument',
        argument.name
          ? `${callee} has no argument ${argument.name.text}; write ${takes}.`
          : `${callee} takes ${parameters.length} arguments: ${takes}.`,
      );
      continue;
    }
    seen.add(parameter.name);
    expect(argument.value, ctx, parameter.type);
  }
  const left = parameters.filter((p) => !seen.has(p.name));
  if (left.length && node.arguments.length <= parameters.length) {
    report(ctx, node, 'missing_argument', `${callee} also needs ${listed(left.map((p) => `${p.name}: …`))}.`);
  }
  return result;
}

/** Types of a question's body and of its domain's elements. */
function overList(argument: Argument, ctx: Context): Type {
  const { comprehension } = argument;
  if (!comprehension) return infer(argument.value, ctx);
  const locals = new Map(ctx.locals);
  locals.set(comprehension.variable?.text ?? '', domainType(comprehension.domain, ctx));
  const inner = { ...ctx, locals };
  if (comprehension.condition) expect(comprehension.condition, inner, truthType);
  return infer(argument.value, narrowed(comprehension.condition, inner));
}

export function domainType(domain: NonNullable<Argument['comprehension']>['domain'] | undefined, ctx: Context): Type {
  if (domain?.$type === 'Every') {
    const name = domain.kind?.text ?? '';
    const kind = ctx.scope.kindNamed(name);
    if (domain.within) infer(domain.within, ctx);
    if (!kind && domain.kind)
      report(ctx, domain.kind, 'unknown_kind', `There is no kind called ${name}.${hintOf(name, ctx)}`);
    return { is: 'instance', kind };
  }
  const type = infer(domain, ctx);
  return type.is === 'list' ? type.of : type.is === 'instance' ? type : anyType;
}

export function hintOf(name: string, ctx: Pick<Context, 'scope'>): string {
  const near = nearest(
    name,
    ctx.scope.kinds().map((k) => k.name),
  );
  return near ? ` Did you mean ${near}?` : '';
}

function builtinCall(name: string, node: Call, ctx: Context): Type {
  const first = node.arguments[0];
  const { shape } = builtins[name] as (typeof builtins)[string];
  if (!first) return report(ctx, node, 'missing_argument', `${name} needs an argument: ${name}(…).`);
  const type = overList(first, ctx);
  const inner: Type = !first.comprehension && type.is === 'list' ? type.of : type;
  switch (shape) {
    case 'truth':
      if (inner.is !== 'truth' && inner.is !== 'any')
        report(
          ctx,
          first,
          'wrong_type',
          `${name} asks whether something is so; this is ${describeType(inner, ctx.scope.system)}.`,
        );
      return truthType;
    case 'anything to truth':
      return truthType;
    case 'count':
      return bareNumber;
    case 'list to element':
      return inner;
    case 'to list':
      return first.comprehension ? { is: 'list', of: type } : type;
    case 'same as its arguments': {
      let common: Type = inner;
      for (const argument of node.arguments.slice(1)) common = merge(common, argument.value, ctx);
      return common;
    }
    default:
      return numberFunction(name, shape, first, type, ctx);
  }
}

function numberFunction(name: string, shape: string, argument: Argument, type: Type, ctx: Context): Type {
  const { system } = ctx.scope;
  if (type.is === 'any') return anyType;
  if (type.is !== 'quantity')
    return report(ctx, argument, 'wrong_type', `${name} needs a quantity, this is ${describeType(type, system)}.`);
  if (shape === 'root') return { is: 'quantity', dimension: raise(type.dimension, 0.5), bare: type.bare };
  if (shape === 'temperature to difference') {
    if (!type.points)
      return report(ctx, argument, 'wrong_type', `${name} needs a temperature, this is ${describeType(type, system)}.`);
    return difference(type, ctx);
  }
  if (type.dimension !== dimensionless)
    return report(
      ctx,
      argument,
      'wrong_dimension',
      `${name} needs a number without a unit, this is ${describeType(type, system)}.`,
    );
  return { is: 'quantity', dimension: dimensionless, bare: shape === 'number to number' ? type.bare : undefined };
}
