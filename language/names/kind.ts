import type { Declaration, Entry, Has } from '../grammar/generated/ast.ts';
import { docOf } from '../grammar/syntax.ts';
import { clausesOf, unitText } from '../units/units.ts';
import type { Scope } from './scope.ts';
import { type ParameterType, signatureOf, type Type, typeOf } from './type.ts';

export type Role = 'needed' | 'optional' | 'default' | 'derived' | 'child';

/** A value or a child block that a kind declares. */
export interface Member {
  readonly name: string;
  readonly node: Entry | Has;
  readonly owner: Kind;
  readonly role: Role;
  readonly type: Type;
  readonly shared: boolean;
  readonly parameters: readonly ParameterType[];
  /** Names of the standard sizes it comes in. */
  readonly sizes: readonly string[];
  /** Units to show it in, where the declaration says so. */
  readonly shown: readonly string[];
  /** For a child: how often it may stand, and whether it is always there. */
  readonly occurs?: 'once' | 'optional' | 'many' | 'always';
}

/** The kind of the blocks that a role is for. */
export function kindOfRole(role: Member): Kind | undefined {
  return role.type.is === 'instance' ? role.type.kind : undefined;
}

/** Has a role a name of its own, as in `has x: axis`? Others go by the name of their kind. */
export function hasOwnName(role: Member): boolean {
  return role.node.$type === 'Has' && role.node.kind !== undefined;
}

function narrower(a: Member | undefined, b: Member): Member {
  return !a || kindOfRole(b)?.isA(kindOfRole(a)) ? b : a;
}

/** A kind, as a library or a user's file declares it. Members are read when first asked for, so kinds may name each other. */
export class Kind {
  readonly name: string;
  #members: Map<string, Member> | undefined;
  constructor(
    readonly node: Declaration,
    readonly scope: Scope,
  ) {
    this.name = node.name?.text ?? '';
  }

  get base(): Kind | undefined {
    if (this.#base === null) {
      const base = this.node.base && this.scope.kindNamed(this.node.base.text);
      this.#base = base && !base.#startsFrom(this) ? base : undefined;
    }
    return this.#base;
  }
  #base: Kind | undefined | null = null;

  #startsFrom(other: Kind): boolean {
    for (let kind: Kind | undefined = this, steps = 0; kind && steps < 64; steps++) {
      if (kind === other) return true;
      kind = kind.node.base && kind.scope.kindNamed(kind.node.base.text);
    }
    return false;
  }

  /** True if this is `other` or starts from it, however far. */
  isA(other: Kind | undefined): boolean {
    for (let kind: Kind | undefined = this; kind; kind = kind.base) if (kind === other) return true;
    return false;
  }

  /** Everything it declares and inherits, by name; a subkind's declaration replaces its base's. */
  get members(): ReadonlyMap<string, Member> {
    if (!this.#members) {
      this.#members = new Map(this.base?.members);
      for (const node of this.node.body?.members ?? []) {
        const member = node.$type === 'Entry' || node.$type === 'Has' ? this.#member(node) : undefined;
        if (member && member.owner === this && !this.ownMembers.has(member.name)) {
          this.ownMembers.add(member.name);
          this.#members.set(member.name, member);
        }
      }
    }
    return this.#members;
  }
  readonly ownMembers = new Set<string>();

  #member(node: Entry | Has): Member | undefined {
    if (node.$type === 'Has') {
      if (!node.name) return undefined;
      const kind = this.scope.kindNamed((node.kind ?? node.name).text);
      const occurs = node.body ? 'always' : node.occurs === '?' ? 'optional' : node.occurs === '*' ? 'many' : 'once';
      return { ...this.#common(node, node.name.text), role: 'child', type: { is: 'instance', kind }, occurs };
    }
    if (!node.type || !node.first) return undefined;
    const role = node.defaults ? 'default' : node.equals ? 'derived' : node.type.optional ? 'optional' : 'needed';
    return { ...this.#common(node, node.first.text), role, type: typeOf(node.type, this.scope) };
  }

  #common(node: Entry | Has, name: string) {
    const parameters = node.$type === 'Entry' ? node.parameters : [];
    return {
      name,
      node,
      owner: this,
      shared: node.shared,
      parameters: signatureOf({ parameters }, this.scope).parameters,
      sizes: clausesOf(node, 'sizes').flatMap((c) => c.values.map(unitText)),
      shown: clausesOf(node, 'shown').flatMap((c) => c.values.map(unitText)),
    };
  }

  #own(keyword: string): string[] {
    return clausesOf(this.node, keyword).flatMap((clause) => clause.values.map(unitText));
  }

  #names(keyword: string): string[] {
    return [...this.#own(keyword), ...(this.base ? this.base.#names(keyword) : [])];
  }

  /** Values worth showing, this kind's own first. */
  get headlines(): string[] {
    return [...new Set(this.#names('headline'))];
  }
  /** Kinds it may stand in, besides where they say so themselves. */
  get inside(): string[] {
    return this.#names('inside');
  }
  /** The values by which open choices of parts are ranked: those of what it starts from first. */
  get ranking(): string[] {
    return [...new Set([...(this.base?.ranking ?? []), ...this.#own('order')])];
  }
  get toplevel(): boolean {
    this.#toplevel ??= clausesOf(this.node, 'toplevel').length > 0 || (this.base?.toplevel ?? false);
    return this.#toplevel;
  }
  #toplevel: boolean | undefined;
  get symbol(): string | undefined {
    const value = clausesOf(this.node, 'symbol')[0]?.values[0];
    return value?.$type === 'Text' ? value.text.replace(/^"|"$/g, '') : this.base?.symbol;
  }
  get documentation(): string {
    return docOf(this.node);
  }

  /** The roles it has for blocks: `has heater?`, `has x: axis`. */
  get roles(): readonly Member[] {
    this.#roles ??= [...this.members.values()].filter((member) => member.role === 'child');
    return this.#roles;
  }
  #roles: Member[] | undefined;

  /**
   * The role that a block of kind `child` fills in one of this kind: one with a name of its own by that name only, one
   * without by its kind, whatever the block is called. Where several would take it, the one for the narrowest kind does.
   */
  roleFor(name: string, child: Kind): Member | undefined {
    const takes = this.roles.filter((role) => child.isA(kindOfRole(role)));
    const own = takes.find((role) => role.name === name && hasOwnName(role));
    return own ?? takes.filter((role) => !hasOwnName(role)).reduce<Member | undefined>(narrower, undefined);
  }

  /** May a block of kind `child` stand in one of this kind? */
  accepts(child: Kind): boolean {
    if (this.roles.some((role) => child.isA(kindOfRole(role)))) return true;
    return child.inside.some((name) => this.isA(child.scope.kindNamed(name)));
  }
}
