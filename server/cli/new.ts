import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { type Start, starts } from '../../language/starts.ts';
import { CallError, columns, exitStatuses, type Io } from './io.ts';

/**
 * Writes the machine to begin with of that name into a file that is not there yet; without a file, lists them. Throws a `CallError` for
 * a file that is there already or cannot be written.
 */
export function newFile(path: string | undefined, name: string, io: Io): number {
  if (path === undefined) {
    io.out(`${columns(starts.map((start) => [start.name, start.about])).join('\n')}\n`);
    return exitStatuses.good;
  }
  const file = path.endsWith('.gusset') ? path : `${path}.gusset`;
  const start = starts.find((each) => each.name === name) as Start;
  try {
    writeFileSync(resolve(io.cwd, file), start.text, { flag: 'wx' });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    throw new CallError(code === 'EEXIST' ? `${file} is there already; nothing was written.` : message);
  }
  io.out(
    `${file}: ${start.about}\nWhat to change first stands in its comments. To see what it comes to: gusset check ${file}\n`,
  );
  return exitStatuses.good;
}
