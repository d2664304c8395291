// What can be otherwise in a machine that was built than its text says: its ranges, its tolerances, defaults that rest on memory, and the
// defects that kinds declare.
import { softIn } from '../answers/foundations.ts';
import type { Cell, Engine } from '../compute/cell.ts';
import { cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import type { Machine } from '../compute/machine.ts';
import { renderMessage } from '../compute/message.ts';
import { pathOfCell, showCell } from '../compute/show-cell.ts';
import { tolerancesIn } from '../compute/tolerances.ts';
import type { Alteration, Body, Expression } from '../grammar/generated/ast.ts';
import { type AstNode, docOf } from '../grammar/syntax.ts';
import { meantRange } from '../judge/whatever.ts';
import { Instance } from '../machine/tree.ts';
import type { Checking, Kind } from '../names/kind.ts';
import { infer } from '../types/infer.ts';
import { clausesOf } from '../units/units.ts';
import { showValue } from '../values/show.ts';
import type { Value } from '../values/value.ts';

/** Why something can be otherwise. */
export type By = 'range' | 'tolerance' | 'doubt' | 'defect';

/** What is read where it is looked whether something is so. */
export interface Reading {
  readonly how: string;
  readonly read: (() => Value) | undefined;
  readonly show: (value: Value) => string;
}

/** Something that can be otherwise: a value anywhere between two, or others all at once where something is defective. */
export interface Suspect {
  readonly by: By;
  readonly path: string;
  /** What it is, in words. */
  readonly title: string;
  /** How often it is met, beside what lies anywhere within a tolerance in every machine. */
  readonly odds: number;
  /** The values where it is so, from one end to the other (0 to 1); at one place only where the ends are the same. */
  readonly at: (place: number) => ReadonlyMap<Cell, Value>;
  /** Is there but one way in which it can be so? */
  readonly isOne: boolean;
  /** The place that is nearest to what the text says. */
  readonly near: number;
  /** Its values at a place, as people read them: `tension 12 N instead of 40 N`. */
  readonly show: (place: number) => string;
  readonly reading: Reading;
}

/** Why a single value can be otherwise, in words. */
const because = { tolerance: 'within its tolerance', doubt: 'which rests on memory or practice alone' } as const;

/** By so much what stands in for what nobody has said, from memory or of the trade alone, may be off either way. */
const doubt = 0.2;
/** How often that explains something, beside a tolerance that is stated. */
const doubtOdds = 0.1;

/** The ranges that these values rest on, such as the room's temperature. */
export function rangesOf(cells: readonly Cell[], { engine }: Machine): Cell[] {
  const found = new Set<Cell>();
  for (const cell of cells)
    for (const ends of engine.scenarios(cell)) for (const range of engine.restsOf(cell, ends).ranges) found.add(range);
  return [...found];
}

/** A range as something that is not known: anywhere between its ends. */
export function rangeSuspect(cell: Cell, machine: Machine): Suspect {
  const { engine } = machine;
  const [low, high] = [engine.low, engine.atHighEnds([cell])].map((at) => engine.under(at, () => engine.value(cell)));
  return between('range', cell, low as number, high as number, (Number(low) + Number(high)) / 2, 1, machine);
}

/** All that these values are computed from, however far, wherever the ranges are taken. */
export function reachedFrom(cells: readonly Cell[], { engine }: Machine): Set<Cell> {
  const all = new Set(cells);
  for (const cell of cells)
    for (const ends of engine.scenarios(cell))
      engine.under(ends, () => {
        engine.value(cell);
        const seen = new Set([cell]);
        for (const each of seen) for (const input of engine.inputs(each)) seen.add(input);
        for (const each of seen) all.add(each);
      });
  return all;
}

/** The defects that alter one of these values. */
export function defectsAmong(reached: ReadonlySet<Cell>, machine: Machine): Suspect[] {
  return machine.tree
    .all()
    .flatMap((instance) =>
      [...instance.kind.checkings('defect').values()].flatMap((defect) =>
        defective(defect, instance, machine, reached),
      ),
    );
}

/** All that can be otherwise and that one of these values rests on, but for ranges and what stands for one. */
export function suspectsOf(cells: readonly Cell[], ranges: readonly Cell[], machine: Machine): Suspect[] {
  const { engine } = machine;
  const reached = reachedFrom(cells, machine);
  const tolerances = tolerancesIn(machine).filter(({ cell }) => reached.has(cell) && !ranges.includes(cell));
  const stated = new Set([...ranges, ...tolerances.map(({ cell }) => cell)]);
  const soft = new Set(cells.flatMap((cell) => softIn(cell, machine)).flatMap((s) => (s.byDefault ? s.cell : [])));
  return [
    ...tolerances.map(({ cell, low, high, nominal }) => between('tolerance', cell, low, high, nominal, 1, machine)),
    ...[...soft].filter((cell) => !stated.has(cell)).flatMap((cell) => doubted(cell, machine)),
    ...defectsAmong(reached, machine),
  ];

  function doubted(cell: Cell, of: Machine): Suspect[] {
    const type = cell.member?.type;
    const value = engine.under(engine.low, () => engine.value(cell));
    if (cell.called || typeof value !== 'number' || value === 0 || type?.is !== 'quantity' || type.points) return [];
    const meant = cell.member && meantRange(cell.member, cell.instance, engine);
    const ends = [value * (1 - doubt), value * (1 + doubt)].map((end) =>
      Math.min(Math.max(end, meant?.low ?? end), meant?.high ?? end),
    );
    return [between('doubt', cell, Math.min(...ends), Math.max(...ends), value, doubtOdds, of)];
  }
}

function between(
  by: Exclude<By, 'defect'>,
  cell: Cell,
  low: number,
  high: number,
  nominal: number,
  odds: number,
  machine: Machine,
): Suspect {
  const valueAt = (place: number) => low + place * (high - low);
  const shown = (value: Value) => showCell(cell, machine, value);
  const path = pathOfCell(cell, machine);
  const doc = docOf(cell.member?.node as AstNode).split(/[.\n]/)[0] ?? '';
  return {
    by,
    path,
    title:
      by === 'range'
        ? `${path} is not known`
        : `${path}: ${doc.charAt(0).toLowerCase()}${doc.slice(1)}, ${because[by]}`,
    odds,
    at: (place) => new Map([[cell, valueAt(place)]]),
    isOne: low === high,
    near: high === low ? 0 : (nominal - low) / (high - low),
    show: (place) =>
      by === 'range'
        ? `${path} ${shown(valueAt(place))}`
        : `${path} ${shown(valueAt(place))} instead of ${shown(nominal)}`,
    reading: readingOfMember(cell, machine) ?? {
      how: `Find out ${path} itself`,
      read: () => machine.engine.value(cell),
      show: shown,
    },
  };
}

/** How a value is measured, as its kind says. */
function readingOfMember({ member, instance }: Cell, machine: Machine): Reading | undefined {
  const node = member?.node as AstNode & { body?: Body };
  if (!member || !node?.body || clausesOf({ body: node.body }, 'how').length === 0) return undefined;
  return readingIn({ body: node.body }, instance, member.owner, machine);
}

function readingIn(
  node: { readonly body?: Body | undefined },
  instance: Instance,
  owner: Kind,
  machine: Machine,
): Reading {
  const { engine } = machine;
  const frame: Frame = { engine, self: instance, scope: owner.scope, mode: 'kind' };
  const ctx = { scope: owner.scope, mode: 'kind' as const, kind: owner, report: () => {} };
  const first = (keyword: 'how' | 'reads') => clausesOf({ body: node.body as Body }, keyword)[0]?.values[0];
  const [how, reads] = [first('how'), first('reads')];
  return {
    how: how?.$type === 'Text' ? engine.aside(() => renderMessage(how, frame, ctx)) : '',
    read: reads && (() => engine.aside(() => evaluate(reads, frame))),
    show: (value) => {
      const cell = cellRead(reads, frame);
      return cell ? showCell(cell, machine, value) : showValue(value, infer(reads, ctx), owner.scope.system);
    },
  };
}

/** The value that is read, where it is one of a block's. */
function cellRead(reads: Expression | undefined, frame: Frame): Cell | undefined {
  if (reads?.$type === 'Reference') return cellOf(frame.self, reads.name.text);
  if (reads?.$type !== 'Access') return undefined;
  const holder = frame.engine.aside(() => evaluate(reads.object, frame));
  return holder instanceof Instance ? cellOf(holder, reads.member?.text ?? '') : undefined;
}

/** A defect of a block, where it can have it, and some of these values rest on what it alters. */
function defective(
  { node, owner, name }: Checking,
  instance: Instance,
  machine: Machine,
  reached: ReadonlySet<Cell>,
): Suspect[] {
  const { engine } = machine;
  const frame: Frame = { engine, self: instance, scope: owner.scope, mode: 'kind' };
  const evaluated = (expression: Expression) =>
    engine.under(engine.low, () => engine.aside(() => evaluate(expression, frame)));
  if (clausesOf(node, 'when').some(({ values }) => values.some((each) => evaluated(each) !== true))) return [];
  const odds = clausesOf(node, 'odds')[0]?.values[0];
  const altered = (node.body?.members ?? []).flatMap((member) =>
    member.$type === 'Alteration' ? alterationIn(member, instance, evaluated, engine) : [],
  );
  if (altered.length === 0 || !altered.some(({ cell }) => reached.has(cell))) return [];
  const path = instance.holder ? `${instance.label}.${name}` : name;
  const title = docOf(node).replace(/\s+/g, ' ').replace(/\.$/, '') || name.replaceAll('_', ' ');
  const [main] = altered as [Altered];
  return [
    {
      by: 'defect',
      path,
      title: instance.holder ? `${instance.label}: ${title}` : title,
      odds: odds ? Number(evaluated(odds)) : 0,
      at: (place) => new Map(altered.map(({ cell, at }) => [cell, at(place)])),
      isOne: altered.every(({ isOne }) => isOne),
      near: main.isOne || Math.abs(main.from(0)) < Math.abs(main.from(1)) ? 0 : 1,
      show: (place) =>
        altered
          .map(({ cell, at, nominal }) => {
            const [was, is] = [nominal, at(place)].map((value) => showCell(cell, machine, value));
            return `${pathOfCell(cell, machine)} ${is} instead of ${was}`;
          })
          .join(', '),
      reading: readingIn(node, instance, owner, machine),
    },
  ];
}

interface Altered {
  readonly cell: Cell;
  readonly nominal: Value;
  readonly at: (place: number) => Value;
  readonly isOne: boolean;
  /** How far it is then from what the text says. */
  readonly from: (place: number) => number;
}

function alterationIn(
  { name, value }: Alteration,
  instance: Instance,
  evaluated: (expression: Expression) => Value,
  engine: Engine,
): Altered[] {
  const cell = cellOf(instance, name?.text ?? '');
  if (!cell || !value) return [];
  const nominal = engine.under(engine.low, () => engine.value(cell));
  const [low, high] =
    value.$type === 'Binary' && value.operator === '..'
      ? [evaluated(value.left), evaluated(value.right)]
      : [evaluated(value), evaluated(value)];
  if (typeof low === 'number' && typeof high === 'number') {
    const at = (place: number) => low + place * (high - low);
    return [{ cell, nominal, at, isOne: low === high, from: (place) => at(place) - Number(nominal) }];
  }
  const isKnownValue = typeof low === 'boolean' || typeof low === 'string';
  return isKnownValue ? [{ cell, nominal, at: () => low, isOne: true, from: () => 0 }] : [];
}
