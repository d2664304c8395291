// What is given out: the package as npm packs it, installed in an empty folder, with nothing else at hand.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import process from 'node:process';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const root = join(import.meta.dirname, '../..');
const oldestNode = join(import.meta.dirname, 'oldest-node/node_modules/.bin/node');
const folder = mkdtempSync(join(tmpdir(), 'gusset-package-'));
const installed = join(folder, 'node_modules/gusset');
afterAll(() => rmSync(folder, { recursive: true }));

const machine = `use "./stock.gusset"

machine Bench {
  ambient = 20 degC

  bed {
    plate is own_plate
  }
}
`;
const stock = `part own_plate is plate {
  size = 200 mm x 200 mm
  thickness = 3 mm
  material = aluminium
}
`;

function run(command: string, args: string[], path = process.env.PATH ?? '') {
  const env = { ...process.env, PATH: path };
  const { status, stdout, stderr } = spawnSync(command, args, { cwd: folder, encoding: 'utf8', env });
  return { status, stdout, stderr };
}

beforeAll(() => {
  const packed = spawnSync('npm', ['pack', '--ignore-scripts', '--silent', '--pack-destination', folder], {
    cwd: root,
    encoding: 'utf8',
  });
  if (packed.status !== 0) throw new Error(packed.stderr);
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }');
  writeFileSync(join(folder, 'machine.gusset'), machine);
  writeFileSync(join(folder, 'stock.gusset'), stock);
  const install = run('npm', ['install', '--offline', '--no-audit', '--no-fund', `./${packed.stdout.trim()}`]);
  if (install.status !== 0) throw new Error(install.stderr);
});

test('it needs no other package', () => {
  expect(readdirSync(join(folder, 'node_modules')).filter((name) => !name.startsWith('.'))).toEqual(['gusset']);
});

test('it holds its licence, what changed, the notices of all that is bundled, and nothing of the tests or sources', () => {
  const files = readdirSync(installed, { recursive: true, encoding: 'utf8' });
  for (const name of ['LICENSE', 'CHANGELOG.md', 'README.md', 'dist/NOTICES.txt']) expect(files).toContain(name);
  expect(files.filter((path) => /^(tests|language|server|client)\b/.test(path))).toEqual([]);
  const notices = readFileSync(join(installed, 'dist/NOTICES.txt'), 'utf8');
  for (const name of ['commander', 'zod', 'vscode-languageserver']) expect(notices).toMatch(`${name} `);
});

describe.each([
  ['the oldest Node that is supported', oldestNode],
  ['the Node of the tests', process.execPath],
])('on %s', (_, node) => {
  const path = `${dirname(node)}:${process.env.PATH}`;

  test('the command runs', () => {
    const { status, stdout, stderr } = run(join(folder, 'node_modules/.bin/gusset'), ['check', 'machine.gusset'], path);
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toContain('Bench');
  });

  test('the checker can be imported, and says of texts what the command says of files', () => {
    const script = `
      import { readFileSync } from 'node:fs';
      import { check, format } from 'gusset';
      const read = (name) => [name, readFileSync(name, 'utf8')];
      const files = Object.fromEntries(['machine.gusset', 'stock.gusset'].map(read));
      const report = check(files, { only: ['machine.gusset'] });
      console.log(JSON.stringify({ report, laidOut: format('machine A {\\nambient=20 degC\\n}\\n') }));`;
    const { status, stdout, stderr } = run(node, ['--input-type=module', '-e', script]);
    expect([status, stderr]).toEqual([0, '']);
    const command = run(node, [join(installed, 'dist/gusset.js'), 'check', '--format', 'json', 'machine.gusset']);
    const { report, laidOut } = JSON.parse(stdout);
    expect(report).toEqual(JSON.parse(command.stdout));
    expect(report.machines).toMatchObject([{ name: 'Bench', file: 'machine.gusset' }]);
    expect(laidOut).toBe('machine A {\n  ambient = 20 degC\n}\n');
  });
});

test('its types tell right from wrong', () => {
  const lines = [
    `import { check, type CheckOptions } from 'gusset';`,
    `const options: CheckOptions = { values: true };`,
    `const { machines, findings } = check({ 'a.gusset': '' }, options);`,
    `export const lines: number[] = findings.map((finding) => finding.line);`,
    `export const held: (boolean | null)[] = machines.flatMap((m) => m.requirements.map((each) => each.holds));`,
    `// @ts-expect-error: a finding has no such field.`,
    `export const wrong = findings.map((finding) => finding.colour);`,
    `// @ts-expect-error: texts, not numbers.`,
    `check({ 'a.gusset': 1 });`,
  ];
  writeFileSync(join(folder, 'use.ts'), lines.join('\n'));
  const compiler = join(root, 'node_modules/typescript/bin/tsc');
  const options = '--noEmit --strict --module nodenext --target es2022 --types --ignoreConfig'.split(' ');
  const { status, stdout } = run(process.execPath, [compiler, ...options, 'use.ts']);
  expect([stdout, status]).toEqual(['', 0]);
});

test('a path that is not among the texts is told', async () => {
  const { check } = await import('../../server/api.ts');
  expect(() => check({ 'a.gusset': '' }, { only: ['b.gusset'] })).toThrow('There is no text for b.gusset');
});

test('texts find each other by their paths, and findings name them', async () => {
  const { check } = await import('../../server/api.ts');
  const files = {
    './m.gusset': machine.replace('./stock', './parts/stock'),
    'parts/stock.gusset': 'part own_plate is',
  };
  const { findings } = check(files);
  expect(findings.map(({ file }) => file)).toContain('parts/stock.gusset');
  expect(findings.map(({ code }) => code)).not.toContain('no_file');
});

test.each([
  ['of a clone says where it comes from', 'git@code.example:club/gusset.git', 'https://code.example/club/gusset'],
  ['of a checkout without a remote says nothing of it', undefined, undefined],
])('what npm packs %s, and leaves the checkout as it was', (_, remote, address) => {
  const checkout = mkdtempSync(join(tmpdir(), 'gusset-checkout-'));
  const inCheckout = (command: string, ...args: string[]) =>
    spawnSync(command, args, { cwd: checkout, encoding: 'utf8' });
  inCheckout('git', 'init');
  if (remote) inCheckout('git', 'remote', 'add', 'origin', remote);
  mkdirSync(join(checkout, 'client'));
  cpSync(join(root, 'client/origin.mjs'), join(checkout, 'client/origin.mjs'));
  const { prepack, postpack } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).scripts;
  // What is bundled has been built: here only what npm runs around it is tried.
  const scripts = { generate: 'node --version', build: 'node --version', prepack, postpack };
  const before = JSON.stringify({ name: 'gusset', version: '1.0.0', license: 'MIT', scripts }, undefined, 2);
  writeFileSync(join(checkout, 'package.json'), before);
  const packed = inCheckout('npm', 'pack', '--silent');
  expect([packed.status, packed.stderr]).toEqual([0, '']);
  const manifest = JSON.parse(inCheckout('tar', '-xOf', 'gusset-1.0.0.tgz', 'package/package.json').stdout);
  expect([manifest.name, manifest.repository, manifest.bugs]).toEqual([
    'gusset',
    address && { type: 'git', url: `${address}.git` },
    address && { url: `${address}/issues` },
  ]);
  expect(readFileSync(join(checkout, 'package.json'), 'utf8')).toBe(before);
  rmSync(checkout, { recursive: true });
});
