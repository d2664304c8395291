// Bundles what is shipped: the extension, the language server and the command line. Run by `npm run build`.
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import process, { argv } from 'node:process';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** VS Code loads extensions with `require`, so the extension is the one bundle that is not an ES module. */
export const bundles = [
  { entry: 'client/extension.ts', output: 'dist/extension.cjs', format: 'cjs', external: ['vscode'] },
  { entry: 'server/main.ts', output: 'dist/server.js', format: 'esm', external: [] },
  // In parts, so that each command loads only what it needs.
  { entry: 'server/cli/main.ts', output: 'dist/gusset.js', format: 'esm', external: [], parts: 'dist/gusset' },
];

/** The JSON Schema of what `gusset check --format json` prints. */
export const schemaFile = 'dist/check.schema.json';

export const missingEntries = () => bundles.map(({ entry }) => entry).filter((entry) => !existsSync(join(root, entry)));

/** Some packages of the language server protocol still call `require`. */
const requireForModules =
  "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);";

export async function build() {
  const missing = missingEntries();
  if (missing.length > 0) throw new Error(`Nothing can be built: ${missing.join(', ')} missing`);
  const esbuild = await import('esbuild');
  for (const { entry, output, format, external, parts } of bundles) {
    const { metafile } = await esbuild.build({
      entryPoints: { [basename(output, extname(output))]: join(root, entry) },
      outdir: join(root, dirname(output)),
      outExtension: { '.js': extname(output) },
      metafile: true,
      splitting: parts !== undefined,
      chunkNames: parts ? `${basename(parts)}/[name]-[hash]` : undefined,
      bundle: true,
      format,
      external,
      platform: 'node',
      target: 'node20',
      minify: true,
      keepNames: true,
      legalComments: 'linked',
      logLevel: 'warning',
      banner: format === 'esm' ? { js: requireForModules } : {},
    });
    if (parts) removeOthers(parts, Object.keys(metafile.outputs));
  }
  chmodSync(join(root, 'dist/gusset.js'), 0o755);
  writeSchema();
  return [...bundles.map(({ output }) => output), schemaFile];
}

/** Parts are named by what is in them: those of an older build would stay beside the new ones. */
function removeOthers(folder, outputs) {
  const built = new Set(outputs.map((path) => basename(path)));
  for (const name of readdirSync(join(root, folder))) if (!built.has(name)) rmSync(join(root, folder, name));
}

function writeSchema() {
  const program = [join(root, 'dist/gusset.js'), 'check', '--schema'];
  const { status, stdout, stderr } = spawnSync(process.execPath, program, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${schemaFile} cannot be written:\n${stderr}`);
  writeFileSync(join(root, schemaFile), stdout);
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    console.log(`built ${(await build()).join(', ')}`);
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
