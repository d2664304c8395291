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

test('letters of a sort are as wide as each other, and bold ones a tenth wider', () => {
  const sorts: [string, number][] = [
    ["ijlI'|.,:;", 3.3],
    ['frt()[]/\\- ', 4.2],
    ['mwMW@%', 9.8],
    ['0123456789=+−→²°·', 6.6],
    ['ABCDEFGHJKLNOPQRSTUVXYZ', 7.4],
    ['aceß_é', 6.3],
  ];
  for (const [letters, wide] of sorts)
    for (const letter of letters) expect(textWidth(letter, 10), letter).toBeCloseTo(wide, 9);
  expect(textWidth('ab', 10)).toBeCloseTo(12.6, 9);
  expect(textWidth('ab', 10, true)).toBeCloseTo(13.86, 9);
  expect(textWidth('', 10)).toBe(0);
});

test('what fits to the last is left whole, and what fits nowhere keeps its last letter', () => {
  expect(fitted('aa', 10, 12.6)).toBe('aa');
  expect(fitted('aa', 10, 12.6, true)).toBe('…a');
  expect(fitted('aaa', 10, 12.6)).toBe('…a');
  expect(fitted('ab', 10, 1)).toBe('…b');
  expect(wrapped('aa aa', 10, 29.4)).toEqual(['aa aa']);
  expect(wrapped('aa aa', 10, 29.3)).toEqual(['aa', 'aa']);
  expect(wrapped('aaaa a', 10, 19)).toEqual(['…aa', 'a']);
});
