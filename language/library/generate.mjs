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

const note = '// Written by language/library/generate.mjs from the files beside it; not kept in git.\n';
mkdirSync(target, { recursive: true });
writeFileSync(
  join(target, 'library.ts'),
  `${note}
/** The library's files, by name. */
export const libraryFiles: readonly { readonly name: string; readonly text: string }[] = ${JSON.stringify(libraryFiles, null, 2)};
`,
);

/** The machines of an example that only hold a part of its rule, each with its comment: they are for the tests. */
const further = /(?:^\/\/ .*\n)?^\w+ (?:(?:Barely|Spared|Follows)(?:_\d+)?|Breaks_\d+) is \w+ \{\n(?:.*\n)*?\}\n/gm;

/** The example of each rule: a machine that breaks it, and one that says what keeps it. */
const strays = libraryFiles.map(({ name }) => name).filter((name) => !/^\w+\/\w+\.gusset$/.test(name));
const ruleExamples = specs(library, '*/examples/*.gusset').map((path) => {
  const [folder] = path.split('/');
  const rule = basename(path, '.gusset');
  const at = libraryFiles.find(({ text }) => new RegExp(`^rule ${rule} `, 'm').test(text))?.name;
  if (rule.includes('.')) strays.push(`${path} is one of a pair: npm run join makes one file of it`);
  else if (at?.split('/')[0] !== folder)
    strays.push(`${path} belongs beside its rule, ${at ?? 'of which there is none'}`);
  return { rule, text: `${read(library, path).replace(further, '').trimEnd()}\n` };
});
ruleExamples.sort((a, b) => (a.rule < b.rule ? -1 : 1));
if (strays.length > 0) {
  console.error(
    `language/library/FOLDER/examples/ holds NAME.gusset of the rules of that folder, but: ${strays.join(', ')}`,
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

// Machines to begin with, each whole but the one that asks for everything.
const startFiles = specs(join(library, '..', 'starts'), '*.gusset').map((path) => ({
  name: basename(path, '.gusset'),
  text: read(library, '..', 'starts', path),
}));
writeFileSync(
  join(target, 'starts.ts'),
  `${note}
/** The machines to begin with, by name. */
export const startFiles: readonly { readonly name: string; readonly text: string }[] = ${JSON.stringify(startFiles, null, 2)};
`,
);

const languagePage = read(library, '..', 'manual', 'language.md');
// Apart, for it is as long as the library, and most of what reads the library does without it.
writeFileSync(
  join(target, 'manual.ts'),
  `${note}
/** For each rule, the smallest design that breaks it, and what differs in one that keeps it. */
export const ruleExamples: readonly { readonly rule: string; readonly text: string }[] =
  ${JSON.stringify(ruleExamples, null, 2)};

/** For each kind of mistake in a text, by its code, a text that has it and the same mended. */
export const mistakeExamples: readonly { readonly code: string; readonly wrong: string; readonly right: string }[] =
  ${JSON.stringify(mistakeExamples, null, 2)};

/** The page that describes the language, as Markdown. */
export const languagePage: string = ${JSON.stringify(languagePage)};
`,
);
console.log(`library: ${libraryFiles.length} files, ${ruleExamples.length} rules with examples`);
