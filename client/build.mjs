// Bundles what is shipped: the extension, the language server, the command line and the checker as a library with its types;
// and the notices of the packages in them. Run by `npm run build`.
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import process, { argv } from 'node:process';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** VS Code loads extensions with `require`, so the extension is the one bundle that is not an ES module. */
export const bundles = [
  { entry: 'client/extension.ts', output: 'dist/extension.cjs', format: 'cjs', external: ['vscode'] },
  // In parts, so that what draws the sheet is only loaded where somebody looks at one.
  { entry: 'server/main.ts', output: 'dist/server.js', format: 'esm', external: [], parts: 'dist/server' },
  // The same two for a browser.
  {
    entry: 'client/extension-web.ts',
    output: 'dist/extension-web.cjs',
    format: 'cjs',
    external: ['vscode'],
    platform: 'browser',
  },
  { entry: 'server/worker.ts', output: 'dist/server-web.js', format: 'iife', external: [], platform: 'browser' },
  { entry: 'client/sheet-view.ts', output: 'dist/sheet-view.js', format: 'iife', external: [], platform: 'browser' },
  { entry: 'client/living-page.ts', output: 'dist/living-page.js', format: 'iife', external: [], platform: 'browser' },
  // In parts, so that each command loads only what it needs.
  { entry: 'server/cli/main.ts', output: 'dist/gusset.js', format: 'esm', external: [], parts: 'dist/gusset' },
  { entry: 'server/api.ts', output: 'dist/api.js', format: 'esm', external: [] },
];

/** The JSON Schema of what `gusset check --format json` prints. */
export const schemaFile = 'dist/check.schema.json';

/** The same of what `gusset compare --format json` prints. */
const comparisonSchemaFile = 'dist/compare.schema.json';

/** The types of the library, and of the report that it returns. */
const typeFiles = { api: 'dist/api.d.ts', report: 'dist/report.d.ts' };

/** The packages that the bundles hold, each with its licence. */
export const noticesFile = 'dist/NOTICES.txt';

export const missingEntries = () => bundles.map(({ entry }) => entry).filter((entry) => !existsSync(join(root, entry)));

/** Some packages of the language server protocol still call `require`. */
const requireForModules =
  "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);";

export async function build() {
  const missing = missingEntries();
  if (missing.length > 0) throw new Error(`Nothing can be built: ${missing.join(', ')} missing`);
  const esbuild = await import('esbuild');
  const inputs = new Set();
  for (const { entry, output, format, external, parts, platform = 'node' } of bundles) {
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
      platform,
      target: platform === 'node' ? 'node20' : 'es2022',
      // Names stay as they are written: what goes wrong is told with them, and to give them back at run time costs with every closure.
      minifyWhitespace: true,
      minifySyntax: true,
      legalComments: 'linked',
      logLevel: 'warning',
      banner: format === 'esm' ? { js: requireForModules } : {},
    });
    for (const input of Object.keys(metafile.inputs)) inputs.add(input);
    if (parts) removeOthers(parts, Object.keys(metafile.outputs));
  }
  chmodSync(join(root, 'dist/gusset.js'), 0o755);
  writeFileSync(join(root, noticesFile), notices(inputs));
  const schema = readSchema('check', schemaFile);
  writeFileSync(join(root, schemaFile), schema);
  writeFileSync(join(root, comparisonSchemaFile), readSchema('compare', comparisonSchemaFile));
  await writeTypes(JSON.parse(schema));
  return [
    ...bundles.map(({ output }) => output),
    schemaFile,
    comparisonSchemaFile,
    ...Object.values(typeFiles),
    noticesFile,
  ];
}

/** Parts are named by what is in them: those of an older build would stay beside the new ones. */
function removeOthers(folder, outputs) {
  const built = new Set(outputs.map((path) => basename(path)));
  for (const name of readdirSync(join(root, folder))) if (!built.has(name)) rmSync(join(root, folder, name));
}

function readSchema(command, file) {
  const program = [join(root, 'dist/gusset.js'), command, '--schema'];
  const { status, stdout, stderr } = spawnSync(process.execPath, program, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${file} cannot be written:\n${stderr}`);
  return stdout;
}

/** The report's types come from its schema, so that whoever uses them needs no other package. */
async function writeTypes(schema) {
  const { compile } = await import('json-schema-to-typescript');
  const report = await compile({ ...schema, title: 'Report' }, 'Report', { bannerComment: '', format: false });
  const { default: typescript } = await import('typescript');
  const source = readFileSync(join(root, 'server/api.ts'), 'utf8');
  const { outputText } = typescript.transpileDeclaration(source, {});
  writeFileSync(join(root, typeFiles.report), report);
  writeFileSync(join(root, typeFiles.api), outputText.replace('./cli/schema.ts', './report.js'));
}

/** The notices of all packages that some file of a bundle comes from. Errors: where one says nothing of its licence. */
function notices(inputs) {
  const folders = new Set([...inputs].flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0] ?? []));
  const all = [...folders].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(join(root, folder, 'package.json'), 'utf8'));
    const file = readdirSync(join(root, folder)).find((each) => /^licen[cs]e/i.test(each));
    const text = file ? readFileSync(join(root, folder, file), 'utf8').trim() : '';
    if (!license && !text) throw new Error(`${folder} is bundled and says nothing of its licence`);
    return [`${name} ${version} (${license})`, text].filter(Boolean).join('\n\n');
  });
  return `${all.join(`\n\n${'-'.repeat(80)}\n\n`)}\n`;
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  try {
    console.log(`built ${(await build()).join(', ')}`);
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
