import { type Position, type Range, ResponseError, type TextEdit, type WorkspaceEdit } from 'vscode-languageserver';
import type { Meaning, MeaningSort } from '../../language/answers/meaning.ts';
import { rootMember } from '../../language/answers/meaning-members.ts';
import { meaningsAt, symbolAt } from '../../language/answers/meanings-at.ts';
import { type Occurrence, occurrencesOf, sourceOf } from '../../language/answers/occurrences.ts';
import type { Entry, Has } from '../../language/grammar/generated/ast.ts';
import type { AstNode, TextRange } from '../../language/grammar/syntax.ts';
import { reservedWords } from '../../language/grammar/words.ts';
import { hasOwnName, kindOfRole, type Member } from '../../language/names/kind.ts';
import { Project, type SourceFile } from '../../language/project.ts';
import { pathAt, plainTree } from '../../language/types/situation.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** LSP's `RequestFailed`: the client shows the message. */
const requestFailed = -32803;

function refuse(message: string): never {
  throw new ResponseError(requestFailed, message);
}

const unnamed: Partial<Record<MeaningSort, string>> = {
  unit: 'Units belong to the library, and keep their names.',
  builtin: 'This word belongs to the language, and keeps its name.',
  keyword: 'This word belongs to the language, and keeps its name.',
  use: 'This is a file: rename it where your files are, and write its new name here.',
};

/** What would be renamed at a position. Throws, with the reason, where nothing can be. */
export function prepareRename(file: SourceFile, position: Position, workspace: Workspace): Range {
  return rangeIn(file, renamable(file, position, workspace.project).range);
}

function renamable(file: SourceFile, position: Position, project: Project): Meaning {
  const offset = file.lines.offset(position);
  const [first, ...others] = meaningsAt(file, offset);
  if (!first) refuse('Nothing is named here.');
  const reason = unnamed[first.sort];
  if (reason) refuse(reason);
  // The word of a block without a name of its own means a role, and the kind as well. A role of the library keeps its name; a kind of the user's can have another.
  const own = [first, ...others].find((meaning) => !isLibrarys(meaning, project));
  if (!own) refuse(`${first.name} belongs to the library, and keeps its name.`);
  if (typeof own.identity === 'string') refuse(`${own.name} keeps its name: nothing in these files declares it.`);
  return own;
}

function isLibrarys({ identity }: Meaning, project: Project): boolean {
  return typeof identity !== 'string' && sourceOf(identity, project)?.isLibrary === true;
}

/** Refuses to rename a role that has no name of its own: any block of its kind fills it; with a name, only the block that is called so would. */
function refuseIfByKind({ sort, name, identity, member, kind }: Meaning, project: Project): void {
  const isRole = (role: Member) =>
    sort === 'kind' ? kindOfRole(role) === kind : member !== undefined && rootMember(role) === rootMember(member);
  const isUnnamedRole = member?.role === 'child' && !hasOwnName(member) && rootMember(member).node === identity;
  if (sort !== 'kind' && !isUnnamedRole) return;
  for (const file of project.files.values()) {
    for (const item of file.parsed.file.items) {
      for (const block of plainTree(item, file.scope)?.all() ?? []) {
        const role = block.fills;
        if (!role || hasOwnName(role) || block.name === role.name || !isRole(role)) continue;
        refuse(
          `${name} keeps its name: ${block.label} fills this role by its kind, and would not fill one with a name of its own.`,
        );
      }
    }
  }
}

interface Change extends TextRange {
  readonly file: SourceFile;
  readonly text: string;
  /** Where in the text the new name stands. */
  readonly at: number;
}

/** The edits that give a thing another name everywhere: in all files of the client's folders, overrides included. */
export function rename(file: SourceFile, position: Position, newName: string, workspace: Workspace): WorkspaceEdit {
  const project = workspace.everything();
  const here = project.file(file.uri) ?? file;
  const meaning = renamable(here, position, project);
  const name = newName.trim();
  refuseIfByKind(meaning, project);
  if (!/^[\p{L}_][\p{L}\p{N}_]*$/u.test(name))
    refuse(`${newName} cannot be a name: names have letters, digits and _, and begin with no digit.`);
  if (reservedWords.has(name)) refuse(`${name} is a word of the language: choose another name.`);
  if (name === meaning.name) return { changes: {} };
  const changes = occurrencesOf(meaning, project).flatMap((o) => changesAt(o, name, meaning));
  checkRename(meaning, name, changes, project);
  return { changes: byFile(changes) };
}

/** How one place that names the thing is written after the renaming. */
function changesAt({ file, range }: Occurrence<SourceFile>, name: string, renamed: Meaning): Change[] {
  const path = pathAt(file, range.start);
  const holder = path.at(-2);
  const plain: Change = { file, ...range, text: name, at: 0 };
  const first = (kind: string): Change[] => [{ ...plain, text: `${name}${kind}` }];
  const second = (before: string): Change[] => [{ ...plain, text: `${before}${name}`, at: before.length }];
  if (holder?.$type === 'Has' && !(holder as Has).kind) {
    // `has fan` says the block's name and its kind's in one word.
    return renamed.sort === 'kind' ? second(`${renamed.name}: `) : first(`: ${renamed.name}`);
  }
  if (holder?.$type !== 'Entry' || !isUnnamedBlock(holder as Entry, path.at(-1) as AstNode)) return [plain];
  const meanings = meaningsAt(file, range.start);
  // Where the word is no kind here, it is the name of a block that is there already, of which more is said.
  if (!meanings.some((meaning) => meaning.sort === 'kind')) return [plain];
  const block = meanings.find((meaning) => meaning.sort === 'block');
  const fillsSlot = block?.member !== undefined && hasOwnName(block.member);
  if (renamed.sort === 'kind') return fillsSlot ? [] : first(` ${renamed.name}`);
  return fillsSlot ? [plain] : second(`${renamed.name} `);
}

/** Is this the kind of a block that has no name of its own, or of a machine? */
function isUnnamedBlock(entry: Entry, word: AstNode): boolean {
  return !entry.name && word === entry.first && !entry.equals && !entry.type && !entry.defaults;
}

function byFile(changes: readonly Change[]): Record<string, TextEdit[]> {
  const edits: Record<string, TextEdit[]> = {};
  for (const change of changes) {
    const { uri } = change.file;
    edits[uri] ??= [];
    edits[uri].push({ range: rangeIn(change.file, change), newText: change.text });
  }
  return edits;
}

// ---- is all as it was, but for the name? ----

/** Makes the changes in a project of its own, and refuses them where something there would mean another thing. */
function checkRename(meaning: Meaning, name: string, changes: readonly Change[], project: Project): void {
  const files = [...project.files.values()];
  const texts = new Map(files.map((file) => [file.uri, changedText(file, changes)]));
  const after = new Project(project.library, {
    ...project.host,
    read: (uri) => texts.get(uri) ?? project.host.read(uri),
  });
  const touched = new Set(changes.flatMap(({ file }) => [file, ...project.dependents(file.uri)]));
  for (const file of files) after.file(file.uri);
  for (const file of touched) {
    const changed = after.file(file.uri);
    if (changed) checkFile(file, changed, meaning.name, name, project, after);
  }
  const [first] = changes;
  const place = first && after.file(first.file.uri);
  const again = place && symbolAt(place, movedOffset(first, changes) + first.at);
  if (again?.name !== name || occurrencesOf(again, after).length !== changes.length)
    refuse(`${name} already means something else where ${meaning.name} is used.`);
}

/** Mistakes that are told last: any other says more of why a name will not do. */
const clashes: ReadonlySet<string> = new Set(['clash', 'said_twice']);

/** Refuses the new name where a file has a mistake with it that it did not have before. */
function checkFile(
  before: SourceFile,
  after: SourceFile,
  oldName: string,
  name: string,
  project: Project,
  changed: Project,
): void {
  const said = (message: string) => message.replaceAll(name, oldName);
  const errors = (of: Project, file: SourceFile) => of.mistakes(file).filter(({ severity }) => severity === 'error');
  const known = errors(project, before).map((mistake) => said(mistake.message));
  const added = errors(changed, after).filter((mistake) => !known.includes(said(mistake.message)));
  const [worst] = added.toSorted((a, b) => Number(clashes.has(b.code)) - Number(clashes.has(a.code)));
  if (worst) refuse(`${oldName} cannot become ${name}: ${worst.message}`);
}

function changedText(file: SourceFile, changes: readonly Change[]): string {
  const own = changes.filter((change) => change.file === file).sort((a, b) => b.start - a.start);
  return own.reduce(
    (text, { start, end, text: put }) => text.slice(0, start) + put + text.slice(end),
    file.parsed.text,
  );
}

/** Where a change stands once all of them are made. */
function movedOffset(change: Change, changes: readonly Change[]): number {
  const before = changes.filter((other) => other.file === change.file && other.start < change.start);
  return before.reduce((at, { start, end, text }) => at + text.length - (end - start), change.start);
}
