import { describe, expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Workspace } from '../../server/workspace.ts';

const kinds = 'kind hall {\n  toplevel\n}\n';
const on = 'file:///shop/';

/** A client's folder with files in it, none of them open. */
function workspace(disk: Record<string, string>) {
  const made = new Workspace(
    (uri) => disk[uri],
    libraryFiles,
    (folder) => [
      ...new Set(
        Object.keys(disk).flatMap((uri) =>
          uri.startsWith(folder) ? [uri.slice(folder.length).replace(/\/.*/, '/')] : [],
        ),
      ),
    ],
  );
  made.folders = [on.slice(0, -1)];
  return made;
}

describe('texts', () => {
  test('what a client has open wins over what is on disk, until it is closed', () => {
    const disk = { [`${on}a.gusset`]: kinds };
    const of = workspace(disk);
    expect(of.file(`${on}a.gusset`)?.parsed.text).toBe(kinds);
    of.open(`${on}a.gusset`, 'hall H {\n}\n');
    expect(of.isOpen(`${on}a.gusset`)).toBe(true);
    of.changedOnDisk(`${on}a.gusset`);
    expect(of.file(`${on}a.gusset`)?.parsed.text).toBe('hall H {\n}\n');
    of.close(`${on}a.gusset`);
    expect(of.isOpen(`${on}a.gusset`)).toBe(false);
    expect(of.file(`${on}a.gusset`)?.parsed.text).toBe(kinds);
    // Closing what is not open forgets nothing.
    const file = of.file(`${on}a.gusset`);
    of.close(`${on}a.gusset`);
    expect(of.file(`${on}a.gusset`)).toBe(file);
  });

  test('what is on disk is read again when it changed there', () => {
    const disk: Record<string, string> = { [`${on}a.gusset`]: kinds };
    const of = workspace(disk);
    of.file(`${on}a.gusset`);
    disk[`${on}a.gusset`] = `${kinds}hall H {\n}\n`;
    expect(of.file(`${on}a.gusset`)?.parsed.text).toBe(kinds);
    of.changedOnDisk(`${on}a.gusset`);
    expect(of.file(`${on}a.gusset`)?.parsed.text).toContain('hall H');
  });

  test('the library’s files are read-only', () => {
    const of = workspace({});
    const [uri = ''] = of.project.library.files.keys();
    of.open(uri, 'nothing');
    expect(of.isOpen(uri)).toBe(false);
    expect(of.libraryText(uri)).toBe(of.file(uri)?.parsed.text);
    expect(of.libraryText(`${on}a.gusset`)).toBeUndefined();
  });
});

test('where a client opens files of the disk alone, the library’s stand under those URIs too', () => {
  const of = workspace({});
  const [uri = ''] = of.project.library.files.keys();
  expect(of.uriForClient(uri)).toBe(uri);
  const folder = 'file:///cache/gusset/library-0123456789abcdef/';
  of.libraryFolder = () => folder;
  const written = of.uriForClient(uri);
  expect(written).toMatch(/^file:\/\/\/cache\/gusset\/library-0123456789abcdef\/[^/].*\.gusset$/);
  expect(of.file(written)).toBe(of.file(uri));
  expect(of.libraryText(written)).toBe(of.libraryText(uri));
  expect(of.uriForClient(`${on}a.gusset`)).toBe(`${on}a.gusset`);
  expect(of.file(written.replace('cache', 'other'))).toBeUndefined();
});

test('a client’s folders hold what lies in them, and not what only begins alike, or what was installed', () => {
  const of = workspace({});
  const inside = ['a.gusset', 'deep/b.gusset'].map((name) => of.isInFolders(on + name));
  const outside = ['file:///shopping/a.gusset', 'file:///a.gusset', `${on}deep/node_modules/x/c.gusset`];
  expect(inside).toEqual([true, true]);
  expect(outside.map((uri) => of.isInFolders(uri))).toEqual([false, false, false]);
});

test('open files that may read differently after a change', () => {
  const of = workspace({ [`${on}b.gusset`]: 'use "./c.gusset"\n', [`${on}c.gusset`]: kinds });
  of.open(`${on}a.gusset`, 'use "./b.gusset"\n');
  of.open(`${on}d.gusset`, '');
  expect(of.affectedBy([`${on}c.gusset`])).toEqual([`${on}a.gusset`]);
  expect(of.affectedBy([`${on}d.gusset`])).toEqual([`${on}d.gusset`]);
});

describe('everything there is', () => {
  test('open files as they are, and those in the client’s folders, but not of installed packages', () => {
    const of = workspace({
      [`${on}a.gusset`]: kinds,
      [`${on}deep/b.gusset`]: kinds,
      [`${on}deep/c.txt`]: 'text',
      [`${on}node_modules/d.gusset`]: kinds,
      'file:///elsewhere/e.gusset': kinds,
    });
    of.open(`${on}a.gusset`, 'hall H {\n}\n');
    of.open('untitled:f.gusset', kinds);
    const { files } = of.everything();
    expect([...files.keys()].toSorted()).toEqual([`${on}a.gusset`, `${on}deep/b.gusset`, 'untitled:f.gusset']);
    expect(files.get(`${on}a.gusset`)?.parsed.text).toBe('hall H {\n}\n');
    // What is read for it is not kept open.
    expect([...of.project.files.keys()].toSorted()).toEqual([`${on}a.gusset`, 'untitled:f.gusset']);
  });

  test('follows the disk from one question to the next', () => {
    const disk: Record<string, string> = { [`${on}a.gusset`]: kinds, [`${on}b.gusset`]: kinds };
    const of = workspace(disk);
    expect(of.everything().files.size).toBe(2);
    delete disk[`${on}b.gusset`];
    disk[`${on}a.gusset`] = 'hall H {\n}\n';
    expect([...of.everything().files.values()].map((file) => file.parsed.text)).toEqual(['hall H {\n}\n']);
  });

  test('a file outside the folders that is not used any more is forgotten, and not read again for what used it before', () => {
    const shelf = 'file:///shelf.gusset';
    let reads = 0;
    const of = new Workspace((uri) => {
      // A question that never ends would go on reading.
      if (++reads > 100) throw new Error('it is read without end');
      return uri === shelf ? kinds : undefined;
    });
    of.open(shelf, kinds);
    of.open('file:///a.gusset', 'use "./shelf.gusset"\nhall H {\n}\n');
    expect([...of.everything().files.keys()].toSorted()).toEqual(['file:///a.gusset', shelf]);
    of.open('file:///a.gusset', 'hall H {\n}\n');
    of.close(shelf);
    expect([...of.everything().files.keys()]).toEqual(['file:///a.gusset']);
  });

  test('a folder lists what is on disk and what is open', () => {
    const of = workspace({ [`${on}a.gusset`]: kinds, [`${on}deep/b.gusset`]: kinds });
    of.open(`${on}new%20one.gusset`, kinds);
    expect(of.list(on)).toEqual(['a.gusset', 'deep/', 'new one.gusset']);
  });
});
