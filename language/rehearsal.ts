import type { Choice } from './judge/choices.ts';
import type { TextEdit } from './judge/edit.ts';
import { type Finding, isLaidAside } from './judge/findings.ts';
import { type Fix, fixesFor, fixForChoice } from './judge/fixes.ts';
import { type Assessed, Project, type SourceFile } from './project.ts';
import type { Severity } from './types/problem.ts';

/** How grave what is said of a place is: nothing 0, undecided or laid aside 1, and so on to an error. */
const ranks: Record<Severity, number> = { note: 1, advice: 2, warning: 3, error: 4 };
const undecidedRank = 1;

/** By file, machine, rule and block, or by the sort of a mistake in a text: how grave that is. */
type Standing = ReadonlyMap<string, number>;

/**
 * Tries changes of a file beside the project, of which nothing reaches it: on that file, and on all that are at hand and use it,
 * however far, since a machine there may start from one here or use its parts. What is kept between questions follows the
 * project's texts, so that only what has changed is computed again.
 */
class Rehearsal {
  readonly #beside: Project;
  #before: Standing | undefined;
  #text = '';
  /** The file, and those at hand that use it. */
  #uris: readonly string[] = [];
  readonly uri: string;
  constructor(uri: string, project: Project) {
    this.uri = uri;
    const read = (uri: string) => project.files.get(uri)?.parsed.text ?? project.host.read(uri);
    this.#beside = new Project(project.library, { ...project.host, read });
  }

  /** Takes over the texts as they are now. */
  follow(file: SourceFile, project: Project): void {
    const uris = [file.uri, ...project.dependents(file.uri).map(({ uri }) => uri)];
    const { text } = file.parsed;
    if (text !== this.#text || uris.join('\n') !== this.#uris.join('\n')) this.#before = undefined;
    this.#text = text;
    this.#uris = uris;
    for (const [uri, { parsed }] of [...this.#beside.files]) {
      const now = this.#beside.host.read(uri);
      // The text that was last tried here gives way when the next one is.
      if (now === parsed.text || uri === this.uri) continue;
      this.#before = undefined;
      if (typeof now === 'string') this.#beside.update(uri, now);
      else this.#beside.forget(uri);
    }
  }

  /**
   * Do these edits bring no machine a new finding, nor a text a mistake, and is the finding gone that they are to mend, if any? A
   * rule that can no longer be decided counts as new, and so does a finding that becomes graver.
   */
  isSound(edits: readonly TextEdit[], mended?: string): boolean {
    this.#before ??= this.#standingOf(this.#text);
    const before = this.#before;
    const after = this.#standingOf(applied(edits, this.#text));
    return !(mended && after.has(mended)) && [...after].every(([key, rank]) => rank <= (before.get(key) ?? 0));
  }

  #standingOf(text: string): Standing {
    this.#beside.update(this.uri, text);
    const standing = new Map<string, number>();
    for (const uri of this.#uris) {
      const file = this.#beside.file(uri);
      if (file) this.#addFile(file, standing);
    }
    return standing;
  }

  #addFile(file: SourceFile, standing: Map<string, number>): void {
    for (const { code, severity } of this.#beside.mistakes(file)) {
      const key = `${file.uri} mistake ${code}`;
      if (severity !== 'note') standing.set(key, (standing.get(key) ?? 0) + 1);
    }
    for (const machine of this.#beside.machines(file)) addStanding(machine, file.uri, standing);
  }
}

function addStanding(machine: Assessed, uri: string, standing: Map<string, number>): void {
  const { findings, undecided, requirements } = machine.assessment;
  const add = (key: string, rank: number) => standing.set(key, Math.max(rank, standing.get(key) ?? 0));
  const found = (all: readonly Finding[]): void => {
    for (const finding of all) {
      const { rule, severity, consequences } = finding;
      // What is not met is told by the requirement itself, which several can share a block.
      if (rule !== 'requirement')
        add(keyOf(finding, machine, uri), isLaidAside(finding) ? ranks.note : ranks[severity]);
      found(consequences);
    }
  };
  found(findings);
  for (const each of undecided) add(keyOf(each, machine, uri), undecidedRank);
  for (const { target, holds } of requirements) {
    const rank = holds === false ? ranks.warning : undecidedRank;
    if (holds !== true) add(keyOf({ rule: target.text, instance: target.instance }, machine, uri), rank);
  }
}

function keyOf(
  { rule, instance }: Pick<Finding, 'rule' | 'instance'>,
  { tree }: Pick<Assessed, 'tree'>,
  uri: string,
): string {
  return `${uri} ${tree.name} ${rule} ${instance.path}`;
}

function applied(edits: readonly TextEdit[], text: string): string {
  const inOrder = [...edits].sort((a, b) => b.start - a.start);
  return inOrder.reduce((now, edit) => now.slice(0, edit.start) + edit.text + now.slice(edit.end), text);
}

/** One for each project, for the file that was last asked about: it holds all of that file, and of those that use it, once more. */
const rehearsals = new WeakMap<Project, Rehearsal>();

function rehearsalOf(file: SourceFile, project: Project): Rehearsal {
  let rehearsal = rehearsals.get(project);
  if (rehearsal?.uri !== file.uri) {
    rehearsal = new Rehearsal(file.uri, project);
    rehearsals.set(project, rehearsal);
  }
  rehearsal.follow(file, project);
  return rehearsal;
}

/**
 * The changes that would mend a finding, each tried on the whole file and on those at hand that use it: none brings any machine a
 * new finding, or a text a mistake.
 */
export function soundFixes(finding: Finding, machine: Assessed, file: SourceFile, project: Project): Fix[] {
  return fixesFor(finding, machine).filter(({ edits, mends }) =>
    rehearsalOf(file, project).isSound(edits, mends ? keyOf(finding, machine, file.uri) : undefined),
  );
}

/** Writes a proposal in place of its `?`, where that is as sound: a variant may have to choose otherwise. */
export function soundFixForChoice(choice: Choice, file: SourceFile, project: Project): Fix | undefined {
  const fix = fixForChoice(choice);
  return fix && rehearsalOf(file, project).isSound(fix.edits) ? fix : undefined;
}
