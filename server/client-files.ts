// Files that only the client can read, as those of a workspace that lies on no disk of this machine: asked for when they are first
// needed, and kept until they change. Until one has come it counts as not there, and nothing is told of what would read it.
import type { Refusal } from '../language/project.ts';

/** What is asked of a client: a text, or the names in a folder, folders with a slash at their end; null for what is not there. */
export interface Asks {
  text(uri: string): Promise<string | null>;
  names(folder: string): Promise<readonly string[] | null>;
}

/** No longer text is taken (UTF-16 code units), as of files of a disk. */
const longest = 32 * 2 ** 20;

export class ClientFiles {
  readonly #asks: Asks;
  readonly #texts = new Map<string, string | Refusal | undefined>();
  readonly #names = new Map<string, readonly string[]>();
  /** What is asked for at the moment, by its URI. */
  readonly #asked = new Map<string, Promise<void>>();
  /** Told once a text has come, or the names in a folder. */
  onText: (uri: string) => void = () => {};
  onNames: () => void = () => {};

  constructor(asks: Asks) {
    this.#asks = asks;
  }

  /** The text of a file as it has come; undefined where there is none, or it is still asked for. */
  text(uri: string): string | Refusal | undefined {
    if (!this.#texts.has(uri)) this.#ask(uri, async () => this.#take(uri, await this.#asks.text(uri)));
    return this.#texts.get(uri);
  }

  /** The names in a folder as they have come; none where they are still asked for. */
  names(folder: string): readonly string[] {
    if (!this.#names.has(folder))
      this.#ask(folder, async () => {
        this.#names.set(folder, (await this.#asks.names(folder)) ?? []);
        this.onNames();
      });
    return this.#names.get(folder) ?? [];
  }

  /** A file was changed, made or deleted: what was known of it, and of the folder that it lies in, counts no more. */
  changed(uri: string): void {
    this.#texts.delete(uri);
    this.#names.delete(uri.slice(0, uri.lastIndexOf('/') + 1));
  }

  /** Kept once all that is asked for has come; undefined where nothing is. */
  get coming(): Promise<unknown> | undefined {
    return this.#asked.size > 0 ? Promise.all(this.#asked.values()) : undefined;
  }

  #take(uri: string, text: string | null): void {
    const taken = text !== null && text.length > longest ? { refused: 'it is larger than 32 MB' } : (text ?? undefined);
    this.#texts.set(uri, taken);
    // One that is not there reads as before.
    if (taken !== undefined) this.onText(uri);
  }

  #ask(uri: string, take: () => Promise<void>): void {
    if (this.#asked.has(uri)) return;
    const asked = take()
      .catch(() => {
        // A client that cannot answer has no such file.
        if (uri.endsWith('/')) this.#names.set(uri, []);
        else this.#texts.set(uri, undefined);
      })
      .finally(() => this.#asked.delete(uri));
    this.#asked.set(uri, asked);
  }
}
