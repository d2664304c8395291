// What the README gives to paste checks as it stands.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { Report } from '../../server/cli/schema.ts';
import { proposed } from '../support.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const root = join(import.meta.dirname, '../..');
const readme = readFileSync(join(root, 'README.md'), 'utf8');
const pasted = readme.split('## A bed to paste')[1]?.match(/```gusset\n([\s\S]*?)```/)?.[1] ?? '';

test('the machine to paste needs no other file: nothing is found, and each open choice has its answer', async () => {
  expect(pasted.trim().split('\n').length).toBeLessThanOrEqual(15);
  folder.write({ 'wagtail.gusset': pasted });
  const { out, status } = await folder.run('check', '--format', 'json', 'wagtail.gusset');
  const { findings, machines }: Report = JSON.parse(out);
  expect([status, findings]).toEqual([0, []]);
  const [machine] = machines;
  expect(machine?.open).toHaveLength(2);
  for (const { answer } of machine?.open ?? []) expect(answer).toMatch(/ proposed/);
  expect(machine?.requirements).toMatchObject([{ holds: true }]);
  expect((await folder.run('format', '--check', 'wagtail.gusset')).status).toBe(0);
});

test('it says what it is for by the word that people search for', () => {
  const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  expect(readme.split('\n\n')[1]).toContain('3D printer');
  expect(manifest.description).toContain('3D printer');
  expect(manifest.keywords).toContain('3D printer');
});

test('an empty file is offered a machine first', () => {
  expect(proposed('<|>')[0]).toBe('machine');
});
