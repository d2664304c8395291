import { spawnSync } from 'node:child_process';
import type { Folder } from './support.ts';

/** A git repository in a folder, which heeds no settings of this machine's. */
export class Repository {
  readonly #folder: Folder;
  constructor(folder: Folder) {
    this.#folder = folder;
    this.git('init', '-q');
  }

  git(...args: string[]): string {
    const env = { ...process.env, GIT_CONFIG_GLOBAL: '/dev/null', GIT_CONFIG_NOSYSTEM: '1' };
    const own = ['-c', 'user.name=nobody', '-c', 'user.email=nobody@example.org', '-c', 'init.defaultBranch=main'];
    const options = { cwd: this.#folder.path, env, encoding: 'utf8' } as const;
    const { status, stdout, stderr } = spawnSync('git', [...own, ...args], options);
    if (status !== 0) throw new Error(stderr);
    return stdout;
  }

  /** Commits these files, beside those that are there. */
  commit(files: Record<string, string>, message: string): void {
    this.#folder.write(files);
    this.git('add', '-A');
    this.git('commit', '-q', '--allow-empty', '-m', message);
  }
}
