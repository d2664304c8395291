// The machine sheet beside the text: what the server says of the machine at the cursor, kept up with every edit.
import {
  type CancellationToken,
  CancellationTokenSource,
  commands,
  Disposable,
  type ExtensionContext,
  Position,
  Range,
  type TextDocument,
  type TextEditor,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { AskedSheet, SheetAnswer } from '../server/features/sheet.ts';
import { editorColours } from './editor-colours.ts';
import { printPage } from './print-page.ts';
import type { FromView, ToView } from './sheet-document.ts';

export const OPEN_SHEET = 'gusset.openSheet';
const PIN = 'gusset.pinSheet';
const UNPIN = 'gusset.unpinSheet';
const SAVE = 'gusset.saveSheet';
const PRINT = 'gusset.printSheet';
const VIEW = 'gusset.machineSheet';
/** Set while the sheet keeps to its machine, for the buttons in its title. */
const PINNED = 'gusset.sheetPinned';

/** How long the typing must have paused before a sheet is asked for (ms): what is typed in one go is taken together. */
const PAUSE = 20;

/** How long after a sheet is shown it is asked for with what its values rest on (ms): that takes seconds of computing. */
const REST = 1000;

const sheetRequest = new RequestType<AskedSheet, SheetAnswer | null, void>('gusset/sheet');

export function registerMachineSheet(
  context: ExtensionContext,
  client: () => BaseLanguageClient | undefined,
): Disposable[] {
  const sheet = new MachineSheet(context, client);
  return [
    sheet,
    commands.registerCommand(OPEN_SHEET, (uri?: string, machine?: string) => sheet.open(uri, machine)),
    commands.registerCommand(PIN, () => sheet.pin(true)),
    commands.registerCommand(UNPIN, () => sheet.pin(false)),
    commands.registerCommand(SAVE, () => sheet.save()),
    commands.registerCommand(PRINT, () => sheet.print()),
  ];
}

class MachineSheet implements Disposable {
  readonly #extension: Uri;
  /** Where what is handed to other programs is written. */
  readonly #storage: Uri;
  readonly #client: () => BaseLanguageClient | undefined;
  readonly #listeners: Disposable;
  #panel: WebviewPanel | undefined;
  /** What is shown: the file, the place in it, and the machine. */
  #uri: string | undefined;
  #position: Position | undefined;
  #machine: string | undefined;
  #isPinned = false;
  /** The states of the sections that the view has. */
  #known: Record<string, string> = {};
  #waiting: NodeJS.Timeout | undefined;
  #resting: NodeJS.Timeout | undefined;
  #asking: CancellationTokenSource | undefined;

  constructor({ extensionUri, globalStorageUri }: ExtensionContext, client: () => BaseLanguageClient | undefined) {
    this.#extension = extensionUri;
    this.#storage = globalStorageUri;
    this.#client = client;
    this.#listeners = Disposable.from(
      workspace.onDidChangeTextDocument(({ document }) => this.#changed(document)),
      window.onDidChangeTextEditorSelection(({ textEditor }) => this.#moved(textEditor)),
      window.onDidChangeActiveTextEditor((editor) => editor && this.#moved(editor)),
    );
  }

  dispose(): void {
    this.#listeners.dispose();
    this.#panel?.dispose();
  }

  /** Shows the sheet of a machine, or of the one at the cursor. */
  open(uri?: string, machine?: string): void {
    const editor = window.activeTextEditor;
    this.#uri = uri ?? (editor?.document.languageId === 'gusset' ? editor.document.uri.toString() : this.#uri);
    if (!this.#uri) {
      void window.showInformationMessage('Open a .gusset file first: the sheet is that of the machine at the cursor.');
      return;
    }
    this.#position = editor?.selection.active;
    this.#machine = machine;
    if (this.#panel) this.#panel.reveal(undefined, true);
    else this.#create();
    this.pin(false);
    this.#ask(0);
  }

  /** Keeps to the machine that is shown, or follows the cursor again. */
  pin(isPinned: boolean): void {
    this.#isPinned = isPinned;
    void commands.executeCommand('setContext', PINNED, isPinned);
  }

  /** Writes what is shown as a page that stands alone. */
  async save(): Promise<void> {
    const written = await this.#pageAlone();
    if (!written || !this.#uri) return;
    const defaultUri = Uri.joinPath(Uri.parse(this.#uri), '..', `${written.name}.html`);
    const target = await window.showSaveDialog({ defaultUri, filters: { HTML: ['html'] } });
    if (target) await workspace.fs.writeFile(target, new TextEncoder().encode(written.page));
  }

  /** Opens the same page in the system's browser, to be printed. */
  async print(): Promise<void> {
    await printPage(
      this.#storage,
      () => this.#pageAlone(),
      () => this.save(),
    );
  }

  async #pageAlone(): Promise<{ name: string; page: string } | undefined> {
    const answer = await this.#request({ page: true, resting: true });
    return answer?.page === undefined ? undefined : { name: answer.machine, page: answer.page };
  }

  #create(): void {
    const beside = { viewColumn: ViewColumn.Beside, preserveFocus: true };
    const root = Uri.joinPath(this.#extension, 'dist');
    this.#panel = window.createWebviewPanel(VIEW, 'Machine Sheet', beside, {
      enableScripts: true,
      enableFindWidget: true,
      localResourceRoots: [root],
      retainContextWhenHidden: true,
    });
    this.#known = {};
    this.#panel.onDidDispose(() => {
      this.#panel = undefined;
      this.#asking?.cancel();
    });
    this.#panel.webview.onDidReceiveMessage((message: FromView) => {
      if (message.is === 'followed') void this.#go(message.place);
      else this.#fill();
    });
  }

  /** What was sent before its script ran has not reached it. */
  #fill(): void {
    this.#known = {};
    this.#ask(0);
  }

  #changed(document: TextDocument): void {
    if (this.#panel && document.languageId === 'gusset') this.#ask(PAUSE);
  }

  #moved({ document, selection }: TextEditor): void {
    if (!this.#panel || document.languageId !== 'gusset') return;
    const uri = document.uri.toString();
    void this.#panel.webview.postMessage({ at: placeOf(uri, selection.active) });
    if (this.#isPinned || uri.startsWith('gusset-library:')) return;
    this.#uri = uri;
    this.#position = selection.active;
    this.#machine = undefined;
    this.#ask(PAUSE);
  }

  /** Asks for what is to be shown once nothing has changed for so long (ms). */
  #ask(after: number): void {
    clearTimeout(this.#waiting);
    clearTimeout(this.#resting);
    this.#waiting = setTimeout(() => {
      this.#waiting = undefined;
      void this.#show(false);
    }, after);
  }

  /** Shows what there is; where nothing is asked meanwhile, then what the values rest on as well. */
  async #show(resting: boolean): Promise<void> {
    const { webview } = this.#panel ?? {};
    const answer = webview && (await this.#request({ known: this.#known, resting }));
    if (!answer || webview !== this.#panel?.webview) return;
    if (!webview.html) {
      webview.html = this.#page(answer.style);
      return;
    }
    if (this.#panel) this.#panel.title = `${answer.machine}: Machine Sheet`;
    if (this.#isPinned) this.#machine = answer.machine;
    this.#known = Object.fromEntries(answer.sections.map(({ id, state }) => [id, state]));
    const message: ToView = {
      machine: answer.machine,
      about: answer.about,
      mind: answer.mind,
      sections: answer.sections.map(({ id, heading, html }) => ({ id, heading, ...(html !== undefined && { html }) })),
      ...(this.#uri && this.#position && { at: placeOf(this.#uri, this.#position) }),
    };
    await webview.postMessage(message);
    if (!resting && !this.#waiting) this.#resting = setTimeout(() => void this.#show(true), REST);
  }

  /** The newest question counts: what was asked before is given up. */
  async #request(asked: Partial<AskedSheet>): Promise<SheetAnswer | null | undefined> {
    if (!this.#uri) return undefined;
    this.#asking?.cancel();
    const asking = new CancellationTokenSource();
    this.#asking = asking;
    const machine = this.#machine;
    const position = this.#position && { line: this.#position.line, character: this.#position.character };
    const question = { uri: this.#uri, ...(position && { position }), ...(machine && { machine }), ...asked };
    try {
      return await this.#client()?.sendRequest(sheetRequest, question, asking.token as CancellationToken);
    } catch {
      // What was given up, or a server that has gone: its status says so.
      return undefined;
    }
  }

  /** The frame that sections are put into: own script and style only, all else is forbidden. */
  #page(style: string): string {
    const { webview } = this.#panel as WebviewPanel;
    const script = webview.asWebviewUri(Uri.joinPath(this.#extension, 'dist', 'sheet-view.js'));
    const nonce = crypto.randomUUID();
    const policy = `default-src 'none'; style-src 'nonce-${nonce}'; script-src ${webview.cspSource}`;
    return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<title>Machine Sheet</title>
<style nonce="${nonce}">${editorColours}${style}</style>
</head>
<body>
<main>
<h1 id="title"></h1>
<p class="about" id="about"></p>
<nav aria-label="Sections"><ul id="links"></ul></nav>
<div id="sections"></div>
<p class="about" id="mind"></p>
</main>
<script src="${script}"></script>
</body>
</html>`;
  }

  async #go(place: string): Promise<void> {
    const [, uri, line, column] = /^(.*):(\d+):(\d+)$/.exec(place) ?? [];
    if (!uri) return;
    const at = new Position(Number(line) - 1, Number(column) - 1);
    const known = window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri)?.viewColumn;
    await window.showTextDocument(Uri.parse(uri), {
      selection: new Range(at, at),
      viewColumn: known ?? ViewColumn.One,
    });
  }
}

/** A line as the places on the sheet begin. */
function placeOf(uri: string, { line }: Position): string {
  return `${uri}:${line + 1}`;
}
