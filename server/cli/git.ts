import { spawnSync } from 'node:child_process';
import { basename, dirname, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Project, type Refusal } from '../../language/project.ts';
import { today } from '../day.ts';
import { refuseUse } from '../disk.ts';
import { fileEnding } from '../reach.ts';
import { weightsOnDisk } from './files.ts';
import { CallError } from './io.ts';

/** No larger object is read (bytes), as of files. */
const mostBytes = 32 * 2 ** 20;

/** Nothing of the repository's own runs: no hook, no helper that fetches what is not there, no question at a terminal. */
const settings = ['core.fsmonitor=false', 'core.hooksPath=/dev/null', 'protocol.allow=never'];
const surroundings = {
  GIT_NO_LAZY_FETCH: '1',
  GIT_OPTIONAL_LOCKS: '0',
  GIT_TERMINAL_PROMPT: '0',
  GIT_NO_REPLACE_OBJECTS: '1',
};

/**
 * Reads objects of the repository around a folder, as they were committed: by `git cat-file` and `git ls-tree` alone, which run no hook, filter or
 * other program. Throws a `CallError` where there is no git.
 */
function git(
  folder: string,
  args: readonly string[],
  input?: string,
): { status: number | null; out: Buffer; err: string } {
  const options = settings.flatMap((each) => ['-c', each]);
  const { error, status, stdout, stderr } = spawnSync('git', [...options, ...args], {
    cwd: folder,
    env: { ...process.env, ...surroundings },
    input,
    maxBuffer: 4 * mostBytes,
    stdio: [input === undefined ? 'ignore' : 'pipe', 'pipe', 'pipe'],
  });
  const code = (error as NodeJS.ErrnoException | undefined)?.code;
  if (code === 'ENOENT')
    throw new CallError('git is not installed, or the folder of the file is not there: no revision can be read.');
  if (error && code !== 'EPIPE') throw new CallError(`git could not be run: ${error.message}.`);
  return { status, out: stdout, err: stderr.toString('utf8') };
}

/** Two revisions that are compared; without the second, the first with the files as they are now. */
export interface Revisions {
  readonly from: string;
  readonly to: string | undefined;
}

/** `REV` or `REV..REV`. Throws a `CallError` for what is none. */
export function revisionsOf(text: string): Revisions {
  const [from = '', to, ...rest] = text.split('..');
  const isName = (name: string) => /^[^\s\p{Cc}:?*[\\-][^\s\p{Cc}:?*[\\]*$/u.test(name);
  if (rest.length > 0 || !isName(from) || (to !== undefined && !isName(to)))
    throw new CallError(`${text} names no revision. Expected one, such as HEAD~1, or two: main..HEAD.`);
  return { from, to };
}

/** Which commit a revision is, in short. Throws a `CallError` where there is no such commit, or no repository. */
export function commitOf(revision: string, folder: string): string {
  const { out, err } = git(folder, ['cat-file', '--batch-check'], `${revision}^{commit}\n`);
  const [name = '', type] = out.toString('utf8').trim().split(' ');
  if (type === 'commit') return name;
  if (/not a git repository/i.test(err)) throw new CallError(`${folder} is in no git repository.`);
  if (/dubious ownership/i.test(err))
    throw new CallError(`git does not trust the repository around ${folder}: it belongs to somebody else.`);
  throw new CallError(`There is no revision ${revision} here.`);
}

/** The text of a file at a commit; undefined where it is not there then. `path` is relative to the folder. */
function textAt(commit: string, path: string, folder: string): string | Refusal | undefined {
  const spec = `${commit}:${path.startsWith('../') ? path : `./${path}`}`;
  if (/[\n\r]/.test(spec)) return { refused: 'its name has a line end in it' };
  const check = git(folder, ['cat-file', '--batch-check'], `${spec}\n`).out.toString('utf8').trim();
  const [, type, size] = /^\S+ (\w+) (\d+)$/.exec(check) ?? [];
  if (type === undefined) return undefined;
  if (type !== 'blob') return { refused: 'it is a folder' };
  if (Number(size) > mostBytes) return { refused: `it is larger than ${mostBytes / 2 ** 20} MB` };
  const { out } = git(folder, ['cat-file', 'blob', check.split(' ')[0] as string]);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(out);
  } catch {
    return { refused: 'it is not text in UTF-8' };
  }
}

/** The path of a file's URI beside a folder, as git takes it. */
function pathIn(uri: string, folder: string): string {
  return relative(folder, fileURLToPath(uri)).split(sep).join('/');
}

/** A project that reads all files as they were at a commit, those that are used as well. */
export function projectAt(
  commit: string,
  folder: string,
  folders: readonly string[],
  library: Project['library'],
): Project {
  const known = new Map<string, string | Refusal | undefined>();
  const read = (uri: string) => {
    if (!uri.startsWith('file:')) return undefined;
    if (!known.has(uri)) known.set(uri, textAt(commit, pathIn(uri, folder), folder));
    return known.get(uri);
  };
  const refuses = (uri: string, from: string) => refuseUse(uri, from, folders);
  // How grave something is taken today says nothing of what a change of the machine did.
  return new Project(library, { read, refuses, today, weights: weightsOnDisk(library, folders, folder) });
}

/** The library's files in a folder of the repository at a commit, by their paths in it. Throws a `CallError` where there are none. */
export function libraryAt(commit: string, library: string): { name: string; text: string }[] {
  const { out } = git(library, ['ls-tree', '-r', '-z', '--name-only', commit]);
  const names = out
    .toString('utf8')
    .split('\0')
    .filter((name) => name.endsWith(fileEnding) && !/(^|\/)examples\//.test(name));
  if (names.length === 0) throw new CallError(`There is no ${fileEnding} file in ${library} at ${commit.slice(0, 9)}.`);
  return names.flatMap((name) => {
    const text = textAt(commit, name, library);
    return typeof text === 'string' ? [{ name, text }] : [];
  });
}

/** A commit that a file is looked at in. */
export interface Commit {
  readonly name: string;
  readonly date: string;
  readonly subject: string;
  /** The object that the file is then; undefined where it is not there. */
  readonly blob: string | undefined;
}

/** The commits up to a revision along first parents, the oldest first, `most` at most, with what a file was in each. */
export function commitsOf(full: string, revision: string, most: number): Commit[] {
  const folder = dirname(full);
  const start = commitOf(revision, folder);
  const steps = Array.from({ length: most }, (_, i) => `${start}~${i}`);
  const names = [...steps.map((each) => `${each}^{commit}`), ...steps.map((each) => `${each}:./${basename(full)}`)];
  const lines = git(folder, ['cat-file', '--batch-check'], `${names.join('\n')}\n`)
    .out.toString('utf8')
    .split('\n');
  const ids = lines
    .slice(0, most)
    .flatMap((line) => (/^\S+ commit \d+$/.test(line) ? [line.split(' ')[0] as string] : []));
  const headers = commitHeaders(ids, folder);
  return ids
    .map((name, i): Commit => {
      const line = lines[most + i] ?? '';
      const blob = / blob \d+$/.test(line) ? line.split(' ')[0] : undefined;
      return { name, blob, ...(headers[i] ?? { date: '', subject: '' }) };
    })
    .reverse();
}

/** The day and the first line of commits. */
function commitHeaders(ids: readonly string[], folder: string): { date: string; subject: string }[] {
  if (ids.length === 0) return [];
  const { out } = git(folder, ['cat-file', '--batch'], `${ids.join('\n')}\n`);
  const found: { date: string; subject: string }[] = [];
  for (let at = 0; at < out.length; ) {
    const end = out.indexOf(10, at);
    const size = Number(out.toString('utf8', at, end).split(' ')[2]);
    const text = out.toString('utf8', end + 1, end + 1 + size);
    const seconds = Number(/^committer .*> (\d+) [+-]\d+$/m.exec(text)?.[1] ?? 0);
    const subject = text.slice(text.indexOf('\n\n') + 2).split('\n')[0] ?? '';
    found.push({ date: new Date(seconds * 1000).toISOString().slice(0, 10), subject });
    at = end + 1 + size + 1;
  }
  return found;
}
