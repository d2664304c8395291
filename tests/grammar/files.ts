import { globSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Every Gusset file of the project: the library, its rules' fixtures, and the examples. Names are relative to the project. */
export const gussetFiles: readonly { name: string; text: string }[] = globSync(
  ['language/library/**/*.gusset', 'examples/**/*.gusset'],
  { cwd: root },
)
  .sort()
  .map((name) => ({ name, text: readFileSync(`${root}/${name}`, 'utf8') }));
