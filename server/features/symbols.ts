import { type DocumentSymbol, type SymbolInformation, SymbolKind, type WorkspaceSymbol } from 'vscode-languageserver';
import type { Body, Declaration, Entry, Has, Item, Member, Name } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { isBlock } from '../../language/machine/tree.ts';
import type { SourceFile } from '../../language/project.ts';
import { partKind } from '../../language/types/bind.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** A file's outline: machines with their blocks, parts, kinds with what they declare, rules, tables and functions. */
export function documentSymbols(file: SourceFile): DocumentSymbol[] {
  return file.parsed.file.items.flatMap((item) => itemSymbol(item, file));
}

/** The same as a list, for a client that takes no levels: each name with the path of what it stands in. */
export function flatSymbols(file: SourceFile): SymbolInformation[] {
  return flattened(documentSymbols(file), file.uri, '');
}

function flattened(symbols: readonly DocumentSymbol[], uri: string, holder: string): SymbolInformation[] {
  return symbols.flatMap(({ name, kind, range, children }) => [
    { name, kind, location: { uri, range }, ...(holder && { containerName: holder }) },
    ...flattened(children ?? [], uri, holder ? `${holder}.${name}` : name),
  ]);
}

/** So many names are found at most: whoever looks for one types more of it. */
const mostFound = 500;

/**
 * Machines, their blocks, and what is declared in any file of the client's folders or, where something is asked for, in the library,
 * whose names have the letters of the query in their order; the nearest names first, of those alike the client's own.
 */
export function workspaceSymbols(query: string, workspace: Workspace): WorkspaceSymbol[] {
  const wanted = query.toLowerCase();
  const found: { symbol: WorkspaceSymbol; rank: number; isOwn: boolean }[] = [];
  const add = (symbols: readonly DocumentSymbol[], uri: string, holder: string, isOwn: boolean) => {
    for (const { name, kind, selectionRange, children } of symbols) {
      const rank = rankOf(name.toLowerCase(), wanted);
      const symbol = { name, kind, location: { uri, range: selectionRange }, ...(holder && { containerName: holder }) };
      if (rank >= 0 && (isOwn || rank < lettersAlone)) found.push({ symbol, rank, isOwn });
      add(children ?? [], uri, holder ? `${holder}.${name}` : name, isOwn);
    }
  };
  for (const file of workspace.everything().files.values()) add(documentSymbols(file), file.uri, '', true);
  // Without a query the library would bury the client's own.
  const library = wanted ? [...workspace.project.library.files.keys()] : [];
  for (const uri of library) add(declaredIn(workspace.file(uri)), workspace.uriForClient(uri), '', false);
  const nearest = found.sort(
    (a, b) => a.rank - b.rank || Number(b.isOwn) - Number(a.isOwn) || (a.symbol.name < b.symbol.name ? -1 : 1),
  );
  return nearest.slice(0, mostFound).map(({ symbol }) => symbol);
}

/** What a file of the library declares, by name alone: what it is made of is not read for that. */
function declaredIn(file: SourceFile | undefined): DocumentSymbol[] {
  return (file?.parsed.file.items ?? []).flatMap((item) =>
    item.$type === 'Declaration'
      ? symbol(item, item.name, declarationKinds[item.what], item.what, file as SourceFile)
      : [],
  );
}

/** Of the library's many names, most have a few letters in some order: these count of the client's own alone. */
const lettersAlone = 3;

/** 0 for the name itself, 1 for its beginning, 2 for a part of it, 3 for its letters in their order, -1 for another name. */
function rankOf(name: string, wanted: string): number {
  if (name.startsWith(wanted)) return name === wanted ? 0 : 1;
  if (name.includes(wanted)) return 2;
  let at = 0;
  for (const letter of name) if (letter === wanted[at]) at++;
  return at === wanted.length ? lettersAlone : -1;
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
    member.$type === 'Entry' && isBlock(member) ? blockSymbol(member, roleOf(member, file), file) : [],
  );
}

/** What a block is for: it holds others, it is in a circuit, it is bought as a part, or it is none of these. */
function roleOf(entry: Entry, file: SourceFile): SymbolKind {
  if (entry.body?.members.some((member) => member.$type === 'Entry' && isBlock(member))) return SymbolKind.Namespace;
  const named = file.scope.kindNamed(entry.first?.text ?? '');
  const kind = named ?? (entry.base && partKind(textOf(entry.base), file.scope));
  if (kind && (kind.symbol || kind.cores.length > 0)) return SymbolKind.Event;
  return entry.base ? SymbolKind.Struct : SymbolKind.Object;
}

function kindMembers(body: Body | undefined, file: SourceFile): DocumentSymbol[] {
  return (body?.members ?? []).flatMap((member) => kindMember(member, file));
}

function kindMember(member: Member, file: SourceFile): DocumentSymbol[] {
  if (member.$type === 'Has') return symbol(member, member.name, SymbolKind.Object, hasDetail(member), file);
  if (member.$type === 'Check') return symbol(member, member.name, SymbolKind.Event, member.what, file);
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
