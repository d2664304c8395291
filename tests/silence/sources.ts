import { readdirSync, readFileSync } from 'node:fs';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { fixture, type Role, ruleExampleFiles } from '../library/rule-examples.ts';

export const library = readLibrary(libraryFiles);
const folders = ['../../examples/', '../../language/starts/'].map((path) => new URL(path, import.meta.url));

/** A file whose statements are taken away, and the files that show what that does. */
export interface Source {
  readonly name: string;
  readonly uri: string;
  /** The files that use it, itself included where it has machines. */
  readonly watched: readonly string[];
}

const rules = 'file:///rules/';

/** The text of an example, or of a machine of a rule's example, which is in no file of its own. */
export function read(uri: string): string {
  if (!uri.startsWith(rules)) return readFileSync(new URL(uri), 'utf8');
  const [rule = '', role] = uri.slice(rules.length).split('.');
  return fixture(rule, role as Role) ?? '';
}

/** A machine of each rule's example. */
export function ruleMachines(role: Role): Source[] {
  return [...ruleExampleFiles.keys()].map((rule) => {
    const name = `${rule}.${role}.gusset`;
    return { name, uri: rules + name, watched: [rules + name] };
  });
}

/** The examples, the machines to begin with, and of each rule's example the machine that keeps it. */
export function sources(): Source[] {
  const machines = folders.flatMap((folder) =>
    readdirSync(folder)
      .filter((name) => name.endsWith('.gusset'))
      .map((name) => new URL(name, folder).href),
  );
  const own = machines.map((uri) => {
    const name = uri.split('/').at(-1) as string;
    return { name, uri, watched: machines.filter((other) => other === uri || read(other).includes(`"./${name}"`)) };
  });
  return [...own, ...ruleMachines('Keeps')];
}

/** A project with a source, all that it needs and all that needs it. */
export function projectOf({ uri, watched }: Source): { project: Project; file: SourceFile; files: SourceFile[] } {
  const project = new Project(library, { read });
  const file = project.update(uri, read(uri));
  return { project, file, files: watched.map((each) => project.update(each, read(each))) };
}
