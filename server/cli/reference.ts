import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { docOf } from '../../language/grammar/syntax.ts';
import type { Scope } from '../../language/names/scope.ts';
import { languageFunctions } from '../../language/types/functions.ts';
import { explainFunction, explainMember } from './explain-declared.ts';
import { pagesOfName } from './explain-name.ts';
import { explainDimension, explainUnit } from './explain-units.ts';
import { diskProject, TextPlaces } from './files.ts';
import { exitStatuses, type Io } from './io.ts';
import { Page } from './page.ts';

/** A page of the reference: its name, the section of the index that lists it, what is said of it in short, and its text. */
interface ReferencePage {
  readonly name: string;
  readonly section: string;
  readonly about: string;
  readonly text: string;
}

/** Writes all that the library declares into a folder, as pages of HTML that need nothing else, with an index. */
export function reference(folder: string, io: Io): number {
  const project = diskProject(io.cwd);
  const plain = { ...io, colours: false, width: 100 };
  const pages = referencePages(project.library.scope, () => new Page(plain, TextPlaces.onDisk(project, io.cwd)));
  const into = resolve(io.cwd, folder);
  mkdirSync(into, { recursive: true });
  const names = new Set(pages.map(({ name }) => name));
  for (const { name, text } of pages)
    writeFileSync(join(into, `${name}.html`), htmlPage(name, `<pre>${linked(text, name, names)}</pre>`));
  writeFileSync(join(into, 'index.html'), htmlPage('Reference', indexOf(pages)));
  io.out(`${pages.length} pages were written into ${folder}; begin with ${join(folder, 'index.html')}\n`);
  return exitStatuses.good;
}

/** The pages of all that a scope sees: kinds with their values, what else is declared, the language's own functions, units and dimensions. */
export function referencePages(scope: Scope, newPage: () => Page): ReferencePage[] {
  const { system } = scope;
  const text = (pages: readonly Page[]) => pages.join('\n');
  const kinds = scope.kinds().map((kind): ReferencePage => {
    const own = [...kind.members.values()].filter(
      ({ name }) => kind.base?.members.get(name) !== kind.members.get(name),
    );
    const values = own.map((member) => explainMember(member, kind, newPage()));
    const all = text([...pagesOfName(kind.name, scope, newPage), ...values]);
    return { name: kind.name, section: 'kind', about: firstSentence(docOf(kind.node)), text: all };
  });
  const met = new Set(kinds.map(({ name }) => name));
  const declared = scope.visible().flatMap(({ own }) =>
    [...own.declared].flatMap(([name, node]): ReferencePage[] => {
      if (node.$type !== 'Declaration' || met.has(name)) return [];
      const about = firstSentence(docOf(node));
      return [{ name, section: node.what, about, text: text(pagesOfName(name, scope, newPage)) }];
    }),
  );
  const ownFunctions = Object.entries(languageFunctions).map(([name, each]) => explainFunction(name, each, newPage()));
  const units = system.plainUnits().map((unit) => explainUnit(unit, system, newPage()));
  const dimensions = [...system.dimensions.values()].map((each) => explainDimension(each, system, newPage()));
  const whole = (name: string, about: string, pages: readonly Page[]): ReferencePage => ({
    name,
    section: 'the language',
    about,
    text: text(pages),
  });
  return [
    ...kinds.sort(byName),
    ...declared.sort((a, b) => (a.section === b.section ? byName(a, b) : a.section < b.section ? -1 : 1)),
    whole('language-functions', `${ownFunctions.length} functions that belong to the language`, ownFunctions),
    whole('units', `${units.length} units, each with its factor`, units),
    whole('dimensions', `${dimensions.length} dimensions, each with its units`, dimensions),
  ];
}

function byName(a: ReferencePage, b: ReferencePage): number {
  return a.name < b.name ? -1 : 1;
}

function firstSentence(doc: string): string {
  return doc.replace(/\s+/g, ' ').split(/(?<=\.) /)[0] ?? '';
}

/** The index: a list for each section, in the order in which they are met. */
function indexOf(pages: readonly ReferencePage[]): string {
  const sections = new Map<string, ReferencePage[]>();
  for (const page of pages) sections.set(page.section, [...(sections.get(page.section) ?? []), page]);
  const line = ({ name, about }: ReferencePage) => `<li><a href="${name}.html">${name}</a> ${escaped(about)}</li>`;
  return [...sections.keys()]
    .map((section) => `<h2>${section}</h2>\n<ul>\n${(sections.get(section) ?? []).map(line).join('\n')}\n</ul>`)
    .join('\n');
}

/** A text in which names that have a page lead there: those of several words, and of one word where a list or a formula names them. */
function linked(text: string, own: string, names: ReadonlySet<string>): string {
  return escaped(text)
    .split('\n')
    .map((line) =>
      line.replace(/(?<![\w.&])[a-z]\w*(?![\w;])/g, (word) =>
        word !== own && names.has(word) && (word.includes('_') || line.startsWith('  '))
          ? `<a href="${word}.html">${word}</a>`
          : word,
      ),
    )
    .join('\n');
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
}

function htmlPage(title: string, body: string): string {
  return `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${title}</title>
<style>body { max-width: 60rem; margin: 2rem auto; padding: 0 1rem; font-family: sans-serif } pre { white-space: pre-wrap; font-size: 0.9rem }</style>
<p><a href="index.html">Reference</a></p>
<h1>${title}</h1>
${body}
</html>
`;
}
