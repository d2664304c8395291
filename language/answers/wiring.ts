import { cellOf } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { markForBlock } from '../compute/marks.ts';
import { showCell, valueOver } from '../compute/show-cell.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import { kindOfListedBlocks } from '../names/type.ts';
import { isMissing, type Value } from '../values/value.ts';

/** A ladder of a wiring plan: a source, or a board with outputs, and a rung for each circuit that begins there. */
export interface Ladder {
  readonly is: 'ladder';
  /** Its place among the ladders of the machine, counted from 1. */
  readonly number: string;
  readonly name: string;
  readonly told: readonly string[];
  /** Do its rungs begin at terminals of their own, or at the two rails of a source? */
  readonly isBoard: boolean;
  /** The number of the rung that ends at it; empty where none does. */
  readonly fedBy: string;
  /** The marks of its rails: of the way out, and of the way back. */
  readonly marks: readonly [string, string];
  /** What all its rungs share, which is drawn once. */
  readonly trunk: readonly Device[];
  readonly rungs: readonly Rung[];
  /** What is joined to its terminals by leads of its own. */
  readonly leads: readonly Lead[];
  /** The wires that earth something at it. */
  readonly earths: readonly string[];
  /** Its terminals that nothing is joined to. */
  readonly free: readonly { readonly name: string; readonly place: AstNode }[];
  /** What each sort of thing in it is, and where the library says so. */
  readonly legend: readonly Sort[];
  readonly place: AstNode;
}

/** What is drawn alike: its letters, where it has some, and its kind, with where its symbol and what is told beside it are said. */
export interface Sort {
  readonly letters: string;
  readonly name: string;
  readonly told: readonly { readonly name: string; readonly place: AstNode }[];
  readonly place: AstNode;
}

/** A circuit. */
export interface Rung {
  /** `2.3`: the third of the second ladder. */
  readonly number: string;
  readonly name: string;
  readonly told: readonly string[];
  /** The marks of where it begins: of the way out, and of the way back. */
  readonly marks: readonly [string, string];
  /** The terminal of a board that it begins at; empty where it begins at a source. */
  readonly terminal: string;
  /** Where that, or its source, is said. */
  readonly begins: AstNode;
  /** What it shares with a rung above it: the last of that, and the number of the rung. */
  readonly behind?: {
    readonly name: string;
    readonly number: string;
    readonly isBoth: boolean;
    readonly place: AstNode;
  };
  /** What its current flows through before its load, in order. */
  readonly out: readonly Device[];
  readonly load: Device;
  /** What it flows back through besides what stands in its way out as well, in order from the load on. */
  readonly back: readonly Device[];
  readonly earth?: Device;
  readonly place: AstNode;
}

/** What stands in a rung: a symbol, or a wire, which is a line. */
export interface Device {
  /** What it is called beside its symbol; empty where its circuit has it as all have, and its symbol says what it is. */
  readonly name: string;
  /** Its path below the machine. */
  readonly label: string;
  readonly letters: string;
  readonly told: readonly string[];
  /** An SVG path in a box of 40 by 20; empty for a wire, and for what has no symbol. */
  readonly symbol: string;
  /** The colours of a wire: on the way out and on the way back, of which one may be another wire's. */
  readonly cores?: { readonly out: string; readonly back: string };
  /** Does the way back go through it as well? */
  readonly isBoth: boolean;
  /** The terminal that switches it, and where that is drawn. */
  readonly control?: {
    readonly name: string;
    readonly number: string;
    readonly isPowered: boolean;
    readonly place: AstNode;
  };
  /** The number of the ladder that begins at it, or of the rung that it stands in, where it is drawn elsewhere. */
  readonly goesOn: string;
  readonly place: AstNode;
}

/** From a terminal of a board to something that has leads of its own. */
export interface Lead {
  readonly number: string;
  readonly terminal: string;
  /** Where that is said. */
  readonly begins: AstNode;
  readonly to: Device;
  readonly told: readonly string[];
}

/** A circuit as its kind's `rung` tells of it. */
export interface Circuit {
  readonly block: Instance;
  readonly path: readonly Instance[];
  readonly back: readonly Instance[];
  readonly earth: Instance | undefined;
  readonly marks: readonly [string, string];
  readonly told: readonly string[];
}

/** What `lead` tells of: one end is a terminal of a board, where there is one. */
export interface Joined {
  readonly terminal: Instance;
  readonly to: Instance;
  readonly told: readonly string[];
  /** What its conductors are called, at both of their ends: as is said, or else by their number. */
  readonly pins: readonly string[];
  /** What is said of it in words. */
  readonly words: readonly string[];
}

/** The circuits of a machine whose way is known, in the order of the tree. */
export function circuitsOf(machine: Machine): Circuit[] {
  return [...machine.tree.all()].flatMap((block): Circuit | [] => {
    const [path, back, earth, out, home, ...more] = block.kind.rung?.names ?? [];
    const through = blocksOf(block, path, machine);
    if (through.length < 2) return [];
    return {
      block,
      path: through,
      back: blocksOf(block, back, machine),
      earth: blocksOf(block, earth, machine)[0],
      marks: [textOf(block, out, machine), textOf(block, home, machine)],
      told: more.flatMap((name) => named(block, name, machine)),
    };
  });
}

/** All that is joined to something by leads of its own, in the order of the tree. */
export function leadsOf(machine: Machine): Joined[] {
  return [...machine.tree.all()].flatMap((block) => {
    const [to, ...more] = block.kind.lead;
    const pins = pinsOf(block, more, machine);
    const told = more.flatMap((name) => (isListed(block, name, machine) ? [] : named(block, name, machine)));
    const words = more.filter((name) => textOf(block, name, machine)).flatMap((name) => named(block, name, machine));
    return blocksOf(block, to, machine).map((other): Joined => {
      const [terminal, end] = isTerminal(other) ? [other, block] : [block, other];
      return { terminal, to: end, told, pins, words };
    });
  });
}

/** The ladders of a machine: one for each source and for each board with something at its terminals, in the order of the text. */
export function laddersOf(machine: Machine): Ladder[] {
  const circuits = circuitsOf(machine).map((circuit) => ({ ...circuit, ...startOf(circuit) }));
  const leads = leadsOf(machine).filter(({ terminal }) => isTerminal(terminal));
  const begins = new Set([...circuits.map(({ begin }) => begin), ...leads.map(({ terminal }) => boardOf(terminal))]);
  const heads = [...machine.tree.all()].filter((block) => begins.has(block));
  const numbers = new Map<Instance, string>(heads.map((head, i) => [head, `${i + 1}`]));
  const rungs = new Map<Instance, string>();
  const ends = new Map<Instance, string>();
  const joins = new Map<Joined, string>();
  for (const head of heads) {
    const own = circuits.filter(({ begin }) => begin === head);
    for (const [i, { block, path }] of own.entries()) {
      const number = `${numbers.get(head)}.${i + 1}`;
      rungs.set(block, number);
      for (const each of path.slice(1)) if (!ends.has(each)) ends.set(each, number);
    }
    for (const [i, lead] of leads.filter(({ terminal }) => boardOf(terminal) === head).entries())
      joins.set(lead, `${numbers.get(head)}.${own.length + i + 1}`);
  }

  // What switches stands in paths itself; what only reads does not.
  const kinds = circuits.flatMap(({ block }) => {
    const way = block.member(block.kind.rung?.names[0] ?? '');
    return (way && kindOfListedBlocks(way.type)) ?? [];
  });
  const isElement = (block: Instance) => kinds.some((kind) => block.kind.isA(kind));
  const isDrawn = (block: Instance) => circuits.some(({ path, back }) => path.includes(block) || back.includes(block));

  const deviceOf = (block: Instance, circuit?: Circuit): Device => {
    const lead = leads.find(({ to }) => to === block);
    const [out, back] = block.kind.cores;
    const isBoth = circuit?.back.includes(block) ?? false;
    return {
      name: shortName(block, circuit?.block),
      label: block.label,
      letters: block.kind.symbol?.letters ?? '',
      symbol: out ? '' : (block.kind.symbol?.path ?? ''),
      told: toldOf(block, machine),
      ...(out && { cores: { out: shown(block, out, machine), back: isBoth ? shown(block, back, machine) : '' } }),
      isBoth,
      ...(lead &&
        isDrawn(block) && {
          control: {
            name: lead.terminal.label,
            number: joins.get(lead) ?? '',
            isPowered: isElement(lead.terminal),
            place: markForBlock(lead.terminal, machine.entry),
          },
        }),
      goesOn: numbers.get(block) ?? (circuit ? '' : (ends.get(block) ?? '')),
      place: markForBlock(block, machine.entry),
    };
  };

  return heads.map((head): Ladder => {
    const own = circuits.filter(({ begin }) => begin === head);
    const shared = own.length > 1 ? sharedBy(own.map(({ rest }) => rest.slice(0, -1))) : [];
    const mine = leads.filter(({ terminal }) => boardOf(terminal) === head);
    const used = new Set([...own.map(({ terminal }) => terminal), ...mine.map(({ terminal }) => terminal)]);
    const first = own[0];
    return {
      is: 'ladder',
      number: numbers.get(head) ?? '',
      name: head.label,
      told: toldOf(head, machine),
      isBoard: own.some(({ terminal }) => terminal) || own.length === 0,
      fedBy: ends.get(head) ?? '',
      marks: first?.marks ?? ['', ''],
      trunk: shared.map((block) => deviceOf(block, first)),
      rungs: own.map((circuit, i) => {
        const above = nearestAbove(circuit.rest, own.slice(0, i), shared.length);
        const rest = circuit.rest.slice(above?.length ?? shared.length);
        const last = above && circuit.rest[above.length - 1];
        const way = rest.slice(0, -1);
        return {
          number: rungs.get(circuit.block) ?? '',
          name: circuit.block.label,
          told: circuit.told,
          marks: circuit.marks,
          terminal: circuit.terminal?.name ?? '',
          begins: markForBlock(circuit.terminal ?? head, machine.entry),
          ...(above &&
            last && {
              behind: {
                name: last.name,
                number: rungs.get(above.circuit.block) ?? '',
                isBoth: isBoth(circuit, above.length, shared.length),
                place: markForBlock(last, machine.entry),
              },
            }),
          out: way.map((block) => deviceOf(block, circuit)),
          load: deviceOf(rest.at(-1) as Instance, circuit),
          back: backOf(circuit)
            .filter((block) => !circuit.path.includes(block))
            .map((block) => deviceOf(block, circuit)),
          ...(circuit.earth && { earth: deviceOf(circuit.earth) }),
          place: markForBlock(circuit.block, machine.entry),
        };
      }),
      leads: mine.map((lead) => ({
        number: joins.get(lead) ?? '',
        terminal: lead.terminal.name,
        begins: markForBlock(lead.terminal, machine.entry),
        to: deviceOf(lead.to),
        told: lead.told,
      })),
      earths: [...new Set(own.flatMap(({ earth }) => earth ?? []))].map(({ name }) => name),
      free: freeOf(head, used).map((block) => ({ name: block.name, place: markForBlock(block, machine.entry) })),
      legend: legendOf(
        [
          ...own.flatMap(({ block, path, back, earth }) => [block, ...path, ...back, ...(earth ? [earth] : [])]),
          ...mine.map(({ to }) => to),
        ],
        machine,
      ),
      place: markForBlock(head, machine.entry),
    };
  });
}

/** What a circuit flows back through, from the load on: its path the other way round where it comes back as it went. */
export function backOf({ path, back }: Circuit): readonly Instance[] {
  return back.every((block) => path.includes(block)) ? path.toReversed().filter((block) => back.includes(block)) : back;
}

/** Where a circuit begins: at the last terminal of a board that it goes through, or at its source; and what comes after that. */
function startOf({ path }: Circuit): { begin: Instance; terminal?: Instance; rest: readonly Instance[] } {
  const at = path.findLastIndex((block, i) => i > 0 && i < path.length - 1 && isTerminal(block));
  const terminal = path[at];
  return terminal
    ? { begin: boardOf(terminal) as Instance, terminal, rest: path.slice(at + 1) }
    : { begin: path[0] as Instance, rest: path.slice(1) };
}

/** Does it stand on something that is drawn itself, as an output does on its board? */
function isTerminal(block: Instance): boolean {
  return boardOf(block) !== undefined;
}

/** The board that a terminal is on: what holds it and is drawn itself. */
export function boardOf({ holder }: Instance): Instance | undefined {
  return holder?.kind.symbol ? holder : undefined;
}

/** What several ways begin with. */
function sharedBy(ways: readonly (readonly Instance[])[]): readonly Instance[] {
  const [first = [], ...others] = ways;
  const end = first.findIndex((block, i) => others.some((way) => way[i] !== block));
  return end < 0 ? first : first.slice(0, end);
}

/** The circuit above that shares most with a way, if it shares more than all do. */
function nearestAbove<C extends { readonly rest: readonly Instance[] }>(
  way: readonly Instance[],
  above: readonly C[],
  least: number,
): { circuit: C; length: number } | undefined {
  const all = above.map((circuit) => ({ circuit, length: sharedBy([way.slice(0, -1), circuit.rest]).length }));
  return all.filter(({ length }) => length > least).sort((a, b) => b.length - a.length)[0];
}

/** Does the way back go through something that is shared with the rung above? */
function isBoth(
  { rest, back }: { rest: readonly Instance[]; back: readonly Instance[] },
  to: number,
  from: number,
): boolean {
  return rest.slice(from, to).some((block) => back.includes(block));
}

/** Its terminals that nothing is joined to: of those of which it can have any number. */
function freeOf(board: Instance, used: ReadonlySet<Instance | undefined>): Instance[] {
  const roles = board.kind.roles.filter(({ occurs }) => occurs === 'many');
  return roles.flatMap((role) => board.filling(role)).filter((block) => !used.has(block));
}

/** What blocks are, each sort once, in the order of the blocks: those are alike that one kind's text says how to draw. */
function legendOf(blocks: readonly Instance[], machine: Machine): Sort[] {
  const sorts = new Map<AstNode, Sort>();
  for (const block of blocks) {
    const { kind } = block;
    const place = kind.drawnBy;
    if (!place || sorts.has(place.node)) continue;
    const { node, owner } = place;
    const told = namesBeside(kind).flatMap((name) => {
      const at = kind.members.get(name)?.node;
      return at && shown(block, name, machine) ? [{ name: name.replaceAll('_', ' '), place: at }] : [];
    });
    const letters = kind.cores.length > 0 ? '' : (kind.symbol?.letters ?? '');
    sorts.set(node, { letters, name: owner.name.replaceAll('_', ' '), told, place: node });
  }
  return [...sorts.values()];
}

/** Its name, with that of what it belongs to where it goes by its role there: `bed.heater`. */
function shortName({ name, kind, holder }: Instance, circuit: Instance | undefined): string {
  if (!holder?.holder || holder.kind.roleFor(name, kind)?.name !== name) return name;
  return holder === circuit ? '' : `${holder.name}.${name}`;
}

/** The values that are told beside a symbol, a wire or a circuit. */
function namesBeside({ symbol, cores, rung, members }: Instance['kind']): readonly string[] {
  if (rung) return rung.names.slice(5);
  // Beside a line there is room for its sizes; what else is told of a wire stands in the list of connections.
  const sizes = cores.slice(2).filter((name) => members.get(name)?.type.is !== 'instance');
  return cores.length > 0 ? sizes : (symbol?.names ?? []);
}

/** What is told beside a block's symbol, or of a wire. */
function toldOf(block: Instance, machine: Machine): string[] {
  const { cores } = block.kind;
  const told = namesBeside(block.kind).flatMap((name) => shown(block, name, machine) || []);
  // Of a line there are two lines of text: how thick it is, and how long.
  return cores.length > 0 && told.length > 2 ? [told.slice(0, -1).join(' · '), told.at(-1) ?? ''] : told;
}

/** A value by its name, as it is shown: `rated current 15 A`; nothing where it is not known, or left out. */
export function named(block: Instance, name: string, machine: Machine): string[] {
  const text = shown(block, name, machine);
  return text ? [`${name.replaceAll('_', ' ')} ${text}`] : [];
}

/** A value as it is shown; empty where it is not known, or left out. */
export function shown(block: Instance, name: string | undefined, machine: Machine): string {
  const cell = name === undefined ? undefined : cellOf(block, name);
  if (!cell) return '';
  return isMissing(valueOver(cell, machine)) ? '' : showCell(cell, machine);
}

function textOf(block: Instance, name: string | undefined, machine: Machine): string {
  const value = readValue(block, name, machine);
  return typeof value === 'string' ? value : '';
}

function isListed(block: Instance, name: string, machine: Machine): boolean {
  return Array.isArray(readValue(block, name, machine));
}

/** What the conductors of leads are called: a list of texts, or as many numbers as a count says. */
function pinsOf(block: Instance, names: readonly string[], machine: Machine): string[] {
  const values = names.map((name) => readValue(block, name, machine));
  const list = values.find((value): value is Value[] => Array.isArray(value));
  const count = values.find((value) => typeof value === 'number');
  return list
    ? list.filter((each): each is string => typeof each === 'string')
    : Array.from({ length: count ?? 0 }, (_, i) => String(i + 1));
}

/** The blocks that a value is, or lists. */
function blocksOf(block: Instance, name: string | undefined, machine: Machine): Instance[] {
  const value = readValue(block, name, machine);
  const all = Array.isArray(value) ? value : [value];
  return all.filter((each): each is Instance => each instanceof Instance);
}

function readValue(block: Instance, name: string | undefined, machine: Machine): Value | undefined {
  const cell = name === undefined ? undefined : cellOf(block, name);
  return cell && valueOver(cell, machine);
}
