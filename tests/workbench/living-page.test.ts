// A living page in a real browser, as it is written by the command line: opened from the disk, with no network at all.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Folder } from '../cli/support.ts';
import { browserOptions } from './harness.ts';

const folder = new Folder();
let browser: Browser;
let page: Page;
const asked: string[] = [];
const complaints: string[] = [];
const wren = readFileSync(join(import.meta.dirname, '../../examples/wren.gusset'), 'utf8');
const machine = /^machine (\w+)/m.exec(wren)?.[1] as string;

beforeAll(async () => {
  folder.write({ 'wren.gusset': wren.replace(/\nmachine Wren_strong[\s\S]*/, '\n') });
  const { status, err } = await folder.run(
    'report',
    'wren.gusset',
    machine,
    '--move',
    'ambient = 10 degC .. 40 degC step 5 K',
    '--out',
    'page',
  );
  expect(err).toBe('');
  expect(status).toBe(0);
  browser = await chromium.launch(browserOptions);
  page = await browser.newPage();
  page.on('request', (request) => asked.push(request.url()));
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  await page.goto(pathToFileURL(join(folder.path, 'page', `${machine}.html`)).href);
  await page.locator('#moving input').waitFor({ timeout: 60_000 });
}, 90_000);
afterAll(async () => {
  await browser?.close();
  folder.remove();
});

test('an input is moved by the keyboard, and what comes of it is told and shown', async () => {
  const before = await page.locator('main').textContent();
  await page.getByLabel('ambient').focus();
  await page.keyboard.press('End');
  await page.waitForFunction(
    () => /newly/.test(document.getElementById('moved-status')?.textContent ?? ''),
    undefined,
    { timeout: 60_000 },
  );
  expect(await page.locator('#moving').textContent()).toContain('40 °C');
  expect(await page.locator('#moved tr').count()).toBeGreaterThan(1);
  expect(await page.locator('main').textContent()).not.toBe(before);
  await page.getByRole('button').press('Enter');
  await page.waitForFunction(
    () => document.getElementById('moved-status')?.textContent === 'As it is written.',
    undefined,
    { timeout: 60_000 },
  );
});

test('it asks for nothing but itself, and its policy is broken nowhere', () => {
  expect(asked).toHaveLength(1);
  expect(complaints).toEqual([]);
});
