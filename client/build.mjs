// Bundles what is shipped: the extension, the language server and the command line. Run by `npm run build`.
import { chmodSync, existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { argv } from 'node:process';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** VS Code loads extensions with `require`, so the extension is the one bundle that is not an ES module. */
export const bundles = [
  { entry: 'client/extension.ts', output: 'dist/extension.cjs', format: 'cjs', external: ['vscode'] },
  { entry: 'server/main.ts', output: 'dist/server.js', format: 'esm', external: [] },
  { entry: 'server/cli/main.ts', output: 'dist/gusset.js', format: 'esm', external: [] },
];

export const missingEntries = () => bundles.map(({ entry }) => entry).filter((entry) => !existsSync(join(root, entry)));

/** Some packages of the language server protocol still call `require`. */
const requireForModules =
  "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);";

export async function build() {
  const missing = missingEntries();
  if (missing.length > 0) throw new Error(`Nothing can be built: ${missing.join(', ')} missing`);
  const esbuild = await import('esbuild');
  for (const { entry, output, format, external } of bundles) {
    await esbuild.build({
      entryPoints: [join(root, entry)],
      outfile: join(root, output),
      bundle: true,
      format,
      external,
      platform: 'node',
      target: 'node22',
      minify: true,
      keepNames: true,
      legalComments: 'linked',
      logLevel: 'warning',
      banner: format === 'esm' ? { js: requireForModules } : {},
    });
  }
  chmodSync(join(root, 'dist/gusset.js'), 0o755);
  return bundles.map(({ output }) => output);
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    console.log(`built ${(await build()).join(', ')}`);
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
