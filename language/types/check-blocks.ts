import type { Body, Entry, Member as MemberNode, Name } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { isWithin, rangeOf } from '../grammar/syntax.ts';
import { belongsIn, type Holder, reservedWords } from '../grammar/words.ts';
import { definitionOf } from '../machine/definition.ts';
import { statementsOf } from '../machine/statements.ts';
import { blockName, type Instance, isBlock, ringOfBases } from '../machine/tree.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { nearest } from '../mistakes/sentence.ts';
import { spelling } from '../mistakes/spelling.ts';
import { kindOfRole, type Member } from '../names/kind.ts';
import { truthType } from '../names/type.ts';
import { withArticle } from '../units/display.ts';
import { partKind } from './bind.ts';
import { checkChecked, checkNoted } from './check-records.ts';
import { checkValue } from './check-values.ts';
import type { Context } from './context.ts';
import { expect, infer } from './infer.ts';
import { kindInWords, type Report, replace, replaceWithNearest, statementWord, tell } from './tell.ts';
import { checkRuleName, tellUnknownKind, tellUnknownPart } from './unknown.ts';

/** Checks the text of a machine or a part against the kinds of its blocks: only what was written there, not what it inherits. */
export function checkInstance(
  instance: Instance,
  own: AstNode,
  report: Report,
  recorded: Set<string> = new Set(),
): void {
  checkRoot(instance, own, report);
  for (const layer of instance.layers) {
    if (layer.inherited && !isWithin(layer.node, own)) continue;
    if (!layer.body) continue;
    const ctx: Context = { scope: layer.scope, mode: 'block', kind: instance.kind, instance, report };
    const seen = new Set<string>();
    for (const member of layer.body.members) checkStatement(member, instance, ctx, seen, recorded);
  }
  if (!(instance.node.$type === 'Declaration' && instance.node.what === 'part')) noteMissing(instance, report);
  for (const child of instance.children.values())
    if (isWritten(child, own)) checkInstance(child, own, report, recorded);
}

/** What a machine starts from: another of its kind, and not itself, through others or not. */
function checkRoot(instance: Instance, own: AstNode, report: Report): void {
  const [layer] = instance.layers;
  if (layer?.node !== own || layer.node.$type !== 'Entry') return;
  const ring = ringOfBases(layer.node, layer.scope);
  if (ring) tell(report, layer.node.base ?? own, naming.ring.starts(ring[0] ?? '', ring.join(' → ')));
  else if (layer.node.base?.$type === 'Name')
    checkBase(layer.node, layer.node.base, instance, {
      scope: layer.scope,
      mode: 'block',
      kind: instance.kind,
      report,
    });
}

function isWritten(instance: Instance, own: AstNode): boolean {
  return instance.layers.some((layer) => !layer.inherited || isWithin(layer.node, own));
}

/** Checks again what one statement gives, wherever its text says something of a block. */
export function checkGiven(node: Entry, tree: Instance, own: AstNode, report: Report): void {
  for (const instance of tree.all()) {
    for (const { body, scope, inherited, node: text } of instance.layers) {
      if (body !== node.$container || (inherited && !isWithin(text, own))) continue;
      checkValue(node, instance, { scope, mode: 'block', kind: instance.kind, instance, report });
    }
  }
}

function checkStatement(
  node: MemberNode,
  instance: Instance,
  ctx: Context,
  seen: Set<string>,
  recorded: Set<string>,
): void {
  const { report } = ctx;
  switch (node.$type) {
    case 'Entry':
      checkName(node, instance, seen, report);
      if (isBlock(node)) checkBlock(node, instance, ctx);
      else if (node.type) tell(report, node.first, placing.type_in_block(node.first?.text ?? ''));
      else if (node.first) checkValue(node, instance, ctx);
      return;
    case 'Requirement':
      expect(node.condition, ctx, truthType);
      return;
    case 'Acceptance':
      if (node.rule) checkRuleName(node.rule, ctx.scope, report);
      if (node.value) infer(node.value, ctx);
      return;
    case 'Measurement':
      checkNoted(node, ctx, recorded);
      return;
    case 'Checked':
    case 'Setting':
      // A part is built into any number of machines, and none of them in particular.
      if (instance.root.node.$type === 'Declaration')
        tell(report, node, placing.not_here.part(node.$type === 'Checked' ? 'checked' : 'set'));
      else if (node.$type === 'Checked') checkChecked(node, ctx, recorded);
      else checkNoted(node, ctx, recorded);
      return;
    case 'Source':
      return;
    case 'Clause':
      if (instance.node.body === node.$container && belongsIn(node, statedIn(instance))) return;
      return tell(report, node, placing.not_here.block(statementWord(node)));
    case 'Absence':
      if (node.name) checkAbsence(node.name, instance, ctx);
      return;
    default:
      tell(report, node, placing.not_here.block(statementWord(node)));
  }
}

/** What the block of a text is: a part as it is declared, or any block. */
function statedIn({ node }: Instance): Holder {
  return node.$type === 'Declaration' ? node.what : 'block';
}

/** What is said to be not there is something that could be: a block of the base, or what the kind may be without. */
function checkAbsence(node: Name, instance: Instance, { scope, report }: Context): void {
  const { kind } = instance;
  const name = node.text;
  if (instance.layers.some((l) => l.inherited && has(l.body, name))) return;
  const member = instance.member(name);
  const own = scope.kindNamed(name);
  if (member && kind.mayLack(member)) {
    if (
      member.role !== 'child' &&
      instance.layers.some(
        (l) => l.body === node.$container?.$container && statementsOf(l.body).values.get(name)?.given,
      )
    )
      tell(report, node, naming.said_twice.absent(name));
    return;
  }
  if (!member && own && kind.accepts(own)) return;
  if (!member) {
    const near = nearest(
      name,
      [...kind.members.values()].filter((each) => kind.mayLack(each)).map((each) => each.name),
    );
    tell(report, node, placing.unknown_absence(kindInWords(kind), name, near), ...replaceWithNearest(node, near));
    return;
  }
  const why =
    member.role === 'derived' ? 'is computed' : member.role === 'default' ? 'has a value in any case' : 'is needed';
  tell(report, node, placing.never_absent(name, why));
}

function has(body: Body | undefined, name: string): boolean {
  return body?.members.some((m) => m.$type === 'Entry' && isBlock(m) && blockName(m) === name) ?? false;
}

function checkName(node: Entry, instance: Instance, seen: Set<string>, report: Report): void {
  const name = isBlock(node) ? instance.nameFor(node) : (node.first?.text ?? '');
  if (!name || instance.unclear.has(node)) return;
  if (seen.has(name)) tell(report, node.name ?? node.first, naming.said_twice.inBlock(name));
  seen.add(name);
  if (isBlock(node) && reservedWords.has(name)) tell(report, node.name ?? node.first, naming.clash.word(name));
}

function checkBlock(node: Entry, instance: Instance, ctx: Context): void {
  const { report } = ctx;
  const name = instance.nameFor(node);
  const child = instance.blockOf(node);
  const kindName = node.first?.text ?? '';
  const member = instance.member(kindName);
  const several = instance.unclear.get(node);
  if (several) {
    const fixes = several.map((one) => replace(node.first, `${kindName} ${one}`));
    tell(report, node.first, placing.several_meant(kindName, several), ...fixes);
    return;
  }
  if (!child) {
    if (instance.endless.has(name)) {
      const base = node.base?.$type === 'Name' ? node.base.text : kindName;
      tell(report, node.base ?? node.first, naming.ring.contains(base));
    } else if (member && member.role !== 'child' && (!node.body || node.base)) {
      tell(report, node.base ?? node.first, spelling.missing_equals.isValue(kindName));
    } else tellUnknownKind(report, node.first, kindName, ctx.scope);
    return;
  }
  if (child.fills) checkSingle(child, child.fills, instance, ctx);
  else if (!instance.kind.accepts(child.kind)) {
    const places = child.kind.inside.map((place) => withArticle(place.replaceAll('_', ' ')));
    tell(
      report,
      node.name ?? node.first,
      placing.wrong_place.in(kindInWords(child.kind), kindInWords(instance.kind), places),
    );
  }
  for (const name of basesOf(node.base, ctx)) checkBase(node, name, child, ctx);
  checkCount(node, report);
  checkWrittenKind(node, child, instance, ctx);
}

/** How many there are is a bare whole number: a name behind it reads as its unit, and would be lost. */
function checkCount({ first, name, count }: Entry, report: Report): void {
  if (!count) return;
  const { number, unit } = count;
  if (!/^[1-9]\d*$/.test(number)) return tell(report, count, placing.wrong_count.whole());
  if (!unit) return;
  const text = `${first.text} ${name?.text ?? unit} * ${number}`;
  const range = () => ({ ...rangeOf(count), start: rangeOf(first).start });
  tell(report, count, placing.wrong_count.name(unit, text), { title: `Write ${text}`, range, text });
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
      tellUnknownKind(report, node.first, kindName, ctx.scope);
    return;
  }
  const role = instance.member(child.name);
  const always = role?.occurs === 'always' && node.name ? kindOfRole(role) : undefined;
  const due = always && !child.kind.isA(always) ? always : child.kind;
  if (isName || due.isA(written)) return;
  const base = node.base?.$type === 'Name' ? partKind(node.base.text, ctx.scope) : undefined;
  // That a part is of another kind is reported where the part is named, not here.
  if (base && !base.isA(written)) return;
  const narrower = written.isA(due);
  const why = narrower
    ? `not every ${due.name.replaceAll('_', ' ')} is ${kindInWords(written)}`
    : `${kindInWords(written)} is something else`;
  tell(
    report,
    node.first,
    placing.other_kind(child.name, kindInWords(due), why, due.name),
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
  const kind = (kindOfRole(role) ?? child.kind).name.replaceAll('_', ' ');
  const names = [...others, child].map((block) => block.name);
  tell(report, node.name ?? node.first, placing.two_in_one_role(kindInWords(instance.kind), kind, names, more));
}

/** What a block starts from, or what is to be chosen among. */
function basesOf(base: Entry['base'], { report }: Context): Name[] {
  if (base?.$type === 'Name') return [base];
  return (base?.among?.elements ?? []).flatMap(({ value }) => {
    if (value.$type === 'Reference') return [value.name];
    tell(report, value, naming.unknown_part.among());
    return [];
  });
}

function checkBase(node: Entry, base: AstNode & { text: string }, block: Instance, ctx: Context): void {
  const { scope, report } = ctx;
  const kind = partKind(base.text, scope);
  if (!kind) return tellUnknownPart(report, base, scope);
  const written = node.name ? scope.kindNamed(node.first.text) : undefined;
  const due = written && !kind.isA(written) && !written.isA(kind) ? written : block.kind;
  if (!due.isA(kind) && !kind.isA(due)) {
    tell(report, base, placing.wrong_part(base.text, kindInWords(kind), kindInWords(due)));
  } else if (!scope.find(base.text) && !isThereAlready(node, block)) {
    const text = base.text === block.name ? block.name : `${base.text} ${block.name}`;
    const fix = { title: `Write ${text}`, range: () => ({ ...rangeOf(base), start: rangeOf(node.first).start }), text };
    tell(report, base, placing.kind_after_is(base.text, text), ...(node.count ? [] : [fix]));
  }
}

/** Does another text already speak of a block, so that this one says more of it? */
function isThereAlready(node: Entry, block: Instance): boolean {
  return block.layers.some((layer) => layer.node !== node && layer.node.$type === 'Entry');
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
  tell(report, entry.name ?? entry.first, placing.not_given(missing));
}

function isMissing(member: Member, instance: Instance): boolean {
  // A half-written statement has its own mistake.
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
