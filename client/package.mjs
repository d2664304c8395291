// Packs the extension into dist/gusset.vsix: what `npm run build` bundled, the manifest and the colours. Run by
// `npm run package`, which builds first, so that the package never holds yesterday's server.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { argv } from 'node:process';
import { fileURLToPath } from 'node:url';
import { build } from './build.mjs';
import { originFields, repositoryOf } from './origin.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

export const packageFile = join(root, 'dist', 'gusset.vsix');

/** The files and folders that the package holds. (What npm packs is said in `.npmignore`.) */
const contents = [
  ...['package.json', 'README.md', 'LICENSE', 'CHANGELOG.md'],
  ...[
    'client/language-configuration.json',
    'client/snippets.json',
    'client/generated/gusset.tmLanguage.json',
    'client/media/steps',
  ],
  ...['icon.png', 'file-dark.svg', 'file-light.svg', 'heron.png', 'view.svg'].map((name) => `client/media/${name}`),
  ...['extension.cjs', 'server.js', 'server', 'extension-web.cjs', 'server-web.js', 'sheet-view.js', 'NOTICES.txt'].map(
    (name) => `dist/${name}`,
  ),
];

/** The manifest with where it comes from. */
function manifestFrom(repository) {
  return { ...JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')), ...originFields(repository) };
}

/** Copies what is to be packed into a folder of its own: in the project's, the packer would look at every file of every module. */
export function gatherPackage(repository = repositoryOf(root)) {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-extension-'));
  for (const path of contents) cpSync(join(root, path), join(folder, path), { recursive: true });
  writeFileSync(join(folder, 'package.json'), `${JSON.stringify(manifestFrom(repository), undefined, 2)}\n`);
  return folder;
}

/**
 * Builds, unless the bundles are said to be there, and packs. Result: the path of the package. Errors: with what could not be
 * built or packed.
 */
export async function packageExtension({ isBuilt = false } = {}) {
  if (!isBuilt) await build();
  const folder = gatherPackage();
  const program = join(root, 'node_modules', '@vscode', 'vsce', 'vsce');
  // The bundles hold all that is needed, so no package is added. Pictures are loaded from the package, not from an address.
  const options = ['--no-dependencies', '--allow-missing-repository', '--no-rewrite-relative-links'];
  const { status, stdout, stderr } = spawnSync('node', [program, 'package', ...options, '--out', packageFile], {
    cwd: folder,
    encoding: 'utf8',
  });
  rmSync(folder, { recursive: true });
  if (status !== 0) throw new Error(`The extension cannot be packed:\n${stdout}${stderr}`);
  return packageFile;
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    const path = await packageExtension();
    console.log(`packed ${path} (${Math.round(statSync(path).size / 1024)} kB)`);
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
