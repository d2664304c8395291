// Texts that nobody can change, opened as documents.
import { type Disposable, EventEmitter, Uri, workspace } from 'vscode';

/** Documents of a scheme of their own, by their paths. */
export class ReadOnlyDocuments implements Disposable {
  readonly #scheme: string;
  readonly #texts = new Map<string, string>();
  readonly #changed = new EventEmitter<Uri>();
  readonly #provider: Disposable;

  constructor(scheme: string) {
    this.#scheme = scheme;
    this.#provider = workspace.registerTextDocumentContentProvider(scheme, {
      onDidChange: this.#changed.event,
      provideTextDocumentContent: ({ path }) => this.#texts.get(path) ?? '',
    });
  }

  dispose(): void {
    this.#provider.dispose();
    this.#changed.dispose();
  }

  /** The document at a path, with this text from now on. */
  with(path: string, text: string): Uri {
    const uri = Uri.from({ scheme: this.#scheme, path });
    this.#texts.set(uri.path, text);
    this.#changed.fire(uri);
    return uri;
  }
}
