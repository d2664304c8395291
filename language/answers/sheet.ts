import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import { blockContext, blockFrame, type Machine } from '../compute/machine.ts';
import { showBound, showMargin } from '../compute/margin.ts';
import { markForBlock, markForValue } from '../compute/marks.ts';
import { type SetRecord, setRecordsOf } from '../compute/records.ts';
import { alongsideOf, pathOfCell, showAlongside, showCell, typeOfCell, valueOver } from '../compute/show-cell.ts';
import { atOnce, type Stepwise } from '../compute/stepwise.ts';
import { type AstNode, docOf, textOf } from '../grammar/syntax.ts';
import { answerTo, type Choice } from '../judge/choices.ts';
import {
  assemblyOf,
  type CheckState,
  type DueCheck,
  dueChecksOf,
  readAlongside,
  shownRead,
  upkeepOf,
} from '../judge/commissioning.ts';
import { type Finding, isLaidAside } from '../judge/finding.ts';
import { type Assessment, toldIn } from '../judge/findings.ts';
import { pathOfNotSaid, waitingWords } from '../judge/not-said.ts';
import { type Requirement, requirementOutcome } from '../judge/requirements.ts';
import { valueOrWhy } from '../judge/verdict-words.ts';
import { decisive, type Found, marginsOn, type Weak, weakest } from '../judge/weakest.ts';
import type { Instance } from '../machine/tree.ts';
import { type Severity, severities } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Reported } from '../names/kind.ts';
import { kindOfListedBlocks, type Type } from '../names/type.ts';
import { infer } from '../types/infer.ts';
import { Money, Unknown } from '../values/value.ts';
import { type BlockTable, blockTableOf, specification, tableOfBlocks } from './block-table.ts';
import { connectionsOf } from './connections.ts';
import { type SourceNote, sourcesOf, standingWords } from './derivation.ts';
import { memberDoc } from './docs.ts';
import { type Drawing, drawingHeading, drawingOf } from './drawing.ts';
import { everyInputOf, type Weakest } from './foundations.ts';
import { type Plot, plotOf } from './plot.ts';
import { type Ladder, laddersOf } from './wiring.ts';

/** A machine with what is said of it. */
interface Judged extends Machine {
  readonly assessment: Assessment;
  readonly choices: readonly Choice[];
}

/** What is to be looked at and handed over of a machine. */
export interface Sheet {
  readonly machine: string;
  /** What its `///` lines say. */
  readonly about: string;
  readonly sections: readonly Section[];
}

/** What stands under one heading. */
export interface Section {
  readonly heading: string;
  /** A sentence on how to read it. */
  readonly about?: string;
  readonly parts: readonly Part[];
}

export type Part = Rows | Table | Checks | Plot | Notes | Ladder | Drawing;

/** Labels and values of one block. */
export interface Rows {
  readonly is: 'rows';
  /** The block, where the section tells of several. */
  readonly block?: string;
  readonly rows: readonly Row[];
}

export interface Row {
  readonly label: string;
  readonly shown: string;
  /** What the value is, in a sentence. */
  readonly about?: string;
  /** How much is to spare: a share of the limit, or so many kelvins of 100; below zero where it fails. */
  readonly margin?: number;
  /** Its share of the greatest, where it stands among values of one quantity. */
  readonly bar?: number;
  /** Where it stands in the text of the machine. */
  readonly place: AstNode;
  /** Where its formula stands. */
  readonly formula?: AstNode;
}

/** A row for each block of a list. */
export interface Table {
  readonly is: 'table';
  /** What it is a list of. */
  readonly label: string;
  readonly about: string;
  readonly heading: readonly string[];
  readonly rows: readonly {
    readonly texts: readonly string[];
    readonly place: AstNode;
    /** Where each of the texts is said, the first left out, so far as that is a place of its own. */
    readonly places?: readonly (AstNode | undefined)[];
    /** Its share of the greatest, where the table tells one quantity of each. */
    readonly bar?: number;
  }[];
  /** Where the formula of each column stands, so far as it has one. */
  readonly formulas?: readonly (AstNode | undefined)[];
  /** What is not given, so that a value of some row is not known. */
  readonly missing: readonly string[];
  /** The value of a block that it lists, and that block, where it is another than the machine. */
  readonly list?: string;
  readonly block?: string;
  /** The column that says which rows belong together, where one does. */
  readonly together?: string;
  /** Columns that say more of another: where there is little room they stand below it. */
  readonly below?: Readonly<Record<string, string>>;
}

/** What is to be done at one stage, one by one. */
export interface Checks {
  readonly is: 'checks';
  /** When it is done. */
  readonly label: string;
  readonly items: readonly CheckItem[];
}

/** Something to be done, alike on all blocks that it is told of. */
export interface CheckItem {
  readonly title: string;
  /** What has to come off before. */
  readonly uncover?: string;
  readonly how: string;
  readonly expected?: string;
  readonly caution?: string;
  /** Where it is said how that is done, and what is expected. */
  readonly formula: AstNode;
  readonly blocks: readonly {
    readonly label: string;
    /** A box to be ticked, and what was recorded; empty where it is done again and again. */
    readonly made: string;
    readonly place: AstNode;
  }[];
}

/** What is to be read: findings, questions, open choices. */
export interface Notes {
  readonly is: 'notes';
  readonly notes: readonly Note[];
}

export interface Note {
  readonly severity?: Severity;
  readonly title: string;
  readonly text: string;
  readonly caution?: string;
  readonly more?: readonly string[];
  readonly place: AstNode;
}

/** The weakest points that are shown. */
const mostWeak = 10;

/**
 * All that is to be looked at of a machine: what it comes to, what is found, and what its kinds report, under their headings in the order
 * in which the tree meets them. Nothing that is not known is left out in silence: it says so. What values rest on takes long to find out: it is
 * told where it is handed over.
 */
export function sheetOf(machine: Judged, resting: readonly Weakest[] = []): Sheet {
  return atOnce(sheetInSteps(machine, resting));
}

/** The same piece by piece. What values rest on may be that of the text as it stood a while ago: that is said of it. */
export function* sheetInSteps(machine: Judged, resting: readonly Weakest[] = [], isOld = false): Stepwise<Sheet> {
  // They take the longest of all that is told: twice the same would be twice the wait.
  const margins: Found[] = [];
  for (const instance of machine.tree.all()) yield () => void margins.push(...marginsOn(instance, machine));
  const sections: Section[] = [];
  const told = [
    () => headlines(machine),
    () => findings(machine),
    () => requirements(machine),
    () => weakPoints(margins, machine),
    () => choices(machine),
    () => notSaid(machine),
  ];
  for (const section of told) yield () => void sections.push(section());
  sections.push(...(yield* reported(margins, machine)));
  yield () => void sections.push(weakestSource(resting, isOld, machine), sources(machine));
  return {
    machine: machine.tree.name,
    about: docOf(machine.entry),
    sections: sections.filter(({ parts }) => parts.length > 0),
  };
}

function rows(all: readonly Row[], block?: string): Rows[] {
  return all.length > 0 ? [{ is: 'rows', rows: all, ...(block && { block }) }] : [];
}

function notes(all: readonly Note[]): Notes[] {
  return all.length > 0 ? [{ is: 'notes', notes: all }] : [];
}

/** What the machine comes to, and each block in it of which there is one. */
function headlines(machine: Judged): Section {
  const { tree } = machine;
  const blocks = [...tree.children.values()];
  const single = blocks.filter(({ kind, count }) => count === 1 && blocks.filter((b) => b.kind === kind).length === 1);
  const of = (block: Instance) => {
    const cells = block.kind.headlines.flatMap((name) => cellOf(block, name) ?? []);
    return cells.filter((cell) => !kindOfListedBlocks(typeOfCell(cell))).map((cell) => rowOf(cell, machine));
  };
  return {
    heading: 'At a glance',
    parts: [...rows(of(tree)), ...single.flatMap((block) => rows(of(block), spoken(block.label)))],
  };
}

/** Where a value's formula stands, if it has one. */
function formulaOf(cell: Cell | undefined): AstNode | undefined {
  return cell?.member?.role === 'derived' ? cell.member.node : undefined;
}

/** A value with what it is, where it is said, and the formula behind it. */
function rowOf(cell: Cell, machine: Judged): Row {
  const { member } = cell;
  const formula = formulaOf(cell);
  return {
    label: spoken(cell.name),
    shown: bare(valueOrWhy(valueOver(cell, machine), showCell(cell, machine))) + showAlongside(cell, machine),
    about: memberDoc(member),
    place: markForValue(cell, machine.entry),
    ...(formula && { formula }),
  };
}

/** A name as it is read; between figures its underscore is the point of a number: `m2_5` is M2.5. */
function spoken(name: string): string {
  return name.replace(/(?<=\d)_(?=\d)/g, '.').replaceAll('_', ' ');
}

/** A list as people read it, without the brackets that it is written with. */
function bare(shown: string): string {
  return shown.replace(/^\[(.*)\]$/, '$1');
}

/** The gravest first, each with what follows from it; of those alike in the order of the text. */
function findings(machine: Judged): Section {
  const told = (finding: Finding): Note[] => [noteOf(finding, machine), ...finding.consequences.flatMap(told)];
  const all = toldIn(machine.assessment).map(told);
  const rank = ([first]: readonly Note[]) => severities.indexOf(first?.severity ?? 'note');
  return { heading: 'Findings', parts: notes(all.toSorted((a, b) => rank(a) - rank(b)).flat()) };
}

function noteOf(finding: Finding, machine: Judged): Note {
  const { rule, severity, message, caution, waysOut, places, accepted } = finding;
  const laidAside = accepted
    ? [`accepted: ${accepted.reason}${accepted.lapsed ? ` (no longer: ${accepted.lapsed})` : ''}`]
    : [];
  return {
    severity: isLaidAside(finding) ? 'note' : severity,
    title: spoken(rule),
    text: message,
    ...(caution && { caution }),
    more: [...laidAside, ...waysOut],
    place: places[0] ?? machine.entry,
  };
}

function requirements(machine: Judged): Section {
  return {
    heading: 'Requirements',
    parts: rows(
      machine.assessment.requirements.map((requirement) => ({
        label: requirement.text,
        shown: requirementOutcome(withAlongside(requirement, machine)),
        ...(requirement.margin && { margin: shareOf(requirement.margin) }),
        place: requirement.target.node,
      })),
    ),
  };
}

/** A requirement with what it comes to told in other units as well; of one that fails the failed parts are told, in one unit each. */
function withAlongside(requirement: Requirement, machine: Judged): Requirement {
  const { target, scenario, margin, shown } = requirement;
  if (!margin || shown === undefined) return requirement;
  const { engine } = machine;
  const [frame, ctx] = [blockFrame(target.instance, target.layer, engine), blockContext(target.instance, target.layer)];
  const value = engine.under(scenario, () => engine.aside(() => evaluate(margin.value, frame)));
  return { ...requirement, shown: shown + alongsideOf(value, infer(margin.value, ctx), machine) };
}

function shareOf({ amount, inKelvin }: { readonly amount: number; readonly inKelvin: boolean }): number {
  return inKelvin ? amount / 100 : amount;
}

function weakPoints(margins: readonly Found[], machine: Judged): Section {
  const all = weakest(margins, machine, mostWeak).map(
    ({ rule, instance, margin, value, limit, worst, place }): Row => ({
      label: `${instance.label}: ${spoken(rule.name)}`,
      shown: `${named(value.text)}${value.shown}, must be ${boundOf(margin, limit)}: ${showMargin(margin)}${worst ? `, ${worst}` : ''}`,
      about: `${value.text} ${margin.operator} ${limit.text}`,
      margin: shareOf(margin),
      place,
      formula: rule.node,
    }),
  );
  return { heading: 'Weakest points', about: 'Rules that hold with the least to spare.', parts: rows(all) };
}

/** The name of a value before what it comes to, `plate size width`; nothing where it is a formula. */
function named(text: string): string {
  return /^[a-z_][\w.]*$/i.test(text) ? `${spoken(text.replaceAll('.', ' '))} ` : '';
}

/** What a value must be, as it is read from either side of a comparison: `at least 82 °C (hottest spot)`. */
function boundOf(margin: Weak['margin'], limit: Weak['limit']): string {
  const name = named(limit.text).trim();
  return `${showBound(margin)} ${limit.shown}${name ? ` (${name})` : ''}`;
}

function choices({ choices }: Judged): Section {
  return {
    heading: 'Open choices',
    parts: notes(
      choices.map((choice) => ({
        title: [choice.instance.label, choice.name].filter(Boolean).join('.'),
        text: answerTo(choice),
        place: choice.node,
      })),
    ),
  };
}

function notSaid({ assessment }: Judged): Section {
  return {
    heading: 'Not said yet',
    parts: notes(
      assessment.notSaid.map((each) => ({
        title: pathOfNotSaid(each),
        text: [each.question, waitingWords(each)].filter(Boolean).join(' '),
        place: each.place,
      })),
    ),
  };
}

// ---- what kinds report ----

/**
 * The sections that kinds declare, in the order in which the tree meets their headings; what belongs to one of these headings stands behind
 * what is reported there, and what no kind gives a place to comes last.
 */
function* reported(margins: readonly Found[], machine: Judged): Stepwise<Section[]> {
  const sections = new Map<string, { instance: Instance; names: readonly string[] }[]>();
  for (const instance of machine.tree.all()) {
    for (const { heading, names } of instance.kind.reported) {
      const under = sections.get(heading) ?? [];
      const same = under.findIndex((each) => each.instance === instance);
      if (same >= 0) under[same] = { instance, names: [...(under[same]?.names ?? []), ...names] };
      else if (names.length > 0) under.push({ instance, names });
      sections.set(heading, under);
    }
  }
  const own: Section[] = [];
  for (const section of [wiring, drawing, setValues, assembly, commissioning, maintenance]) {
    yield () => void own.push(...[section(machine) ?? []].flat());
  }
  yield () => void own.push(why(margins, machine));
  const placed: Section[] = [];
  for (const [heading, under] of sections) {
    const parts = yield* partsUnder(under, machine);
    const more = own.find((section) => section.heading === heading);
    placed.push(more ? { ...more, parts: [...parts, ...more.parts] } : { heading, parts: calledOnce(parts, heading) });
  }
  return [...placed, ...own.filter(({ heading }) => !sections.has(heading))];
}

/** What stands alone under a heading that says what it is is not called so once more. */
function calledOnce(parts: readonly Part[], heading: string): readonly Part[] {
  const [only, ...more] = parts;
  const isSaid = only?.is === 'table' && heading.toLowerCase().endsWith(only.label.toLowerCase());
  return isSaid && more.length === 0 ? [{ ...only, label: '' }] : parts;
}

/** As much of a sheet as a drawing needs: its other sections take longer than that. */
export function drawingSheetOf(machine: Judged): Sheet {
  const section = drawing(machine);
  return { machine: machine.tree.name, about: docOf(machine.entry), sections: section ? [section] : [] };
}

/** The machine to scale, under the heading that the kind of its shapes gives. */
function drawing(machine: Judged): Section | undefined {
  const heading = drawingHeading(machine);
  const drawn = drawingOf(machine);
  return heading === undefined || !drawn
    ? undefined
    : {
        heading,
        about:
          'To scale where it is printed without scaling. What moves stands in the middle of its way, with thin outlines at both ends.',
        parts: [drawn],
      };
}

/** The wiring plan and the list of all connections, under the heading that the kind of its circuits gives. */
function wiring(machine: Judged): Section | undefined {
  const heading = [...machine.tree.all()].flatMap(({ kind }) => kind.rung?.heading ?? [])[0];
  return heading === undefined
    ? undefined
    : {
        heading,
        about:
          'Numbers tell where each circuit is drawn. Where mains is, local codes and a licensed electrician decide, and do the work.',
        parts: [...laddersOf(machine), ...connectionTable(machine)],
      };
}

function connectionTable(machine: Judged): Table[] {
  const rows = connectionsOf(machine);
  const names = [...new Set(rows.flatMap(({ told }) => Object.keys(told)))];
  // What is no block says how large a wire is.
  const blocks = new Set([...machine.tree.all()].map(({ label }) => label));
  const sizes = names.filter((name) => !rows.some(({ told }) => blocks.has(told[name] ?? '')));
  const table: Table = {
    is: 'table',
    label: 'Connections',
    about:
      'From terminal to terminal. Where no wire is named, none is said: the two are joined directly, or by a wire that is missing in the text.',
    heading: ['from', 'to', 'by', 'colour', 'end at from', 'end at to', ...names, 'in'],
    rows: rows.map(({ from, to, wire, colour, ends, told, circuit, place }) => ({
      texts: [
        from,
        to,
        wire,
        colour.replaceAll('_', '-'),
        ...ends,
        ...names.map((name) => told[name] ?? ''),
        circuit || 'besides circuits',
      ],
      place,
    })),
    missing: [],
    together: 'in',
    below: {
      'end at from': 'from',
      'end at to': 'to',
      ...Object.fromEntries(['colour', ...sizes].map((name) => [name, 'by'])),
    },
  };
  return rows.length > 0 ? [table] : [];
}

interface ReportedOf {
  readonly instance: Instance;
  readonly names: Reported['names'];
}

/** Several blocks of a kind that report single values stand in one table, where the first of them would; all else block by block. */
function* partsUnder(under: readonly ReportedOf[], machine: Judged): Stepwise<Part[]> {
  const alike = new Map<string, [ReportedOf, ...ReportedOf[]]>();
  for (const each of under) {
    const key = isSingle(each, machine) ? each.instance.kind.name : each.instance.path;
    const group = alike.get(key);
    if (group) group.push(each);
    else alike.set(key, [each]);
  }
  const parts: Part[] = [];
  for (const group of alike.values()) yield () => void parts.push(...partsOfGroup(group, machine));
  return joined(parts);
}

function partsOfGroup(group: readonly [ReportedOf, ...ReportedOf[]], machine: Judged): Part[] {
  const [{ instance, names }] = group;
  if (group.length === 1) return partsOf(instance, names, machine);
  const { kind } = instance;
  const table = tableOfBlocks(
    group.map((each) => each.instance),
    kind.name,
    [...new Set(group.flatMap((each) => each.names))],
    machine,
  );
  return [asTable(table, spoken(kind.name), '', instance, machine)];
}

/** Tables that tell the same of several blocks as one, with what each tells of as what belongs together. */
function joined(parts: readonly Part[]): Part[] {
  const isLike = (one: Table) => (other: Part) =>
    other.is === 'table' && one.list !== undefined && other.list === one.list && other.about === one.about;
  return parts.flatMap((part, i): Part[] => {
    if (part.is !== 'table') return [part];
    const like = parts.filter(isLike(part)) as Table[];
    if (like.length < 2) return [part];
    if (parts.findIndex(isLike(part)) < i) return [];
    const heading = [...new Set(like.flatMap((table) => table.heading))];
    return [
      {
        ...part,
        label: part.list ?? part.label,
        heading: [...heading, 'of'],
        formulas: heading.map(
          (name) => like.flatMap((table) => table.formulas?.[table.heading.indexOf(name)] ?? [])[0],
        ),
        rows: like.flatMap((table) =>
          table.rows.map((row) => {
            const at = heading.map((name) => table.heading.indexOf(name));
            return {
              ...row,
              texts: [...at.map((c) => row.texts[c] ?? ''), table.block ?? ''],
              places: at.map((c) => row.places?.[c]),
            };
          }),
        ),
        missing: [...new Set(like.flatMap(({ missing }) => missing))],
        together: 'of',
      },
    ];
  });
}

/** Does a block report nothing but values of which each has a row of its own? */
function isSingle({ instance, names }: ReportedOf, machine: Judged): boolean {
  if (instance === machine.tree) return false;
  const members = names.flatMap((name) => instance.member(name) ?? []);
  const isDrawn = (type: Type): boolean => type.is === 'curve' || (type.is === 'list' && isDrawn(type.of));
  return members.every(({ type, shown }) => !isDrawn(type) && (shown.length === 0 || !kindOfListedBlocks(type)));
}

/** Curves with what is drawn beside them, lists of blocks as tables, and all else as rows; nothing of what a block is without. */
function partsOf(instance: Instance, names: Reported['names'], machine: Judged): Part[] {
  const cells = names.flatMap((name) => cellOf(instance, name) ?? []).filter((cell) => !isLeftOut(cell, machine));
  const plot = plotOf(instance, cells, machine);
  if (plot) return [plot];
  const isTable = (cell: Cell) =>
    kindOfListedBlocks(typeOfCell(cell)) !== undefined && (cell.member?.shown.length ?? 0) > 0;
  const tables = cells.filter(isTable).flatMap((cell) => tableOf(cell, machine) ?? []);
  const settings = setRecordsOf(machine);
  const alone = cells.filter((cell) => !isTable(cell));
  const bars = alikeShares(alone, machine);
  const single = alone.map((cell, i) => {
    const row = rowOf(cell, machine);
    return { ...row, shown: row.shown + setBeside(cell, settings, machine), ...(bars && { bar: bars[i] ?? 0 }) };
  });
  return [...rows(single, instance === machine.tree ? undefined : instance.label), ...tables];
}

/** Is it a value that need not be said, and is not, or a list of nothing? */
function isLeftOut(cell: Cell, { engine }: Judged): boolean {
  const value = engine.aside(() => engine.value(cell));
  return (value instanceof Unknown && value.absent) || (Array.isArray(value) && value.length === 0);
}

function tableOf(cell: Cell, machine: Judged): Table | undefined {
  const table = blockTableOf(cell, machine);
  if (!table?.rows.length) return undefined;
  const label = spoken(pathOfCell(cell, machine));
  const list = spoken(cell.name);
  const isOwn = cell.instance === machine.tree;
  return {
    ...asTable(table, isOwn ? list : label, memberDoc(cell.member), cell.instance, machine),
    ...(!isOwn && { list, block: cell.instance.label }),
  };
}

/** Each number with where it is said, and beside it what was set in the controller; where only one quantity is told of the blocks, with bars. */
function asTable(
  { heading, rows, blocks, missing }: BlockTable,
  label: string,
  about: string,
  of: Instance,
  machine: Judged,
): Table {
  const settings = setRecordsOf(machine);
  const all = blocks.map((block) => heading.map((name) => cellOf(block, name)));
  const shares = sharesOf(all, machine);
  // What says which of its kind a block is stands in the list of parts.
  const used = heading.map((_, c) => c).filter((c) => !shares || heading[c] !== specification);
  const cells = all.map((row) => used.map((c) => row[c]));
  return {
    is: 'table',
    label,
    about,
    heading: used.map((c) => spoken(heading[c] ?? '')),
    rows: rows.map((texts, i) => ({
      texts: used.map((c, at) => bare(texts[c] ?? '') + besideIn(cells[i]?.[at], settings, machine)),
      place: (blocks[i] ?? of).node,
      places: used.map((c, at) => {
        const cell = texts[c] ? cells[i]?.[at] : undefined;
        return cell && markForValue(cell, machine.entry);
      }),
      ...(shares && { bar: shares[i] ?? 0 }),
    })),
    formulas: used.map((_, at) => formulaOf(cells.flatMap((row) => row[at] ?? [])[0])),
    missing,
    ...(heading.includes('is') && heading.includes(specification) && !shares && { below: { [specification]: 'is' } }),
  };
}

/** A number in other units, and what was set in the controller, behind what a table tells. */
function besideIn(cell: Cell | undefined, settings: readonly SetRecord[], machine: Judged): string {
  return cell ? showAlongside(cell, machine) + setBeside(cell, settings, machine) : '';
}

/** What was set in the controller, behind what the design says; nothing where nothing was recorded. */
function setBeside(cell: Cell | undefined, settings: readonly SetRecord[], machine: Judged): string {
  const record = cell && settings.findLast((each) => each.cell === cell);
  return record ? `; set to ${showCell(record.cell, machine, record.set)} on ${record.date}` : '';
}

/** The shares of the greatest of several values of one quantity; undefined of values of several, or where one is not known. */
function alikeShares(cells: readonly Cell[], machine: Judged): number[] | undefined {
  const types = cells.map(typeOfCell);
  const [first] = types;
  const isAlike = (type: Type) =>
    type.is === 'quantity' &&
    first?.is === 'quantity' &&
    !type.bare &&
    !type.points &&
    type.dimension === first.dimension;
  return cells.length > 1 && types.every(isAlike) ? sharesOfGreatest(cells, machine) : undefined;
}

/** The shares of the greatest of a quantity, where a table tells nothing else of its blocks; undefined where one of them is not known. */
function sharesOf(cells: readonly (readonly (Cell | undefined)[])[], machine: Judged): number[] | undefined {
  // What has no cell says which block it is.
  const [only, ...more] = (cells[0] ?? []).flatMap((cell, c) => (cell ? c : []));
  const cell = only !== undefined ? cells[0]?.[only] : undefined;
  if (only === undefined || !cell || more.length > 0 || typeOfCell(cell).is !== 'quantity') return undefined;
  return sharesOfGreatest(
    cells.map((row) => row[only]),
    machine,
  );
}

function sharesOfGreatest(cells: readonly (Cell | undefined)[], machine: Judged): number[] | undefined {
  const values = cells.map((cell) => cell && greatestOf(cell, machine));
  const known = values.filter((value) => value !== undefined && value >= 0);
  const greatest = Math.max(...(known as number[]));
  return known.length === values.length && greatest > 0 ? (known as number[]).map((v) => v / greatest) : undefined;
}

/** The greatest that a value can be; of a price its amount. */
function greatestOf(cell: Cell, { engine }: Judged): number | undefined {
  const numbers = engine.corners(cell).values.flatMap((value) => {
    if (value instanceof Money) return value.amount;
    return typeof value === 'number' ? value : [];
  });
  return numbers.length > 0 ? Math.max(...numbers) : undefined;
}

// ---- where it comes from ----

/** The values that are told first of a machine: those that its kind heads with, and what its requirements ask for. */
function toldFirst(machine: Judged): Cell[] {
  const heads = machine.tree.kind.headlines.flatMap((name) => cellOf(machine.tree, name) ?? []);
  return [...heads, ...machine.assessment.requirements.map(({ target }) => target.cell)];
}

/** The numbers that are told first of a machine, as `cellAt` reads them: those that its kind heads with, and what requirements compare. */
export function pathsToldFirst(machine: Judged): string[] {
  const compared = machine.assessment.requirements.flatMap(({ target: { node, instance } }) => {
    const { condition } = node;
    return condition?.$type === 'Binary' && instance === machine.tree && condition.left ? [textOf(condition.left)] : [];
  });
  return [...new Set([...machine.tree.kind.headlines, ...compared])];
}

/** What each part was decided by: the rule that leaves it the least to spare. */
function why(margins: readonly Found[], machine: Judged): Section {
  const table: Table = {
    is: 'table',
    label: 'What each part is decided by',
    about: '',
    heading: ['', 'is', 'by the rule', 'comes to', 'must be', 'to spare', 'source'],
    rows: decisive(margins, machine).map(({ rule, instance, margin, value, limit, worst, place }) => ({
      texts: [
        instance.label,
        instance.part?.name?.text ?? instance.kind.name,
        spoken(rule.name),
        `${named(value.text)}${value.shown}`,
        boundOf(margin, limit),
        [showMargin(margin), worst].filter(Boolean).join(', '),
        sourcesOf(rule.node)
          .map(({ text, standing }) => `${text} (${standingWords[standing]})`)
          .join('; '),
      ],
      place,
      places: [undefined, undefined, rule.node],
    })),
    missing: [],
    together: 'by the rule',
    below: { is: '', source: 'by the rule' },
  };
  return {
    heading: 'Why it is so',
    about:
      'Of each part the rule that leaves it the least to spare, where that is no more than half: another choice would break it first.',
    parts: table.rows.length > 0 ? [table] : [],
  };
}

/** For each value that is told first, what it rests on that is weakest, and what that makes of it. */
function weakestSource(resting: readonly Weakest[], isOld: boolean, machine: Judged): Section {
  const table: Table = {
    is: 'table',
    label: 'The weakest source of each value',
    about: '',
    heading: ['', 'comes to', 'rests on', 'which is', 'from', 'makes it', 'others like it'],
    rows: resting.map(({ path, shown, most, source, others }) => ({
      texts: [
        path,
        shown,
        most.path,
        `${source.text} (${standingWords[source.standing]})`,
        `${most.from} to ${most.to}`,
        `${most.atFrom} to ${most.atTo}`,
        String(others),
      ],
      place: machine.entry,
    })),
    missing: [],
  };
  return {
    heading: 'What it rests on',
    about: `Of the values that nobody has said, and that stand in from memory or by practice alone, the one that moves each value most. Measure it, or look it up, first.${isOld ? ' As it was before the last edits: it is being computed anew.' : ''}`,
    parts: resting.length > 0 ? [table] : [],
  };
}

const leastSure: readonly SourceNote['standing'][] = ['recalled', 'practice', 'quoted', 'read'];
/** So many values are named for each source. */
const mostNamed = 3;

/** The sources of all that goes into the values that are told first, those that are least sure first; what is true by definition needs none. */
function sources(machine: Judged): Section {
  const found = new Map<string, { source: SourceNote; paths: Set<string>; place: AstNode }>();
  for (const cell of everyInputOf(toldFirst(machine), machine)) {
    const { member, definition } = cell.called?.cell ?? {
      member: cell.member,
      definition: cell.member && cell.definition,
    };
    if (!member || (definition?.origin !== 'default' && definition?.origin !== 'derived')) continue;
    for (const source of sourcesOf(member.node)) {
      const key = `${source.standing} ${source.text}`;
      const known = found.get(key) ?? { source, paths: new Set<string>(), place: member.node };
      known.paths.add(spoken(`${member.owner.name}’s ${member.name}`));
      found.set(key, known);
    }
  }
  const all = leastSure.flatMap((standing) => [...found.values()].filter(({ source }) => source.standing === standing));
  const table: Table = {
    is: 'table',
    label: '',
    about: '',
    heading: ['', 'it is', 'for'],
    rows: all.map(({ source, paths, place }) => ({
      texts: [source.text, standingWords[source.standing], listed([...paths], mostNamed)],
      place,
    })),
    missing: [],
    together: 'it is',
  };
  return {
    heading: 'Sources',
    about: 'What the values at a glance and the requirements rest on, what is least sure first.',
    parts: all.length > 0 ? [table] : [],
  };
}

// ---- records ----

/** What was set in the controller, beside what the design says. */
function setValues(machine: Judged): Section {
  const records = setRecordsOf(machine).map(({ path, cell, set, agrees, date, node }) => ({
    texts: [
      path,
      showCell(cell, machine, set),
      showCell(cell, machine),
      agrees === false ? 'differs' : agrees ? 'agrees' : '',
      date,
    ],
    place: node,
  }));
  const table: Table = {
    is: 'table',
    label: 'As it was set',
    about: '',
    heading: ['', 'set', 'by the design', '', 'on'],
    rows: records,
    missing: [],
  };
  return { heading: 'Set in the controller', parts: records.length > 0 ? [table] : [] };
}

const states: Readonly<Record<CheckState, string>> = {
  open: '☐',
  made: '☑',
  lapsed: '☐ made with other values than there are now',
  outside: '☐ not what is expected',
};

/** How the machine is put together, step by step. */
function assembly(machine: Judged): Section {
  return {
    heading: 'Assembly',
    about:
      'Step by step, in this order, with the plug pulled throughout. Where mains is, local codes and a licensed electrician decide, and do the work.',
    parts: checksBy(assemblyOf(machine), machine, true),
  };
}

/** What is to be checked once the machine is built, step by step in the order in which that is safe; what was recorded is filled in. */
function commissioning(machine: Judged): Section {
  return {
    heading: 'Commissioning',
    about: 'Step by step, in this order. Where mains is, local codes and a licensed electrician decide.',
    parts: checksBy(dueChecksOf(machine), machine, true),
  };
}

/** What is looked after while the machine is used, by how often. */
function maintenance(machine: Judged): Section {
  return {
    heading: 'Maintenance',
    about:
      'With the plug pulled, but for the test button and the alarm. Where mains is, local codes and a licensed electrician decide.',
    parts: checksBy(upkeepOf(machine), machine, false),
  };
}

/** Checks by when they are made; those that say the same of several blocks stand together. */
function checksBy(due: readonly DueCheck[], machine: Judged, isTicked: boolean): Checks[] {
  const stages = [...new Set(due.map(({ stage }) => stage.title))];
  return stages.map((label) => ({
    is: 'checks',
    label,
    items: together(due.filter(({ stage }) => stage.title === label)).map(([first, ...more]): CheckItem => {
      const { title, uncover, how, expected, caution } = first;
      return {
        title,
        how,
        ...(uncover && { uncover }),
        ...(expected && { expected: expected + readAlongside(first.check, machine, first.least, first.most) }),
        ...(caution && { caution }),
        formula: first.check.node,
        blocks: [first, ...more].map((each) => ({
          label: each.instance.label,
          made: isTicked ? madeOf(each, machine) : '',
          place: each.record?.node ?? markForBlock(each.instance, machine.entry),
        })),
      };
    }),
  }));
}

/** Checks that say the same of several blocks, each once. */
function together(checks: readonly DueCheck[]): [DueCheck, ...DueCheck[]][] {
  const groups = new Map<string, [DueCheck, ...DueCheck[]]>();
  for (const check of checks) {
    const key = [check.title, check.uncover, check.how, check.expected, check.caution].join('\n');
    const group = groups.get(key);
    if (group) group.push(check);
    else groups.set(key, [check]);
  }
  return [...groups.values()];
}

/** Whether it was made, what was read, and when. */
function madeOf({ state, record, check }: DueCheck, machine: Judged): string {
  const number = typeof record?.read === 'number' ? record.read : undefined;
  const read =
    record?.read !== undefined ? shownRead(record.read, check, machine) + readAlongside(check, machine, number) : '';
  return [states[state], read, record?.date ?? ''].filter(Boolean).join(' ');
}
