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

  test('labels each curve and mark, apart from each other, in the order of their heights', () => {
    const found = labels(svgOf(plot, ''));
    expect(found.map(({ text }) => text).toSorted()).toEqual(['limit 82 °C', 'plate', 'print side', 'target 80 °C']);
    const heights = found.map(({ y }) => y).toSorted((a, b) => a - b);
    for (const [i, y] of heights.slice(1).entries()) expect(y - (heights[i] as number)).toBeGreaterThanOrEqual(13.9);
    const of = (text: string) => found.find((each) => each.text === text)?.y as number;
    expect(of('plate')).toBeLessThan(of('limit 82 °C'));
    expect(of('limit 82 °C')).toBeLessThan(of('target 80 °C'));
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
