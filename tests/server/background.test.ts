import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Diagnostic, PublishDiagnosticsParams } from 'vscode-languageserver';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Background, type Progress } from '../../server/background.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { Workspace } from '../../server/workspace.ts';
import { bench } from '../support.ts';
import { Client } from './client.ts';

const overloaded = bench.replace('area = 2.5 mm^2', 'area = 0.2 mm^2');
const codes = (told: readonly Diagnostic[] | undefined) => told?.map(({ code }) => code);

describe('files that nobody has open', () => {
  const on = 'file:///shop/';
  const kinds = 'kind hall {\n  toplevel\n  width: Length?\n}\n';

  /** A background over a folder, with what it tells, in order; `idle` lets it go on by one look. */
  function over(disk: Record<string, string>) {
    const list = () => Object.keys(disk).map((uri) => uri.slice(on.length));
    const workspace = new Workspace((uri) => disk[uri], libraryFiles, list);
    workspace.folders = [on.slice(0, -1)];
    const told: PublishDiagnosticsParams[] = [];
    const seen: { progress: string[]; isCancelled: boolean } = { progress: [], isCancelled: false };
    const progress: Progress = {
      report: (done, of) => seen.progress.push(`${done} of ${of}`),
      done: () => seen.progress.push('done'),
      token: {
        get isCancellationRequested() {
          return seen.isCancelled;
        },
        onCancellationRequested: () => ({ dispose() {} }),
      },
    };
    let looks = 0;
    const background = new Background({
      workspace,
      untilIdle: async () => {
        looks++;
        await new Promise<void>((resolve) => setImmediate(resolve));
      },
      publish: (params) => void told.push(params),
      begin: async () => progress,
    });
    /** Until nothing is looked at any more. */
    const settled = async () => {
      for (let before = -1; before !== looks; ) {
        before = looks;
        for (let i = 0; i < 5; i++) await new Promise<void>((resolve) => setImmediate(resolve));
      }
    };
    const last = (name: string) => codes(told.findLast(({ uri }) => uri === on + name)?.diagnostics);
    return { workspace, background, told, seen, settled, last };
  }

  test('are told of as if they were open, and counted', async () => {
    const disk = { [`${on}a.gusset`]: overloaded, [`${on}b.gusset`]: bench, [`${on}c.gusset`]: 'machine' };
    const { workspace, background, told, seen, settled, last } = over(disk);
    background.begin(true);
    await settled();
    workspace.open(`${on}a.gusset`, overloaded);
    const file = workspace.file(`${on}a.gusset`);
    if (!file) throw new Error('a is not there');
    for (const _ of workspace.project.searchDeeper(file));
    expect(told.find(({ uri }) => uri === `${on}a.gusset`)?.diagnostics).toEqual(diagnostics(file, workspace));
    expect(last('a.gusset')).toContain('wire_overloaded');
    expect(last('b.gusset')).toEqual([]);
    expect(last('c.gusset')).toHaveLength(1);
    expect(seen.progress).toEqual(['0 of 3', '1 of 3', '2 of 3', 'done']);
  });

  test('nothing is kept of them', async () => {
    const { workspace, background, settled } = over({ [`${on}a.gusset`]: bench });
    background.begin(true);
    await settled();
    expect([...workspace.project.files.keys()]).toEqual([]);
  });

  test('a file that is opened is left to its editor, and taken up again when it is closed', async () => {
    const { workspace, background, told, settled, last } = over({ [`${on}a.gusset`]: overloaded });
    workspace.open(`${on}a.gusset`, bench);
    background.begin(true);
    background.changed([`${on}a.gusset`]);
    await settled();
    expect(told).toEqual([]);
    workspace.close(`${on}a.gusset`);
    background.changed([`${on}a.gusset`]);
    await settled();
    expect(last('a.gusset')).toContain('wire_overloaded');
  });

  test('one that is opened while it is checked is not told of', async () => {
    const { workspace, background, told, settled } = over({ [`${on}a.gusset`]: overloaded });
    background.begin(true);
    workspace.open(`${on}a.gusset`, bench);
    await settled();
    expect(told).toEqual([]);
  });

  test('a change reaches those that use it, and a file that was missing comes', async () => {
    const disk: Record<string, string> = {
      [`${on}a.gusset`]: 'use "./b.gusset"\nhall H {\n}\n',
      [`${on}c.gusset`]: bench,
    };
    const { workspace, background, told, settled, last } = over(disk);
    background.begin(true);
    await settled();
    expect(last('a.gusset')).toContain('missing_file');
    const before = told.length;
    disk[`${on}b.gusset`] = kinds;
    background.changed([`${on}b.gusset`]);
    await settled();
    expect(last('a.gusset')).toEqual([]);
    expect(told.slice(before).map(({ uri }) => uri.slice(on.length))).toEqual(['b.gusset', 'a.gusset']);
    // An editor's text of the used file counts, not what is on disk.
    workspace.open(`${on}b.gusset`, kinds.replace('hall', 'shed'));
    background.changed([`${on}b.gusset`]);
    await settled();
    expect(last('a.gusset')).toContain('unknown_kind');
  });

  test('a change reaches no others, and none that are gone', async () => {
    const disk: Record<string, string> = {
      [`${on}a.gusset`]: 'use "./b.gusset"\nhall H {\n}\n',
      [`${on}b.gusset`]: kinds,
      [`${on}c.gusset`]: bench,
    };
    const { background, told, settled } = over(disk);
    background.begin(true);
    await settled();
    const toldAfter = async (name: string) => {
      const before = told.length;
      background.changed([on + name]);
      await settled();
      return told.slice(before).map(({ uri }) => uri.slice(on.length));
    };
    expect(await toldAfter('c.gusset')).toEqual(['c.gusset']);
    delete disk[`${on}a.gusset`];
    expect(await toldAfter('a.gusset')).toEqual(['a.gusset']);
    expect(await toldAfter('b.gusset')).toEqual(['b.gusset']);
  });

  test('what was checked stands when folders are looked through anew', async () => {
    const disk: Record<string, string> = { [`${on}a.gusset`]: bench };
    const { background, told, settled } = over(disk);
    background.begin(true);
    await settled();
    disk[`${on}b.gusset`] = bench;
    background.foldersChanged();
    await settled();
    expect(told.map(({ uri }) => uri.slice(on.length))).toEqual(['a.gusset', 'b.gusset']);
  });

  test('nothing is begun before it is asked for, nor twice at once', async () => {
    const { background, told, seen, settled } = over({ [`${on}a.gusset`]: bench, [`${on}b.gusset`]: bench });
    background.changed([`${on}a.gusset`, `${on}b.gusset`]);
    await settled();
    expect(seen.progress).toEqual([]);
    background.begin(true);
    background.changed([`${on}a.gusset`]);
    background.changed([`${on}b.gusset`]);
    await settled();
    expect(seen.progress).toEqual(['0 of 2', '1 of 2', 'done']);
    expect(told.map(({ uri }) => uri.slice(on.length))).toEqual(['a.gusset', 'b.gusset']);
  });

  test('what is deleted, or no longer asked for, is taken back', async () => {
    const disk: Record<string, string> = { [`${on}a.gusset`]: overloaded, [`${on}b.gusset`]: overloaded };
    const { background, settled, last } = over(disk);
    background.begin(true);
    await settled();
    delete disk[`${on}a.gusset`];
    background.changed([`${on}a.gusset`]);
    await settled();
    expect(last('a.gusset')).toEqual([]);
    expect(last('b.gusset')).not.toEqual([]);
    background.begin(false);
    expect(last('b.gusset')).toEqual([]);
    background.begin(true);
    await settled();
    expect(last('b.gusset')).not.toEqual([]);
  });

  test('whoever has seen enough ends it', async () => {
    const { background, told, seen, settled } = over({ [`${on}a.gusset`]: bench, [`${on}b.gusset`]: bench });
    seen.isCancelled = true;
    background.begin(true);
    await settled();
    expect(told).toEqual([]);
    expect(seen.progress).toEqual(['done']);
  });

  test('files outside of the folders are not looked at', async () => {
    const { background, told, settled } = over({});
    background.begin(true);
    background.changed(['file:///elsewhere/a.gusset', `${on}node_modules/x/a.gusset`]);
    await settled();
    expect(told).toEqual([]);
  });
});

describe('over the protocol', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'gusset folder '));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const uriOf = (...names: string[]) => pathToFileURL(join(folder, ...names)).toString();
  const capabilities = { workspace: { workspaceFolders: true, configuration: true } };

  test('a client that opens nothing is told of its folder, and of one that it adds', async () => {
    mkdirSync(join(folder, 'one'));
    mkdirSync(join(folder, 'two'));
    writeFileSync(join(folder, 'one', 'a.gusset'), overloaded);
    writeFileSync(join(folder, 'two', 'b.gusset'), overloaded);
    const client = await Client.start(capabilities, [uriOf('one')]);
    expect(codes(await client.diagnostics(uriOf('one', 'a.gusset')))).toContain('wire_overloaded');
    expect(client.published.map(({ uri }) => uri)).toEqual([uriOf('one', 'a.gusset')]);
    const event = { added: [{ uri: uriOf('two'), name: 'two' }], removed: [{ uri: uriOf('one'), name: 'one' }] };
    await client.connection.sendNotification('workspace/didChangeWorkspaceFolders', { event });
    expect(codes(await client.diagnostics(uriOf('two', 'b.gusset')))).toContain('wire_overloaded');
    expect(
      client.published.find(({ uri, diagnostics: d }) => uri === uriOf('one', 'a.gusset') && d.length === 0),
    ).toBeDefined();
    await client.stop();
  });

  test('a client that can show it sees how far it is', async () => {
    for (const name of ['a.gusset', 'b.gusset']) writeFileSync(join(folder, name), 'machine A {\n}\n');
    const client = await Client.start({ ...capabilities, window: { workDoneProgress: true } }, [uriOf()]);
    await expect.poll(() => client.progress.length, { timeout: 20_000 }).toBe(4);
    expect(client.progress).toEqual([
      expect.objectContaining({ kind: 'begin', title: 'Gusset', percentage: 0, cancellable: true }),
      { kind: 'report', percentage: 0, message: '1 of 2 files' },
      { kind: 'report', percentage: 50, message: '2 of 2 files' },
      { kind: 'end' },
    ]);
    await client.stop();
  });

  test('a file that is closed is told of as it is on disk', async () => {
    writeFileSync(join(folder, 'a.gusset'), overloaded);
    const client = await Client.start(capabilities, [uriOf()]);
    const uri = uriOf('a.gusset');
    await client.open(uri, bench);
    expect(await client.diagnostics(uri)).toEqual([]);
    await client.close(uri);
    const isTold = () =>
      client.published.some((p) => p.uri === uri && codes(p.diagnostics)?.includes('wire_overloaded'));
    await expect.poll(isTold, { timeout: 20_000 }).toBe(true);
    await client.stop();
  });
});
