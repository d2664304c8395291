import type { Parameter, Type as TypeNode, TypeTerm } from '../grammar/generated/ast.ts';
import { dimensionless } from '../units/dimension.ts';
import { describeDimension, inWords, withArticle } from '../units/display.ts';
import type { NamedDimension, UnitSystem } from '../units/units.ts';
import type { Kind, QuantityType, Signature, Type } from './kind.ts';

export type { ParameterType, QuantityType, Signature, Type } from './kind.ts';

export const anyType: Type = { is: 'any' };
export const truthType: Type = { is: 'truth' };
export const textType: Type = { is: 'text' };
export const bareNumber: QuantityType = { is: 'quantity', dimension: dimensionless, bare: true };

export function quantityOf(named: NamedDimension): QuantityType {
  return { is: 'quantity', dimension: named.dimension, named, points: named.points, money: named.money };
}

interface TypeNames {
  readonly system: UnitSystem;
  kindNamed(name: string): Kind | undefined;
  /** Names that the declaration lets stand for any quantity (`any X`). */
  readonly variables?: ReadonlySet<string>;
}

export function signatureOf(
  node: { readonly parameters: readonly Parameter[]; readonly type?: TypeNode },
  names: TypeNames,
  unknownName?: (term: TypeTerm) => void,
): Signature {
  const variables = new Set(node.parameters.flatMap((p) => (p.type?.terms ?? []).flatMap(variablesIn)));
  const own: TypeNames = { system: names.system, kindNamed: (name) => names.kindNamed(name), variables };
  return {
    parameters: node.parameters.map((parameter) => ({
      name: parameter.name?.text ?? '',
      type: typeOf(parameter.type, own, unknownName),
      node: parameter,
    })),
    result: typeOf(node.type, own, unknownName),
  };
}

function variablesIn(term: TypeTerm | undefined): string[] {
  switch (term?.$type) {
    case 'AnyType':
      return [term.name?.text ?? ''];
    case 'ListType':
      return variablesIn(term.of);
    case 'CurveType':
      return [...variablesIn(term.x), ...variablesIn(term.y)];
    case 'FormulaType':
      return [...term.parameters.flatMap(variablesIn), ...variablesIn(term.result)];
    default:
      return [];
  }
}

/** The type that a declaration writes; `unknownName` hears of names that are neither a dimension nor a kind. */
export function typeOf(node: TypeNode | undefined, names: TypeNames, unknownName?: (term: TypeTerm) => void): Type {
  if (!node) return anyType;
  const terms = node.terms.map((term) => termType(term, names, unknownName));
  const first = terms[0] ?? anyType;
  return terms.length > 1 && first.is === 'quantity' ? { is: 'sides', of: first, count: terms.length } : first;
}

function termType(term: TypeTerm, names: TypeNames, unknownName?: (term: TypeTerm) => void): Type {
  const inner = (t: TypeTerm | undefined) => (t ? termType(t, names, unknownName) : anyType);
  switch (term.$type) {
    case 'ListType':
      return { is: 'list', of: inner(term.of) };
    case 'ChoiceType':
      return { is: 'choice', options: term.options.map((o) => o.text) };
    case 'CurveType':
      return { is: 'curve', x: inner(term.x), y: inner(term.y) };
    case 'FormulaType':
      return { is: 'formula', parameters: term.parameters.map(inner), result: inner(term.result) };
    case 'AnyType':
      return { is: 'variable', name: term.name?.text ?? '' };
    default: {
      const known = namedType(term.name?.text ?? '', names);
      if (!known) unknownName?.(term);
      return known ?? anyType;
    }
  }
}

function namedType(name: string, names: TypeNames): Type | undefined {
  if (names.variables?.has(name)) return { is: 'variable', name };
  if (name === 'Text') return textType;
  if (name === 'YesNo') return truthType;
  if (name === 'Date') return { is: 'date' };
  const dimension = names.system.dimensions.get(name);
  if (dimension) return quantityOf(dimension);
  const kind = names.kindNamed(name);
  return kind && { is: 'instance', kind };
}

/** How a type is called in a sentence: "a current", "a block of kind wire". */
export function describeType(type: Type, system: UnitSystem): string {
  switch (type.is) {
    case 'quantity':
      if (type.money) return 'a price';
      if (type.points && !type.named) return 'a temperature';
      return type.bare ? 'a bare number' : describeDimension(system, type.dimension, type.named);
    case 'truth':
      return 'yes or no';
    case 'text':
      return 'a text in quotes';
    case 'date':
      return 'a date';
    case 'choice':
      return `one of ${type.options.join(', ')}`;
    case 'instance':
      return type.kind ? withArticle(inWords(type.kind.name.replaceAll('_', ' '))) : 'a block';
    case 'list':
      return `a list: [ … ] of ${bare(type.of, system)}`;
    case 'sides':
      return `a size of ${type.count} sides`;
    case 'curve':
      return `a curve of ${bare(type.y, system)} over ${bare(type.x, system)}`;
    case 'formula':
      return `a formula that takes ${type.parameters.map((p) => describeType(p, system)).join(' and ') || 'nothing'} and gives ${describeType(type.result, system)}`;
    case 'variable':
      return `any quantity ${type.name}`;
    default:
      return 'anything';
  }
}

/** The same without its article. */
function bare(type: Type, system: UnitSystem): string {
  return describeType(type, system).replace(/^an? /, '');
}

/** The kind of what a list of blocks holds; undefined for lists of anything else. */
export function kindOfListedBlocks(type: Type): Kind | undefined {
  return type.is === 'list' && type.of.is === 'instance' ? type.of.kind : undefined;
}
