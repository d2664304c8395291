import type {
  Body,
  Declaration,
  Entry,
  Expression,
  Has,
  Member as MemberNode,
  Name,
  Rate,
  Type as TypeNode,
  TypeTerm,
} from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, contentOf, docOf, rangeOf } from '../grammar/syntax.ts';
import { definitionOf } from '../machine/definition.ts';
import { blockName, type Instance, isBlock, ringOfBases } from '../machine/tree.ts';
import { hasOwnName, type Kind, kindOfRole, type Member } from '../names/kind.ts';
import { declaredName, type Scope } from '../names/scope.ts';
import {
  anyType,
  describeType,
  kindOfRows,
  type QuantityType,
  signatureOf,
  textType,
  truthType,
  typeOf,
} from '../names/type.ts';
import { withArticle } from '../units/display.ts';
import { isUnit, unitText } from '../units/units.ts';
import { partKind } from './bind.ts';
import { type Context, kindHint } from './context.ts';
import { expect, infer } from './infer.ts';
import { literal, quantityText } from './literal.ts';
import { listed, nearest, type Problem, replace, type Severity, sentence } from './problem.ts';

type Report = (problem: Problem) => void;

function tell(
  report: Report,
  node: AstNode,
  code: string,
  message: string,
  severity: Severity = 'error',
  ...fixes: Problem['fixes'][number][]
): void {
  report({ code, severity, message: sentence(message), node, fixes });
}

const words = (kind: Kind) => withArticle(kind.name.replaceAll('_', ' '));

// ---- blocks of machines and parts ----

/** Checks the text of a machine or a part against the kinds of its blocks: only what was written there, not what it inherits. */
export function checkInstance(instance: Instance, own: AstNode, report: Report): void {
  checkRoot(instance, own, report);
  for (const layer of instance.layers) {
    if (layer.inherited && !within(layer.node, own)) continue;
    if (!layer.body) continue;
    const ctx: Context = { scope: layer.scope, mode: 'block', kind: instance.kind, instance, report };
    const seen = new Set<string>();
    for (const member of layer.body.members) checkStatement(member, instance, ctx, seen);
  }
  if (!(instance.node.$type === 'Declaration' && instance.node.what === 'part')) noteMissing(instance, report);
  for (const child of instance.children.values()) if (isWritten(child, own)) checkInstance(child, own, report);
}

/** What a machine starts from: another of its kind, and not itself, through others or not. */
function checkRoot(instance: Instance, own: AstNode, report: Report): void {
  const [layer] = instance.layers;
  if (layer?.node !== own || layer.node.$type !== 'Entry') return;
  const ring = ringOfBases(layer.node, layer.scope);
  if (ring) tell(report, layer.node.base ?? own, 'ring', `${ring[0]} starts from itself: ${ring.join(' → ')}.`);
  else if (layer.node.base?.$type === 'Name')
    checkBase(layer.node, layer.node.base, instance, {
      scope: layer.scope,
      mode: 'block',
      kind: instance.kind,
      report,
    });
}

function isWritten(instance: Instance, own: AstNode): boolean {
  return instance.layers.some((layer) => !layer.inherited || within(layer.node, own));
}

function within(node: AstNode, own: AstNode): boolean {
  for (let at: AstNode | undefined = node; at; at = at.$container) if (at === own) return true;
  return false;
}

function checkStatement(node: MemberNode, instance: Instance, ctx: Context, seen: Set<string>): void {
  const { report } = ctx;
  switch (node.$type) {
    case 'Entry':
      checkName(node, instance, seen, report);
      if (isBlock(node)) checkBlock(node, instance, ctx);
      else if (node.type)
        tell(
          report,
          node.first,
          'type_in_block',
          `In a block, ${node.first?.text} is given a value with =; its type is declared by the kind.`,
        );
      else if (node.first) checkValue(node, instance, ctx);
      return;
    case 'Requirement':
      expect(node.condition, ctx, truthType);
      return;
    case 'Acceptance':
      if (node.rule) checkRuleName(node.rule, ctx);
      if (node.value) infer(node.value, ctx);
      return;
    case 'Measurement':
      expect(node.value, ctx, infer(node.target, ctx));
      return;
    case 'Source':
      return;
    case 'Removal':
      if (node.name && !instance.layers.some((l) => l.inherited && has(l.body, node.name.text))) {
        tell(
          report,
          node.name,
          'nothing_removed',
          `Nothing called ${node.name.text} comes from what this starts from, so nothing is removed.`,
          'warning',
        );
      }
      return;
    default:
      tell(report, node, 'not_here', `${statementWord(node)} belongs in a kind or a rule, not in a block.`);
  }
}

function checkRuleName(rule: Name, { scope, report }: Context): void {
  const names = scope.rules().map(({ node }) => node.name?.text ?? '');
  if (names.includes(rule.text)) return;
  const near = nearest(rule.text, names);
  tell(
    report,
    rule,
    'unknown_rule',
    `There is no rule called ${rule.text}.${near ? ` Did you mean ${near}?` : ''}`,
    'error',
    ...(near ? [replace(rule, near, `Write ${near}`)] : []),
  );
}

function statementWord(node: MemberNode): string {
  return node.$type === 'Clause' ? node.keyword : node.$type.toLowerCase();
}

function has(body: Body | undefined, name: string): boolean {
  return body?.members.some((m) => m.$type === 'Entry' && isBlock(m) && blockName(m) === name) ?? false;
}

function checkName(node: Entry, instance: Instance, seen: Set<string>, report: Report): void {
  const name = isBlock(node) ? instance.nameFor(node) : (node.first?.text ?? '');
  if (!name || instance.unclear.has(node)) return;
  if (seen.has(name))
    tell(report, node.name ?? node.first, 'said_twice', `${name} is already said in this block; the first one counts.`);
  seen.add(name);
}

function checkBlock(node: Entry, instance: Instance, ctx: Context): void {
  const { report } = ctx;
  const name = instance.nameFor(node);
  const child = instance.blockOf(node);
  const kindName = node.first?.text ?? '';
  const member = instance.member(kindName);
  const several = instance.unclear.get(node);
  if (several) {
    const meant = several.map((one) => `${kindName} ${one}`);
    tell(
      report,
      node.first,
      'several_meant',
      `Which ${kindName} is meant is not said: there are ${listed(several)} already. Write ${meant.slice(0, 8).join(' or ')}, or give this one a name of its own.`,
      'error',
      ...meant.map((text) => replace(node.first, text, `Write ${text}`)),
    );
    return;
  }
  if (!child) {
    if (instance.endless.has(name)) {
      const base = node.base?.$type === 'Name' ? node.base.text : kindName;
      tell(report, node.base ?? node.first, 'ring', `This never ends: ${base} contains itself here.`);
    } else if (member && member.role !== 'child' && (!node.body || node.base)) {
      tell(report, node.base ?? node.first, 'missing_equals', `${kindName} is a value: expected = and what it is.`);
    } else
      tell(
        report,
        node.first,
        'unknown_kind',
        `There is no kind called ${kindName}.${kindHint(kindName, ctx.scope)}`,
        'error',
        ...kindFix(node, ctx),
      );
    return;
  }
  if (child.fills) checkSingle(child, child.fills, instance, ctx);
  else if (!instance.kind.accepts(child.kind)) {
    const places = child.kind.inside;
    const hint = places.length
      ? ` It stands in ${listed(places.map((p) => withArticle(p.replaceAll('_', ' '))))}.`
      : '';
    tell(
      report,
      node.name ?? node.first,
      'wrong_place',
      `${words(child.kind)} cannot stand in ${words(instance.kind)}.${hint}`,
    );
  }
  if (node.base?.$type === 'Name') checkBase(node, node.base, child, ctx);
  if (node.count && !/^[1-9]\d*$/.test(node.count.number))
    tell(report, node.count, 'wrong_count', 'How many there are is a whole number, such as * 2.');
  checkWrittenKind(node, child, instance, ctx);
}

/** The kind that is written before a block: what the block is, or what that descends from. */
function checkWrittenKind(node: Entry, child: Instance, instance: Instance, ctx: Context): void {
  const kindName = node.first?.text ?? '';
  const written = ctx.scope.kindNamed(kindName);
  const { report } = ctx;
  // Without a kind of its own a block goes by its name: that of a role, or of what is there already.
  const isName = !node.name && kindName === child.name;
  if (!written) {
    if (!isName || !(instance.member(kindName) || isThereAlready(node, child)))
      tell(
        report,
        node.first,
        'unknown_kind',
        `There is no kind called ${kindName}.${kindHint(kindName, ctx.scope)}`,
        'error',
        ...kindFix(node, ctx),
      );
    return;
  }
  const role = instance.member(child.name);
  const always = role?.occurs === 'always' && node.name ? kindOfRole(role) : undefined;
  const due = always && !child.kind.isA(always) ? always : child.kind;
  if (isName || due.isA(written)) return;
  const base = node.base?.$type === 'Name' ? partKind(node.base.text, ctx.scope) : undefined;
  // Of a part that is none of its kind it is told where the part is named.
  if (base && !base.isA(written)) return;
  const narrower = written.isA(due);
  tell(
    report,
    node.first,
    'other_kind',
    `${child.name} is ${words(due)}, and ${narrower ? `not every ${due.name.replaceAll('_', ' ')} is ${words(written)}` : `${words(written)} is something else`}. To say more of it, write ${due.name} ${child.name}; what it starts from is changed with is, as in ${due.name} ${child.name} is PART.`,
    'error',
    replace(node.first, node.name ? due.name : `${due.name} ${child.name}`, `Write ${due.name}`),
  );
}

/** A role for one block that two fill: which of them is meant is not said. Told at the last of them that is written here. */
function checkSingle(child: Instance, role: Member, instance: Instance, { report }: Context): void {
  const all = instance.filling(role);
  if (role.occurs === 'many' || all.length < 2) return;
  const entryOf = (block: Instance) => block.layers.find((layer) => !layer.inherited)?.node;
  const [node, last] = [entryOf(child), all.findLast(entryOf)];
  if (last !== child || node?.$type !== 'Entry') return;
  const others = all.filter((block) => block !== child);
  const more = others.filter((block) => !entryOf(block)).map((block) => `${block.kind.name} ${block.name}`);
  const hint = more.length
    ? `To say more of what is there already, write ${listed(more)}; to put this in its place, remove that first.`
    : 'Take one of them away.';
  const kind = (kindOfRole(role) ?? child.kind).name.replaceAll('_', ' ');
  tell(
    report,
    node.name ?? node.first,
    'two_in_one_role',
    `${words(instance.kind)} has one ${kind}, and here ${listed([...others, child].map((block) => block.name))} are each one. ${hint}`,
  );
}

function kindFix(node: Entry, ctx: Context) {
  const near = nearest(
    node.first?.text ?? '',
    ctx.scope.kinds().map((k) => k.name),
  );
  return near ? [replace(node.first, near, `Write ${near}`)] : [];
}

function checkBase(node: Entry, base: AstNode & { text: string }, block: Instance, ctx: Context): void {
  const { scope, report } = ctx;
  const kind = partKind(base.text, scope);
  if (!kind) {
    const near = nearest(
      base.text,
      scope.parts().map((p) => declaredName(p.node) ?? ''),
    );
    tell(
      report,
      base,
      'unknown_part',
      `There is no part called ${base.text}.${near ? ` Did you mean ${near}?` : ' Declare it, or use the file that does.'}`,
      'error',
      ...(near ? [replace(base, near, `Write ${near}`)] : []),
    );
    return;
  }
  const written = node.name ? scope.kindNamed(node.first.text) : undefined;
  const due = written && !kind.isA(written) && !written.isA(kind) ? written : block.kind;
  if (!due.isA(kind) && !kind.isA(due)) {
    tell(report, base, 'wrong_part', `${base.text} is ${words(kind)}; expected ${words(due)}.`);
  } else if (!scope.find(base.text) && !isThereAlready(node, block)) {
    const text = `${base.text} ${block.name}`;
    const fix = { title: `Write ${text}`, range: () => ({ ...rangeOf(base), start: rangeOf(node.first).start }), text };
    tell(
      report,
      base,
      'kind_after_is',
      `${base.text} is a kind, and stands before the name: ${text}. Behind is stands a part, or what changes the kind of a block that is there already.`,
      'error',
      ...(node.count ? [] : [fix]),
    );
  }
}

/** Does another text already speak of a block, so that this one says more of it? */
function isThereAlready(node: Entry, block: Instance): boolean {
  return block.layers.some((layer) => layer.node !== node && layer.node.$type === 'Entry');
}

function checkValue(node: Entry, instance: Instance, ctx: Context): void {
  const name = node.first.text;
  const member = instance.member(name);
  const { report } = ctx;
  if (!member) {
    const near = nearest(name, instance.kind.members.keys());
    const fixes = near ? [replace(node.first, near, `Write ${near}`)] : [];
    const given = [...instance.kind.members.values()]
      .filter((m) => m.role !== 'derived' && m.role !== 'child')
      .map((m) => m.name);
    tell(
      report,
      node.first,
      'unknown_value',
      `${words(instance.kind)} has no value called ${name}.${near ? ` Did you mean ${near}?` : ` It can be given ${listed(given)}.`}`,
      'error',
      ...fixes,
    );
    infer(node.value, ctx);
    return;
  }
  if (member.role === 'derived') {
    tell(
      report,
      node.first,
      'computed_value',
      `${name} is computed. To set what was measured beside it, write: measured ${name} = … on DATE in place.`,
    );
    return;
  }
  if (member.role === 'child') {
    tell(report, node.first, 'block_expected', `${name} is a block: write ${name} { … } or ${name} is PART.`);
    return;
  }
  let fits = true;
  const told = (problem: Problem) => {
    fits &&= problem.severity !== 'error';
    report(problem);
  };
  expect(node.value, { ...ctx, report: told }, member.type);
  // Of what is no such quantity, its size says nothing.
  if (!fits) return;
  checkWithin(node, member, ctx);
  checkWhole(node.value, member, ctx);
}

function checkWithin(node: Entry, member: Member, ctx: Context): void {
  const clause = (member.node.body?.members ?? []).find((m) => m.$type === 'Clause' && m.keyword === 'within');
  const range = clause?.$type === 'Clause' ? clause.values[0] : undefined;
  if (range?.$type !== 'Binary' || range.operator !== '..') return;
  const [low, high] = [literal(range.left, ctx), literal(range.right, ctx)];
  if (low === undefined || high === undefined) return;
  for (const end of ends(node.value)) {
    const value = literal(end, ctx);
    if (value === undefined || (value >= low && value <= high)) continue;
    tell(
      ctx.report,
      end,
      'out_of_range',
      `${member.name} is meant to be between ${quantityText(range.left)} and ${quantityText(range.right)}.`,
    );
  }
}

/** Both ends of a range; of anything else, itself. */
function ends(value: Expression | undefined): Expression[] {
  if (value?.$type === 'Group') return ends(value.inner);
  if (value?.$type === 'Binary' && value.operator === '..') return [...ends(value.left), ...ends(value.right)];
  return value ? [value] : [];
}

/** A bare number that is never told in parts, as a ratio is in percent. */
function isCount({ named }: QuantityType): boolean {
  return named !== undefined && named.shown.length > 0 && named.shown.every((unit) => unit === '1');
}

/** Teeth, motors and fuses come whole. */
function checkWhole(value: Expression | undefined, { name, type }: Member, ctx: Context): void {
  if (type.is !== 'quantity' || !isCount(type)) return;
  for (const end of ends(value)) {
    const number = literal(end, ctx);
    if (number === undefined || Number.isInteger(number)) continue;
    tell(ctx.report, end, 'not_whole', `${name} is a count, and ${quantityText(end)} is no whole number.`, 'warning');
  }
}

/** A note on what a block still needs, where it would be given. */
function noteMissing(instance: Instance, report: Report): void {
  const entry = instance.layers.find((l) => !l.inherited)?.node;
  // What an open part would give is not missing: the choice is.
  if (entry?.$type !== 'Entry' || entry.base?.$type === 'Open') return;
  if (entry.base && !partKind(entry.base.text, instance.layers[0]?.scope ?? instance.kind.scope)) return;
  const missing = [...instance.kind.members.values()]
    .filter((member) => isMissing(member, instance))
    .map((m) => m.name);
  if (missing.length === 0) return;
  const message = `Not given yet: ${listed(missing)}. What depends on ${missing.length > 1 ? 'them' : 'it'} is not known.`;
  tell(report, entry.name ?? entry.first, 'not_given', message, 'note');
}

function isMissing(member: Member, instance: Instance): boolean {
  // A half-written statement has its own problem.
  const begun = instance.layers.some((l) =>
    l.body?.members.some((m) => m.$type === 'Entry' && m.first?.text === member.name),
  );
  if (begun) return false;
  if (member.role === 'needed') return definitionOf(instance, member).origin === 'missing';
  return (
    member.role === 'child' &&
    member.occurs === 'once' &&
    instance.filling(member).length === 0 &&
    !instance.broken.has(member.name)
  );
}

// ---- declarations ----

/** Checks one declaration of a file: its names, types and formulas. */
export function checkDeclaration(node: Declaration, scope: Scope, report: Report, isLibrary: boolean): void {
  if (!isLibrary && (node.what === 'unit' || node.what === 'dimension' || node.what === 'prefix')) {
    tell(
      report,
      node,
      'closed_units',
      `Units and dimensions are the library's: a ${node.what} cannot be declared here.`,
    );
    return;
  }
  switch (node.what) {
    case 'kind':
      return checkKind(node, scope, report);
    case 'part':
      return checkPartBase(node, scope, report);
    case 'rule':
      return checkRule(node, scope, report);
    case 'function':
    case 'constant': {
      const { parameters, result } = readSignature(node, scope, report);
      const locals = new Map(parameters.map(({ name, type }) => [name, type]));
      expect(node.value, { scope, mode: 'kind', kind: undefined, locals, report }, result);
      return;
    }
    case 'sizes': {
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

function readType(node: TypeNode | undefined, scope: Scope, report: Report) {
  return typeOf(node, scope, unknownType(scope, report));
}

function readSignature(node: Parameters<typeof signatureOf>[0], scope: Scope, report: Report) {
  return signatureOf(node, scope, unknownType(scope, report));
}

function unknownType(scope: Scope, report: Report) {
  return (term: TypeTerm) => {
    const name = term.$type === 'NamedType' ? (term.name?.text ?? '') : '';
    const near = nearest(name, [
      ...scope.system.dimensions.keys(),
      ...scope.kinds().map((k) => k.name),
      'Text',
      'YesNo',
      'Date',
    ]);
    const fixes = near ? [replace(term, near, `Write ${near}`)] : [];
    tell(
      report,
      term,
      'unknown_type',
      `${name} is neither a quantity nor a kind.${near ? ` Did you mean ${near}?` : ''}`,
      'error',
      ...fixes,
    );
  };
}

function checkKind(node: Declaration, scope: Scope, report: Report): void {
  const kind = scope.kindNamed(node.name?.text ?? '');
  if (!kind || kind.node !== node) return;
  if (node.base && !kind.base) {
    const ring = scope.kindNamed(node.base.text);
    tell(
      report,
      node.base,
      ring ? 'ring' : 'unknown_kind',
      ring
        ? `${kind.name} starts from itself: ${kind.name} → ${node.base.text} → … → ${kind.name}.`
        : `There is no kind called ${node.base.text}.${kindHint(node.base.text, scope)}`,
    );
  }
  const seen = new Set<string>();
  for (const member of node.body?.members ?? []) checkMember(member, kind, scope, report, seen);
  checkRoles(kind, report);
  const ring = formulaRing(kind);
  if (ring) tell(report, ring.node, 'ring', `These formulas lead back to themselves: ${ring.names.join(' → ')}.`);
}

/** Two roles for one block each that go by kind: what could fill either makes neither's meaning plain. */
function checkRoles(kind: Kind, report: Report): void {
  const byKind = kind.roles.filter((role) => role.occurs !== 'many' && !hasOwnName(role));
  for (const role of byKind) {
    const wider = byKind.find((other) => other !== role && kindOfRole(role)?.isA(kindOfRole(other)));
    if (!wider || (role.owner !== kind && wider.owner !== kind)) continue;
    const { node } = role.owner === kind ? role : wider;
    tell(
      report,
      (node.$type === 'Has' ? node.name : node.first) ?? node,
      'roles_overlap',
      `${words(kind)} has the roles ${role.name} and ${wider.name}, and a block of kind ${role.name} could fill either: give one of them a name of its own, as in has NAME: ${wider.name}.`,
    );
  }
}

/** Values of a kind whose formulas need each other in a ring, whatever is given. */
function formulaRing(kind: Kind): { node: AstNode; names: string[] } | undefined {
  const done = new Set<string>();
  const walk = (name: string, path: string[]): string[] | undefined => {
    if (path.includes(name)) return [...path.slice(path.indexOf(name)), name];
    const member = kind.members.get(name);
    if (done.has(name) || member?.node.$type !== 'Entry' || member.role !== 'derived') return undefined;
    for (const next of neededNames(member.node.value)) {
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
      if (!scope.find(option.text) && !scope.sizeNamed(option.text)) continue;
      tell(report, option, 'clash', `${option.text} already means something else here: give this choice another name.`);
    }
  }
}

function checkMember(node: MemberNode, kind: Kind, scope: Scope, report: Report, seen: Set<string>): void {
  if (node.$type === 'Entry' || node.$type === 'Has') {
    const name = (node.$type === 'Has' ? node.name : node.first)?.text ?? '';
    if (seen.has(name))
      tell(report, node, 'said_twice', `${name} is already declared in this kind; the first one counts.`);
    seen.add(name);
  }
  if (node.$type === 'Has') return checkHas(node, kind, scope, report);
  if (node.$type === 'Clause') return checkKindClause(node, kind, scope, report);
  if (node.$type !== 'Entry')
    return node.$type === 'Source'
      ? undefined
      : tell(report, node, 'not_here', `${statementWord(node)} does not belong in a kind.`);
  if (!node.type)
    return tell(
      report,
      node,
      'missing_type',
      `A kind declares what ${node.first?.text} is: write its type after a colon, such as ${node.first?.text}: Power.`,
    );
  checkOptions(node.type, scope, report);
  const { parameters, result: type } = readSignature(node, scope, report);
  const locals = new Map(parameters.map((parameter) => [parameter.name, parameter.type]));
  expect(node.value, { scope, mode: 'kind', kind, locals, report }, type);
  const rows = kindOfRows(type);
  for (const clause of node.body?.members ?? []) {
    if (clause.$type !== 'Clause') continue;
    for (const value of clause.values) {
      const name = value.$type === 'Reference' ? value.name.text : '';
      if (clause.keyword === 'sizes' && scope.find(name)?.node.$type !== 'Declaration')
        tell(report, value, 'unknown_sizes', `There are no sizes called ${name}.`);
      if (clause.keyword === 'shown' && rows && !rows.members.has(name))
        tell(report, value, 'unknown_value', `${words(rows)} has no value called ${name}.`);
      if (clause.keyword === 'shown' && type.is === 'quantity') checkShown(value, type, scope, report);
    }
  }
}

/** A unit that a value is to be shown in is one that it can be told in. */
function checkShown(value: Expression, type: QuantityType, scope: Scope, report: Report): void {
  const text = unitText(value);
  const unit = scope.system.unit(text);
  if (!isUnit(unit)) tell(report, value, 'unknown_unit', `${text} is not a unit Gusset knows.`);
  else if (unit.dimension !== type.dimension)
    tell(
      report,
      value,
      'wrong_dimension',
      `${text} is a unit of ${describeType({ is: 'quantity', dimension: unit.dimension, named: unit.of }, scope.system)}, and what is shown in it is ${describeType(type, scope.system)}.`,
    );
}

/** A rate is between two currencies. */
export function checkRate(node: Rate, scope: Scope, report: Report): void {
  for (const side of [node.from, node.to]) {
    if (side?.$type !== 'Quantity') continue;
    const unit = scope.system.unit(side.unit ?? '');
    if (isUnit(unit) && unit.currency !== undefined) continue;
    tell(
      report,
      side,
      'wrong_rate',
      `A rate is between two currencies, and ${quantityText(side)} is none: rate 1 EUR = 1.08 USD on 2026-03-02.`,
    );
  }
}

function checkHas(node: Has, kind: Kind, scope: Scope, report: Report): void {
  const name = node.kind ?? node.name;
  const child = name && scope.kindNamed(name.text);
  if (name && !child)
    return tell(report, name, 'unknown_kind', `There is no kind called ${name.text}.${kindHint(name.text, scope)}`);
  for (const member of node.body?.members ?? []) {
    if (member.$type !== 'Entry' || !member.equals || !child) continue;
    const target = child.members.get(member.first?.text ?? '');
    if (!target)
      tell(report, member.first, 'unknown_value', `${words(child)} has no value called ${member.first?.text}.`);
    else expect(member.value, { scope, mode: 'kind', kind: child, around: kind, report }, target.type);
  }
}

const clausesOfKinds: ReadonlySet<string> = new Set(['headline', 'inside', 'order', 'symbol', 'toplevel']);

function checkKindClause(
  node: Extract<MemberNode, { $type: 'Clause' }>,
  kind: Kind,
  scope: Scope,
  report: Report,
): void {
  if (!clausesOfKinds.has(node.keyword))
    return tell(report, node, 'not_here', `${node.keyword} does not belong in a kind.`);
  for (const value of node.values) {
    const name = value.$type === 'Reference' ? value.name.text : undefined;
    if ((node.keyword === 'headline' || node.keyword === 'order') && (!name || !kind.members.has(name))) {
      tell(report, value, 'unknown_value', `${words(kind)} has no value called ${name ?? 'this'}.`);
    }
    if (node.keyword === 'inside' && name && !scope.kindNamed(name))
      tell(report, value, 'unknown_kind', `There is no kind called ${name}.${kindHint(name, scope)}`);
  }
}

function checkPartBase(node: Declaration, scope: Scope, report: Report): void {
  if (!node.base) {
    tell(
      report,
      node.name ?? node,
      'missing_base',
      `A part says what it starts from: part ${node.name?.text ?? 'NAME'} is KIND { … }.`,
    );
    return;
  }
  if (partKind(node.name?.text ?? '', scope)) return;
  const ring = scope.find(node.base.text);
  const near = nearest(node.base.text, [
    ...scope.kinds().map((k) => k.name),
    ...scope.parts().map((p) => declaredName(p.node) ?? ''),
  ]);
  tell(
    report,
    node.base,
    ring ? 'ring' : 'unknown_part',
    ring
      ? `${node.name?.text} starts from itself, through ${node.base.text}.`
      : `There is no kind or part called ${node.base.text}.${near ? ` Did you mean ${near}?` : ''}`,
    'error',
    ...(near ? [replace(node.base, near, `Write ${near}`)] : []),
  );
}

function checkRule(node: Declaration, scope: Scope, report: Report): void {
  const kind = node.on && scope.kindNamed(node.on.text);
  if (!node.on)
    return tell(report, node.name ?? node, 'missing_kind', 'A rule says what it is about: rule NAME on KIND { … }.');
  if (!kind)
    return tell(
      report,
      node.on,
      'unknown_kind',
      `There is no kind called ${node.on.text}.${kindHint(node.on.text, scope)}`,
    );
  const ctx: Context = { scope, mode: 'kind', kind, report };
  const members = node.body?.members ?? [];
  for (const member of members) checkRuleClause(member, kind, ctx);
  if (!members.some((m) => m.$type === 'Clause' && m.keyword === 'holds'))
    tell(report, node.name ?? node, 'missing_holds', 'A rule says what must be so: holds current <= capacity.');
  if (!members.some((m) => m.$type === 'Message'))
    tell(report, node.name ?? node, 'missing_message', 'A rule has a message: error, warning or advice, and a text.');
}

function checkRuleClause(node: MemberNode, kind: Kind, ctx: Context): void {
  if (node.$type === 'Message' || (node.$type === 'Remedy' && node.text)) infer(node.text, ctx);
  else if (node.$type === 'Remedy' && node.target) {
    const member = kind.members.get(node.target.text);
    if (!member)
      tell(ctx.report, node.target, 'unknown_value', `${words(kind)} has no value called ${node.target.text}.`);
    else if (node.value) expect(node.value, ctx, member.type);
  } else if (node.$type === 'Follows') {
    if (node.rule) checkRuleName(node.rule, ctx);
    infer(node.of, ctx);
  } else if (node.$type === 'Clause') {
    if (node.keyword === 'when' || node.keyword === 'holds')
      for (const value of node.values) expect(value, ctx, truthType);
    else if (node.keyword === 'at') for (const value of node.values) infer(value, ctx);
    else if (node.keyword === 'caution' || node.keyword === 'assumes')
      for (const value of node.values) expect(value, ctx, textType);
    else tell(ctx.report, node, 'not_here', `${node.keyword} does not belong in a rule.`);
  } else if (node.$type !== 'Source')
    tell(ctx.report, node, 'not_here', `${statementWord(node)} does not belong in a rule.`);
}

function checkTable(node: Declaration, scope: Scope, report: Report): void {
  const keys = node.parameters.map((p) => readType(p.type, scope, report));
  const type = readType(node.type, scope, report);
  const ctx: Context = { scope, mode: 'kind', kind: undefined, report };
  for (const member of node.body?.members ?? []) {
    if (member.$type !== 'Row') continue;
    member.keys.forEach((key, i) => expect(key, ctx, keys[i] ?? anyType));
    if (member.keys.length !== keys.length)
      tell(
        report,
        member,
        'wrong_row',
        `This table is looked up by ${keys.length}; the row has ${member.keys.length}.`,
      );
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
