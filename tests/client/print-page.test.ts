import { beforeEach, expect, test, vi } from 'vitest';
import { printPage } from '../../client/print-page.ts';

/** As much of the editor as printing speaks to, and what it was told. */
const editor = vi.hoisted(() => ({
  env: { remoteName: undefined as string | undefined, uiKind: 1, openExternal: async (_: string) => true },
  written: new Map<string, string>(),
  asked: [] as string[],
  answer: undefined as string | undefined,
}));

vi.mock('vscode', () => ({
  env: editor.env,
  ProgressLocation: { Window: 10 },
  UIKind: { Desktop: 1, Web: 2 },
  Uri: { joinPath: (folder: string, name: string) => `${folder}/${name}` },
  window: {
    setStatusBarMessage: () => undefined,
    showInformationMessage: async (message: string) => {
      editor.asked.push(message);
      return editor.answer;
    },
    withProgress: (_: unknown, work: () => unknown) => work(),
  },
  workspace: {
    fs: {
      createDirectory: async () => undefined,
      writeFile: async (file: string, bytes: Uint8Array) =>
        void editor.written.set(file, new TextDecoder().decode(bytes)),
    },
  },
}));

const opened: string[] = [];
let saved = 0;
const print = (page: string | undefined = '<p>0.1 Ω</p>') =>
  printPage(
    '/kept' as never,
    async () => (page ? { name: 'Heron', page } : undefined),
    async () => {
      saved += 1;
    },
  );

beforeEach(() => {
  editor.written.clear();
  editor.asked.length = 0;
  opened.length = 0;
  saved = 0;
  editor.answer = undefined;
  Object.assign(editor.env, {
    remoteName: undefined,
    uiKind: 1,
    openExternal: async (file: string) => opened.push(file) > 0,
  });
});

test('writes the page and opens it where the editor and its files are on one computer', async () => {
  await print();
  expect([...editor.written]).toEqual([['/kept/Heron.html', '<p>0.1 Ω</p>']]);
  expect([opened, editor.asked]).toEqual([['/kept/Heron.html'], []]);
});

test.each([
  ['the files are on another computer', { remoteName: 'far' }],
  ['the editor runs in a browser', { uiKind: 2 }],
])('where %s nothing is written or opened, and it says so', async (_, where) => {
  Object.assign(editor.env, where);
  await print();
  expect([editor.written.size, opened, saved]).toEqual([0, [], 0]);
  expect(editor.asked).toEqual([expect.stringContaining('Save it as a page')]);
});

test('where none opens, or none can be written, saving is offered, and done where that is taken', async () => {
  editor.answer = 'Save as a Page';
  editor.env.openExternal = async () => false;
  await print();
  expect([editor.asked.length, saved]).toEqual([1, 1]);
  editor.env.openExternal = async () => {
    throw new Error('no browser');
  };
  await print();
  expect([editor.asked.length, saved]).toEqual([2, 2]);
});

test('where there is no sheet, nothing is opened or said', async () => {
  await print('');
  expect([editor.written.size, opened, editor.asked]).toEqual([0, [], []]);
});
