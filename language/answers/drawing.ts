import { cellOf } from '../compute/cell.ts';
import { type Machine, missingPaths } from '../compute/machine.ts';
import { markForBlock } from '../compute/marks.ts';
import { pathOfCell, showCell, typeOfCell, unitsAlongside, valueOver } from '../compute/show-cell.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import { kindOfRole } from '../names/kind.ts';
import { isUnit } from '../units/units.ts';
import { Unknown } from '../values/value.ts';
import { softIn } from './foundations.ts';

/** A machine seen from the front, from the side and from above, as blocks whose sides lie along its axes. */
export interface Drawing {
  readonly is: 'drawing';
  /** What its lengths are told in, and how long that is. */
  readonly unit: LengthUnit;
  /** What its dimensions are told in besides, in brackets, where a machine's kind asks for that. */
  readonly unitBeside?: LengthUnit;
  /** Does each view stand at the side that it shows, as in North America? Elsewhere it stands at the other. */
  readonly isThirdAngle: boolean;
  readonly bodies: readonly Body[];
  /** Bodies that would be in one place. */
  readonly meetings: readonly Meeting[];
  /** What is not drawn in each view, and which values that waits for. */
  readonly notSaid: readonly { readonly label: string; readonly missing: readonly string[]; readonly place: AstNode }[];
  /** What nobody has said and is taken to be so. */
  readonly taken: readonly {
    readonly label: string;
    readonly shown: string;
    readonly because: string;
    readonly place: AstNode;
  }[];
}

interface LengthUnit {
  readonly symbol: string;
  readonly factor: number;
}

/** To the right, to the back, up; null where it is not known. In coherent units. */
type Three<T> = readonly [T, T, T];

export interface Body {
  readonly label: string;
  /** Its name without what it is in. */
  readonly name: string;
  /** Where its left side, its front and its underside are, at the beginning of its way. */
  readonly at: Three<number | null>;
  readonly sides: Three<number | null>;
  /** How far it moves from there. */
  readonly goes: Three<number>;
  readonly isSolid: boolean;
  readonly isRound: boolean;
  readonly isDimensioned: boolean;
  /** Does it move to the right and to the back within a circle, and not as far in both at once? */
  readonly goesRound: boolean;
  readonly place: AstNode;
}

/** The room that two bodies would share, over all places that they move to. */
export interface Meeting {
  readonly one: string;
  readonly other: string;
  readonly at: Three<number>;
  readonly sides: Three<number>;
  readonly place: AstNode;
}

/** Bodies that share less than this touch: lengths are sums of others. */
const touching = 1e-6;

/**
 * What is drawn to scale of a machine, by what its kinds' `shape` says. A length that is not said is guessed nowhere: what needs it is not
 * drawn, and told. Undefined where nothing is known of any shape.
 */
export function drawingOf(machine: Machine): Drawing | undefined {
  const shapes = [...machine.tree.all()].filter(({ kind }) => kind.shape);
  const told = shapes.map((instance) => ({ instance, body: bodyOf(instance, machine) }));
  const drawn = told.filter(({ body }) => isSeen(body));
  const [first] = drawn;
  if (!first) return undefined;
  return {
    is: 'drawing',
    ...unitsOf(first.instance, machine),
    isThirdAngle: isTrue(first.instance, first.instance.kind.shape?.names[12], machine),
    bodies: drawn.map(({ body }) => body),
    meetings: meetingsOf(drawn),
    notSaid: [...told.flatMap(({ instance, body }) => missingOf(instance, body, machine)), ...placeless(machine)],
    taken: takenFor(
      drawn.map(({ instance }) => instance),
      machine,
    ),
  };
}

/** The heading that the kind of a machine's shapes gives. */
export function drawingHeading(machine: Machine): string | undefined {
  return [...machine.tree.all()].flatMap(({ kind }) => kind.shape?.heading ?? [])[0];
}

function numberOf(block: Instance, name: string | undefined, machine: Machine): number | null {
  const cell = name === undefined ? undefined : cellOf(block, name);
  const value = cell && valueOver(cell, machine);
  return typeof value === 'number' ? value : null;
}

function isTrue(block: Instance, name: string | undefined, machine: Machine): boolean {
  const cell = name === undefined ? undefined : cellOf(block, name);
  return cell !== undefined && valueOver(cell, machine) === true;
}

function bodyOf(instance: Instance, machine: Machine): Body {
  const names = instance.kind.shape?.names ?? [];
  const three = (from: number): Three<number | null> => [
    numberOf(instance, names[from], machine),
    numberOf(instance, names[from + 1], machine),
    numberOf(instance, names[from + 2], machine),
  ];
  const [right, back, up] = three(6);
  const truth = (at: number) => isTrue(instance, names[at], machine);
  const name = titleOf(instance);
  return {
    label: name.label,
    name: name.name,
    at: three(0),
    sides: three(3),
    goes: [right ?? 0, back ?? 0, up ?? 0],
    isSolid: truth(9),
    isRound: truth(10),
    isDimensioned: truth(11),
    goesRound: truth(13),
    place: markForBlock(instance, machine.entry),
  };
}

/** What has a shape without a name of its own is that of what it stands in. */
function titleOf(instance: Instance): { readonly label: string; readonly name: string } {
  const { holder, name, kind } = instance;
  const of = holder?.holder && name === kind.name ? holder : instance;
  return { label: of.label, name: of.name.replaceAll('_', ' ') };
}

/** Is enough known for one of the three views at least? */
function isSeen({ at, sides }: Body): boolean {
  return [0, 1, 2].filter((axis) => at[axis] !== null && sides[axis] !== null).length > 1;
}

function unitsOf(instance: Instance, machine: Machine): Pick<Drawing, 'unit' | 'unitBeside'> {
  const cell = cellOf(instance, instance.kind.shape?.names[0] ?? '');
  const type = cell && typeOfCell(cell);
  const names = cell?.member?.shown.length ? cell.member.shown : type?.is === 'quantity' ? type.named?.shown : [];
  const unit = names?.map((name) => machine.scope.system.unit(name)).find(isUnit);
  const [beside] = type ? unitsAlongside(type, machine) : [];
  return {
    unit: { symbol: unit?.symbol ?? '', factor: unit?.factor ?? 1 },
    ...(beside && { unitBeside: { symbol: beside.symbol, factor: beside.factor } }),
  };
}

interface Drawn {
  readonly instance: Instance;
  readonly body: Body;
}

/** Solid bodies that share a room at some places of their ways; what belongs to one block and stands still is joined there. */
function meetingsOf(drawn: readonly Drawn[]): Meeting[] {
  const solid = drawn.filter(({ body }) => body.isSolid && isWhole(body));
  return solid.flatMap((one, i) => solid.slice(i + 1).flatMap((other) => meetingOf(one, other) ?? []));
}

function isWhole({ at, sides }: Body): boolean {
  return [...at, ...sides].every((each) => each !== null);
}

function meetingOf(one: Drawn, other: Drawn): Meeting | undefined {
  const moves = [one, other].map(({ body }) => body.goes.some((way) => way !== 0));
  const isOneBlock = one.instance.holder === other.instance.holder && !moves.some(Boolean);
  if (isOneBlock) return undefined;
  // What goes the same way goes together.
  const isTogether = moves.every(Boolean) && one.body.goes.every((way, axis) => way === other.body.goes[axis]);
  const shared = [0, 1, 2].map((axis) => {
    const [a, b] = [one, other].map(({ body }) => {
      const low = body.at[axis] ?? 0;
      return { low, high: low + (body.sides[axis] ?? 0) + (isTogether ? 0 : (body.goes[axis] ?? 0)) };
    }) as [{ low: number; high: number }, { low: number; high: number }];
    const low = Math.max(a.low, b.low);
    return { low, room: Math.min(a.high, b.high) - low };
  });
  if (shared.some(({ room }) => room < touching) || isBeyondCircle(one.body, other.body)) return undefined;
  const three = (of: (each: { low: number; room: number }) => number) => shared.map(of) as unknown as Three<number>;
  return {
    one: one.body.label,
    other: other.body.label,
    at: three(({ low }) => low),
    sides: three(({ room }) => room),
    place: other.body.place,
  };
}

/** Does what moves within a circle pass by a body that stands still, though the square around that circle does not? */
function isBeyondCircle(one: Body, other: Body): boolean {
  const [moving, still] = one.goesRound ? [one, other] : [other, one];
  if (!moving.goesRound || still.goes[0] !== 0 || still.goes[1] !== 0) return false;
  // As far as the corner of what moves is from the middle of its way, so far is it from the other, drawn larger by what moves.
  const away = ([0, 1] as const).map((axis) => {
    const middle = (moving.at[axis] ?? 0) + (moving.goes[axis] ?? 0) / 2;
    const low = (still.at[axis] ?? 0) - (moving.sides[axis] ?? 0);
    const high = (still.at[axis] ?? 0) + (still.sides[axis] ?? 0);
    return Math.max(low - middle, middle - high, 0);
  });
  return Math.hypot(...away) > moving.goes[0] / 2 - touching;
}

/** What a body's place and sides wait for. */
function missingOf(instance: Instance, body: Body, machine: Machine): Drawing['notSaid'] {
  const names = (instance.kind.shape?.names ?? []).slice(0, 6);
  const known = [...body.at, ...body.sides];
  const missing = names.flatMap((name, i) => {
    const cell = known[i] === null ? cellOf(instance, name) : undefined;
    if (!cell) return [];
    const value = valueOver(cell, machine);
    const waits = missingPaths(value);
    return waits.length > 0 ? waits : [value instanceof Unknown ? pathOfCell(cell, machine) : ''];
  });
  const all = [...new Set(missing.filter(Boolean))];
  return all.length > 0 ? [{ label: body.label, missing: all, place: body.place }] : [];
}

/** What could say where it stands, and does not. */
function placeless(machine: Machine): Drawing['notSaid'] {
  return [...machine.tree.all()].flatMap((instance) =>
    instance.kind.roles
      .filter((role) => role.occurs === 'optional' && kindOfRole(role)?.shape && !instance.filling(role).length)
      .map((role) => ({
        label: instance.label,
        missing: [`${instance.label}.${role.name}`],
        place: markForBlock(instance, machine.entry),
      })),
  );
}

/** Values of the trade or from memory on which places and sides rest, each once. */
function takenFor(instances: readonly Instance[], machine: Machine): Drawing['taken'] {
  const soft = instances.flatMap((instance) =>
    (instance.kind.shape?.names ?? []).slice(0, 9).flatMap((name) => {
      const cell = cellOf(instance, name);
      return cell ? softIn(cell, machine) : [];
    }),
  );
  const cells = new Map(soft.filter(({ byDefault }) => byDefault).map((each) => [each.cell, each]));
  return [...cells.values()].map(({ cell, source }) => ({
    label: pathOfCell(cell, machine),
    shown: showCell(cell, machine),
    because: source.text,
    place: markForBlock(cell.instance, machine.entry),
  }));
}
