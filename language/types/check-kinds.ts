import type {
  Declaration,
  Entry,
  Expression,
  Has,
  Member as MemberNode,
  Type as TypeNode,
} from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, contentOf } from '../grammar/syntax.ts';
import { belongsIn, clauses, reservedWords } from '../grammar/words.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { typing } from '../mistakes/typing.ts';
import { hasOwnName, type Kind, kindOfRole } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { describeType, kindOfListedBlocks, type QuantityType, type Type, truthType } from '../names/type.ts';
import { isUnit, unitText } from '../units/units.ts';
import { checkCheck, checkTelling } from './check-records.ts';
import { checkTolerance } from './check-values.ts';
import { readSignature } from './declared-types.ts';
import { expect } from './infer.ts';
import { checkSteps, stepsOf } from './steps.ts';
import { kindInWords, type Report, statementWord, tell } from './tell.ts';
import { tellUnknownKind } from './unknown.ts';

export function checkKind(node: Declaration, scope: Scope, report: Report): void {
  const kind = scope.kindNamed(node.name?.text ?? '');
  if (!kind || kind.node !== node) return;
  if (node.base && !kind.base) {
    const way = `${kind.name} → ${node.base.text} → … → ${kind.name}`;
    if (scope.kindNamed(node.base.text)) tell(report, node.base, naming.ring.starts(kind.name, way));
    else tellUnknownKind(report, node.base, node.base.text, scope, kind.name);
  }
  const seen = new Set<string>();
  for (const member of node.body?.members ?? []) checkMember(member, kind, scope, report, seen);
  checkRoles(kind, report);
  const ring = formulaRing(kind);
  if (ring) tell(report, ring.node, naming.ring.formulas(ring.names.join(' → ')));
}

/** Reports two roles without a name, each for one block, of which a block's kind could fill either: it would not be plain which. */
function checkRoles(kind: Kind, report: Report): void {
  const byKind = kind.roles.filter((role) => role.occurs !== 'many' && !hasOwnName(role));
  for (const role of byKind) {
    const wider = byKind.find((other) => other !== role && kindOfRole(role)?.isA(kindOfRole(other)));
    if (!wider || (role.owner !== kind && wider.owner !== kind)) continue;
    const { node } = role.owner === kind ? role : wider;
    const at = (node.$type === 'Has' ? node.name : node.first) ?? node;
    tell(report, at, placing.roles_overlap(kindInWords(kind), role.name, wider.name));
  }
}

/** Values of a kind whose formulas need each other in a ring, whatever is given. */
function formulaRing(kind: Kind): { node: AstNode; names: string[] } | undefined {
  const done = new Set<string>();
  const walk = (name: string, path: string[]): string[] | undefined => {
    if (path.includes(name)) return [...path.slice(path.indexOf(name)), name];
    const member = kind.members.get(name);
    if (done.has(name) || member?.node.$type !== 'Entry' || member.role !== 'derived') return undefined;
    for (const next of neededBy(member.node)) {
      const ring = walk(next, [...path, name]);
      if (ring) return ring;
    }
    done.add(name);
    return undefined;
  };
  for (const name of kind.ownMembers) {
    const names = walk(name, []);
    const node = names && kind.members.get(names[0] as string)?.node;
    if (names && node) return { node: node.$type === 'Entry' ? node.first : node, names };
  }
  return undefined;
}

/** Names that a formula needs in any case, itself or by its steps. */
function neededBy(node: Entry): string[] {
  const steps = new Map(stepsOf(node).map((step) => [step.name?.text, step]));
  const through = (name: string): string[] => {
    const step = steps.get(name);
    steps.delete(name);
    return step ? neededNames(step.value).flatMap(through) : [name];
  };
  return neededNames(node.value).flatMap(through);
}

/** Names that an expression needs in any case, not only under some condition. */
function neededNames(node: AstNode | undefined): string[] {
  if (!node) return [];
  const of = node as AstNode & Record<string, AstNode | undefined> & { operator?: string };
  if (node.$type === 'Reference') return [(of.name as AstNode & { text: string }).text];
  if (node.$type === 'Conditional') return neededNames(of.condition);
  if (node.$type === 'Binary' && ['and', 'or', 'otherwise'].includes(of.operator ?? '')) return neededNames(of.left);
  if (node.$type === 'Access') return neededNames(of.object);
  if (node.$type === 'Call' || node.$type === 'List') return [];
  return childrenOf(node).flatMap(neededNames);
}

/** A choice that goes by a name which already means something else would be read as that. */
function checkOptions(type: TypeNode, scope: Scope, report: Report): void {
  for (const term of type.terms) {
    if (term.$type !== 'ChoiceType') continue;
    for (const option of term.options) {
      if (!scope.find(option.text) && !scope.sizeNamed(option.text) && !reservedWords.has(option.text)) continue;
      tell(report, option, naming.clash.choice(option.text));
    }
  }
}

function checkMember(node: MemberNode, kind: Kind, scope: Scope, report: Report, seen: Set<string>): void {
  if (node.$type === 'Entry' || node.$type === 'Has' || node.$type === 'Check') {
    const own = (node.$type === 'Entry' ? node.first : node.name)?.text ?? '';
    // A check goes by its name only where something is recorded.
    const name = node.$type === 'Check' ? `${node.what} ${own}` : own;
    if (seen.has(name)) tell(report, node, naming.said_twice.inKind(own));
    seen.add(name);
    if (reservedWords.has(name))
      tell(report, (node.$type === 'Entry' ? node.first : node.name) ?? node, naming.clash.word(name));
  }
  if (node.$type === 'Has') return checkHas(node, kind, scope, report);
  if (node.$type === 'Check') return checkCheck(node, kind, scope, report);
  if (node.$type === 'Clause') return checkKindClause(node, kind, scope, report);
  if (node.$type !== 'Entry')
    return node.$type === 'Source' ? undefined : tell(report, node, placing.not_here.kind(statementWord(node)));
  if (!node.type) return tell(report, node, placing.missing_type.inKind(node.first?.text ?? 'NAME'));
  checkOptions(node.type, scope, report);
  const { parameters, result: type } = readSignature(node, scope, report);
  const locals = new Map(parameters.map((parameter) => [parameter.name, parameter.type]));
  expect(node.value, checkSteps(node, { scope, mode: 'kind', kind, locals, report }), type);
  checkTolerance(node, type, { scope, mode: 'kind', kind, locals, report });
  const listedKind = kindOfListedBlocks(type);
  for (const clause of node.body?.members ?? []) {
    if (clause.$type !== 'Clause') continue;
    if (clause.keyword === 'how' || clause.keyword === 'reads')
      checkTelling(clause, { scope, mode: 'kind', kind, report });
    for (const value of clause.values) {
      const name = value.$type === 'Reference' ? value.name.text : '';
      if (clause.keyword === 'deprecated' && !kind.members.has(name))
        tell(report, value, naming.unknown_value.in(kindInWords(kind), name));
      if (clause.keyword === 'sizes' && scope.find(name)?.node.$type !== 'Declaration')
        tell(report, value, naming.unknown_sizes(name));
      if (clause.keyword === 'shown' && listedKind && !listedKind.members.has(name))
        tell(report, value, naming.unknown_value.in(kindInWords(listedKind), name));
      if (clause.keyword === 'shown' && type.is === 'quantity') checkShown(value, type, scope, report);
    }
  }
}

/** A unit that a value is to be shown in is one that it can be told in. */
function checkShown(value: Expression, type: QuantityType, scope: Scope, report: Report): void {
  const text = unitText(value);
  const unit = scope.system.unit(text);
  if (!isUnit(unit)) tell(report, value, naming.unknown_unit.unknown(text));
  else if (unit.dimension !== type.dimension) {
    const of = describeType({ is: 'quantity', dimension: unit.dimension, named: unit.of }, scope.system);
    tell(report, value, typing.wrong_dimension.shown(text, of, describeType(type, scope.system)));
  }
}

function checkHas(node: Has, kind: Kind, scope: Scope, report: Report): void {
  const name = node.kind ?? node.name;
  const child = name && scope.kindNamed(name.text);
  if (name && !child) return tellUnknownKind(report, name, name.text, scope);
  for (const member of node.body?.members ?? []) {
    if (member.$type !== 'Entry' || !member.equals || !child) continue;
    const target = child.members.get(member.first?.text ?? '');
    if (!target) tell(report, member.first, naming.unknown_value.in(kindInWords(child), member.first?.text ?? ''));
    else expect(member.value, { scope, mode: 'kind', kind: child, around: kind, report }, target.type);
  }
}

function checkKindClause(node: Clause, kind: Kind, scope: Scope, report: Report): void {
  if (!belongsIn(node, 'kind')) return tell(report, node, placing.not_here.kind(node.keyword));
  const { contents } = clauses[node.keyword];
  if (contents === 'question') return checkExpectation(node, kind, scope, report);
  if (node.keyword === 'rung' || node.keyword === 'shape') return checkHeaded(node, kind, report);
  if (contents === 'reported') return checkSection(node, kind, scope, report);
  if (contents === 'drawn') return checkSymbol(node, kind, report);
  if (contents === 'values') checkNames(node.values, kind, report);
  if (node.keyword in drawnAs) checkDrawn(node, node.values, kind, report);
  for (const value of node.values) {
    const name = referenceName(value);
    if (node.keyword === 'inside' && name && !scope.kindNamed(name)) tellUnknownKind(report, value, name, scope);
  }
}

/** A condition that is true once it is said, and the question that is asked until then. */
function checkExpectation(node: Clause, kind: Kind, scope: Scope, report: Report): void {
  const [condition, question, ...more] = node.values;
  expect(condition, { scope, mode: 'kind', kind, report }, truthType);
  if (question?.$type !== 'Text' || more.length > 0) tell(report, node, placing.missing_question());
}

/** A heading, and values to report under it: beside curves only what can be drawn with them. */
function checkSection(node: Clause, kind: Kind, scope: Scope, report: Report): void {
  const [heading, ...names] = node.values;
  if (heading?.$type !== 'Text') return tell(report, node, placing.missing_heading());
  const named = names.map((value) => ({ value, member: kind.members.get(referenceName(value) ?? '') }));
  const curve = named.map(({ member }) => curveOf(member?.type)).find((type) => type !== undefined);
  for (const { value, member } of named) {
    if (!member) tell(report, value, naming.unknown_value.in(kindInWords(kind), referenceName(value) ?? 'this'));
    else if (curve && !canBeDrawn(member.type, curve))
      tell(report, value, typing.not_drawn(member.name, describeType(curve, scope.system)));
  }
}

/** All of them are names of the kind's own values. */
function checkNames(values: readonly Expression[], kind: Kind, report: Report): void {
  for (const value of values) {
    const name = referenceName(value);
    if (!name || !kind.members.has(name))
      tell(report, value, naming.unknown_value.in(kindInWords(kind), name ?? 'this'));
  }
}

/** What an SVG path is written with: letters of its commands, and numbers (SVG 2, section 9.3). */
const svgPath = /^M[MmZzLlHhVvCcSsQqTtAa0-9eE+\-.,\s]+$/;

/** A path, perhaps letters, and names of values that stand beside it. */
function checkSymbol(node: Clause, kind: Kind, report: Report): void {
  const [path, ...more] = node.values;
  if (path?.$type !== 'Text' || !svgPath.test(contentOf(path))) tell(report, path ?? node, placing.bad_symbol());
  checkNames(more[0]?.$type === 'Text' ? more.slice(1) : more, kind, report);
}

/** What the first names of a clause about wiring plans have to be: blocks, or what is written out. */
const drawnAs: Partial<Record<Clause['keyword'], readonly ((type: Type) => boolean)[]>> = {
  rung: [isBlocks, isBlocks, ({ is }) => is === 'instance', ({ is }) => is === 'text', ({ is }) => is === 'text'],
  cores: [({ is }) => is === 'choice', ({ is }) => is === 'choice'],
  lead: [(type) => type.is === 'instance' || isBlocks(type)],
  alongside: [(type) => type.is === 'list' && type.of.is === 'text'],
  terminated: [({ is }) => is === 'text', ({ is }) => is === 'text', ({ is }) => is === 'text'],
  shape: [...Array.from({ length: 9 }, () => isLength), isTruth, isTruth, isTruth],
};

/** How many of these have to be named, where not all. */
const neededOf: Partial<Record<string, number>> = { terminated: 1 };

/** All three places, sides and ways of a shape are of one sort, whichever the first is of. */
function isLength({ is }: Type): boolean {
  return is === 'quantity';
}

function isTruth({ is }: Type): boolean {
  return is === 'truth';
}

function isBlocks(type: Type): boolean {
  return type.is === 'list' && type.of.is === 'instance';
}

/** A heading, and values in the order in which a drawing asks for them. */
function checkHeaded(node: Clause, kind: Kind, report: Report): void {
  const [heading, ...names] = node.values;
  if (heading?.$type !== 'Text') return tell(report, node, placing.half_plan[node.keyword as 'rung']());
  checkNames(names, kind, report);
  checkDrawn(node, names, kind, report);
}

function checkDrawn(node: Clause, names: readonly Expression[], kind: Kind, report: Report): void {
  const kinds = drawnAs[node.keyword] ?? [];
  const types = names.map((value) => kind.members.get(referenceName(value) ?? '')?.type);
  // What is not known was reported where it stands.
  const isRight = kinds.every((isOne, i) =>
    i < names.length ? !types[i] || isOne(types[i]) : i >= (neededOf[node.keyword] ?? kinds.length),
  );
  if (!isRight) tell(report, node, placing.half_plan[node.keyword as 'rung']());
}

type Clause = Extract<MemberNode, { $type: 'Clause' }>;
type Curves = Extract<Type, { is: 'curve' }>;

function referenceName(value: Expression): string | undefined {
  return value.$type === 'Reference' ? value.name.text : undefined;
}

/** The type of the curves that a value is or lists. */
function curveOf(type: Type | undefined): Curves | undefined {
  if (type?.is === 'list') return curveOf(type.of);
  return type?.is === 'curve' ? type : undefined;
}

/** Another curve over the same, or a place on one of its axes. */
function canBeDrawn(type: Type, { x, y }: Curves): boolean {
  const other = curveOf(type);
  if (other) return isAlike(other.x, x) && isAlike(other.y, y);
  return isAlike(type, x) || isAlike(type, y);
}

function isAlike(one: Type, other: Type): boolean {
  return one.is === 'quantity' && other.is === 'quantity' && one.dimension === other.dimension;
}
