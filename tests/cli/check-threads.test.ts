import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Folder } from './support.ts';

const program = join(import.meta.dirname, '../../dist/gusset.js');

const rooms = Object.fromEntries(
  Array.from({ length: 40 }, (_, n) => [
    `room ${String(n).padStart(2, '0')}.gusset`,
    `use "./kinds/stone.gusset"\n\nstone Stone_${n} {\n  weight = ${n} kg\n}\n`,
  ]),
);

const folder = new Folder().write({
  ...rooms,
  'room 13.gusset': 'use "./kinds/stone.gusset"\n\nstone Half_typed {\n  weight =\n}\n',
  'kinds/stone.gusset': `kind stone {
  toplevel
  /// What it weighs.
  weight: Mass
  /// What it is called, with a mistake.
  weighs: Mass = wieght
}

/// It can be lifted.
rule stone_too_heavy on stone {
  holds weight <= 25 kg
  warning "{weight} is too heavy"
  source defined "as written"
}
`,
});
afterAll(() => folder.remove());

const check = (...options: string[]) =>
  spawnSync(process.execPath, [program, 'check', ...options, '.'], { cwd: folder.path, encoding: 'utf8' });

test('several threads find what one finds, in the same order, and what files share once', () => {
  const [one, two] = [check('--format', 'json', '--cores', '1'), check('--format', 'json', '--cores', '2')];
  expect([one.status, one.stderr, two.status, two.stderr]).toEqual([1, '', 1, '']);
  const codes = JSON.parse(one.stdout).findings.map(({ code }: { code: string }) => code);
  expect(codes.filter((code: string) => code === 'stone_too_heavy')).toHaveLength(14);
  expect(codes.filter((code: string) => code === 'unknown_name')).toHaveLength(1);
  expect(two.stdout).toBe(one.stdout);
});

test('a wrong call is one in threads as well', () => {
  folder.write({ 'gusset-project.json': '{ "severities": { "no_such_rule": "error" } }' });
  const [one, two] = [check('--cores', '1'), check('--cores', '2')];
  folder.write({ 'gusset-project.json': '{}' });
  expect([one.status, two.status]).toEqual([2, 2]);
  expect(one.stderr).toContain('gusset-project.json');
  expect(two.stderr).toBe(one.stderr);
});
