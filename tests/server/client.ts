import { PassThrough } from 'node:stream';
import type {
  CodeAction,
  Diagnostic,
  InitializeResult,
  InlayHint,
  Position,
  PublishDiagnosticsParams,
  RegistrationParams,
  TextEdit,
  WorkDoneProgressCreateParams,
} from 'vscode-languageserver';
import {
  createConnection,
  createProtocolConnection,
  ProposedFeatures,
  type ProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
  WorkDoneProgress,
} from 'vscode-languageserver/node';
import { Lines } from '../../language/grammar/syntax.ts';
import { serve } from '../../server/process.ts';

/** A client of a server in the same process, as an editor would be one. */
export class Client {
  readonly connection: ProtocolConnection;
  readonly published: PublishDiagnosticsParams[] = [];
  readonly #waiting: (() => void)[] = [];
  readonly #versions = new Map<string, number>();
  readonly #toServer: PassThrough;
  settings: unknown = {};
  refreshed = 0;
  lensesRefreshed = 0;
  diagnosticsRefreshed = 0;
  /** What the server says it can do. */
  offered: InitializeResult['capabilities'] = {};
  /** What the server shows of work that takes long. */
  readonly progress: unknown[] = [];
  /** What the server asked to be told of. */
  readonly registered: string[] = [];

  constructor() {
    const [toServer, toClient] = [new PassThrough(), new PassThrough()];
    this.#toServer = toServer;
    serve(createConnection(ProposedFeatures.all, new StreamMessageReader(toServer), new StreamMessageWriter(toClient)));
    this.connection = createProtocolConnection(new StreamMessageReader(toClient), new StreamMessageWriter(toServer));
    this.connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
      this.published.push(params);
      for (const wake of this.#waiting.splice(0)) wake();
    });
    this.connection.onRequest('workspace/configuration', ({ items }: { items: unknown[] }) =>
      items.map(() => this.settings),
    );
    this.connection.onRequest('client/registerCapability', ({ registrations }: RegistrationParams) => {
      this.registered.push(...registrations.map((registration) => registration.method));
      return null;
    });
    this.connection.onRequest('window/workDoneProgress/create', ({ token }: WorkDoneProgressCreateParams) => {
      this.connection.onProgress(WorkDoneProgress.type, token, (value) => void this.progress.push(value));
      return null;
    });
    this.connection.onRequest('workspace/codeLens/refresh', () => {
      this.lensesRefreshed++;
      return null;
    });
    this.connection.onRequest('workspace/diagnostic/refresh', () => {
      this.diagnosticsRefreshed++;
      return null;
    });
    this.connection.onRequest('workspace/inlayHint/refresh', () => {
      this.refreshed++;
      return null;
    });
    this.connection.listen();
  }

  /** A client with what editors commonly take, but for what is told otherwise, working in these folders. */
  static async start(less: object = {}, folders: readonly string[] = []): Promise<Client> {
    const client = new Client();
    const capabilities = {
      textDocument: {
        definition: { linkSupport: true },
        documentSymbol: { hierarchicalDocumentSymbolSupport: true },
        hover: { contentFormat: ['markdown', 'plaintext'] },
        completion: { completionItem: { documentationFormat: ['markdown', 'plaintext'] } },
      },
      workspace: {
        configuration: true,
        didChangeConfiguration: { dynamicRegistration: true },
        didChangeWatchedFiles: { dynamicRegistration: true },
        inlayHint: { refreshSupport: true },
        codeLens: { refreshSupport: true },
        textDocumentContent: {},
      },
      ...less,
    };
    const { capabilities: offered } = await client.request<InitializeResult>('initialize', {
      processId: null,
      rootUri: null,
      workspaceFolders: folders.map((uri) => ({ uri, name: uri })),
      capabilities,
    });
    client.offered = offered;
    await client.connection.sendNotification('initialized', {});
    return client;
  }

  async stop(): Promise<void> {
    await this.connection.sendRequest('shutdown');
    this.connection.dispose();
  }

  async open(uri: string, text: string): Promise<void> {
    this.#versions.set(uri, 1);
    await this.connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri, languageId: 'gusset', version: 1, text },
    });
  }

  /** Replaces the whole text. */
  async change(uri: string, text: string): Promise<number> {
    const version = (this.#versions.get(uri) ?? 0) + 1;
    this.#versions.set(uri, version);
    await this.connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version },
      contentChanges: [{ text }],
    });
    return version;
  }

  /** Replaces the whole text several times in one breath, as when the server was busy; returns the last version. */
  changeAtOnce(uri: string, texts: readonly string[]): number {
    let version = this.#versions.get(uri) ?? 0;
    const frames = texts.map((text) => {
      const params = { textDocument: { uri, version: ++version }, contentChanges: [{ text }] };
      const body = JSON.stringify({ jsonrpc: '2.0', method: 'textDocument/didChange', params });
      return `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;
    });
    this.#versions.set(uri, version);
    this.#toServer.write(frames.join(''));
    return version;
  }

  /** The diagnostics of the newest text of a file, once they have come. */
  async diagnostics(uri: string, version = this.#versions.get(uri)): Promise<Diagnostic[]> {
    for (;;) {
      const last = this.published.findLast((p) => p.uri === uri && p.version === version);
      if (last) return last.diagnostics;
      await new Promise<void>((resolve) => this.#waiting.push(resolve));
    }
  }

  /** Tells of files changed, made or deleted on disk, as an editor does that watches them. */
  async changedOnDisk(...uris: readonly string[]): Promise<void> {
    const changes = uris.map((uri) => ({ uri, type: 2 }));
    await this.connection.sendNotification('workspace/didChangeWatchedFiles', { changes });
  }

  async close(uri: string): Promise<void> {
    await this.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  }

  request<R>(method: string, params: unknown): Promise<R> {
    return this.connection.sendRequest(method, params as object) as Promise<R>;
  }

  at<R>(method: string, uri: string, position: Position, more: object = {}): Promise<R> {
    return this.request<R>(method, { textDocument: { uri }, position, ...more });
  }

  hints(uri: string): Promise<InlayHint[]> {
    return this.request('textDocument/inlayHint', {
      textDocument: { uri },
      range: { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } },
    });
  }

  fixes(uri: string, position: Position): Promise<CodeAction[]> {
    return this.request('textDocument/codeAction', {
      textDocument: { uri },
      range: { start: position, end: position },
      context: { diagnostics: [] },
    });
  }
}

/** What a client offers that asks for what is found, instead of being sent it. */
export const pulling = {
  textDocument: { diagnostic: { markupMessageSupport: true } },
  workspace: { diagnostics: { refreshSupport: true }, textDocumentContent: {} },
};

/** A text with a cursor in it, written `<|>`. */
export function cursor(text: string): { text: string; position: Position } {
  const offset = text.indexOf('<|>');
  const plain = text.replace('<|>', '');
  return { text: plain, position: new Lines(plain).position(offset) };
}

/** A text with edits made. */
export function edited(text: string, edits: readonly TextEdit[]): string {
  const lines = new Lines(text);
  const sorted = [...edits].sort((a, b) => lines.offset(b.range.start) - lines.offset(a.range.start));
  return sorted.reduce(
    (t, e) => t.slice(0, lines.offset(e.range.start)) + e.newText + t.slice(lines.offset(e.range.end)),
    text,
  );
}
