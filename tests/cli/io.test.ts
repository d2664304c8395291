import { describe, expect, test } from 'vitest';
import { columns, columnsWithin, count, stylesFor, wrap } from '../../server/cli/io.ts';

describe('prose', () => {
  test('is broken between words, none longer than the line is', () => {
    expect(wrap('one two three four', 9)).toBe('one two\nthree\nfour');
    expect(wrap('one two', 7)).toBe('one two');
    expect(wrap('one two', 6)).toBe('one\ntwo');
    expect(wrap('a extraordinarily b', 5)).toBe('a\nextraordinarily\nb');
    expect(wrap('', 5)).toBe('');
  });

  test('behind its indent, and from the second line on another', () => {
    expect(wrap('one two three', 9, '  ')).toBe('  one two\n  three');
    expect(wrap('one two three', 9, '- ', '  ')).toBe('- one two\n  three');
    expect(wrap('one\n\ntwo', 9, '  ')).toBe('  one\n\n  two');
  });
});

describe('columns', () => {
  test('are as wide as their widest cell, the last as it is', () => {
    expect(
      columns([
        ['a', 'bb', 'c'],
        ['aaa', 'b', 'cccc'],
      ]),
    ).toEqual(['a    bb  c', 'aaa  b   cccc']);
    expect(
      columns(
        [
          ['a', ''],
          ['b', 'c'],
        ],
        ' | ',
      ),
    ).toEqual(['a |', 'b | c']);
    expect(columns([])).toEqual([]);
  });

  test('within a width: what costs the fewest lines gives way', () => {
    const rows = [
      ['name', 'what it is said to be by those who know it'],
      ['other', 'short'],
    ];
    const narrow = columnsWithin(rows, 30);
    expect(narrow.flat().every((line) => line.length <= 30)).toBe(true);
    expect(narrow.map((lines) => lines.length)).toEqual([2, 1]);
    expect(narrow[1]?.[0]).toBe('other  short');
    expect(columnsWithin(rows, 200).map((lines) => lines.length)).toEqual([1, 1]);
    // What is as short as a number with its unit stays in one piece.
    expect(columnsWithin([['12.5 kg of iron', '12.5 kg of iron']], 4)).toEqual([['12.5 kg of iron  12.5 kg of iron']]);
  });
});

test('so many of something', () => {
  expect([count(1, 'file'), count(2, 'file'), count(0, 'file'), count(2, 'is', 'are')]).toEqual([
    '1 file',
    '2 files',
    '0 files',
    '2 are',
  ]);
});

test('without colours text is plain, with them it is the same but for those', () => {
  const [plain, bright] = [stylesFor({ colours: false }), stylesFor({ colours: true })];
  for (const style of ['heading', 'quiet', 'error', 'warning', 'advice', 'good', 'caution'] as const) {
    expect(plain[style]('text')).toBe('text');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: what colours are written with
    expect(bright[style]('text').replace(/\u001b\[\d+m/g, ''), style).toBe('text');
    expect(bright[style]('text')).not.toBe('text');
  }
});
