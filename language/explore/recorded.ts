// A curve that was recorded of a machine, such as how its bed warmed, and the two inputs that explain it best.
import { cellAt } from '../answers/derivation.ts';
import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { literalOf, pathOfCell, showCell, typeOfCell } from '../compute/show-cell.ts';
import { putInPlace } from '../judge/trials.ts';
import type { Type } from '../names/type.ts';
import { curveAt } from '../numerics/curve.ts';
import type { Side } from '../one-machine.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import { showValue } from '../values/show.ts';
import { Curve } from '../values/value.ts';
import { DiagnosisError, machineAt } from './diagnosis.ts';
import { rangeSuspect, rangesOf, type Suspect, suspectsOf } from './suspects.ts';

/** What was recorded: numbers, in units as a text writes them. */
export interface Recording {
  readonly units: readonly [string, string];
  readonly rows: readonly (readonly [number, number])[];
}

/** An input as it would have to be. */
export interface FittedInput {
  readonly path: string;
  readonly title: string;
  readonly change: string;
  /** The record to write into the machine, without its day: `measured bed.plate.emissivity = 0.8`. */
  readonly record: string;
  /** Does it lie at the end of what its tolerance lets it be? It may then have to be further. */
  readonly atEnd: boolean;
}

/** The inputs that explain a recording together, and how far the computed curve is from it then (root of the mean square). */
export interface Fitted {
  readonly inputs: readonly FittedInput[];
  readonly off: string;
  readonly offNumber: number;
}

export interface RecordedFit {
  readonly path: string;
  readonly points: number;
  /** At what the ranges were taken: what the first point tells, or the middle. */
  readonly at: readonly string[];
  /** How far the curve is off as it is computed. */
  readonly off: string;
  readonly offNumber: number;
  /** What fits best: one input where a second makes it hardly better. Undefined where nothing that can be otherwise moves the curve. */
  readonly best: Fitted | undefined;
  /** Pairs that fit as well but for a tenth: what was recorded does not tell them from the best. */
  readonly others: readonly Fitted[];
}

/** So many pairs are computed anew, of those that fit best where each input moves the curve evenly. */
const pairsTried = 8;
/** How often the best place of a pair is looked for anew from where it was found. */
const rounds = 4;
/** Where the distance is larger by less than this share, it is as good. */
const alike = 0.1;

/**
 * Which two inputs, each within its tolerance or what stands in for one, bring a computed curve nearest to what was recorded. Where the first
 * point tells a range, such as how warm the room was, it is taken at that. Throws a `DiagnosisError` where the value is no curve that is known,
 * or the recording has too few points in it.
 *
 * Source: least squares by Gauss and Newton, steps of each input over its whole tolerance.
 */
export function fitRecording(side: Side, path: string, recording: Recording, at: readonly string[]): RecordedFit {
  const machine = machineAt(side, at);
  const { engine } = machine;
  const cell = cellAt(path, machine);
  const type = cell && typeOfCell(cell);
  if (!cell || type?.is !== 'curve') throw new DiagnosisError(`${path} is no curve of ${side.machine}`);
  const { system } = machine.scope;
  const points = pointsIn(recording, type, system);
  const ranges = rangesOf([cell], machine);
  const taken = ranges.map((range) => rangeSuspect(range, machine));
  settle(taken, cell, points, machine);
  return engine.under(engine.low, () => {
    const suspects = suspectsOf([cell], ranges, machine).filter(({ by }) => by !== 'defect');
    const residuals = (places: ReadonlyMap<Suspect, number>): number[] | undefined => {
      const values = new Map([...places].flatMap(([suspect, place]) => [...suspect.at(place)]));
      const curve = engine.supposing(values, () => engine.value(cell));
      if (!(curve instanceof Curve)) return undefined;
      return points.map(([x, y]) => y - heightAt(curve, x));
    };
    const now = residuals(new Map());
    if (!now) throw new DiagnosisError(`${path} is not known`);
    const slopes = suspects.flatMap((suspect) => {
      const [low, high] = [residuals(new Map([[suspect, 0]])), residuals(new Map([[suspect, 1]]))];
      if (!low || !high) return [];
      // By how much the residual falls from one end of its tolerance to the other.
      const slope = low.map((each, i) => each - (high[i] as number));
      return slope.some((each) => Math.abs(each) > 1e-9) ? [{ suspect, slope }] : [];
    });
    const offOf = (all: readonly number[]) => Math.sqrt(all.reduce((sum, each) => sum + each ** 2, 0) / all.length);
    const guess = (chosen: readonly Sloped[]) => {
      const places = solved(chosen, now, new Map(chosen.map(({ suspect }) => [suspect, suspect.near])));
      const left = now.map((each, i) =>
        chosen.reduce(
          (so, { suspect, slope }) => so - ((places.get(suspect) as number) - suspect.near) * (slope[i] as number),
          each,
        ),
      );
      return { chosen, off: offOf(left) };
    };
    const refine = (chosen: readonly Sloped[]) => {
      let places = new Map(chosen.map(({ suspect }) => [suspect, suspect.near]));
      let best = { places, off: offOf(now) };
      for (let n = 0, left = now; n < rounds; n++) {
        places = solved(chosen, left, places);
        const next = residuals(places);
        if (!next) break;
        if (offOf(next) < best.off) best = { places, off: offOf(next) };
        left = next;
      }
      return best;
    };
    const difference: Type = type.y.is === 'quantity' ? { is: 'quantity', dimension: type.y.dimension } : type.y;
    const showOff = (off: number) => showValue(off, difference, system);
    const told = ({ places, off }: ReturnType<typeof refine>): Fitted => ({
      inputs: [...places].map(([suspect, place]) => fitted(suspect, place, machine)),
      off: showOff(off),
      offNumber: off,
    });
    const pairs = slopes.flatMap((one, i) => slopes.slice(i + 1).map((other) => guess([one, other])));
    const refined = pairs
      .sort((a, b) => a.off - b.off)
      .slice(0, pairsTried)
      .map(({ chosen }) => refine(chosen))
      .sort((a, b) => a.off - b.off);
    const [single] = slopes.map((one) => guess([one])).sort((a, b) => a.off - b.off);
    const one = single && refine(single.chosen);
    const [pair] = refined;
    const best = one && (!pair || one.off <= pair.off * (1 + alike)) ? one : pair;
    const others = refined.filter((each) => each !== best && best && each.off <= best.off * (1 + alike));
    return {
      path,
      points: points.length,
      at: ranges.map((range) => `${pathOfCell(range, machine)} ${showCell(range, machine, engine.value(range))}`),
      off: showOff(offOf(now)),
      offNumber: offOf(now),
      best: best && told(best),
      others: others.map(told),
    };
  });
}

interface Sloped {
  readonly suspect: Suspect;
  readonly slope: readonly number[];
}

/** The places at which these inputs bring residuals down the most, none beyond its ends: each in turn, until nothing moves. */
function solved(
  chosen: readonly Sloped[],
  residuals: readonly number[],
  from: ReadonlyMap<Suspect, number>,
): Map<Suspect, number> {
  const places = new Map(from);
  const left = [...residuals];
  for (let n = 0; n < 200; n++) {
    let most = 0;
    for (const { suspect, slope } of chosen) {
      const steep = slope.reduce((sum, each) => sum + each ** 2, 0);
      const before = places.get(suspect) as number;
      const wanted = before + slope.reduce((sum, each, i) => sum + each * (left[i] as number), 0) / steep;
      const place = Math.min(1, Math.max(0, wanted));
      for (const [i, each] of slope.entries()) left[i] = (left[i] as number) - (place - before) * each;
      places.set(suspect, place);
      most = Math.max(most, Math.abs(place - before));
    }
    if (most < 1e-6) break;
  }
  return places;
}

function fitted(suspect: Suspect, place: number, machine: Machine): FittedInput {
  const [[cell, value]] = [...suspect.at(place)] as [[Cell, number]];
  return {
    path: suspect.path,
    title: suspect.title,
    change: suspect.show(place),
    record: `measured ${suspect.path} = ${literalOf(value, cell, machine)}`,
    atEnd: place <= 0.001 || place >= 0.999,
  };
}

/** Takes each range that the first point tells, such as the room's temperature, at that; the others in their middle. */
function settle(
  ranges: readonly Suspect[],
  cell: Cell,
  points: readonly (readonly [number, number])[],
  { engine }: Machine,
): void {
  const [[x, y]] = points as [readonly [number, number]];
  const put = (range: Suspect, place: number) => {
    for (const [of, value] of range.at(place)) putInPlace(of, value, engine);
    const curve = engine.under(engine.low, () => engine.value(cell));
    return curve instanceof Curve ? heightAt(curve, x) : undefined;
  };
  for (const range of ranges) put(range, range.near);
  for (const range of ranges) {
    const [low, high] = [put(range, 0), put(range, 1)];
    const isTold = low !== undefined && high !== undefined && low !== high;
    put(range, isTold ? (y - low) / (high - low) : range.near);
  }
}

/** The curve's height, as at its ends where it does not reach. */
function heightAt(curve: Curve, x: number): number {
  const height = curveAt(curve, x);
  if (typeof height === 'number') return height;
  return (x <= (curve.x[0] as number) ? curve.y[0] : curve.y.at(-1)) as number;
}

/** What was recorded in coherent units, its first point at the beginning. */
function pointsIn({ units, rows }: Recording, type: Type & { is: 'curve' }, system: UnitSystem): [number, number][] {
  const scales = ([type.x, type.y] as const).map((axis, i) => {
    const text = units[i] as string;
    const unit = system.unit(text);
    if (!isUnit(unit) || axis.is !== 'quantity' || unit.dimension !== axis.dimension)
      throw new DiagnosisError(`what was recorded is in ${text}, which is not what the curve is in`);
    return (number: number) => number * unit.factor + (axis.points ? (unit.zero ?? 0) : 0);
  });
  const all = rows.map(([x, y]): [number, number] => [(scales[0] as Scale)(x), (scales[1] as Scale)(y)]);
  if (all.length < 4) throw new DiagnosisError(`${all.length} points say too little: at least 4 are needed`);
  const start = all[0]?.[0] ?? 0;
  return all.map(([x, y]) => [x - start, y]);
}

type Scale = (number: number) => number;
