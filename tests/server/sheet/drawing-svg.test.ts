// A drawing as a picture: as large as on paper, named, with lines that are told apart without colour.
import { toHtml } from 'hast-util-to-html';
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
