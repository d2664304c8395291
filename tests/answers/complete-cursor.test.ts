import { describe, expect, test } from 'vitest';
import { cursorAt } from '../../language/answers/complete-cursor.ts';
import { read } from '../support.ts';

const kinds = `kind hall {
  toplevel
  width: Length default 1 m
  has lamp*
}
kind lamp {
  power: Power
}
`;
function place(marked: string) {
  const offset = marked.indexOf('<|>');
  const { file } = read(marked.replace('<|>', ''));
  const found = cursorAt(file, offset);
  return (
    found && {
      typed: file.parsed.text.slice(found.start, found.end),
      before: found.before,
      after: found.after,
      path: found.path.map(({ $type }) => $type),
      block: found.outer.ctx.instance?.path,
      kind: found.outer.ctx.kind?.name,
    }
  );
}
const inHall = (line: string) => `${kinds}hall H {\n${line}\n}\n`;

describe('the place where a completion is asked for', () => {
  test('what is typed of the name is replaced, up to its end', () => {
    expect(place(inHall('  wid<|>th = 1 m'))).toMatchObject({ typed: 'width', before: '  ', after: ' = 1 m' });
    expect(place(inHall('  width = wi<|>'))).toMatchObject({ typed: 'wi', before: '  width = ' });
    expect(place(inHall('  width = 3 m<|>m'))?.typed).toBe('mm');
    expect(place(inHall('  width = 3 <|>'))?.typed).toBe('');
    expect(place(inHall('  width = 3 W/(m<|>'))?.typed).toBe('W/(m');
  });

  test('is read as if a name stood there', () => {
    expect(place(inHall('  width = <|>'))?.path).toEqual(['Entry', 'Reference', 'Name']);
    expect(place(inHall('  width = 1 m + <|>'))?.path).toEqual(['Entry', 'Binary', 'Reference', 'Name']);
    expect(place(inHall('  require a.<|>'))?.path).toEqual(['Requirement', 'Access', 'Name']);
    expect(place(inHall('  width = 3 <|>'))?.path.at(-1)).toBe('Quantity');
    expect(place(inHall('  lamp a is <|>'))?.path).toEqual(['Entry', 'Name']);
  });

  test('sees the block around, and the kind', () => {
    expect(place(inHall('  <|>'))).toMatchObject({ block: 'H', kind: 'hall' });
    expect(place(inHall('  lamp a {\n    <|>\n  }'))).toMatchObject({ block: 'H.a', kind: 'lamp' });
    expect(place(`${kinds}kind k is hall {\n  <|>\n}\n`)).toMatchObject({ block: undefined, kind: 'k' });
    expect(place(`${kinds}kind k {\n  has lamp {\n    <|>\n  }\n}\n`)).toMatchObject({ kind: 'lamp' });
    expect(place(`${kinds}rule r on hall {\n  holds <|>\n}\n`)).toMatchObject({ kind: 'hall' });
    expect(place(`${kinds}<|>\n`)).toMatchObject({ block: undefined, kind: undefined });
  });

  test('before the brace of a block it stands outside', () => {
    expect(place(`${kinds}hall H<|> {\n}\n`)).toMatchObject({ block: undefined });
    expect(place(`${kinds}hall H <|>{\n}\n`)).toMatchObject({ block: undefined });
    expect(place(`${kinds}hall H {<|>\n}\n`)).toMatchObject({ block: 'H' });
    expect(place(`${kinds}hall H {\n}<|>\n`)).toMatchObject({ block: undefined });
    expect(place(inHall('  lamp a<|> {\n  }'))).toMatchObject({ block: 'H' });
  });

  test('a block that is not closed yet is one all the same', () => {
    expect(place(`${kinds}hall H {\n  lamp a {\n    <|>\n`)).toMatchObject({ block: 'H.a' });
    expect(place(`${kinds}hall H {\n  lamp a {\n    <|>\n\nhall I {\n}\n`)).toMatchObject({ block: 'H.a' });
  });

  test('an expression in a message is one, its text is not', () => {
    const message = (text: string) => place(`${kinds}rule r on hall {\n  error ${text}\n}\n`);
    expect(message('"{wid<|>} wide"')).toMatchObject({ typed: 'wid', kind: 'hall' });
    expect(message('"{width + <|>} wide"')?.path.at(0)).toBe('Binary');
    expect(message('"wide <|>"')).toBeUndefined();
    expect(message('"{width} <|>"')).toBeUndefined();
    expect(message('"a \\" {wi<|>}"')?.typed).toBe('wi');
  });

  test('there is none in a comment', () => {
    expect(place(inHall('  // wid<|>'))).toBeUndefined();
    expect(place(inHall('  width = 1 m  // wid<|>'))).toBeUndefined();
    expect(place(inHall('  /// wid<|>'))).toBeUndefined();
  });
});

test('the steps of a formula are seen where it is written, and those above in each of them; a block’s value has none', () => {
  const locals = (marked: string) => {
    const offset = marked.indexOf('<|>');
    const { file } = read(marked.replace('<|>', ''));
    const ctx = cursorAt(file, offset)?.outer.ctx;
    return [...(ctx?.locals?.keys() ?? [])];
  };
  const formula = (value: string, first: string, second: string) =>
    `${kinds}kind k is hall {\n  d: Length = ${value} {\n    where half = ${first}\n    where quarter = ${second}\n  }\n}\n`;
  expect(locals(formula('<|>', '1 m', 'half / 2'))).toEqual(['half', 'quarter']);
  expect(locals(formula('quarter', '<|>', 'half / 2'))).toEqual([]);
  expect(locals(formula('quarter', '1 m + <|>', 'half / 2'))).toEqual([]);
  expect(locals(formula('quarter', '1 m', '<|>'))).toEqual(['half']);
  expect(locals(inHall('  width = <|>'))).toEqual([]);
});
