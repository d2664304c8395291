import { Fault, Formula, missingOf, Unknown, type Value } from '../values/value.ts';

const mostSteps = 60;
const tolerance = 1e-12;

/** One circuit: what drives it, what its current flows through, and what it ends with. */
interface Loop {
  readonly voltage: number;
  /** Resistance by what it is of: an element, or the second conductor of one. */
  readonly through: ReadonlyMap<Key, number>;
  readonly isResistive: boolean;
  readonly power: number;
  readonly load: Value;
  readonly source: Value;
  readonly perAmpere: number;
}

/** An element by itself, or its second conductor. */
type Key = object;

/**
 * Currents (A) of circuits that share elements, in each of the combinations `on`: each flows out through `out` and back through `back`
 * (where `paired`, through the second conductors of those), and into `load`. A load of some `load_resistance` draws by it; another
 * takes its `power` (W) whatever voltage is left, and `per_ampere` watts more for each ampere of a circuit whose `source` it is. What is
 * off has no current. Where `at_most`, each load with a resistance draws what it would alone: no combination has more. Circuits that
 * `joins` marks, and what shares something with them, have a fault; what is not known makes only those circuits unknown that share
 * something with it. Source: Kirchhoff's laws, loop currents as unknowns; Newton's method.
 */
export function loopCurrents(
  voltages: Value,
  out: Value,
  back: Value,
  paired: Value,
  resistance: Value,
  load: Value,
  load_resistance: Value,
  power: Value,
  source: Value,
  per_ampere: Value,
  on: Value,
  at_most: Value,
  joins: Value,
): Value {
  const lists = [voltages, out, back, paired, load, load_resistance, power, source, per_ampere, on, joins];
  const missing = missingOf(...lists, at_most);
  if (missing) return missing;
  if (!lists.every(Array.isArray) || !(resistance instanceof Formula)) return new Unknown([]);
  const seconds = new Map<Value, Key>();
  const loops = (voltages as Value[]).map((_, k) => {
    const of = (list: Value) => (list as Value[])[k] as Value;
    const loop = readLoop(
      of(voltages),
      of(out),
      of(back),
      of(paired),
      resistance,
      of(load),
      of(load_resistance),
      of(power),
      of(source),
      of(per_ampere),
      seconds,
    );
    return of(joins) === 0
      ? loop
      : { ...loop, lack: new Fault('its way joins another, and how they share a current is not told') };
  });
  const sets = groups(loops);
  const solved = new Map<string, number[] | Unknown | Fault>();
  return (on as Value[]).map((row) => {
    const missing = missingOf(row, ...list(row));
    return missing ?? currentsIn(row as Value[], loops, sets, solved, at_most === true);
  });
}

/** Currents in one combination. What was solved for the same part of a group before is taken from `solved`. */
function currentsIn(
  on: readonly Value[],
  loops: readonly (Loop | Unread)[],
  sets: readonly (readonly number[])[],
  solved: Map<string, number[] | Unknown | Fault>,
  atMost: boolean,
): Value[] {
  const currents: Value[] = loops.map(() => 0);
  for (const set of sets) {
    const members = set.filter((k) => on[k] === true);
    const key = members.join();
    let found = solved.get(key);
    if (!found) {
      found = solveGroup(
        members.map((k) => loops[k] as Loop | Unread),
        atMost,
      );
      solved.set(key, found);
    }
    for (const [i, k] of members.entries()) currents[k] = Array.isArray(found) ? (found[i] as number) : found;
  }
  return currents;
}

/**
 * Voltages (V) that are left for the loads of circuits, in each of the combinations that `currents` (A) are of: the source's, less what
 * its way drops for all that flows through it. What is off keeps all of its voltage. Source: Kirchhoff's voltage law, U = I R.
 */
export function loopVoltages(
  voltages: Value,
  out: Value,
  back: Value,
  paired: Value,
  resistance: Value,
  currents: Value,
): Value {
  const lists = [voltages, out, back, paired, currents];
  const missing = missingOf(...lists);
  if (missing) return missing;
  if (!lists.every(Array.isArray) || !(resistance instanceof Formula)) return new Unknown([]);
  const seconds = new Map<Value, Key>();
  const ways = (voltages as Value[]).map((_, k) => {
    const of = (list: Value) => (list as Value[])[k] as Value;
    return readWay(of(out), of(back), of(paired), resistance, seconds).through;
  });
  return (currents as Value[]).map((row) => missingOf(row) ?? leftIn(list(row), list(voltages), ways));
}

function leftIn(row: readonly Value[], voltages: readonly Value[], ways: readonly ReadonlyMap<Key, number>[]): Value[] {
  const totals = new Map<Key, number>();
  for (const [k, way] of ways.entries())
    for (const key of way.keys())
      totals.set(key, (totals.get(key) ?? 0) + Number(typeof row[k] === 'number' ? row[k] : 0));
  return row.map((current, k) => {
    const missing = missingOf(current, voltages[k] as Value);
    if (missing || current === 0) return missing ?? (voltages[k] as Value);
    const dropped = [...(ways[k] as ReadonlyMap<Key, number>)].reduce(
      (sum, [key, ohms]) => sum + ohms * (totals.get(key) as number),
      0,
    );
    return (voltages[k] as number) - dropped;
  });
}

/** A circuit of which something is not known, with all that it may share. */
interface Unread {
  readonly lack: Unknown | Fault;
  readonly through: ReadonlyMap<Key, number>;
  readonly load: Value;
  readonly source: Value;
}

function readLoop(
  voltage: Value,
  out: Value,
  back: Value,
  paired: Value,
  resistance: Formula,
  load: Value,
  loadResistance: Value,
  power: Value,
  source: Value,
  perAmpere: Value,
  seconds: Map<Value, Key>,
): Loop | Unread {
  const way = readWay(out, back, paired, resistance, seconds);
  const through = new Map(way.through);
  const lack = missingOf(voltage, out, back, paired, load, loadResistance, power, source, perAmpere) ?? way.lack;
  if (typeof loadResistance === 'number' && loadResistance > 0) through.set(load as object, loadResistance);
  if (lack) return { lack, through, load, source };
  const isResistive = Number(loadResistance) > 0;
  return {
    voltage: Number(voltage),
    through,
    isResistive,
    power: Number(power),
    load,
    source,
    perAmpere: Number(perAmpere),
  };
}

/** Resistances on the way out and back, by what they are of. What is not known may well be shared: it joins circuits as any does. */
function readWay(out: Value, back: Value, paired: Value, resistance: Formula, seconds: Map<Value, Key>) {
  const through = new Map<Key, number>();
  let lack: Unknown | Fault | undefined;
  const add = (key: Key, ohms: Value) => {
    if (typeof ohms !== 'number') lack ??= missingOf(ohms) ?? new Unknown([]);
    const known = typeof ohms === 'number' ? ohms : Number.NaN;
    if (known !== 0) through.set(key, (through.get(key) ?? 0) + known);
  };
  for (const element of list(out)) add(element as object, resistance.call(element));
  for (const element of list(back))
    add(paired === true ? second(element, seconds) : (element as object), resistance.call(element));
  return { through, lack };
}

function list(value: Value): readonly Value[] {
  return Array.isArray(value) ? value : [];
}

function second(element: Value, seconds: Map<Value, Key>): Key {
  const key = seconds.get(element) ?? {};
  seconds.set(element, key);
  return key;
}

/** Circuits that share something, or might, are solved together. */
function groups(loops: readonly (Loop | Unread)[]): number[][] {
  const root = loops.map((_, k) => k);
  const rootOf = (k: number): number => (root[k] === k ? k : rootOf(root[k] as number));
  const join = (a: number, b: number) => {
    const [x, y] = [rootOf(a), rootOf(b)];
    root[Math.max(x, y)] = Math.min(x, y);
  };
  const first = new Map<unknown, number>();
  for (const [k, loop] of loops.entries()) {
    for (const key of loop.through.keys()) {
      const other = first.get(key);
      if (other === undefined) first.set(key, k);
      else join(k, other);
    }
  }
  const byLoad = new Map<Value, number[]>();
  for (const [k, loop] of loops.entries()) byLoad.set(loop.load, [...(byLoad.get(loop.load) ?? []), k]);
  for (const [j, loop] of loops.entries()) for (const k of byLoad.get(loop.source) ?? []) join(j, k);
  const found = new Map<number, number[]>();
  for (const k of root.keys()) found.set(rootOf(k), [...(found.get(rootOf(k)) ?? []), k]);
  return [...found.values()];
}

function solveGroup(loops: readonly (Loop | Unread)[], atMost: boolean): number[] | Unknown | Fault {
  const lacks = loops.flatMap((loop) => ('lack' in loop ? [loop.lack] : []));
  const missing = missingOf(...lacks);
  if (missing) return missing;
  const known = loops as readonly Loop[];
  const shared = known.map((a) =>
    known.map((b) =>
      atMost && a.isResistive && a !== b
        ? 0
        : [...a.through].reduce((sum, [key, ohms]) => sum + (b.through.has(key) ? ohms : 0), 0),
    ),
  );
  const fed = known.map((a) => known.map((b) => (a.load === b.source ? a.perAmpere : 0)));
  return solve({
    voltages: known.map((l) => l.voltage),
    shared,
    resistive: known.map((l) => l.isResistive),
    powers: known.map((l) => l.power),
    fed,
  });
}

interface Loops {
  readonly voltages: readonly number[];
  readonly shared: readonly (readonly number[])[];
  readonly resistive: readonly boolean[];
  readonly powers: readonly number[];
  readonly fed: readonly (readonly number[])[];
}

function solve(loops: Loops): number[] | Fault {
  const currents = loops.voltages.map(() => 0);
  for (let n = 0; n < mostSteps; n++) {
    const { residual, slope } = equations(loops, currents);
    const step = linear(slope, residual);
    if (!step) break;
    let largest = 0;
    for (const [k, d] of step.entries()) {
      currents[k] = (currents[k] as number) - d;
      largest = Math.max(largest, Math.abs(d) / (1 + Math.abs(currents[k] as number)));
    }
    if (largest < tolerance) return currents;
  }
  return new Fault('the loads take more power than the way to them lets through');
}

/** What is not balanced yet in each circuit, and how it changes with each current. */
function equations({ voltages, shared, resistive, powers, fed }: Loops, currents: readonly number[]) {
  const slope: number[][] = [];
  const residual = voltages.map((voltage, k) => {
    const own = currents[k] as number;
    const left = voltage - dot(shared[k] as number[], currents);
    if (resistive[k]) {
      slope.push((shared[k] as number[]).map((s) => -s));
      return left;
    }
    slope.push(
      currents.map((_, j) => -own * (shared[k]?.[j] as number) - (fed[k]?.[j] as number) + (j === k ? left : 0)),
    );
    return left * own - (powers[k] as number) - dot(fed[k] as number[], currents);
  });
  return { residual, slope };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, x, i) => sum + x * (b[i] as number), 0);
}

/** Solves a x = b by elimination with pivots; undefined where a is singular. */
function linear(a: readonly (readonly number[])[], b: readonly number[]): number[] | undefined {
  const rows = a.map((r, i) => [...r, b[i] as number]);
  const n = rows.length;
  for (let c = 0; c < n; c++) {
    let best = c;
    for (let r = c + 1; r < n; r++)
      if (Math.abs(rows[r]?.[c] as number) > Math.abs(rows[best]?.[c] as number)) best = r;
    const pivot = rows[best] as number[];
    if (!(Math.abs(pivot[c] as number) > 0)) return undefined;
    [rows[c], rows[best]] = [pivot, rows[c] as number[]];
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const target = rows[r] as number[];
      const factor = (target[c] as number) / (pivot[c] as number);
      if (factor !== 0) for (let j = c; j <= n; j++) target[j] = (target[j] as number) - factor * (pivot[j] as number);
    }
  }
  return rows.map((r, i) => (r[n] as number) / (r[i] as number));
}
