import { describe, expect, test } from 'vitest';

test('stands beside an empty table', () => expect(1).toBe(1));
describe.each([] as number[])('%i', (number) => test('is one', () => expect(number).toBe(1)));
