import { cellAt } from '../answers/derivation.ts';
import { type Cell, cellOf } from '../compute/cell.ts';
import { type Machine, targetsOf } from '../compute/machine.ts';
import { literalOf, showCell, typeOfCell, valueOver } from '../compute/show-cell.ts';
import { parse } from '../grammar/parser.ts';
import { textOf } from '../grammar/syntax.ts';
import { candidatesFor } from '../judge/candidates.ts';
import { writePart, writeValue, writeValues } from '../judge/edit.ts';
import { isLaidAside } from '../judge/finding.ts';
import { rulesOn, verdictCell } from '../judge/rule.ts';
import { putInPlace } from '../judge/trials.ts';
import { decide } from '../judge/verdicts.ts';
import { meantRange } from '../judge/whatever.ts';
import { buildPart, type Instance } from '../machine/tree.ts';
import { type TextEdit, withEdits } from '../mistakes/mistake.ts';
import type { Type } from '../names/type.ts';
import { alone, rewrite, type Side } from '../one-machine.ts';
import type { Assessed } from '../project.ts';
import type { UnitSystem } from '../units/units.ts';
import { showValue } from '../values/show.ts';
import { Bounds, Money, Range, Sides, type Value } from '../values/value.ts';

/** Why something cannot be gone through. */
export class SweepError extends Error {}

/** What is gone through: a value over numbers or words, or the part of a block over parts. */
interface Axis {
  /** The path below the machine. */
  readonly path: string;
  /** What is put there, as it is written and as people read it. */
  readonly stops: readonly Stop[];
  readonly isPart: boolean;
  /** Is the text written anew for each stop, since it changes which blocks there are, or what is pointed at? */
  readonly isWritten: boolean;
  readonly type: Type | undefined;
  /** What stands there as it is written, as people read it, and which stop is nearest to that. */
  readonly now: string;
  readonly nearest: number;
}

interface Stop {
  readonly text: string;
  readonly shown: string;
  readonly value: Value;
  /** Does it lie between others, so that its text is no value? */
  readonly isComputed?: boolean;
}

/** A value at a point. */
export interface SweptValue {
  readonly shown: string;
  /** Its ends in coherent units, over the ranges that it rests on; undefined where it is no number, or not known. */
  readonly ends?: readonly [number, number];
}

/** What comes of one combination. */
export interface SweptPoint {
  /** For each axis which of its stops. */
  readonly at: readonly number[];
  readonly values: readonly SweptValue[];
  /** What fails there: errors, warnings and requirements, without what was accepted. */
  readonly fails: readonly string[];
}

/** So many points are gone through at most. */
const mostPoints = 100_000;
/** Around a temperature it is gone so far each way (K). */
const pointsAround = 30;
/** As precise is a stop as it is written. */
const stopDigits = 6;
/** Stops between two ends for which no step is said, both ends counted. */
const stopsUnsaid = 11;

/**
 * A machine gone through combinations of values and parts. Values are put in place of what the text says, and only what rests on them is
 * computed again; for parts the text is written anew. Open choices stay as they were solved. Throws a `SweepError` where an axis
 * or a value that is to be shown cannot be had.
 */
export class Sweep {
  readonly axes: readonly Axis[];
  readonly shown: readonly { readonly path: string; readonly type: Type }[];
  readonly count: number;
  readonly #side: Side;
  readonly #text: string;
  /** Which parts the text has now; undefined where it has to be written anew. */
  #parts: string | undefined = '';
  #machine: Machine;

  constructor(side: Side, over: readonly string[], show: readonly string[]) {
    this.#side = alone(side, [side.machine]);
    this.#text = this.#side.file.parsed.text;
    this.#machine = this.#present();
    const axes = over.map((text) => this.#axis(text));
    // What is written comes first: the text is written anew as seldom as can be.
    this.axes = [...axes.filter(({ isWritten }) => isWritten), ...axes.filter(({ isWritten }) => !isWritten)];
    this.count = this.axes.reduce((product, { stops }) => product * stops.length, 1);
    if (this.count > mostPoints)
      throw new SweepError(`these are ${this.count} points, and ${mostPoints} at most are gone through`);
    this.shown = show.map((path) => ({ path, type: typeOfCell(this.#cell(path)) }));
  }

  /** The units that its values are in. */
  get system(): UnitSystem {
    return this.#machine.scope.system;
  }

  /** The points from one number to another, in their order. */
  *points(from = 0, to = this.count): Generator<SweptPoint> {
    for (let n = from; n < Math.min(to, this.count); n++) yield this.#point(this.#stopsOf(n));
  }

  /** The machine judged whole, its sheet and all, with some of the axes at their stops and the others as they are written. */
  judgedAt(at: readonly (number | undefined)[]): Assessed {
    const { project, file, machine: name } = this.#side;
    const chosen = this.axes.flatMap((axis, i) => {
      const stop = at[i] === undefined ? undefined : axis.stops[at[i]];
      return stop ? [{ axis, stop }] : [];
    });
    this.#parts = undefined;
    this.#write(this.#text);
    for (const { axis, stop } of chosen) if (axis.isPart) this.#write(this.#withPart(axis.path, stop.text));
    const machine = this.#machine;
    const values = chosen.flatMap(({ axis, stop }) => {
      const cell = axis.isPart ? undefined : cellAt(axis.path, machine);
      const text = cell && (stop.isComputed ? literalOf(stop.value, cell, machine, stopDigits) : stop.text);
      return cell && text !== undefined ? [{ cell, text }] : [];
    });
    if (values.length > 0) this.#write(this.#edited(writeValues(values, machine.entry)));
    return project.machines(file).find(({ tree }) => tree.name === name) as Assessed;
  }

  #stopsOf(n: number): number[] {
    let left = n;
    const at: number[] = [];
    for (const { stops } of this.axes.toReversed()) {
      at.unshift(left % stops.length);
      left = Math.floor(left / stops.length);
    }
    return at;
  }

  #point(at: readonly number[]): SweptPoint {
    const chosen = this.axes.map((axis, i) => ({ axis, stop: axis.stops[at[i] as number] as Stop }));
    const parts = chosen.filter(({ axis }) => axis.isWritten);
    const key = parts.map(({ stop }) => stop.text).join();
    if (key !== this.#parts) {
      this.#write(this.#text);
      for (const { axis, stop } of parts)
        this.#write(axis.isPart ? this.#withPart(axis.path, stop.text) : this.#withValue(axis.path, stop.text));
      this.#parts = key;
    }
    for (const { axis, stop } of chosen)
      if (!axis.isWritten) putInPlace(this.#cell(axis.path), stop.value, this.#machine.engine);
    return { at, values: this.shown.map(({ path }) => this.#value(path)), fails: failing(this.#machine) };
  }

  #value(path: string): SweptValue {
    const cell = this.#cell(path);
    const value = valueOver(cell, this.#machine);
    const ends = endsOf(value);
    return { shown: showCell(cell, this.#machine, value), ...(ends && { ends }) };
  }

  // ---- what is gone through ----

  /** `PATH = LOW .. HIGH step STEP`, `PATH = [A, B]` or `PATH is [PART, PART]`. */
  #axis(text: string): Axis {
    const [, path = '', sign, rest = ''] = /^\s*([^=]*?)\s*(=|\bis\b)\s*(.*?)\s*$/su.exec(text) ?? [];
    if (!sign && text.trim()) return this.#axis(this.#usual(text.trim()));
    if (!path || !rest)
      throw new SweepError(
        `${text} does not say what is gone through: expected PATH = 1 W .. 3 W step 1 W, PATH = [1 W, 3 W], or PATH is [one_part, other_part]`,
      );
    return sign === 'is' ? this.#partAxis(path, rest) : this.#valueAxis(path, rest);
  }

  /** What is gone through where only a value is named: what it can be chosen from, or from half of it to twice as much, as far as can be meant. */
  #usual(path: string): string {
    const cell = this.#cell(path);
    const { engine } = this.#machine;
    const choices = candidatesFor(cell, this.#machine).map(({ text }) => text);
    if (choices.length > 1) return `${path} = [${choices.join(', ')}]`;
    const value = engine.under(engine.low, () => engine.value(cell));
    const type = typeOfCell(cell);
    if (typeof value !== 'number' || type.is !== 'quantity')
      throw new SweepError(`${path} is no number: say what it is gone through, as in ${path} = [ONE, OTHER]`);
    const meant = cell.member && meantRange(cell.member, cell.instance, engine);
    const [low, high] = (type.points ? [value - pointsAround, value + pointsAround] : [value / 2, value * 2]).map(
      (end) => literalOf(Math.min(Math.max(end, meant?.low ?? end), meant?.high ?? end), cell, this.#machine),
    );
    return `${path} = ${low} .. ${high}`;
  }

  #partAxis(path: string, text: string): Axis {
    const stops = listIn(text).map((name): Stop => {
      this.#tried(this.#withPart(path, name), `${path} is ${name}`);
      return { text: name, shown: name, value: name };
    });
    if (stops.length === 0) throw new SweepError(`${text} lists no parts: expected [one_part, other_part]`);
    const now = this.#block(path).part?.name?.text ?? 'none';
    return {
      path,
      stops,
      isPart: true,
      isWritten: true,
      type: undefined,
      now,
      nearest: stops.findIndex(({ text: each }) => each === now),
    };
  }

  #valueAxis(path: string, text: string): Axis {
    const cell = this.#cell(path);
    const type = typeOfCell(cell);
    const say = (written: string): Value => {
      let value: Value | undefined;
      this.#tried(this.#withValue(path, written), `${path} = ${written}`, () => {
        value = this.#machine.engine.value(this.#cell(path));
      });
      return value as Value;
    };
    const range = /^(.+?)\s*\.\.\s*(.+?)(?:\s+step\s+(.+))?$/su.exec(text);
    const stops = range
      ? this.#stepped(range[1] as string, range[2] as string, range[3], say)
      : listIn(text).map((written) => ({ text: written, value: say(written) }));
    if (stops.length === 0) throw new SweepError(`${text} lists no values: expected [1 W, 3 W] or 1 W .. 3 W step 1 W`);
    const { system } = this.#machine.scope;
    const shown = (value: Value) => showValue(value, type, system, { shown: cell.member?.shown });
    return {
      path,
      type,
      now: showCell(cell, this.#machine),
      nearest: nearestTo(this.#machine.engine.value(cell), stops),
      isPart: false,
      isWritten: stops.some(
        ({ value }) => typeof value === 'object' && !(value instanceof Money || value instanceof Sides),
      ),
      stops: stops.map((stop) => ({ ...stop, shown: shown(stop.value) })),
    };
  }

  #stepped(low: string, high: string, step: string | undefined, say: (written: string) => Value) {
    const [from, to] = [say(low), say(high)];
    if (typeof from !== 'number' || typeof to !== 'number')
      throw new SweepError(`${low} .. ${high} are no two numbers between which there are others`);
    const by = step === undefined ? (to - from) / (stopsUnsaid - 1) : this.#stepOf(low, step, from, say);
    if (!(by > 0) || to < from)
      throw new SweepError(`from ${low} in steps of ${step ?? 'nothing'} one does not come to ${high}`);
    const number = Math.floor((to - from) / by + 1e-9) + 1;
    if (number > mostPoints) throw new SweepError(`${low} .. ${high} step ${step} are ${number} values`);
    return Array.from({ length: number }, (_, i) => ({
      text: `${low} + ${i} * step`,
      value: from + i * by,
      isComputed: true,
    }));
  }

  /** A step as a number: what it adds to the low end, so that of a temperature it is a difference. */
  #stepOf(low: string, step: string, from: number, say: (written: string) => Value): number {
    const next = say(`${low} + ${step}`);
    return typeof next === 'number' ? next - from : Number.NaN;
  }

  // ---- texts ----

  #present(): Machine {
    const { project, file, machine } = this.#side;
    const found = project.computed(file).find(({ tree }) => tree.name === machine);
    if (!found) throw new SweepError(`there is no machine ${machine}`);
    return found;
  }

  #write(text: string): void {
    this.#side.project.update(this.#side.file.uri, text);
    this.#machine = this.#present();
  }

  /** Throws where a text has a mistake that the first has not; does some work while it stands. */
  #tried(text: string, what: string, work: () => void = () => {}): void {
    const mistake = rewrite(this.#side, text);
    if (!mistake) {
      this.#machine = this.#present();
      work();
    }
    this.#write(this.#text);
    if (mistake) throw new SweepError(`${what}: ${mistake}`);
  }

  #edited(edits: readonly TextEdit[]): string {
    return withEdits(edits, this.#side.file.parsed.text);
  }

  #withValue(path: string, text: string): string {
    const { instance, name } = this.#cell(path);
    return this.#edited([writeValue(instance, name, text, this.#machine.entry)]);
  }

  #withPart(path: string, name: string): string {
    const { scope, entry } = this.#machine;
    const block = this.#block(path);
    const found = scope.find(name);
    const node = found?.node.$type === 'Declaration' && found.node.what === 'part' ? found.node : undefined;
    const part = node && found && buildPart(node, found.scope);
    if (!part) throw new SweepError(`there is no part called ${name}`);
    return this.#edited(writePart(block, name, part, entry, false));
  }

  #block(path: string): Instance {
    const { tree } = this.#machine;
    const block = path.split('.').reduce<Instance | undefined>((at, each) => at?.called(each), tree);
    if (!block?.holder) throw new SweepError(`${tree.name} has no block ${path}`);
    return block;
  }

  #cell(path: string): Cell {
    const cell = cellAt(path, this.#machine);
    if (!cell) throw new SweepError(`${this.#machine.tree.name} has no value ${path}`);
    return cellOf(cell.instance, cell.name) ?? cell;
  }
}

/** Which stop is nearest to a value; the first where that is no number. */
function nearestTo(value: Value, stops: readonly { readonly value: Value }[]): number {
  if (typeof value !== 'number')
    return Math.max(
      0,
      stops.findIndex((stop) => stop.value === value),
    );
  const far = (n: number) => Math.abs(Number(stops[n]?.value) - value);
  return stops.reduce((best, _, n) => (far(n) < far(best) ? n : best), 0);
}

/** The elements of a list, as they are written. */
function listIn(text: string): string[] {
  const item = parse(`value = ${text}`).file.items[0];
  const node = item?.$type === 'Entry' ? item.value : undefined;
  return node?.$type === 'List' ? node.elements.map(({ value }) => textOf(value)) : [];
}

function endsOf(value: Value): [number, number] | undefined {
  if (typeof value === 'number') return [value, value];
  if (value instanceof Money) return [value.amount, value.amount];
  if (value instanceof Range) return [value.low, value.high];
  if (!(value instanceof Bounds)) return undefined;
  return value.low === undefined || value.high === undefined ? undefined : [value.low, value.high];
}

/** What fails of a machine as it stands: `RULE (BLOCK)`, or the text of a requirement; what was accepted and advice left out. */
export function failing(machine: Machine): string[] {
  const { engine, tree, scope } = machine;
  const found: string[] = [];
  for (const instance of tree.all()) {
    for (const rule of rulesOn(instance.kind, scope)) {
      if (rule.severity === 'advice') continue;
      const cell = verdictCell(rule, instance);
      if (!engine.corners(cell).values.includes(false)) continue;
      const decided = decide({ rule, instance, cell }, machine);
      if (decided && 'message' in decided && !isLaidAside(decided))
        found.push(instance.holder ? `${rule.name} (${instance.label})` : rule.name);
    }
  }
  for (const { cell, text } of targetsOf(machine)) if (engine.corners(cell).values.includes(false)) found.push(text);
  return found;
}
