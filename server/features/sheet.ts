import type { Position } from 'vscode-languageserver';
import { sourceOf } from '../../language/answers/occurrences.ts';
import { sheetOf } from '../../language/answers/sheet.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import { dataOf, type Place, type SectionData } from '../sheet/data.ts';
import { sha256 } from '../sheet/digest.ts';
import { idOf, mind, pageOf, sectionHtml } from '../sheet/html.ts';
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

/** The sheet of a file's machine, as HTML whose places tell the URI, line and column of each; null where the file has no machine. */
export async function sheet(file: SourceFile, asked: AskedSheet, workspace: Workspace): Promise<SheetAnswer | null> {
  const { project } = workspace;
  const machine = meantBy(asked, file, project.machines(file));
  if (!machine) return null;
  const placeOf = (node: AstNode): Place | undefined => {
    const source = sourceOf(node, project);
    if (!source) return undefined;
    const { line, character } = source.lines.position(rangeOf(node).start);
    return { file: source.uri, line: line + 1, column: character + 1 };
  };
  const data = dataOf(sheetOf(machine), placeOf);
  const before = lastWritten.get(workspace)?.get(file.uri);
  const written = await Promise.all(data.sections.map((section, i) => writtenAnew(section, before?.[i])));
  // Only the sheet that was asked for last is kept: one is looked at.
  lastWritten.set(workspace, new Map([[file.uri, written]]));
  return {
    machine: data.machine,
    about: data.about,
    mind,
    style: sheetStyle,
    sections: written.map(({ id, heading, state, html }) => ({
      id,
      heading,
      state,
      ...(asked.known?.[id] !== state && { html }),
    })),
    ...(asked.page && { page: await pageOf(data) }),
  };
}

interface Written {
  readonly id: string;
  readonly heading: string;
  readonly state: string;
  readonly html: string;
  /** What it was written of. */
  readonly data: string;
}

const lastWritten = new WeakMap<Workspace, ReadonlyMap<string, readonly Written[]>>();

/** A section as HTML; as it was written before where what it tells is the same. */
async function writtenAnew(section: SectionData, before: Written | undefined): Promise<Written> {
  const data = JSON.stringify(section);
  if (before?.data === data) return before;
  const html = sectionHtml(section);
  const state = await sha256(html);
  return { id: idOf(section.heading), heading: section.heading, state, html, data };
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
