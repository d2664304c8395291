import { afterAll, beforeAll, expect, test } from 'vitest';
import type { SignatureHelp } from 'vscode-languageserver';
import { bench } from '../../support.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

test('in the brackets of a call, what it takes', async () => {
  const uri = 'file:///signature.gusset';
  const { text, position } = cursor(bench.replace(/}\n$/, '  require bed.warm_up(<|>\n}\n'));
  await client.open(uri, text);
  const help = await client.at<SignatureHelp>('textDocument/signatureHelp', uri, position);
  expect(help.signatures[0]?.label).toMatch(/^bed\.warm_up\(to: a temperature, in /);
  expect(help.activeParameter).toBe(0);
  expect(client.offered.signatureHelpProvider?.triggerCharacters).toEqual(['(', ',']);
});
