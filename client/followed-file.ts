// The file that views beside the editor speak of: the last one of this language that had the cursor, as its text stands once the typing pauses.
import {
  Disposable,
  EventEmitter,
  languages,
  type TextDocument,
  type TextEditor,
  type Uri,
  window,
  workspace,
} from 'vscode';

/** How long the typing must have paused before views are asked for (ms): diagnostics come first. */
const PAUSE = 300;

export class FollowedFile implements Disposable {
  readonly #changed = new EventEmitter<void>();
  /** Tells that there is another file, or another text of it. */
  readonly onDidChange = this.#changed.event;
  readonly #listeners: Disposable;
  #waiting: NodeJS.Timeout | undefined;
  #uri: Uri | undefined;

  constructor() {
    this.#listeners = Disposable.from(
      this.#changed,
      window.onDidChangeActiveTextEditor((editor) => this.#moved(editor)),
      workspace.onDidChangeTextDocument(({ document }) => this.#edited(document)),
      workspace.onDidCloseTextDocument((document) => this.#closed(document)),
      // What another file says may reach this one: its problems are told anew then.
      languages.onDidChangeDiagnostics(({ uris }) => {
        if (uris.some((uri) => uri.toString() === this.#uri?.toString())) this.#later();
      }),
    );
    this.#moved(window.activeTextEditor);
  }

  get uri(): Uri | undefined {
    return this.#uri;
  }

  dispose(): void {
    clearTimeout(this.#waiting);
    this.#listeners.dispose();
  }

  #moved(editor: TextEditor | undefined): void {
    if (editor?.document.languageId !== 'gusset' || editor.document.uri.toString() === this.#uri?.toString()) return;
    this.#uri = editor.document.uri;
    this.#changed.fire();
  }

  #edited({ uri }: TextDocument): void {
    if (uri.toString() === this.#uri?.toString()) this.#later();
  }

  #closed({ uri }: TextDocument): void {
    if (uri.toString() !== this.#uri?.toString()) return;
    this.#uri = undefined;
    this.#changed.fire();
    this.#moved(window.activeTextEditor);
  }

  #later(): void {
    clearTimeout(this.#waiting);
    this.#waiting = setTimeout(() => this.#changed.fire(), PAUSE);
  }
}
