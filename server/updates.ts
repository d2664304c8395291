// Langium's document builder, with its phases replaced by one: the project takes in the text, and computes the rest by need.
import { type DocumentBuilder, DocumentState, type LangiumDocument, OperationCancelled, type URI } from 'langium';
import type { LangiumSharedServices } from 'langium/lsp';
import {
  type CancellationToken,
  type Connection,
  type Diagnostic,
  Disposable,
  type TextDocumentChangeEvent,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { canonicalUri, type SourceFile } from '../language/project.ts';
import { diagnostics } from './features/diagnostics.ts';
import type { Workspace } from './workspace.ts';

const turn = () => new Promise<void>((resolve) => setImmediate(resolve));

/** Keystrokes that arrive while others still wait to be read are taken together, for at most this long (ms). */
const mostWaiting = 25;

/** Takes in changes of texts, and publishes what they mean. Between two reads of the client's messages nothing is stale. */
export class Updates implements DocumentBuilder {
  updateBuildOptions = {};
  readonly #changed = new Set<string>();
  readonly #workspace: Workspace;
  readonly #services: LangiumSharedServices;
  #scheduled = false;
  #changes = 0;
  /** Called when values shown in the lines may have changed in files the client has not edited. */
  onOthersChanged: () => void = () => {};

  constructor(services: LangiumSharedServices, workspace: Workspace) {
    this.#services = services;
    this.#workspace = workspace;
  }

  get #connection(): Connection | undefined {
    return this.#services.lsp.Connection;
  }

  /** A client opened or changed a text. */
  textChanged({ document }: TextDocumentChangeEvent<TextDocument>): void {
    this.#note(canonicalUri(document.uri));
  }

  /** A client closed a text: from now on what is on disk counts. */
  textClosed({ document }: TextDocumentChangeEvent<TextDocument>): void {
    const uri = canonicalUri(document.uri);
    this.#workspace.close(uri);
    this.#connection?.sendDiagnostics({ uri: document.uri, diagnostics: [] });
    this.#note(uri);
  }

  /** Files were changed, made or deleted on disk. */
  filesChanged(uris: readonly string[]): void {
    for (const uri of uris) {
      this.#workspace.changedOnDisk(canonicalUri(uri));
      this.#note(canonicalUri(uri));
    }
  }

  #note(uri: string): void {
    this.#changed.add(uri);
    this.#changes++;
    if (this.#scheduled) return;
    this.#scheduled = true;
    void this.#quiet().then(() => this.#publish());
  }

  /** Until no change of a text is among the messages that wait, or the longest wait is over. */
  async #quiet(): Promise<void> {
    const since = Date.now();
    for (let seen = -1; seen !== this.#changes && Date.now() - since < mostWaiting; ) {
      seen = this.#changes;
      // One message is read in each turn: two give room for a request between two changes.
      await turn();
      await turn();
    }
  }

  /** Hands new texts to the project. Cheap: nothing is computed yet. */
  #takeIn(): string[] {
    const changed = [...this.#changed];
    this.#changed.clear();
    for (const uri of changed) {
      const text = this.#services.workspace.TextDocuments.get(uri);
      if (text) this.#workspace.open(uri, text.getText());
    }
    return changed;
  }

  readonly #unpublished = new Set<string>();

  #publish(): void {
    this.#scheduled = false;
    for (const uri of this.#takeIn()) this.#unpublished.add(uri);
    const affected = this.#workspace.affectedBy(this.#unpublished);
    const others = affected.some((uri) => !this.#unpublished.has(uri));
    this.#unpublished.clear();
    for (const uri of affected) this.#publishOne(uri);
    if (others) this.onOthersChanged();
  }

  /** Says what is wrong with a file's newest text, under the URI as the client spells it. */
  #publishOne(uri: string): void {
    const file = this.#workspace.file(uri);
    const document = this.#services.workspace.TextDocuments.get(uri);
    if (!file || !document) return;
    const found = this.#checked(file);
    this.#connection?.sendDiagnostics({ uri: document.uri, version: document.version, diagnostics: found });
  }

  /** A check that fails must not take the server along: it is said in the file, and the details in the client's log. */
  #checked(file: SourceFile): Diagnostic[] {
    try {
      return diagnostics(file, this.#workspace);
    } catch (error) {
      const details = error instanceof Error ? (error.stack ?? error.message) : String(error);
      this.#connection?.console.error(details);
      const start = { line: 0, character: 0 };
      const message = `This file could not be checked, through a mistake in the language server: ${details.split('\n')[0]}`;
      return [{ range: { start, end: start }, severity: 1, code: 'not_checked', source: 'gusset', message }];
    }
  }

  /** Every request waits here: for changes and a cancellation that may be on their way, then for all texts to be taken in. */
  async waitUntil(
    _state: DocumentState,
    uriOrToken?: URI | CancellationToken,
    token?: CancellationToken,
  ): Promise<URI & undefined> {
    const uri = uriOrToken && 'path' in uriOrToken ? uriOrToken : undefined;
    const cancel = uri ? token : (uriOrToken as CancellationToken | undefined);
    await this.#quiet();
    if (cancel?.isCancellationRequested) throw OperationCancelled;
    for (const changed of this.#takeIn()) this.#unpublished.add(changed);
    return uri as URI & undefined;
  }

  async update(changed: URI[], deleted: URI[]): Promise<void> {
    this.filesChanged([...changed, ...deleted].map((uri) => uri.toString()));
  }

  async build(): Promise<void> {}

  resetToState(document: LangiumDocument, state: DocumentState): void {
    document.state = Math.min(document.state, state);
  }

  // Diagnostics carry the version of the text they are for, so they are published above and not by a phase's listener.
  onUpdate = () => Disposable.create(() => {});
  onBuildPhase = () => Disposable.create(() => {});
  onDocumentPhase = () => Disposable.create(() => {});
}

/** The state every document is in: what is not computed yet is computed when it is asked for. */
export const ready = DocumentState.Validated;
