import { format as layOut } from '../language/grammar/format.ts';
import { libraryFiles } from '../language/library/generated/library.ts';
import { canonicalUri, Project, readLibrary } from '../language/project.ts';
import { TextPlaces } from './cli/files.ts';
import { reportOn } from './cli/report.ts';
import type { Report } from './cli/schema.ts';

/** What is asked of a check. */
export interface CheckOptions {
  /** Are all values of the machines wanted, and not only those that a rule asks for? They are many. */
  readonly values?: boolean;
  /** The files to report on; left out, all that are given. The others are there to be used by these. */
  readonly only?: readonly string[];
}

/** Where the texts are thought to lie: nothing is read from a disk. */
const folder = 'given:/';

/**
 * Checks texts, and returns what `gusset check --format json` prints: findings, requirements with their margins, open choices,
 * what could not be decided. `files` holds texts by their paths, such as `machine.gusset` or `stock/motors.gusset`; a `use`
 * finds others among them. Nothing else is read, and nothing is written. Throws an `Error` where `only` names a path that is
 * not among `files`; mistakes in a text are findings.
 */
export function check(files: Readonly<Record<string, string>>, { values = false, only }: CheckOptions = {}): Report {
  const paths = only ?? Object.keys(files);
  const texts = new Map(Object.entries(files).map(([path, text]) => [uriOf(path), text]));
  const inputs = paths.map((path) => {
    const text = texts.get(uriOf(path));
    if (text === undefined) throw new Error(`There is no text for ${path} among the files that are given.`);
    return { uri: uriOf(path), text };
  });
  const project = new Project(readLibrary(libraryFiles), { read: (uri) => texts.get(uri) });
  return reportOn(inputs, new TextPlaces(project, pathOf), values);
}

/** The text in the one layout there is; as it stands where its brackets do not match. */
export function format(text: string): string {
  return layOut(text);
}

function pathOf(uri: string): string {
  return decodeURIComponent(uri.slice(folder.length));
}

function uriOf(path: string): string {
  return canonicalUri(`${folder}${path.replace(/^(\.?\/)+/, '')}`);
}
