// The server as it runs in a browser: bundled for one, started where there is nothing of Node's, and talked to as a worker is.
import { join } from 'node:path';
import vm from 'node:vm';
import { build } from 'esbuild';
import { beforeAll, expect, test } from 'vitest';
import type { Diagnostic, Hover, PublishDiagnosticsParams } from 'vscode-languageserver';
import type { SheetAnswer } from '../../server/features/sheet.ts';

const root = join(import.meta.dirname, '../..');

interface Message {
  id?: number;
  method?: string;
  params?: { uri: string };
  result?: unknown;
  error?: { message: string };
}

/** What a browser's worker has. */
const ofBrowsers = {
  ...{ TextEncoder, TextDecoder, URL, crypto, atob, btoa, performance, console },
  ...{ setTimeout, clearTimeout, setInterval, clearInterval, queueMicrotask, AbortController },
};

/** A worker, and an editor that it talks to, whose files lie nowhere on a disk. */
class Worker {
  readonly files: Record<string, string> = {};
  /** What the server asked to read, in that order. */
  readonly read: string[] = [];
  readonly #self: { onmessage?: (event: { data: Message }) => void; self?: object };
  readonly #waiting = new Map<number, (message: Message) => void>();
  readonly published: PublishDiagnosticsParams[] = [];
  #last = 0;

  constructor(code: string) {
    const self: object = {
      ...ofBrowsers,
      postMessage: (message: Message) => setTimeout(() => this.#take(message)),
      // Messages come to `onmessage`; what is listened for besides is errors.
      addEventListener: () => {},
    };
    this.#self = self;
    vm.runInContext(code, vm.createContext(Object.assign(self, { self })));
  }

  #send(message: object): void {
    this.#self.onmessage?.({ data: structuredClone({ jsonrpc: '2.0', ...message }) as Message });
  }

  #take({ id, method, params, ...rest }: Message): void {
    if (method === 'textDocument/publishDiagnostics')
      this.published.push(params as unknown as PublishDiagnosticsParams);
    if (id === undefined) return;
    if (method === undefined) this.#waiting.get(id)?.(rest);
    // As an editor answers whose files come over a network.
    else setTimeout(() => this.#send({ id, result: this.#answer(method, params?.uri ?? '') }), 30);
  }

  #answer(method: string, uri: string): unknown {
    if (method === 'gusset/readFile') {
      this.read.push(uri);
      return { text: this.files[uri] ?? null };
    }
    if (method !== 'gusset/listFolder') return null;
    const below = Object.keys(this.files).filter((file) => file.startsWith(uri));
    return { names: [...new Set(below.map((file) => file.slice(uri.length).replace(/\/.*/, '/')))] };
  }

  async ask<T>(method: string, params: object): Promise<T> {
    const id = ++this.#last;
    const { result, error } = await new Promise<Message>((resolve) => {
      this.#waiting.set(id, resolve);
      this.#send({ id, method, params });
    });
    if (error) throw new Error(error.message);
    return result as T;
  }

  tell(method: string, params: object): void {
    this.#send({ method, params });
  }

  /** What is told of a file, once something is of which this is true. */
  async told(uri: string, is: (codes: readonly Diagnostic['code'][]) => boolean): Promise<Diagnostic[]> {
    const last = () => this.published.findLast((each) => each.uri === uri)?.diagnostics;
    const isSo = () => {
      const told = last();
      return told !== undefined && is(told.map(({ code }) => code));
    };
    await expect.poll(isSo, { timeout: 20_000, interval: 20 }).toBe(true);
    return last() ?? [];
  }
}

const folder = 'vscode-vfs://some/place';
const at = (name: string) => `${folder}/${name}`;
const stock = `/// A shelf.
kind shelf {
  toplevel
  /// What lies on it.
  load: Mass
  /// What it bears.
  limit: Mass
  report "Loads", load
}
/// A shelf bears what lies on it.
rule shelf_overloaded on shelf {
  holds load <= limit
  warning "{load} lies on {name}, which bears {limit}"
  source defined "load and limit"
  at load
}
`;
const left = 'use "./deeper/stock.gusset"\nshelf Oak {\n  load = 7 kg\n  limit = 5 kg\n}\n';

let code: string;
beforeAll(async () => {
  const entryPoints = [join(root, 'server/worker.ts')];
  const options = { bundle: true, write: false, platform: 'browser', format: 'iife', target: 'es2022' } as const;
  code = (await build({ entryPoints, ...options })).outputFiles[0]?.text ?? '';
}, 60_000);

async function started(files: Record<string, string>, readsFiles = true): Promise<Worker> {
  const worker = new Worker(code);
  Object.assign(worker.files, files);
  await worker.ask('initialize', {
    processId: null,
    rootUri: null,
    workspaceFolders: [{ uri: folder, name: 'place' }],
    capabilities: { textDocument: { hover: { contentFormat: ['markdown'] } }, workspace: { textDocumentContent: {} } },
    initializationOptions: { readsFiles },
  });
  worker.tell('initialized', {});
  return worker;
}

const open = (worker: Worker, name: string, text: string) =>
  worker.tell('textDocument/didOpen', { textDocument: { uri: at(name), languageId: 'gusset', version: 1, text } });

test('what is found, hovers, the sheet, the library and a used file, without a disk', async () => {
  const worker = await started({ [at('deeper/stock.gusset')]: stock });
  open(worker, 'left.gusset', left);
  const [finding] = await worker.told(at('left.gusset'), (codes) => codes.includes('shelf_overloaded'));
  expect(finding?.message).toContain('7 kg lies on Oak, which bears 5 kg');
  // Nothing was said of a file that was still on its way.
  const codes = worker.published.flatMap(({ diagnostics }) => diagnostics.map((each) => each.code));
  expect(codes.filter((each) => each !== 'shelf_overloaded')).toEqual([]);
  const textDocument = { uri: at('left.gusset') };
  const hover = await worker.ask<Hover>('textDocument/hover', { textDocument, position: { line: 2, character: 3 } });
  expect(JSON.stringify(hover.contents)).toContain('What lies on it.');
  const sheet = await worker.ask<SheetAnswer>('gusset/sheet', { uri: at('left.gusset'), page: true });
  expect(sheet.page).toMatch(/sha256-[\w+/]{43}=/);
  const library = await worker.ask<{ text: string }>('workspace/textDocumentContent', {
    uri: 'gusset-library:/basics/units.gusset',
  });
  expect(library.text).toContain('unit ');
});

test('a used file that is changed, taken away or brought counts at once', async () => {
  const worker = await started({});
  const changed = () =>
    worker.tell('workspace/didChangeWatchedFiles', { changes: [{ uri: at('deeper/stock.gusset'), type: 2 }] });
  open(worker, 'left.gusset', left);
  await worker.told(at('left.gusset'), (codes) => codes.includes('missing_file'));
  worker.files[at('deeper/stock.gusset')] = stock;
  changed();
  await worker.told(at('left.gusset'), (codes) => codes.join() === 'shelf_overloaded');
  worker.files[at('deeper/stock.gusset')] = stock.replace('holds load <= limit', 'holds load <= 2 * limit');
  changed();
  await worker.told(at('left.gusset'), (codes) => codes.length === 0);
  delete worker.files[at('deeper/stock.gusset')];
  changed();
  await worker.told(at('left.gusset'), (codes) => codes.includes('missing_file'));
});

test('files that nobody has open are checked, and a rename reaches them', async () => {
  const worker = await started({ [at('deeper/stock.gusset')]: stock, [at('left.gusset')]: left });
  await worker.told(at('left.gusset'), (codes) => codes.join() === 'shelf_overloaded');
  open(worker, 'deeper/stock.gusset', stock);
  const edit = await worker.ask<{ changes: Record<string, unknown[]> }>('textDocument/rename', {
    textDocument: { uri: at('deeper/stock.gusset') },
    position: { line: 4, character: 3 },
    newName: 'burden',
  });
  expect(Object.keys(edit.changes).sort()).toEqual([at('deeper/stock.gusset'), at('left.gusset')]);
});

test('nothing outside of the folders that are worked in is asked for, and nothing of a client that reads no files', async () => {
  const worker = await started({ 'vscode-vfs://some/other.gusset': stock });
  open(worker, 'left.gusset', 'use "../other.gusset"\n');
  const [told] = await worker.told(at('left.gusset'), (codes) => codes.length === 1);
  expect(told?.message).toContain('it lies outside of the folders that are worked in');
  const silent = await started({ [at('deeper/stock.gusset')]: stock }, false);
  open(silent, 'left.gusset', left);
  await silent.told(at('left.gusset'), (codes) => codes.includes('missing_file'));
  expect([worker.read.filter((uri) => uri.includes('other')), silent.read]).toEqual([[], []]);
});
