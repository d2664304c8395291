import { createHash } from 'node:crypto';
import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import type { RowData, SheetData } from '../../../server/sheet/data.ts';
import { sha256 } from '../../../server/sheet/digest.ts';
import { columnsPage, livingPageOf, pageOf, sectionHtml } from '../../../server/sheet/html.ts';
import { hostile } from './sample.ts';

const page = await pageOf(hostile);
const { document } = parseHTML(page);
/** Sections as an editor is shown them. */
const inEditor = (sections: SheetData['sections']) =>
  parseHTML(`<!doctype html><body>${sections.map(sectionHtml).join('')}</body>`).document;

describe('a sheet as a page', () => {
  test('stands alone: no script, nothing from elsewhere, and a policy that forbids both', () => {
    expect(page).not.toMatch(/<script|<link|<img|<iframe|src=|https?:(?!\/\/www\.w3\.org\/)/);
    const policy = document.querySelector('meta[http-equiv="Content-Security-Policy"]')?.getAttribute('content') ?? '';
    const style = document.querySelector('style')?.textContent ?? '';
    const hash = createHash('sha256').update(style).digest('base64');
    expect(policy).toBe(`default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`);
    expect([...document.querySelectorAll('[style]')]).toEqual([]);
  });

  test('shows texts as they are', () => {
    expect(document.querySelector('.notes li')?.textContent).toContain('</section><script>alert(1)</script>');
    expect(document.querySelector('p.about')?.textContent).toContain('A <b>small</b> one.');
    expect(document.querySelectorAll('b')).toHaveLength(0);
  });

  test('leads to each section, and each has its own heading', () => {
    const links = [...document.querySelectorAll('nav a')].map((each) => each.getAttribute('href'));
    expect(links).toEqual(['#at-a-glance', '#findings', '#parts-list', '#warming-up', '#checks', '#wiring']);
    for (const link of links) expect(document.querySelector(`${link}`)?.tagName).toBe('H2');
  });

  test('tells where each thing stands', () => {
    const shown = inEditor(hostile.sections);
    expect(shown.querySelector('.rows td span')?.getAttribute('data-place')).toBe('a.gusset:3:5');
    // A page that stands alone follows no places: it tells them where one points.
    expect(page).not.toContain('data-place=');
    expect(inEditor(hostile.sections).querySelectorAll('g[data-place]').length).toBeGreaterThan(5);
    expect(document.querySelector('.notes strong span')?.getAttribute('title')).toBe('a.gusset:3');
  });

  test('shows margins as bars with their number, cut at the whole', () => {
    const bars = [...document.querySelectorAll('.rows .bar svg')];
    expect(bars.map((each) => each.getAttribute('aria-label'))).toEqual(['to spare: 25 %', 'short by 200 %']);
    expect(bars.map((each) => each.querySelectorAll('rect')[1]?.getAttribute('width'))).toEqual(['25', '100']);
  });

  test('breaks long names behind their dots and underscores, and no number', async () => {
    const rows = { is: 'rows', rows: [{ label: 'a.b_c', shown: '0.326 mm', place: null }] } as const;
    const html = await pageOf({ machine: 'M', about: '', sections: [{ heading: 'H', parts: [rows] }] });
    expect(html).toContain('a.<wbr>b_<wbr>c');
    expect(html).toContain('0.326\u00a0mm');
  });

  test('has a box for each block of what is to be done, with what was read, or room to write it', () => {
    const items = [...document.querySelectorAll('.checks > li')];
    expect(items.map((each) => [...each.querySelectorAll('.boxes li')].map((box) => box.textContent))).toEqual([
      ['☐ <i>pad</i>', '☑ plate 0.06\u00a0Ω 2026-03-02'],
      ['screw'],
    ]);
    expect(items.map((each) => each.querySelectorAll('.blank').length)).toEqual([1, 0]);
    expect(items[0]?.textContent).toContain('expected: at most 0.1\u00a0Ω');
    expect(items[0]?.querySelector('code')?.textContent).toBe('a = <3>');
    expect(items[1]?.textContent).toContain('First: Take the `lid off');
  });

  test('puts rows that belong together under what they share', () => {
    const [loose, held] = [...document.querySelectorAll('[aria-labelledby="parts-list"] tbody')];
    expect([loose, held].map((each) => each?.querySelector('.together')?.textContent)).toEqual(['loose', 'held']);
    expect([...document.querySelectorAll('[aria-labelledby="parts-list"] thead th')].map((e) => e.textContent)).toEqual(
      ['price'],
    );
    expect(loose?.querySelector('td span')?.getAttribute('title')).toBe('a.gusset:3');
    expect(loose?.querySelector('td.bar rect')?.getAttribute('width')).toBe('50');
  });

  test('says once below what rows share what is said of it, and leads to its place', async () => {
    const place = { file: 'a.gusset', line: 7, column: 2 };
    const row = (name: string) => ({ texts: [name, 'rule', 'a book'], place: null, places: [null, place, null] });
    const table = {
      is: 'table',
      label: 'Why',
      about: '',
      heading: ['', 'by', 'source'],
      rows: [row('a'), row('b')],
      missing: [],
      together: 'by',
      below: { source: 'by' },
    } as const;
    const html = await pageOf({ machine: 'M', about: '', sections: [{ heading: 'H', parts: [table] }] });
    const shared = [...parseHTML(html).document.querySelectorAll('.together')];
    expect(shared.map((each) => each.textContent)).toEqual(['rulea book']);
    expect(shared[0]?.querySelector('span')?.getAttribute('title')).toBe('a.gusset:7');
    expect(html.match(/a book/g)).toHaveLength(1);
  });

  test('leaves room for bars only where there are some', async () => {
    const bare = [{ label: 'cost', shown: '3 EUR', place: null }];
    const barsIn = async (rows: readonly RowData[]) => {
      const html = await pageOf({
        machine: 'M',
        about: '',
        sections: [{ heading: 'H', parts: [{ is: 'rows', rows }] }],
      });
      return parseHTML(html).document.querySelectorAll('td.bar').length;
    };
    expect(await barsIn(bare)).toBe(0);
    expect(await barsIn([...bare, { label: 'mass', shown: '2 kg', place: null, bar: 0.5 }])).toBe(2);
  });

  test('puts what says more of a column below it', async () => {
    const table = {
      is: 'table',
      label: 't',
      about: '',
      heading: ['from', 'by', 'colour', 'length'],
      rows: [{ texts: ['a', 'wire', 'red', '3 mm'], place: null }],
      missing: [],
      below: { colour: 'by', length: 'by' },
    } as const;
    const html = await pageOf({ machine: 'M', about: '', sections: [{ heading: 'H', parts: [table] }] });
    const shown = parseHTML(html).document;
    expect([...shown.querySelectorAll('thead th')].map((each) => each.textContent)).toEqual(['from', 'by']);
    expect(shown.querySelector('td .below')?.textContent).toBe('red, 3\u00a0mm');
  });

  const tableOf = (columns: number, rows: number, word = 'w', more = {}) =>
    ({
      is: 'table',
      label: 't',
      about: '',
      heading: ['', ...Array.from({ length: columns - 1 }, (_, i) => `c${i + 1}`)],
      rows: Array.from({ length: rows }, (_, r) => ({
        texts: [`r${r + 1}`, ...Array.from({ length: columns - 1 }, (_, c) => `${word}${r + 1}${c + 1}`)],
        place: null,
        places: [null, { file: 'a.gusset', line: r + 1, column: 2 }],
      })),
      missing: [],
      ...more,
    }) as const;
  const shownOf = async (part: ReturnType<typeof tableOf>) =>
    parseHTML(await pageOf({ machine: 'M', about: '', sections: [{ heading: 'H', parts: [part] }] })).document;
  const textsIn = (found: Iterable<Element>) => [...found].map((each) => each.textContent);

  test('turns a table of more columns than a page has room for, where it has few rows, with the places of its numbers', async () => {
    const turned = await shownOf(tableOf(9, 4));
    expect(textsIn(turned.querySelectorAll('thead th'))).toEqual(['r1', 'r2', 'r3', 'r4']);
    expect(textsIn(turned.querySelectorAll('tbody th'))).toEqual(['c1', 'c2', 'c3', 'c4', 'c5', 'c6', 'c7', 'c8']);
    expect(textsIn(turned.querySelectorAll('tbody tr:first-child td'))).toEqual(['w11', 'w21', 'w31', 'w41']);
    const places = [...turned.querySelectorAll('tbody [title]')].map((each) => each.getAttribute('title'));
    expect(places).toEqual(['a.gusset:1', 'a.gusset:2', 'a.gusset:3', 'a.gusset:4']);
    const below = await shownOf(tableOf(10, 2, 'w', { below: { c9: 'c1' } }));
    expect(textsIn(below.querySelectorAll('tbody th')).at(-1)).toBe('c9');
    expect(textsIn(below.querySelectorAll('tbody tr:last-child td'))).toEqual(['w19', 'w29']);
    for (const upright of [tableOf(8, 4), tableOf(9, 5), tableOf(9, 4, 'w', { together: 'c1' })]) {
      const heads = textsIn((await shownOf(upright)).querySelectorAll('thead th'));
      expect(heads.at(-1)).toMatch(/^c[78]$/);
    }
  });

  test('breaks words in a table only where these are together wider than a page', async () => {
    const isTight = async (part: ReturnType<typeof tableOf>) => (await shownOf(part)).querySelector('.tight') !== null;
    expect(await isTight(tableOf(8, 5, 'of-words-'))).toBe(false);
    expect(await isTight(tableOf(8, 5, 'an-electromechanical'))).toBe(true);
    // Names may be broken behind their underscores and dots, numbers not from their units.
    expect(await isTight(tableOf(8, 5, 'an_elec_mech_rod_'))).toBe(false);
    expect(await isTight(tableOf(4, 3, 'an-electromechanical-or-hydraulic-'))).toBe(true);
    expect(await isTight(tableOf(3, 3, 'an electromechanical or hydraulic '))).toBe(false);
  });

  test('shows in a table what is to be written as such, and a lone backquote as it is', async () => {
    const shown = await shownOf(tableOf(2, 2, 'say `a = 3`, `'));
    expect(textsIn(shown.querySelectorAll('td code'))).toEqual(['a = 3', 'a = 3']);
    expect(shown.querySelector('tbody td')?.textContent).toBe('say a = 3, `11');
  });

  test('has its title at the foot of each printed page, and no title ends the text that it stands in', async () => {
    const html = await pageOf({ machine: 'A"; } </style> \\é', about: '', sections: [] });
    const foot = /@bottom-left \{ content: "([^\n]*)"; font-size/.exec(html)?.[1];
    expect(foot).toBe('A\\22 \\3b  \\7d  \\3c \\2f style\\3e  \\5c é: machine sheet');
    expect(html.match(/<\/style>/g)).toHaveLength(1);
  });

  test('has a table as the twin of each picture', () => {
    const figure = document.querySelector('figure');
    expect(figure?.querySelectorAll('details table tbody tr')).toHaveLength(8);
  });

  test('says below a table what is not given, and below that of one in which all is nothing', () => {
    const told = [...document.querySelectorAll('p.about')].map((each) => each.textContent);
    expect(told.filter((each) => each?.startsWith('Not given: '))).toEqual(['Not given: c.price']);
  });

  test('cautions, and says of nothing that it is safe', () => {
    expect(document.querySelector('.caution')?.textContent).toBe('Caution: Fire & burns.');
    expect(document.querySelector('main > p.about:last-child')?.textContent).toContain(
      'They do not mean that a design is safe',
    );
  });
});

describe('a living page', () => {
  test('allows the one script that it holds, by its digest, and no connection; nothing in it ends its element', async () => {
    const living = { uri: 'given:/a', text: '// </script><!-- <b>', machine: 'M', over: ['x = [1, 2]'] };
    const page = await livingPageOf({ machine: 'M', about: '', sections: [] }, living, 'const a = "</script><!--";');
    const { document } = parseHTML(page);
    const scripts = [...document.querySelectorAll('script')];
    expect(scripts).toHaveLength(2);
    expect(JSON.parse(scripts[0]?.textContent ?? '')).toEqual(living);
    const policy = document.querySelector('meta[http-equiv]')?.getAttribute('content') ?? '';
    expect(policy).toContain(`script-src 'sha256-${await sha256(scripts[1]?.textContent ?? '')}'`);
    expect(policy).toMatch(/^default-src 'none'; /);
    expect(policy).not.toMatch(/connect-src|unsafe|\*/);
    expect(page.match(/<\/script/g)).toHaveLength(2);
  });
});

test('two sheets in columns have the colours of where they are shown, and no others', async () => {
  const sheet = { machine: 'M', about: '', sections: [] };
  const sides = [
    { title: 'A', sheet },
    { title: 'B', sheet },
  ] as const;
  const style = async (colours?: string) => {
    const { document } = parseHTML(await columnsPage(...sides, [], colours));
    const text = document.querySelector('style')?.textContent ?? '';
    const policy = document.querySelector('meta[http-equiv]')?.getAttribute('content') ?? '';
    expect(policy).toContain(`style-src 'sha256-${await sha256(text)}'`);
    return text;
  };
  const shown = await style(':root { --back: var(--vscode-editor-background); }');
  expect(shown).toContain('--back: var(--vscode-editor-background)');
  expect(shown).not.toMatch(/prefers-color-scheme|#ffffff/);
  expect(await style()).toContain('prefers-color-scheme: dark');
});

test('two sheets in columns: what is the same stands once, folded; what one has not is said', async () => {
  const rows = (shown: string) => ({ is: 'rows' as const, rows: [{ label: 'cost', shown, place: null }] });
  const section = (heading: string, shown: string) => ({ heading, parts: [rows(shown)] });
  const sheet = (...sections: ReturnType<typeof section>[]) => ({ machine: 'M', about: '', sections });
  const page = parseHTML(
    await columnsPage(
      { title: 'A', sheet: sheet(section('Same', '1'), section('Other', '2')) },
      { title: 'B', sheet: sheet(section('Same', '1'), section('Other', '3'), section('New', '4')) },
      ['it <fails>'],
    ),
  ).document;
  expect([...page.querySelectorAll('summary')].map((each) => each.textContent)).toEqual(['Same: the same in both']);
  expect([...page.querySelectorAll('.beside')].map((each) => each.children.length)).toEqual([2, 2, 2]);
  expect(page.querySelector('[aria-label="New, A"]')?.textContent).toBe('New: not there');
  expect(page.querySelector('.notes')?.textContent).toBe('it <fails>');
});
