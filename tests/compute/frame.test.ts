import { expect, test } from 'vitest';
import { type Frame, Locals, ofDeclared, withLocals } from '../../language/compute/frame.ts';
import { Unknown } from '../../language/values/value.ts';

const outer = new Locals(['width', 'name'], [3, 'a']);
const inner = new Locals(['depth', 'width', 'width'], ['x', 4, 5], outer);

test('a name is what the nearest around it gives, of two of one name the last', () => {
  expect([inner.get('width'), inner.get('name'), inner.get('depth'), outer.get('width')]).toEqual([5, 'a', 'x', 3]);
  expect(inner.get('height')).toBeUndefined();
});

test('an argument that was left out is there, and not known', () => {
  const locals = new Locals(['given', 'left_out'], [1], outer);
  expect(locals.get('left_out')).toEqual(new Unknown([]));
  expect(['given', 'left_out', 'name', 'height'].map((name) => locals.has(name))).toEqual([true, true, true, false]);
  // It also hides what stands around by that name.
  expect(new Locals(['width'], [], outer).get('width')).toBeInstanceOf(Unknown);
});

test('a number is looked for in all of them', () => {
  expect(inner.hasNumber()).toBe(true);
  expect(new Locals(['a'], ['x'], outer).hasNumber()).toBe(true);
  expect(new Locals(['a', 'b'], ['x', true], new Locals(['c'], ['y'])).hasNumber()).toBe(false);
});

test('a frame with other names bound is the same but for these, and that of what is declared for all binds none', () => {
  const scope = {} as Frame['scope'];
  const frame = { engine: {}, self: {}, scope: {}, mode: 'block', locals: outer, steps: {} } as unknown as Frame;
  const bound = withLocals(frame, inner);
  expect(bound).toEqual({ ...frame, locals: inner });
  for (const key of ['engine', 'self', 'scope', 'mode', 'steps'] as const) expect(bound[key]).toBe(frame[key]);
  const free = ofDeclared(frame, scope);
  expect([free.engine, free.self, free.scope].map((each, i) => each === [frame.engine, frame.self, scope][i])).toEqual([
    true,
    true,
    true,
  ]);
  expect([free.mode, free.locals, free.steps]).toEqual(['kind', undefined, undefined]);
});
