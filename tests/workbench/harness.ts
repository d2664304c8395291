// A browser on the real workbench, and what a user does in it: open, type, hover, complete, rename, fix.
import { type Browser, chromium, type Frame, type Locator, type Page } from 'playwright-core';
import { quietSettings, root, type Settings, startWorkbench, type Workbench, type WorkbenchOptions } from './server.ts';

export { root };

export const browserOptions = {
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1',
  ],
};

export const themes = { light: 'Light Modern', dark: 'Dark Modern', contrast: 'Default High Contrast' };

const WAIT = 90_000;
/** How long (ms) one step with the quick input may take before it is begun again, and how often it is. */
const PATIENCE = 6_000;
const TRIES = 12;

/** A workbench and a browser looking at it. */
export interface Session {
  editor: Editor;
  stop(): Promise<void>;
}

/** Starts the workbench, opens a file of a folder in a browser. Errors: what the workbench printed. */
export async function openSession(
  folder: string,
  file: string,
  options: WorkbenchOptions & { width?: number; height?: number; scale?: number } = {},
): Promise<Session> {
  const workbench = await startWorkbench(options);
  let browser: Browser | undefined;
  try {
    browser = await chromium.launch(browserOptions);
    const { width = 1280, height = 900, scale = 1 } = options;
    const page = await browser.newPage({ viewport: { width, height }, deviceScaleFactor: scale });
    page.setDefaultTimeout(WAIT);
    const editor = new Editor(page, options.settings ?? {});
    await page.goto(workbench.address(folder, file));
    await page.locator('.monaco-workbench').waitFor();
    return { editor, stop: () => stopAll(browser, workbench) };
  } catch (error) {
    await stopAll(browser, workbench);
    throw error;
  }
}

async function stopAll(browser: Browser | undefined, workbench: Workbench) {
  await browser?.close();
  await workbench.stop();
}

/** What a user sees and does. Each wait ends with an error after a minute and a half. */
export class Editor {
  readonly page: Page;
  #settings: Settings;

  constructor(page: Page, settings: Settings) {
    this.page = page;
    this.#settings = settings;
  }

  /** The editor that has the focus; the workbench draws only the lines in view. */
  get active(): Locator {
    return this.page.locator('.editor-group-container.active .monaco-editor[role="code"]').last();
  }

  get lines(): Locator {
    return this.active.locator('.view-line');
  }

  line(text: string | RegExp): Locator {
    return this.lines.filter({ hasText: spaced(text) }).first();
  }

  get errors(): Locator {
    return this.active.locator('.squiggly-error');
  }

  get squiggles(): Locator {
    return this.active.locator('.squiggly-error, .squiggly-warning, .squiggly-info');
  }

  /**
   * Does something with the quick input, and again where that closed under it: a window that is still starting, or busy with
   * what was last asked of it, may not hear a key or may take the focus away.
   */
  async #withQuickInput(key: string, work: (input: Locator) => Promise<void>) {
    const input = this.page.locator('.quick-input-box input').first();
    for (let tries = TRIES; ; tries--) {
      try {
        if (!(await input.isVisible())) await this.page.keyboard.press(key);
        await input.waitFor({ timeout: PATIENCE });
        await work(input);
        await this.page.locator('.quick-input-widget').waitFor({ state: 'hidden', timeout: PATIENCE });
        return;
      } catch (error) {
        if (tries === 0) throw error;
        await this.page.keyboard.press('Escape');
      }
    }
  }

  /** Opens a file of the folder by its name. */
  async open(file: string) {
    await this.#withQuickInput('ControlOrMeta+p', async (input) => {
      await input.fill(file, { timeout: PATIENCE });
      await this.page
        .locator('.quick-input-list .monaco-list-row')
        .filter({ hasText: file })
        .first()
        .click({ timeout: PATIENCE });
    });
    await this.page.locator('.tab.active').filter({ hasText: file }).waitFor();
  }

  /** Runs a command from the palette by its title. */
  async run(title: string) {
    await this.#withQuickInput('F1', async (input) => {
      await input.fill(`>${title}`, { timeout: PATIENCE });
      await this.page
        .locator('.quick-input-list .monaco-list-row')
        .filter({ hasText: title })
        .first()
        .click({ timeout: PATIENCE });
    });
  }

  /** Runs a command that asks something, and answers it: the question may stand where the palette stood. */
  async choose(title: string, answer: string | RegExp) {
    await this.#withQuickInput('F1', async (input) => {
      await input.fill(`>${title}`, { timeout: PATIENCE });
      const command = this.page.locator('.quick-input-list .monaco-list-row').filter({ hasText: title });
      await command.first().click({ timeout: PATIENCE });
      await this.page.getByRole('option', { name: answer }).click();
    });
  }

  /** Closes what is open, gives up what was not saved, and opens a file as it is on disk. */
  async reset(file: string) {
    await this.press('Escape', 'Escape', 'Escape');
    while (await this.page.locator('.tab.active').count()) await this.run('View: Revert and Close Editor');
    await this.open(file);
    await this.lines.first().waitFor();
  }

  /** The frame of the view in which something is shown, which VS Code puts into two frames. */
  async webview(shows: string): Promise<Frame> {
    const inner = this.page.frameLocator('iframe.webview').frameLocator('iframe#active-frame');
    await inner.locator(shows).waitFor();
    const element = await inner.locator('html').elementHandle();
    const frame = await element?.ownerFrame();
    if (!frame) throw new Error(`no frame shows ${shows}`);
    return frame;
  }

  /** Puts the cursor to a line and column, both from 1. */
  async goTo(line: number, column = 1) {
    await this.#withQuickInput('Control+g', async (input) => {
      await input.fill(`:${line}:${column}`, { timeout: PATIENCE });
      await this.page.keyboard.press('Enter');
    });
  }

  /** Types as a user would, key by key. */
  async type(text: string) {
    await this.page.keyboard.type(text, { delay: 10 });
  }

  async press(...keys: string[]) {
    for (const key of keys) await this.page.keyboard.press(key);
  }

  /** Waits for a line in view to be drawn with a computed value after its text, or for a whole line as it is drawn. */
  async inlineValue(line: string, value: string | RegExp): Promise<string> {
    // The editor draws the value inside the line, as decoration with a class of its own.
    const shown = this.line(line).filter({ hasText: spaced(value) });
    await shown.waitFor();
    return plain(await shown.textContent());
  }

  /** Shows the hover of what is under the cursor. */
  async hover(): Promise<string> {
    await this.page.keyboard.press('ControlOrMeta+k');
    await this.page.keyboard.press('ControlOrMeta+i');
    const shown = this.page.locator('.monaco-hover:not(.hidden) .monaco-hover-content').first();
    await shown.locator('.hover-contents:not(.loading)').first().waitFor();
    return plain(await shown.textContent());
  }

  /** Asks for completion at the cursor; the labels on offer, in order. */
  async complete(): Promise<string[]> {
    await this.page.keyboard.press('Control+Space');
    const widget = this.page.locator('.suggest-widget.visible');
    await widget.locator('.monaco-list-row').first().waitFor();
    // The list is drawn again when its first answer is filtered.
    await widget.locator('.monaco-list-row.focused').waitFor();
    return (await widget.locator('.monaco-list-row .label-name').allInnerTexts()).map(plain);
  }

  /** Gives what is under the cursor another name. */
  async rename(name: string) {
    await this.page.keyboard.press('F2');
    const input = this.page.locator('.rename-box input');
    await input.waitFor();
    await input.fill(name);
    await this.page.keyboard.press('Enter');
    await input.waitFor({ state: 'hidden' });
  }

  /** The titles of the quick fixes at the cursor. The list stays open. */
  async fixes(): Promise<string[]> {
    const rows = this.page.locator('.action-widget .monaco-list-row.action');
    // Where the cursor has just moved, the editor's own question for its light bulb takes the place of the one that is asked here.
    for (let tries = TRIES; (await rows.count()) === 0; tries--) {
      await this.page.keyboard.press('ControlOrMeta+.');
      await rows
        .first()
        .waitFor({ timeout: PATIENCE })
        .catch((error: Error) => {
          if (tries === 0) throw error;
        });
    }
    return (await rows.allInnerTexts()).map(plain);
  }

  /** Applies a quick fix of the open list. */
  async fix(title: string) {
    const rows = this.page.locator('.action-widget .monaco-list-row.action');
    const wanted = this.page.locator('.action-widget .monaco-list-row.action.focused').filter({ hasText: title });
    // The list is for the keyboard: it does not take a click of the pointer everywhere.
    for (let left = await rows.count(); left > 0 && (await wanted.count()) === 0; left--)
      await this.page.keyboard.press('ArrowDown');
    if ((await wanted.count()) === 0) throw new Error(`"${title}" is not among ${await rows.allInnerTexts()}`);
    await this.page.keyboard.press('Enter');
    await rows.first().waitFor({ state: 'hidden' });
  }

  /**
   * Changes the user's settings as a user would, in the editor: nothing watches the file from outside. The window follows by
   * itself, and the file that was open is shown again.
   */
  async set(changes: Settings) {
    this.#settings = { ...this.#settings, ...changes };
    await this.run('Preferences: Open User Settings (JSON)');
    const tab = this.page.locator('.tab.active').filter({ hasText: 'settings.json' });
    await tab.waitFor();
    await this.lines.first().waitFor();
    await this.page.keyboard.press('ControlOrMeta+a');
    await this.page.keyboard.insertText(JSON.stringify({ ...quietSettings, ...this.#settings }));
    await this.page.keyboard.press('ControlOrMeta+s');
    await this.page.locator('.tab.active:not(.dirty)').filter({ hasText: 'settings.json' }).waitFor();
    await this.run('View: Close Editor');
    await tab.waitFor({ state: 'hidden' });
  }

  async setTheme(theme: keyof typeof themes) {
    const mark = { light: '.vs', dark: '.vs-dark', contrast: '.hc-black' }[theme];
    await this.set({ 'workbench.colorTheme': themes[theme] });
    await this.page.locator(`.monaco-workbench${mark}`).waitFor();
  }

  async screenshot(path: string) {
    await this.page.screenshot({ path });
  }
}

/** The editor draws spaces as unbreakable ones. */
const plain = (text: string | null) => (text ?? '').replaceAll('\u00a0', ' ').trim();

const spaced = (text: string | RegExp) =>
  new RegExp((typeof text === 'string' ? escaped(text) : text.source).replaceAll(' ', '[ \u00a0]'));

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
