// A drawing as a picture: as large as on paper, named, with lines that are told apart without colour.
import { toHtml } from 'hast-util-to-html';
import { parseHTML } from 'linkedom';
import { expect, test } from 'vitest';
import type { DrawingData } from '../../../server/sheet/drawing.ts';
import { drawingSvg } from '../../../server/sheet/drawing-svg.ts';

const data: DrawingData = {
  is: 'drawing',
  unit: { symbol: 'mm', factor: 0.001 },
  isThirdAngle: false,
  bodies: [
    {
      label: 'bed.<block>',
      name: '<block>',
      at: [0, 0, 0],
      sides: [0.4, 0.4, 0.2],
      goes: [0, 0.2, 0],
      isSolid: true,
      isRound: false,
      goesRound: false,
      isDimensioned: true,
      place: { file: 'a.gusset', line: 3, column: 5 },
    },
  ],
  meetings: [],
  notSaid: [],
  taken: [],
};
const svg = toHtml(drawingSvg(data, 'Drawing'));

test('is as wide as it is on paper, and says its scale', () => {
  expect(svg).toMatch(/^<svg class="drawing" viewBox="0 0 170 \d+" width="170mm" height="\d+mm" role="group"/);
  expect(svg).toContain('aria-label="Drawing, 1:10"');
});

test('tells ends of ways from edges by their dashes', () => {
  expect(svg).toContain('stroke-dasharray="4 0.8 0.4 0.8 0.4 0.8"');
  expect(svg).toContain('stroke-width="0.5"');
});

test('leads to the text, and escapes what stands there', () => {
  expect(svg).toContain('data-place="a.gusset:3:5"');
  expect(svg).toContain('400 &#x3C;block></text>');
  expect(svg).not.toContain('<block>');
});

test('outlines, ends of ways and dimensions lead to the text, each as one link with a name', () => {
  const root = parseHTML(`<!doctype html><body>${svg}</body>`).document;
  const links = [...root.querySelectorAll('[data-place]')];
  expect(links.every((each) => each.querySelector('title')?.textContent === 'bed.<block>')).toBe(true);
  const dashed = [...root.querySelectorAll('[stroke-dasharray="4 0.8 0.4 0.8 0.4 0.8"]')];
  expect(dashed.length).toBeGreaterThan(0);
  expect(dashed.every((each) => each.closest('[data-place]'))).toBe(true);
  expect(
    [...root.querySelectorAll('polyline[stroke="var(--quiet)"]')].every((each) => each.closest('[data-place]')),
  ).toBe(true);
});

test('each sort of line has its dashes and its width, and a rod seen along itself is a circle', () => {
  const body = data.bodies[0] as DrawingData['bodies'][number];
  const more = toHtml(
    drawingSvg(
      {
        ...data,
        bodies: [
          { ...body, goes: [0, 0, 0], place: null },
          {
            ...body,
            label: 'rod',
            name: 'rod',
            at: [0, 0.6, 0],
            sides: [0.4, 0.05, 0.05],
            isRound: true,
            goes: [0, 0, 0],
          },
        ],
        meetings: [{ one: 'a', other: 'b', at: [0, 0, 0], sides: [0.1, 0.1, 0.1], place: null }],
      },
      'Drawing',
    ),
  );
  expect(more).toContain('stroke-width="0.25" stroke-dasharray="2 1"');
  expect(more).toContain('stroke-width="0.6" stroke="var(--error)"');
  expect(more).toContain('stroke-width="0.2" stroke="var(--quiet)"');
  // 50 mm at 1:10 are a circle of 2.5 mm; the rod's axis lies 625 mm behind the front, and 25 mm above the ground.
  expect(more).toMatch(/<path d="M[\d.]+ [\d.]+a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0 -5 0" stroke-width="0.5">/);
  expect(more).toContain('transform="rotate(-90 ');
  expect(more).toMatch(/text-anchor="middle" fill="var\(--quiet\)" stroke="none"[^>]*>&#x3C;block>/);
  expect(svg).not.toContain('<title>400');
});
