import type { Absence, Body, Declaration, Entry, Has } from '../grammar/generated/ast.ts';
import { hasOwnName, type Kind, kindOfRole, type Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { statementsOf } from './statements.ts';

/** Where a body's text was written decides what its expressions see: a machine's or part's text, or a kind's. */
export type Mode = 'block' | 'kind';

/** One text that says something of an instance. The most specific comes first. */
export interface Layer {
  readonly node: Entry | Has | Declaration;
  readonly body: Body | undefined;
  readonly scope: Scope;
  readonly mode: Mode;
  /** True where the text is a part's or another machine's, not the block's own. */
  readonly inherited: boolean;
  /** True where it is another machine's text: what was measured there belongs to the machine that was built. */
  readonly elsewhere?: boolean;
  /** The parts and machines by whose text it came about, the innermost first. */
  readonly from?: Expansion;
}

interface Expansion {
  readonly node: Entry | Declaration;
  readonly outer: Expansion | undefined;
}

/** What fills a role that nothing fills. */
export const noBlocks: readonly Instance[] = [];
const roleLists = new WeakSet<object>();

/** Is a list all that fills a role, where each block counts for as many as it stands for, and not one that a text makes? */
export function isRoleList(list: object): boolean {
  return roleLists.has(list);
}

/** An instance of a kind in a machine's tree: a block, or a part standing for itself. */
export class Instance {
  readonly children = new Map<string, Instance>();
  /** What is computed of it: of no concern here, and kept by what computes. */
  computed: object | undefined;
  /** Names of blocks whose kind is not known: reported there, and not again where they are used. */
  readonly broken = new Set<string>();
  /** Names of blocks that start from what they stand in, and so would never end. */
  readonly endless = new Set<string>();
  /** Blocks written without a name that say more of one which is there already, by the name of that. */
  readonly meant = new Map<Entry, string>();
  /** Blocks written without a name that could say more of several, by the names of these: they say it of none. */
  readonly unclear = new Map<Entry, readonly string[]>();
  /** What stood in it in place of an open part and gave way to a block of another kind: it comes back with what was computed of it. */
  readonly spares: Instance[] = [];
  /** Its part is an open choice that nothing stands in for yet, or cannot be found: what it leaves out, a part may still bring. */
  open = false;
  /** What it stands on, where its file puts it there as it is: it sees what that shares, as its copy there does. */
  ground: Instance | undefined;
  readonly name: string;
  readonly kind: Kind;
  holder: Instance | undefined;
  readonly count: number;
  layers: Layer[];
  constructor(name: string, kind: Kind, holder: Instance | undefined, count: number, layers: Layer[]) {
    this.name = name;
    this.kind = kind;
    this.holder = holder;
    this.count = count;
    this.layers = layers;
  }

  /** `Heron.bed.heater` */
  get path(): string {
    return this.holder ? `${this.holder.path}.${this.name}` : this.name;
  }
  /** The path below the machine, or the name of the machine itself. */
  get label(): string {
    return this.holder?.holder ? `${this.holder.label}.${this.name}` : this.name;
  }
  /** The block around it, or what it stands on. */
  get around(): Instance | undefined {
    return this.holder ?? this.ground;
  }
  get root(): Instance {
    return this.holder ? this.holder.root : this;
  }
  /** The text that put it there. */
  get node(): Layer['node'] {
    return (this.layers[0] as Layer).node;
  }
  /** The part that it starts from, nearest first; undefined where it starts from a kind alone. */
  get part(): Declaration | undefined {
    const layer = this.layers.find(({ node }) => node.$type === 'Declaration' && node !== this.node);
    return layer?.node.$type === 'Declaration' ? layer.node : undefined;
  }
  /** The nearest statement that what goes by a name is deliberately not there. */
  saysNo(name: string): Absence | undefined {
    for (const { body } of this.layers) {
      const said = statementsOf(body).values.get(name);
      // The nearest text has the last word: what it gives is there again.
      if (said?.absent || said?.given) return said.absent;
    }
    return undefined;
  }
  member(name: string): Member | undefined {
    return this.kind.members.get(name);
  }
  /** The blocks in it that fill one of its kind's roles, in the order of the tree. */
  filling(role: Member): readonly Instance[] {
    this.#filling ??= this.#byRole();
    return this.#filling.get(role) ?? noBlocks;
  }
  #filling: Map<Member, Instance[]> | undefined;

  #byRole(): Map<Member, Instance[]> {
    const map = new Map<Member, Instance[]>();
    for (const child of this.children.values()) {
      const role = this.kind.roleFor(child.name, child.kind);
      const there = role && map.get(role);
      if (there) there.push(child);
      else if (role) map.set(role, [child]);
    }
    for (const list of map.values()) roleLists.add(list);
    return map;
  }
  /** The role that it fills in what holds it, if any. */
  get fills(): Member | undefined {
    return this.holder?.kind.roleFor(this.name, this.kind);
  }
  /** The block in it that the text of a kind means by a name: the one that fills the role, whatever it is called. */
  inRole(name: string): Instance | undefined {
    const role = this.member(name);
    return role?.role === 'child' && role.occurs !== 'many' ? this.filling(role)[0] : undefined;
  }
  /** The block in it that the text of a machine or part means by a name: the one called so, or else the one in that role. */
  called(name: string): Instance | undefined {
    return this.children.get(name) ?? this.inRole(name);
  }
  /** The name of the block that a text in it speaks of. */
  nameFor(entry: Entry): string {
    return this.meant.get(entry) ?? blockName(entry);
  }
  /** The block that a text in it speaks of. */
  blockOf(entry: Entry): Instance | undefined {
    return this.unclear.has(entry) ? undefined : this.children.get(this.nameFor(entry));
  }
  /** Itself and everything in it, outermost first; gathered once, until an edit changes which blocks there are. */
  all(): readonly Instance[] {
    this.#all ??= [this, ...[...this.children.values()].flatMap((child) => child.all())];
    return this.#all;
  }
  #all: readonly Instance[] | undefined;

  /** Itself and everything in it, with what gave way there for now. */
  *everMade(): Generator<Instance> {
    for (const instance of this.all()) {
      yield instance;
      for (const spare of instance.spares) yield* spare.everMade();
    }
  }

  /** Itself and everything in it, with what it stands on and all that is in that. */
  allWithGround(): readonly Instance[] {
    return this.ground ? [...this.all(), ...this.ground.allWithGround()] : this.all();
  }

  /** Forgets which blocks it has, and what holds it does so too: they have changed. */
  reshaped(): void {
    this.#filling = undefined;
    for (let at: Instance | undefined = this; at; at = at.holder) at.#all = undefined;
  }
}

/** Is this entry a block (and not a value)? */
export function isBlock(entry: Entry): boolean {
  return !entry.type && !entry.equals && !entry.defaults && !entry.shared;
}

/** The name a block goes by. */
export function blockName(entry: Entry): string {
  return (entry.name ?? entry.first)?.text ?? '';
}

/** Parts put in place of open choices while they are tried, by the block's path below the machine. */
export type PartChoices = ReadonlyMap<string, { node: Declaration; scope: Scope }>;

/** Builds the tree of a block that stands alone in its file; undefined if its kind is not known. */
export function buildTree(entry: Entry, scope: Scope, choices: PartChoices = new Map()): Instance | undefined {
  return new Builder(choices).block(
    blockName(entry),
    [{ entry, scope, mode: 'block', inherited: false, from: { node: entry, outer: undefined } }],
    undefined,
  );
}

/** Names of the blocks that stand alone elsewhere and that an entry puts into itself as they are, with nothing more said of them. */
export function namesPutInto(entry: Entry): readonly string[] {
  const known = puts.get(entry);
  if (known) return known;
  const names = blocksWithin(entry).flatMap(({ base, body }) =>
    base?.$type === 'Name' && !body?.members.length ? [base.text] : [],
  );
  puts.set(entry, names);
  return names;
}
const puts = new WeakMap<Entry, readonly string[]>();

function blocksWithin(entry: Entry): Entry[] {
  const blocks = (entry.body?.members ?? []).filter((m): m is Entry => m.$type === 'Entry' && isBlock(m));
  return blocks.flatMap((block) => [block, ...blocksWithin(block)]);
}

/** A block made anew from the same texts, with other parts in place of open choices in it; what holds it does not know of it. */
export function blockMadeAnew(block: Instance, choices: PartChoices): Instance {
  const { name, kind, holder, count, layers, open } = block;
  const instance = new Instance(name, kind, holder, count, layers);
  instance.open = open;
  instance.ground = block.ground;
  new Builder(choices).fill(instance);
  return instance;
}

/** The same of one block in another; undefined where none is made of its texts. */
export function childMadeAnew(holder: Instance, name: string, choices: PartChoices): Instance | undefined {
  return new Builder(choices).child(holder, name);
}

/** A part standing for itself, such as a material that is pointed at. */
export function buildPart(node: Declaration, scope: Scope): Instance | undefined {
  const from: Expansion = { node, outer: undefined };
  const own: Layer = { node, body: node.body, scope, mode: 'block', inherited: true, from };
  const base = new Builder(new Map()).base(node.base?.text, scope, from);
  if (!base?.kind) return undefined;
  const instance = new Instance(node.name?.text ?? '', base.kind, undefined, 1, [own, ...base.layers]);
  new Builder(new Map()).fill(instance);
  return instance;
}

/** Trees are never deeper than this. */
const deepest = 40;

function isWithin(node: Entry | Declaration, expansion: Expansion | undefined): boolean {
  for (let at = expansion; at; at = at.outer) if (at.node === node) return true;
  return false;
}

/** The names by which a block that stands alone starts from itself; undefined where it does not. */
export function ringOfBases(entry: Entry, scope: Scope): string[] | undefined {
  const names = [blockName(entry)];
  const seen = new Set<Entry | Declaration>();
  let at: { node: Entry | Declaration; scope: Scope } = { node: entry, scope };
  for (;;) {
    const { base } = at.node;
    const name = base?.$type === 'Name' ? base.text : undefined;
    const next = name ? at.scope.find(name) : undefined;
    if (!name || !next) return undefined;
    names.push(name);
    if (next.node === entry) return names;
    if (seen.has(next.node)) return undefined;
    seen.add(next.node);
    at = next;
  }
}

interface WrittenEntry {
  entry: Entry;
  scope: Scope;
  mode: Mode;
  inherited: boolean;
  elsewhere?: boolean;
  from?: Expansion;
}

class Builder {
  #depth = 0;
  readonly choices: PartChoices;
  constructor(choices: PartChoices) {
    this.choices = choices;
  }

  /** The layers and the kind that a base's name leads to: a kind, a part, or a block that stands alone (`itself`, or a variant of it). */
  base(
    name: string | undefined,
    scope: Scope,
    outer: Expansion | undefined,
    itself = false,
  ): { layers: Layer[]; kind: Kind | undefined } | undefined {
    if (!name) return undefined;
    const found = scope.find(name);
    if (!found) {
      const kind = scope.kindNamed(name);
      return kind && { layers: [], kind };
    }
    const { node } = found;
    if (node.$type === 'Declaration' && node.what !== 'part') return undefined;
    // What leads back to a text that is being expanded ends there, and is reported by the checks.
    if (isWithin(node, outer)) return undefined;
    const from: Expansion = { node, outer };
    const elsewhere = node.$type === 'Entry' && !itself;
    const layer: Layer = { node, body: node.body, scope: found.scope, mode: 'block', inherited: true, elsewhere, from };
    const baseName =
      node.$type === 'Declaration' ? node.base?.text : node.base?.$type === 'Name' ? node.base.text : undefined;
    const next = this.base(baseName, found.scope, from);
    const kind =
      next?.kind ?? (node.$type === 'Entry' && node.first ? found.scope.kindNamed(node.first.text) : undefined);
    return { layers: [layer, ...(next?.layers ?? [])], kind };
  }

  /** One block, from all that is said of it, most specific first; it fills a role of what holds it, or none. */
  block(name: string, written: readonly WrittenEntry[], holder: Instance | undefined): Instance | undefined {
    const first = written[0];
    const layers: Layer[] = written.map((s) => ({
      node: s.entry,
      body: s.entry.body,
      scope: s.scope,
      mode: s.mode,
      inherited: s.inherited,
      elsewhere: s.elsewhere,
      from: s.from,
    }));
    const started = written.find((s) => s.entry.base);
    const path = holder?.holder ? `${holder.label}.${name}` : name;
    const chosen = started?.entry.base?.$type === 'Open' ? this.choices.get(path) : undefined;
    const baseName = chosen
      ? chosen.node.name?.text
      : started?.entry.base?.$type === 'Name'
        ? started.entry.base.text
        : undefined;
    // A machine that stands on a site with nothing more said of it is that machine; with more, it is a variant.
    const itself = holder !== undefined && !written.some((s) => s.entry.body?.members.length);
    const startedIn = chosen?.scope ?? started?.scope;
    const base = baseName && startedIn ? this.base(baseName, startedIn, started?.from, itself) : undefined;
    const leadsTo = baseName && !base ? startedIn?.find(baseName)?.node : undefined;
    if (holder && leadsTo && isWithin(leadsTo, started?.from)) {
      holder.endless.add(name);
      return undefined;
    }
    // What `is` leads to has the last word on the kind, and the text that first speaks of a block says it otherwise.
    const named = base?.kind && started ? kindToStart(started, written) : originalKind(written);
    const slot =
      holder && slotFor(holder.kind, name, base?.kind && (!named || base.kind.isA(named)) ? base.kind : named);
    const slotKind = slot && kindOfRole(slot);
    const wanted = named && slotKind?.isA(named) ? slotKind : (named ?? slotKind);
    const kind = base?.kind && (!wanted || base.kind.isA(wanted)) ? base.kind : wanted;
    if (!kind) return undefined;
    if (base?.kind && kind.isA(base.kind)) layers.push(...base.layers);
    const count = first?.entry.count ?? written.find((s) => s.entry.count)?.entry.count;
    const number = count?.$type === 'Quantity' ? Number(count.number) : 1;
    const instance = new Instance(name, kind, holder, number, this.#withSlot(layers, slot, holder));
    instance.open = (started?.entry.base?.$type === 'Open' && !chosen) || (baseName !== undefined && !base);
    return this.#made(instance);
  }

  #withSlot(layers: Layer[], slot: Member | undefined, holder: Instance | undefined): Layer[] {
    if (slot?.occurs !== 'always' || !holder) return layers;
    return [
      ...layers,
      { node: slot.node, body: slot.node.body, scope: slot.owner.scope, mode: 'kind', inherited: true },
    ];
  }

  #made(instance: Instance): Instance {
    if (++this.#depth < deepest) this.fill(instance);
    this.#depth--;
    return instance;
  }

  /** The block of a name in an instance, made from what is said of it there. */
  child(instance: Instance, name: string): Instance | undefined {
    const entries = this.#gathered(instance).blocks.get(name);
    return entries && this.block(name, entries, instance);
  }

  /** Makes the blocks inside an instance. */
  fill(instance: Instance): void {
    const { blocks, absent } = this.#gathered(instance);
    for (const [name, entries] of blocks) {
      const child = this.block(name, entries, instance);
      if (child) instance.children.set(name, child);
      else instance.broken.add(name);
    }
    const filled = new Set([...instance.children.values()].map((child) => child.fills));
    for (const role of instance.kind.roles) {
      const kind = kindOfRole(role);
      if (role.occurs !== 'always' || filled.has(role) || absent.has(role.name) || !kind) continue;
      // What is there in any case gives way to no block that only has its name.
      if (instance.children.has(role.name) || instance.endless.has(role.name)) continue;
      const child = new Instance(role.name, kind, instance, 1, this.#withSlot([], role, instance));
      instance.children.set(role.name, this.#made(child));
    }
  }

  /**
   * What is said of each block in an instance, most specific first, in the order in which one reads it from the instance's own
   * text on. What comes first is gathered last: a text can speak of what the ones below it say.
   */
  #gathered(instance: Instance): { blocks: Map<string, WrittenEntry[]>; absent: Set<string> } {
    const below = new Map<string, WrittenEntry[]>();
    const absent = new Set<string>();
    const orders = instance.layers.toReversed().map((layer) => this.#collect(instance, layer, below, absent));
    const blocks = new Map<string, WrittenEntry[]>();
    for (const name of orders.toReversed().flat()) {
      const entries = below.get(name);
      if (entries) blocks.set(name, entries);
    }
    return { blocks, absent };
  }

  /** Puts what one text says of blocks over what those below it say. Returns the names that it speaks of. */
  #collect(instance: Instance, layer: Layer, below: Map<string, WrittenEntry[]>, absent: Set<string>): string[] {
    const members = layer.body?.members ?? [];
    for (const [name, { absent: says }] of statementsOf(layer.body).values) {
      if (!says) continue;
      absent.add(name);
      for (const gone of this.#namesOf(instance, name, layer.scope, below)) below.delete(gone);
    }
    const here = new Map<string, WrittenEntry>();
    for (const member of members) {
      if (member.$type !== 'Entry' || !isBlock(member) || !member.first) continue;
      if (isMeantAsValue(instance.kind, member, layer, below)) continue;
      const name = this.#nameIn(instance, member, layer, below);
      // The first of a name wins in one body; the second is reported by the checks.
      if (name === undefined || here.has(name)) continue;
      const { scope, mode, inherited, elsewhere, from } = layer;
      here.set(name, { entry: member, scope, mode, inherited, elsewhere, from });
    }
    for (const [name, entry] of here) below.set(name, [entry, ...(below.get(name) ?? [])]);
    return [...here.keys()];
  }

  /** The blocks that the texts below give by a name, or else in the role or of the kind that goes by it. */
  #namesOf(
    instance: Instance,
    name: string,
    scope: Scope,
    below: ReadonlyMap<string, readonly WrittenEntry[]>,
  ): string[] {
    if (below.has(name)) return [name];
    const role = instance.member(name);
    const kind = scope.kindNamed(name);
    return [...below].flatMap(([other, entries]) => {
      const there = originalKind(entries) ?? this.#startKind(entries);
      const fills = there && role?.role === 'child' && instance.kind.roleFor(other, there) === role;
      return there && (fills || there.isA(kind)) ? [other] : [];
    });
  }

  /** Which block a text speaks of: without a name, the one of its kind or in its role that there is already. */
  #nameIn(
    instance: Instance,
    entry: Entry,
    layer: Layer,
    below: ReadonlyMap<string, readonly WrittenEntry[]>,
  ): string | undefined {
    const own = blockName(entry);
    const kind = entry.name || below.has(own) ? undefined : writtenKind(entry, layer.scope);
    if (!kind) return own;
    const role = instance.kind.roleFor(own, kind);
    // A role with a name of its own is filled by that name alone.
    if (role && hasOwnName(role)) return own;
    const alike = [...below].flatMap(([name, written]) => {
      const there = originalKind(written) ?? this.#startKind(written);
      if (!there) return [];
      const filled = instance.kind.roleFor(name, there);
      if (filled && hasOwnName(filled)) return [];
      return there.isA(kind) || (role?.occurs !== 'many' && role && filled === role) ? [name] : [];
    });
    if (alike.length > 1) instance.unclear.set(entry, alike);
    else if (alike[0]) instance.meant.set(entry, alike[0]);
    return alike.length > 1 ? undefined : (alike[0] ?? own);
  }

  #startKind(written: readonly WrittenEntry[]): Kind | undefined {
    const started = written.find((s) => s.entry.base);
    const base = started?.entry.base;
    return base?.$type === 'Name' ? this.base(base.text, started?.scope as Scope, started?.from)?.kind : undefined;
  }
}

/** A value's name with `is` or a body behind it, where `=` is meant: no block, and told where it stands. */
function isMeantAsValue(kind: Kind, entry: Entry, layer: Layer, below: ReadonlyMap<string, unknown>): boolean {
  const member = kind.members.get(blockName(entry));
  return (
    !entry.name &&
    member !== undefined &&
    member.role !== 'child' &&
    !below.has(member.name) &&
    !writtenKind(entry, layer.scope)
  );
}

/** The kind that a text writes before a block's name. */
function writtenKind(entry: Entry, scope: Scope): Kind | undefined {
  return scope.kindNamed(entry.first?.text ?? '');
}

/** The kind that is written where a block starts from something; none where only its name is. */
function kindToStart(started: WrittenEntry, written: readonly WrittenEntry[]): Kind | undefined {
  return started.entry.name || started === written.at(-1) ? writtenKind(started.entry, started.scope) : undefined;
}

/** The kind by which the text that first speaks of a block writes it. */
function originalKind(written: readonly WrittenEntry[]): Kind | undefined {
  return written.map((s) => writtenKind(s.entry, s.scope)).findLast((kind) => kind);
}

/** The role that a block of a name is meant to fill. One with a name of its own may be written without its kind, or with a wider one. */
function slotFor(holder: Kind, name: string, kind: Kind | undefined): Member | undefined {
  const role = holder.members.get(name);
  if (role?.role === 'child' && (!kind || (hasOwnName(role) && kindOfRole(role)?.isA(kind)))) return role;
  return kind && holder.roleFor(name, kind);
}
