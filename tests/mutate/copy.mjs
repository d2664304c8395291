// A copy of the project to make changes in, of one run alone: several may go on beside each other. It is gone when the run ends.
import { cpSync, existsSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { exit, pid } from 'node:process';
import { root } from '../setup.mjs';

/** Makes the copy. Returns the path to it. */
export function makeCopy() {
  const copy = join(root, '.cache', `mutants-${pid}`);
  process.on('exit', () => rmSync(copy, { recursive: true, force: true }));
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => exit(1));
  for (const name of readdirSync(root)) {
    if (['node_modules', '.git', '.cache'].includes(name)) continue;
    cpSync(join(root, name), join(copy, name), {
      recursive: true,
      filter: (path) => !path.endsWith('node_modules'),
    });
  }
  for (const folder of ['.', 'tests/cli/oldest-node']) {
    const modules = join(root, folder, 'node_modules');
    if (existsSync(modules)) symlinkSync(modules, join(copy, folder, 'node_modules'));
  }
  return copy;
}
