// Two views beside the editor: the machines of the file as trees of their blocks, and what they do not say yet.
import {
  commands,
  type Disposable,
  EventEmitter,
  Range,
  Selection,
  ThemeColor,
  ThemeIcon,
  type TreeDataProvider,
  TreeItem,
  TreeItemCollapsibleState,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { DesignBlock } from '../server/features/design.ts';
import type { Beginning, MachineNotSaid } from '../server/features/not-said.ts';
import type { FollowedFile } from './followed-file.ts';

type Client = () => BaseLanguageClient | undefined;
type Place = DesignBlock['range'];

const GO_TO = 'gusset.goTo';
const BEGIN = 'gusset.beginLine';

const designRequest = new RequestType<{ uri: string }, { machines: DesignBlock[] }, void>('gusset/design');
const notSaidRequest = new RequestType<{ uri: string }, { machines: MachineNotSaid[] }, void>('gusset/notSaid');

export function registerMachineViews(client: Client, followed: FollowedFile): Disposable[] {
  const design = new Tree(followed, async (uri) => {
    const answer = await client()?.sendRequest(designRequest, { uri });
    return (answer?.machines ?? []).map((machine) => blockNode(machine, uri, true));
  });
  const notSaid = new Tree(followed, async (uri) => {
    const answer = await client()?.sendRequest(notSaidRequest, { uri });
    return (answer?.machines ?? []).map((machine) => notSaidNode(machine, uri));
  });
  return [
    design,
    notSaid,
    window.createTreeView('gusset.design', { treeDataProvider: design, showCollapseAll: true }),
    window.createTreeView('gusset.notSaid', { treeDataProvider: notSaid }),
    commands.registerCommand(GO_TO, goTo),
    commands.registerCommand(BEGIN, beginLine),
  ];
}

interface Node {
  readonly item: TreeItem;
  readonly below: readonly Node[];
}

/** A tree of what the server says of the followed file, asked for while it is seen. */
class Tree implements TreeDataProvider<Node>, Disposable {
  readonly #changed = new EventEmitter<void>();
  readonly onDidChangeTreeData = this.#changed.event;
  readonly #followed: FollowedFile;
  readonly #roots: (uri: string) => Promise<Node[]>;
  readonly #listener: Disposable;

  constructor(followed: FollowedFile, roots: (uri: string) => Promise<Node[]>) {
    this.#followed = followed;
    this.#roots = roots;
    this.#listener = followed.onDidChange(() => this.#changed.fire());
  }

  dispose(): void {
    this.#listener.dispose();
    this.#changed.dispose();
  }

  getTreeItem({ item }: Node): TreeItem {
    return item;
  }

  async getChildren(node?: Node): Promise<Node[]> {
    if (node) return [...node.below];
    const uri = this.#followed.uri;
    return uri ? this.#roots(uri.toString()) : [];
  }
}

// ---- the design ----

const SHAPES: Record<string, [icon: string, colour: string]> = {
  error: ['error', 'problemsErrorIcon.foreground'],
  warning: ['warning', 'problemsWarningIcon.foreground'],
  advice: ['info', 'problemsInfoIcon.foreground'],
  note: ['info', 'problemsInfoIcon.foreground'],
};

function iconOf({ worst }: DesignBlock, isMachine: boolean): ThemeIcon {
  const shape = worst && SHAPES[worst];
  return shape
    ? new ThemeIcon(shape[0], new ThemeColor(shape[1]))
    : new ThemeIcon(isMachine ? 'server-process' : 'circle-outline');
}

function blockNode(block: DesignBlock, uri: string, isMachine: boolean): Node {
  const below = block.blocks.map((each) => blockNode(each, uri, false));
  const state = isMachine ? TreeItemCollapsibleState.Expanded : TreeItemCollapsibleState.Collapsed;
  const item = new TreeItem(block.name, below.length > 0 ? state : TreeItemCollapsibleState.None);
  const of = block.kind === block.name ? [] : [block.kind];
  item.description = [...of, ...block.values.slice(0, 2)].join(' · ');
  item.iconPath = iconOf(block, isMachine);
  const called = [...of, block.name].join(' ');
  item.tooltip = [called, ...block.values, ...block.found.map(({ message }) => message)].join('\n');
  const found = block.found.map(({ severity, message }) => `${severity}: ${message}`);
  item.accessibilityInformation = { label: [block.name, item.description, ...found].filter(Boolean).join(', ') };
  item.command = { command: GO_TO, title: 'Show in the Text', arguments: [uri, block.range] };
  return { item, below };
}

// ---- what is not said yet ----

function notSaidNode({ machine, notSaid }: MachineNotSaid, uri: string): Node {
  const below = notSaid.map((each) => questionNode(each, uri));
  const open = below.length > 0;
  const item = new TreeItem(machine, open ? TreeItemCollapsibleState.Expanded : TreeItemCollapsibleState.None);
  item.description = open ? `${below.length} not said yet` : 'all that is expected is said';
  item.iconPath = new ThemeIcon('server-process');
  return { item, below };
}

function questionNode(each: MachineNotSaid['notSaid'][number], uri: string): Node {
  const { path, question, waiting, safety, taken, begin, range } = each;
  const item = new TreeItem(path);
  item.description = [question, taken && `Until it is said: ${taken}`].filter(Boolean).join(' ');
  const waits = waiting === 0 ? '' : `${waiting} ${waiting === 1 ? 'rule waits' : 'rules wait'} for it`;
  const about = safety > 0 ? `${safety} of them about people's safety` : '';
  item.tooltip = [item.description, [waits, about].filter(Boolean).join(', ')].filter(Boolean).join('\n');
  item.iconPath =
    safety > 0
      ? new ThemeIcon('question', new ThemeColor('problemsWarningIcon.foreground'))
      : new ThemeIcon('question');
  item.accessibilityInformation = { label: [path, item.tooltip].join(', ') };
  item.command = begin
    ? { command: BEGIN, title: 'Write the Line', arguments: [uri, begin] }
    : { command: GO_TO, title: 'Show in the Text', arguments: [uri, range] };
  return { item, below: [] };
}

function rangeOf({ start, end }: Place): Range {
  return new Range(start.line, start.character, end.line, end.character);
}

async function goTo(uri: string, place: Place): Promise<void> {
  await window.showTextDocument(Uri.parse(uri), { selection: rangeOf(place) });
}

/** Writes the line that would say something, up to where its value belongs, and shows what may stand there. */
async function beginLine(uri: string, { range, text, cursor }: Beginning): Promise<void> {
  const document = await workspace.openTextDocument(Uri.parse(uri));
  const start = document.offsetAt(rangeOf(range).start);
  const edit = new WorkspaceEdit();
  edit.replace(document.uri, rangeOf(range), text);
  if (!(await workspace.applyEdit(edit))) return;
  const at = document.positionAt(start + cursor);
  await window.showTextDocument(document, { selection: new Selection(at, at) });
  await commands.executeCommand('editor.action.triggerSuggest');
}
