// Is the language server there? Shown beside the language's name, and where it is gone said in every open file: a list of problems
// that nobody keeps any longer must not read as if nothing were wrong.
import {
  Diagnostic,
  DiagnosticSeverity,
  Disposable,
  type DocumentSelector,
  LanguageStatusSeverity,
  languages,
  Range,
  type TextDocument,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, State } from 'vscode-languageclient';

const GONE =
  "Gusset's language server has stopped. Nothing here is checked until it runs again: run “Gusset: Restart the Server”.";

export class ServerStatus {
  readonly #selector: DocumentSelector;
  readonly #item;
  readonly #unchecked = languages.createDiagnosticCollection('gusset');
  readonly #listeners: Disposable;
  #following: Disposable | undefined;
  #isGone = false;

  /** `restart` is the command that starts the server again. */
  constructor(selector: DocumentSelector, restart: string) {
    this.#selector = selector;
    this.#item = languages.createLanguageStatusItem('gusset.server', selector);
    this.#item.name = 'Gusset';
    this.#item.command = { command: restart, title: 'Restart the Server' };
    this.#listeners = Disposable.from(
      workspace.onDidOpenTextDocument((document) => this.#mark(document)),
      workspace.onDidCloseTextDocument(({ uri }) => this.#unchecked.delete(uri)),
    );
  }

  /** Shows how this client's server fares from now on. */
  follow(client: BaseLanguageClient): void {
    this.#following?.dispose();
    this.#following = client.onDidChangeState(({ newState }) => this.#show(newState));
    this.#show(State.Starting);
  }

  dispose(): void {
    for (const each of [this.#following, this.#listeners, this.#unchecked, this.#item]) each?.dispose();
  }

  #show(state: State): void {
    this.#isGone = state === State.Stopped || state === State.StartFailed;
    this.#item.busy = state === State.Starting;
    this.#item.text = this.#isGone ? 'Gusset has stopped' : 'Gusset';
    this.#item.detail = this.#isGone ? 'nothing is checked' : 'checks while you type';
    this.#item.severity = this.#isGone ? LanguageStatusSeverity.Error : LanguageStatusSeverity.Information;
    this.#unchecked.clear();
    for (const document of workspace.textDocuments) this.#mark(document);
  }

  #mark(document: TextDocument): void {
    if (!this.#isGone || languages.match(this.#selector, document) === 0) return;
    const firstLine = new Range(0, 0, 0, Number.MAX_SAFE_INTEGER);
    this.#unchecked.set(document.uri, [new Diagnostic(firstLine, GONE, DiagnosticSeverity.Warning)]);
  }
}
