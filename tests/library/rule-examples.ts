import { globSync } from 'node:fs';
import { basename } from 'node:path';

const library = new URL('../../language/library/', import.meta.url);

/** The file of each example of a rule, by its name: `NAME.breaks.gusset`. */
export const ruleExampleFiles: ReadonlyMap<string, URL> = new Map(
  globSync('*/examples/*.gusset', { cwd: library })
    .sort()
    .map((path) => [basename(path), new URL(path, library)]),
);

/** The file of an example of a rule; fails if there is none. */
export function ruleExampleFile(name: string): URL {
  const url = ruleExampleFiles.get(name);
  if (!url) throw new Error(`no folder of language/library has examples/${name}`);
  return url;
}
