import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { markForValue } from '../compute/marks.ts';
import { showAlongside, showCell, typeOfCell } from '../compute/show-cell.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Type } from '../names/type.ts';
import { nameOfDimension } from '../units/display.ts';
import { unitFor, unitText } from '../values/show.ts';
import { Curve, isMissing, type Value } from '../values/value.ts';
import { memberDoc } from './docs.ts';

/**
 * Curves over the same, with the places on their axes that belong to them. Numbers are in the units of the axes. Where other units are told
 * besides, the places are told in them too; the axes are not: a second row of ticks would crowd them.
 */
export interface Plot {
  readonly is: 'plot';
  readonly block: string;
  readonly x: Axis;
  readonly y: Axis;
  readonly bands: readonly Band[];
  readonly marks: readonly Mark[];
}

interface Axis {
  /** What it is: "temperature". */
  readonly label: string;
  readonly unit: string;
}

/** A curve over all ends of the ranges that it rests on: the lowest and the highest that it can be at each point. */
export interface Band {
  readonly label: string;
  readonly about: string;
  readonly points: readonly { readonly x: number; readonly low: number; readonly high: number }[];
  readonly place: AstNode;
  readonly formula?: AstNode;
}

/** A place on an axis, from its least to its greatest. */
export interface Mark {
  readonly label: string;
  readonly axis: 'x' | 'y';
  readonly low: number;
  readonly high: number;
  readonly shown: string;
  readonly place: AstNode;
}

type Curves = Extract<Type, { is: 'curve' }>;

/** The plot of what a block reports; undefined where there is no curve among it that is known. */
export function plotOf(instance: Instance, cells: readonly Cell[], machine: Machine): Plot | undefined {
  const drawn = cells.flatMap((cell) => curvesOf(cell, machine));
  const type = drawn[0]?.type;
  if (!type) return undefined;
  const all = drawn.flatMap(({ curves }) => curves);
  const [x, y] = [
    axisOf(
      type.x,
      all.flatMap((curve) => curve.x),
      machine,
    ),
    axisOf(
      type.y,
      all.flatMap((curve) => curve.y),
      machine,
    ),
  ];
  const marks = cells.flatMap((cell) => markOf(cell, type, x, y, machine) ?? []);
  return {
    is: 'plot',
    block: instance === machine.tree ? '' : instance.label,
    x: { label: x.label, unit: x.unit },
    y: { label: y.label, unit: y.unit },
    bands: drawn.map(({ curves, ...rest }) => bandOf(curves, rest, x, y)),
    marks,
  };
}

interface Drawn {
  readonly label: string;
  readonly about: string;
  readonly type: Curves;
  /** The curve at each of the ends that were tried. */
  readonly curves: readonly Curve[];
  readonly place: AstNode;
  readonly formula?: AstNode;
}

/** The curves that a value is or lists, each at all ends; without those that are not known at one of them. */
function curvesOf(cell: Cell, machine: Machine): Drawn[] {
  const type = typeOfCell(cell);
  const isList = type.is === 'list';
  const of = isList ? type.of : type;
  if (of.is !== 'curve') return [];
  const { values } = machine.engine.corners(cell);
  if (values.some(isMissing)) return [];
  const each = values.map((value) => (Array.isArray(value) ? value : [value]) as Value[]);
  return (each[0] ?? []).flatMap((_, i) => {
    const curves = each.flatMap((list) => (list[i] instanceof Curve ? [list[i]] : []));
    if (curves.length < each.length) return [];
    return {
      label: isList ? `${cell.name.replaceAll('_', ' ')} ${i + 1}` : cell.name.replaceAll('_', ' '),
      about: memberDoc(cell.member),
      type: of,
      curves,
      place: markForValue(cell, machine.entry),
      ...(cell.member && { formula: cell.member.node }),
    };
  });
}

interface Scale extends Axis {
  readonly convert: (value: number) => number;
}

/** An axis in the unit that suits what is farthest out on it. */
function axisOf(type: Type, values: readonly number[], machine: Machine): Scale {
  const farthest = values.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  const unit = unitFor(farthest, type, machine.scope.system);
  const label = type.is === 'quantity' ? nameOfDimension(machine.scope.system, type.dimension, type.named) : '';
  return {
    label,
    unit: unit && unit.text !== '1' ? unitText(unit) : '',
    convert: (value) => (value - (unit?.zero ?? 0)) / (unit?.factor ?? 1),
  };
}

/** The band that several curves lie in, at all their points that each of them comes to. */
function bandOf(
  curves: readonly Curve[],
  { label, about, place, formula }: Omit<Drawn, 'curves'>,
  x: Scale,
  y: Scale,
): Band {
  // Where a curve ends sooner at one end of a range than at another, the band would be that of the others alone.
  const from = Math.max(...curves.map((curve) => curve.x[0] ?? 0));
  const to = Math.min(...curves.map((curve) => curve.x.at(-1) ?? 0));
  const at = [...new Set(curves.flatMap((curve) => curve.x))]
    .filter((place) => from <= place && place <= to)
    .sort((a, b) => a - b);
  const points = at.map((place) => {
    const heights = curves.flatMap((curve) => heightAt(curve, place) ?? []);
    return { x: x.convert(place), low: y.convert(Math.min(...heights)), high: y.convert(Math.max(...heights)) };
  });
  return { label, about, points, place, ...(formula && { formula }) };
}

/** What lies between two points of a curve, on a straight line; undefined beyond its ends. */
function heightAt({ x, y }: Curve, at: number): number | undefined {
  const above = x.findIndex((each) => each >= at);
  if (above < 0) return undefined;
  const [x1, y1] = [x[above] as number, y[above] as number];
  if (x1 === at) return y1;
  const [x0, y0] = [x[above - 1], y[above - 1]];
  return x0 === undefined || y0 === undefined ? undefined : y0 + ((y1 - y0) * (at - x0)) / (x1 - x0);
}

function markOf(cell: Cell, type: Curves, x: Scale, y: Scale, machine: Machine): Mark | undefined {
  const own = typeOfCell(cell);
  const numbers = machine.engine.corners(cell).values.filter((value) => typeof value === 'number');
  if (own.is !== 'quantity' || numbers.length === 0) return undefined;
  const liesOn = (axis: Type) => axis.is === 'quantity' && own.dimension === axis.dimension;
  const isUpright = liesOn(type.x);
  if (!isUpright && !liesOn(type.y)) return undefined;
  const scale = isUpright ? x : y;
  return {
    label: cell.name.replaceAll('_', ' '),
    axis: isUpright ? 'x' : 'y',
    low: scale.convert(Math.min(...numbers)),
    high: scale.convert(Math.max(...numbers)),
    shown: showCell(cell, machine) + showAlongside(cell, machine),
    place: markForValue(cell, machine.entry),
  };
}
