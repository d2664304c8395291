import type { Entry, Has, Name } from '../grammar/generated/ast.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import { hasOwnName } from '../names/kind.ts';
import type { Context } from '../types/context.ts';
import type { Situation } from '../types/situation.ts';
import type { FoundMeaning } from './meaning.ts';
import { declaration, kindNamed, startsFrom } from './meaning-declared.ts';
import { blockNames, slotOf, valueFound } from './meaning-members.ts';

/** A name in a statement such as `KIND NAME is PART` or `NAME = VALUE`. */
export function entryName(node: Name, entry: Entry, ctx: Context, at: Situation): (FoundMeaning | undefined)[] {
  const { scope, instance, kind } = ctx;
  if (node === entry.base) return [startsFrom(node.text, scope)];
  if (entry.$container.$type === 'SpecFile') {
    const machine = { ...declaration(entry, scope), instance };
    const named = kindNamed(entry.first?.text ?? '', scope);
    return node === entry.name ? [machine] : entry.name ? [named] : [machine, named];
  }
  const member = kind?.members.get(entry.first?.text ?? '');
  if (ctx.mode === 'kind') return node === entry.first ? [valueFound(member ?? at.member)] : [];
  if (!isBlock(entry) || (member && member.role !== 'child' && !entry.body && !entry.name)) {
    return node === entry.first ? [valueFound(member, instance)] : [];
  }
  // A statement that means another text's block by naming its kind names that kind alone.
  const block = instance?.meant.has(entry) ? undefined : blockOf(instance?.blockOf(entry));
  if (node === entry.name) return [block];
  return entry.name ? [kindNamed(node.text, scope)] : [block, kindNamed(node.text, scope)];
}

/** A name in a kind's `has NAME: KIND`. */
export function hasName(node: Name, has: Has, ctx: Context): (FoundMeaning | undefined)[] {
  if (node === has.kind) return [kindNamed(node.text, ctx.scope)];
  const slot = slotOf(ctx.kind?.members.get(node.text));
  return has.kind ? [slot] : [slot, kindNamed(node.text, ctx.scope)];
}

function blockOf(instance: Instance | undefined): FoundMeaning | undefined {
  if (!instance) return undefined;
  if (!instance.holder) {
    const { node } = instance;
    const name = node.$type === 'Has' ? node : (node.name ?? (node.$type === 'Entry' ? node.first : node));
    return {
      sort: node.$type === 'Declaration' ? 'part' : 'block',
      identity: node,
      declarations: [name],
      instance,
      kind: instance.kind,
    };
  }
  const role = instance.fills;
  const names = blockNames(instance);
  const first = names.at(-1);
  if (!first || (role && hasOwnName(role))) return slotOf(role, instance);
  const identity = first.$container ?? first;
  return { sort: 'block', identity, declarations: names, member: role, instance, kind: instance.kind };
}

/** The block that a name in a machine's or a part's text leads to: by its own name, or by the role that it fills. */
export function blockMeant(name: string, instance: Instance): FoundMeaning | undefined {
  return instance.name === name || !instance.holder ? blockOf(instance) : slotOf(instance.fills, instance);
}

/** What is said to be not there: a block of what this starts from, a value, a role, or any of a kind. */
export function absent(name: string, ctx: Context): FoundMeaning | undefined {
  const { instance } = ctx;
  const named = instance?.member(name);
  const slot = named && hasOwnName(named) ? named : undefined;
  const entries = (instance?.layers ?? []).flatMap((layer) =>
    (layer.body?.members ?? []).filter((m) => m.$type === 'Entry' && isBlock(m) && blockName(m) === name),
  ) as Entry[];
  const names = entries.map((entry) => entry.name ?? entry.first);
  if (slot?.role === 'child') {
    const base = slotOf(slot);
    return base && { ...base, declarations: [...names, ...base.declarations] };
  }
  const first = entries.at(-1);
  if (!first) return named ? (named.role === 'child' ? slotOf(named) : valueFound(named)) : kindNamed(name, ctx.scope);
  return { sort: 'block', identity: first, declarations: names, kind: ctx.scope.kindNamed(first.first?.text ?? '') };
}
