// What a client is told of each file: sent to it as soon as it is known, or kept until it asks. Never both.
import {
  type CancellationToken,
  type Connection,
  type Diagnostic,
  DiagnosticRefreshRequest,
  type DocumentDiagnosticReport,
  type PreviousResultId,
  type PublishDiagnosticsParams,
  type WorkspaceDiagnosticReport,
} from 'vscode-languageserver';
import { canonicalUri } from '../language/project.ts';

/** A client that asks is told that there is something new when so long nothing was added to it (ms). */
const refreshAfter = 100;

interface Kept {
  /** As the client spells it. */
  readonly uri: string;
  readonly version: number | null;
  readonly items: Diagnostic[];
  /** It stays the same while what is told does. */
  readonly resultId: string;
}

export class Told {
  readonly #connection: Pick<Connection, 'sendDiagnostics' | 'sendRequest'>;
  readonly #kept = new Map<string, Kept>();
  /** What was handed out of files that are asked about by themselves. */
  readonly #handedOut = new Map<string, string>();
  readonly #waiting = new Set<() => void>();
  #results = 0;
  #refresh: ReturnType<typeof setTimeout> | undefined;
  /** Does the client ask, instead of being sent what is found? */
  isAsked = false;

  constructor(connection: Pick<Connection, 'sendDiagnostics' | 'sendRequest'>) {
    this.#connection = connection;
  }

  /** Tells what there is to say of a file. A client that has hung up is told no more. */
  tell(told: PublishDiagnosticsParams): void {
    if (this.isAsked) this.#keep(told);
    else this.#connection.sendDiagnostics(told).catch(() => {});
  }

  /** A file was closed: whoever asks about it by itself does so no more, and what is said of it now is another's. */
  closed(uri: string): void {
    const key = canonicalUri(uri);
    this.#handedOut.delete(key);
    if (this.isAsked) this.#kept.delete(key);
    else this.tell({ uri, diagnostics: [] });
  }

  /** The answer to a client that asks about a file, of what was told of it last. */
  ofFile(uri: string, previous: string | undefined): DocumentDiagnosticReport {
    const kept = this.#kept.get(canonicalUri(uri));
    if (!kept) return { kind: 'full', items: [] };
    const { resultId, items } = kept;
    this.#handedOut.set(canonicalUri(uri), resultId);
    return previous === resultId ? { kind: 'unchanged', resultId } : { kind: 'full', resultId, items };
  }

  /**
   * The answer to a client that asks about all files: of those that are not asked about by themselves what is new since it last asked.
   * Where nothing is, it is answered once something is, or when it asks no more.
   */
  async ofAll(previous: readonly PreviousResultId[], cancel: CancellationToken): Promise<WorkspaceDiagnosticReport> {
    const known = new Map(previous.map(({ uri, value }) => [canonicalUri(uri), value]));
    for (;;) {
      const items = [...this.#kept]
        .filter(([key, { resultId }]) => !this.#handedOut.has(key) && known.get(key) !== resultId)
        .map(([, kept]) => ({ kind: 'full' as const, ...kept }));
      if (items.length > 0 || cancel.isCancellationRequested) return { items };
      await new Promise<void>((resolve) => {
        this.#waiting.add(resolve);
        cancel.onCancellationRequested(() => resolve());
      });
    }
  }

  #keep({ uri, version, diagnostics }: PublishDiagnosticsParams): void {
    const key = canonicalUri(uri);
    const before = this.#kept.get(key);
    const isSame = before !== undefined && JSON.stringify(before.items) === JSON.stringify(diagnostics);
    // Nothing is to be said of a file of which nothing was.
    if (!before && diagnostics.length === 0 && version === undefined) return;
    const resultId = isSame ? before.resultId : String(++this.#results);
    this.#kept.set(key, { uri, version: version ?? null, items: diagnostics, resultId });
    if (isSame) return;
    for (const wake of this.#waiting) wake();
    this.#waiting.clear();
    clearTimeout(this.#refresh);
    this.#refresh = setTimeout(() => this.#tellOfNew(), refreshAfter);
  }

  /** A client that has asked meanwhile needs not be told. */
  #tellOfNew(): void {
    const isNew = [...this.#handedOut].some(([key, resultId]) => this.#kept.get(key)?.resultId !== resultId);
    if (isNew) this.#connection.sendRequest(DiagnosticRefreshRequest.type).catch(() => {});
  }
}
