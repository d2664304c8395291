import type { Declaration, ListElement, Name, Text } from '../grammar/generated/ast.ts';
import type { TextFile } from '../machine/text-file.ts';
import type { Declared, Scope } from '../names/scope.ts';
import { partKind } from '../types/bind.ts';
import { isUnit } from '../units/units.ts';
import type { FoundMeaning } from './meaning.ts';

/** A kind, by its name. */
export function kindNamed(name: string, scope: Scope): FoundMeaning | undefined {
  const kind = scope.kindNamed(name);
  return kind && { sort: 'kind', identity: kind.node, declarations: [kind.node.name], kind };
}

/** A dimension, by its name. */
export function dimensionNamed(name: string, scope: Scope): FoundMeaning | undefined {
  const node = scope.system.dimensions.get(name)?.node;
  return node && { sort: 'declaration', identity: node, declarations: [node.name] };
}

/** A unit as written, prefixes and products resolved. */
export function unitNamed(text: string, scope: Scope): FoundMeaning | undefined {
  const unit = scope.system.unit(text);
  if (!isUnit(unit)) return undefined;
  return { sort: 'unit', identity: unit.node ?? `unit ${text}`, declarations: unit.node ? [unit.node.name] : [], unit };
}

/** The file that a `use` names. */
export function used(node: Text, file: TextFile): FoundMeaning | undefined {
  const use = file.uses.find((u) => u.node.path === node);
  return use && { sort: 'use', identity: `use ${use.uri}`, declarations: [], uri: use.uri };
}

/** Something that a file declares by name, other than a kind. */
export function declared(name: string, scope: Scope): FoundMeaning | undefined {
  const found = scope.find(name);
  return found && declaration(found.node, found.scope);
}

/** What a declaration, or a machine of a file, is. */
export function declaration(node: Declared, scope: Scope): FoundMeaning {
  if (node.$type === 'Entry') {
    const kind = scope.kindNamed(node.first?.text ?? '');
    return { sort: 'block', identity: node, declarations: [node.name ?? node.first], kind };
  }
  if (node.what === 'kind') return kindFor(node, scope);
  const sort = node.what === 'part' || node.what === 'rule' || node.what === 'unit' ? node.what : 'declaration';
  const kind = node.what === 'part' ? partKind(node.name?.text ?? '', scope) : undefined;
  return { sort, identity: node, declarations: [node.name ?? node], kind };
}

function kindFor(node: Declaration, scope: Scope): FoundMeaning {
  const kind = scope.kindNamed(node.name?.text ?? '');
  return {
    sort: 'kind',
    identity: node,
    declarations: [node.name ?? node],
    kind: kind?.node === node ? kind : undefined,
  };
}

/** A name in the head of a declaration: its own, the kind that it is on, what it starts from. */
export function declarationName(node: Name, parent: Declaration, scope: Scope): FoundMeaning | undefined {
  if (node === parent.name) {
    const unit = parent.what === 'unit' ? unitNamed(node.text, scope) : undefined;
    return unit ?? declaration(parent, scope);
  }
  if (node === parent.on || parent.what === 'kind') return kindNamed(node.text, scope);
  return startsFrom(node.text, scope);
}

/** What stands after `is`: a part, another machine, or a kind. */
export function startsFrom(name: string, scope: Scope): FoundMeaning | undefined {
  return declared(name, scope) ?? kindNamed(name, scope);
}

/** In the library's units: a dimension or a unit of that name. */
export function dimensionOrUnit(name: string, scope: Scope): FoundMeaning | undefined {
  return scope.shared ? undefined : (dimensionNamed(name, scope) ?? unitNamed(name, scope));
}

/** One of a set of standard sizes, or the set. */
export function sizeFound(node: Declaration, index: number): FoundMeaning {
  const element: ListElement | undefined = node.value?.$type === 'List' ? node.value.elements[index] : undefined;
  const name = element?.name ?? node.name;
  return { sort: 'size', identity: name, declarations: [name] };
}
