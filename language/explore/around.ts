import { cellAt } from '../answers/derivation.ts';
import type { Cell } from '../compute/cell.ts';
import { literalOf, showCell, valueOver } from '../compute/show-cell.ts';
import { candidatesFor } from '../judge/candidates.ts';
import { putInPlace } from '../judge/trials.ts';
import { meantRange } from '../judge/whatever.ts';
import { listed } from '../mistakes/sentence.ts';
import { alone, type Side } from '../one-machine.ts';
import type { Assessed } from '../project.ts';
import { isUnit } from '../units/units.ts';
import { failing } from './sweeping.ts';

/** Why it cannot be told how far a number can go. */
export class AroundError extends Error {}

/** A number, as it is written and as people read it. */
interface Said {
  readonly text: string;
  readonly shown: string;
}

/** How far a number can go one way. */
export interface Edge {
  /** The furthest for which everything is decided as it is now. */
  readonly last: Said;
  /** The next one, and what turns there, as in `wire_overloaded (bed_power.wire) fails`; undefined where nothing does, as far as can be meant. */
  readonly next?: Said & { readonly turns: readonly string[] };
}

/** A number of a machine, and how far it can go either way before a rule or a requirement turns. */
export interface Around {
  readonly path: string;
  readonly shown: string;
  readonly less: Edge;
  readonly more: Edge;
}

/** Between two numbers of which one is twice the other, so many are looked at; where something turns is then found by halves. */
const inADoubling = 2;
const mostDoublings = 20;
const mostHalves = 14;
/** Digits in which the furthest number is told: no more than the halves find. */
const digits = 3;

/**
 * How far a number that is given, or taken by default, can go before a rule or a requirement turns: among its standard sizes, where it has such,
 * else by looking at numbers further and further off, and halving where one turns. What turns and turns back between two of them is missed.
 * Open choices stay as they were solved. Throws an `AroundError` where there is no such number.
 */
export function around(side: Side, path: string): Around {
  const { project, file, machine: name } = alone(side, [side.machine]);
  const machine = project.machines(file).find(({ tree }) => tree.name === name);
  const cell = machine && cellAt(path, machine);
  const value = cell && !cell.called && valueOver(cell, machine);
  const isSaid = cell && (cell.definition.origin === 'given' || cell.definition.origin === 'default');
  if (!machine || !cell?.member || !isSaid || typeof value !== 'number')
    throw new AroundError(`${name} has no number ${path} that is given, or taken by default, as one and no range`);
  return new Numbers(cell, value, machine).around(path);
}

class Numbers {
  readonly #cell: Cell;
  readonly #value: number;
  readonly #machine: Assessed;
  readonly #now: ReadonlySet<string>;
  constructor(cell: Cell, value: number, machine: Assessed) {
    this.#cell = cell;
    this.#value = value;
    this.#machine = machine;
    this.#now = new Set(failing(machine));
  }

  around(path: string): Around {
    const sizes = candidatesFor(this.#cell, this.#machine).flatMap(({ text, shown, value }) =>
      typeof value === 'number' ? [{ text, shown, value }] : [],
    );
    const edge = (sign: -1 | 1) => (sizes.length > 0 ? this.#amongSizes(sizes, sign) : this.#byHalves(sign));
    return { path, shown: this.#said(this.#value).shown, less: edge(-1), more: edge(1) };
  }

  /** What turns where the number is this. */
  #turns(value: number): string[] {
    putInPlace(this.#cell, value, this.#machine.engine);
    const fails = new Set(failing(this.#machine));
    const come = [...fails].filter((each) => !this.#now.has(each)).map((each) => `${each} fails`);
    const gone = [...this.#now].filter((each) => !fails.has(each)).map((each) => `${each} no longer fails`);
    return [...come, ...gone];
  }

  #amongSizes(sizes: readonly (Said & { value: number })[], sign: -1 | 1): Edge {
    let last: Said = this.#said(this.#value);
    const further = sizes.filter(({ value }) => sign * (value - this.#value) > 0);
    for (const { text, shown, value } of sign > 0 ? further : further.toReversed()) {
      const turns = this.#turns(value);
      if (turns.length > 0) return { last, next: { text, shown, turns } };
      last = { text, shown };
    }
    return { last };
  }

  #byHalves(sign: -1 | 1): Edge {
    const { member, instance } = this.#cell;
    const meant = member && meantRange(member, instance, this.#machine.engine);
    // A number without a unit that is whole is a count.
    const isCounted = Number.isInteger(this.#value) && !this.#said(this.#value).text.includes(' ');
    const end = sign > 0 ? (meant?.high ?? Number.POSITIVE_INFINITY) : (meant?.low ?? Number.NEGATIVE_INFINITY);
    let same = this.#value;
    for (const at of this.#further(sign, end, isCounted)) {
      if (this.#turns(at).length > 0) return this.#between(same, at, sign, isCounted);
      same = at;
    }
    return { last: this.#said(same) };
  }

  /** Where it turns between a number where nothing does and one where something does. */
  #between(from: number, to: number, sign: -1 | 1, isCounted: boolean): Edge {
    let [same, turned] = [from, to];
    for (let n = 0; n < mostHalves; n++) {
      const middle: number = isCounted ? Math.round((same + turned) / 2) : (same + turned) / 2;
      if (this.#turns(middle).length > 0) turned = middle;
      else same = middle;
    }
    const { value: _, ...last } = this.#roundedOff(same, -sign, false);
    return { last, next: this.#beyond(turned, sign) };
  }

  /** Numbers further and further off, up to an end: in doublings of the number itself, or of what it is above its lowest. */
  *#further(sign: -1 | 1, end: number, isCounted: boolean): Generator<number> {
    const [value, most] = [this.#value, inADoubling * mostDoublings];
    for (let n = 1; n <= most; n++) {
      const far = value === 0 || this.#isPoint ? sign * (2 ** (n / inADoubling) - 1) : 0;
      const scaled = value * 2 ** ((sign * Math.sign(value) * n) / inADoubling);
      const at = far === 0 ? scaled : value + far;
      const next = isCounted ? Math.round(at) : at;
      if (sign * (end - next) <= 0) {
        yield end;
        return;
      }
      yield next;
    }
  }

  /** Of a point of temperature no double can be meant. */
  get #isPoint(): boolean {
    const type = this.#cell.member?.type;
    return type?.is === 'quantity' && type.points === true;
  }

  /** A number in few digits, as it is told, so that something turns there or nothing does; at most two steps of its last digit further. */
  #roundedOff(value: number, sign: number, turns: boolean): Said & { readonly value: number } {
    const { number, unit } = this.#read(this.#said(value));
    const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - digits + 1) * unit;
    for (const shift of [0, 1, 2]) {
      const said = this.#said(value + sign * shift * step);
      const read = this.#read(said);
      if (this.#turns(read.value).length > 0 === turns) return { ...said, value: read.value };
    }
    return { ...this.#said(value), value };
  }

  #beyond(turned: number, sign: number): Edge['next'] {
    const { value, ...said } = this.#roundedOff(turned, sign, true);
    return { ...said, turns: this.#turns(value) };
  }

  #said(value: number): Said {
    const text = literalOf(value, this.#cell, this.#machine, digits) ?? String(value);
    return { text, shown: showCell(this.#cell, this.#machine, value) };
  }

  /** A number as it is written, what one of its unit is, and what it comes to. */
  #read({ text }: Said): { readonly number: number; readonly unit: number; readonly value: number } {
    const [written = '', symbol] = text.split(' ');
    const found = symbol === undefined ? undefined : this.#machine.scope.system.unit(symbol);
    const { factor = 1, zero = 0 } = found && isUnit(found) ? found : {};
    const number = Number(written);
    return { number, unit: factor, value: number * factor + zero };
  }
}

/** All of it in a sentence: "From 1.5 mm² to 6 mm² nothing changes. At 1 mm²: wire_overloaded fails." */
export function aroundInWords({ less, more }: Around): string {
  const beyond = ({ next }: Edge) => next && `At ${next.shown}: ${listed(next.turns, 3)}.`;
  const ends =
    less.last.shown === more.last.shown
      ? `At ${less.last.shown} alone`
      : `From ${less.last.shown} to ${more.last.shown}`;
  return [`${ends} no verdict changes.`, beyond(less), beyond(more)].filter(Boolean).join(' ');
}
