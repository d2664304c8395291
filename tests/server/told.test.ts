import { describe, expect, test } from 'vitest';
import { CancellationTokenSource, type Diagnostic } from 'vscode-languageserver';
import { Told } from '../../server/told.ts';

const uri = 'file:///shop/a.gusset';
const start = { line: 0, character: 0 };
const say = (message: string): Diagnostic => ({ range: { start, end: start }, message });
const never = new CancellationTokenSource().token;

/** What a client is told, and what is sent to it. */
function over(isAsked: boolean) {
  const sent: unknown[] = [];
  const asked: unknown[] = [];
  const told = new Told({
    sendDiagnostics: async (params: unknown) => void sent.push(params),
    sendRequest: (async (type: { method: string }) => void asked.push(type.method)) as never,
  });
  told.isAsked = isAsked;
  return { told, sent, asked };
}
const later = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

describe('a client that is sent what is found', () => {
  test('is sent it at once, and never asked to ask', async () => {
    const { told, sent, asked } = over(false);
    told.tell({ uri, version: 1, diagnostics: [say('a')] });
    told.closed(uri);
    expect(sent).toEqual([
      { uri, version: 1, diagnostics: [say('a')] },
      { uri, diagnostics: [] },
    ]);
    await later(150);
    expect(asked).toEqual([]);
  });
});

describe('a client that asks', () => {
  test('is sent nothing, and handed each answer once', () => {
    const { told, sent } = over(true);
    expect(told.ofFile(uri, undefined)).toEqual({ kind: 'full', items: [] });
    told.tell({ uri, version: 1, diagnostics: [say('a')] });
    const first = told.ofFile(uri, undefined);
    expect(first).toMatchObject({ kind: 'full', items: [say('a')] });
    const { resultId } = first;
    expect(told.ofFile(uri, resultId)).toEqual({ kind: 'unchanged', resultId });
    told.tell({ uri, version: 2, diagnostics: [say('a')] });
    expect(told.ofFile(uri, resultId)).toEqual({ kind: 'unchanged', resultId });
    told.tell({ uri, version: 3, diagnostics: [] });
    expect(told.ofFile(uri, resultId)).toMatchObject({ kind: 'full', items: [] });
    expect(sent).toEqual([]);
  });

  test('hears that there is more where it has not asked meanwhile, once for all of it', async () => {
    const { told, asked } = over(true);
    told.tell({ uri, version: 1, diagnostics: [say('a')] });
    const { resultId } = told.ofFile(uri, undefined);
    await later(150);
    expect(asked).toEqual([]);
    told.tell({ uri, version: 1, diagnostics: [say('a'), say('b')] });
    told.tell({ uri, version: 1, diagnostics: [say('a'), say('c')] });
    await later(150);
    expect(asked).toEqual(['workspace/diagnostic/refresh']);
    told.tell({ uri, version: 2, diagnostics: [] });
    told.ofFile(uri, resultId);
    await later(150);
    expect(asked).toEqual(['workspace/diagnostic/refresh']);
  });

  test('about all files is answered once there is something, of files that it does not ask about by themselves', async () => {
    const { told } = over(true);
    told.tell({ uri: 'file:///shop/clean.gusset', diagnostics: [] });
    told.tell({ uri, version: 1, diagnostics: [say('a')] });
    told.ofFile(uri, undefined);
    let isAnswered = false;
    const answer = told.ofAll([], never).then((report) => {
      isAnswered = true;
      return report;
    });
    await later(20);
    expect(isAnswered).toBe(false);
    const other = 'file:///shop/b.gusset';
    told.tell({ uri: other, diagnostics: [say('b')] });
    const { items } = await answer;
    expect(items).toEqual([
      { kind: 'full', uri: other, version: null, items: [say('b')], resultId: expect.any(String) },
    ]);
    // A file that is closed is nobody's own again.
    told.closed(uri);
    told.tell({ uri, diagnostics: [say('c')] });
    const known = items.map(({ uri, resultId }) => ({ uri, value: resultId ?? '' }));
    expect((await told.ofAll(known, never)).items).toMatchObject([{ uri, items: [say('c')] }]);
  });

  test('and no longer wants to know is answered', async () => {
    const { told } = over(true);
    const source = new CancellationTokenSource();
    const answer = told.ofAll([], source.token);
    source.cancel();
    expect(await answer).toEqual({ items: [] });
  });
});
