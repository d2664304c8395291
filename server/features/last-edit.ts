import { inOneLine, type Since, type Stood, since, stood } from '../../language/answers/since.ts';
import { Overlay, type StatementEdit, statementsIn } from '../../language/answers/statement-edits.ts';
import { parse } from '../../language/grammar/parser.ts';
import { misreadIn, type ParsedFile } from '../../language/grammar/syntax.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';

/** What the last edit of a file changed in its machines. */
export interface LastEdit {
  /** The statements that it changed, as in `bed.heater.power = 160 W → 250 W`. */
  readonly statements: readonly string[];
  readonly machines: readonly {
    readonly machine: string;
    /** All of it in a line. */
    readonly line: string;
    /** The same at length, a line for each. */
    readonly lines: readonly string[];
  }[];
}

interface Moment {
  readonly text: string;
  readonly parsed: ParsedFile;
  readonly machines: ReadonlyMap<string, Stood>;
}

/** So many files are followed; of others it is told once they have been looked at again. */
const mostFollowed = 24;

/**
 * What edits change, told whenever the text has settled. One edit is what was done to the same statements in one go: whoever goes on typing in
 * a line is told of all that came of it since it was begun.
 */
export class LastEdits {
  readonly #files = new Map<string, { before: Moment; now: Moment }>();

  forget(uri: string): void {
    this.#files.delete(uri);
  }

  /** What the last edit of a file changed; nothing before it was looked at once, and while it is half written what the one before did. */
  of(file: SourceFile, { project }: Workspace): LastEdit {
    const known = this.#files.get(file.uri);
    if (known && misreadIn(file.parsed).length > 0) return told(known);
    const machines = new Map(project.machines(file).map((machine) => [machine.tree.name, stood(machine)]));
    const { text } = file.parsed;
    // What is kept of the tree's nodes changes with the text.
    const now = { text, parsed: known?.now.text === text ? known.now.parsed : parse(text), machines };
    const before = known ? startOf(known, now) : now;
    this.#files.delete(file.uri);
    this.#files.set(file.uri, { before, now });
    const [oldest] = this.#files.keys();
    if (this.#files.size > mostFollowed && oldest !== undefined) this.#files.delete(oldest);
    return told({ before, now });
  }

  /** The text of a file before the last edit. */
  textBefore(uri: string): string | undefined {
    return this.#files.get(uri)?.before.text;
  }
}

/** How it stood before the edit that led to the text as it is now. */
function startOf({ before, now: last }: { before: Moment; now: Moment }, now: Moment): Moment {
  if (last.text === now.text) return before;
  const known = new Set(editsBetween(before, last).map(keyOf));
  return known.size > 0 && editsBetween(last, now).every((edit) => known.has(keyOf(edit))) ? before : last;
}

function editsBetween(before: Moment, now: Moment): readonly StatementEdit[] {
  return new Overlay(statementsIn(before.parsed), statementsIn(now.parsed), 0).edits;
}

function keyOf({ path }: StatementEdit): string {
  return path.join('.');
}

function told({ before, now }: { before: Moment; now: Moment }): LastEdit {
  const machines = [...now.machines].flatMap(([machine, is]) => {
    const was = before.machines.get(machine);
    const found = was && since(was, is);
    const line = found && inOneLine(found);
    return found && line ? [{ machine, line, lines: linesOf(found) }] : [];
  });
  return { statements: editsBetween(before, now).map(statementText), machines };
}

function statementText({ path, before, after }: StatementEdit): string {
  const around = path.slice(1, -1).join('.');
  const [was, is] = [before?.head, after?.head];
  const change =
    was !== undefined && is !== undefined ? `${was} → ${is.replace(/^[^=]*= (?=.)/, '')}` : (is ?? `no more ${was}`);
  return around ? `${around}: ${change}` : change;
}

function linesOf({ moved, fails, mended, undecided }: Since): string[] {
  const named = (all: Since['fails'], what: string) =>
    all.map(({ code, path, message }) => `${what}: ${code}${path ? ` (${path})` : ''}: ${message}`);
  return [
    ...named(fails, 'Newly fails'),
    ...mended.map(({ code, path }) => `No longer fails: ${code}${path ? ` (${path})` : ''}`),
    ...(undecided.length > 0
      ? [
          `Can no longer be decided: ${listed(
            undecided.map(({ code }) => code),
            5,
          )}`,
        ]
      : []),
    ...moved,
  ];
}
