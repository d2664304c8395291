// Brings a bare Debian machine with Node 20 or later to the point where the tests and the demo can run: Node 22 and the
// packages from the lock file, the outside programs, the generated files and the bundles. Uses nothing but Node itself.
//
//   node tests/setup.mjs                 everything
//   node tests/setup.mjs PROGRAM …       of the outside programs only those named, and no workbench; `none` for none of them
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { argv, env, getuid, stdout } from 'node:process';
import { fileURLToPath } from 'node:url';
import { missingEntries } from '../client/build.mjs';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const binaries = join(root, 'node_modules', '.bin');

/** node_modules/.bin comes first, so that `node` is the version this project pins. */
export const environment = { ...env, PATH: `${binaries}${delimiter}${env.PATH ?? ''}` };

/** Programs from outside that tests and demo compare with or run in; each with the Debian package that brings it. */
export const outsidePrograms = [
  { name: 'chromium', package: 'chromium', try: ['chromium', '--version'] },
  { name: 'nvim', package: 'neovim', try: ['nvim', '--version'] },
  { name: 'units', package: 'units', try: ['units', '--version'] },
  { name: 'ngspice', package: 'ngspice', try: ['ngspice', '--version'] },
  // Debian's own Python: another one on the PATH does not see Debian's packages.
  { name: 'scipy', package: 'python3-scipy', try: ['/usr/bin/python3', '-c', 'import scipy.integrate'] },
];

/** Something needed cannot be had; the message says what and what to do about it. */
export class SetupError extends Error {}

let started = Date.now();
export function progress(text) {
  stdout.write(`[${((Date.now() - started) / 1000).toFixed(0).padStart(3)} s] ${text}\n`);
}

/** Runs a command in the project's folder, its output shown unless `quiet`. Errors: SetupError with `otherwise`. */
function run(command, args, otherwise, { quiet = false } = {}) {
  const { status, error, stdout, stderr } = spawnSync(command, args, {
    cwd: root,
    stdio: ['ignore', quiet ? 'pipe' : 'inherit', quiet ? 'pipe' : 'inherit'],
    maxBuffer: 2 ** 26,
    env: { ...environment, DEBIAN_FRONTEND: 'noninteractive' },
  });
  if (quiet && status !== 0) process.stdout.write(Buffer.concat([stdout, stderr].filter(Boolean)));
  if (status !== 0)
    throw new SetupError(`${[command, ...args].join(' ')} failed${error ? ` (${error.message})` : ''}: ${otherwise}`);
}

const works = ([command, ...args]) => spawnSync(command, args, { stdio: 'ignore', env: environment }).status === 0;

function installPackages() {
  const installed = join(root, 'node_modules', '.package-lock.json');
  const upToDate =
    existsSync(installed) && statSync(installed).mtimeMs >= statSync(join(root, 'package-lock.json')).mtimeMs;
  if (!upToDate) {
    progress('npm packages: installing what the lock file names');
    run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'], 'the npm registry must be reachable');
  }
  const version = spawnSync('node', ['-p', 'process.version'], { env: environment, encoding: 'utf8' }).stdout?.trim();
  if (!version?.startsWith('v22.')) {
    throw new SetupError(
      `Node 22 is needed, ${version || 'none'} was found: the npm package "node" brings it, unless install scripts are turned off (ignore-scripts)`,
    );
  }
  progress(`npm packages: ready, Node ${version}`);
}

function installPrograms(names) {
  const unknown = names.filter((name) => !outsidePrograms.some((program) => program.name === name));
  if (unknown.length > 0) throw new SetupError(`No such outside program: ${unknown.join(', ')}`);
  const wanted = outsidePrograms.filter(({ name }) => names.includes(name));
  const missing = wanted.filter((program) => !works(program.try));
  if (missing.length > 0) {
    const packages = missing.map((program) => program.package);
    const command = `apt-get install -y ${packages.join(' ')}`;
    if (getuid?.() !== 0)
      throw new SetupError(`Missing: ${packages.join(', ')}. Run as root: apt-get update && ${command}`);
    progress(`outside programs: installing ${packages.join(', ')}`);
    const options = ['-qq', '-o', 'DPkg::Lock::Timeout=300', '-o', 'Acquire::Retries=3'];
    const quiet = { quiet: true };
    run('apt-get', [...options, 'update'], "Debian's package lists must be reachable", quiet);
    const install = ['install', '-y', '--no-install-recommends', ...packages];
    run('apt-get', [...options, ...install], `try ${command} by hand`, quiet);
    const still = missing.filter((program) => !works(program.try));
    if (still.length > 0)
      throw new SetupError(`Installed, but do not run: ${still.map(({ name }) => name).join(', ')}`);
  }
  progress(`outside programs: ${names.join(', ') || 'none'} ready`);
}

/** The real editor is a package of its own, for it is large. */
function installWorkbench() {
  const script = join(root, 'tests', 'workbench', 'install.mjs');
  if (!existsSync(script)) return;
  progress('workbench: the real editor');
  run('node', [script], 'the npm registry must be reachable');
}

/** The command line also runs on an older Node than the one that builds it; its tests bring it along. */
function installOldestNode() {
  const folder = join(root, 'tests', 'cli', 'oldest-node');
  const program = join(folder, 'node_modules', '.bin', 'node');
  const { version } = JSON.parse(readFileSync(join(folder, 'package-lock.json'), 'utf8')).packages['node_modules/node'];
  const found = spawnSync(program, ['-p', 'process.version'], { encoding: 'utf8' }).stdout?.trim();
  if (found !== `v${version}`)
    run(
      'npm',
      ['ci', '--prefix', folder, '--no-audit', '--no-fund', '--loglevel=error'],
      'the npm registry must be reachable',
    );
  progress(`the oldest Node that is supported: ready, v${version}`);
}

function writeGenerated() {
  progress('generated files: grammar and library');
  run('npm', ['run', '--silent', 'generate'], 'the grammar or the library cannot be read');
}

function buildBundles() {
  const missing = missingEntries();
  if (missing.length > 0) {
    progress(`bundles: left out while ${missing.join(', ')} do not exist`);
    return;
  }
  progress('bundles: extension, server, command line');
  run('npm', ['run', '--silent', 'build'], 'see above');
}

/** Everything that tests and demo need. `programs`: names of outsidePrograms. Errors: SetupError. */
export function setUp({ programs = outsidePrograms.map(({ name }) => name), workbench = true } = {}) {
  started = Date.now();
  installPackages();
  installOldestNode();
  installPrograms(programs);
  writeGenerated();
  buildBundles();
  if (workbench) installWorkbench();
  progress('set-up done');
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    const names = argv.slice(2);
    setUp(names.length > 0 ? { programs: names.filter((name) => name !== 'none'), workbench: false } : {});
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(`\n${error.message}`);
    process.exit(1);
  }
}
