import type { Machine } from '../compute/machine.ts';
import { markForBlock } from '../compute/marks.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import { backOf, boardOf, type Circuit, circuitsOf, leadsOf, shown } from './wiring.ts';

/** A conductor from one terminal to another. */
export interface Connection {
  readonly from: string;
  readonly to: string;
  /** The wire that it belongs to; empty where none is said. */
  readonly wire: string;
  readonly colour: string;
  /** How the wire's end is made where it begins, and where it leads; empty where none is said, or where it is not known. */
  readonly ends: readonly [string, string];
  /** Is it the wire's conductor on the way out, or that on the way back? */
  readonly core: 0 | 1;
  /** What is told of the wire, by the name of the value: its area, its length. */
  readonly told: Readonly<Record<string, string>>;
  readonly circuit: string;
  readonly place: AstNode;
}

/**
 * All conductors of a machine, from terminal to terminal: circuit by circuit, the way out, the way back and the earth; then what is
 * joined by leads of its own. What circuits share is told once. Where no wire is said between two parts, the row says so.
 */
export function connectionsOf(machine: Machine): Connection[] {
  const circuits = circuitsOf(machine);
  const told = new Set<string>();
  const once = (rows: readonly Connection[]) =>
    rows.filter(({ from, to, wire, core }) => {
      const key = (wire ? [wire, core] : [from, to]).join('\n');
      return !told.has(key) && told.add(key);
    });
  const through = circuits.flatMap((circuit) =>
    once([...wayOut(circuit, machine), ...wayBack(circuit, machine), ...earthOf(circuit, machine)]),
  );
  return [...through, ...byLeads(machine)];
}

const isWire = (block: Instance) => block.kind.cores.length > 0;

function wayOut(circuit: Circuit, machine: Machine): Connection[] {
  const { path, marks } = circuit;
  // What reaches an output comes in by its board.
  const way = path.map((block, i) => (i > 0 && isWire(path[i - 1] as Instance) ? (boardOf(block) ?? block) : block));
  const at = Math.max(
    0,
    path.findLastIndex((block) => boardOf(block) !== undefined),
  );
  const ends = new Set([path[0], path.at(-1), path[at], way[at]]);
  const name = (block: Instance) => (ends.has(block) ? marked(block, marks[0]) : pinned(block, 0, machine));
  return [
    ...alongside(way.slice(0, at + 1), name, circuit, machine, 0),
    ...alongside(path.slice(at), name, circuit, machine, 0),
  ];
}

/** From the load back to the source. */
function wayBack(circuit: Circuit, machine: Machine): Connection[] {
  const { path, marks } = circuit;
  const [source, load] = [path[0] as Instance, path.at(-1) as Instance];
  const name = (block: Instance) =>
    block === source || block === load ? marked(block, marks[1]) : pinned(block, 1, machine);
  // An output that switches a circuit is where both of its conductors begin.
  const terminal = path.findLast((block) => boardOf(block) && block !== load && block !== source);
  const way = backOf(circuit);
  const own = terminal
    ? way.filter((block) => path.indexOf(block) < 0 || path.indexOf(block) > path.indexOf(terminal))
    : way;
  const home = (block: Instance) => (block === terminal ? marked(block, marks[1]) : name(block));
  return alongside([load, ...own, terminal ?? source], home, circuit, machine, 1);
}

function marked({ label }: Instance, mark: string): string {
  return [label, mark].filter(Boolean).join(' ');
}

/** The conductors between the parts of a way: from each to the next, by the wires that lie between. */
function alongside(
  way: readonly Instance[],
  name: (block: Instance) => string,
  { block, path }: Circuit,
  machine: Machine,
  core: 0 | 1,
): Connection[] {
  return way.slice(1).flatMap((to, i): Connection | [] => {
    const from = way[i] as Instance;
    const circuit = block.label;
    if (isWire(to)) {
      const next = way[i + 2];
      // A wire that only comes back has but one conductor, whose colour is the first.
      const colourOf = path.includes(to) ? core : 0;
      if (!next) return [];
      const ends = [from, next].map((end) => endAt(end, machine)) as [string, string];
      return { ...conductor(to, wireEnd(from, name), wireEnd(next, name), circuit, machine, core, colourOf), ends };
    }
    if (isWire(from)) return [];
    const place = markForBlock(path.includes(to) ? to : block, machine.entry);
    return { from: name(from), to: name(to), wire: '', colour: '', ends: ['', ''], core, told: {}, circuit, place };
  });
}

/** How the end of a wire at a block is made. */
function endAt(block: Instance, machine: Machine): string {
  return shown(block, block.kind.terminated[0], machine);
}

/** A block that is no end of its circuit: with the pin that the conductor goes through, where it has pins. */
function pinned(block: Instance, core: 0 | 1, machine: Machine): string {
  const pin = shown(block, block.kind.terminated[core + 1], machine);
  return pin ? `${block.label}:${pin}` : block.label;
}

function wireEnd(block: Instance, name: (block: Instance) => string): string {
  return isWire(block) ? `the end of ${block.label}` : name(block);
}

function conductor(
  wire: Instance,
  from: string,
  to: string,
  circuit: string,
  machine: Machine,
  core: 0 | 1,
  colourOf: 0 | 1 = core,
): Connection {
  const [out, back, ...more] = wire.kind.cores;
  return {
    from,
    to,
    wire: wire.label,
    colour: shown(wire, colourOf === 0 ? out : back, machine),
    ends: ['', ''],
    core,
    told: Object.fromEntries(more.map((name) => [name.replaceAll('_', ' '), shown(wire, name, machine)])),
    circuit,
    place: markForBlock(wire, machine.entry),
  };
}

function earthOf({ earth, path, block }: Circuit, machine: Machine): Connection[] {
  const [source, load] = [path[0] as Instance, path.at(-1) as Instance];
  if (!earth) return [];
  const ends = [load, source].map((end) => endAt(end, machine)) as [string, string];
  return [{ ...conductor(earth, `${load.label} earth`, `${source.label} earth`, block.label, machine, 0), ends }];
}

/** What is joined by leads of its own: a row for each of their conductors, so far as these are told. */
function byLeads(machine: Machine): Connection[] {
  return leadsOf(machine).flatMap(({ terminal, to, told, pins, words }): Connection[] => {
    if (isWire(to)) return [conductor(to, terminal.label, 'what it bonds', '', machine, 0)];
    const row = (pin: string): Connection => ({
      from: terminal.label + pin,
      to: to.label + pin,
      wire: (pins.length > 0 ? words : told).join(', '),
      colour: '',
      ends: ['', ''],
      core: 0,
      told: {},
      circuit: '',
      place: markForBlock(to, machine.entry),
    });
    return pins.length > 0 ? pins.map((pin) => row(`:${pin}`)) : [row('')];
  });
}
