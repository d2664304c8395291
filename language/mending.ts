import { type Finding, isLaidAside, wordOf } from './judge/finding.ts';
import { withEdits } from './mistakes/mistake.ts';
import { type Assessed, Project, type SourceFile } from './project.ts';
import { solveForMending, soundFixes } from './rehearsal.ts';

/** A change that was made of a text, and the finding that is gone with it. */
export interface Mended {
  readonly rule: string;
  /** The block's path, its machine included. */
  readonly path: string;
  /** What was changed, and what that did. */
  readonly title: string;
}

/**
 * Makes the changes of a project's file that mend a finding and that nobody has to do anything for first, one after the other, each
 * proven on the text that those before it made; until none is left, so that doing it again changes nothing. In steps: each change as
 * it is made, and between them nothing, after each try. The file's text is what came of it, at any step.
 */
export function* mend(uri: string, project: Project): Generator<Mended | undefined> {
  for (let changed = true; changed; ) {
    changed = false;
    const looked = new Set<string>();
    for (;;) {
      const file = project.file(uri);
      if (file) solveForMending(file, project);
      const next = file && findingsOf(file, project).find(({ key }) => !looked.has(key));
      if (!file || !next) break;
      looked.add(next.key);
      for (const fix of soundFixes(next.finding, next.machine, file, project, true)) {
        yield undefined;
        if (!fix) continue;
        project.update(uri, withEdits(fix.edits, file.parsed.text));
        changed = true;
        yield { rule: next.finding.rule, path: next.finding.instance.path, title: fix.title };
        break;
      }
    }
  }
}

interface Found {
  readonly key: string;
  readonly finding: Finding;
  readonly machine: Assessed;
}

/** What is found in a file's machines and counts, requirements last, since for these the most is tried; what follows from another is gone with that one. */
function findingsOf(file: SourceFile, project: Project): Found[] {
  return project
    .machines(file)
    .flatMap((machine) =>
      machine.assessment.findings
        .filter((finding) => !isLaidAside(finding))
        .map((finding) => ({ key: `${wordOf(finding)} ${finding.instance.path}`, finding, machine })),
    )
    .sort((a, b) => Number(a.finding.target !== undefined) - Number(b.finding.target !== undefined));
}

/** A project of the same texts, of which nothing reaches the first: with a file, and those at hand that use it. */
export function copyOfProject(project: Project, uri: string): Project {
  const read = (each: string) => project.files.get(each)?.parsed.text ?? project.host.read(each);
  const copy = new Project(project.library, { ...project.host, read });
  for (const each of [uri, ...project.dependents(uri).map((dependent) => dependent.uri)]) copy.file(each);
  return copy;
}
