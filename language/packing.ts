import type { Item } from './grammar/generated/ast.ts';
import { docOf, fileOf, rangeOf, textOf } from './grammar/syntax.ts';
import { listed } from './mistakes/sentence.ts';
import { declaredName } from './names/scope.ts';
import type { Project, SourceFile } from './project.ts';

/** Why files cannot be put into one. */
export class PackingError extends Error {}

/**
 * The text of a file together with all that it needs of the files it uses, which stands before it: one file that uses no other.
 * `nameOf` says how a file is called in the comments. Throws a `PackingError` where a used file is not there, and where two
 * files that do not see each other give one name to two things.
 */
export function pack(file: SourceFile, project: Project, nameOf: (file: SourceFile) => string): string {
  const items = new Packing(file, project).items();
  refuseClashes(items, nameOf);
  const used = [...items.keys()].filter((each) => each !== file && items.get(each)?.size);
  const sections = used.map((each) => {
    const texts = each.parsed.file.items.filter((item) => items.get(each)?.has(item)).map(documentedText);
    return [`// From ${nameOf(each)}.`, ...texts].join('\n\n');
  });
  const head = used.length > 0 ? [`// In one file: ${listed([...used, file].map(nameOf))}.`] : [];
  return `${[...versionLine([...used, file]), ...head, ...sections, ...(used.length > 0 ? [`// From ${nameOf(file)}.`] : []), ownText(file)].join('\n\n')}\n`;
}

class Packing {
  readonly #items = new Map<SourceFile, Set<Item>>();
  readonly #file: SourceFile;
  readonly #project: Project;
  constructor(file: SourceFile, project: Project) {
    this.#file = file;
    this.#project = project;
  }

  /** By file, those that are used farthest first, what has to be there. */
  items(): Map<SourceFile, Set<Item>> {
    for (const file of this.#usedBy(this.#file)) this.#items.set(file, new Set());
    for (const item of this.#file.parsed.file.items) if (!standsAbove(item)) this.#take(item, this.#file);
    for (const use of this.#file.uses) {
      const used = this.#project.file(use.uri);
      // All that is declared there can be seen: a rule is asked, a part is proposed. A machine is only needed as a beginning of another.
      for (const item of used?.parsed.file.items ?? [])
        if (used && !standsAbove(item) && item.$type !== 'Entry') this.#take(item, used);
    }
    return this.#items;
  }

  /** A file after all that it uses, however far. */
  #usedBy(file: SourceFile, found = new Set<SourceFile>(), under = new Set<SourceFile>()): Set<SourceFile> {
    if (found.has(file) || under.has(file)) return found;
    under.add(file);
    for (const { uri, found: isThere, node } of file.uses) {
      const used = isThere ? this.#project.file(uri) : undefined;
      if (!used) throw new PackingError(`${textOf(node)} leads to no file that can be read`);
      this.#usedBy(used, found, under);
    }
    return found.add(file);
  }

  #take(item: Item, file: SourceFile): void {
    const items = this.#items.get(file);
    if (!items || items.has(item)) return;
    items.add(item);
    for (const [name] of textOf(item).matchAll(/[\p{L}_][\p{L}\p{N}_]*/gu)) this.#takeNamed(name, file);
  }

  /** Whatever goes by this name in a file. What only stands in a comment comes along, which does no harm. */
  #takeNamed(name: string, { scope }: SourceFile): void {
    const nodes = [scope.find(name)?.node, scope.kindNamed(name)?.node, scope.sizeNamed(name)?.declaration];
    for (const node of nodes) {
      const file = node && this.#fileOf(node);
      if (file) this.#take(node as Item, file);
    }
  }

  #fileOf(item: Item): SourceFile | undefined {
    const spec = fileOf(item);
    return [...this.#items.keys()].find(({ parsed }) => parsed.file === spec);
  }
}

function refuseClashes(items: ReadonlyMap<SourceFile, ReadonlySet<Item>>, nameOf: (file: SourceFile) => string): void {
  const seen = new Map<string, SourceFile>();
  for (const [file, declared] of items) {
    for (const item of declared) {
      const name = declaredName(item);
      if (!name) continue;
      const key = item.$type === 'Declaration' && item.what === 'kind' ? `kind ${name}` : name;
      const other = seen.get(key);
      if (other && other !== file)
        throw new PackingError(
          `${nameOf(other)} and ${nameOf(file)} each have a ${name} of their own; give one of them another name`,
        );
      seen.set(key, file);
    }
  }
}

function documentedText(item: Item): string {
  const lines = docOf(item) ? docOf(item).split('\n') : [];
  return [...lines.map((line) => `/// ${line}`.trimEnd()), textOf(item)].join('\n');
}

/** Is it of the file that it stands in alone: the version that is written, or the use of another file? */
function standsAbove(item: Item): boolean {
  return item.$type === 'Use' || item.$type === 'Version';
}

/** The latest version of the language that one of the files is written in. */
function versionLine(files: readonly SourceFile[]): string[] {
  const versions = files.flatMap(({ parsed }) =>
    parsed.file.items.flatMap((item) => (item.$type === 'Version' ? Number(item.number.number) : [])),
  );
  return versions.length > 0 ? [`gusset ${Math.max(...versions)}`] : [];
}

/** A file's text without what is of it alone. */
function ownText({ parsed }: SourceFile): string {
  const above = parsed.file.items.filter(standsAbove).map(rangeOf);
  return above.reduceRight((text, { start, end }) => text.slice(0, start) + text.slice(end), parsed.text).trim();
}
