import type { Sweep, SweptPoint } from '../../language/explore/sweeping.ts';
import type { Type } from '../../language/names/type.ts';
import type { UnitSystem } from '../../language/units/units.ts';
import { unitFor, unitText } from '../../language/values/show.ts';
import { svgOf } from '../sheet/svg.ts';
import { CallError } from './io.ts';

/** More curves than this cannot be told apart. */
const mostCurves = 6;

/**
 * The first value that is shown over the last axis, a curve for each combination of the others, with where things begin or cease to fail.
 * Throws a `CallError` where that are no numbers.
 */
export function sweepPicture(sweep: Sweep, points: readonly SweptPoint[]): string {
  const axis = sweep.axes.at(-1);
  const [value] = sweep.shown;
  if (!axis || axis.isPart || !value)
    throw new CallError('A picture needs a value that is gone through, and one that is shown.');
  const length = axis.stops.length;
  const places = axis.stops.map((stop) => (typeof stop.value === 'number' ? stop.value : Number.NaN));
  if (places.some(Number.isNaN))
    throw new CallError(`${axis.path} is gone through in words, which have no place on an axis.`);
  const groups = Array.from({ length: points.length / length }, (_, i) => points.slice(i * length, (i + 1) * length));
  if (groups.length > mostCurves)
    throw new CallError(`These are ${groups.length} curves; ${mostCurves} can be told apart. Leave an axis out.`);
  const x = scale(places, axis.type, sweep.system);
  const heights = points.flatMap(({ values }) => values[0]?.ends ?? []);
  if (heights.length === 0) throw new CallError(`${value.path} is no number at any point.`);
  const y = scale(heights, value.type, sweep.system);
  return `${svgOf(
    {
      is: 'plot',
      block: '',
      x: { label: axis.path, unit: x.unit },
      y: { label: value.path, unit: y.unit },
      bands: groups.map((group) => ({
        label: labelOf(sweep, group),
        about: '',
        place: null,
        points: group.flatMap(({ at, values }) => {
          const ends = values[0]?.ends;
          const place = places[at.at(-1) as number] as number;
          return ends ? [{ x: x.convert(place), low: y.convert(ends[0]), high: y.convert(ends[1]) }] : [];
        }),
      })),
      marks: groups.flatMap((group) =>
        beginnings(group, places).map(({ name, at }) => {
          const place = x.convert(at);
          return { label: name, axis: 'x' as const, low: place, high: place, shown: '', place: null };
        }),
      ),
    },
    `${value.path} over ${axis.path}`,
  )}\n`;
}

function scale(values: readonly number[], type: Type | undefined, system: UnitSystem) {
  const farthest = values.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  const unit = type && unitFor(farthest, type, system);
  return {
    unit: unit && unit.text !== '1' ? unitText(unit) : '',
    convert: (value: number) => (value - (unit?.zero ?? 0)) / (unit?.factor ?? 1),
  };
}

function labelOf({ axes }: Sweep, [first]: readonly SweptPoint[]): string {
  const others = axes.slice(0, -1).map(({ stops }, i) => stops[first?.at[i] as number]?.shown ?? '');
  return others.join(', ');
}

/** Where something begins or ceases to fail along a curve, each thing once. */
function beginnings(group: readonly SweptPoint[], places: readonly number[]): { name: string; at: number }[] {
  const found = new Map<string, number>();
  for (const [i, point] of group.entries()) {
    const before = group[i - 1]?.fails ?? point.fails;
    const turned = [
      ...point.fails.filter((name) => !before.includes(name)),
      ...before.filter((name) => !point.fails.includes(name)),
    ];
    for (const name of turned) if (!found.has(name)) found.set(name, places[i] as number);
  }
  return [...found].map(([name, at]) => ({ name, at }));
}
