import { expect, test } from 'vitest';
import { parseLazily } from '../../language/grammar/lazy.ts';
import { parse } from '../../language/grammar/parser.ts';
import { spellingOf } from '../../language/grammar/syntax.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';

/** A tree without its links upward, so that two can be compared. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).filter(
    ([key, v]) => key !== '$container' && v !== undefined && v !== false && !(Array.isArray(v) && v.length === 0),
  );
  return Object.fromEntries(
    entries.map(([key, v]) => [key, plain(v)]).sort(([a], [b]) => ((a as string) < (b as string) ? -1 : 1)),
  );
}

test.each(libraryFiles)('$name is read by need as it is read whole', ({ text }) => {
  const whole = parse(text);
  expect(spellingOf(whole)).toEqual([]);
  const byNeed = parseLazily(text);
  expect(byNeed.items.map(({ start, end }) => ({ start, end }))).toEqual(
    whole.items.map(({ start, end }) => ({ start, end })),
  );
  expect(plain(byNeed.file.items)).toEqual(plain(whole.file.items));
  // What is inside leads out to the declaration that stands in the file.
  for (const item of byNeed.file.items)
    if (item.$type === 'Declaration' && item.body) expect(item.body.$container).toBe(item);
});
