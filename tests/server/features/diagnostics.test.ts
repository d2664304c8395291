import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import {
  CancellationTokenSource,
  type FullDocumentDiagnosticReport,
  LSPErrorCodes,
  type PreviousResultId,
  type WorkspaceDiagnosticReport,
} from 'vscode-languageserver';
import type { AstNode } from '../../../language/grammar/syntax.ts';
import type { Finding } from '../../../language/judge/finding.ts';
import { diagnostics, rangeIn } from '../../../server/features/diagnostics.ts';
import type { Workspace } from '../../../server/workspace.ts';
import { bench, read } from '../../support.ts';
import { Client, pulling } from '../client.ts';

const kinds = `kind hall {
  toplevel
  width: Length
  depth: Length?
}
rule hall_narrow on hall {
  holds width > 2 m
  warning "{width} is narrow?"
  source defined "a test"
  remedy "make it wider"
}
rule hall_small on hall {
  holds width > 3 m
  error "small"
  caution "mind your head"
  source defined "a test"
  follows hall_narrow of self
}
`;
const told = (machines: string) => {
  const { project, file } = read(kinds + machines);
  return diagnostics(file, { project } as Workspace).map(({ severity, code, message, range }) => [
    severity,
    code,
    message,
    `${range.start.line - 18}:${range.start.character}`,
  ]);
};

test('mistakes, notes and findings, each as grave as it is', () => {
  expect(told('hall H {\n  width = 3 W\n}\nhall I {\n}\n')).toEqual([
    [1, 'wrong_dimension', expect.stringContaining('Expected a length'), '1:10'],
    [4, 'not_given', expect.stringContaining('Not given yet: width'), '3:5'],
    [
      2,
      'safety_not_judged',
      expect.stringContaining('for want of width: that nothing else is found says nothing of hall small'),
      '3:5',
    ],
  ]);
  expect(told('hall H {\n  width = 1 m\n}\n')).toEqual([
    [2, 'hall_narrow', '1 m is narrow?\nA way out: make it wider.', '0:5'],
  ]);
  expect(told('hall H {\n  width = 2.5 m\n}\n')).toEqual([[1, 'hall_small', 'small.\n\nmind your head', '0:5']]);
});

test('what was accepted is a hint, what people rest on is not, and where it is worst is said', () => {
  expect(told('hall H {\n  width = 1 m\n  accept hall_narrow at 1 m because "so"\n}\n')[0]).toEqual([
    4,
    'hall_narrow',
    expect.stringContaining('Accepted: so.'),
    '0:5',
  ]);
  expect(told('hall H {\n  width = 1 m .. 3 m\n}\n')[0]?.[2]).toContain('Worst at width 1 m.');
});

test('what a variant inherits is said where it stands, once; what it brings about at its own statement', () => {
  const lines = (width: string, variant: string) =>
    told(`hall H {\n  width = ${width}\n}\nhall V is H {\n${variant}}\n`).map(([, , , at]) =>
      Number.parseInt(at as string, 10),
    );
  expect(lines('1 m', '')).toEqual([0]);
  expect(lines('4 m', '')).toEqual([]);
  expect(lines('4 m', '  width = 1 m\n')).toEqual([expect.toBeOneOf([3, 4])]);
});

test('a range of a text as lines and characters', () => {
  const { file } = read('ab\ncd\n');
  expect(rangeIn(file, { start: 1, end: 4 })).toEqual({
    start: { line: 0, character: 1 },
    end: { line: 1, character: 1 },
  });
});

test('of a place in another file nothing is said in this one', () => {
  const { project, file } = read({
    'a.gusset': 'use "./b.gusset"\nhall H {\n  width = 1 m\n}\n',
    'b.gusset':
      'kind hall {\n  toplevel\n  width: Length\n}\nrule wide on hall {\n  holds width > 2 m\n  error "narrow"\n  at width\n}\n',
  });
  const [machine] = project.machines(file);
  const [finding] = machine?.assessment.findings ?? [];
  const other = project.files.get('file:///b.gusset')?.parsed.file.items[0];
  const here = file.parsed.file.items[1];
  if (!finding || !machine || !other || !here) throw new Error('there is no finding');
  const said = (places: readonly AstNode[], consequences: Finding[] = []) => {
    const assessment = { ...machine.assessment, findings: [{ ...finding, places, consequences }] };
    const own = { mistakes: () => [], judged: () => [{ ...machine, assessment }] } as unknown as Workspace['project'];
    const [diagnostic] = diagnostics(file, { project: own } as Workspace);
    return diagnostic?.relatedInformation?.map(({ message, location }) => [message, location.uri]);
  };
  const first = finding.places[0] as AstNode;
  expect(said([first, here])).toEqual([['also here', file.uri]]);
  expect(said([first, other])).toEqual([]);
  expect(said([first], [{ ...finding, places: [other] }])).toEqual([]);
  expect(said([first], [{ ...finding, places: [here] }])).toEqual([['follows: narrow', file.uri]]);
});

test('two rules that say the same of one place are both told: each has its page', () => {
  const small = kinds.slice(kinds.indexOf('rule hall_narrow'));
  const twice = `${small.replace('hall_narrow', 'hall_tight').split('rule hall_small')[0]}hall H {\n  width = 1 m\n}\n`;
  expect(told(twice).map(([, code]) => code)).toEqual(['hall_narrow', 'hall_tight']);
});

test('a code leads to where its rule is declared, in a client that follows it', () => {
  const { project, file } = read(`${kinds}hall H {\n  width = 1 m\n}\n`);
  const links = (followCodes: boolean) => {
    const client = { followCodes } as Workspace['client'];
    const uriForClient = (uri: string) => uri.replace('file:', 'seen:');
    return diagnostics(file, { project, client, uriForClient }).map(({ code, codeDescription }) => [
      code,
      codeDescription?.href,
    ]);
  };
  expect(links(true)).toContainEqual(['hall_narrow', 'seen:///a.gusset#L6']);
  expect(links(false)).toContainEqual(['hall_narrow', undefined]);
});

test('what is no longer to be used is struck out, in a client that can', () => {
  const { project, file } = read(
    'kind hall {\n  toplevel\n  deprecated gym\n}\nkind gym {\n  toplevel\n}\nhall H {\n}\n',
  );
  const tags = (strikeOut: boolean) =>
    diagnostics(file, { project, client: { strikeOut } as Workspace['client'] }).map((each) => [each.code, each.tags]);
  expect(tags(true)).toEqual([['deprecated', [2]]]);
  expect(tags(false)).toEqual([['deprecated', undefined]]);
});

test('in an editor, the code of a finding leads into the library', async () => {
  const textDocument = { publishDiagnostics: { codeDescriptionSupport: true } };
  const client = await Client.start({ textDocument, workspace: { textDocumentContent: {} } });
  const uri = 'file:///leads/a.gusset';
  await client.open(uri, bench.replace('area = 2.5 mm^2', 'area = 0.5 mm^2'));
  const told = await client.diagnostics(uri);
  const href = told.find(({ code }) => code === 'wire_overloaded')?.codeDescription?.href ?? '';
  const [, library = '', line] = /^(gusset-library:.*)#L(\d+)$/.exec(href) ?? [];
  const { text } = await client.request<{ text: string }>('workspace/textDocumentContent', { uri: library });
  expect(text.split('\n')[Number(line) - 1]).toContain('rule wire_overloaded');
  await client.stop();
});

describe('a client that asks for what is found', () => {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-asks-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const at = (name: string) => pathToFileURL(join(folder, name)).href;
  const narrow = `${kinds}hall H {\n  width = 1 m\n}\n`;
  const until = async (isIt: () => boolean | Promise<boolean>) => {
    while (!(await isIt())) await new Promise((resolve) => setTimeout(resolve, 20));
  };

  test('is told when it asks, of files that it has open and of all others, and is sent nothing', async () => {
    writeFileSync(join(folder, 'other.gusset'), narrow);
    const client = await Client.start(pulling, [at('')]);
    const ask = (uri: string, previousResultId?: string) =>
      client.request<FullDocumentDiagnosticReport>('textDocument/diagnostic', {
        textDocument: { uri },
        ...(previousResultId && { previousResultId }),
      });
    const askAll = (previousResultIds: PreviousResultId[]) =>
      client.request<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds });
    await client.open(at('own.gusset'), narrow);
    const { items, resultId } = await ask(at('own.gusset'));
    expect(items.map(({ code, message }) => [code, message])).toEqual([
      ['hall_narrow', { kind: 'markdown', value: '1 m is narrow?\n\n- A way out: make it wider.' }],
    ]);
    expect(await ask(at('own.gusset'), resultId)).toEqual({ kind: 'unchanged', resultId });
    const [other] = (await askAll([])).items;
    expect(other).toMatchObject({ uri: at('other.gusset'), version: null, items: [{ code: 'hall_narrow' }] });
    // Nothing is new until something changes on disk.
    const again = askAll([{ uri: at('other.gusset'), value: other?.resultId ?? '' }]);
    writeFileSync(join(folder, 'other.gusset'), narrow.replace('1 m', '5 m'));
    await client.changedOnDisk(at('other.gusset'));
    expect((await again).items).toMatchObject([{ uri: at('other.gusset'), items: [] }]);
    // What is closed is told of with all others.
    await client.close(at('own.gusset'));
    writeFileSync(join(folder, 'own.gusset'), narrow);
    await client.changedOnDisk(at('own.gusset'));
    await until(async () => (await askAll([])).items.some(({ uri }) => uri === at('own.gusset')));
    expect(client.published).toEqual([]);
    await client.stop();
  });

  test('and asks again before it is answered is answered as one that no longer asks', async () => {
    const client = await Client.start(pulling);
    const uri = 'file:///cancelled.gusset';
    await client.open(uri, bench);
    const source = new CancellationTokenSource();
    const answer = client.connection
      .sendRequest('textDocument/diagnostic', { textDocument: { uri } }, source.token)
      .catch((error: { code: number }) => error.code);
    source.cancel();
    expect(await answer).toBe(LSPErrorCodes.RequestCancelled);
    await client.stop();
  });

  test('hears that there is more once open choices are solved', async () => {
    const client = await Client.start(pulling);
    const uri = 'file:///bench.gusset';
    await client.open(uri, bench.replace('is blade_15a', 'is ?').replace('area = 2.5 mm^2', 'area = 0.2 mm^2'));
    const ask = () =>
      client.request<FullDocumentDiagnosticReport>('textDocument/diagnostic', { textDocument: { uri } });
    const first = await ask();
    await until(() => client.diagnosticsRefreshed > 0);
    const { items } = await ask();
    expect(items.length).toBeGreaterThan(first.items.length);
    expect(client.published).toEqual([]);
    await client.stop();
  });

  test('is told in Markdown what to write, what can hurt, and nothing that only looks like a mark', () => {
    const { project, file } = read(
      `${kinds.replace('"{width} is narrow?"', '"*{width}* < `a * b`"').replace('"mind your head"', '"Fire: keep {width} away."')}hall H {\n  width = 1 m\n}\nhall I {\n  width = 2.5 m\n}\n`,
    );
    const client = { readMarkdownFindings: true };
    const values = diagnostics(file, { project, client } as Workspace).map(({ message }) => message);
    expect(values).toEqual([
      { kind: 'markdown', value: '\\*1 m\\* \\< `a * b`.\n\n- A way out: make it wider.' },
      { kind: 'markdown', value: 'small.\n\n**Fire:** keep 2.5 m away.' },
    ]);
  });
});
