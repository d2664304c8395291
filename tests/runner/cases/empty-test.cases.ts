import { expect, test } from 'vitest';

test('stands beside an empty table', () => expect(1).toBe(1));
test.each([] as number[])('%i', (number) => expect(number).toBe(1));
