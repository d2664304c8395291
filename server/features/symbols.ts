import { type DocumentSymbol, SymbolKind } from 'vscode-languageserver';
import type { Body, Declaration, Entry, Has, Item, Member, Name } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { isBlock } from '../../language/model/tree.ts';
import type { SourceFile } from '../../language/project.ts';
import { rangeIn } from './diagnostics.ts';

/** A file's outline: machines with their blocks, parts, kinds with what they declare, rules, tables and functions. */
export function documentSymbols(file: SourceFile): DocumentSymbol[] {
  return file.parsed.file.items.flatMap((item) => itemSymbol(item, file));
}

const declarationKinds: Record<Declaration['what'], SymbolKind> = {
  kind: SymbolKind.Class,
  part: SymbolKind.Struct,
  rule: SymbolKind.Event,
  function: SymbolKind.Function,
  constant: SymbolKind.Constant,
  numeric: SymbolKind.Function,
  table: SymbolKind.Array,
  sizes: SymbolKind.Enum,
  dimension: SymbolKind.TypeParameter,
  unit: SymbolKind.Constant,
  prefix: SymbolKind.Constant,
};

function itemSymbol(item: Item, file: SourceFile): DocumentSymbol[] {
  if (item.$type === 'Entry') return blockSymbol(item, SymbolKind.Module, file);
  if (item.$type !== 'Declaration') return [];
  const children = item.what === 'kind' ? kindMembers(item.body, file) : blocksIn(item.body, file);
  return symbol(item, item.name, declarationKinds[item.what], declarationDetail(item), file, children);
}

function declarationDetail({ what, on, base, type }: Declaration): string {
  const joint = on ? ` on ${on.text}` : base ? ` is ${base.text}` : type ? `: ${textOf(type)}` : '';
  return `${what}${joint}`;
}

function blockSymbol(entry: Entry, kind: SymbolKind, file: SourceFile): DocumentSymbol[] {
  const base = entry.base && textOf(entry.base);
  const of = entry.name ? entry.first?.text : '';
  const detail = [of, base && `is ${base}`].filter(Boolean).join(' ');
  return symbol(entry, entry.name ?? entry.first, kind, detail, file, blocksIn(entry.body, file));
}

function blocksIn(body: Body | undefined, file: SourceFile): DocumentSymbol[] {
  return (body?.members ?? []).flatMap((member) =>
    member.$type === 'Entry' && isBlock(member) ? blockSymbol(member, SymbolKind.Object, file) : [],
  );
}

function kindMembers(body: Body | undefined, file: SourceFile): DocumentSymbol[] {
  return (body?.members ?? []).flatMap((member) => kindMember(member, file));
}

function kindMember(member: Member, file: SourceFile): DocumentSymbol[] {
  if (member.$type === 'Has') return symbol(member, member.name, SymbolKind.Object, hasDetail(member), file);
  if (member.$type !== 'Entry' || !member.type) return [];
  const kind = member.parameters.length > 0 ? SymbolKind.Method : SymbolKind.Property;
  return symbol(member, member.first, kind, textOf(member.type), file);
}

function hasDetail({ name, kind, occurs }: Has): string {
  return `has ${kind?.text ?? name.text}${occurs ?? ''}`;
}

/** One entry of the outline; none for what has no name yet. */
function symbol(
  node: AstNode,
  name: Name | undefined,
  kind: SymbolKind,
  detail: string,
  file: SourceFile,
  children: DocumentSymbol[] = [],
): DocumentSymbol[] {
  if (!name?.text) return [];
  const range = rangeIn(file, rangeOf(node));
  return [{ name: name.text, kind, detail, range, selectionRange: rangeIn(file, rangeOf(name)), children }];
}
