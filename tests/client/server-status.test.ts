import { beforeEach, describe, expect, test, vi } from 'vitest';
import { type BaseLanguageClient, State } from 'vscode-languageclient';
import { ServerStatus } from '../../client/server-status.ts';

/** As much of the editor as the status speaks to, and what it was told. */
const editor = vi.hoisted(() => {
  const listeners = { open: [] as ((document: unknown) => void)[], close: [] as ((document: unknown) => void)[] };
  const marks = new Map<string, { message: string; severity: number }[]>();
  const item: Record<string, unknown> = { dispose: () => {} };
  const listen = (list: ((document: unknown) => void)[]) => (listener: (document: unknown) => void) => {
    list.push(listener);
    return { dispose: () => list.splice(list.indexOf(listener), 1) };
  };
  return { listeners, marks, item, documents: [] as { uri: string; languageId: string }[], listen };
});

vi.mock('vscode', () => ({
  Diagnostic: class {
    readonly message: string;
    readonly severity: number;
    constructor(_: unknown, message: string, severity: number) {
      this.message = message;
      this.severity = severity;
    }
  },
  DiagnosticSeverity: { Warning: 1 },
  Disposable: { from: (...all: { dispose(): void }[]) => ({ dispose: () => all.forEach((each) => each.dispose()) }) },
  LanguageStatusSeverity: { Information: 0, Error: 2 },
  Range: class {},
  languages: {
    createDiagnosticCollection: () => ({
      set: (uri: string, list: never) => editor.marks.set(uri, list),
      delete: (uri: string) => editor.marks.delete(uri),
      clear: () => editor.marks.clear(),
      dispose: () => editor.marks.clear(),
    }),
    createLanguageStatusItem: () => editor.item,
    match: (_: unknown, { languageId }: { languageId: string }) => (languageId === 'gusset' ? 10 : 0),
  },
  workspace: {
    onDidOpenTextDocument: editor.listen(editor.listeners.open),
    onDidCloseTextDocument: editor.listen(editor.listeners.close),
    get textDocuments() {
      return editor.documents;
    },
  },
}));
vi.mock('vscode-languageclient', () => ({ State: { Stopped: 1, Running: 2, Starting: 3, StartFailed: 4 } }));

/** A client whose server comes and goes as it is told. */
function client() {
  const listeners: ((change: { newState: State }) => void)[] = [];
  const onDidChangeState = (listener: (typeof listeners)[number]) => {
    listeners.push(listener);
    return { dispose: () => listeners.splice(listeners.indexOf(listener), 1) };
  };
  return {
    followed: { onDidChangeState } as unknown as BaseLanguageClient,
    becomes: (newState: State) => {
      for (const listener of listeners) listener({ newState });
    },
    listeners,
  };
}

const file = (name: string, languageId = 'gusset') => ({ uri: `file:///${name}`, languageId });
const opens = (document: ReturnType<typeof file>) => {
  for (const listener of editor.listeners.open) listener(document);
};
const marked = () => [...editor.marks.keys()];

describe('the status of the language server', () => {
  let status: ServerStatus;
  beforeEach(() => {
    editor.documents = [file('a.gusset'), file('b.md', 'markdown')];
    status = new ServerStatus([], 'restart');
    return () => status.dispose();
  });

  test('is shown beside the language, with the command that starts it again', () => {
    expect(editor.item).toMatchObject({ name: 'Gusset', command: { command: 'restart' } });
    const { followed, becomes } = client();
    status.follow(followed);
    expect(editor.item).toMatchObject({ busy: true, text: 'Gusset', severity: 0 });
    becomes(State.Running);
    expect(editor.item).toMatchObject({ busy: false, text: 'Gusset', detail: 'checks while you type', severity: 0 });
    expect(marked()).toEqual([]);
  });

  test.each([
    ['has stopped', State.Stopped],
    ['did not start', State.StartFailed],
  ])('where it %s, every open file says that nothing is checked', (_, state) => {
    const { followed, becomes } = client();
    status.follow(followed);
    becomes(state);
    expect(editor.item).toMatchObject({
      busy: false,
      text: 'Gusset has stopped',
      detail: 'nothing is checked',
      severity: 2,
    });
    expect(marked()).toEqual(['file:///a.gusset']);
    expect(editor.marks.get('file:///a.gusset')).toMatchObject([
      { severity: 1, message: expect.stringContaining('Nothing here is checked until it runs again') },
    ]);
  });

  test('a file that is opened then says so too, one that is closed no longer', () => {
    const { followed, becomes } = client();
    status.follow(followed);
    becomes(State.Running);
    opens(file('c.gusset'));
    expect(marked()).toEqual([]);
    becomes(State.Stopped);
    opens(file('c.gusset'));
    opens(file('d.md', 'markdown'));
    expect(marked()).toEqual(['file:///a.gusset', 'file:///c.gusset']);
    for (const listener of editor.listeners.close) listener(file('a.gusset'));
    expect(marked()).toEqual(['file:///c.gusset']);
  });

  test('all of that is taken back once it runs again, and the one before is followed no longer', () => {
    const [before, after] = [client(), client()];
    status.follow(before.followed);
    before.becomes(State.Stopped);
    status.follow(after.followed);
    expect(editor.item).toMatchObject({ busy: true, text: 'Gusset' });
    expect(marked()).toEqual([]);
    after.becomes(State.Running);
    before.becomes(State.Stopped);
    expect(editor.item.text).toBe('Gusset');
    expect(before.listeners).toEqual([]);
  });

  test('ends with the extension', () => {
    const { followed, becomes, listeners } = client();
    status.follow(followed);
    becomes(State.Stopped);
    status.dispose();
    expect(marked()).toEqual([]);
    expect([listeners, editor.listeners.open, editor.listeners.close]).toEqual([[], [], []]);
  });
});
