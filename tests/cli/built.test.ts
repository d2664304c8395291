import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { builtFile, version } from '../../server/cli/built.ts';

const root = join(import.meta.dirname, '../..');

test('what was bundled with the program is found, and its version', () => {
  expect(version()).toBe(JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).version);
  expect(builtFile('living-page.js')).toBe(readFileSync(join(root, 'dist', 'living-page.js'), 'utf8'));
});

test('what was not is a mistake in the call', () => {
  expect(() => builtFile('none.js')).toThrow('none.js was not built with this program.');
});
