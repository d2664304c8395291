// A long conversation between an editor and the server: typing, pasting, undoing, renaming, files changed on disk, opened and closed,
// and every feature asked for, now and then cancelled. What the server says is compared with what a new project says.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import fc from 'fast-check';
import { CancellationTokenSource, type Diagnostic, type TextEdit, type WorkspaceEdit } from 'vscode-languageserver';
import { Lines } from '../../language/grammar/syntax.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { canonicalUri, Project, readLibrary } from '../../language/project.ts';
import { readUsed } from '../../server/disk.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { refuseUse } from '../../server/reach.ts';
import type { Workspace } from '../../server/workspace.ts';
import { type Client, edited } from './client.ts';

/** The files that a conversation is about, as they stand at its beginning. */
export class Files {
  readonly names: readonly string[];
  readonly originals: ReadonlyMap<string, string>;
  constructor(folder: string, names: readonly string[]) {
    this.names = names;
    const text = (name: string) => readFileSync(new URL(`${folder}/${name}`, import.meta.url), 'utf8');
    this.originals = new Map(names.map((name) => [name, text(name)]));
  }
}

/** A machine, the stock it uses, and a file with a kind of its own. */
export const wholeMachine = new Files('../../examples', ['heron.gusset', 'workshop-stock.gusset', 'own-kind.gusset']);
/** The same of kinds of their own, so small that many thousand edits are answered in a minute. */
export const smallMachine = new Files('small', ['hall.gusset', 'stock.gusset', 'kinds.gusset']);

/** Requests about a place in a file; those without a place ignore it. */
const features = [
  ...['hover', 'completion', 'definition', 'references', 'documentHighlight', 'prepareRename'],
  ...['documentSymbol', 'foldingRange', 'documentLink', 'codeLens', 'inlayHint', 'codeAction', 'semanticTokens/full'],
  ...['formatting', 'rangeFormatting'],
] as const;

/** Pieces of text that people type, and that have given trouble. */
const typed = [
  ...[
    '}',
    '{',
    '\n',
    '\r',
    '\r\n',
    ' = ',
    ' = ?\n',
    '"',
    '// ',
    '(',
    '[',
    ',',
    ' .. 150 degC',
    'x',
    '°',
    '🛠',
    ' ',
    '\t',
  ],
  ...[
    'no sheet\n',
    'area = ?\n',
    'fan another {\n}\n',
    'ambient = 10 degC .. 40 degC\n',
    'require a < b\n',
    'shown mm*\n',
  ],
  ...['air = 10 degC .. 40 degC\n', 'no door\n', 'lamp spare {\n}\n', 'shared ', 'use "./stock.gusset"\n'],
  ...['use "./workshop-stock.gusset"\n', 'use "./own-kind.gusset"\n', 'kind k is component {\n  a: Length\n}\n', '{a}'],
];

const part = fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true });

/** What is done in a conversation, one thing after the other. */
export function stepsIn({ names }: Files) {
  const about = { file: fc.constantFrom(...names), at: part };
  return fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({ do: fc.constant('type' as const), ...about, text: fc.constantFrom(...typed) }),
    },
    {
      weight: 4,
      arbitrary: fc.record({ do: fc.constant('erase' as const), ...about, length: fc.integer({ min: 1, max: 60 }) }),
    },
    {
      weight: 4,
      arbitrary: fc.record({
        do: fc.constant('number' as const),
        ...about,
        text: fc.constantFrom('0', '3', '24', '1e5', '?', '2 .. 5'),
      }),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        do: fc.constant('paste' as const),
        ...about,
        from: fc.constantFrom(...names),
        part,
        lines: fc.integer({ min: 1, max: 15 }),
      }),
    },
    { weight: 4, arbitrary: fc.record({ do: fc.constant('undo' as const), ...about }) },
    {
      weight: 1,
      arbitrary: fc.record({
        do: fc.constant('rename' as const),
        ...about,
        text: fc.constantFrom('other', 'x2', 'bed'),
      }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('format' as const), ...about }) },
    {
      weight: 1,
      arbitrary: fc.record({
        do: fc.constant('disk' as const),
        ...about,
        text: fc.constantFrom('', 'part p is fan {\n}\n', 'original'),
      }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('close or open' as const), ...about }) },
    {
      weight: 8,
      arbitrary: fc.record({
        do: fc.constant('ask' as const),
        ...about,
        what: fc.constantFrom(...features),
        cancel: fc.boolean(),
      }),
    },
  );
}
type Step = ReturnType<typeof stepsIn> extends fc.Arbitrary<infer T> ? T : never;

/** What was done in all conversations so far, and the longest wait for an answer (ms). */
export const figures = {
  conversations: 0,
  edits: 0,
  requests: 0,
  cancelled: 0,
  comparisons: 0,
  slowest: 0,
  slowestWhat: '',
};

/** Answers that are no mistakes of the server: cancelled, overtaken by an edit, refused with a reason. */
const fairRefusals = new Set([-32800, -32801, -32803]);

const library = readLibrary(libraryFiles);

/** An editor with a folder of files in it, some of them open. */
export class Conversation {
  readonly #client: Client;
  readonly #folder = mkdtempSync(join(tmpdir(), 'gusset-talk-'));
  readonly #open = new Map<string, string[]>();
  readonly #pending: Promise<void>[] = [];
  readonly #errors: string[] = [];

  readonly #files: Files;

  private constructor(client: Client, files: Files) {
    this.#client = client;
    this.#files = files;
  }

  /** Opens the files in a client that is used for many conversations, each in a folder of its own. */
  static async start(client: Client, files: Files): Promise<Conversation> {
    const conversation = new Conversation(client, files);
    for (const [name, text] of files.originals) writeFileSync(join(conversation.#folder, name), text);
    for (const name of files.names) await conversation.#openFile(name);
    figures.conversations++;
    return conversation;
  }

  async end(): Promise<void> {
    for (const name of [...this.#open.keys()]) await this.#client.close(this.#uri(name));
    rmSync(this.#folder, { recursive: true });
  }

  #uri(name: string): string {
    return pathToFileURL(join(this.#folder, name)).href;
  }

  #text(name: string): string {
    return this.#open.get(name)?.at(-1) ?? '';
  }

  async #openFile(name: string): Promise<void> {
    const text = readFileSync(join(this.#folder, name), 'utf8');
    this.#open.set(name, [text]);
    await this.#client.open(this.#uri(name), text);
  }

  /** Sends a change as an editor does: what was replaced, and by what. */
  async #change(name: string, text: string): Promise<void> {
    const before = this.#text(name);
    if (before === text || !this.#open.has(name)) return;
    this.#open.get(name)?.push(text);
    figures.edits++;
    await this.#client.change(this.#uri(name), text);
  }

  async take(next: Step): Promise<void> {
    const { file, at } = next;
    if (!this.#open.has(file) && next.do !== 'disk' && next.do !== 'close or open') return;
    const text = this.#text(file);
    const offset = Math.floor(at * (text.length + 1));
    const put = (from: number, to: number, by: string) => this.#change(file, text.slice(0, from) + by + text.slice(to));
    switch (next.do) {
      case 'type':
        return put(offset, offset, next.text);
      case 'erase':
        return put(offset, offset + next.length, '');
      case 'number': {
        const numbers = [...text.matchAll(/\b\d+(\.\d+)?\b/g)];
        const found = numbers[Math.floor(at * numbers.length)];
        return found && put(found.index, found.index + found[0].length, next.text);
      }
      case 'paste': {
        const lines = (this.#files.originals.get(next.from) as string).split('\n');
        const first = Math.floor(next.part * lines.length);
        return put(offset, offset, `${lines.slice(first, first + next.lines).join('\n')}\n`);
      }
      case 'undo': {
        const history = this.#open.get(file) as string[];
        return history.length > 1 ? this.#change(file, history.at(-2) as string) : undefined;
      }
      case 'rename':
        return this.#rename(file, offset, next.text);
      case 'format':
        return this.#format(file);
      case 'disk': {
        writeFileSync(
          join(this.#folder, file),
          next.text === 'original' ? (this.#files.originals.get(file) as string) : next.text,
        );
        return this.#client.changedOnDisk(this.#uri(file));
      }
      case 'close or open': {
        if (!this.#open.delete(file)) return this.#openFile(file);
        return this.#client.close(this.#uri(file));
      }
      default:
        this.#ask(next.what, file, offset, next.cancel);
    }
  }

  /** Asks without waiting for the answer. */
  #ask(what: (typeof features)[number], name: string, offset: number, cancel: boolean): void {
    const position = new Lines(this.#text(name)).position(offset);
    const range = { start: position, end: { line: position.line + 20, character: 0 } };
    const source = new CancellationTokenSource();
    const params = {
      textDocument: { uri: this.#uri(name) },
      position,
      range,
      context: { includeDeclaration: true, diagnostics: [] },
      options: { tabSize: 2, insertSpaces: true },
    };
    this.#pending.push(this.#answered(`textDocument/${what}`, params, source).then(() => {}));
    if (cancel) {
      figures.cancelled++;
      source.cancel();
    }
  }

  async #answered<R>(method: string, params: object, source = new CancellationTokenSource()): Promise<R | undefined> {
    const start = performance.now();
    figures.requests++;
    try {
      return await this.#client.connection.sendRequest<R>(method, params, source.token);
    } catch (error) {
      const { code, message } = error as { code?: number; message: string };
      if (!fairRefusals.has(code ?? 0)) this.#errors.push(`${method}: ${message}`);
      return undefined;
    } finally {
      const took = performance.now() - start;
      if (took > figures.slowest) Object.assign(figures, { slowest: took, slowestWhat: method });
    }
  }

  async #rename(name: string, offset: number, newName: string): Promise<void> {
    const position = new Lines(this.#text(name)).position(offset);
    const params = { textDocument: { uri: this.#uri(name) }, position, newName };
    const edit = await this.#answered<WorkspaceEdit>('textDocument/rename', params);
    for (const [uri, edits] of Object.entries(edit?.changes ?? {})) {
      const changed = this.#files.names.find((each) => canonicalUri(this.#uri(each)) === canonicalUri(uri));
      if (changed && this.#open.has(changed)) await this.#change(changed, edited(this.#text(changed), edits));
    }
  }

  async #format(name: string): Promise<void> {
    const before = this.#text(name);
    const params = { textDocument: { uri: this.#uri(name) }, options: { tabSize: 2, insertSpaces: true } };
    const edits = await this.#answered<TextEdit[]>('textDocument/formatting', params);
    // Positions count a carriage return that stands alone as the end of a line.
    const after = edited(before.replace(/\r(?!\n)/g, '\n'), edits ?? []);
    const said = (text: string) => text.replace(/\s+/g, '');
    if (said(before) !== said(after)) this.#errors.push(`formatting lost or added something in ${name}`);
    if (edits && edits.length > 0) await this.#change(name, after);
  }

  /** Waits for all answers. Returns what was wrong since the last time: errors, and files whose diagnostics are not those of a new project. */
  async wrong(): Promise<string[]> {
    await Promise.all(this.#pending.splice(0));
    const found = this.#errors.splice(0);
    const texts = new Map([...this.#open.keys()].map((name) => [canonicalUri(this.#uri(name)), this.#text(name)]));
    const read = (uri: string) => texts.get(uri) ?? readUsed(uri);
    const fresh = new Project(library, { read, refuses: (uri, from) => refuseUse(uri, from, []) });
    for (const [uri, text] of texts) fresh.update(uri, text);
    for (const name of this.#open.keys()) {
      const uri = this.#uri(name);
      const file = fresh.file(canonicalUri(uri));
      for (const _ of file ? fresh.searchDeeper(file) : []);
      const expected = file ? plain(diagnostics(file, { project: fresh } as Workspace)) : [];
      // What follows from a change of another file comes a moment after what the file's own text says.
      let said = '';
      for (let tries = 0; tries < 200 && said !== expected; tries++) {
        await this.#client.request('textDocument/foldingRange', { textDocument: { uri } });
        said = plain(this.#client.published.findLast((each) => each.uri === uri)?.diagnostics ?? []);
        if (said !== expected) await new Promise((resolve) => setTimeout(resolve, 10));
      }
      figures.comparisons++;
      if (said !== expected) found.push(`${name}: said ${said}\nand a new project says ${expected}`);
      if (said.includes('not_checked')) found.push(`${name} could not be checked: ${said}`);
    }
    this.#client.published.splice(0, Math.max(0, this.#client.published.length - 50));
    return found;
  }
}

/** Diagnostics as text, without where related places are: their URIs are spelt as the client does. */
function plain(list: readonly Diagnostic[]): string {
  return JSON.stringify(list.map(({ range, code, severity, message }) => [range, code, severity, message]));
}
