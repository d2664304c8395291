// What a value depends on, and what depends on it: asked of the editor as who calls whom.
import {
  type CallHierarchyIncomingCall,
  type CallHierarchyItem,
  type CallHierarchyOutgoingCall,
  type Position,
  SymbolKind,
} from 'vscode-languageserver';
import * as z from 'zod/mini';
import { type Dependent, whatRestsOn } from '../../language/answers/dependence.ts';
import { cellAt, inputsOf } from '../../language/answers/derivation.ts';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { sourceOf } from '../../language/answers/occurrences.ts';
import { type Cell, cellsOf } from '../../language/compute/cell.ts';
import { pathOfCell, showCell } from '../../language/compute/show-cell.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { cellMeant } from './hover/values.ts';
import { assessedTrees } from './machines.ts';

/** Which value an item is, for when it is asked of again. */
const dataOfItem = z.object({ uri: z.string(), machine: z.string(), path: z.string() });

/** The value of a machine that is named at a position; nothing where there is none. */
export function valueAt(file: SourceFile, position: Position, workspace: Workspace): CallHierarchyItem[] {
  const offset = file.lines.offset(position);
  const meaning = symbolAt(file, offset, assessedTrees(file, workspace));
  const meant = meaning && cellMeant(meaning, file, offset, workspace);
  return meant ? itemOf(meant.cell, { ...meant, file }, workspace) : [];
}

/** The file of the machine that an item's value is of; undefined for an item that tells none. */
export function fileOfItem({ data }: CallHierarchyItem): string | undefined {
  return dataOfItem.safeParse(data).data?.uri;
}

/** The values that it is computed from directly. */
export function dependsOn(item: CallHierarchyItem, workspace: Workspace): CallHierarchyOutgoingCall[] {
  const found = behind(item, workspace);
  if (!found) return [];
  return inputsOf(found.cell, found.machine).flatMap((input) =>
    itemOf(input, found, workspace).map((to) => ({ to, fromRanges: [item.selectionRange] })),
  );
}

/** The values, rules and requirements that read it directly. */
export function dependents(item: CallHierarchyItem, workspace: Workspace): CallHierarchyIncomingCall[] {
  const found = behind(item, workspace);
  if (!found) return [];
  return whatRestsOn(found.cell, found.machine).flatMap((dependent) =>
    itemOfDependent(dependent, found, workspace).map((from) => ({ from, fromRanges: [from.selectionRange] })),
  );
}

interface Found {
  readonly cell: Cell;
  readonly machine: Assessed;
  readonly file: SourceFile;
}

/** The value that a client was told of, as it stands now. */
function behind({ data }: CallHierarchyItem, workspace: Workspace): Found | undefined {
  const asked = dataOfItem.safeParse(data).data;
  const file = asked && workspace.file(asked.uri);
  const machine = file && workspace.project.machines(file).find(({ tree }) => tree.name === asked.machine);
  const cell =
    machine &&
    (calledCells(machine).find((each) => pathOfCell(each, machine) === asked.path) ?? cellAt(asked.path, machine));
  return cell && { cell, machine, file };
}

/** Values that are asked for with arguments: what is told of these is rounded, and would lead to others. */
function calledCells({ tree }: Assessed): Cell[] {
  return tree.all().flatMap((instance) => [...cellsOf(instance).values.values()].filter(({ called }) => called));
}

function itemOf(cell: Cell, { machine, file }: Omit<Found, 'cell'>, workspace: Workspace): CallHierarchyItem[] {
  const { definition, member } = cell.called?.cell ?? cell;
  const path = pathOfCell(cell, machine);
  const told = { name: path, detail: showCell(cell, machine), kind: SymbolKind.Property };
  const data: z.infer<typeof dataOfItem> = { uri: file.uri, machine: machine.tree.name, path };
  return placed(told, definition.node ?? member?.node, workspace).map((item) => ({ ...item, data }));
}

function itemOfDependent(dependent: Dependent, found: Found, workspace: Workspace): CallHierarchyItem[] {
  switch (dependent.is) {
    case 'value':
      return itemOf(dependent.cell, found, workspace);
    case 'rule': {
      const { rule, instance } = dependent;
      const told = { name: rule.name, detail: instance.label, kind: SymbolKind.Event };
      return placed(told, rule.node.name, workspace);
    }
    case 'requirement': {
      const { text, target } = dependent.requirement;
      return placed({ name: text, detail: 'required', kind: SymbolKind.Boolean }, target.node, workspace);
    }
  }
}

/** An item at a node; none where that stands in no file. */
function placed(
  told: Pick<CallHierarchyItem, 'name' | 'detail' | 'kind'>,
  node: AstNode | undefined,
  workspace: Workspace,
): CallHierarchyItem[] {
  const source = node && sourceOf(node, workspace.project);
  if (!source) return [];
  const range = rangeIn(source, rangeOf(node));
  return [{ ...told, uri: workspace.uriForClient(source.uri), range, selectionRange: range }];
}
