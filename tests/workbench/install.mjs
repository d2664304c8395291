// Puts the real workbench in place: the packages of this folder's lock file, then what that package leaves to its own
// install script (which we do not run: it compiles). Run again, it does nothing unless the lock file changed.
//
//   node tests/workbench/install.mjs
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmodSync, copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { argv } from 'node:process';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const vscode = join(here, 'node_modules', 'code-server', 'lib', 'vscode');
const stamp = join(here, 'node_modules', '.workbench-ready');

/** The program that is the workbench's server and its extension host. */
export const serverProgram = join(vscode, 'out', 'server-main.js');

const lockHash = () =>
  createHash('sha256')
    .update(readFileSync(join(here, 'package-lock.json')))
    .digest('hex');

const isReady = () => existsSync(serverProgram) && existsSync(stamp) && readFileSync(stamp, 'utf8') === lockHash();

function npm(args, cwd) {
  const quiet = ['--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'];
  const { status, error } = spawnSync('npm', [...args, ...quiet], { cwd, stdio: ['ignore', 'inherit', 'inherit'] });
  if (status !== 0) {
    const why = error ? ` (${error.message})` : '';
    throw new Error(
      `npm ${args.join(' ')} failed in ${cwd}${why}: the npm registry must be reachable, and 600 MB free`,
    );
  }
}

/** The search program, which the workbench's quick open runs; its own package brings it as a binary. */
function placeSearchProgram() {
  const { rgPath } = createRequire(join(here, 'package.json'))('@vscode/ripgrep');
  const target = join(vscode, 'node_modules', '@vscode', 'ripgrep', 'bin', 'rg');
  mkdirSync(dirname(target), { recursive: true });
  copyFileSync(rgPath, target);
  chmodSync(target, 0o755);
}

/** Installs what is missing. Errors: with the step that failed and what it needs. */
export function installWorkbench(say = console.log) {
  if (isReady()) return say('workbench: ready');
  say('workbench: installing the packages of tests/workbench (about 580 MB on disk)');
  npm(['ci'], here);
  say("workbench: installing the packages of the editor's server");
  npm(['install', '--omit=dev', '--no-package-lock'], vscode);
  placeSearchProgram();
  writeFileSync(stamp, lockHash());
  say('workbench: ready');
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    installWorkbench();
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
