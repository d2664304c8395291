// Runs the real workbench: its server with a home folder of its own, the packaged extension installed in it.
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
// @ts-expect-error: plain JavaScript, for it runs before TypeScript is there.
import { serverProgram as program } from './install.mjs';

const serverProgram: string = program;

export const root = join(import.meta.dirname, '..', '..');
export const packageFile = join(root, 'dist', 'gusset.vsix');

/** Nothing that asks, advertises or calls out: what is left is the editor and the extension. */
export const quietSettings = {
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.editor.useModal': 'off',
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'workbench.layoutControl.enabled': false,
  'workbench.enableExperiments': false,
  'workbench.settings.enableNaturalLanguageSearch': false,
  'chat.disableAIFeatures': true,
  // In a browser it would save by itself, and the demo's edits go to the examples.
  'files.autoSave': 'off',
  'git.autofetch': false,
  'git.openRepositoryInParentFolders': 'never',
  'editor.accessibilitySupport': 'off',
};

export type Settings = Record<string, unknown>;

export interface WorkbenchOptions {
  /** The packaged extension. */
  extension?: string;
  /** With workspace trust, a folder opens restricted until the user says otherwise. */
  trust?: boolean;
  /** A port that is free when left out. */
  port?: number;
  settings?: Settings;
}

export interface Workbench {
  port: number;
  /** The address that opens a folder, and a file in it. */
  address(folder: string, file?: string): string;
  stop(): Promise<void>;
}

/** Installs the extension, starts the server and waits until it answers. Errors: with what the server printed. */
export async function startWorkbench(options: WorkbenchOptions = {}): Promise<Workbench> {
  const { extension = packageFile, trust = false, settings = {} } = options;
  const port = options.port ?? (await freePort());
  const home = mkdtempSync(join(tmpdir(), 'gusset-workbench-'));
  const folders = makeFolders(home);
  writeFileSync(folders.settings, JSON.stringify({ ...quietSettings, ...settings }, null, 2));
  try {
    installExtension(extension, home, folders);
    const child = startServer(port, trust, home, folders);
    await child.ready;
    return {
      port,
      address: (folder, file) => addressOf(port, folder, file),
      stop: async () => {
        await stopServer(child.process);
        rmSync(home, { recursive: true, force: true });
      },
    };
  } catch (error) {
    rmSync(home, { recursive: true, force: true });
    throw error;
  }
}

type Folders = ReturnType<typeof makeFolders>;

function makeFolders(home: string) {
  const user = join(home, 'server', 'data', 'User');
  const folders = { server: join(home, 'server'), extensions: join(home, 'extensions'), temporary: join(home, 'tmp') };
  for (const folder of [user, folders.extensions, folders.temporary]) mkdirSync(folder, { recursive: true });
  return { ...folders, settings: join(user, 'settings.json') };
}

const commonOptions = (folders: Folders) => [
  '--accept-server-license-terms',
  ...['--server-data-dir', folders.server],
  ...['--extensions-dir', folders.extensions],
  ...['--telemetry-level', 'off'],
];

/** No marketplace, and nothing of the user's own settings, projects or caches. */
const environmentIn = (home: string, folders: Folders) => ({
  PATH: process.env.PATH,
  LANG: 'C.UTF-8',
  HOME: home,
  TMPDIR: folders.temporary,
  EXTENSIONS_GALLERY: '{}',
});

function installExtension(extension: string, home: string, folders: Folders) {
  const args = [serverProgram, ...commonOptions(folders), '--install-extension', extension, '--force'];
  const result = spawnSync(process.execPath, args, { env: environmentIn(home, folders), encoding: 'utf8' });
  const said = `${result.stdout}${result.stderr}`;
  if (result.status !== 0 || !said.includes('successfully installed'))
    throw new Error(`The workbench did not install ${extension}:\n${said}`);
}

function startServer(port: number, trust: boolean, home: string, folders: Folders) {
  const place = ['--host', '127.0.0.1', '--port', String(port), '--without-connection-token'];
  const args = [serverProgram, ...commonOptions(folders), ...place, ...(trust ? [] : ['--disable-workspace-trust'])];
  const child = spawn(process.execPath, args, {
    env: environmentIn(home, folders),
    stdio: ['ignore', 'pipe', 'pipe'],
    // A group of its own, so that its extension hosts end with it.
    detached: true,
  });
  let said = '';
  child.stdout.on('data', (data) => (said = `${said}${data}`.slice(-8000)));
  child.stderr.on('data', (data) => (said = `${said}${data}`.slice(-8000)));
  return { process: child, ready: untilItAnswers(port, child, () => said) };
}

async function untilItAnswers(port: number, child: ChildProcess, said: () => string) {
  for (const deadline = Date.now() + 60_000; Date.now() < deadline; await sleep(100)) {
    if (child.exitCode !== null) throw new Error(`The workbench ended with ${child.exitCode}:\n${said()}`);
    const answer = await fetch(`http://127.0.0.1:${port}/version`).catch(() => undefined);
    if (answer?.ok) return;
  }
  await stopServer(child);
  throw new Error(`The workbench did not answer within a minute:\n${said()}`);
}

async function stopServer(child: ChildProcess) {
  if (child.exitCode !== null || child.pid === undefined) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  signalGroup(child.pid, 'SIGTERM');
  await Promise.race([ended, sleep(3000)]);
  signalGroup(child.pid, 'SIGKILL');
}

function signalGroup(pid: number, signal: NodeJS.Signals) {
  try {
    process.kill(-pid, signal);
  } catch (error) {
    // Already gone.
    if ((error as NodeJS.ErrnoException).code !== 'ESRCH') throw error;
  }
}

function addressOf(port: number, folder: string, file?: string) {
  const payload = [
    ['skipWelcome', 'true'],
    ...(file ? [['openFile', `vscode-remote://127.0.0.1:${port}${join(folder, file)}`]] : []),
  ];
  // Slashes and colons may stand in a query: left as they are, the address can be read.
  const encode = (text: string) => encodeURIComponent(text).replaceAll('%2F', '/').replaceAll('%3A', ':');
  return `http://127.0.0.1:${port}/?folder=${encode(folder)}&payload=${encode(JSON.stringify(payload))}`;
}

/** The port asked for if nothing listens there, else one that is free. */
export async function freePort(wanted = 0): Promise<number> {
  const probe = createServer();
  const listening = await new Promise<boolean>((resolve) => {
    probe.once('error', () => resolve(false));
    probe.listen(wanted, '127.0.0.1', () => resolve(true));
  });
  const address = probe.address();
  await new Promise((resolve) => probe.close(resolve));
  if (!listening && wanted !== 0) return freePort();
  if (!address || typeof address === 'string') throw new Error('No port is free');
  return address.port;
}
