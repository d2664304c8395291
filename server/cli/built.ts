import { existsSync, readFileSync } from 'node:fs';
import { CallError } from './io.ts';

/** The manifest beside the program, bundled or not: its folder, and what it says. */
function home(): URL {
  for (let folder = new URL('.', import.meta.url); ; folder = new URL('..', folder)) {
    if (existsSync(new URL('package.json', folder)) || folder.href === new URL('..', folder).href) return folder;
  }
}

/** The version in the manifest; `unknown` where there is none. */
export function version(): string {
  const manifest = new URL('package.json', home());
  return existsSync(manifest) ? JSON.parse(readFileSync(manifest, 'utf8')).version : 'unknown';
}

/** A file that was bundled with the program. Throws a `CallError` where it was not. */
export function builtFile(name: string): string {
  const file = new URL(`dist/${name}`, home());
  if (existsSync(file)) return readFileSync(file, 'utf8');
  throw new CallError(`${name} was not built with this program.`);
}
