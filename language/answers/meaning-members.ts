import type { Check } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { blockName, type Instance } from '../machine/tree.ts';
import type { Checking, Kind, Member } from '../names/kind.ts';
import type { FoundMeaning } from './meaning.ts';

/** The declaration that all others of a value start from: a subkind may declare it anew. */
export function rootMember(member: Member): Member {
  let root = member;
  for (let kind = member.owner.base; kind; kind = kind.base) root = kind.members.get(member.name) ?? root;
  return root;
}

function memberName(member: Member): AstNode {
  return (member.node.$type === 'Has' ? member.node.name : member.node.first) ?? member.node;
}

function memberDeclarations(member: Member): AstNode[] {
  const names = [memberName(member)];
  for (let kind = member.owner.base; kind; kind = kind.base) {
    const other = kind.members.get(member.name);
    if (other && !names.includes(memberName(other))) names.push(memberName(other));
  }
  return names;
}

/** A value as its kind declares it, or the role that it is. */
export function valueFound(member: Member | undefined, instance?: Instance): FoundMeaning | undefined {
  if (!member) return undefined;
  if (member.role === 'child') return slotOf(member, instance?.inRole(member.name));
  const identity = rootMember(member).node;
  return { sort: 'value', identity, declarations: memberDeclarations(member), member, instance, type: member.type };
}

/** A role, and the block that fills it. */
export function slotOf(member: Member | undefined, instance?: Instance): FoundMeaning | undefined {
  if (!member) return undefined;
  const kind = instance?.kind ?? (member.type.is === 'instance' ? member.type.kind : undefined);
  const names = instance ? blockNames(instance) : [];
  const declarations = [...names, ...memberDeclarations(member)];
  return { sort: 'block', identity: rootMember(member).node, declarations, member, instance, kind };
}

/** The names of the blocks that say something of an instance, the most specific first. */
export function blockNames(instance: Instance): AstNode[] {
  return instance.layers.flatMap(({ node }) =>
    node.$type === 'Entry' && node.$container.$type !== 'SpecFile' && blockName(node) === instance.name
      ? [node.name ?? node.first]
      : [],
  );
}

/** A check is that of the first kind that declares it: a subkind may declare it anew. */
export function checkFound(check: Checking | undefined): FoundMeaning | undefined {
  if (!check) return undefined;
  const nodes: Check[] = [];
  for (let kind: Kind | undefined = check.owner; kind; kind = kind.base) {
    const node = kind.checkings(check.node.what).get(check.name)?.node;
    if (node && !nodes.includes(node)) nodes.push(node);
  }
  return {
    sort: 'check',
    identity: nodes.at(-1) ?? check.node,
    declarations: nodes.map(({ name }) => name),
    kind: check.owner,
  };
}
