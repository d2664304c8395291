// The pictures of the walkthrough's steps, in each theme, and of what else the extension shows, to be looked at.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Editor, themes } from './harness.ts';

type Theme = keyof typeof themes;

/** What a step shows: it is brought on the screen, and taken away again. */
interface Step {
  show(editor: Editor): Promise<void>;
  hide(editor: Editor): Promise<void>;
}

const dismiss = async (editor: Editor) => editor.press('Escape', 'Escape');

/** A thinner wire than the current asks for, in the bed's circuit of examples/heron.gusset. */
async function thinWire(editor: Editor) {
  await editor.open('thin.gusset');
  const [line, column] = placeOf('2.5 mm^2');
  await editor.goTo(line, column + 1);
  await editor.errors.first().waitFor();
}

const steps: Readonly<Record<string, Step>> = {
  begin: {
    async show(editor) {
      await editor.page.keyboard.press('F1');
      await editor.page.locator('.quick-input-box input').first().fill('>Gusset: New Machine');
      await editor.page.locator('.quick-input-list .monaco-list-row').first().click();
      await editor.page.locator('.quick-input-list .monaco-list-row').nth(2).waitFor();
    },
    hide: dismiss,
  },
  values: {
    async show(editor) {
      await editor.open('heron.gusset');
      const [line, column] = placeOf('heater is mat_230');
      await editor.goTo(line, column + 2);
      await editor.hover();
    },
    hide: dismiss,
  },
  mend: {
    async show(editor) {
      await thinWire(editor);
      await editor.hover();
    },
    hide: dismiss,
  },
  ask: {
    async show(editor) {
      await editor.open('half.gusset');
      await editor.run('Gusset: Focus on Not Said Yet View');
      const asked = editor.page.locator('.pane', { hasText: 'Not Said Yet' }).locator('.monaco-list-row');
      await asked.filter({ hasText: 'Small' }).waitFor();
    },
    hide: (editor) => editor.run('View: Close Primary Side Bar'),
  },
  sheet: {
    async show(editor) {
      await editor.open('heron.gusset');
      await editor.run('Gusset: Open the Machine Sheet');
      await editor.webview('#title:not(:empty)');
    },
    hide: (editor) => editor.run('View: Close All Editors'),
  },
  page: {
    async show(editor) {
      await thinWire(editor);
      await editor.hover();
      await editor.page
        .locator('.monaco-hover:not(.hidden) a')
        .filter({ hasText: /^\w+_\w+$/ })
        .first()
        .click();
      await editor.page
        .frameLocator('iframe.webview')
        .frameLocator('iframe#active-frame')
        .getByText('Kept by')
        .waitFor();
    },
    hide: (editor) => editor.run('View: Close All Editors'),
  },
  around: {
    async show(editor) {
      await editor.open('heron.gusset');
      const [line, column] = placeOf('2.5 mm^2');
      await editor.goTo(line, column + 1);
      await editor.page.keyboard.press('F1');
      await editor.page.locator('.quick-input-box input').first().fill('>How Far This Number Can Go');
      await editor.page.locator('.quick-input-list .monaco-list-row').first().click();
      await editor.page.getByText('no verdict changes').first().waitFor();
    },
    hide: dismiss,
  },
  edit: {
    async show(editor) {
      await editor.open('heron.gusset');
      const [line, column] = placeOf('2.5 mm^2');
      await editor.goTo(line, column);
      await editor.press('Delete', 'Delete', 'Delete');
      await editor.type('4');
      await editor.page.locator('#gusset\\.gusset\\.lastEdit, [id*="lastEdit"]').first().waitFor();
    },
    hide: (editor) => editor.run('File: Revert File'),
  },
  machine: {
    async show(editor) {
      await editor.open('magpie.gusset');
      await editor.goTo(3, 10);
      await editor.hover();
      await editor.page.locator('.monaco-hover:not(.hidden)', { hasText: 'mains_power' }).waitFor();
    },
    hide: dismiss,
  },
  found: {
    async show(editor) {
      await editor.open('magpie.gusset');
      await editor.goTo(1);
      await editor.page.locator('.codelens-decoration a', { hasText: 'errors' }).first().click();
      await editor.page.locator('.reference-zone-widget .monaco-list-row').first().waitFor();
    },
    hide: dismiss,
  },
  uses: {
    async show(editor) {
      await editor.open('workshop-stock.gusset');
      await editor.page.locator('.codelens-decoration a', { hasText: 'use' }).first().waitFor();
    },
    hide: dismiss,
  },
  views: {
    async show(editor) {
      await editor.open('magpie.gusset');
      await editor.run('View: Show Gusset');
      await editor.page.locator('.pane .monaco-list-row', { hasText: 'Magpie' }).nth(1).waitFor();
    },
    hide: (editor) => editor.run('View: Close Primary Side Bar'),
  },
  language: {
    async show(editor) {
      await editor.run('Gusset: Show the Language Page');
      await editor.webview('.markdown-body h1');
    },
    hide: (editor) => editor.run('View: Close All Editors'),
  },
  explored: {
    async show(editor) {
      await editor.open('heron.gusset');
      const [line, column] = placeOf('2.5 mm^2');
      await editor.goTo(line, column + 1);
      await editor.run('Gusset: Explore This Value');
      await editor.webview('.markdown-body h1');
    },
    hide: (editor) => editor.run('View: Close All Editors'),
  },
  columns: {
    async show(editor) {
      await editor.open('heron.gusset');
      await editor.choose('Gusset: Compare the Sheets', 'Heron_glass');
      await editor.webview('main.columns');
    },
    hide: (editor) => editor.run('View: Close All Editors'),
  },
  status: {
    async show(editor) {
      await editor.open('heron.gusset');
      await editor.page.locator('[id="status.languageStatus"]').first().hover();
      await editor.page.getByText('checks while you type').first().waitFor();
    },
    hide: dismiss,
  },
  tests: {
    async show(editor) {
      await editor.open('heron.gusset');
      await editor.run('Testing: Focus on Test Explorer View');
      await editor.page.locator('.test-explorer .monaco-list-row').first().waitFor();
    },
    hide: (editor) => editor.run('View: Close Primary Side Bar'),
  },
};

let source = '';
function placeOf(text: string): [line: number, column: number] {
  const before = source.slice(0, source.indexOf(text)).split('\n');
  return [before.length, (before.at(-1)?.length ?? 0) + 1];
}

/** The steps of the walkthrough: these pictures are shipped. */
export const shipped = ['begin', 'values', 'mend', 'ask', 'sheet'];

/** Takes the picture of each step in each theme; what fails is told, and the others are taken. */
export async function takeSteps(
  editor: Editor,
  text: string,
  folder: string,
  wanted: readonly string[] = Object.keys(steps),
) {
  source = text;
  mkdirSync(folder, { recursive: true });
  const failed: string[] = [];
  for (const theme of Object.keys(themes) as Theme[]) {
    await editor.setTheme(theme);
    for (const name of wanted) {
      const step = steps[name] as Step;
      try {
        await step.show(editor);
        await editor.page.waitForTimeout(400);
        await editor.screenshot(join(folder, `${name}-${theme}.png`));
        await step.hide(editor);
      } catch (error) {
        failed.push(`${name} ${theme}: ${error instanceof Error ? error.message.split('\n')[0] : error}`);
        await editor.screenshot(join(folder, `failed-${name}-${theme}.png`));
        await dismiss(editor);
      }
    }
  }
  return failed;
}
