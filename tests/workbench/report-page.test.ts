// A sheet as a page of its own in a real browser: seen in dark, in colours of one's own, by the keyboard alone, and printed.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import axe from 'axe-core';
import { build } from 'esbuild';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { editorColours } from '../../client/editor-colours.ts';
import { sheetOf } from '../../language/answers/sheet.ts';
import { dataOf, type SheetData } from '../../server/sheet/data.ts';
import { pageOf, sectionHtml } from '../../server/sheet/html.ts';
import { sheetStyle } from '../../server/sheet/style.ts';
import { hostile } from '../server/sheet/sample.ts';
import { machineIn } from '../support.ts';
import { browserOptions, root } from './harness.ts';

const LONG = 120_000;
/** What a page leaves within its margins of 16 mm (mm). Source: ISO 216, A4; ANSI/ASME Y14.1, size A (letter). */
const papers = { A4: [210 - 32, 297 - 32], letter: [215.9 - 32, 279.4 - 32] } as const;
/** Source: CSS Values and Units Level 4, 6.2: 96 px are one inch, 25.4 mm. */
const px = (mm: number) => (mm * 96) / 25.4;

/** More columns of longer words than a page has room for, in more rows than can stand side by side. */
const wide: SheetData = {
  machine: 'Wide',
  about: '',
  sections: [
    {
      heading: 'Wide',
      parts: [
        {
          is: 'table',
          label: 'wide',
          about: '',
          heading: ['', ...Array.from({ length: 14 }, (_, i) => `electromechanical ${i}`)],
          rows: Array.from({ length: 6 }, (_, i) => ({
            texts: Array.from({ length: 15 }, (_, j) => `extraordinarily${i}${j}`),
            place: null,
          })),
          missing: [],
        },
      ],
    },
  ],
};

const text = readFileSync(join(root, 'examples', 'wren.gusset'), 'utf8');
const wren = dataOf(sheetOf(machineIn(text, 'Wren')), () => ({ file: 'wren.gusset', line: 3, column: 1 }));
const sheets: readonly (readonly [string, SheetData])[] = [
  ['of an example', wren],
  ['of names and texts that try to be something else', hostile],
  ['of a table that is too wide', wide],
];

let browser: Browser;
beforeAll(async () => {
  browser = await chromium.launch(browserOptions);
}, LONG);
afterAll(() => browser?.close());

/** Shows a page; its policy forbids scripts, and what looks at it here is one. */
async function opened(sheet: SheetData, width = 1000): Promise<Page> {
  const context = await browser.newContext({ bypassCSP: true, viewport: { width, height: 800 } });
  const page = await context.newPage();
  await page.setContent(await pageOf(sheet));
  return page;
}

const modes = {
  light: { colorScheme: 'light' },
  dark: { colorScheme: 'dark' },
  'colours of one’s own': { colorScheme: 'dark', forcedColors: 'active' },
} as const;

/** Texts in pictures whose contrast with the page is below 4.5 to 1, which axe-core leaves undecided. Source: WCAG 2.2, 1.4.3. */
function faint(): string[] {
  const parts = (colour: string) => (colour.match(/[\d.]+/g) ?? []).slice(0, 3).map(Number);
  const luminance = (colour: string) => {
    const [r = 0, g = 0, b = 0] = parts(colour).map((each) => {
      const share = each / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const back = luminance(getComputedStyle(document.body).backgroundColor);
  return [...document.querySelectorAll('svg text')].flatMap((each) => {
    const own = luminance(getComputedStyle(each).fill);
    const contrast = (Math.max(own, back) + 0.05) / (Math.min(own, back) + 0.05);
    return contrast < 4.5 ? `${each.textContent}: ${contrast.toFixed(2)}` : [];
  });
}

describe.each(sheets)('a page %s', (_, sheet) => {
  test.each(Object.entries(modes))('has no violation that axe-core knows in %s', { timeout: LONG }, async (_, mode) => {
    const page = await opened(sheet);
    await page.emulateMedia(mode);
    await page.evaluate(axe.source);
    const run = () => (globalThis as unknown as { axe: typeof axe }).axe.run();
    const { violations, passes } = await page.evaluate(run);
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join('; ')}`)).toEqual([]);
    expect(passes.length).toBeGreaterThan(10);
    expect(await page.evaluate(faint)).toEqual([]);
    await page.context().close();
  });

  test.each(Object.entries(papers))('is as wide as %s, so that nothing is shrunk', async (_, [width, height]) => {
    const page = await opened(sheet, Math.floor(px(width)));
    await page.emulateMedia({ media: 'print' });
    const seen = await page.evaluate(() => ({
      wide: document.documentElement.scrollWidth,
      // What is printed may not be seen in a box that scrolls.
      cut: [...document.querySelectorAll('.scroll')].filter((each) => each.scrollWidth > each.clientWidth + 1).length,
      high: Math.max(0, ...[...document.querySelectorAll('svg')].map((each) => each.getBoundingClientRect().height)),
    }));
    expect(seen.wide).toBeLessThanOrEqual(px(width));
    expect(seen.cut).toBe(0);
    expect(seen.high).toBeLessThanOrEqual(px(height));
    await page.context().close();
  });

  test('is black on white on paper', async () => {
    const page = await opened(sheet);
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    const colours = await page.evaluate(() => {
      const shown = [...document.querySelectorAll('main *')].filter((each) => each.textContent?.trim());
      return [...new Set(shown.map((each) => getComputedStyle(each).color))];
    });
    // rgb(0, 0, 0) and the quiet rgb(51, 51, 51).
    expect(colours.every((each) => Math.max(...(each.match(/\d+/g) ?? []).map(Number)) <= 51)).toBe(true);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe('rgb(255, 255, 255)');
    await page.context().close();
  });
});

test('by the keyboard each table that scrolls and each twin of a picture is reached, and a twin unfolds', async () => {
  const page = await opened(wren, 460);
  const reached: string[] = [];
  for (let n = 0; n < 400; n++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => document.activeElement?.tagName ?? '');
    if (at === 'BODY') break;
    reached.push(at);
  }
  const count = (selector: string) => page.locator(selector).count();
  expect(reached.filter((each) => each === 'SUMMARY')).toHaveLength(await count('figure'));
  expect(reached.filter((each) => each === 'A')).toHaveLength(await count('nav a'));
  const twin = page.locator('figure details').first();
  expect(await twin.locator('table').isVisible()).toBe(false);
  await twin.locator('summary').focus();
  await page.keyboard.press('Enter');
  expect(await twin.locator('table').isVisible()).toBe(true);
  await page.context().close();
});

test('each picture has a table with what it tells', async () => {
  const page = await opened(wren);
  const without = await page.evaluate(
    () => [...document.querySelectorAll('figure')].filter((each) => !each.querySelector('details tbody tr')).length,
  );
  expect(await page.locator('figure').count()).toBeGreaterThan(5);
  expect(without).toBe(0);
  await page.context().close();
});

test('in a panel of 460 px nothing but what scrolls by itself is wider', async () => {
  for (const [, sheet] of sheets) {
    const page = await opened(sheet, 460);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(460);
    await page.context().close();
  }
});

/** The sections of a sheet as the view in the editor has them, where each link is reached by the keyboard. */
async function inEditor(sheet: SheetData): Promise<Page> {
  const { outputFiles } = await build({
    entryPoints: [join(root, 'client', 'sheet-document.ts')],
    bundle: true,
    format: 'iife',
    globalName: 'view',
    write: false,
  });
  const own = `:root { --vscode-focusBorder: rgb(0, 90, 158); --vscode-textLink-foreground: rgb(0, 102, 204);
    --vscode-editor-foreground: rgb(30, 30, 30); --vscode-editor-background: rgb(255, 255, 255); }`;
  const ids = '<h1 id="title"></h1><p id="about"></p><ul id="links"></ul><div id="sections"></div><p id="mind"></p>';
  const page = await (await browser.newContext({ viewport: { width: 700, height: 900 } })).newPage();
  await page.setContent(`<!doctype html><style>${own}${editorColours}${sheetStyle}</style><main>${ids}</main>`);
  const sections = sheet.sections.map((each, i) => ({ id: `s${i}`, heading: each.heading, html: sectionHtml(each) }));
  await page.evaluate(`${outputFiles[0]?.text}; view.show(document, ${JSON.stringify({ ...sheet, mind: '', sections })});
    view.follow(document, () => {});`);
  return page;
}

describe('in the editor the focus is seen in a picture', () => {
  test.each(['svg.ladder', 'svg.drawing', 'figure > svg:not([class])'])('%s', { timeout: LONG }, async (picture) => {
    const page = await inEditor(wren);
    const shown = page.locator(picture).first();
    const link = shown.locator('[data-place]').first();
    const [before, plain] = [await shown.screenshot(), await lookOf(page, picture)];
    // Only what is reached by the keyboard shows that it has the focus.
    await page.keyboard.press('Tab');
    await link.focus();
    expect(await lookOf(page, picture)).toEqual({ ...plain, outline: 'solid', lines: ['rgb(0, 102, 204)'] });
    expect((await shown.screenshot()).equals(before)).toBe(false);
    await page.keyboard.press('ArrowDown');
    expect((await lookOf(page, picture)).outline).toBe('none');
    await page.context().close();
  });
});

/** How the first link in a picture looks: what is drawn around it, and the colours of its lines. */
function lookOf(page: Page, picture: string) {
  return page.evaluate((selector) => {
    const link = document.querySelector(selector)?.querySelector('[data-place]') as Element;
    const lines = [...link.querySelectorAll('path, polyline, line')].map((each) => getComputedStyle(each).stroke);
    return { outline: getComputedStyle(link).outlineStyle, lines: [...new Set(lines)] };
  }, picture);
}
