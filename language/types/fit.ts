import type { Expression } from '../grammar/generated/ast.ts';
import { contentOf, textOf } from '../grammar/syntax.ts';
import type { Wording } from '../mistakes/mistake.ts';
import { typing } from '../mistakes/typing.ts';
import type { Kind } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { describeType, type QuantityType, type Type } from '../names/type.ts';
import { type Dimension, multiply } from '../units/dimension.ts';
import { describeDimension, inWords, withArticle } from '../units/display.ts';
import { replace, replaceWithNearest, type TextFix } from './tell.ts';

/** Why a type does not fit where another is expected. */
interface Misfit {
  readonly wording: Wording;
  readonly fixes: readonly TextFix[];
}

/** Whether what is written fits what is expected; undefined where it does. */
export function misfit(actual: Type, expected: Type, node: Expression, scope: Scope): Misfit | undefined {
  const { system } = scope;
  if (actual.is === 'any' || expected.is === 'any') return undefined;
  if (actual.is === 'quantity' && expected.is === 'quantity') return quantityMisfit(actual, expected, node, scope);
  if (actual.is === 'list' && expected.is === 'list') return misfit(actual.of, expected.of, node, scope);
  if (actual.is === 'sides' && expected.is === 'sides' && actual.count === expected.count)
    return quantityMisfit(actual.of, expected.of, node, scope);
  if (fits(actual, expected)) return undefined;
  const hint =
    expected.is === 'sides' && actual.is === 'quantity' ? ': write all its sides, such as 230 mm x 230 mm' : '';
  const wording = typing.wrong_type.expected(describeType(expected, system), describeType(actual, system), hint);
  return { wording, fixes: replaceWithNearest(node, unquoted(node, expected, scope)) };
}

/** A word in quotes without them, where the word by itself is what is expected: the name of a part, or one of a choice. */
function unquoted(node: Expression, expected: Type, scope: Scope): string | undefined {
  const word = node.$type === 'Text' ? contentOf(node) : '';
  if (expected.is === 'choice' && expected.options.includes(word)) return word;
  if (expected.is === 'truth') return truthWords.get(word);
  return expected.is === 'instance' && scope.find(word)?.node.$type === 'Declaration' ? word : undefined;
}

/** How yes and no are said elsewhere. */
export const truthWords: ReadonlyMap<string, string> = new Map([
  ['yes', 'yes'],
  ['true', 'yes'],
  ['no', 'no'],
  ['false', 'no'],
]);

/** Can a value of one type stand where the other is expected? */
function fits(actual: Type, expected: Type): boolean {
  if (actual.is === 'any' || expected.is === 'any') return true;
  switch (expected.is) {
    case 'quantity':
      return actual.is === 'quantity' && quantityFits(actual, expected);
    case 'instance':
      return actual.is === 'instance' && (!actual.kind || !expected.kind || actual.kind.isA(expected.kind));
    case 'list':
      return actual.is === 'list' && fits(actual.of, expected.of);
    case 'sides':
      return actual.is === 'sides' && actual.count === expected.count && quantityFits(actual.of, expected.of);
    case 'choice':
      return actual.is === 'choice' && actual.options.every((option) => expected.options.includes(option));
    case 'curve':
      return actual.is === 'curve' && fits(actual.x, expected.x) && fits(actual.y, expected.y);
    case 'formula':
      // What is handed over must take all that it will be given.
      return (
        actual.is === 'formula' &&
        actual.parameters.length === expected.parameters.length &&
        actual.parameters.every((parameter, i) => fits(expected.parameters[i] as Type, parameter)) &&
        fits(actual.result, expected.result)
      );
    case 'variable':
      return actual.is === 'variable' && actual.name === expected.name;
    default:
      return actual.is === expected.is;
  }
}

function quantityFits(actual: QuantityType, expected: QuantityType): boolean {
  const money = (actual.money ?? false) === (expected.money ?? false);
  const points = (actual.points ?? false) === (expected.points ?? false);
  if (!money || !points || actual.dimension !== expected.dimension) return false;
  if (actual.bare && expected.named && !isBare(expected)) return false;
  return !actual.named || !expected.named || actual.named === expected.named || (isBare(actual) && isBare(expected));
}

/** A count or a ratio: what is written as a bare number. */
export function isBare(type: QuantityType): boolean {
  return type.named?.shown.includes('1') ?? false;
}

/** Why one quantity does not fit where another is expected, with what would mend it. */
export function quantityMisfit(
  actual: QuantityType,
  expected: QuantityType,
  node: Expression,
  scope: Scope,
): Misfit | undefined {
  if (quantityFits(actual, expected)) return undefined;
  const { system } = scope;
  const [due, is] = [describeType(expected, system), describeType(actual, system)];
  const wrong = (hint: string): Misfit => ({ wording: typing.wrong_dimension.expected(due, is, hint), fixes: [] });
  if ((expected.money ?? false) !== (actual.money ?? false))
    return wrong(actual.bare ? ': a price carries its currency, such as 12.50 EUR.' : '.');
  if (actual.bare && !expected.money && (expected.dimension.powers.size > 0 || expected.named))
    return missingUnit(expected, node, scope);
  if (actual.money && actual.dimension !== expected.dimension) return moneyMisfit(actual, expected, scope);
  if (actual.dimension !== expected.dimension) {
    const degrees = expected.points ? /^(-?[\d.]+) ?C$/.exec(textOf(node)) : null;
    const hint = degrees
      ? `: degrees are written ${degrees[1]} degC.`
      : factorHint(actual.dimension, expected.dimension, scope);
    return { ...wrong(hint), fixes: replaceWithNearest(node, degrees ? `${degrees[1]} degC` : undefined) };
  }
  if ((actual.points ?? false) !== (expected.points ?? false)) return pointMisfit(actual, node);
  const units = (expected.named?.shown ?? [])
    .filter((unit) => unit !== '1')
    .slice(0, 2)
    .join(' or ');
  return { wording: typing.wrong_quantity(due, is, units), fixes: [] };
}

/** An amount of money times or over something is no price. */
function moneyMisfit(actual: QuantityType, expected: QuantityType, { system }: Scope): Misfit {
  const factor = describeDimension(system, multiply(actual.dimension, expected.dimension, -1));
  return { wording: typing.wrong_dimension.price(factor), fixes: [] };
}

function missingUnit(expected: QuantityType, node: Expression, { system }: Scope): Misfit {
  const named = expected.named ?? system.named(expected.dimension)[0];
  const units = named?.shown.filter((unit) => unit !== '1') ?? [];
  const text = textOf(node);
  const fixes = units.slice(0, 3).map((unit) => replace(node, `${text} ${unit}`));
  const example = units[0] ? `${text} ${units[0]}` : '';
  return { wording: typing.missing_unit.number(describeType(expected, system), example), fixes };
}

function pointMisfit(actual: QuantityType, node: Expression): Misfit {
  const [from, to] = actual.points ? ['degC', 'K'] : ['K', 'degC'];
  const text = textOf(node);
  const written = new RegExp(`^(-?[\\d.]+) ${from}$`).exec(text);
  const fixed = written && `${written[1]} ${to}`;
  const wording = actual.points ? typing.point_for_difference() : typing.difference_for_point();
  return { wording, fixes: replaceWithNearest(node, fixed || undefined) };
}

/** What would make one dimension the other, where that is a quantity one meets: ": divide by a voltage?" */
function factorHint(actual: Dimension, expected: Dimension, { system }: Scope): string {
  const familiar = (dimension: Dimension) =>
    dimension.powers.size === 0 ? undefined : system.named(dimension).find(({ shown }) => isPlain(shown[0]));
  const divisor = familiar(multiply(actual, expected, -1));
  const factor = familiar(multiply(expected, actual, -1));
  if (divisor && !(factor && isBase(factor.dimension))) return `: divide by ${withArticle(inWords(divisor.name))}?`;
  return factor ? `: multiply by ${withArticle(inWords(factor.name))}?` : '.';
}

/** Is it one base quantity by itself, such as a time? Of two ways to mend a dimension the one with a time is named before the one with its inverse, a frequency. */
function isBase({ powers }: Dimension): boolean {
  return powers.size === 1 && [...powers.values()].every((power) => power === 1);
}

/** Is a quantity told in a unit with a name of its own, as a voltage is? What is told in `deg/s^2` is rarely what was forgotten. */
function isPlain(unit: string | undefined): boolean {
  return unit !== undefined && /^\p{L}+$/u.test(unit);
}

/** What two values have in common that may stand for each other, such as the branches of `if`; undefined where they have nothing. */
export function common(a: Type, b: Type): Type | undefined {
  if (a.is === 'any') return b;
  if (b.is === 'any') return a;
  if (a.is === 'quantity' && b.is === 'quantity') return commonQuantity(a, b);
  if (a.is === 'instance' && b.is === 'instance') {
    if (!a.kind || !b.kind) return { is: 'instance', kind: undefined };
    const kind = commonKind(a.kind, b.kind);
    return kind && { is: 'instance', kind };
  }
  if (a.is === 'choice' && b.is === 'choice')
    return { is: 'choice', options: [...new Set([...a.options, ...b.options])] };
  if (a.is === 'list' && b.is === 'list') {
    const of = common(a.of, b.of);
    return of && { is: 'list', of };
  }
  if (a.is === 'sides' && b.is === 'sides') {
    const of = a.count === b.count ? commonQuantity(a.of, b.of) : undefined;
    return of && { is: 'sides', of, count: a.count };
  }
  return fits(a, b) ? b : fits(b, a) ? a : undefined;
}

function commonQuantity(a: QuantityType, b: QuantityType): QuantityType | undefined {
  const plain = { ...a, named: undefined };
  if (!quantityFits(b, plain) && !quantityFits(a, { ...b, named: undefined })) return undefined;
  if (a.named === b.named) return { ...a, bare: a.bare && b.bare };
  return { ...a, named: a.points ? (a.named ?? b.named) : undefined, bare: a.bare && b.bare };
}

function commonKind(a: Kind, b: Kind): Kind | undefined {
  for (let kind: Kind | undefined = a; kind; kind = kind.base) if (b.isA(kind)) return kind;
  return undefined;
}
