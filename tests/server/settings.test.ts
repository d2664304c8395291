import { expect, test } from 'vitest';
import { readCheckUnopened, readInlineSettings } from '../../server/settings.ts';

const shipped = { enabled: true, headlines: true, proposals: true, requirements: true, measurements: true };

test('what is missing or wrong in a client’s settings is as shipped', () => {
  for (const section of [undefined, null, 3, 'no', {}, { enabled: 'no', headlines: 1 }])
    expect(readInlineSettings(section)).toEqual(shipped);
  expect(readInlineSettings({ enabled: false, measurements: false, other: 3 })).toEqual({
    ...shipped,
    enabled: false,
    measurements: false,
  });
});

test('files that nobody has open are checked unless that is switched off', () => {
  expect([undefined, null, {}, true, 'no'].map(readCheckUnopened)).toEqual([true, true, true, true, true]);
  expect(readCheckUnopened(false)).toBe(false);
});
