import type {
  Binary,
  Check,
  Clause,
  Declaration,
  Entry,
  Every,
  Expression,
  Has,
  Parameter,
  Reference,
  SpecFile,
  Text,
  Type as TypeNode,
} from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { childrenOf, contentOf, docOf, textOf } from '../grammar/syntax.ts';
import type { Dimension } from '../units/dimension.ts';
import { clausesOf, type NamedDimension, type UnitSystem, unitText } from '../units/units.ts';

/** What an expression can be. Decided before anything is computed. */
export type Type =
  | QuantityType
  | { readonly is: 'truth' }
  | { readonly is: 'text' }
  | { readonly is: 'date' }
  | { readonly is: 'choice'; readonly options: readonly string[] }
  | { readonly is: 'instance'; readonly kind: Kind | undefined }
  | { readonly is: 'list'; readonly of: Type }
  | { readonly is: 'sides'; readonly of: QuantityType; readonly count: number }
  | { readonly is: 'curve'; readonly x: Type; readonly y: Type }
  | { readonly is: 'formula'; readonly parameters: readonly Type[]; readonly result: Type }
  /** Any quantity: stands for the one that a call hands over, wherever the name stands again. */
  | { readonly is: 'variable'; readonly name: string }
  /** Not decided: an open choice, or something already reported. It fits everywhere. */
  | { readonly is: 'any' };

export interface QuantityType {
  readonly is: 'quantity';
  readonly dimension: Dimension;
  /** The trade's name, where one is known: it tells a torque from an energy. */
  readonly named?: NamedDimension;
  readonly points?: boolean;
  readonly money?: boolean;
  /** A number without a unit, which is a count or a ratio but not an angle. */
  readonly bare?: boolean;
}

/** One of the arguments that a function, a numeric, a table or a derived value takes. */
export interface ParameterType {
  readonly name: string;
  readonly type: Type;
  readonly node: Parameter;
}

/** What a declaration takes and gives; `unknownName` hears of names that are neither a dimension nor a kind. */
export interface Signature {
  readonly parameters: readonly ParameterType[];
  readonly result: Type;
}

/** Something a file declares by name: a declaration, or a block that stands alone (a machine). */
export type Declared = Declaration | Entry;

/** A named standard size, such as one of a series. */
export interface NamedSize {
  readonly declaration: Declaration;
  readonly index: number;
}

/** What a file declares by name; of two of one name the first. */
export interface Declarations {
  readonly files: readonly SpecFile[];
  readonly declared: ReadonlyMap<string, Declared>;
  readonly kinds: ReadonlyMap<string, Declaration>;
  readonly rules: readonly Declaration[];
  readonly sizeNames: ReadonlyMap<string, NamedSize>;
  /** Exchange rates stated: one of `from` is `factor` of `to`. */
  rates(system: UnitSystem): readonly { readonly from: string; readonly to: string; readonly factor: number }[];
}

/** What one file sees: its own declarations, those of the files it uses, and the library's. */
export interface Scope {
  readonly own: Declarations;
  readonly used: readonly Scope[];
  readonly system: UnitSystem;
  /** The library's, for a user's file. */
  readonly shared: Scope | undefined;
  /** Counts how often it was renewed. */
  readonly version: number;
  /** Computes something of these declarations once, until they change. */
  once<T>(key: unknown, make: () => T): T;
  /** The kind of that name, or undefined. */
  kindNamed(name: string): Kind | undefined;
  /** The declaration of that name (other than a kind) and the scope it was written in. */
  find(name: string): { readonly node: Declared; readonly scope: Scope } | undefined;
  sizeNamed(name: string): (NamedSize & { readonly scope: Scope }) | undefined;
  /** Every scope whose declarations are visible here, this one first, the library last. */
  visible(): readonly Scope[];
  kinds(): Kind[];
  rules(): { readonly node: Declaration; readonly scope: Scope }[];
  parts(): { readonly node: Declared; readonly scope: Scope }[];
  /** What some kind of this scope's own file, or of the library, shares under a name. */
  sharedMember(name: string): Member | undefined;
  /** Is it a word of some choice that a kind visible here offers? */
  isChoiceWord(name: string): boolean;
  /** Did the checks find a mistake in this expression of the file? */
  isSpoiled(expression: AstNode): boolean;
  /** The type that a declaration of the file writes. */
  typeOf(node: TypeNode | undefined): Type;
  /** What a declaration of the file takes and gives. */
  signatureOf(node: { readonly parameters: readonly Parameter[]; readonly type?: TypeNode }): Signature;
}

type Role = 'needed' | 'optional' | 'default' | 'derived' | 'child';

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

/** What a kind expects of its blocks: a relation to others, with the question that is asked where it is not said. */
export interface Expectation {
  readonly condition: Expression;
  readonly question: Text;
  readonly owner: Kind;
}

/** What can be checked on a block of a kind once it is built, what trouble of it shows, or what can be wrong with it. */
export interface Checking {
  readonly name: string;
  readonly node: Check;
  readonly owner: Kind;
  /** The values that a check was made with, and that it is no longer worth anything without: `part` for what a block starts from. */
  readonly rests: readonly string[];
}

/** A symbol in a wiring plan. */
export interface Drawn {
  /** An SVG path in a box of 40 by 20, through whose middle the line goes from left to right. */
  readonly path: string;
  /** The letters that tell what it is for: F for what protects. */
  readonly letters: string;
  /** Values that stand beside it. */
  readonly names: readonly string[];
}

/** Values that the sheet shows under a heading. */
export interface Reported {
  readonly heading: string;
  readonly names: readonly string[];
}

/** The names that an expression is made of, those of kinds that it asks for among them. */
export function namesIn(node: AstNode): string[] {
  const own = node.$type === 'Reference' ? (node as Reference).name?.text : undefined;
  const every = node.$type === 'Every' ? (node as Every).kind?.text : undefined;
  return [...new Set([own, every, ...childrenOf(node).flatMap(namesIn)])].filter((name) => name !== undefined);
}

/** What can be meant at all by a value of a kind: the range that it states, or one that it follows, or that of its dimension. */
export function boundsOf({ name, node, owner, type }: Member): Binary | undefined {
  const quantity = type.is === 'sides' ? type.of : type;
  const dimension = quantity.is === 'quantity' ? quantity.named?.node : undefined;
  return boundsStated([node, ...owner.replaced(name), dimension]);
}

/** The range that the first of some declarations states which states any. */
export function boundsStated(nodes: readonly (Parameters<typeof clausesOf>[0] | undefined)[]): Binary | undefined {
  const stated = nodes.flatMap((each) => (each ? clausesOf(each, 'within') : []));
  const range = stated[0]?.values[0];
  return range?.$type === 'Binary' && range.operator === '..' ? range : undefined;
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
  readonly node: Declaration;
  readonly scope: Scope;
  constructor(node: Declaration, scope: Scope) {
    this.node = node;
    this.scope = scope;
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

  /** What the kinds that it starts from declare by that name, the nearest first. */
  replaced(name: string): Member['node'][] {
    const member = this.base?.members.get(name);
    return member ? [member.node, ...member.owner.replaced(name)] : [];
  }

  #member(node: Entry | Has): Member | undefined {
    if (node.$type === 'Has') {
      if (!node.name) return undefined;
      const kind = this.scope.kindNamed((node.kind ?? node.name).text);
      const occurs = node.body ? 'always' : node.occurs === '?' ? 'optional' : node.occurs === '*' ? 'many' : 'once';
      return { ...this.#common(node, node.name.text), role: 'child', type: { is: 'instance', kind }, occurs };
    }
    if (!node.type || !node.first) return undefined;
    const role = node.defaults ? 'default' : node.equals ? 'derived' : node.type.optional ? 'optional' : 'needed';
    return { ...this.#common(node, node.first.text), role, type: this.scope.typeOf(node.type) };
  }

  #common(node: Entry | Has, name: string) {
    const parameters = node.$type === 'Entry' ? node.parameters : [];
    return {
      name,
      node,
      owner: this,
      shared: node.shared,
      parameters: this.scope.signatureOf({ parameters }).parameters,
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
  /** What the sheet shows of its blocks, by headings: what its base says first. A heading alone has no values. */
  get reported(): readonly Reported[] {
    this.#reported ??= [
      ...(this.base?.reported ?? []),
      ...clausesOf(this.node, 'report').flatMap(({ values: [heading, ...names] }): Reported[] =>
        heading?.$type === 'Text' ? [{ heading: contentOf(heading), names: names.map(unitText) }] : [],
      ),
    ];
    return this.#reported;
  }
  #reported: readonly Reported[] | undefined;
  /** What can be checked on its blocks, by name: what it starts from declares first, and it may declare it anew. */
  get checks(): ReadonlyMap<string, Checking> {
    return this.checkings('check');
  }
  /** The same of each sort: what can be checked, what trouble shows, what can be wrong. */
  checkings(what: Check['what']): ReadonlyMap<string, Checking> {
    let found = this.#checkings.get(what);
    if (!found) {
      const own = (this.node.body?.members ?? []).flatMap((node): [string, Checking][] =>
        node.$type === 'Check' && node.what === what && node.name ? [[node.name.text, this.#checking(node)]] : [],
      );
      // Of two of one name the first counts, as with values.
      found = new Map([...(this.base?.checkings(what) ?? []), ...own.toReversed()]);
      this.#checkings.set(what, found);
    }
    return found;
  }
  readonly #checkings = new Map<Check['what'], ReadonlyMap<string, Checking>>();

  #checking(node: Check): Checking {
    const rests = clausesOf(node, 'with').flatMap((clause) => clause.values.map(unitText));
    return { name: node.name.text, node, owner: this, rests };
  }

  /** What it expects of its blocks, its own first; the same condition said again only asks another question. */
  get expectations(): readonly Expectation[] {
    if (!this.#expectations) {
      const own = clausesOf(this.node, 'expects').flatMap(({ values: [condition, question] }): Expectation[] =>
        condition && question?.$type === 'Text' ? [{ condition, question, owner: this }] : [],
      );
      const ownConditions = new Set(own.map(({ condition }) => textOf(condition)));
      const more = (this.base?.expectations ?? []).filter(({ condition }) => !ownConditions.has(textOf(condition)));
      this.#expectations = [...own, ...more];
    }
    return this.#expectations;
  }
  #expectations: readonly Expectation[] | undefined;

  /** May a block of it be without this: a value that is optional, a block that need not be there, or a relation that is only expected? */
  mayLack({ name, node, role, occurs }: Member): boolean {
    if (role === 'child') return occurs === 'optional' || occurs === 'many';
    if (node.$type === 'Entry' && node.type?.optional && role !== 'derived') return true;
    this.#expectedNames ??= new Set(this.expectations.flatMap(({ condition }) => namesIn(condition)));
    return this.#expectedNames.has(name);
  }
  #expectedNames: ReadonlySet<string> | undefined;

  /** Kinds it may stand in, besides where they say so themselves. */
  get inside(): string[] {
    return this.#names('inside');
  }
  /** The values by which open choices of parts are ranked: those of what it starts from first. */
  get ranking(): string[] {
    return [...new Set([...(this.base?.ranking ?? []), ...this.#own('order')])];
  }
  /** Values that protect the less, the larger they are: no change that the tool makes lets one grow. */
  get guarding(): readonly string[] {
    this.#guarding ??= [...this.members.values()].flatMap(({ node, name }) =>
      clausesOf(node, 'protects').length > 0 ? [name] : [],
    );
    return this.#guarding;
  }
  #guarding: readonly string[] | undefined;
  /** Values whose default only stands in for what is not said, with what is asked until it is. */
  get asked(): readonly { readonly name: string; readonly question: Text }[] {
    this.#asked ??= [...this.members.values()].flatMap(({ node, name }) => {
      const question = clausesOf(node, 'asked')[0]?.values[0];
      return question?.$type === 'Text' ? [{ name, question }] : [];
    });
    return this.#asked;
  }
  #asked: readonly { readonly name: string; readonly question: Text }[] | undefined;
  get toplevel(): boolean {
    this.#toplevel ??= clausesOf(this.node, 'toplevel').length > 0 || (this.base?.toplevel ?? false);
    return this.#toplevel;
  }
  #toplevel: boolean | undefined;
  /** The clause of the nearest kind that has one. */
  #nearest(keyword: Clause['keyword']): Clause | undefined {
    return clausesOf(this.node, keyword)[0] ?? (this.base ? this.base.#nearest(keyword) : undefined);
  }
  /** How its blocks are drawn in a wiring plan. */
  get symbol(): Drawn | undefined {
    const values = this.#nearest('symbol')?.values ?? [];
    const [path = '', letters = ''] = values.flatMap((value) => (value.$type === 'Text' ? contentOf(value) : []));
    const names = values.filter((value) => value.$type !== 'Text').map(unitText);
    return values.length > 0 ? { path, letters, names } : undefined;
  }
  /** What is told of the cores of its blocks, which are drawn as a line: the colour of the way out and of the way back first. */
  get cores(): readonly string[] {
    return this.#nearest('cores')?.values.map(unitText) ?? [];
  }
  /** What says how its blocks are drawn in a wiring plan, as a symbol, a line or a rung, and the kind whose text it is. */
  get drawnBy(): { readonly node: Clause; readonly owner: Kind } | undefined {
    const own = (['rung', 'cores', 'symbol'] as const).flatMap((keyword) => clausesOf(this.node, keyword)[0] ?? [])[0];
    return own ? { node: own, owner: this } : this.base?.drawnBy;
  }
  /** What its blocks are joined to by leads of their own, and then what is told of these. */
  get lead(): readonly string[] {
    return this.#nearest('lead')?.values.map(unitText) ?? [];
  }
  /** What a rung of a wiring plan shows of its blocks: what current flows through, out and back, the earth, the marks of both ends, and more. */
  get rung(): Reported | undefined {
    return this.#headed('rung');
  }
  /** The values that say how the end of a wire at its blocks is made, and which pins the ways out and back go through. */
  get terminated(): readonly string[] {
    return this.#nearest('terminated')?.values.map(unitText) ?? [];
  }
  /** The value that lists in which units more numbers of the whole are shown, in brackets. */
  get alongside(): readonly string[] {
    return this.#nearest('alongside')?.values.map(unitText) ?? [];
  }
  /** The values that say which of it is meant when it is bought: what its base says first. */
  get specified(): string[] {
    return [...new Set([...(this.base?.specified ?? []), ...this.#own('specified')])];
  }
  /** Where its blocks are drawn to scale, and the values that say it: place, sides, ways, and how. */
  get shape(): Reported | undefined {
    return this.#headed('shape');
  }
  #headed(keyword: Clause['keyword']): Reported | undefined {
    const [heading, ...names] = this.#nearest(keyword)?.values ?? [];
    return heading?.$type === 'Text' ? { heading: contentOf(heading), names: names.map(unitText) } : undefined;
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
