// What spans the files of the client's folders: names looked for in all of them, and files renamed or moved.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary } from '../../language/project.ts';
import { renameFiles } from '../../server/features/rename-files.ts';
import { workspaceSymbols } from '../../server/features/symbols.ts';
import { Workspace } from '../../server/workspace.ts';
import { ownKind } from '../own-kind.ts';
import { bench } from '../support.ts';
import { Client, edited } from './client.ts';

const folder = 'file:///shop/';

/** A client's folder with these files in it, none of them open. */
function workspaceOf(files: Record<string, string>): Workspace {
  const uris = Object.keys(files);
  const list = (at: string) => {
    const below = uris.flatMap((name) => ((folder + name).startsWith(at) ? [(folder + name).slice(at.length)] : []));
    return [...new Set(below.map((path) => path.replace(/\/.*/, '/')))];
  };
  const workspace = new Workspace((uri) => files[decodeURIComponent(uri.slice(folder.length))], libraryFiles, list);
  workspace.folders = [folder];
  return workspace;
}

/** The files after renames, as they then lie in the folder. */
function renamed(files: Record<string, string>, ...renames: (readonly [string, string])[]): Record<string, string> {
  const changes =
    renameFiles(
      renames.map(([from, to]) => ({ oldUri: folder + from, newUri: folder + to })),
      workspaceOf(files),
    ).changes ?? {};
  const moved = (name: string) => {
    const [from, to] = renames.find(([from]) => name === from || name.startsWith(`${from}/`)) ?? ['', ''];
    return to + name.slice(from.length);
  };
  return Object.fromEntries(
    Object.entries(files).map(([name, text]) => [moved(name), edited(text, changes[encodeURI(folder + name)] ?? [])]),
  );
}

/** Mistakes in any file of a folder. */
function mistakes(files: Record<string, string>): string[] {
  const project = new Project(readLibrary(libraryFiles), {
    read: (uri) => files[decodeURIComponent(uri.slice(folder.length))],
  });
  return Object.keys(files).flatMap((name) => {
    const file = project.file(encodeURI(folder + name));
    return file ? project.mistakes(file).map(({ message }) => `${name}: ${message}`) : [`no ${name}`];
  });
}

test('names are found in files that nobody has opened, the nearest first, with what holds them', () => {
  const workspace = workspaceOf({ 'a.gusset': bench, 'deep/own.gusset': ownKind });
  const found = (query: string) =>
    workspaceSymbols(query, workspace).flatMap(({ name, containerName, location }) =>
      location.uri.startsWith(folder) ? [[containerName, name].filter(Boolean).join('.')] : [],
    );
  expect(found('bench')).toEqual(['Bench']);
  expect(found('DRUM')).toEqual(['drum', 'drum_sizes', 'drum_wide', 'small_drum']);
  expect(found('rllr')).toEqual(['First.roller', 'Second.roller']);
  expect(found('nothing_like_it')).toEqual([]);
  expect(found('').length).toBeGreaterThan(15);
});

test('a name leads to where it stands now', () => {
  const workspace = workspaceOf({ 'a.gusset': bench });
  workspace.open(`${folder}a.gusset`, `// A line more.\n${bench}`);
  expect(workspaceSymbols('Bench', workspace)[0]).toMatchObject({
    location: {
      uri: `${folder}a.gusset`,
      range: { start: { line: 1, character: 8 }, end: { line: 1, character: 13 } },
    },
  });
});

const machine = (path: string) => `use "${path}"\n\nmachine A {\n  ambient = 20 degC\n}\n`;

test('a file that others use is renamed or moved: they use it still', () => {
  const files = {
    'a.gusset': machine('./stock.gusset'),
    'deep/b.gusset': machine('../stock.gusset'),
    'stock.gusset': '',
  };
  expect(mistakes(files)).toEqual([]);
  const after = renamed(files, ['stock.gusset', 'deep/my "best" parts.gusset']);
  expect(after['a.gusset']).toContain('use "./deep/my \\"best\\" parts.gusset"');
  expect(after['deep/b.gusset']).toContain('use "./my \\"best\\" parts.gusset"');
  expect(mistakes(after)).toEqual([]);
});

test('a file that uses others is moved, and a whole folder', () => {
  const files = { 'x/a.gusset': machine('./in.gusset'), 'x/in.gusset': 'use "../out.gusset"\n', 'out.gusset': '' };
  expect(mistakes(files)).toEqual([]);
  expect(mistakes(renamed(files, ['x/a.gusset', 'a.gusset']))).toEqual([]);
  const after = renamed(files, ['x', 'y/z']);
  expect(after['y/z/a.gusset']).toBe(files['x/a.gusset']);
  expect(after['y/z/in.gusset']).toContain('use "../../out.gusset"');
  expect(mistakes(after)).toEqual([]);
});

test('a file whose name only begins alike stays as it is', () => {
  const files = { 'a.gusset': machine('./stock/b.gusset'), 'stock/b.gusset': '' };
  expect(renamed(files, ['stoc', 'other'])).toEqual(files);
  expect(renameFiles([{ oldUri: `${folder}stoc`, newUri: `${folder}x` }], workspaceOf(files))).toEqual({ changes: {} });
});

test('a client is offered both, and is answered with the newest text', async () => {
  const client = await Client.start();
  expect(client.offered.workspaceSymbolProvider).toBeTruthy();
  // A folder can hold files of the language.
  expect(client.offered.workspace?.fileOperations?.willRename?.filters).toEqual([
    { pattern: { glob: '**/*.gusset', matches: 'file' } },
    { pattern: { glob: '**', matches: 'folder' } },
  ]);
  await client.open(`${folder}stock.gusset`, '');
  await client.open(`${folder}a.gusset`, bench);
  await client.change(`${folder}a.gusset`, machine('./stock.gusset'));
  const files = [{ oldUri: `${folder}stock.gusset`, newUri: `${folder}parts.gusset` }];
  const { changes } = await client.request<{ changes: Record<string, unknown[]> }>('workspace/willRenameFiles', {
    files,
  });
  expect(changes[`${folder}a.gusset`]).toMatchObject([{ newText: '"./parts.gusset"' }]);
  const [first] = await client.request<{ name: string }[]>('workspace/symbol', { query: 'A' });
  expect(first?.name).toBe('A');
  await client.stop();
});

test('a rename is answered while choices are still being solved, and a line that was ended is laid out then', async () => {
  const client = await Client.start();
  const [uri, stock] = [`${folder}open.gusset`, `${folder}stock.gusset`];
  await client.open(stock, '');
  const open = bench.replace('fuse is blade_15a', 'fuse is ?').replace('area = 2.5 mm^2', 'area = ?');
  await client.open(uri, `use "./stock.gusset"\n${open}`.replace('    target = 100', '    target=100'));
  const answered: string[] = [];
  const asked = async (name: string, method: string, params: object) => {
    const answer = await client.request(method, params);
    answered.push(name);
    return answer;
  };
  const position = { line: 7, character: 0 };
  const [lenses, renames, typed] = await Promise.all([
    asked('choices', 'textDocument/codeLens', { textDocument: { uri } }),
    asked('rename', 'workspace/willRenameFiles', { files: [{ oldUri: stock, newUri: `${folder}parts.gusset` }] }),
    asked('typed', 'textDocument/onTypeFormatting', {
      textDocument: { uri },
      position,
      ch: '\n',
      options: { tabSize: 2, insertSpaces: true },
    }),
  ]);
  expect(lenses).not.toEqual([]);
  expect(renames).toMatchObject({ changes: { [uri]: [{ newText: '"./parts.gusset"' }] } });
  expect(typed).toMatchObject([{ newText: '    target = 100 degC' }]);
  expect(answered).toEqual(['rename', 'typed', 'choices']);
  await client.stop();
});

test('a rename reaches the files of a folder that is added later', async () => {
  const disk = mkdtempSync(join(tmpdir(), 'gusset-folders-'));
  const uriOf = (...path: string[]) => pathToFileURL(join(disk, ...path)).href;
  const [stock, user] = [uriOf('one', 'stock.gusset'), uriOf('two', 'a.gusset')];
  const text = 'part our_mat is heater {\n  power = 200 W\n}\n';
  mkdirSync(join(disk, 'one'));
  mkdirSync(join(disk, 'two'));
  writeFileSync(join(disk, 'one', 'stock.gusset'), text);
  writeFileSync(join(disk, 'two', 'a.gusset'), 'use "../one/stock.gusset"\n\npart other is our_mat\n');
  const client = await Client.start({ workspace: { workspaceFolders: true } }, [uriOf('one')]);
  await client.open(stock, text);
  const changed = async () => {
    const position = { line: 0, character: 6 };
    const { changes } = await client.at<{ changes: object }>('textDocument/rename', stock, position, {
      newName: 'mat',
    });
    return Object.keys(changes).sort();
  };
  expect(await changed()).toEqual([stock]);
  const event = { added: [{ uri: uriOf('two'), name: 'two' }], removed: [] };
  await client.connection.sendNotification('workspace/didChangeWorkspaceFolders', { event });
  expect(await changed()).toEqual([stock, user]);
  await client.stop();
  rmSync(disk, { recursive: true });
});
