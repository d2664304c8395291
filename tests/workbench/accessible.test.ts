// What the extension shows, looked over by axe-core in a light, a dark and a high-contrast theme: views, pages, what stands over the text.
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import axe from 'axe-core';
import type { Frame, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
// @ts-expect-error: plain JavaScript, for `npm run package` runs it before TypeScript is there.
import { packageExtension } from '../../client/package.mjs';
import { type Editor, openSession, root, type Session, themes } from './harness.ts';

const LONG = 300_000;

let folder: string;
let session: Session;
let editor: Editor;
type Theme = keyof typeof themes;
let theme: Theme;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-examples-'));
  cpSync(join(root, 'examples'), folder, { recursive: true });
  const extension: string = await packageExtension({ isBuilt: true });
  session = await openSession(folder, 'heron.gusset', { extension });
  editor = session.editor;
}, LONG);
afterAll(async () => {
  await session?.stop();
  rmSync(folder, { recursive: true, force: true });
}, LONG);

/** What another theme can spoil: all else is looked over in the first one. */
const ofColours = ['color-contrast', 'link-in-text-block'];

/** What axe-core finds wrong in a part of a page, by its rules. Nothing to look at is wrong too. */
async function violationsIn(page: Frame | Page, part: string): Promise<string[]> {
  await page.locator(part).first().waitFor();
  await page.evaluate(axe.source);
  const asked = { part, only: theme === 'light' ? [] : ofColours };
  const { violations } = await page.evaluate(({ part, only }) => {
    // A view lets the editor's own background through.
    document.documentElement.style.background = 'var(--vscode-editor-background)';
    // The editor's rows have no blank between a name and what stands beside it, and a label that is read aloud has a comma there.
    const options =
      only.length > 0 ? { runOnly: only } : { rules: { 'label-content-name-mismatch': { enabled: false } } };
    return (globalThis as unknown as { axe: typeof axe }).axe.run({ include: [[part]] }, options);
  }, asked);
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html, any, all }) => `${id}: ${html.slice(0, 200)} ${[...any, ...all][0]?.message ?? ''}`),
  );
}

/** A page of Markdown, within what the editor puts around it. */
const MARKDOWN = '.markdown-body';

async function pageOf(command: string, line = 1, column = 1): Promise<Frame> {
  await editor.open('heron.gusset');
  await editor.goTo(line, column);
  await editor.run(command);
  return editor.webview(`${MARKDOWN} h1`);
}

const surfaces: Readonly<Record<string, () => Promise<string[]>>> = {
  async 'the language page'() {
    return violationsIn(await pageOf('Gusset: Show the Language Page'), MARKDOWN);
  },
  async 'a value gone through'() {
    return violationsIn(await pageOf('Gusset: Explore This Value', 60, 14), MARKDOWN);
  },
  async 'parts that fit'() {
    return violationsIn(await pageOf('Gusset: Compare Parts That Fit Here', 57, 14), MARKDOWN);
  },
  async 'two sheets'() {
    await editor.open('heron.gusset');
    await editor.choose('Gusset: Compare the Sheets', 'Heron_glass');
    // No script runs in this view, not axe-core either: its page is looked at elsewhere.
    const shown = await (await editor.webview('main.columns')).content();
    const context = await editor.page.context().browser()?.newContext();
    const page = await context?.newPage();
    try {
      await page?.setContent(shown);
      return await violationsIn(page as Page, 'body');
    } finally {
      await context?.close();
    }
  },
  async 'the sheet'() {
    await editor.open('heron.gusset');
    await editor.run('Gusset: Open the Machine Sheet');
    return violationsIn(await editor.webview('#weakest-points'), 'html');
  },
  async 'the views of the machines'() {
    await editor.open('magpie.gusset');
    await editor.run('View: Show Gusset');
    await editor.page.locator('.pane .monaco-list-row', { hasText: 'Magpie' }).nth(1).waitFor();
    return violationsIn(editor.page, '.split-view-view .pane-body');
  },
  async 'the hover of a machine'() {
    await editor.open('heron.gusset');
    await editor.goTo(4, 10);
    await editor.hover();
    return violationsIn(editor.page, '.monaco-hover:not(.hidden) .rendered-markdown');
  },
};

describe.each(Object.keys(themes) as Theme[])('in the %s theme', (each) => {
  beforeAll(async () => {
    theme = each;
    await editor.setTheme(theme);
  }, LONG);

  test.each(Object.keys(surfaces))('%s', { timeout: LONG }, async (name) => {
    await editor.press('Escape', 'Escape');
    await editor.run('View: Close All Editors');
    const found = await surfaces[name]?.();
    expect(found?.join('\n')).toBe('');
  });
});
