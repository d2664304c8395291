import { createHash } from 'node:crypto';
import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { pageOf } from '../../../server/sheet/html.ts';
import { hostile } from './sample.ts';

const page = await pageOf(hostile);
const { document } = parseHTML(page);

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
    expect(links).toEqual(['#at-a-glance', '#findings', '#parts-list', '#warming-up', '#wiring']);
    for (const link of links) expect(document.querySelector(`${link}`)?.tagName).toBe('H2');
  });

  test('tells where each thing stands', () => {
    expect(document.querySelector('.rows td span')?.getAttribute('data-place')).toBe('a.gusset:3:5');
    expect(document.querySelector('.notes strong span')?.getAttribute('title')).toBe('a.gusset:3');
  });

  test('shows margins as bars with their number, cut at the whole', () => {
    const bars = [...document.querySelectorAll('.bar svg')];
    expect(bars.map((each) => each.getAttribute('aria-label'))).toEqual(['to spare: 25 %', 'short by 200 %']);
    expect(bars.map((each) => each.querySelectorAll('rect')[1]?.getAttribute('width'))).toEqual(['25', '100']);
  });

  test('breaks long names behind their dots and underscores, and no number', async () => {
    const rows = { is: 'rows', rows: [{ label: 'a.b_c', shown: '0.326 mm', place: null }] } as const;
    const html = await pageOf({ machine: 'M', about: '', sections: [{ heading: 'H', parts: [rows] }] });
    expect(html).toContain('a.<wbr>b_<wbr>c');
    expect(html).toContain('0.326 mm');
  });

  test('has a table as the twin of each picture', () => {
    const figure = document.querySelector('figure');
    expect(figure?.querySelectorAll('details table tbody tr')).toHaveLength(8);
  });

  test('cautions, and says of nothing that it is safe', () => {
    expect(document.querySelector('.caution')?.textContent).toBe('Caution: Fire & burns.');
    expect(document.querySelector('main > p.about:last-child')?.textContent).toContain(
      'They do not mean that a design is safe',
    );
  });
});
