// The table of requests in the developers' page, beside the protocol as it is installed and what the server offers.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import * as protocol from 'vscode-languageserver-protocol';
import { Client, pulling } from './client.ts';

const root = join(import.meta.dirname, '../..');
const page = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8');
const section = page.slice(page.indexOf('### What an editor may ask'), page.indexOf('### Words'));
const [offeredPart = '', leftOutPart = ''] = section.split('\nLeft out:\n');
const rows = (part: string) => [...part.matchAll(/^\| (`.*) \|$/gm)].map(([, row = '']) => row.split(' | '));
const names = (cell = '') => [...cell.matchAll(/`([^`]+)`/g)].map(([, name = '']) => name);
const [offered, leftOut] = [rows(offeredPart), rows(leftOutPart)];

interface Known {
  readonly method: string;
  readonly messageDirection: string;
  readonly type: object;
}
const isKnown = (value: unknown): value is Known =>
  typeof value === 'object' && value !== null && 'method' in value && 'messageDirection' in value && 'type' in value;

/** What begins and ends a conversation is no feature. */
const frame = new Set(['initialize', 'shutdown']);
const requests = Object.entries(protocol).flatMap(([name, value]: [string, unknown]) =>
  name.endsWith('Request') && isKnown(value) && value.messageDirection === protocol.MessageDirection.clientToServer
    ? [value.method]
    : [],
);

let client: Client;
beforeAll(async () => {
  client = await Client.start(pulling);
});
afterAll(() => client.stop());

describe('the table of requests', () => {
  test('has each request of the protocol once, and no other', () => {
    expect(requests.length).toBeGreaterThan(50);
    const told = [...offered, ...leftOut].flatMap(([cell]) => names(cell));
    expect(told.toSorted()).toEqual([...new Set(requests)].filter((method) => !frame.has(method)).toSorted());
  });

  test('says what the server says that it offers', () => {
    const { workspace, textDocumentSync: _, ...providers } = client.offered;
    const { workspaceFolders: __, ...ofWorkspace } = workspace ?? {};
    const given = [
      ...Object.keys(providers).filter((key) => providers[key as keyof typeof providers]),
      ...Object.keys(ofWorkspace).map((key) => `workspace.${key}`),
    ];
    expect(offered.flatMap(([, cell]) => names(cell)).toSorted()).toEqual(given.toSorted());
  });

  test('names tests that are there, and a reason for what is left out', () => {
    for (const name of offered.flatMap(([, , cell]) => names(cell)))
      expect([name, existsSync(join(root, `tests/server/features/${name}.test.ts`))]).toEqual([name, true]);
    expect(offered.every(([, , , seen]) => seen === 'yes' || seen === 'no')).toBe(true);
    expect(leftOut.every(([, because = '']) => because.length > 20)).toBe(true);
  });
});
