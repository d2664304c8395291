import { type Cell, cellOf } from '../compute/cell.ts';
import { blockStandingFor } from '../compute/evaluate-declared.ts';
import type { Machine } from '../compute/machine.ts';
import { leastMargin, marginOf } from '../compute/margin.ts';
import { ownStatement } from '../compute/marks.ts';
import { renderMessage, showExpression } from '../compute/message.ts';
import { literalOf } from '../compute/show-cell.ts';
import type { GussetKeywordNames, Remedy } from '../grammar/generated/ast.ts';
import { rangeOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import { hasOwnName, type Kind, kindOfRole } from '../names/kind.ts';
import { unitFor } from '../values/show.ts';
import { isMissing, type Value } from '../values/value.ts';
import { candidatesFor, partsOfKind } from './candidates.ts';
import { type Choice, mayBeWritten } from './choices.ts';
import { type RecordFinding, writtenRests } from './commissioning.ts';
import { takenOver, writeBlock, writeCount, writeElement, writePart, writeValue, writeValues } from './edit.ts';
import { type Asked, askedBy, type Finding } from './finding.ts';
import { type Lever, leversOf, valueWhereFound } from './lever.ts';
import { nearestThatHold } from './nearest.ts';
import { putInPlace, waitingBehind } from './trials.ts';
import { givenIn, isGivenByPart, type Means, meansFor, valuesInstead } from './unmet.ts';

/** A change that the tool can make. */
export interface Fix {
  readonly title: string;
  readonly edits: readonly TextEdit[];
  /** True where the finding it is offered for is to be gone with it. */
  readonly mends: boolean;
  /** What somebody has to do first for it to be true, in words: such a change is offered, and never made unasked. */
  readonly once?: string;
}

/** So many parts are tried for one way out. */
const mostParts = 12;
/** Of a number that a requirement rests on so many are tried: there are many such numbers. */
const mostNumbers = 2;
/** And so many parts of those that would be new. */
const mostAdded = 6;

/**
 * The changes that could mend a finding in its machine: for each way out that its rule declares, those to try, the best first. None
 * adds an acceptance. Where `others` fail by the same value, it is set to what mends all, if anything does.
 */
export function fixesFor(finding: Finding, machine: Machine, others: readonly Finding[] = []): Iterable<Fix>[] {
  const { declared, target } = finding;
  if (target)
    return meansFor(target, finding.scenario, machine).map((means) =>
      firstOf(new Offer(wayOf(means), finding, machine, others).fixes(), means.is === 'part' ? mostParts : mostNumbers),
    );
  if (!declared)
    return [
      restsWritten(finding, machine),
      writtenInstead(finding),
      ...finding.consequences.flatMap((each) => fixesFor(each, machine, others)),
    ];
  const offers = declared.remedies
    .filter(({ text }) => !text)
    .map((remedy) => new Offer(wayOut(remedy, finding, machine), finding, machine, others));
  return [...offers.map((offer) => offer.fixes()), pairs(offers), acceptedValue(finding, machine)];
}

/** So many pairs are looked at for one requirement, and so many of these proposed. */
const [mostLookedAt, mostTogether] = [150, 3];

/**
 * What two values that a requirement rests on do together, to be asked where nothing that `fixesFor` tells mends it: of the pairs which may be
 * enough those that change least. None for a rule, whose own ways out are paired already.
 */
export function fixesTogether(finding: Finding, machine: Machine): Iterable<Fix> {
  return firstOf(together(finding, machine), mostTogether);
}

function* together(finding: Finding, machine: Machine): Generator<Fix> {
  const { target, scenario } = finding;
  const offers = target
    ? meansFor(target, scenario, machine).map((means) => new Offer(wayOf(means), finding, machine, []))
    : [];
  const helping = offers.map((offer) => offer.helping());
  const pairs = helping.flatMap((some, i) =>
    helping.slice(i + 1).flatMap((others) => others.flatMap((other) => some.map((one) => ({ one, other, i })))),
  );
  const enough = pairs
    .filter(({ one, other }) => one.gain + other.gain >= leastGain)
    .sort((a, b) => a.one.apart + a.other.apart - b.one.apart - b.other.apart);
  for (const { one, other, i } of enough.slice(0, mostLookedAt)) {
    const fix = offers[i]?.both(one, other);
    if (fix) yield fix;
  }
}

/** The first of these, so many at most. */
export function* firstOf<T>(all: Iterable<T>, most: number): Generator<T> {
  let left = most;
  for (const each of all) {
    if (left-- === 0) return;
    yield each;
  }
}

/** A way out: what it takes hold of, and what a rule says of it. */
interface Way {
  readonly levers: () => readonly Lever[];
  readonly says: Partial<Pick<Remedy, 'value' | 'base' | 'added' | 'after'>>;
  /** What somebody has to do first. */
  readonly once?: string;
}

function wayOut(remedy: Remedy, finding: Finding, machine: Machine): Way {
  const asked = askedBy(finding, machine.engine) as Asked;
  return {
    levers: () => leversOf(remedy, finding, machine),
    says: remedy,
    ...(remedy.once && { once: renderMessage(remedy.once, asked.frame, asked.ctx) }),
  };
}

/** What a requirement rests on, as a way out of it: what is a fact has to become another first. */
function wayOf(means: Means): Way {
  if (means.is === 'part') return { levers: () => [{ is: 'block', instance: means.instance }], says: {} };
  const levers = (): Lever[] => [{ is: 'value', cell: means.cell }];
  return { levers, says: {}, ...(!means.free && { once: 'it really is so' }) };
}

/** A value of a block, what it could be, and how that is written. */
interface Option {
  readonly cell: Cell;
  readonly value: Value;
  readonly text: string;
}

/** An option that brings a requirement nearer: how much of what it falls short by that takes away, and how far it is from what stands there. */
interface Helping extends Option {
  readonly gain: number;
  readonly apart: number;
}

/** Two values may be enough together where each alone takes away so much of what is short: what they do may grow by being done together. */
const leastGain = 0.3;
/** By which factors a number is changed for that, and by how many kelvins a point of temperature. */
const [factors, kelvins] = [
  [1.1, 1.25, 1.5, 2, 3, 4, 5],
  [5, 10, 20, 40],
];

/** So many pairs of values are tried. */
const mostPairs = 150;

/** What two ways out do together, where neither does anything alone, whatever it is set to. */
function* pairs(offers: readonly Offer[]): Generator<Fix> {
  const options = offers.map((offer) => offer.optionsThatFail());
  let left = mostPairs;
  for (const [i, some] of options.entries()) {
    for (const other of options.slice(i + 1).flat()) {
      for (const one of some) {
        if (left-- === 0) return;
        const fix = offers[i]?.both(one, other);
        if (fix) yield fix;
      }
    }
  }
}

/** Writes into the records of a block what it was checked with. */
function restsWritten({ rule, instance }: Finding, machine: Machine): Fix[] {
  const edits =
    rule === ('record_rests_on_nothing' satisfies RecordFinding['rule']) ? writtenRests(instance, machine) : [];
  return edits.length > 0 ? [{ title: 'Write what it was checked with', edits, mends: true }] : [];
}

/** Writes what fits in place of a `?` behind which it is not listed. */
function writtenInstead({ instead }: Finding): Fix[] {
  return instead
    ? [{ title: `Take ${instead.text}`, edits: [{ ...rangeOf(instead.node), text: instead.text }], mends: true }]
    : [];
}

/** Writes a proposal in place of its `?`, where no rule about people's safety waits behind it. */
export function fixForChoice(choice: Choice): Fix | undefined {
  if (!choice.proposed || !mayBeWritten(choice)) return undefined;
  return {
    title: `Write ${choice.proposed.text}`,
    edits: [{ ...rangeOf(choice.node), text: choice.proposed.text }],
    mends: false,
  };
}

/** One way out of a finding. */
class Offer {
  readonly way: Way;
  readonly finding: Finding;
  readonly machine: Machine;
  readonly others: readonly Finding[];
  constructor(way: Way, finding: Finding, machine: Machine, others: readonly Finding[]) {
    this.way = way;
    this.finding = finding;
    this.machine = machine;
    this.others = others;
  }

  /** The changes to try, the best first. */
  *fixes(): Generator<Fix> {
    const cells: Cell[] = [];
    for (const lever of this.way.levers()) {
      if (lever.is === 'block') yield* this.#parts(lever.instance);
      else if (lever.is === 'count') yield* this.#counts(lever.instance);
      else if (lever.is === 'role') yield* this.#blocks(lever);
      else if (this.way.says.added) yield* this.#elements(lever.cell);
      else cells.push(lever.cell);
    }
    for (const cell of cells) yield* this.#values([cell]);
    if (cells.length > 1) yield* this.#values(cells);
  }

  /** Changes of a value that mend all that it is to mend; where there are none, those that mend the finding. */
  *#values(cells: readonly Cell[]): Generator<Fix> {
    this.#alike = this.others.filter((other) => other !== this.finding && this.#isMendedBy(other, cells));
    let found = false;
    for (const fix of this.#valuesFor(cells)) {
      found = true;
      yield fix;
    }
    if (found || this.#alike.length === 0) return;
    this.#alike = [];
    yield* this.#valuesFor(cells);
  }

  /** What it could set values to, whatever then comes of the rule. */
  options(): Option[] {
    const { way, machine } = this;
    const { value, base, added } = way.says;
    if (way.once !== undefined || base || added) return [];
    return way.levers().flatMap((lever): Option[] => {
      if (lever.is !== 'value' || isGivenByPart(lever.cell)) return [];
      const { cell } = lever;
      const computed = value && valueWhereFound(value, this.finding, machine);
      const text = computed === undefined ? undefined : this.#written(computed, cell);
      if (computed !== undefined) return text === undefined ? [] : [{ cell, value: computed, text }];
      return candidatesFor(cell, machine).map(({ value, text }) => ({ cell, value, text }));
    });
  }

  /** What it could set values to, where none of that mends anything by itself. */
  optionsThatFail(): Option[] {
    const all = this.options();
    return all.some(({ cell, value }) => this.#holdsWith([cell], value)) ? [] : all;
  }

  /** What it could set values to that brings a requirement nearer. */
  helping(): Helping[] {
    const short = this.#shortOf();
    return [...this.options(), ...this.#steps()].flatMap((option) => {
      const now = this.#valueNow(option.cell);
      const gain = 1 - this.#with([option.cell], option.value, () => this.#shortOf()) / short;
      return gain > 0 ? [{ ...option, gain, apart: apartFrom(now, option) }] : [];
    });
  }

  /** By how much a requirement falls short, below zero. */
  #shortOf(): number {
    const { engine } = this.machine;
    const measure = this.finding.target?.cell.measure?.();
    const by = measure && engine.under(this.finding.scenario, () => engine.value(measure));
    return typeof by === 'number' ? by : Number.NaN;
  }

  /** Numbers around what a value says, where it may be any. */
  #steps(): Option[] {
    const { machine } = this;
    if (this.way.once !== undefined) return [];
    return this.way.levers().flatMap((lever) => {
      const type = lever.is === 'value' ? lever.cell.member?.type : undefined;
      if (lever.is !== 'value' || type?.is !== 'quantity' || lever.cell.member?.sizes.length) return [];
      const { cell } = lever;
      const now = this.#valueNow(cell);
      if (typeof now !== 'number' || now <= 0) return [];
      const around = type.points
        ? kelvins.flatMap((by) => [now + by, now - by])
        : factors.flatMap((by) => [now * by, now / by]);
      return around.flatMap((number): Option[] => {
        const text = literalOf(number, cell, machine, 2);
        const value = text === undefined ? undefined : writtenValue(text, cell, machine);
        return text === undefined || value === undefined || value === now ? [] : [{ cell, value, text }];
      });
    });
  }

  /** Two values at once, where neither mends anything alone. */
  both(one: Option, other: Option): Fix | undefined {
    const { cell, value } = one;
    if (cell === other.cell || this.#holdsWith([cell], value) || this.#holdsWith([other.cell], other.value)) return;
    if (!this.#with([cell], value, () => this.#holdsWith([other.cell], other.value))) return;
    const said = [one, other].map((each) => `${this.#nameOf(each.cell)} to ${each.text}`);
    return this.#fix(`Set ${said.join(', and ')}`, writeValues([one, other], this.machine.entry));
  }

  #fix(title: string, edits: readonly TextEdit[]): Fix {
    const { once } = this.way;
    if (once === undefined) return { title, edits, mends: true };
    return { title: `${title}, once ${once}`, edits, mends: true, once };
  }

  // ---- a value ----

  /** The same value of one block, or of several. */
  *#valuesFor(cells: readonly Cell[]): Generator<Fix> {
    const { entry } = this.machine;
    // A value that a part gives describes that part: it cannot be chosen to mend something.
    const isFact = cells.some(isGivenByPart);
    const found = this.way.says.value ? this.#computed(cells) : isFact ? [] : this.#chosen(cells);
    for (const { text, verb } of found) {
      const edits = cells.map((cell) => writeValue(cell.instance, cell.name, text, entry));
      const of = listed(cells.map((cell) => this.#nameOf(cell)));
      yield this.#fix(verb === 'Set' ? `Set ${of} to ${text}` : `Take ${text} for ${of}`, edits);
    }
  }

  #nameOf({ instance, name }: Cell): string {
    return instance === this.finding.instance ? name : `${labelOf(instance, this.machine)}.${name}`;
  }

  /** What the way out says the value is to be, with as many digits as it takes for the rule to hold with what is written. */
  *#computed(cells: readonly Cell[]): Generator<{ text: string; verb: 'Set' }> {
    const { machine } = this;
    const cell = cells[0] as Cell;
    const value = valueWhereFound(this.way.says.value, this.finding, machine);
    if (typeof value !== 'number') {
      const text = this.#written(value, cell);
      if (text !== undefined && this.#holdsWith(cells, value)) yield { text, verb: 'Set' };
      return;
    }
    for (const asked of [value, ...this.#askedByOthers(cells)]) {
      const text = this.#rounded(asked, cells);
      if (text !== undefined) return yield { text, verb: 'Set' };
    }
  }

  /** A number with as few digits as it holds with. */
  #rounded(value: number, cells: readonly Cell[]): string | undefined {
    const cell = cells[0] as Cell;
    for (const digits of [3, 4, 5, 6]) {
      for (const nudge of [0, -1, 1]) {
        const rounded = nudge === 0 ? value : value * (1 + nudge * 0.5 * 10 ** (1 - digits));
        const text = literalOf(rounded, cell, this.machine, digits);
        const written = text === undefined ? undefined : writtenValue(text, cell, this.machine);
        if (written !== undefined && this.#holdsWith(cells, written)) return text;
      }
    }
    return undefined;
  }

  /** What the ways out of others that the same value mends say that it is to be. */
  #askedByOthers(cells: readonly Cell[]): number[] {
    return this.#alike.flatMap((other) =>
      this.#remediesBy(other, cells).flatMap(({ value }) => {
        const asked = value && valueWhereFound(value, other, this.machine);
        return typeof asked === 'number' ? asked : [];
      }),
    );
  }

  /** The least standard size, the option, the block, the part, or the nearest number with which the rule holds. */
  *#chosen(cells: readonly Cell[]): Generator<{ text: string; verb: 'Set' | 'Take' }> {
    const cell = cells[0] as Cell;
    const { type } = cell.member ?? {};
    if (type?.is === 'truth') {
      const value = this.#valueNow(cell) !== true;
      if (this.#holdsWith(cells, value)) yield { text: value ? 'yes' : 'no', verb: 'Set' };
      return;
    }
    const stands = this.#valueNow(cell);
    // What stands for itself, such as a material, is none of the machine's blocks.
    if (type?.is === 'instance' && !(stands instanceof Instance && stands.root !== this.machine.tree)) {
      for (const block of this.#blocksFor(cell, type.kind))
        if (this.#holdsWith(cells, block)) yield { text: block.label, verb: 'Set' };
    }
    const now = this.#valueNow(cell);
    const apart = ({ value }: { value: Value }) =>
      typeof value === 'number' && typeof now === 'number' && value * now > 0 ? Math.abs(Math.log(value / now)) : 0;
    const candidates = candidatesFor(cell, this.machine).toSorted((a, b) => apart(a) - apart(b));
    for (const { text, value } of candidates) {
      if (!this.#holdsWith(cells, value) || this.#waitsGravely(cells, value)) continue;
      yield { text, verb: type?.is === 'choice' ? 'Set' : 'Take' };
    }
    if (type?.is !== 'quantity' || candidates.length > 0 || typeof now !== 'number') return;
    const unit = unitFor(now, type, this.machine.scope.system, cell.member?.shown);
    const isMeant = (number: number) => now <= 0 || number > 0 || (type.points ?? false);
    const found = nearestThatHold(now, (number) => isMeant(number) && this.#holdsWith(cells, number), {
      factor: unit?.factor ?? 1,
      zero: unit?.zero ?? 0,
      isWhole: (!unit || unit.text === '1') && Number.isInteger(now),
      isPoint: type.points ?? false,
    });
    for (const value of found) {
      const text = literalOf(value, cell, this.machine, 4);
      if (text !== undefined) yield { text, verb: 'Set' };
    }
  }

  /** Blocks of the machine that a value could point at. */
  #blocksFor(cell: Cell, kind: Kind | undefined): Instance[] {
    const now = this.#valueNow(cell);
    return this.machine.tree
      .all()
      .filter((each) => kind && each.kind.isA(kind) && each.holder && each !== now && each !== cell.instance);
  }

  #valueNow(cell: Cell): Value {
    const { engine } = this.machine;
    return engine.under(this.finding.scenario, () => engine.aside(() => engine.value(cell)));
  }

  /** Would a rule about people's safety wait behind the value, for something that is not given? */
  #waitsGravely(cells: readonly Cell[], value: Value): boolean {
    const waits = () => cells.some((cell) => waitingBehind(cell, this.machine).some(({ caution }) => caution));
    return this.#with(cells, value, waits);
  }

  #written(value: Value, cell: Cell): string | undefined {
    if (Array.isArray(value)) {
      const parts = value.map((each) => this.#written(each, cell));
      return parts.includes(undefined) ? undefined : `[${parts.join(', ')}]`;
    }
    if (!(value instanceof Instance)) return literalOf(value, cell, this.machine);
    return value.holder === cell.instance ? value.name : labelOf(value, this.machine);
  }

  /** Does the rule hold with a value in place of what cells say, and with it all that is to be mended by the same value? */
  #holdsWith(cells: readonly Cell[], value: Value): boolean {
    return this.#with(cells, value, () => [this.finding, ...this.#alike].every((goal) => this.#holdsNow(goal)));
  }

  #with<T>(cells: readonly Cell[], value: Value, work: () => T): T {
    const { engine } = this.machine;
    const before = cells.map(({ trial }) => trial);
    for (const cell of cells) putInPlace(cell, value, engine);
    try {
      return work();
    } finally {
      for (const [i, cell] of cells.entries()) putInPlace(cell, before[i], engine);
    }
  }

  #holdsNow(finding: Finding): boolean {
    const { engine } = this.machine;
    const { scenario } = finding;
    const verdict = (askedBy(finding, engine) as Asked).cell;
    const holds = (value: Value) => value !== false && !isMissing(value);
    return holds(engine.under(scenario, () => engine.value(verdict))) && engine.corners(verdict).values.every(holds);
  }

  /** Others that a way out of theirs would mend by the same value. */
  #alike: readonly Finding[] = [];

  #isMendedBy(other: Finding, cells: readonly Cell[]): boolean {
    return this.#remediesBy(other, cells).length > 0;
  }

  #remediesBy(other: Finding, cells: readonly Cell[]): Remedy[] {
    return (other.declared?.remedies ?? []).filter((remedy) =>
      leversOf(remedy, other, this.machine).some((lever) => lever.is === 'value' && cells.includes(lever.cell)),
    );
  }

  /** Others of which a way out would take another part for the same block. */
  #askingFor(instance: Instance): Finding[] {
    const takes = (other: Finding) =>
      (other.declared?.remedies ?? []).some((remedy) =>
        leversOf(remedy, other, this.machine).some((lever) => lever.is === 'block' && lever.instance === instance),
      );
    return this.others.filter((other) => other !== this.finding && takes(other));
  }

  // ---- a part ----

  /** Parts that could stand in a block's place, the nearest to what it is now of each kind by turns, its own kind first. */
  *#parts(instance: Instance): Generator<Fix> {
    const { entry } = this.machine;
    const found = [...this.#partsOf(instance.kind)]
      .map((each) => ({ ...each, apart: distance(each.part, instance, this.machine) }))
      .sort((a, b) => a.apart - b.apart);
    const isThere = ({ part }: { part: Instance }) => part.layers[0]?.node === instance.part;
    const alike = this.#askingFor(instance);
    const mendsAll = ({ part }: { part: Instance }) => Number(this.#couldMend(part, instance, alike));
    const others = found
      .filter((each) => !isThere(each) && this.#couldMend(each.part, instance))
      .sort((a, b) => mendsAll(b) - mendsAll(a));
    const what = instance === this.finding.instance ? '' : ` for ${labelOf(instance, this.machine)}`;
    // In a block, its numbers may describe the thing that stands there, and go with it, or how it is used, and stay. Both are tried.
    for (const { name, part } of byTurns(others, instance.kind).slice(0, mostParts)) {
      for (const anew of instance.part ? [false] : [false, true]) {
        const edits = writePart(instance, name, part, entry, anew);
        if (edits.length > 0) yield this.#fix(`Take ${name}${what}`, edits);
      }
    }
    if (!instance.part) return;
    const same = found.filter(isThere);
    const rest = byTurns(
      found.filter((each) => !isThere(each)),
      instance.kind,
    );
    for (const each of [...same, ...rest].slice(0, mostParts)) {
      const { name, part } = each;
      const before = isThere(each) ? 0 : takenOver(instance, part, entry, false).length;
      if (takenOver(instance, part, entry, true).length <= before) continue;
      const edits = writePart(instance, name, part, entry, true);
      yield this.#fix(`Take ${name}${what} as it is, without numbers of its own`, edits);
    }
  }

  /**
   * Does the rule hold with the values of a part, as far as that can be told without writing it? Not where it is of another kind,
   * brings blocks, or leaves to its kind what the present part gives.
   */
  #couldMend(part: Instance, instance: Instance, goals: readonly Finding[] = [this.finding]): boolean {
    const { engine } = this.machine;
    const values = valuesInstead(part, instance, engine);
    if (!values) return true;
    const tried = values.map((each) => ({ ...each, before: each.cell.trial }));
    for (const { cell, value } of tried) putInPlace(cell, value, engine);
    try {
      return goals.every((goal) => this.#holdsNow(goal));
    } finally {
      for (const { cell, before } of tried) putInPlace(cell, before, engine);
    }
  }

  /** The part that the way out names, or those of the kind that it names or of `kind`: as they are ranked. */
  *#partsOf(kind: Kind | undefined): Generator<{ name: string; part: Instance }> {
    const { scope, engine } = this.machine;
    const named = this.way.says.base?.text;
    const found = named ? scope.find(named) : undefined;
    if (found?.node.$type === 'Declaration') {
      const part = blockStandingFor(found.node, found.scope, engine);
      if (part && named) yield { name: named, part };
      return;
    }
    const wanted = named ? scope.kindNamed(named) : kind;
    if (wanted) yield* partsOfKind(wanted, this.machine);
  }

  // ---- a block ----

  /** As many of a block as the way out says. */
  *#counts(instance: Instance): Generator<Fix> {
    const count = valueWhereFound(this.way.says.value, this.finding, this.machine);
    if (typeof count !== 'number' || count === instance.count) return;
    const edit = writeCount(instance, count, this.machine.entry);
    if (edit) yield this.#fix(`Take ${count} of ${labelOf(instance, this.machine)}`, [edit]);
  }

  *#blocks({ holder, role }: Extract<Lever, { is: 'role' }>): Generator<Fix> {
    const { entry } = this.machine;
    for (const { name, part } of [...this.#partsOf(kindOfRole(role))].slice(0, mostAdded)) {
      const free = freeName(hasOwnName(role) ? role.name : (kindOfRole(role)?.name ?? role.name), holder);
      const line = hasOwnName(role) || free === kindOfRole(role)?.name ? free : `${part.kind.name} ${free}`;
      const where = holder.holder ? ` to ${labelOf(holder, this.machine)}` : '';
      yield this.#fix(`Add ${line} is ${name}${where}`, [writeBlock(holder, `${line} is ${name}`, entry)]);
    }
  }

  // ---- an element of a list ----

  /** Puts a block of the kind into the list: one that stands in no list yet, or a new one. */
  *#elements(cell: Cell): Generator<Fix> {
    const { machine } = this;
    const { added, after: behindKind } = this.way.says;
    const kind = machine.scope.kindNamed(added?.text ?? '');
    const list = this.#valueNow(cell);
    if (!kind || !Array.isArray(list)) return;
    const after = behindKind && machine.scope.kindNamed(behindKind.text);
    const behind = after ? list.findIndex((each) => each instanceof Instance && each.kind.isA(after)) + 1 || 1 : 0;
    const index = behind || Math.max(0, list.length - 1);
    const put = (element: string, at = index) => writeElement(cell.instance, cell.name, element, at, machine.entry);
    const into = `${labelOf(cell.instance, machine)}.${cell.name}`;
    const branch = behind ? this.#sharedFrom(list, cell) : 0;
    for (const block of [...this.#idle(kind, cell), ...this.#shared(kind, list, cell)]) {
      const name = block.holder === cell.instance ? block.name : labelOf(block, machine);
      for (const at of branch > index ? [index, branch] : [index]) {
        const edit = put(name, at);
        if (edit) yield this.#fix(`Put ${labelOf(block, machine)} into ${into}`, [edit]);
      }
    }
    const holder = this.#homeFor(kind, list, cell);
    const isOwn = holder === cell.instance;
    for (const { name, part } of partsOfKind(kind, machine).slice(0, mostAdded)) {
      const free = freeName(kind.name, holder, holder.holder ? undefined : cell.instance);
      const line = free === kind.name ? `${free} is ${name}` : `${part.kind.name} ${free} is ${name}`;
      const edit = put(holder.holder && !isOwn ? `${labelOf(holder, machine)}.${free}` : free);
      if (!edit) continue;
      yield this.#fix(`Put a ${kind.name} ${name} into ${into}`, [writeBlock(holder, line, machine.entry), edit]);
    }
  }

  /** Blocks of a kind that no such list names, nor another that stands beside one: what lies in a box may be in no path. */
  #idle(kind: Kind, { member: list }: Cell): Instance[] {
    const all = this.machine.tree.all();
    const named = new Set<Value>();
    for (const instance of all) {
      for (const member of instance.kind.members.values()) {
        const isAlike = member.owner === list?.owner && member.type.is === 'list' && member.role !== 'derived';
        const cell = isAlike ? cellOf(instance, member.name) : undefined;
        const value = cell && this.#valueNow(cell);
        if (Array.isArray(value)) for (const each of value) named.add(each);
      }
    }
    return all.filter((each) => each.kind.isA(kind) && each.holder && !named.has(each));
  }

  /** Blocks of a kind that stand in another such list, which begins as this one does: both may share it. */
  #shared(kind: Kind, list: readonly Value[], { name, member, instance }: Cell): Instance[] {
    const found = new Set<Instance>();
    for (const other of this.machine.tree.all()) {
      const cell = other !== instance && other.member(name) === member ? cellOf(other, name) : undefined;
      const value = cell && this.#valueNow(cell);
      if (!Array.isArray(value) || value[0] !== list[0]) continue;
      for (const each of value)
        if (each instanceof Instance && each.kind.isA(kind) && !list.includes(each)) found.add(each);
    }
    return [...found];
  }

  /** With how many of its elements another such list begins as well: what is to be in this one alone stands behind them. */
  #sharedFrom(list: readonly Value[], { name, member, instance }: Cell): number {
    const counts = this.machine.tree.all().map((other) => {
      const cell = other !== instance && other.member(name) === member ? cellOf(other, name) : undefined;
      const value = cell && this.#valueNow(cell);
      if (!Array.isArray(value)) return 0;
      const parts = list.findIndex((each, i) => each !== value[i]);
      return parts < 0 ? list.length : parts;
    });
    return Math.max(0, ...counts);
  }

  /** Where a new block of a kind belongs: with the last of the list, or in the list's own block, where that has a role for it; else beside the list. */
  #homeFor(kind: Kind, list: readonly Value[], { instance }: Cell): Instance {
    const last = list.at(-1);
    const hasRoom = (holder: Instance | undefined) =>
      holder?.kind.roles.some((role) => kindOfRole(role) === kind && holder.filling(role).length === 0);
    const around = last instanceof Instance ? last.holder : undefined;
    return [around, instance].find(hasRoom) ?? instance.holder ?? this.machine.tree;
  }
}

/** How far a part lies from a block, in what the part gives and its kind is ranked by, as far as the block has it. */
function distance(part: Instance, instance: Instance, { engine }: Machine): number {
  const amount = (of: Instance, name: string) => {
    const cell = cellOf(of, name);
    const value = cell?.member?.parameters.length === 0 ? engine.aside(() => engine.value(cell)) : undefined;
    return typeof value === 'number' && value > 0 ? Math.log(value) : undefined;
  };
  const names = new Set([...instance.kind.ranking, ...part.layers.flatMap(givenIn)]);
  const steps = [...names].map((name) => {
    const [a, b] = [amount(part, name), amount(instance, name)];
    return a === undefined || b === undefined ? 0 : Math.abs(a - b);
  });
  return steps.reduce((sum, step) => sum + step, 0);
}

/** The first of each kind, then the second of each, and so on. */
function byTurns<T extends { part: Instance }>(parts: readonly T[], first: Kind): T[] {
  const kinds = [...new Set([first, ...parts.map(({ part }) => part.kind)])];
  const groups = kinds.map((kind) => parts.filter(({ part }) => part.kind === kind));
  const longest = Math.max(...groups.map((group) => group.length));
  return Array.from({ length: longest }, (_, i) => groups.flatMap((group) => group[i] ?? [])).flat();
}

/** How far an option is from what stands there: for numbers the logarithm of their ratio, points of temperature by hundreds of kelvins. */
function apartFrom(now: Value, { cell: { member }, value }: Option): number {
  if (typeof now !== 'number' || typeof value !== 'number') return 1;
  if (member?.type.is === 'quantity' && member.type.points) return Math.abs(value - now) / 100;
  return now * value > 0 ? Math.abs(Math.log(value / now)) : 1;
}

/** How a block is named from anywhere in its machine; a part that stands for itself by its own name. */
function labelOf(instance: Instance, machine: Machine): string {
  return instance === machine.tree ? instance.name : instance.label;
}

/** A name that nothing goes by in a block, nor in the one where it is to be written. */
function freeName(wanted: string, holder: Instance, from?: Instance): string {
  const taken = (name: string) =>
    holder.children.has(name) ||
    holder.member(name)?.role === 'needed' ||
    (from !== undefined && from !== holder && (from.children.has(name) || from.member(name) !== undefined));
  if (!taken(wanted)) return wanted;
  for (let n = 2; ; n++) if (!taken(`${wanted}_${n}`)) return `${wanted}_${n}`;
}

function writtenValue(text: string, cell: Cell, machine: Machine): number | undefined {
  const [number = '', unit] = text.split(' ');
  const found = unit ? machine.scope.system.unit(unit) : undefined;
  if (found && !('factor' in found)) return undefined;
  return cell.member ? Number(number) * (found?.factor ?? 1) + (found?.zero ?? 0) : undefined;
}

/** An acceptance that states no value could never lapse: the present value is offered. */
function acceptedValue(finding: Finding, machine: Machine): Fix[] {
  const { accepted, declared } = finding;
  if (!accepted?.valueless || !declared || accepted.node.$type !== 'Acceptance') return [];
  const rule = (accepted.node as { rule?: Parameters<typeof rangeOf>[0] }).rule;
  if (!rule) return [];
  const value = valueNow(finding, machine);
  const { end } = rangeOf(rule);
  return value
    ? [
        {
          title: `State the value accepted: ${value.shown}`,
          edits: [{ start: end, end, text: ` at ${value.written}` }],
          mends: false,
        },
      ]
    : [];
}

/** The value that a rule found fault with, as it is shown and as it is to be written; undefined where the rule compares none. */
function valueNow(finding: Finding, { engine }: Machine): { shown: string; written: string } | undefined {
  const { holds, frame, ctx } = askedBy(finding, engine) as Asked;
  return engine.under(finding.scenario, () =>
    engine.aside(() => {
      const margin = leastMargin(holds.map((part) => marginOf(part, frame, ctx)));
      return (
        margin && {
          shown: showExpression(margin.value, frame, ctx),
          written: showExpression(margin.value, frame, ctx, { asWritten: true }),
        }
      );
    }),
  );
}

/**
 * The statement that accepts a finding at the value that it has now, its reason left open: only who builds the machine knows one. Undefined
 * where nothing is to be accepted: what people can be hurt by, what is accepted already, and what the machine's own text has no block for.
 */
export function acceptance(finding: Finding, machine: Machine): Fix | undefined {
  const { accepted, caution, declared, instance, rule } = finding;
  if (accepted || caution || !declared || !ownStatement(instance, machine.entry)) return undefined;
  const value = valueNow(finding, machine);
  const [accept, at, because]: GussetKeywordNames[] = ['accept', 'at', 'because'];
  const line = [accept, rule, ...(value ? [at, value.written] : []), because, '""'].join(' ');
  return {
    title: `Accept ${rule}${value ? ` at ${value.shown}` : ''}, for a reason of yours`,
    edits: [writeBlock(instance, line, machine.entry)],
    mends: false,
  };
}
