import { expect, test } from 'vitest';
import { fitted, textWidth, wrapped } from '../../../server/sheet/text-width.ts';

test('no letter is reckoned narrower than in a wide sans serif', () => {
  // Advance widths of DejaVu Sans in units of 2048 to the em, read from its file.
  const known = {
    a: 1255,
    e: 1260,
    i: 569,
    m: 1995,
    w: 1675,
    r: 842,
    t: 803,
    A: 1401,
    M: 1767,
    W: 2025,
    0: 1303,
    '.': 651,
    _: 1024,
  };
  for (const [letter, advance] of Object.entries(known))
    expect(textWidth(letter, 1), letter).toBeGreaterThanOrEqual((advance / 2048) * 0.985);
});

test('a text that is too wide is cut from its left, where a path begins', () => {
  expect(fitted('cartridge', 11, 200)).toBe('cartridge');
  const cut = fitted('extruder.hot_end.cartridge', 11, 80);
  expect(cut).toMatch(/^….*cartridge$/);
  expect(textWidth(cut, 11)).toBeLessThanOrEqual(80);
});

test('a text is broken between its words', () => {
  expect(wrapped('one two three', 11, 50)).toEqual(['one two', 'three']);
  expect(wrapped('one two three', 11, 500)).toEqual(['one two three']);
});
