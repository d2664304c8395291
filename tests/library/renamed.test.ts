import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { ResponseError } from 'vscode-languageserver';
import type { Body, Entry, Item } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { blockName, type Instance, isBlock } from '../../language/machine/tree.ts';
import { Project, type SourceFile } from '../../language/project.ts';
import { plainTree } from '../../language/types/situation.ts';
import { rename } from '../../server/features/rename.ts';
import { Workspace } from '../../server/workspace.ts';
import { edited } from '../server/client.ts';
import { library } from './fixtures.ts';
import { ruleExampleFiles } from './rule-examples.ts';

// A name is only a name: with a block called otherwise, and all that names it, everything is found that was found before.

const examples = new URL('../../examples/', import.meta.url);
const newName = 'called_otherwise';
const read = (uri: string) => (existsSync(new URL(uri)) ? readFileSync(new URL(uri), 'utf8') : undefined);

interface Renamable {
  readonly name: string;
  readonly offset: number;
  /** What is tried with one such block tells of the others: kind of the holder, and of the block. */
  readonly sort: string;
}

/** The blocks written in the machines and parts of a file, each once, however many texts say more of it. */
function blocksOf(file: SourceFile): Renamable[] {
  const found = new Map<string, Renamable>();
  const within = (body: Body | undefined, tree: Instance) => {
    for (const node of body?.members ?? []) {
      if (node.$type !== 'Entry' || !isBlock(node)) continue;
      const block = tree.children.get(blockName(node));
      if (!block) continue;
      const first = block.layers.map((layer) => layer.node).findLast((said) => said.$type === 'Entry') as Entry;
      const { start } = rangeOf((node.name ?? node.first) as AstNode);
      const key = `${rangeOf(first).start}`;
      if (!found.has(key))
        found.set(key, { name: block.name, offset: start, sort: `${tree.kind.name}/${block.kind.name}` });
      within(node.body, block);
    }
  };
  for (const item of file.parsed.file.items as Item[]) {
    const tree = plainTree(item, file.scope);
    if (tree && (item.$type === 'Entry' || item.$type === 'Declaration')) within(item.body, tree);
  }
  return [...found.values()];
}

/** All that is said of a file: mistakes, and what each machine's rules and requirements find. */
function saidOf(file: SourceFile, project: Project): string[] {
  const findings = (list: readonly Finding[], under = ''): string[] =>
    list.flatMap((f) => [
      `${under}${f.rule} at ${lineOf(f, file)}: ${f.message}`,
      ...findings(f.consequences, `${f.rule} > `),
    ]);
  const machines = project
    .machines(file)
    .flatMap(({ tree, assessment, choices }) =>
      [
        ...findings(assessment.findings),
        ...assessment.undecided.map((u) => `undecided ${u.rule} of ${u.instance.path}: ${u.missing.join(', ')}`),
        ...assessment.requirements.map((r) => `requirement ${r.holds} ${r.missing.join(', ')}`),
        ...choices.map((c) => `choice ${c.proposed?.text}`),
        `${assessment.held} hold`,
      ].map((line) => `${tree.name}: ${line}`),
    );
  return [...project.mistakes(file).map((m) => `${m.code}: ${m.message}`), ...machines];
}

function lineOf({ places }: Finding, file: SourceFile): number {
  return file.lines.position(rangeOf(places[0] as AstNode).start).line + 1;
}

const workspace = new Workspace(read);

/** The text with a block called otherwise; the reason, where it keeps its name because a role gives it. */
function renamedText(file: SourceFile, block: Renamable): string | { refused: string } {
  try {
    const { changes = {} } = rename(file, file.lines.position(block.offset), newName, workspace);
    return edited(file.parsed.text, changes[file.uri] ?? []);
  } catch (error) {
    if (error instanceof ResponseError) return { refused: error.message };
    throw error;
  }
}

/** Renames each of these blocks, one at a time. Returns what then differs, and how many keep their names. */
function differences(uri: string, choose: (blocks: readonly Renamable[]) => readonly Renamable[]) {
  const text = read(uri) ?? '';
  workspace.open(uri, text);
  const file = workspace.file(uri) as SourceFile;
  const all = blocksOf(file);
  const [before, differs] = [saidOf(file, workspace.project).toSorted(), [] as string[]];
  const chosen = choose(all);
  let kept = 0;
  for (const block of chosen) {
    const now = renamedText(file, block);
    const of = `${uri.split('/').at(-1)}, ${block.sort} ${block.name}: `;
    if (typeof now !== 'string') {
      kept++;
      if (!now.refused.includes('belongs to the library')) differs.push(of + now.refused);
      continue;
    }
    const fresh = new Project(library, { read });
    const after = saidOf(fresh.update(uri, now), fresh)
      .map((line) => line.replaceAll(newName, block.name))
      .toSorted();
    const more = after.filter((line) => !before.includes(line));
    const less = before.filter((line) => !after.includes(line)).map((line) => `no more: ${line}`);
    if (more.length + less.length > 0 || after.length !== before.length)
      differs.push(of + [...more, ...less].join('\n  '));
  }
  workspace.close(uri);
  return { differs, tried: chosen.length - kept, kept, all: all.length };
}

/** How many blocks of each sort were tried: those that were tried least come first, so that no sort is left out. */
const timesTried = new Map<string, number>();
const everyBlock = process.env.EVERY_BLOCK === 'yes';

function leastTried(number: number) {
  return (blocks: readonly Renamable[]): readonly Renamable[] => {
    const times = ({ sort }: Renamable) => timesTried.get(sort) ?? 0;
    const left = [...blocks];
    const chosen: Renamable[] = [];
    while (left.length > 0 && (everyBlock || chosen.length < number)) {
      const next = left.reduce((a, b) => (times(b) < times(a) ? b : a));
      left.splice(left.indexOf(next), 1);
      timesTried.set(next.sort, times(next) + 1);
      chosen.push(next);
    }
    return chosen;
  };
}

function tried(uris: readonly string[], number: number, what: string): string[] {
  const results = uris.map((uri) => differences(uri, leastTried(number)));
  const total = (of: 'tried' | 'kept' | 'all') => results.reduce((sum, result) => sum + result[of], 0);
  console.log(`${what}: ${total('tried')} of ${total('all')} blocks renamed, ${total('kept')} whose role names them`);
  expect(total('tried') > 0).toBe(total('all') > 0);
  return results.flatMap(({ differs }) => differs);
}

const gusset = (folder: URL) =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.gusset'))
    .map((name) => new URL(name, folder).href);

const hour = 3_600_000;

test.each(gusset(examples).map((uri) => [uri.split('/').at(-1), uri] as const))(
  'a block of %s called otherwise: the same is found',
  (name, uri) => {
    expect(tried([uri], 4, name as string)).toEqual([]);
  },
  hour,
);

// Sixteen handfuls, so that a run shows how far it is.
const fixtures = [...ruleExampleFiles.values()].map(({ href }) => href);
test.each(Array.from({ length: 16 }, (_, i) => i))(
  'a block of a rule’s example called otherwise: the same is found, part %i',
  (part) => {
    const own = fixtures.filter((_, i) => i % 16 === part);
    expect(tried(own, 1, `rules' examples, part ${part}`)).toEqual([]);
  },
  hour,
);
