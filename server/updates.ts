// Langium's document builder, with its phases replaced by one: the project takes in the text, and computes the rest by need.
import {
  type DocumentBuilder,
  DocumentState,
  delayNextTick,
  type LangiumDocument,
  OperationCancelled,
  type URI,
} from 'langium';
import type { LangiumSharedServices } from 'langium/lsp';
import {
  type CancellationToken,
  type Connection,
  type Diagnostic,
  Disposable,
  type TextDocumentChangeEvent,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { Stepwise } from '../language/compute/stepwise.ts';
import { canonicalUri, type Project, type SourceFile } from '../language/project.ts';
import { machineStanding } from './features/code-lens.ts';
import { diagnostics } from './features/diagnostics.ts';
import type { Told } from './told.ts';
import type { Workspace } from './workspace.ts';

/** Lets messages that have arrived be read. */
const turn = delayNextTick;

/** Keystrokes that arrive while others still wait to be read are taken together, for at most this long (ms). */
const mostWaiting = 25;
/** How long nothing must change before what is not urgent is begun (ms). */
const untilIdle = 200;

/** Of so many open files the machines are kept, those that were told of or asked about last: those of the others are built again when needed. */
const mostKept = 24;

/** How long choices are solved before messages are read again (ms). */
const inOneGo = 5;

/**
 * Steps that are computed in one go at first, and by how much more each time. What is computed for its own sake is kept from one go to
 * the next, but a search that tries many values begins anew: each go is longer, so that every one comes to its end.
 */
const firstSteps = 3000;
const longer = 1.2;

/** Takes in changes of texts, and publishes what they mean. Between two reads of the client's messages nothing is stale. */
export class Updates implements DocumentBuilder {
  updateBuildOptions = {};
  readonly #changed = new Set<string>();
  readonly #workspace: Workspace;
  readonly #services: LangiumSharedServices;
  readonly #told: Told;
  #working = false;
  /** Open files whose diagnostics may have changed since they were last published. */
  #due = new Set<string>();
  /** Files whose text the project failed to take in, and why. */
  readonly #unread = new Map<string, unknown>();
  /** How many changes of texts have arrived. */
  get changes(): number {
    return this.#changes;
  }
  #changes = 0;
  /** Files whose machines are judged at the ends of ranges alone so far, and what was last published of each. */
  readonly #unsearched = new Set<string>();
  readonly #published = new Map<string, string>();
  /** Files whose open choices are not solved so far. */
  readonly #unsolved = new Set<string>();
  /** Files whose machines are kept, the one that was wanted last at the end. */
  readonly #kept = new Set<string>();
  #idle: ReturnType<typeof setTimeout> | undefined;
  /** Called when values shown in the lines may have changed in files the client has not edited. */
  onOthersChanged: () => void = () => {};
  /** Called when nothing that was sent is left to be told of. */
  onIdle: () => void = () => {};
  /** Called with the files whose texts were taken in, or are on disk by now. */
  onTakenIn: (uris: ReadonlySet<string>) => void = () => {};

  constructor(services: LangiumSharedServices, workspace: Workspace, told: Told) {
    this.#told = told;
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
    this.#published.delete(uri);
    this.#kept.delete(uri);
    this.#told.closed(document.uri);
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
    if (this.#working) return;
    this.#working = true;
    this.#telling = this.#publishDue();
  }
  /** What is told of the newest texts, their open choices included; ends early where an edit comes in between, which begins another. */
  #telling: Promise<void> = Promise.resolve();

  /**
   * Returns once all edits are told of, open choices included. Who wants what follows from that waits here: computed from both sides by turns,
   * the same takes longer, for a search that is given up begins anew.
   */
  async untilTold(cancel?: CancellationToken): Promise<void> {
    for (let waited: Promise<void> | undefined; waited !== this.#telling && !cancel?.isCancellationRequested; ) {
      waited = this.#telling;
      await waited;
    }
  }

  /** Returns once all messages that have arrived are read, and every edited file is told of. */
  async untilIdle(): Promise<void> {
    await turn();
    await turn();
    while (this.#working) await new Promise<void>((resolve) => setTimeout(resolve, untilIdle));
  }

  /** Returns once no message that has arrived changes a text any more, or after the longest wait. */
  async #quiet(): Promise<void> {
    const since = Date.now();
    for (let seen = -1; seen !== this.#changes && Date.now() - since < mostWaiting; ) {
      seen = this.#changes;
      // One message is read in each turn: two give room for a request between two changes.
      await turn();
      await turn();
    }
  }

  /** Publishes file by file: messages are read in between, and a change met there is taken in before the next file. */
  async #publishDue(): Promise<void> {
    do {
      await this.#quiet();
      this.#takeIn();
      const [next] = this.#due;
      if (next === undefined || !(await this.#computed(next)) || (await this.#waited())) continue;
      this.#due.delete(next);
      this.#publish(next);
      this.#unsearched.add(next);
      if (!this.#isSolved(next)) this.#unsolved.add(next);
    } while (this.#due.size > 0 || this.#changed.size > 0);
    this.#working = false;
    clearTimeout(this.#idle);
    if (await this.#solveChoices()) this.#idle = setTimeout(() => void this.#searchDeeper(), untilIdle);
  }

  /** Notes that the machines of a file are wanted now, and lets go of those that nobody has wanted for longest. */
  #keep(uri: string): void {
    this.#kept.delete(uri);
    this.#kept.add(uri);
    const [oldest] = this.#kept;
    if (this.#kept.size <= mostKept || oldest === undefined) return;
    this.#kept.delete(oldest);
    this.#workspace.project.letGo(oldest);
  }

  /** Waits for files that the client still sends. Returns false where there are none: what was computed counts. */
  async #waited(): Promise<boolean> {
    const { coming } = this.#workspace;
    await coming;
    return coming !== undefined;
  }

  /** Has a file no open choices that wait to be solved? What fails is told when it is published. */
  #isSolved(uri: string): boolean {
    try {
      const file = this.#workspace.file(uri);
      return !file || this.#workspace.project.isSolved(file);
    } catch {
      return true;
    }
  }

  /** Solves open choices, and publishes what that adds. Returns false where an edit came in between, which is answered first. */
  async #solveChoices(): Promise<boolean> {
    const since = this.#changes;
    for (const uri of this.#unsolved) {
      if (!(await this.#solved(uri)) || this.#working || this.#changes !== since) return false;
      this.#unsolved.delete(uri);
      if (this.#publish(uri, true)) this.onOthersChanged();
    }
    return true;
  }

  /** Solves the open choices of a file piece by piece, between which messages are read. False where that was given up, as `#computed` does. */
  async #solved(uri: string, cancel?: CancellationToken): Promise<boolean> {
    const since = this.#changes;
    this.#keep(uri);
    const file = this.#workspace.file(uri);
    const steps = file ? this.#workspace.project.solveChoices(file) : [].values();
    for (;;) {
      for (const until = performance.now() + inOneGo; performance.now() < until; ) {
        try {
          if (steps.next().done) return true;
        } catch {
          // What fails is told when it is published.
          return true;
        }
      }
      await turn();
      await turn();
      if (this.#changes !== since || cancel?.isCancellationRequested) return false;
    }
  }

  /**
   * Does work on the machines of a project piece by piece, between which messages are read. Undefined where that was given up, for a text that has
   * changed meanwhile, or for whoever asked and no longer wants to know.
   */
  async inSteps<T>(work: Stepwise<T>, project: Project, cancel?: CancellationToken): Promise<{ done: T } | undefined> {
    const since = this.#changes;
    const isWanted = async () => {
      await turn();
      await turn();
      return this.#changes === since && !cancel?.isCancellationRequested;
    };
    let step = work.next();
    for (let began = performance.now(); !step.done; step = work.next()) {
      const { value } = step;
      for (let steps = firstSteps; !project.suffices(steps, value); steps *= 2)
        if (!(await isWanted())) return undefined;
      if (performance.now() - began < inOneGo) continue;
      if (!(await isWanted())) return undefined;
      began = performance.now();
    }
    return { done: step.value };
  }

  /** For requests that tell of open choices: waits until those of a file are solved, for its newest text. */
  async untilSolved(uri: string, cancel?: CancellationToken): Promise<void> {
    while (!(await this.#solved(uri, cancel))) {
      if (cancel?.isCancellationRequested) return;
      this.#takeIn();
      await this.#computed(uri, cancel);
    }
  }

  /** Searches inside the ranges, and publishes what that adds; an edit that comes in between is answered first. */
  async #searchDeeper(): Promise<void> {
    const since = this.#changes;
    const isBusy = () => this.#working || this.#changes !== since;
    for (const uri of this.#unsearched) {
      await turn();
      if (isBusy()) return;
      this.#keep(uri);
      const file = this.#workspace.file(uri);
      const stood = this.#standing(uri);
      try {
        for (const _ of file ? this.#workspace.project.searchDeeper(file) : []) {
          await turn();
          if (isBusy()) return;
        }
      } catch (error) {
        this.#connection?.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
      }
      this.#unsearched.delete(uri);
      if (this.#publish(uri, true) || this.#standing(uri) !== stood) this.onOthersChanged();
    }
    this.onIdle();
  }

  /** How the machines of a file stand: what lenses tell of them. Empty where that cannot be computed, which is told when it is published. */
  #standing(uri: string): string {
    const file = this.#workspace.file(uri);
    try {
      return file ? this.#workspace.project.machines(file).map(machineStanding).join() : '';
    } catch {
      return '';
    }
  }

  /**
   * Computes what is said of a file, piece by piece, between which messages are read. False where that was given up, for a text that
   * has changed meanwhile, or for whoever asked and no longer wants to know.
   */
  async #computed(uri: string, cancel?: CancellationToken): Promise<boolean> {
    const since = this.#changes;
    this.#keep(uri);
    for (let steps = firstSteps; !this.#computes(uri, steps); steps *= longer) {
      await turn();
      await turn();
      if (this.#changes !== since || cancel?.isCancellationRequested) return false;
    }
    return true;
  }

  /** Returns whether so many steps are enough. What fails is told when it is published. */
  #computes(uri: string, steps: number): boolean {
    try {
      const file = this.#workspace.file(uri);
      return !file || this.#workspace.project.computes(file, steps);
    } catch {
      return true;
    }
  }

  /** Hands new texts to the project. Cheap: nothing is computed yet. What was edited is due before what only uses it. */
  #takeIn(): void {
    if (this.#changed.size === 0) return;
    const changed = new Set(this.#changed);
    this.#changed.clear();
    for (const uri of changed) this.#open(uri);
    const affected = this.#workspace.affectedBy(changed);
    const others = affected.filter((uri) => !changed.has(uri));
    const edited = affected.filter((uri) => changed.has(uri));
    this.#due = new Set([...edited, ...others, ...this.#due]);
    if (others.length > 0) this.onOthersChanged();
    this.onTakenIn(changed);
  }

  #open(uri: string): void {
    const text = this.#services.workspace.TextDocuments.get(uri);
    this.#unread.delete(uri);
    try {
      if (text) this.#workspace.open(uri, text.getText());
    } catch (error) {
      this.#unread.set(uri, error);
    }
  }

  /** Says what is wrong with a file's newest text, under the URI as the client spells it. Returns whether that is new; what is not need not be said. */
  #publish(uri: string, onlyNew = false): boolean {
    const file = this.#workspace.file(uri);
    const document = this.#services.workspace.TextDocuments.get(uri);
    if (!file || !document) return false;
    const diagnostics = this.#checked(file);
    const { uri: spelled, version } = document;
    const told = JSON.stringify([version, diagnostics]);
    if (onlyNew && this.#published.get(uri) === told) return false;
    this.#published.set(uri, told);
    this.#told.tell({ uri: spelled, version, diagnostics });
    return true;
  }

  /** Has what is known of an open file by now ready for a client that asks. */
  tellNow(uri: string): void {
    this.#publish(uri, true);
  }

  /** A check that fails must not take the server along: it is said in the file, and the details in the client's log. */
  #checked(file: SourceFile): Diagnostic[] {
    try {
      if (this.#unread.has(file.uri)) throw this.#unread.get(file.uri);
      return diagnostics(file, this.#workspace);
    } catch (error) {
      const details = error instanceof Error ? (error.stack ?? error.message) : String(error);
      this.#connection?.console.error(details);
      const start = { line: 0, character: 0 };
      const message = `This file could not be checked, through a mistake in the language server: ${details.split('\n')[0]}`;
      return [{ range: { start, end: start }, severity: 1, code: 'not_checked', source: 'gusset', message }];
    }
  }

  /** Every request waits here: for changes and a cancellation that may be on their way, then for all texts to be
   * taken in and the one asked about to be computed. */
  async waitUntil(
    _state: DocumentState,
    uriOrToken?: URI | CancellationToken,
    token?: CancellationToken,
  ): Promise<URI & undefined> {
    const uri = uriOrToken && 'path' in uriOrToken ? uriOrToken : undefined;
    const cancel = uri ? token : (uriOrToken as CancellationToken | undefined);
    do {
      await this.#quiet();
      if (cancel?.isCancellationRequested) throw OperationCancelled;
      this.#takeIn();
    } while (uri && (!(await this.#computed(canonicalUri(uri.toString()), cancel)) || (await this.#waited())));
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
