import type { Declaration, Item, SpecFile, Type as TypeNode } from '../grammar/generated/ast.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import {
  type Declarations,
  type Declared,
  Kind,
  type Member,
  type NamedSize,
  type Scope,
  type Signature,
  type Type,
} from './kind.ts';
import { signatureOf, typeOf } from './type.ts';

export type { Declared, NamedSize, Scope } from './kind.ts';

export function declaredName(item: Item): string | undefined {
  if (item.$type === 'Declaration') return item.name?.text;
  if (item.$type === 'Entry') return (item.name ?? item.first)?.text;
  return undefined;
}

/** The names of a file's own declarations (the library's files count as one); the first of a name wins. */
export class FileNames implements Declarations {
  readonly declared = new Map<string, Declared>();
  readonly kinds = new Map<string, Declaration>();
  readonly rules: Declaration[] = [];
  readonly sizeNames = new Map<string, NamedSize>();
  readonly files: readonly SpecFile[];
  constructor(files: readonly SpecFile[]) {
    this.files = files;
    for (const file of files) for (const item of file.items) this.#add(item);
  }

  /** Exchange rates stated in these files: one of `from` is `factor` of `to`. */
  rates(system: UnitSystem): readonly { from: string; to: string; factor: number }[] {
    this.#rates ??= this.files.flatMap((file) =>
      file.items.flatMap((item) => {
        if (item.$type !== 'Rate' || item.from?.$type !== 'Quantity' || item.to?.$type !== 'Quantity') return [];
        const [from, to] = [system.unit(item.from.unit ?? ''), system.unit(item.to.unit ?? '')];
        if (!isUnit(from) || !isUnit(to) || !from.currency || !to.currency) return [];
        return [{ from: from.currency, to: to.currency, factor: Number(item.to.number) / Number(item.from.number) }];
      }),
    );
    return this.#rates;
  }
  #rates: { from: string; to: string; factor: number }[] | undefined;

  #add(item: Item): void {
    const name = declaredName(item);
    if (!name || (item.$type !== 'Declaration' && item.$type !== 'Entry')) return;
    const names: Map<string, Declared> =
      item.$type === 'Declaration' && item.what === 'kind' ? this.kinds : this.declared;
    if (item.$type === 'Declaration' && item.what === 'rule') this.rules.push(item);
    if (item.$type === 'Declaration' && (item.what === 'unit' || item.what === 'dimension' || item.what === 'prefix'))
      return;
    if (!names.has(name)) names.set(name, item as Declaration);
    if (item.$type === 'Declaration' && item.what === 'sizes' && item.value?.$type === 'List') {
      for (const [index, element] of item.value.elements.entries()) {
        if (element.name && !this.sizeNames.has(element.name.text))
          this.sizeNames.set(element.name.text, { declaration: item, index });
      }
    }
  }
}

/**
 * What one file sees: its own declarations, those of the files it uses, and the library's. Kinds have a namespace of their
 * own. A scope lives as long as its file; an edit renews what is in it.
 */
export class FileScope implements Scope {
  readonly #kinds = new Map<Declaration, Kind>();
  readonly #memo = new Map<unknown, unknown>();
  /** Counts how often it was renewed. */
  version = 0;
  own: Declarations;
  used: readonly FileScope[];
  readonly system: UnitSystem;
  readonly shared: FileScope | undefined;
  constructor(own: Declarations, used: readonly FileScope[], system: UnitSystem, shared: FileScope | undefined) {
    this.own = own;
    this.used = used;
    this.system = system;
    this.shared = shared;
  }

  /** Takes in what the file, or a file it uses, now says; kinds are made anew where `kinds` tells that one changed. */
  renew(own: Declarations, used: readonly FileScope[], kinds: boolean): void {
    this.own = own;
    this.used = used;
    this.#memo.clear();
    this.version++;
    if (kinds) this.#kinds.clear();
  }

  /** Computes something of these declarations once, until they change. */
  once<T>(key: unknown, make: () => T): T {
    if (!this.#memo.has(key)) this.#memo.set(key, make());
    return this.#memo.get(key) as T;
  }

  /** Notes that an expression of this file has a mistake in it, so that it is not computed as it stands. */
  spoil(expression: AstNode): void {
    this.#spoiled.add(expression);
  }

  /** Takes that back, before the file's checks are made anew. */
  restore(expressions: Iterable<AstNode>): void {
    for (const expression of expressions) this.#spoiled.delete(expression);
  }

  /** Did the checks find a mistake in this expression of the file? */
  isSpoiled(expression: AstNode): boolean {
    return this.#spoiled.has(expression);
  }
  readonly #spoiled = new WeakSet<AstNode>();

  /** The kind of that name, or undefined. */
  kindNamed(name: string): Kind | undefined {
    const own = this.own.kinds.get(name);
    if (own) return this.#kindOf(own);
    for (const scope of this.used) {
      const declaration = scope.own.kinds.get(name);
      if (declaration) return scope.#kindOf(declaration);
    }
    return this.shared?.kindNamed(name);
  }

  #kindOf(declaration: Declaration): Kind {
    let kind = this.#kinds.get(declaration);
    if (!kind) {
      kind = new Kind(declaration, this);
      this.#kinds.set(declaration, kind);
    }
    return kind;
  }

  /** The declaration of that name (other than a kind) and the scope it was written in. */
  find(name: string): { node: Declared; scope: Scope } | undefined {
    const own = this.own.declared.get(name);
    if (own) return { node: own, scope: this };
    for (const scope of this.used) {
      const node = scope.own.declared.get(name);
      if (node) return { node, scope };
    }
    return this.shared?.find(name);
  }

  sizeNamed(name: string): (NamedSize & { scope: Scope }) | undefined {
    for (const scope of [this, ...this.used]) {
      const size = scope.own.sizeNames.get(name);
      if (size) return { ...size, scope };
    }
    return this.shared?.sizeNamed(name);
  }

  /** What some kind of this scope's own file, or of the library, shares under a name. Only kinds whose text shares it are read for it. */
  sharedMember(name: string): Member | undefined {
    const kinds = this.once('kinds by what they share', () => this.#kindsBySharedName()).get(name) ?? [];
    for (const kind of kinds) {
      const member = this.kindNamed(kind)?.members.get(name);
      if (member?.shared) return member;
    }
    return undefined;
  }

  /** Found in the texts, so that no kind is read for it. */
  #kindsBySharedName(): ReadonlyMap<string, readonly string[]> {
    const kinds = new Map<string, string[]>();
    for (const [kind, node] of this.own.kinds)
      for (const [, name = ''] of textOf(node).matchAll(/\bshared\s+(?:has\s+)?([\p{L}\p{N}_]+)/gu))
        kinds.set(name, [...(kinds.get(name) ?? []), kind]);
    return kinds;
  }

  /** Is it a word of some choice that a kind visible here offers? */
  isChoiceWord(name: string): boolean {
    return this.visible().some((scope) => scope.once('choice words', () => scope.#choiceWords()).has(name));
  }

  /** Found in the texts, so that no kind is read for it. */
  #choiceWords(): ReadonlySet<string> {
    const words = new Set<string>();
    for (const node of this.own.kinds.values())
      for (const [, list = ''] of textOf(node).matchAll(/\bone\s+of\s+([\p{L}\p{N}_]+(?:\s*,\s*[\p{L}\p{N}_]+)*)/gu))
        for (const word of list.split(',')) words.add(word.trim());
    return words;
  }

  /** Every scope whose declarations are visible here, this one first, the library last. */
  visible(): FileScope[] {
    return [this, ...this.used, ...(this.shared?.visible() ?? [])];
  }

  typeOf(node: TypeNode | undefined): Type {
    return typeOf(node, this);
  }

  signatureOf(node: Parameters<typeof signatureOf>[0]): Signature {
    return signatureOf(node, this);
  }

  kinds(): Kind[] {
    return this.visible().flatMap((scope) => [...scope.own.kinds.values()].map((node) => scope.#kindOf(node)));
  }

  rules(): { node: Declaration; scope: Scope }[] {
    return this.visible().flatMap((scope) => scope.own.rules.map((node) => ({ node, scope })));
  }

  /** The parts that a name here leads to: of those that go by the same one, the first that it comes to. */
  parts(): { node: Declared; scope: Scope }[] {
    const visible = this.visible();
    return visible.flatMap((scope, at) => {
      const before = visible.slice(0, at);
      return [...scope.own.declared].flatMap(([name, node]) =>
        node.$type === 'Declaration' && node.what === 'part' && !before.some(({ own }) => own.declared.has(name))
          ? [{ node, scope }]
          : [],
      );
    });
  }
}
