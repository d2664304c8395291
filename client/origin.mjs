// Where a package comes from: `repository` and `bugs` of its manifest, taken from the checkout's remote, so that no checkout has to be
// changed for it. Run by npm as it packs, in the package's folder: `node client/origin.mjs write` before, `… remove` after.
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { argv, cwd } from 'node:process';
import { fileURLToPath } from 'node:url';

/** The address that a checkout was cloned from and that anybody can open; undefined where it has none. */
export function repositoryOf(checkout) {
  const { status, stdout } = spawnSync('git', ['remote', 'get-url', 'origin'], { cwd: checkout, encoding: 'utf8' });
  const [, host, path] =
    /^(?:https?:\/\/|ssh:\/\/|git:\/\/)?(?:[^@/]+@)?([\w.-]+\.[a-z]+)[:/](.+?)(?:\.git)?\/?\s*$/.exec(stdout) ?? [];
  return status === 0 && host ? `https://${host}/${path}.git` : undefined;
}

/** The fields of a manifest that say where a package comes from; none where no address is known. */
export function originFields(repository) {
  if (!repository) return {};
  return {
    repository: { type: 'git', url: repository },
    bugs: { url: repository.replace(/\.git$/, '/issues') },
  };
}

/** A manifest's text without the lines that `withOrigin` adds. */
function withoutOrigin(text) {
  return text.replace(/^ {2}"(repository|bugs)": .*\n/gm, '');
}

/** A manifest's text with a line for each field that says where it comes from, before that of its licence. Nothing else moves. */
function withOrigin(text, repository) {
  const lines = Object.entries(originFields(repository)).map(
    ([name, value]) => `  ${JSON.stringify(name)}: ${JSON.stringify(value)},\n`,
  );
  return withoutOrigin(text).replace(/^ {2}"license": /m, (licence) => lines.join('') + licence);
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  const path = join(cwd(), 'package.json');
  const text = readFileSync(path, 'utf8');
  writeFileSync(path, argv[2] === 'write' ? withOrigin(text, repositoryOf(cwd())) : withoutOrigin(text));
}
