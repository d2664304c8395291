import { readdirSync, readFileSync } from 'node:fs';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { ruleExampleFiles } from '../library/rule-examples.ts';

export const library = readLibrary(libraryFiles);
const examples = new URL('../../examples/', import.meta.url);

/** A file whose statements are taken away, and the files that show what that does. */
export interface Source {
  readonly name: string;
  readonly uri: string;
  /** The files that use it, itself included where it has machines. */
  readonly watched: readonly string[];
}

const read = (uri: string) => readFileSync(new URL(uri), 'utf8');

/** The examples and each rule's kept example. */
export function sources(): Source[] {
  const machines = readdirSync(examples)
    .filter((name) => name.endsWith('.gusset'))
    .map((name) => new URL(name, examples).href);
  const own = machines.map((uri) => {
    const name = uri.split('/').at(-1) as string;
    return { name, uri, watched: machines.filter((other) => other === uri || read(other).includes(`"./${name}"`)) };
  });
  const kept = [...ruleExampleFiles]
    .filter(([name]) => name.endsWith('.keeps.gusset'))
    .map(([name, { href }]) => ({ name, uri: href, watched: [href] }));
  return [...own, ...kept];
}

/** A project with a source, all that it needs and all that needs it. */
export function projectOf({ uri, watched }: Source): { project: Project; file: SourceFile; files: SourceFile[] } {
  const project = new Project(library, { read });
  const file = project.update(uri, read(uri));
  return { project, file, files: watched.map((each) => project.update(each, read(each))) };
}
