import ts from 'typescript';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import type { SourceFile } from './sources.ts';

const knowledge: ReadonlySet<Declaration['what']> = new Set([
  'kind',
  'part',
  'rule',
  'function',
  'constant',
  'table',
  'sizes',
]);

/** Names that only the library may know: of its kinds, parts, rules, functions, tables and sizes. */
export function libraryNames(specs: readonly SourceFile[]): Set<string> {
  const names = new Set<string>();
  for (const { text } of specs) {
    for (const item of parse(text).file.items) {
      if (item.$type === 'Declaration' && knowledge.has(item.what) && item.name) names.add(item.name.text);
    }
  }
  return names;
}

/** The words of the grammar itself, which are free to share their spelling with a name of the library. */
export function grammarWords(grammar: string): Set<string> {
  return new Set([...grammar.matchAll(/'(\p{L}+)'/gu)].map((match) => match[1] ?? ''));
}

/** String literals that spell a name of the library, as `file:line: "name"`. */
export function spelledNames(file: SourceFile, names: ReadonlySet<string>): string[] {
  const source = ts.createSourceFile(file.path, file.text, ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (isString(node) && !isImported(node)) {
      const line = source.getLineAndCharacterOfPosition(node.getStart()).line + 1;
      for (const name of namesIn(node.text, names)) found.push(`${file.path}:${line}: "${name}"`);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

function isString(node: ts.Node): node is ts.StringLiteral | ts.TemplateLiteralLikeNode {
  return ts.isStringLiteral(node) || ts.isTemplateLiteralToken(node);
}

function isImported(node: ts.Node): boolean {
  return ts.isImportDeclaration(node.parent) || ts.isExportDeclaration(node.parent);
}

/** A plain word counts when it is the whole literal or a step of a path; a name of several words counts anywhere. */
function namesIn(text: string, names: ReadonlySet<string>): string[] {
  const isPath = /^[\w.]+$/.test(text);
  const words = text.match(/\w+/g) ?? [];
  return words.filter((word) => names.has(word) && (isPath || word.includes('_')));
}
