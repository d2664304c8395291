import { expect, test } from 'vitest';
import type { Body, Entry } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { statementsOf } from '../../language/machine/statements.ts';

const body = (lines: string): Body => (parse(`hall H {\n${lines}\n}\n`).file.items[0] as Entry).body as Body;

test('of two that give a value, or measure it in place, the first counts', () => {
  const text = body(
    'a = 1 m\na = 2 m\nmeasured a = 3 m on 2026-01-02 in place\nmeasured a = 4 m on 2026-01-03 in place\nmeasured b = 5 m on 2026-01-04',
  );
  const { values, measurements } = statementsOf(text);
  expect(values.get('a')?.given?.value).toMatchObject({ number: '1' });
  expect(values.get('a')?.measured?.value).toMatchObject({ number: '3' });
  // What is only noted beside takes the place of nothing.
  expect(values.has('b')).toBe(false);
  expect(measurements).toHaveLength(3);
});

test('open choices, requirements, blocks and what is not there are told apart', () => {
  const { values, open, requirements } = statementsOf(
    body('a = ?\nb = 1 m\nrequire b < 2 m\nlid {\n}\nno x\nc: Length = 1 m'),
  );
  expect([...values.keys()]).toEqual(['a', 'b', 'x']);
  expect(values.get('x')?.absent?.name.text).toBe('x');
  expect(open).toEqual(['a']);
  expect(requirements).toHaveLength(1);
});

test('no body says nothing, and one is sorted once', () => {
  expect(statementsOf(undefined)).toMatchObject({ open: [], requirements: [], measurements: [] });
  expect(statementsOf(undefined).values.size).toBe(0);
  const text = body('a = 1 m');
  expect(statementsOf(text)).toBe(statementsOf(text));
});
