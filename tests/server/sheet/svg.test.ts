import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { svgOf } from '../../../server/sheet/svg.ts';
import { hostile } from './sample.ts';

const plot = hostile.sections[3]?.parts[0] as Parameters<typeof svgOf>[0];
const document = (svg: string) => parseHTML(`<!doctype html><body>${svg}</body>`).document;

/** The labels in the margin with their heights. */
function labels(svg: string): { text: string; y: number }[] {
  return [...document(svg).querySelectorAll('text')].flatMap((each) => {
    const [, y] = /translate\([^,]+,([^)]+)\)/.exec(each.getAttribute('transform') ?? '') ?? [];
    const text = each.textContent ?? '';
    return ['plate', 'print side', 'target 80 °C', 'limit 82 °C'].includes(text) ? [{ text, y: Number(y) }] : [];
  });
}

describe('a plot as a picture', () => {
  test('has its name, and nothing that a strict policy for contents refuses', () => {
    const svg = svgOf(plot, 'Warming up: bed <x>');
    const root = document(svg).querySelector('svg');
    expect(root?.getAttribute('aria-label')).toBe('Warming up: bed <x>');
    expect(root?.getAttribute('role')).toBe('img');
    expect(svg).not.toMatch(/<style|style=|<script|aria-hidden|\bon\w+=/);
  });

  test('a curve with its label, and a mark, lead to where they are said as one link each', () => {
    const links = [...document(svgOf(plot, '')).querySelectorAll('[data-place]')];
    expect(links.map((each) => each.querySelector('title')?.textContent)).toEqual([
      'target',
      'limit',
      'ready',
      'plate',
      'print side',
    ]);
    const [, , , plate] = links;
    expect(plate?.querySelector('text')?.textContent).toBe('plate');
    // The wide line over a fine one; and what tells a number where it is pointed at stands above both.
    expect(plate?.querySelectorAll('[stroke-opacity="0"] path').length).toBe(2);
    expect(plate?.querySelectorAll('circle title').length).toBeGreaterThan(2);
    const nowhere = { ...plot, bands: plot.bands.map((band) => ({ ...band, place: null })), marks: [] };
    expect(svgOf(nowhere, '')).not.toMatch(/data-place|stroke-opacity="0"/);
  });

  test('labels each curve and mark, apart from each other, in the order of their heights', () => {
    const found = labels(svgOf(plot, ''));
    expect(found.map(({ text }) => text).toSorted()).toEqual(['limit 82 °C', 'plate', 'print side', 'target 80 °C']);
    const heights = found.map(({ y }) => y).toSorted((a, b) => a - b);
    for (const [i, y] of heights.slice(1).entries()) expect(y - (heights[i] as number)).toBeGreaterThanOrEqual(13.9);
    const of = (text: string) => found.find((each) => each.text === text)?.y as number;
    expect(of('plate')).toBeLessThan(of('limit 82 °C'));
    expect(of('limit 82 °C')).toBeLessThan(of('target 80 °C'));
  });

  test('labels marks above each other where they would cover each other, and none beyond the edges', () => {
    const upright = (at: number, label: string) => ({
      ...(plot.marks[2] as (typeof plot.marks)[number]),
      label,
      low: at,
      high: at,
    });
    const svg = svgOf(
      { ...plot, marks: [upright(0, 'a long label'), upright(1, 'another label'), upright(4, 'b')] },
      '',
    );
    const found = [...document(svg).querySelectorAll('text')].flatMap((each) => {
      const own = `${each.getAttribute('transform')} ${each.parentElement?.getAttribute('transform')}`;
      const y = [...own.matchAll(/translate\([^,]+,([^)]+)\)/g)].reduce((sum, [, more]) => sum + Number(more), 0);
      return each.textContent?.includes('3 to 3.5 min') ? [{ text: each.textContent, y: Number(y) }] : [];
    });
    expect(found).toHaveLength(3);
    const of = (text: string) => found.find((each) => each.text.startsWith(text))?.y as number;
    expect(of('a long')).not.toBe(of('another'));
    expect(of('b')).toBe(of('a long'));
  });

  test('has room for its longest label', () => {
    const wide = { ...(plot.marks[0] as (typeof plot.marks)[number]), label: 'a label that is longer than others' };
    const width = (svg: string) => Number(/viewBox="0 0 (\d+)/.exec(svg)?.[1]);
    expect(width(svgOf({ ...plot, marks: [wide] }, ''))).toBeGreaterThan(width(svgOf(plot, '')) + 50);
  });

  test('tells what a curve comes to where it is pointed at, and marks where what is wanted meets it', () => {
    const [first] = plot.marks;
    const at = { ...(first as (typeof plot.marks)[number]), axis: 'x' as const, low: 3, high: 3 };
    const drawn = document(svgOf({ ...plot, marks: [at] }, ''));
    const titles = [...drawn.querySelectorAll('circle title')].map((each) => each.textContent);
    expect(titles).toContain('plate 35 to 40 °C at 1 min');
    expect(titles).toContain('print side 50 °C at 2 min');
    expect(drawn.querySelectorAll('circle[r="3.5"]')).toHaveLength(2);
    expect(document(svgOf(plot, '')).querySelectorAll('circle[r="3.5"]')).toHaveLength(0);
  });

  test('keeps many labels inside the picture', () => {
    const marks = Array.from({ length: 9 }, (_, i) => ({
      ...(plot.marks[0] as (typeof plot.marks)[number]),
      label: `m${i}`,
      low: 20,
      high: 20,
    }));
    const svg = svgOf({ ...plot, marks }, '');
    const [, height] = /viewBox="0 0 \d+ (\d+)"/.exec(svg) ?? [];
    const ys = [...svg.matchAll(/translate\([\d.]+,([\d.]+)\)[^>]*>m\d/g)].map(([, y]) => Number(y));
    expect(ys).toHaveLength(9);
    expect(Math.max(...ys)).toBeLessThan(Number(height));
  });

  test('tells lines apart without colour', () => {
    const dashes = [...document(svgOf(plot, '')).querySelectorAll('[stroke-dasharray]')].map((each) =>
      each.getAttribute('stroke-dasharray'),
    );
    expect(new Set(dashes)).toContain('7 3');
  });

  test('draws where a curve is flat, and where there is one point', () => {
    const flat = {
      ...plot,
      marks: [],
      bands: [{ label: 'a', about: '', points: [{ x: 1, low: 5, high: 5 }], place: null }],
    };
    expect(svgOf(flat, '')).not.toContain('NaN');
  });
});
