import { describe, expect, test } from 'vitest';
import { inHall, kinds, order, proposals } from './hall.ts';

describe('blocks', () => {
  test('blocks by the path that leads to them, and parts', () => {
    const rest = '  lamp a\n  hall inner {\n    lamp b\n  }\n  cellar {\n    lamp c\n  }\n';
    expect(order(inHall('spare = <|>', rest), 'a', 'inner', 'inner.b', 'cellar.c', 'cellar', 'small', '?')).toEqual([
      'a',
      'inner.b',
      'cellar.c',
      'small',
      '?',
      'inner',
      'cellar',
    ]);
  });

  test('the nearest of a name', () => {
    const rest = '  lamp a\n  hall inner {\n    lamp a\n    spare = <|>\n  }\n';
    expect(proposals(`${kinds}hall H {\n${rest}}\n`).filter(({ label }) => label === 'a')).toHaveLength(1);
  });
});
