import { describe, expect, test } from 'vitest';
import { Lexer } from '../../language/grammar/lexer.ts';

/** The tokens of a text, each as `kind text`, with what is said of it behind a bar. */
function tokens(text: string, free = false): string[] {
  const lexer = new Lexer(text);
  const found: string[] = [];
  for (let at = 0; ; ) {
    const { kind, text: read, end, number, unit, tight, comma, instead } = lexer.read(at, free);
    if (kind === 'end') return found;
    const more = [
      number !== undefined && `${number}`,
      unit && `of ${unit}`,
      tight && 'tight',
      comma && 'comma',
      instead !== undefined && kind !== 'number' && 'instead',
    ].filter(Boolean);
    found.push([`${kind} ${JSON.stringify(read).slice(1, -1)}`, ...more].join('|'));
    at = end;
  }
}

describe('tokens', () => {
  test.each<[string, string[]]>([
    ['a_b2 c', ['word a_b2', 'word c']],
    ['größe _x', ['word größe', 'word _x']],
    ['a // b\nc', ['word a', 'line \\n', 'word c']],
    ['a\r\nb', ['word a', 'line \\n', 'word b']],
    ['3', ['number 3|3']],
    ['3.5', ['number 3.5|3.5']],
    ['3.', ['number 3|3', 'mark .']],
    ['3..5', ['number 3|3', 'mark ..', 'number 5|5']],
    ['3e-4', ['number 3e-4|3e-4']],
    ['3e4m', ['number 3e4m|3|of e4m|tight']],
    ['1,5', ['number 1,5|1.5|comma']],
    ['1, 5', ['number 1|1', 'mark ,', 'number 5|5']],
    ['24 V', ['number 24 V|24|of V']],
    ['24V', ['number 24V|24|of V|tight']],
    ['50 %', ['number 50 %|50|of %']],
    ['50%', ['number 50%|50|of %']],
    ['20 °C', ['number 20 °C|20|of °C']],
    ['3 W/(m*K)', ['number 3 W/(m*K)|3|of W/(m*K)']],
    ['3 s^-1', ['number 3 s^-1|3|of s^-1']],
    ['3 m^2/s', ['number 3 m^2/s|3|of m^2/s']],
    ['3 mm²', ['number 3 mm²|3|of mm^2']],
    ['3 s⁻²', ['number 3 s⁻²|3|of s^-2']],
    ['3 m * 2', ['number 3 m|3|of m', 'mark *', 'number 2|2']],
    ['(3 m)', ['mark (', 'number 3 m|3|of m', 'mark )']],
    ['3 m/(a', ['number 3 m/(a|3|of m/(a']],
    ['3 x 4', ['number 3|3', 'word x', 'number 4|4']],
    ['3 and 4', ['number 3|3', 'word and', 'number 4|4']],
    ['2 on 2026-03-02', ['number 2|2', 'word on', 'date 2026-03-02']],
    ['2026-03-02x', ['number 2026|2026', 'mark -', 'number 03|03', 'mark -', 'number 02|02', 'word x']],
    ['2026-3-2', ['number 2026|2026', 'mark -', 'number 3|3', 'mark -', 'number 2|2']],
    [
      'a == b != c <= d >= e -> f',
      [
        'word a',
        'mark ==',
        'word b',
        'mark !=',
        'word c',
        'mark <=',
        'word d',
        'mark >=',
        'word e',
        'mark ->',
        'word f',
      ],
    ],
    ['"a"', ['string \\"a\\"']],
    ['"a\\"b" c', ['string \\"a\\\\\\"b\\"', 'word c']],
    ['"a // b"', ['string \\"a // b\\"']],
    ['"a\nb', ['string \\"a', 'line \\n', 'word b']],
    ['"a\\\nb', ['string \\"a\\\\', 'line \\n', 'word b']],
    // What has one meaning in mathematics or elsewhere.
    ['a ≤ b', ['word a', 'mark <=|instead', 'word b']],
    ['3 × 4', ['number 3|3', 'word x|instead', 'number 4|4']],
    ['a && b || c', ['word a', 'word and|instead', 'word b', 'word or|instead', 'word c']],
    ['a − b', ['word a', 'mark -|instead', 'word b']],
    ['a; b', ['word a', 'line ;|instead', 'word b']],
    ['“a”', ['string \\"a\\"|instead']],
    ["'a'", ['string \\"a\\"|instead']],
    ['„a“ b', ['string \\"a\\"|instead', 'word b']],
    ['\'a "b"\'', ['string \\"a \\\\\\"b\\\\\\"\\"|instead']],
    ["'a", ["bad '", 'word a']],
    ['# $', ['bad #', 'bad $']],
    ['😀', ['bad 😀']],
    ['24\u00a0V', ['number 24\u00a0V|24|of V']],
    ['\ufeffa', ['word a']],
  ])('%j', (text, expected) => expect(tokens(text)).toEqual(expected));

  test('in brackets line ends are blanks, and commas part', () => {
    expect(tokens('1,5\n2;', true)).toEqual(['number 1|1', 'mark ,', 'number 5|5', 'number 2|2', 'bad ;']);
  });

  test('from any offset, up to the end', () => {
    const lexer = new Lexer('ab  cd');
    expect(lexer.read(2, false)).toMatchObject({ text: 'cd', start: 4, end: 6 });
    expect(lexer.read(6, false)).toMatchObject({ kind: 'end', start: 6, end: 6 });
    expect(new Lexer('a  // b').read(1, false)).toMatchObject({ kind: 'end', start: 7 });
  });
});
