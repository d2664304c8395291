import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { format } from '../../language/grammar/format.ts';
import { Lexer, type Token } from '../../language/grammar/lexer.ts';
import { parse } from '../../language/grammar/parser.ts';
import {
  type AstNode,
  childrenOf,
  docOf,
  misreadIn,
  nodesAt,
  type ParsedFile,
  rangeOf,
  spellingOf,
} from '../../language/grammar/syntax.ts';
import { interpolations } from '../../language/grammar/texts.ts';
import { seed } from '../runner/seed.ts';
import { gussetFiles } from './files.ts';

const runs = (numRuns: number) => ({ numRuns, seed, endOnFailure: false });

/** Marks, words and lines that have given parsers trouble. */
const fragments = [
  ...'{}()[]",=:.?*-+/^<>x;#§\'%\\'.split(''),
  ...[
    '..',
    '->',
    '==',
    '//',
    '/*',
    '*/',
    '///',
    '\n',
    '\r\n',
    '\t',
    '\uFEFF',
    '\u00A0',
    '\u0000',
    '🛠',
    '\ud800',
    '≤',
    '×',
    '“',
    '²',
    'µ',
  ],
  ...[' if ', ' then ', ' else ', ' not ', ' and ', ' in ', ' is ', ' x ', ' for ', ' every ', ' otherwise ', ' on '],
  ...[
    '24V',
    '24 V',
    '2,5 A',
    '1e9',
    '1e',
    '.5',
    '2026-03-02',
    '5.',
    '5 %',
    '10 mm*x',
    '1 W/(m*K',
    'a.b(',
    'a[',
    'f(a: ',
  ],
  ...[
    'machine A {\n',
    'kind k is l {\n',
    'part p is q\n',
    '}\n',
    '  }\n',
    'bed {\n',
    'use "./a"\n',
    'use a\n',
    'rate 1\n',
  ],
  ...[
    'path = [a, b\n',
    'row 1 mm: 2 A\n',
    'has a*\n',
    'a: one of b, c\n',
    'when a = b\n',
    'accept a at\n',
    'measured a = 1 A\n',
  ],
  ...['('.repeat(250), '{\n'.repeat(150), 'not '.repeat(300), '-'.repeat(300), '2 ^ '.repeat(300), 'a.'.repeat(300)],
];

interface Edit {
  readonly what: 'insert' | 'remove' | 'replace' | 'drop line' | 'repeat line' | 'swap lines' | 'cut';
  readonly at: number;
  readonly length: number;
  readonly text: string;
}

const edit: fc.Arbitrary<Edit> = fc.record({
  what: fc.constantFrom('insert', 'insert', 'remove', 'replace', 'drop line', 'repeat line', 'swap lines', 'cut'),
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.oneof(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: 80 })),
  text: fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...fragments) },
    { weight: 1, arbitrary: fc.string({ unit: 'binary', maxLength: 8 }) },
    { weight: 1, arbitrary: fc.string({ maxLength: 8 }) },
  ),
});

function apply(text: string, { what, at, length, text: inserted }: Edit): string {
  const from = Math.floor(at * text.length);
  const to = Math.min(text.length, from + length);
  if (what === 'insert') return text.slice(0, from) + inserted + text.slice(from);
  if (what === 'remove') return text.slice(0, from) + text.slice(to);
  if (what === 'replace') return text.slice(0, from) + inserted + text.slice(to);
  if (what === 'cut') return text.slice(0, from);
  const lines = text.split('\n');
  const line = Math.min(lines.length - 1, Math.floor(at * lines.length));
  const other = (line + length) % lines.length;
  if (what === 'drop line') lines.splice(line, 1);
  else if (what === 'repeat line') lines.splice(other, 0, lines[line] as string);
  else [lines[line], lines[other]] = [lines[other] as string, lines[line] as string];
  return lines.join('\n');
}

/** A stretch of one of the project's files, from a declaration on, so that many runs take little time. */
const stretch = fc
  .tuple(fc.constantFrom(...gussetFiles), fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 50 }))
  .map(([{ text }, at, length]) => {
    const lines = text.split('\n');
    const starts = lines.flatMap((line, index) => (/^[a-z]/.test(line) ? [index] : []));
    const start = starts[Math.floor(at * (starts.length - 1))] ?? 0;
    return lines.slice(start, start + length).join('\n');
  });
const edited = fc.tuple(stretch, fc.array(edit, { minLength: 1, maxLength: 4 }));

function steps([text, edits]: [string, Edit[]]): string[] {
  const texts = [text];
  for (const change of edits) texts.push(apply(texts.at(-1) as string, change));
  return texts;
}

function walk(node: AstNode, visit: (node: AstNode) => void): void {
  visit(node);
  for (const child of childrenOf(node)) walk(child, visit);
}

/** All that a parse says, in plain data: each node's type, place and own words, and the problems. */
function plain(parsed: ParsedFile): unknown {
  const nodes: string[] = [];
  walk(parsed.file, (node) => {
    const { start, end } = rangeOf(node);
    const own = Object.entries(node).filter(([key, value]) => !key.startsWith('$') && typeof value !== 'object');
    nodes.push(`${node.$type} ${start}-${end} ${JSON.stringify(own.filter(([, value]) => value !== undefined))}`);
  });
  const items = parsed.items.map(({ start, end }) => [start, end]);
  return { nodes, items, problems: spellingOf(parsed) };
}

/** Every character is in a token, or is a blank, or belongs to a comment. */
function expectWhole(text: string, free: boolean): void {
  const lexer = new Lexer(text);
  let offset = 0;
  for (;;) {
    const token = lexer.read(offset, free);
    expect(text.slice(offset, token.start)).toMatch(/^(?:[ \t\r\n\uFEFF\u00A0\u202F\u2009]|\/\/[^\n]*)*$/);
    if (token.kind === 'end') {
      expect(token.end).toBe(text.length);
      return;
    }
    expect(token.end).toBeGreaterThan(token.start);
    if (token.instead === undefined) expect(text.slice(token.start, token.end)).toBe(token.text);
    offset = token.end;
  }
}

function expectInside(parsed: ParsedFile): void {
  const { length } = parsed.text;
  walk(parsed.file, (node) => {
    const { start, end } = rangeOf(node);
    if (!(0 <= start && start <= end && end <= length))
      throw new Error(`${node.$type} at ${start}-${end} of ${length}`);
    for (const child of childrenOf(node)) {
      const inner = rangeOf(child);
      if (child.$container !== node) throw new Error(`${child.$type} does not know its ${node.$type}`);
      if (inner.start < start || inner.end > end) throw new Error(`${child.$type} is not inside its ${node.$type}`);
    }
    if (node.$type === 'Text') interpolations(node as never);
    docOf(node);
  });
  let last = 0;
  for (const item of parsed.items) {
    expect(item.start).toBeGreaterThanOrEqual(last);
    expect(item.end).toBeGreaterThan(item.start);
    last = item.end;
  }
  for (const { start, end, message, fixes } of spellingOf(parsed)) {
    expect(message).toMatch(/^\S.*[.?]$/s);
    for (const place of [{ start, end }, ...fixes.flatMap(({ edits }) => edits)]) {
      expect(place.start).toBeGreaterThanOrEqual(0);
      expect(place.end).toBeGreaterThanOrEqual(place.start);
      expect(place.end).toBeLessThanOrEqual(length);
    }
  }
  for (let offset = 0; offset <= length; offset += Math.max(1, Math.floor(length / 20))) {
    expect(nodesAt(parsed.file, offset)[0]).toBe(parsed.file);
  }
}

/** Tokens as they are read, with line ends only where one line ends and another begins; comments stand among them. */
function meaning(text: string): string[] {
  const lexer = new Lexer(text);
  const found: string[] = [];
  let offset = 0;
  for (;;) {
    const token: Token = lexer.read(offset, false);
    for (const comment of text.slice(offset, token.start).match(/\/\/[^\n]*/g) ?? []) found.push(comment.trimEnd());
    if (token.kind === 'end') return found;
    const said = token.kind === 'number' ? `${token.number} ${token.unit ?? ''}` : token.text;
    if (token.kind !== 'line' || (found.length > 0 && found.at(-1) !== '\n')) found.push(said);
    offset = token.end;
  }
}

function within<T>(milliseconds: number, work: () => T): T {
  const start = performance.now();
  const result = work();
  expect(performance.now() - start).toBeLessThan(milliseconds);
  return result;
}

const withoutLastLine = (tokens: string[]) => (tokens.at(-1) === '\n' ? tokens.slice(0, -1) : tokens);

describe('after any edits', () => {
  test('no text is lost, and no place is outside of the file', () => {
    fc.assert(
      fc.property(edited, (change) => {
        const text = steps(change).at(-1) as string;
        expectWhole(text, false);
        expectWhole(text, true);
        // A second is far more than a text of fifty lines may take, even with the machine busy.
        expectInside(within(1000, () => parse(text)));
      }),
      runs(400),
    );
  });

  test('a parse that builds on the one before says what a new one says', () => {
    fc.assert(
      fc.property(
        fc.array(stretch, { minLength: 1, maxLength: 4 }),
        fc.array(edit, { minLength: 1, maxLength: 5 }),
        (parts, edits) => {
          let parsed: ParsedFile | undefined;
          for (const text of steps([parts.join('\n'), edits])) {
            parsed = parse(text, parsed);
            expect(plain(parsed)).toEqual(plain(parse(text)));
          }
        },
      ),
      runs(250),
    );
  });

  test('a formatted text says the same, and is formatted', () => {
    fc.assert(
      fc.property(edited, (change) => {
        const text = steps(change).at(-1) as string;
        const formatted = within(1000, () => format(text));
        expect(withoutLastLine(meaning(formatted))).toEqual(withoutLastLine(meaning(text)));
        expect(format(formatted)).toBe(formatted);
      }),
      runs(400),
    );
  });

  test('a formatted text has the same mistakes', () => {
    fc.assert(
      fc.property(edited, (change) => {
        const text = steps(change).at(-1) as string;
        const messages = (of: string) => misreadIn(parse(of)).map(({ message }) => message);
        expect(messages(format(text))).toEqual(messages(text));
      }),
      runs(300),
    );
  });
});

test('any text at all', () => {
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string({ unit: 'binary' }),
        fc.array(fc.constantFrom(...fragments), { maxLength: 40 }).map((parts) => parts.join('')),
      ),
      (text) => {
        expectWhole(text, false);
        expectInside(within(1000, () => parse(text)));
        const formatted = format(text);
        expect(format(formatted)).toBe(formatted);
      },
    ),
    runs(300),
  );
});

test('deep nesting is refused, not followed', () => {
  for (const deep of [
    'a { '.repeat(5000),
    '('.repeat(5000),
    `x = ${'['.repeat(5000)}`,
    `x = ${'-'.repeat(5000)}1`,
    `x = ${'2 ^ '.repeat(5000)}2`,
    `x = ${'a['.repeat(5000)}`,
    `x: ${'list of '.repeat(5000)}a`,
    `x = ${'not '.repeat(5000)}yes`,
    `x = ${'if a then '.repeat(5000)}b`,
    `x: ${'('.repeat(5000)}`,
  ]) {
    expect(spellingOf(within(3000, () => parse(`machine M {\n${deep}\n}\n`))).length).toBeGreaterThan(0);
  }
});
