import { type ChildProcess, spawn } from 'node:child_process';
import { pathToFileURL } from 'node:url';
import { type Answered, type Edit, type Editor, type Position, peakMemory, stopped, within } from './editor.ts';
import { frame, frameReader } from './frames.ts';

interface Message {
  id?: number | string;
  method?: string;
  params?: unknown;
  result?: unknown;
  error?: { message: string };
}

interface Published {
  uri: string;
  version?: number;
  diagnostics: unknown[];
}

interface Waiting {
  readonly uri: string;
  readonly version: number;
  readonly resolve: () => void;
}

interface Options {
  readonly command: string;
  readonly args: readonly string[];
  readonly language: string;
  /** The server's settings, by section. */
  readonly settings: Readonly<Record<string, unknown>>;
  /** Whether edits also ask for the inline values around them. */
  readonly values: boolean;
}

const capabilities = {
  workspace: { configuration: true, didChangeConfiguration: { dynamicRegistration: true }, workspaceFolders: true },
  textDocument: {
    synchronization: { dynamicRegistration: true },
    publishDiagnostics: { versionSupport: true },
    completion: { completionItem: { snippetSupport: true } },
    inlayHint: {},
  },
};

/** A client of any language server over stdio. */
export class LspEditor implements Editor {
  readonly #options: Options;
  #process: ChildProcess | undefined;
  #nextId = 1;
  readonly #requests = new Map<number, { resolve(result: unknown): void; reject(error: Error): void }>();
  #waiting: Waiting[] = [];
  readonly #versions = new Map<string, number>();
  readonly #problems = new Map<string, number>();

  constructor(options: Options) {
    this.#options = options;
  }

  async start(folder: string): Promise<void> {
    const child = spawn(this.#options.command, this.#options.args, { cwd: folder, stdio: ['pipe', 'pipe', 'ignore'] });
    this.#process = child;
    child.stdout.on(
      'data',
      frameReader((text) => this.#receive(JSON.parse(text))),
    );
    child.once('exit', (code) => this.#fail(new Error(`${this.#options.command} ended with ${code}`)));
    child.once('error', (error) => this.#fail(error));
    const rootUri = pathToFileURL(folder).toString();
    const workspaceFolders = [{ uri: rootUri, name: 'bench' }];
    await this.#request('initialize', { processId: process.pid, rootUri, workspaceFolders, capabilities });
    this.#notify('initialized', {});
    this.#notify('workspace/didChangeConfiguration', { settings: this.#options.settings });
  }

  async open(path: string, text: string): Promise<number> {
    const uri = pathToFileURL(path).toString();
    this.#versions.set(uri, 1);
    const begin = performance.now();
    this.#notify('textDocument/didOpen', {
      textDocument: { uri, languageId: this.#options.language, version: 1, text },
    });
    await this.#published(uri, 1);
    return performance.now() - begin;
  }

  async edit(path: string, { at, length, text }: Edit): Promise<Answered> {
    const uri = pathToFileURL(path).toString();
    const version = (this.#versions.get(uri) ?? 0) + 1;
    this.#versions.set(uri, version);
    const begin = performance.now();
    const range = {
      start: { line: at.line, character: at.column },
      end: { line: at.line, character: at.column + length },
    };
    this.#notify('textDocument/didChange', { textDocument: { uri, version }, contentChanges: [{ range, text }] });
    const since = () => performance.now() - begin;
    const values = this.#options.values ? this.#valuesAround(uri, at.line).then(since) : undefined;
    const diagnostics = this.#published(uri, version).then(since);
    return { diagnostics: await diagnostics, values: values && Math.max(await values, await diagnostics) };
  }

  /** As much of the file as a window shows. A request that a later keystroke made pointless is not an answer: asked again. */
  async #valuesAround(uri: string, line: number): Promise<void> {
    const range = { start: { line: Math.max(0, line - 25), character: 0 }, end: { line: line + 25, character: 0 } };
    for (let attempt = 0; attempt < 100; attempt++) {
      const answer = await this.#request('textDocument/inlayHint', { textDocument: { uri }, range }).catch(() => null);
      if (Array.isArray(answer) && answer.length > 0) return;
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    throw new Error('No inline values came');
  }

  async complete(path: string, at: Position): Promise<{ ms: number; items: number }> {
    const uri = pathToFileURL(path).toString();
    const begin = performance.now();
    const result = await this.#request('textDocument/completion', {
      textDocument: { uri },
      position: { line: at.line, character: at.column },
    });
    const ms = performance.now() - begin;
    const items = Array.isArray(result) ? result : ((result as { items?: unknown[] } | null)?.items ?? []);
    return { ms, items: items.length };
  }

  /** Asks what is no part of the protocol; `cancel` gives the question up, which is then answered by nothing. */
  ask(method: string, params: unknown): { readonly answer: Promise<unknown>; cancel(): void } {
    const id = this.#nextId;
    const answer = this.#request(method, params).catch(() => undefined);
    return { answer, cancel: () => this.#notify('$/cancelRequest', { id }) };
  }

  problems(path: string): number {
    return this.#problems.get(pathToFileURL(path).toString()) ?? 0;
  }

  memory(): number {
    return this.#process ? peakMemory(this.#process) : 0;
  }

  async stop(): Promise<void> {
    if (!this.#process) return;
    this.#process.removeAllListeners('exit');
    await stopped(this.#process);
  }

  #published(uri: string, version: number): Promise<void> {
    const published = new Promise<void>((resolve) => this.#waiting.push({ uri, version, resolve }));
    return within(120, `diagnostics of ${uri}`, published);
  }

  /** Where a server does not say which text its diagnostics are of, the next ones count. */
  #receivePublished({ uri, version, diagnostics }: Published): void {
    const of = decodeURIComponent(uri);
    const ready = this.#waiting.filter((w) => decodeURIComponent(w.uri) === of && (version ?? w.version) >= w.version);
    if (ready.length === 0) return;
    this.#problems.set(ready[0]?.uri ?? uri, diagnostics.length);
    this.#waiting = this.#waiting.filter((w) => !ready.includes(w));
    for (const waiting of ready) waiting.resolve();
  }

  #receive(message: Message): void {
    if (message.method === 'textDocument/publishDiagnostics') this.#receivePublished(message.params as Published);
    else if (message.method && message.id !== undefined) this.#answer(message);
    else if (typeof message.id === 'number') {
      const request = this.#requests.get(message.id);
      this.#requests.delete(message.id);
      if (message.error) request?.reject(new Error(message.error.message));
      else request?.resolve(message.result);
    }
  }

  /** What a server asks of its client: its settings, and leave to do things we have no use for. */
  #answer({ id, method, params }: Message): void {
    const asked = (params as { items?: { section?: string }[] } | undefined)?.items ?? [];
    const settings = asked.map(({ section }) => this.#options.settings[section ?? ''] ?? null);
    this.#send({ id, result: method === 'workspace/configuration' ? settings : null });
  }

  #request(method: string, params: unknown): Promise<unknown> {
    const id = this.#nextId++;
    const answer = new Promise<unknown>((resolve, reject) => this.#requests.set(id, { resolve, reject }));
    this.#send({ id, method, params });
    return within(120, method, answer);
  }

  #notify(method: string, params: unknown): void {
    this.#send({ method, params });
  }

  #send(message: Message): void {
    this.#process?.stdin?.write(frame({ jsonrpc: '2.0', ...message }));
  }

  #fail(error: Error): void {
    for (const request of this.#requests.values()) request.reject(error);
    this.#requests.clear();
  }
}
