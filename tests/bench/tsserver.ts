import { type ChildProcess, spawn } from 'node:child_process';
import { type Answered, type Edit, type Editor, type Position, peakMemory, stopped, within } from './editor.ts';
import { frameReader } from './frames.ts';

interface Message {
  type: 'response' | 'event';
  event?: string;
  request_seq?: number;
  success?: boolean;
  message?: string;
  body?: { request_seq?: number; file?: string; diagnostics?: unknown[] } & Record<string, unknown>;
}

/** A client of TypeScript's own server, which speaks a protocol of its own. */
export class TypeScriptEditor implements Editor {
  readonly #program: string;
  #process: ChildProcess | undefined;
  #seq = 0;
  readonly #requests = new Map<number, { resolve(body: Message['body']): void; reject(error: Error): void }>();
  #waiting: { seq: number; resolve(): void }[] = [];
  #sawDiagnostics = false;
  readonly #problems = new Map<string, number>();

  constructor(program: string) {
    this.#program = program;
  }

  async start(folder: string): Promise<void> {
    const args = [this.#program, '--disableAutomaticTypingAcquisition'];
    const child = spawn('node', args, { cwd: folder, stdio: ['pipe', 'pipe', 'ignore'] });
    this.#process = child;
    child.stdout.on(
      'data',
      frameReader((text) => this.#receive(JSON.parse(text))),
    );
    await this.#request('configure', { preferences: { disableSuggestions: true } });
  }

  open(path: string, text: string): Promise<number> {
    const begin = performance.now();
    this.#send('open', { file: path, fileContent: text, scriptKindName: 'TS' });
    return this.#diagnostics(path).then(() => performance.now() - begin);
  }

  async edit(path: string, { at, length, text }: Edit): Promise<Answered> {
    const begin = performance.now();
    const line = at.line + 1;
    const offset = at.column + 1;
    this.#send('change', { file: path, line, offset, endLine: line, endOffset: offset + length, insertString: text });
    await this.#diagnostics(path);
    return { diagnostics: performance.now() - begin, values: undefined };
  }

  async complete(path: string, at: Position): Promise<{ ms: number; items: number }> {
    const begin = performance.now();
    const body = await this.#request('completionInfo', { file: path, line: at.line + 1, offset: at.column + 1 });
    return { ms: performance.now() - begin, items: (body?.entries as unknown[] | undefined)?.length ?? 0 };
  }

  problems(path: string): number {
    return this.#problems.get(path) ?? 0;
  }

  memory(): number {
    return this.#process ? peakMemory(this.#process) : 0;
  }

  async stop(): Promise<void> {
    if (this.#process) await stopped(this.#process);
  }

  /** Asks for a file's errors; a later request takes the place of one that is still being worked on, and answers it too. */
  #diagnostics(file: string): Promise<void> {
    const seq = this.#send('geterr', { files: [file], delay: 0 });
    const done = new Promise<void>((resolve) => this.#waiting.push({ seq, resolve }));
    return within(120, `errors of ${file}`, done);
  }

  #receive(message: Message): void {
    if (message.type === 'response') {
      const request = this.#requests.get(message.request_seq ?? 0);
      this.#requests.delete(message.request_seq ?? 0);
      if (message.success === false) request?.reject(new Error(message.message));
      else request?.resolve(message.body);
    } else if (message.event === 'semanticDiag') {
      this.#sawDiagnostics = true;
      this.#problems.set(message.body?.file ?? '', message.body?.diagnostics?.length ?? 0);
    } else if (message.event === 'requestCompleted') this.#completed(message.body?.request_seq ?? 0);
  }

  #completed(seq: number): void {
    if (!this.#sawDiagnostics) return;
    this.#sawDiagnostics = false;
    const ready = this.#waiting.filter((waiting) => waiting.seq <= seq);
    this.#waiting = this.#waiting.filter((waiting) => waiting.seq > seq);
    for (const waiting of ready) waiting.resolve();
  }

  #request(command: string, args: unknown): Promise<Message['body']> {
    const seq = this.#send(command, args);
    const answer = new Promise<Message['body']>((resolve, reject) => this.#requests.set(seq, { resolve, reject }));
    return within(120, command, answer);
  }

  #send(command: string, args: unknown): number {
    const seq = ++this.#seq;
    this.#process?.stdin?.write(`${JSON.stringify({ seq, type: 'request', command, arguments: args })}\n`);
    return seq;
  }
}
