// The packaged extension in the real workbench, as a user meets it.
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
// @ts-expect-error: plain JavaScript, for `npm run package` runs it before TypeScript is there.
import { packageExtension } from '../../client/package.mjs';
import { type Editor, openSession, root, type Session } from './harness.ts';

// A busy machine takes its time.
const LONG = 300_000;

let folder: string;
let extension: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-examples-'));
  cpSync(join(root, 'examples'), folder, { recursive: true });
  for (const [name, text] of Object.entries(own)) writeFileSync(join(folder, `${name}.gusset`), text);
  // Not built anew: tests that run at the same time use the same bundles.
  extension = await packageExtension({ isBuilt: true });
}, LONG);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Where a text stands in heron.gusset, from 1; the first one after another text, if that is given. */
function find(text: string, after = ''): { line: number; column: number } {
  const source = readFileSync(join(root, 'examples', 'heron.gusset'), 'utf8');
  const start = source.indexOf(text, source.indexOf(after));
  if (start < 0) throw new Error(`heron.gusset has no "${text}" after "${after}"`);
  const before = source.slice(0, start).split('\n');
  return { line: before.length, column: before.at(-1)!.length + 1 };
}

/** Shows what was on the screen when a step fails. */
async function step(editor: Editor, name: string, run: () => Promise<void>) {
  try {
    await run();
  } catch (error) {
    const picture = join(tmpdir(), `gusset-${name}.png`);
    await editor.screenshot(picture);
    throw new Error(`${error instanceof Error ? error.message : error}\nThe screen: ${picture}`);
  }
}

const heater = find('heater is mat_230');

/** Files beside the examples: a machine in which nothing feeds the heater, and one that uses a file. */
const own = {
  wagtail: `machine Wagtail {
  ambient = 15 degC .. 30 degC
  supply psu is desktop_supply_24v_220w
  heater mat {
    power = 120 W
    voltage = 24 V
    size = 240 mm x 240 mm
  }
}
`,
  shelf: `use "./drawer.gusset"

machine Shelf {
  heater mat is mat_of_the_drawer
}
`,
  drawer: `/// Left over from another bed.
part mat_of_the_drawer is heater {
  power = 120 W
  voltage = 24 V
}
`,
};

describe('the packaged extension', { retry: 1 }, () => {
  let session: Session;
  let editor: Editor;

  beforeAll(async () => {
    expect(existsSync(extension)).toBe(true);
    session = await openSession(folder, 'heron.gusset', { extension });
    editor = session.editor;
  }, LONG);
  afterAll(() => session?.stop(), LONG);
  // One test's failure is not the next one's.
  beforeEach(() => editor.reset('heron.gusset'), LONG);

  test('shows computed values beside the text, and no squiggle', { timeout: LONG }, () =>
    step(editor, 'inline', async () => {
      await editor.goTo(heater.line);
      // 250 W at 24 V.
      expect(await editor.inlineValue('heater is mat_230', '10.4 A')).toContain('10.4 A');
      expect(await editor.errors.count()).toBe(0);
    }),
  );

  test('explains a block in a hover', { timeout: LONG }, () =>
    step(editor, 'hover', async () => {
      await editor.goTo(heater.line, heater.column + 2);
      const text = await editor.hover();
      expect(text).toContain('mat_230');
      expect(text).toContain('10.4 A');
    }),
  );

  test('underlines a wire too thin, offers the size that carries, and the squiggle goes', { timeout: LONG }, () =>
    step(editor, 'fix', async () => {
      const { line, column } = find('2.5 mm^2', 'circuit bed_power');
      await editor.goTo(line, column);
      await editor.press('Delete', 'Delete', 'Delete');
      await editor.type('0.5');
      await editor.errors.first().waitFor();
      await editor.goTo(line, column + 1);
      const title = (await editor.fixes()).find((each) => each.includes('2.5 mm'));
      expect(title).toBeDefined();
      await editor.fix(title!);
      await editor.line('area = 2.5 mm^2').waitFor();
      await editor.errors.first().waitFor({ state: 'detached' });
    }),
  );

  test('underlines a number without its unit as it is typed, and gives it its unit', { timeout: LONG }, () =>
    step(editor, 'unit', async () => {
      const { line, column } = find('230 V', 'mains');
      await editor.goTo(line, column + 3);
      await editor.press('Delete', 'Delete');
      await editor.errors.first().waitFor();
      const title = (await editor.fixes()).find((each) => each.includes('230 V'));
      expect(title).toBeDefined();
      await editor.fix(title!);
      await editor.line('mains = 230 V').waitFor();
      await editor.errors.first().waitFor({ state: 'detached' });
    }),
  );

  test("answers a change of the heater's power in current, fuse and warm-up", { timeout: LONG }, () =>
    step(editor, 'power', async () => {
      await editor.goTo(heater.line);
      await editor.press('End');
      await editor.type(' { power = 400 W }');
      // 400 W at 24 V.
      await editor.inlineValue('power = 400 W', '16.7 A');
      await editor.errors.first().waitFor();
      // The editor draws only what is in view.
      await editor.goTo(find('require bed.stuck_on_temperature').line);
      await editor.inlineValue('require bed.stuck_on_temperature', 'short');

      await editor.reset('heron.gusset');
      await editor.goTo(find('require bed.stuck_on_temperature').line);
      await editor.inlineValue('require bed.stuck_on_temperature', 'to spare');
      expect(await editor.errors.count()).toBe(0);
    }),
  );

  test('completes with parts that fit here, and with the keys still missing', { timeout: LONG }, () =>
    step(editor, 'complete', async () => {
      const fuse = find('fuse is blade_15a');
      await editor.goTo(fuse.line, fuse.column + 'fuse is '.length);
      await editor.press('Shift+End', 'Backspace');
      const parts = await editor.complete();
      expect(parts).toContain('blade_15a');
      expect(parts).not.toContain('relay_dc_25a');
      await editor.type('blade_10');
      await editor.press('Enter');
      await editor.line('fuse is blade_10a').waitFor();

      await editor.reset('heron.gusset');
      const { line } = find('insulation = silicone', 'circuit bed_power');
      await editor.goTo(line);
      await editor.press('End', 'Enter');
      const keys = await editor.complete();
      expect(keys).toContain('runs_with');
      expect(keys).not.toContain('insulation');
    }),
  );

  test('begins a new line on Enter behind a value that is whole, whatever is suggested', { timeout: LONG }, () =>
    step(editor, 'enter', async () => {
      const { line } = find('mains = 230 V');
      await editor.goTo(line);
      await editor.press('End', 'Shift+Home', 'Backspace');
      await editor.type('mains = 230 V');
      // The list of suggestions is open, and its first one begins as what was typed: V, VA.
      await editor.page.locator('.suggest-widget.visible .monaco-list-row').first().waitFor();
      await editor.press('Enter');
      await editor.type('altitude = 100 m');
      await editor.press('Escape');
      await editor.line('altitude = 100 m').waitFor();
      expect(await editor.line('mains = 230 V').first().textContent()).not.toMatch(/230\sV\w|altitude/);
    }),
  );

  test('proposes a whole block behind the cursor in an empty line, which a key takes', { timeout: LONG }, () =>
    step(editor, 'ghost', async () => {
      await editor.open('wagtail.gusset');
      await editor.goTo(3);
      await editor.press('End', 'Enter');
      const ghost = editor.page.locator('.ghost-text', { hasText: 'path' });
      await ghost.waitFor();
      expect(await editor.line('circuit mat_power {').textContent()).not.toContain('path');
      await editor.press('Tab');
      await ghost.waitFor({ state: 'detached' });
      await editor.line('path = [psu, fuse, wire, mat]').waitFor();
      // What it leaves open is answered at once.
      await editor.inlineValue('fuse is ?', /blade_\w+ proposed/);
    }),
  );

  test('lays out a line as it ends, and begins the next where it belongs', { timeout: LONG }, () =>
    step(editor, 'typed', async () => {
      await editor.open('wagtail.gusset');
      await editor.goTo(3);
      await editor.press('End', 'Enter', 'Escape');
      await editor.type('bed {target=60degC');
      await editor.press('Escape', 'Enter');
      await editor.line(/^ {2}bed \{ target = 60 degC/).waitFor();
      // The brace that the editor has closed stands below its line.
      await editor.page.getByText('Ln 5, Col 3').waitFor();
      expect(await editor.lines.allTextContents()).toContain('\u00a0\u00a0}');
    }),
  );

  test('renames a file in the explorer, and the line that uses it follows', { timeout: LONG }, () =>
    step(editor, 'moved', async () => {
      const { page } = editor;
      const names = ['drawer.gusset', 'cupboard.gusset'];
      const [from, to] = (existsSync(join(folder, names[0]!)) ? names : names.toReversed()) as [string, string];
      await editor.open('shelf.gusset');
      await editor.line(`use "./${from}"`).waitFor();
      const file = (name: string) => page.locator('.explorer-viewlet .monaco-list-row', { hasText: name });
      await editor.run('File: Focus on Files Explorer');
      await file(from).click();
      await editor.press('F2');
      await file('').locator('input').fill(to);
      await editor.press('Enter');
      // The editor asks before an extension changes something with a file.
      await page.getByRole('button', { name: 'OK' }).click();
      await file(to).waitFor();
      await editor.open('shelf.gusset');
      await editor.line(`use "./${to}"`).waitFor();
      await editor.inlineValue('heater mat is mat_of_the_drawer', '5 A');
      // The underlines of the moment in which the file was neither here nor there go after the value has come.
      await expect.poll(() => editor.errors.count(), { timeout: 20_000 }).toBe(0);
    }),
  );

  test('gives a name the colour of what it means', { timeout: LONG }, () =>
    step(editor, 'colours', async () => {
      const { line, column } = find('insulation = silicone', 'circuit bed_power');
      await editor.goTo(line, column + 'insulation = '.length);
      await editor.run('Developer: Inspect Editor Tokens and Scopes');
      const told = editor.page.locator('.token-inspect-widget', { hasText: 'semantic token type' });
      // A part of the library: by its form it could as well be a block of the machine, as the place in the next line is.
      expect(await told.textContent()).toMatch(/semantic token typevariable.*defaultLibrary readonly/);
      await editor.press('Escape');
      const colour = (row: string, name: string) =>
        editor
          .line(row)
          .locator('span > span', { hasText: name })
          .last()
          .evaluate((drawn) => getComputedStyle(drawn).color);
      expect(await colour('insulation = silicone', 'silicone')).not.toBe(await colour('place = bed', 'bed'));
    }),
  );

  test('renames a block wherever it is named', { timeout: LONG }, () =>
    step(editor, 'rename', async () => {
      const { line, column } = find('psu is supply_450');
      await editor.goTo(line, column + 1);
      await editor.rename('main_supply');
      await editor.line('supply main_supply is supply_450').waitFor();
      await editor.goTo(find('path = [psu').line);
      await editor.line('path = [main_supply').waitFor();
      expect(await editor.errors.count()).toBe(0);
    }),
  );

  test('opens the library at a definition, read-only', { timeout: LONG }, () =>
    step(editor, 'definition', async () => {
      const { line, column } = find('board_5_axis');
      await editor.goTo(line, column + 1);
      await editor.press('F12');
      await editor.line('part board_5_axis').waitFor();
      await editor.type('x');
      await editor.page.getByText('Cannot edit in read-only editor').first().waitFor();
      expect(await editor.line('part xboard_5_axis').count()).toBe(0);
    }),
  );

  test('turns each kind of inline value off, and on again', { timeout: LONG }, () =>
    step(editor, 'settings', async () => {
      await editor.goTo(heater.line);
      await editor.set({ 'gusset.inlineValues.enabled': false });
      expect(await editor.inlineValue('heater is mat_230', /mat_230\s*$/)).not.toContain('10.4 A');
      await editor.set({ 'gusset.inlineValues.enabled': true, 'gusset.inlineValues.requirements': false });
      await editor.inlineValue('heater is mat_230', '10.4 A');
      await editor.goTo(find('require bed.warm_up').line);
      await editor.inlineValue('require bed.warm_up', /min\s*$/);
      await editor.set({ 'gusset.inlineValues.requirements': true });
      await editor.inlineValue('require bed.warm_up', 'to spare');
    }),
  );

  test(
    'shows the sheet of the machine beside its text, which follows an edit and leads to the text',
    { timeout: LONG },
    () =>
      step(editor, 'sheet', async () => {
        const { line, column } = find('2.5 mm^2', 'circuit bed_power');
        await editor.goTo(line, column);
        await editor.run('Gusset: Open the Machine Sheet');
        const sheet = await editor.webview('#weakest-points');
        await expect.poll(() => sheet.locator('h1').textContent(), { timeout: 20_000 }).toBe('Heron');
        // The plots of bed and hot end, each with its numbers.
        expect(await sheet.locator('[data-id="warming-up"] figure svg').count()).toBe(2);
        const power = sheet.locator('[data-id="circuits"] tr', { hasText: 'bed_power' });
        const before = await power.textContent();
        await sheet.locator('[data-id="circuits"] th [data-place]', { hasText: 'bed_power' }).click();
        await editor.page.locator('.tab.active').filter({ hasText: 'heron.gusset' }).waitFor();
        // The symbol of a fuse leads to its line.
        const fuse = sheet
          .locator('.ladder [data-place]', { has: sheet.locator('title', { hasText: /^bed_power\.fuse$/ }) })
          .first();
        await fuse.locator('rect').first().click();
        const selected = `Ln ${find('fuse is blade_15a', 'circuit bed_power').line}`;
        await editor.page.getByText(selected).waitFor();
        await editor.goTo(line, column);
        await editor.press('Delete', 'Delete', 'Delete');
        await editor.type('4');
        await expect.poll(() => power.textContent(), { timeout: 60_000 }).not.toBe(before);
      }),
  );

  test('finds, folds, selects, formats and explains as the editor asks for it', { timeout: LONG }, () =>
    step(editor, 'asked', async () => {
      const { page } = editor;
      const shown = (selector: string) => page.locator(selector).first().waitFor();
      const named = (text: string) => page.locator('.quick-input-list .monaco-list-row', { hasText: text }).first();
      await editor.goTo(1);
      // Above the machine stands how it is; behind the file that is used, where it is.
      await page.locator('.codelens-decoration', { hasText: 'rules hold' }).first().waitFor();
      await shown('.detected-link');
      await shown('.codicon-folding-expanded');
      const { line, column } = find('psu, fuse', 'circuit bed_power');
      await editor.goTo(line, column + 1);
      await shown('.wordHighlight, .wordHighlightStrong, .wordHighlightText');
      await editor.run('Go to References');
      await shown('.reference-zone-widget .monaco-list-row, .references-view');
      await editor.press('Escape');
      await editor.run('Expand Selection');
      await page.getByText('(3 selected)').waitFor();
      const value = find('area = 2.5 mm^2', 'circuit bed_power');
      await editor.goTo(value.line, value.column + 1);
      await editor.run('Peek Call Hierarchy');
      await shown('.call-hierarchy .monaco-list-row');
      await editor.press('Escape', 'Escape');
      const kind = find('supply psu');
      await editor.goTo(kind.line, kind.column + 2);
      await editor.run('Peek Type Hierarchy');
      await shown('.type-hierarchy .monaco-list-row');
      await editor.press('Escape', 'Escape');
      await editor.press('ControlOrMeta+Shift+o');
      await page.locator('.quick-input-box input').first().fill('@bed_power');
      await named('bed_power').waitFor();
      await editor.press('Escape', 'ControlOrMeta+t');
      await page.locator('.quick-input-box input').first().fill('#Heron_glass');
      await named('Heron_glass').waitFor();
      await editor.press('Escape');
      const call = find('warm_up(to: ', 'require');
      await editor.goTo(call.line, call.column + 'warm_up(to: '.length);
      await editor.run('Trigger Parameter Hints');
      await shown('.parameter-hints-widget.visible');
      await editor.press('Escape');
      await editor.goTo(heater.line);
      await editor.type('    ');
      await editor.run('Format Document');
      await expect.poll(() => page.locator('.tab.active.dirty').count(), { timeout: 60_000 }).toBe(1);
      await expect
        .poll(() => editor.line('heater is mat_230').textContent(), { timeout: 60_000 })
        .toMatch(/^[ \u00a0]{4}heater/);
    }),
  );

  test('tells what an edit changed, how far a number can go, and what a finding is about', { timeout: LONG }, () =>
    step(editor, 'told', async () => {
      const { page } = editor;
      const { line, column } = find('2.5 mm^2', 'circuit bed_power');
      await editor.goTo(line, column);
      await editor.run('How Far This Number Can Go');
      const step = page.locator('.quick-input-list .monaco-list-row', { hasText: 'wire_unprotected' });
      await step.first().click();
      await editor.errors.first().waitFor();
      await page
        .locator('[id="gusset.gusset.gusset.lastEdit"], [id*="gusset.lastEdit"]', { hasText: 'newly fail' })
        .waitFor();
      await editor.goTo(line, column + 1);
      await editor.hover();
      await page.locator('.monaco-hover:not(.hidden) a', { hasText: 'wire_unprotected' }).first().click();
      const about = page.frameLocator('iframe.webview').frameLocator('iframe#active-frame');
      await about.getByRole('heading', { name: 'Kept by' }).waitFor();
      expect(await about.locator('.hljs-number').count()).toBeGreaterThan(0);
    }),
  );

  test('compares a machine with a variant in two ways, and goes through a value and parts', { timeout: LONG }, () =>
    step(editor, 'compare', async () => {
      const { line, column } = find('2.5 mm^2', 'circuit bed_power');
      const variant = async (command: string) => {
        await editor.open('heron.gusset');
        await editor.goTo(line, column);
        await editor.choose(command, 'Heron_glass');
        await editor.page
          .getByRole('tab', { name: /Heron_glass ↔ Heron/ })
          .first()
          .waitFor();
      };
      await variant('Gusset: Compare With…');
      const changed = editor.page.locator('.monaco-diff-editor .editor.modified .view-lines');
      await expect.poll(() => changed.textContent(), { timeout: 60_000 }).toMatch(/Heron/);
      await variant('Gusset: Compare the Sheets Side by Side With…');
      const sheets = await editor.webview('main.columns');
      expect(await sheets.locator('.beside h1').allTextContents()).toEqual(['Heron_glass', 'Heron']);
      // They have the editor's colours, whatever the theme of the system is.
      const [own, editors] = await sheets.locator('body').evaluate((body) => {
        const probe = document.body.appendChild(document.createElement('i'));
        probe.style.background = 'var(--vscode-editor-background)';
        return [getComputedStyle(body).backgroundColor, getComputedStyle(probe).backgroundColor];
      });
      expect(own).toBe(editors);
      for (const command of ['Gusset: Explore This Value', 'Gusset: Compare Parts That Fit Here']) {
        await editor.open('heron.gusset');
        await editor.goTo(
          ...((command.includes('Value')
            ? [line, column]
            : [find('fuse is blade_15a', 'circuit bed_power').line, 8]) as [number, number]),
        );
        await editor.run(command);
        const name = command.includes('Value') ? /bed_power\.wire\.area\.md/ : /bed_power\.fuse\.md/;
        await editor.page.getByRole('tab', { name }).waitFor();
      }
    }),
  );

  test('opens a machine to begin with in a new file', { timeout: LONG }, () =>
    step(editor, 'new', async () => {
      await editor.choose('Gusset: New Machine…', /^small/);
      await editor.page.getByRole('tab', { name: /Untitled/ }).waitFor();
      await expect.poll(() => editor.page.locator('.view-lines').first().textContent()).toContain('Siskin');
      // A first machine without a finding, by eighteen keys: F1, `gusset new`, Enter, `small`, Enter.
      await editor.page.locator('.codelens-decoration', { hasText: 'nothing found' }).first().waitFor();
      expect(await editor.squiggles.count()).toBe(0);
    }),
  );

  test(
    'lists what is not said yet, begins the line on a click, and shows how requirements stand',
    { timeout: LONG },
    () =>
      step(editor, 'views', async () => {
        await editor.goTo(find('area = 2.5 mm^2', 'circuit bed_power').line);
        await editor.press('ControlOrMeta+Shift+k');
        await editor.run('View: Show Gusset');
        const row = (words: string) => editor.page.locator('.monaco-list-row', { hasText: words }).first();
        await row('bed_power.wire.area').click();
        // What may stand there is shown at once.
        const proposed = editor.page.locator('.suggest-widget.visible .monaco-list-row');
        await proposed.filter({ hasText: '2.5 mm^2' }).click();
        await editor.line('area = 2.5 mm^2').waitFor();
        await row('bed_power.wire.area').waitFor({ state: 'detached' });
        await editor.run('Testing: Focus on Test Explorer View');
        await row('Heron').waitFor();
        expect(await editor.page.locator('.test-explorer .codicon-testing-failed-icon').count()).toBe(0);
      }),
  );

  test('shows the language page', { timeout: LONG }, () =>
    step(editor, 'page', async () => {
      await editor.run('Gusset: Show the Language Page');
      const page = editor.page.frameLocator('iframe.webview').frameLocator('iframe#active-frame');
      await page.getByRole('heading', { name: 'Quantities' }).waitFor();
      expect(await page.getByRole('heading', { name: 'Quantities' }).count()).toBe(1);
    }),
  );
});

describe('in a folder that is not trusted', () => {
  let session: Session;

  beforeAll(async () => {
    session = await openSession(folder, 'heron.gusset', { extension, trust: true });
  }, LONG);
  afterAll(() => session?.stop(), LONG);

  test('the extension works all the same: it runs no code of the folder', { timeout: LONG }, () =>
    step(session.editor, 'trust', async () => {
      const { editor } = session;
      await editor.page.getByRole('button', { name: /^No, / }).click();
      await editor.page
        .locator('#status\\.workspaceTrust')
        .or(editor.page.getByText('Restricted Mode'))
        .first()
        .waitFor();
      const { line, column } = find('230 V', 'mains');
      await editor.goTo(line, column + 3);
      await editor.inlineValue('mains = 230 V', ' W');
      await editor.press('Delete', 'Delete');
      await editor.errors.first().waitFor();
      expect(await editor.errors.count()).toBeGreaterThan(0);
    }),
  );
});

describe('where the extension runs in the browser', () => {
  let session: Session;

  beforeAll(async () => {
    // Extensions that run on the server's machine run there, unless they are said to be for browsers.
    session = await openSession(folder, 'heron.gusset', {
      extension,
      settings: { 'remote.extensionKind': { 'gusset.gusset': ['web'] } },
    });
  }, LONG);
  afterAll(() => session?.stop(), LONG);

  test('its server is a worker, and reads what a file uses through the editor', { timeout: LONG }, () =>
    step(session.editor, 'web', async () => {
      const { editor } = session;
      await editor.inlineValue('mains = 230 V', ' W');
      // What runs in a browser has a frame of its own, which comes after the window.
      expect(editor.page.frames().some((frame) => frame.url().includes('webWorkerExtensionHost'))).toBe(true);
      await editor.reset('heron.gusset');
      await editor.goTo(heater.line, heater.column + 2);
      // The mat is a part of the file that is used: 250 W at 24 V.
      expect(await editor.inlineValue('heater is mat_230', '10.4 A')).toContain('10.4 A');
      expect(await editor.hover()).toContain('label_current = 10.4 A');
      expect(await editor.errors.count()).toBe(0);
      const { line, column } = find('2.5 mm^2', 'circuit bed_power');
      await editor.goTo(line, column);
      await editor.press('Delete', 'Delete', 'Delete');
      await editor.type('0.5');
      await editor.errors.first().waitFor();
      expect(await editor.errors.count()).toBeGreaterThan(0);
    }),
  );
});
