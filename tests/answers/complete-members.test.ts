import { describe, expect, test } from 'vitest';
import { inHall, kinds, order, proposals } from './hall.ts';

describe('after a dot', () => {
  test('what fits first; of a size its sides', () => {
    expect(proposals(inHall('require box.<|>')).map(({ label }) => label)).toEqual(['width', 'depth']);
    expect(
      order(inHall('deep = hall.<|>', '  hall {\n    lamp b\n  }\n'), 'deep', 'width', 'b', 'mode', 'lamp'),
    ).toEqual(['deep', 'width', 'b', 'mode']);
    expect(order(inHall('spare = hall.<|>', '  hall {\n    lamp b\n  }\n'), 'spare', 'b', 'deep')).toEqual([
      'b',
      'spare',
      'deep',
    ]);
  });

  test('of a kind alone its roles as well', () => {
    expect(order(`${kinds}rule r on hall {\n  holds hall.<|>\n}\n`, 'lit', 'deep', 'lamp')).toEqual([
      'lit',
      'deep',
      'lamp',
    ]);
    const sorts = proposals(`${kinds}rule r on hall {\n  holds hall.<|>\n}\n`).map(
      ({ label, sort }) => `${sort} ${label}`,
    );
    expect(sorts).toEqual(expect.arrayContaining(['value lit', 'value spare', 'block lamp']));
  });
});
