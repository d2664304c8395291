import { expect, test } from 'vitest';

let tries = 0;

test('asserts nothing', () => {});
test.fails('is said to fail', () => expect(1).toBe(2));
test('fails once', { retry: 1 }, () => expect(++tries).toBe(2));
test('is good', () => expect(1).toBe(1));
