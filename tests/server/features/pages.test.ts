import { expect, test } from 'vitest';
import { languagePageMarkdown, pageOf } from '../../../server/features/pages.ts';
import type { PageAnswer } from '../../../server/server.ts';
import { Workspace } from '../../../server/workspace.ts';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

test('the page of a rule says why, by whom, and how to keep it, with its example in colours', () => {
  const page = pageOf('wire_overloaded', undefined, new Workspace(() => undefined));
  expect(page).toMatch(/^## rule wire\\_overloaded/);
  expect(page).toContain('- **source** IEC 60204-1');
  expect(page).toMatch(/### .*\n\n<pre><code class="hljs">machine Breaks/);
});

test('a rule of a file has its page, what is nowhere has none', () => {
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///a.gusset';
  workspace.open(
    uri,
    'kind hall {\n  toplevel\n  width: Length\n}\n/// Halls *are* narrow.\nrule wide on hall {\n  holds width < 3 m\n  error "{width}"\n  source practice "we | they"\n}\n',
  );
  const page = pageOf('wide', workspace.file(uri), workspace);
  expect(page).toContain('Halls \\*are\\* narrow.');
  expect(page).toContain('we \\| they');
  expect(pageOf('wide', undefined, workspace)).toBeUndefined();
});

test('the page of the language has no code without colours', () => {
  expect(languagePageMarkdown()).toContain('<pre><code class="hljs">');
  expect(languagePageMarkdown()).not.toContain('```gusset');
});

test("a finding's code, and a mistake's, leads to its page where a client shows such", async () => {
  const client = new Client();
  await client.request('initialize', {
    processId: null,
    rootUri: null,
    capabilities: { textDocument: { publishDiagnostics: { codeDescriptionSupport: true } } },
    initializationOptions: { showPage: 'show.it' },
  });
  await client.connection.sendNotification('initialized', {});
  const uri = 'file:///pages/a.gusset';
  await client.open(uri, bench.replace('area = 2.5 mm^2', 'area = 0.5 mm^2').replace('length = 0.9 m', 'length = 0.9'));
  const found = await client.diagnostics(uri);
  const linked = found.map(({ code, codeDescription }) => [code, codeDescription?.href]);
  const href = (code: string) => `command:show.it?${encodeURIComponent(JSON.stringify([code, uri]))}`;
  expect(linked.length).toBeGreaterThan(1);
  expect(linked).toEqual(linked.map(([code]) => [code, href(code as string)]));
  for (const [code] of linked) {
    const { markdown } = await client.request<PageAnswer>('gusset/page', { name: code, uri });
    expect(markdown).toContain((code as string).replaceAll('_', '\\_'));
  }
  expect(await client.request('gusset/page', { name: 'no_such_thing' })).toEqual({ markdown: null });
  await client.stop();
});
