import type { Body, Clause, Declaration, Rate, Version } from '../grammar/generated/ast.ts';
import { contentOf, docOf, textOf } from '../grammar/syntax.ts';
import { languageVersion } from '../grammar/words.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { spelling } from '../mistakes/spelling.ts';
import { typing } from '../mistakes/typing.ts';
import type { Scope } from '../names/scope.ts';
import { anyType } from '../names/type.ts';
import { clausesOf, isUnit } from '../units/units.ts';
import { partKind } from './bind.ts';
import { checkKind } from './check-kinds.ts';
import { checkRule } from './check-rules.ts';
import { checkWords } from './check-values.ts';
import type { Context } from './context.ts';
import { readSignature, readType } from './declared-types.ts';
import { expect } from './infer.ts';
import { quantityText } from './literal.ts';
import { checkSteps } from './steps.ts';
import { type Report, replace, tell } from './tell.ts';
import { tellUnknownBase } from './unknown.ts';

/** Checks one declaration of a file: its names, types and formulas. */
export function checkDeclaration(node: Declaration, scope: Scope, report: Report, isLibrary: boolean): void {
  if (!isLibrary && (node.what === 'unit' || node.what === 'dimension' || node.what === 'prefix')) {
    tell(report, node, placing.closed_units(node.what));
    return;
  }
  for (const clause of clausesOf(node, 'deprecated')) checkSuccessor(clause, scope, report);
  switch (node.what) {
    case 'kind':
      return checkKind(node, scope, report);
    case 'part':
      return checkPartBase(node, scope, report);
    case 'rule':
      return checkRule(node, scope, report);
    case 'function':
    case 'constant': {
      checkHead(node, report);
      const { parameters, result } = readSignature(node, scope, report);
      const locals = new Map(parameters.map(({ name, type }) => [name, type]));
      expect(node.value, checkSteps(node, { scope, mode: 'kind', kind: undefined, locals, report }), result);
      return;
    }
    case 'sizes': {
      checkHead(node, report);
      const type = readType(node.type, scope, report);
      expect(node.value, { scope, mode: 'kind', kind: undefined, report }, { is: 'list', of: type });
      return;
    }
    case 'table':
      return checkTable(node, scope, report);
    case 'numeric':
      readSignature(node, scope, report);
      return;
    default:
  }
}

/** What takes the place of something that is declared is declared as well. */
function checkSuccessor({ values: [value] }: Clause, scope: Scope, report: Report): void {
  const name = value && textOf(value);
  if (!name || scope.find(name) || scope.kindNamed(name)) return;
  tell(report, value, naming.unknown_name.called(name, ''));
}

/** What is computed once and for all says what it is, and what it comes to. */
function checkHead(node: Declaration, report: Report): void {
  const name = node.name?.text;
  if (!name) return;
  if (!node.type) tell(report, node.name, placing.missing_type.declared(node.what, name));
  else if (!node.value) tell(report, node.name, spelling.missing_value.declared(node.what, name));
}

/** A file's version is one that is known here, and stands above all else. */
export function checkVersion(node: Version, isFirst: boolean, report: Report): void {
  const version = Number(node.number.number);
  const { language_version: says } = naming;
  if (node.number.unit || !Number.isInteger(version) || version < 1)
    tell(report, node.number, says.whole(languageVersion), replace(node.number, String(languageVersion)));
  else if (version > languageVersion) tell(report, node.number, says.later(String(version), languageVersion));
  if (!isFirst) tell(report, node, says.first());
}

/** A rate is between two currencies. */
export function checkRate(node: Rate, scope: Scope, report: Report): void {
  for (const side of [node.from, node.to]) {
    if (side?.$type !== 'Quantity') continue;
    const unit = scope.system.unit(side.unit ?? '');
    if (isUnit(unit) && unit.currency !== undefined) continue;
    tell(report, side, typing.wrong_rate(quantityText(side)));
  }
}

function checkPartBase(node: Declaration, scope: Scope, report: Report): void {
  if (!node.base) {
    tell(report, node.name ?? node, placing.missing_base(node.name?.text ?? 'NAME'));
    return;
  }
  const name = node.name?.text ?? '';
  if (partKind(name, scope)) return;
  if (scope.find(node.base.text)) tell(report, node.base, naming.ring.through(name, node.base.text));
  else tellUnknownBase(report, node.base, scope);
}

function checkTable(node: Declaration, scope: Scope, report: Report): void {
  const keys = node.parameters.map((p) => readType(p.type, scope, report));
  const type = readType(node.type, scope, report);
  const ctx: Context = { scope, mode: 'kind', kind: undefined, report };
  for (const member of node.body?.members ?? []) {
    if (member.$type === 'Clause' && member.keyword === 'interpolation') checkWords(member, report);
    if (member.$type !== 'Row') continue;
    member.keys.forEach((key, i) => expect(key, ctx, keys[i] ?? anyType));
    if (member.keys.length !== keys.length) tell(report, member, placing.wrong_row(keys.length, member.keys.length));
    expect(member.value, ctx, type);
  }
}

/** Is everything the library declares documented and sourced? One line for each lack; used by the tests. */
export function undocumented(node: Declaration): string[] {
  const lacks: string[] = [];
  const name = node.name?.text ?? '';
  const sourced = (body: Body | undefined) =>
    body?.members.some((m) => m.$type === 'Source' && contentOf(m.text).length > 0) ?? false;
  if (!docOf(node)) lacks.push(`${node.what} ${name}: no documentation`);
  if (['rule', 'table', 'numeric', 'function', 'constant', 'sizes'].includes(node.what) && !sourced(node.body))
    lacks.push(`${node.what} ${name}: no source`);
  if (node.what !== 'kind') return lacks;
  for (const member of node.body?.members ?? []) {
    if (member.$type !== 'Entry' || !member.type) continue;
    if (!docOf(member)) lacks.push(`kind ${name}: ${member.first.text} has no documentation`);
    if (member.equals && !sourced(member.body)) lacks.push(`kind ${name}: ${member.first.text} has no source`);
  }
  return lacks;
}
