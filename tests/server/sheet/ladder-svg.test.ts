import { toHtml } from 'hast-util-to-html';
import { parseHTML } from 'linkedom';
import { expect, test } from 'vitest';
import { laddersSvg } from '../../../server/sheet/ladder-svg.ts';
import { hostile } from './sample.ts';

const ladder = hostile.sections.flatMap(({ parts }) => parts).find((part) => part.is === 'ladder') as Parameters<
  typeof laddersSvg
>[0];
const svg = laddersSvg(ladder)
  .map((each) => toHtml(each))
  .join('');

test('a ladder is a picture with a name, whose texts stay texts and lead to their places', () => {
  const root = parseHTML(`<!doctype html><body>${svg}</body>`).document.querySelector('svg');
  expect(root?.getAttribute('role')).toBe('group');
  expect(root?.getAttribute('aria-label')).toBe('1 <b>inlet</b>');
  expect(svg).not.toMatch(/<style|style=|<script|><b>|\bon\w+=/);
  const links = [...(root?.querySelectorAll('[data-place] > title') ?? [])].map((each) => each.textContent);
  expect(links).toContain('<b>inlet</b>');
});

test('symbols and lines of what leads somewhere lead there too, and can be hit beside a fine line', () => {
  const root = parseHTML(`<!doctype html><body>${svg}</body>`).document.querySelector('svg');
  const links = [...(root?.querySelectorAll('[data-place]') ?? [])];
  const pad = links.find((each) => each.querySelector('title')?.textContent === 'bed.pad');
  expect(pad?.querySelector('path')?.getAttribute('d')).toBe('M0 10h40');
  expect(pad?.textContent).toContain('230 V · 700 W');
  const wide = [...(pad?.querySelectorAll('[stroke-opacity="0"]') ?? [])];
  expect(wide.map((each) => each.getAttribute('stroke-width'))).toEqual(['10', '10']);
});

test('a wire of two colours shows both, and says them in words', () => {
  expect(svg).toContain('fill="green"');
  expect(svg).toContain('fill="yellow"');
  expect(svg).toContain('green yellow');
});
