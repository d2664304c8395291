import { type Position, SymbolKind, type TypeHierarchyItem } from 'vscode-languageserver';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { sourceOf } from '../../language/answers/occurrences.ts';
import type { Item } from '../../language/grammar/generated/ast.ts';
import { itemOf, rangeOf } from '../../language/grammar/syntax.ts';
import { declaredName } from '../../language/names/scope.ts';
import { canonicalUri, type Project, type SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { assessedTrees } from './machines.ts';

/** What starts from something else, and from which something else can start: kinds, parts and machines. */
export function startsAt(file: SourceFile, position: Position, workspace: Workspace): TypeHierarchyItem[] {
  const [meaning] = meaningsAt(file, file.lines.offset(position), assessedTrees(file, workspace));
  const item = meaning?.declarations.map(itemOf).find((each) => each && isStart(each));
  const source = item && isNamed(item, meaning?.name ?? '') ? sourceOf(item, workspace.project) : undefined;
  return item && source ? itemFor(item, source, workspace) : [];
}

/** What it starts from: the kind or part that a part is, the kind that a kind is, the machine that a variant is. */
export function supertypes(of: TypeHierarchyItem, workspace: Workspace): TypeHierarchyItem[] {
  const found = itemBehind(of, workspace);
  if (!found) return [];
  const base = baseOf(found);
  return base ? itemFor(base.item, base.file, workspace) : [];
}

/** What starts from it directly, in all files of the client's folders and in the library. */
export function subtypes(of: TypeHierarchyItem, workspace: Workspace): TypeHierarchyItem[] {
  const found = itemBehind(of, workspace);
  if (!found) return [];
  const everything = workspace.everything();
  return allFiles(everything).flatMap((file) =>
    file.parsed.file.items.flatMap((item) =>
      isStart(item) && baseOf({ item, file, project: everything })?.item === found.item
        ? itemFor(item, file, workspace)
        : [],
    ),
  );
}

interface Found {
  readonly item: Item;
  readonly file: SourceFile;
  readonly project: Project;
}

function isStart(item: Item): boolean {
  return item.$type === 'Entry' || (item.$type === 'Declaration' && (item.what === 'kind' || item.what === 'part'));
}

function isNamed(item: Item, name: string): boolean {
  return declaredName(item) === name;
}

function allFiles(project: Project): SourceFile[] {
  const library = [...project.library.files.keys()].flatMap((uri) => project.file(uri) ?? []);
  return [...project.files.values(), ...library];
}

/** The item that a client was told of, as it stands now. */
function itemBehind({ uri, name, kind }: TypeHierarchyItem, workspace: Workspace): Found | undefined {
  const project = workspace.everything();
  const own = workspace.file(canonicalUri(uri));
  const file = own && (own.isLibrary ? own : project.file(own.uri));
  const item = file?.parsed.file.items.find(
    (each) => isStart(each) && isNamed(each, name) && symbolKindOf(each) === kind,
  );
  return file && item ? { item, file, project } : undefined;
}

function baseOf({ item, file, project }: Found): Pick<Found, 'item' | 'file'> | undefined {
  if (item.$type !== 'Entry' && item.$type !== 'Declaration') return undefined;
  const named = item.base?.$type === 'Name' ? item.base.text : item.$type === 'Entry' ? item.first?.text : undefined;
  if (!named) return undefined;
  const part = file.scope.find(named)?.node;
  const isKind = item.$type === 'Declaration' && item.what === 'kind';
  const base = (isKind ? undefined : part) ?? file.scope.kindNamed(named)?.node;
  const source = base && sourceOf(base, project);
  return base && source ? { item: base, file: source } : undefined;
}

function symbolKindOf(item: Item): SymbolKind {
  if (item.$type === 'Entry') return SymbolKind.Module;
  return item.$type === 'Declaration' && item.what === 'part' ? SymbolKind.Struct : SymbolKind.Class;
}

function itemFor(item: Item, file: SourceFile, workspace: Workspace): TypeHierarchyItem[] {
  const name = declaredName(item);
  const node =
    item.$type === 'Entry' ? (item.name ?? item.first) : item.$type === 'Declaration' ? item.name : undefined;
  if (!name || !node) return [];
  return [
    {
      name,
      kind: symbolKindOf(item),
      uri: workspace.uriForClient(file.uri),
      range: rangeIn(file, rangeOf(item)),
      selectionRange: rangeIn(file, rangeOf(node)),
    },
  ];
}
