import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { contentOf, docOf } from '../../language/grammar/syntax.ts';
import { rulesOn } from '../../language/judge/rule.ts';
import type { Kind } from '../../language/names/kind.ts';
import type { Scope } from '../../language/names/scope.ts';
import { partKind } from '../../language/types/bind.ts';
import { wrap } from './io.ts';
import type { Page } from './page.ts';

/** Sorts of declarations that are listed by their word, or its plural, where nothing else goes by it. */
const sorts = ['kind', 'part', 'rule', 'function', 'table', 'sizes', 'constant', 'unit', 'dimension'];

/** All there is of one sort, such as `kinds` or `rules`; nothing where the word is no sort. */
export function explainSort(word: string, scope: Scope, page: Page): Page | undefined {
  const sort = sorts.find((each) => each === word || `${each}s` === word);
  if (!sort) return undefined;
  if (sort === 'kind') return page.list('Kinds, each under the one it starts from', kindLines(scope, page));
  if (sort === 'part') return page.list('Parts, by their kind', partsByKind(scope, page));
  if (sort === 'unit') return page.list('Units', unitLines(scope, page));
  if (sort === 'dimension') return page.list('Dimensions', dimensionLines(scope, page));
  const lines = declarations(scope, sort).map((node) => lineOf(node.name?.text ?? '', node, page));
  return page.list(word, lines);
}

/** So many of a sort are listed of those that speak of a word. */
const mostFound = 24;

/** What speaks of a word, in its name, its message or its documentation; nothing where nothing does. */
export function explainSearch(word: string, scope: Scope, page: Page): Page | undefined {
  if (!/^[\p{L}\p{N}_ -]{3,}$/u.test(word)) return undefined;
  // Without its ending: who looks for "warps" means "warp" and "warping" as well.
  const stem = word.replace(/(?<=\w{3})(?:ing|ed|e?s)$/, '').replace(/[^\p{L}\p{N}]+/gu, '[\\s_]');
  const speaks = new RegExp(`(?<!\\p{L})${stem}`, 'iu');
  let found = 0;
  for (const sort of ['rule', 'kind', 'part', 'function', 'table']) {
    const all = declarations(scope, sort).filter((node) => speaks.test(spokenOf(node)));
    // What is called so comes before what only tells of it.
    const called = all.filter((node) => speaks.test((node.name?.text ?? '').replaceAll('_', ' ')));
    const listed = [...called, ...all.filter((node) => !called.includes(node))];
    const lines = listed.slice(0, mostFound).map((node) => lineOf(node.name?.text ?? '', node, page));
    const more = listed.length > mostFound ? [`  and ${listed.length - mostFound} more`] : [];
    page.list(`${sort[0]?.toUpperCase()}${sort.slice(1)}s that speak of ${word}`, [...lines, ...more]);
    found += listed.length;
  }
  return found > 0 ? page : undefined;
}

/** A declaration's name, what is said of it, and what it says. */
function spokenOf(node: Declaration): string {
  const said = (node.body?.members ?? []).flatMap((member) =>
    member.$type === 'Message' || member.$type === 'Remedy' ? (member.text ? [contentOf(member.text)] : []) : [],
  );
  return [(node.name?.text ?? '').replaceAll('_', ' '), docOf(node), ...said].join('\n');
}

/** What goes with a kind: what else may stand in it, kinds and parts that start from it, and the rules on it. */
export function explainRelated(kind: Kind, scope: Scope, page: Page): Page {
  const kinds = scope.kinds();
  const guests = kinds.filter((k) => k.inside.some((name) => kind.isA(scope.kindNamed(name))));
  const subkinds = kinds.filter((k) => k !== kind && k.isA(kind));
  const rules = rulesOn(kind, scope);
  page.list('May stand in it as well', names(guests, page)).list('Kinds that start from it', names(subkinds, page));
  return explainPartsOf(kind, scope, page).list('Rules on it', wrapped(rules.map((rule) => rule.name).sort(), page));
}

/** The parts of a kind that there are. */
export function explainPartsOf(kind: Kind, scope: Scope, page: Page): Page {
  return page.list('Parts', wrapped(partsOf(kind, scope), page));
}

function names(kinds: readonly Kind[], page: Page): string[] {
  return wrapped(kinds.map((k) => k.name).sort(), page);
}

function wrapped(words: readonly string[], page: Page): string[] {
  return words.length ? [wrap(words.join(', '), page.io.width, '  ')] : [];
}

function declarations(scope: Scope, sort: string): Declaration[] {
  return scope
    .visible()
    .flatMap(({ own }) => [...own.declared.values()])
    .flatMap((node) => (node.$type === 'Declaration' && node.what === sort ? [node] : []))
    .sort((a, b) => ((a.name?.text ?? '') < (b.name?.text ?? '') ? -1 : 1));
}

function partsOf(kind: Kind, scope: Scope): string[] {
  return declarations(scope, 'part').flatMap((node) =>
    partKind(node.name?.text ?? '', scope)?.isA(kind) ? [node.name?.text ?? ''] : [],
  );
}

function partsByKind(scope: Scope, page: Page): string[] {
  const byKind = new Map<string, string[]>();
  for (const node of declarations(scope, 'part')) {
    const kind = partKind(node.name?.text ?? '', scope)?.name ?? '';
    byKind.set(kind, [...(byKind.get(kind) ?? []), node.name?.text ?? '']);
  }
  const sorted = [...byKind].sort(([a], [b]) => (a < b ? -1 : 1));
  return sorted.map(([kind, parts]) => wrap(`${kind}: ${parts.join(', ')}`, page.io.width, '  ', '      '));
}

function kindLines(scope: Scope, page: Page): string[] {
  const kinds = scope.kinds().sort((a, b) => (a.name < b.name ? -1 : 1));
  const under = (base: Kind | undefined, depth: number): string[] =>
    kinds
      .filter((kind) => kind.base === base)
      .flatMap((kind) => [lineOf(`${'  '.repeat(depth)}${kind.name}`, kind.node, page), ...under(kind, depth + 1)]);
  return under(undefined, 0);
}

/** A name, and the first sentence of what is said of it. */
function lineOf(name: string, node: Declaration, page: Page): string {
  const [first = ''] = docOf(node)
    .replace(/\s+/g, ' ')
    .split(/(?<=\.) /);
  const column = 28;
  const text = wrap(first.replace(/\.$/, ''), page.io.width, ' '.repeat(column)).trimStart();
  return `  ${name.padEnd(column - 3)} ${text}`.trimEnd();
}

function unitLines(scope: Scope, page: Page): string[] {
  return wrapped([...scope.system.plainUnits()].map((unit) => unit.text).sort(), page);
}

function dimensionLines(scope: Scope, page: Page): string[] {
  return wrapped([...scope.system.dimensions.keys()].sort(), page);
}
