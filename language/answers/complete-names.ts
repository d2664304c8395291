import { cellOf } from '../compute/cell.ts';
import type { Checked, Entry } from '../grammar/generated/ast.ts';
import { type AstNode, docOf, rangeOf, textOf } from '../grammar/syntax.ts';
import { rulesOn } from '../judge/rule.ts';
import { blockName, isBlock, type Layer } from '../machine/tree.ts';
import type { Checking, Kind } from '../names/kind.ts';
import { type Declared, declaredName, type Scope } from '../names/scope.ts';
import { partKind } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import { kindChecked } from '../types/records.ts';
import { plainTree } from '../types/situation.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { isCurrent, isCurrentMember } from './deprecated.ts';
import { memberDoc } from './docs.ts';
import type { Proposal } from './proposal.ts';

/** Is a kind the wanted one, or one that starts from it? Where none is wanted, every kind will do. */
function related(kind: Kind | undefined, wanted: Kind | undefined): boolean {
  return !wanted || (kind?.isA(wanted) ?? false);
}

export function kindNames(scope: Scope, of?: Kind, rank = 0): Proposal[] {
  return scope
    .kinds()
    .filter((kind) => related(kind, of) && isCurrent(kind.node))
    .map((kind) => ({
      label: kind.name,
      sort: 'kind',
      rank: rank + (scope.own.kinds.has(kind.name) ? 0 : 1),
      detail: kind.base && `is ${kind.base.name}`,
      documentation: kind.documentation,
    }));
}

/** What defines a part among those of its kind, and what it costs, as it is written. */
function figuresOf(node: Declared, scope: Scope): string[] {
  const part = node.$type === 'Declaration' ? plainTree(node, scope) : undefined;
  const priced = [...(part?.kind.members.values() ?? [])].filter(
    ({ type, role }) => type.is === 'quantity' && type.money && role !== 'derived',
  );
  const names = new Set([...(part?.kind.specified ?? []), ...priced.map(({ name }) => name)]);
  return [...names].flatMap((name) => {
    const { origin, expression } = cellOf(part, name)?.definition ?? {};
    return origin === 'given' && expression && expression.$type !== 'List'
      ? [textOf(expression).replace(/\s+/g, ' ')]
      : [];
  });
}

/** Parts of a kind, those of this file and of those it uses first. */
export function partNames(scope: Scope, of: Kind | undefined, rank = 0): Proposal[] {
  return scope.parts().flatMap(({ node, scope: own }) => {
    const label = declaredName(node) ?? '';
    const kind = partKind(label, scope);
    if (!label || !related(kind, of) || !isCurrent(node)) return [];
    const nearer = own === scope ? 0 : own === scope.shared ? 2 : 1;
    const detail = [kind?.name, ...(of ? figuresOf(node, own) : [])].filter(Boolean).join(' · ');
    return [{ label, sort: 'part', rank: rank + nearer, detail, documentation: docOf(node) } as const];
  });
}

/**
 * What may stand after `is` in a block: parts of its kind, an open choice and, for a block that is there already, kinds that
 * start from its own. The kind of a new block stands before its name.
 */
export function partsOf(
  entry: AstNode & Record<string, unknown>,
  ctx: Context,
  { start: offset, hints }: Pick<CursorPlace, 'start' | 'hints'>,
): Proposal[] {
  const { scope } = ctx;
  const [first, name] = [entry.first, entry.name ?? entry.first].map(
    (n) => (n as { text?: string } | undefined)?.text ?? '',
  );
  const slot = ctx.kind?.members.get(name as string) ?? ctx.kind?.members.get(first as string);
  const slotKind = slot?.type.is === 'instance' ? slot.type.kind : undefined;
  const kind = scope.kindNamed(first as string) ?? slotKind;
  const open: Proposal = { label: '?', sort: 'keyword', rank: 3.5, detail: 'an open choice' };
  const machines = entry.$container?.$type === 'SpecFile' ? machineNames(scope, kind) : [];
  const parts = partNames(scope, kind).map((part) =>
    hints.usual?.parts.has(part.label) ? { ...part, rank: part.rank - 0.5 } : part,
  );
  const block = ctx.instance?.blockOf(entry as unknown as Entry);
  return [
    ...machines,
    ...parts,
    ...(parts.length > 0 ? [open] : []),
    ...(block?.layers.some((layer) => saysBefore(layer, offset))
      ? kindNames(scope, kind, 4).filter((k) => k.label !== kind?.name)
      : []),
  ];
}

/** Does a text say that a block is there, other than the one that is being written at an offset? */
function saysBefore({ node, inherited }: Layer, offset: number): boolean {
  if (inherited || node.$type !== 'Entry') return node.$type === 'Entry';
  const { start, end } = rangeOf(node);
  return offset < start || offset > end + 1;
}

/** Machines that a variant can start from. */
function machineNames(scope: Scope, kind: Kind | undefined): Proposal[] {
  return scope.visible().flatMap((each) =>
    [...each.own.declared.values()].flatMap((node) => {
      if (node.$type !== 'Entry' || !node.body || !related(each.kindNamed(node.first?.text ?? ''), kind)) return [];
      return [
        {
          label: blockName(node),
          sort: 'block',
          rank: 0,
          detail: node.first?.text,
          documentation: docOf(node),
        } as const,
      ];
    }),
  );
}

/** Rules; where one is accepted, those on the block's kind. */
export function ruleNames(ctx: Context, onlyHere: boolean): Proposal[] {
  const { scope, kind } = ctx;
  const nodes = onlyHere && kind ? rulesOn(kind, scope).map((r) => r.node) : scope.rules().map((r) => r.node);
  return nodes.filter(isCurrent).map((node) => ({
    label: node.name?.text ?? '',
    sort: 'rule',
    rank: 0,
    detail: node.on && `on ${node.on.text}`,
    documentation: docOf(node),
  }));
}

/** What can be checked on the block that a record speaks of, and on the blocks around it and in it, where none is named yet. */
export function checkNames(record: Checked, ctx: Context): Proposal[] {
  const own = [...(kindChecked(record, ctx)?.checks.values() ?? [])].map((check) => checkProposal(check, '', 0));
  if (record.of) return own;
  const within = (ctx.instance?.all() ?? []).filter((block) => block !== ctx.instance);
  const others = within.flatMap((block) => {
    const path = block.label.slice(ctx.instance?.holder ? ctx.instance.label.length + 1 : 0);
    return [...block.kind.checks.values()].map((check) => checkProposal(check, ` of ${path}`, 1));
  });
  return [...own, ...others];
}

function checkProposal({ name, node, owner }: Checking, of: string, rank: number): Proposal {
  return { label: name + of, sort: 'check', rank, detail: `of ${owner.name}`, documentation: docOf(node) };
}

/** What can be said to be not there: blocks that a variant takes over, and what a block of the kind may be without. */
export function mayBeAbsent({ instance, kind }: Context): Proposal[] {
  const inherited = (instance?.layers ?? [])
    .filter((layer) => layer.inherited)
    .flatMap((layer) =>
      (layer.body?.members ?? []).flatMap((m) => (m.$type === 'Entry' && isBlock(m) ? [blockName(m)] : [])),
    );
  const blocks = [...new Set(inherited)].map(
    (label): Proposal => ({
      label,
      sort: 'block',
      rank: 0,
      detail: instance?.children.get(label)?.kind.name,
    }),
  );
  const members = [...(kind?.members.values() ?? [])].filter(
    (member) => kind?.mayLack(member) && !inherited.includes(member.name) && isCurrentMember(member),
  );
  return [
    ...blocks,
    ...members.map(
      (member): Proposal => ({
        label: member.name,
        sort: member.role === 'child' ? 'block' : 'value',
        rank: 1,
        documentation: memberDoc(member),
      }),
    ),
  ];
}

/** Types of the language itself. */
const ownTypes = ['YesNo', 'Text', 'Date'];
const typeBeginnings = ['one of', 'list of', 'curve of'];

/** What can be written after a colon: quantities, kinds, and what is made of them. */
export function typeNames(scope: Scope): Proposal[] {
  const quantities = [...scope.system.dimensions.values()].map(
    ({ name, shown, node }): Proposal => ({
      label: name,
      sort: 'type',
      rank: 0,
      detail: shown.filter((u) => u !== '1').join(', ') || undefined,
      documentation: docOf(node),
    }),
  );
  const own = ownTypes.map((label): Proposal => ({ label, sort: 'type', rank: 1 }));
  const beginnings = typeBeginnings.map((label): Proposal => ({ label, sort: 'keyword', rank: 2 }));
  return [...quantities, ...own, ...beginnings, ...kindNames(scope, undefined, 3)];
}
