import { sheetOf } from '../../language/answers/sheet.ts';
import { compare } from '../../language/explore/comparing.ts';
import { type Side, treesIn } from '../../language/one-machine.ts';
import { canonicalUri, Project, type SourceFile } from '../../language/project.ts';
import { comparedData } from '../cli/compare-data.ts';
import { comparisonMarkdown } from '../cli/compare-markdown.ts';
import { CallError } from '../cli/io.ts';
import { dataOf, type SheetData } from '../sheet/data.ts';
import { type Column, columnsPage } from '../sheet/html.ts';
import { markdownOf } from '../sheet/markdown.ts';
import type { Workspace } from '../workspace.ts';
import { type AskedMachine, meantBy } from './sheet.ts';

/** What a client asks for: a machine compared with another one, or, without `other`, what it can be compared with. */
export interface AskedComparison extends AskedMachine {
  /** One of these: another machine of the file, another file, the file before its last edit, or a revision of this one, of which the client must ask nothing where it trusts no folder. */
  readonly other?: {
    readonly machine?: string;
    readonly uri?: string;
    readonly revision?: string;
    readonly lastEdit?: true;
  };
  /** Are both sheets wanted side by side, and not one after the other? */
  readonly columns?: boolean;
  /** What sets the colours of these as CSS, where they are shown; left out, they are those of a page that stands alone. */
  readonly colours?: string;
}

/** The project of a file's folder at a revision. Throws a `CallError` where there is none. */
export type Revisions = (
  uri: string,
  revision: string,
  folders: readonly string[],
  library: Project['library'],
) => Project;

export type ComparisonAnswer =
  /** Both sheets side by side, as a page that stands alone. */
  | { readonly title: string; readonly page: string }
  | { readonly machine: string; readonly others: readonly string[]; readonly hasLastEdit: boolean }
  /** The sheets of both as Markdown; that of the second begins with what differs. */
  | { readonly title: string; readonly before: string; readonly after: string }
  | { readonly refused: string };

/** What can be compared with the machine that is meant, or what came of it; null where the file has no machine. */
export async function comparison(
  file: SourceFile,
  asked: AskedComparison,
  workspace: Workspace,
  revisions: Revisions | undefined,
  /** The file's text before its last edit, where one was made. */
  before: string | undefined,
): Promise<ComparisonAnswer | null> {
  const machine = meantBy(asked, file, workspace.project.machines(file))?.tree.name;
  if (machine === undefined) return null;
  if (!asked.other) {
    const all = workspace.project.judged(file).map(({ tree }) => tree.name);
    const hasLastEdit = before !== undefined && before !== file.parsed.text;
    return { machine, others: all.filter((name) => name !== machine), hasLastEdit };
  }
  try {
    return await compared(file.uri, machine, { ...asked, other: asked.other }, workspace, revisions, before);
  } catch (error) {
    if (error instanceof CallError) return { refused: error.message };
    throw error;
  }
}

async function compared(
  uri: string,
  machine: string,
  { other, columns, colours }: AskedComparison & Required<Pick<AskedComparison, 'other'>>,
  workspace: Workspace,
  revisions: Revisions | undefined,
  textBefore: string | undefined,
): Promise<ComparisonAnswer> {
  // Beside the project that answers while somebody types: nothing of this reaches it.
  const project = new Project(workspace.project.library, workspace.hostOfAll());
  const after = sideIn(project, uri, machine);
  const before = otherSide(after, other, workspace, revisions, textBefore);
  const name = (of: string) => decodeURIComponent(of.slice(of.lastIndexOf('/') + 1));
  const side = ({ file, machine }: Side, revision: string | null) => ({ machine, file: name(file.uri), revision });
  const sides = { before: side(before, other.revision ?? null), after: side(after, null) };
  const data = comparedData(compare(before, after, least), sides, name);
  const told = comparisonMarkdown({ machines: [data], come: [], gone: [] }, false);
  const title = [before.machine, other.uri && name(other.uri), other.revision, other.lastEdit && 'before the last edit']
    .filter(Boolean)
    .join(', ');
  if (columns) {
    const [left, right] = [before, after].map((each, i) => ({
      title: i === 0 ? title : each.machine,
      sheet: sheetIn(each),
    }));
    return {
      title: `${title} ↔ ${after.machine}`,
      page: await columnsPage(left as Column, right as Column, toldIn(data), colours),
    };
  }
  return { title: `${title} ↔ ${after.machine}`, before: sheetText(before), after: `${told}\n${sheetText(after)}` };
}

/** What moves by a smaller share is left out. */
const least = 0.005;

function otherSide(
  own: Side,
  { machine, uri, revision, lastEdit }: NonNullable<AskedComparison['other']>,
  workspace: Workspace,
  revisions: Revisions | undefined,
  textBefore: string | undefined,
): Side {
  if (revision !== undefined) {
    if (!revisions) throw new CallError('There is no git here that could tell of revisions.');
    const folders = workspace.folders.map(canonicalUri);
    const project = revisions(own.file.uri, revision, folders, workspace.project.library);
    return sideIn(project, own.file.uri, own.machine);
  }
  if (lastEdit) {
    if (textBefore === undefined) throw new CallError('Nothing is known of an edit of this file.');
    const host = workspace.hostOfAll();
    const read = (each: string) => (each === own.file.uri ? textBefore : host.read(each));
    return sideIn(new Project(workspace.project.library, { ...host, read }), own.file.uri, own.machine);
  }
  if (uri !== undefined) return sideIn(own.project, canonicalUri(uri), own.machine);
  return { ...own, machine: machine ?? own.machine };
}

/** The machine of that name in a file, or the only one that there is. */
function sideIn(project: Project, uri: string, machine: string): Side {
  const file = project.file(uri);
  const names = file ? treesIn({ project, file }).map(({ name }) => name) : [];
  const name = names.includes(machine) || names.length !== 1 ? machine : (names[0] as string);
  if (!file || !names.includes(name)) throw new CallError(`There is no machine ${machine} in that file.`);
  return { project, file, machine: name };
}

function sheetText(side: Side): string {
  return markdownOf(sheetIn(side));
}

function sheetIn({ project, file, machine }: Side): SheetData {
  const found = project.machines(file).find(({ tree }) => tree.name === machine);
  if (!found) throw new CallError(`There is no machine ${machine} in that file.`);
  return dataOf(sheetOf(found), () => undefined);
}

/** What turned, in a line each; those that only follow are left out. */
function toldIn({ turns }: Pick<ReturnType<typeof comparedData>, 'turns'>): string[] {
  return turns
    .filter(({ follows }) => !follows)
    .map(
      ({ code, path, before, after, message }) => `${path ? `${path}: ` : ''}${code} ${before} → ${after}. ${message}`,
    );
}
