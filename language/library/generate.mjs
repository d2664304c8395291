// Writes language/library/generated/: the library's own text, its manual and the examples of mistakes as plain strings, so that the language needs no
// file system and runs in a browser worker. Run by `npm run generate`; the only script under language/ that needs Node.
import { globSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const library = dirname(fileURLToPath(import.meta.url));
const target = join(library, 'generated');

const read = (...path) => readFileSync(join(...path), 'utf8').replaceAll('\r\n', '\n');
/** Sorted by code point, with slashes, so that every machine writes the same file. */
const specs = (folder, pattern) =>
  globSync(pattern, { cwd: folder })
    .map((path) => path.replaceAll('\\', '/'))
    .sort();

/** A folder for each subject; the examples of its rules are in a folder of their own in it. */
const libraryFiles = specs(library, '*/*.gusset').map((name) => ({ name, text: read(library, name) }));

const examples = new Map();
const strays = libraryFiles.map(({ name }) => name).filter((name) => !/^\w+\/\w+\.gusset$/.test(name));
for (const path of specs(library, '*/examples/*.gusset')) {
  const [folder] = path.split('/');
  const [, rule, side] = /^(\w+)\.(breaks|keeps)\.gusset$/.exec(basename(path)) ?? [];
  const at = libraryFiles.find(({ text }) => new RegExp(`^rule ${rule} `, 'm').test(text))?.name;
  if (!rule) strays.push(path);
  else if (at?.split('/')[0] !== folder)
    strays.push(`${path} belongs beside its rule, ${at ?? 'of which there is none'}`);
  else examples.set(rule, { ...examples.get(rule), [side]: read(library, path) });
}
const ruleExamples = [...examples]
  .sort(([a], [b]) => (a < b ? -1 : 1))
  .map(([rule, sides]) => ({ rule, breaks: sides.breaks, keeps: sides.keeps }));
for (const { rule, breaks, keeps } of ruleExamples) {
  if (breaks === undefined) strays.push(`${rule}.breaks.gusset is missing`);
  if (keeps === undefined) strays.push(`${rule}.keeps.gusset is missing`);
}
if (strays.length > 0) {
  console.error(
    `language/library/FOLDER/examples/ holds NAME.breaks.gusset and NAME.keeps.gusset of the rules of that folder, but: ${strays.join(', ')}`,
  );
  process.exit(1);
}

/** The example of each kind of mistake: what is wrong, and under a line of its own the same mended. */
const mistakes = join(library, '..', 'mistakes', 'examples');
const mistakeExamples = specs(mistakes, '*.gusset').map((name) => {
  const [wrong, right] = read(mistakes, name).split(/^\/\/ ---- mended ----\n+/m);
  if (right === undefined) strays.push(`${name} has no line // ---- mended ----`);
  return { code: name.replace(/\.gusset$/, ''), wrong: wrong.trimEnd(), right };
});
if (strays.length > 0) {
  console.error(`language/mistakes/examples/: ${strays.join(', ')}`);
  process.exit(1);
}

const languagePage = read(library, '..', 'manual', 'language.md');
const note = '// Written by language/library/generate.mjs from the files beside it; not kept in git.\n';
mkdirSync(target, { recursive: true });
writeFileSync(
  join(target, 'library.ts'),
  `${note}
/** The library's files, by name. */
export const libraryFiles: readonly { readonly name: string; readonly text: string }[] = ${JSON.stringify(libraryFiles, null, 2)};
`,
);
// Apart, for it is as long as the library, and most of what reads the library does without it.
writeFileSync(
  join(target, 'manual.ts'),
  `${note}
/** For each rule, the smallest design that breaks it and one that keeps it. */
export const ruleExamples: readonly { readonly rule: string; readonly breaks: string; readonly keeps: string }[] =
  ${JSON.stringify(ruleExamples, null, 2)};

/** For each kind of mistake in a text, by its code, a text that has it and the same mended. */
export const mistakeExamples: readonly { readonly code: string; readonly wrong: string; readonly right: string }[] =
  ${JSON.stringify(mistakeExamples, null, 2)};

/** The page that describes the language, as Markdown. */
export const languagePage: string = ${JSON.stringify(languagePage)};
`,
);
console.log(`library: ${libraryFiles.length} files, ${ruleExamples.length} rules with examples`);
