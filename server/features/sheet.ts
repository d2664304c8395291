import type { Position } from 'vscode-languageserver';
import { doubt, type Weakest } from '../../language/answers/foundations.ts';
import { sourceOf } from '../../language/answers/occurrences.ts';
import { pathsToldFirst, sheetInSteps } from '../../language/answers/sheet.ts';
import type { Stepwise } from '../../language/compute/stepwise.ts';
import { weakestInSteps } from '../../language/explore/influence.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import { alone } from '../../language/one-machine.ts';
import type { Assessed, Project, SourceFile } from '../../language/project.ts';
import { type Place, type SectionData, type SheetData, sectionDataOf } from '../sheet/data.ts';
import { sha256 } from '../sheet/digest.ts';
import { headHtml, idOf, mind, pageOf, partHtml } from '../sheet/html.ts';
import { sheetStyle } from '../sheet/style.ts';
import type { Workspace } from '../workspace.ts';

/** Which machine of a file is meant. */
export interface AskedMachine {
  readonly uri: string;
  /** Where the cursor is: the machine there is meant, or else the first of the file. */
  readonly position?: Position;
  /** The machine that is meant, whatever the position. */
  readonly machine?: string;
}

/** What a client asks for: the sheet of a machine, of which it has some sections already. */
export interface AskedSheet extends AskedMachine {
  /** The states of the sections that the client has, by their names: they are not sent again. */
  readonly known?: Readonly<Record<string, string>>;
  /** Is a page of its own wanted, to be written to a file? */
  readonly page?: boolean;
  /** Is what the values rest on wanted as well? It takes seconds to find out; until then the sheet tells what was found out last. */
  readonly resting?: boolean;
}

export interface SheetAnswer {
  readonly machine: string;
  readonly about: string;
  /** What to bear in mind of all that it says. */
  readonly mind: string;
  /** How a sheet is laid out; colours are variables. */
  readonly style: string;
  /** The sections in their order, each as HTML where the client does not have it as it is. */
  readonly sections: readonly {
    readonly id: string;
    readonly heading: string;
    readonly state: string;
    readonly html?: string;
  }[];
  readonly page?: string;
}

/** What the values of a machine rest on, as it was when so many changes had arrived. */
interface Resting {
  readonly uri: string;
  readonly machine: string;
  readonly changes: number;
  readonly weakest: readonly Weakest[];
}

/** A sheet as it was written: each section, and what it was written of. */
export interface Written {
  readonly data: SheetData;
  readonly sections: readonly WrittenSection[];
}

interface WrittenSection {
  readonly id: string;
  readonly heading: string;
  readonly html: string;
  readonly data: SectionData;
}

/** What was written of a workspace last, and found of what its values rest on: one sheet is looked at, so only one is kept. */
interface Kept {
  /** Each part as HTML, by what it tells. */
  written?: { readonly uri: string; readonly pieces: ReadonlyMap<string, string> };
  resting?: Resting;
}

const kept = new WeakMap<Workspace, Kept>();

function keptOf(workspace: Workspace): Kept {
  const known = kept.get(workspace);
  if (known) return known;
  const none: Kept = {};
  kept.set(workspace, none);
  return none;
}

/** Writes the sheet of a machine piece by piece, with what its values rest on so far as that was found out, for all changes or for less. */
export function* written(
  machine: Assessed,
  file: SourceFile,
  changes: number,
  workspace: Workspace,
): Stepwise<Written> {
  const { project } = workspace;
  const placeOf = (node: AstNode): Place | undefined => {
    const source = sourceOf(node, project);
    if (!source) return undefined;
    const { line, character } = source.lines.position(rangeOf(node).start);
    return { file: source.uri, line: line + 1, column: character + 1 };
  };
  const own = keptOf(workspace);
  const resting = own.resting?.uri === file.uri && own.resting.machine === machine.tree.name ? own.resting : undefined;
  const sheet = yield* sheetInSteps(machine, resting?.weakest, resting?.changes !== changes);
  const before = new Map(own.written?.uri === file.uri ? own.written.pieces : []);
  const pieces = new Map<string, string>();
  const sections: WrittenSection[] = [];
  for (const section of sheet.sections) {
    const data = sectionDataOf(section, placeOf);
    const { heading } = data;
    const html = [headHtml(data)];
    for (const part of data.parts) {
      yield () => {
        const key = JSON.stringify([heading, part]);
        const written = before.get(key) ?? partHtml(part, heading);
        pieces.set(key, written);
        html.push(written);
      };
    }
    sections.push({ id: idOf(heading), heading, html: html.join(''), data });
  }
  own.written = { uri: file.uri, pieces };
  return { data: { ...sheet, sections: sections.map((each) => each.data) }, sections };
}

/** Finds out what the values of a machine rest on; undefined where that is known for so many changes. */
export function findsResting(
  machine: Assessed,
  file: SourceFile,
  changes: number,
  workspace: Workspace,
): { readonly project: Project; readonly work: Stepwise<void> } | undefined {
  const own = keptOf(workspace);
  const { name } = machine.tree;
  if (own.resting?.uri === file.uri && own.resting.machine === name && own.resting.changes === changes)
    return undefined;
  const side = alone({ project: workspace.project, file, machine: name }, [name]);
  function* work(): Stepwise<void> {
    const weakest = yield* weakestInSteps(side, pathsToldFirst(machine), doubt);
    own.resting = { uri: file.uri, machine: name, changes, weakest };
  }
  return { project: side.project, work: work() };
}

/** What a client is answered: the sections that it does not have as they are, as HTML whose places tell the URI, line and column of each. */
export async function answerOf({ data, sections }: Written, asked: AskedSheet): Promise<SheetAnswer> {
  const states = await Promise.all(sections.map(({ html }) => sha256(html)));
  return {
    machine: data.machine,
    about: data.about,
    mind,
    style: sheetStyle,
    sections: sections.map(({ id, heading, html }, i) => {
      const state = states[i] ?? '';
      return { id, heading, state, ...(asked.known?.[id] !== state && { html }) };
    }),
    ...(asked.page && { page: await pageOf(data) }),
  };
}

/** The machine of that name, or else the one at the position, or else the first. */
export function meantBy(
  { machine, position }: AskedMachine,
  file: SourceFile,
  all: readonly Assessed[],
): Assessed | undefined {
  const named = all.find(({ tree }) => tree.name === machine);
  if (named || !position) return named ?? all[0];
  const offset = file.lines.offset(position);
  const around = (entry: AstNode) => {
    const { start, end } = rangeOf(entry);
    return start <= offset && offset <= end;
  };
  return all.find(({ entry }) => around(entry)) ?? all[0];
}
