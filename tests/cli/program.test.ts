// The command line as it is built, in a process of its own; and the formatter and the server behind it.
import { spawn, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { bench, Folder } from './support.ts';

const program = join(import.meta.dirname, '../../dist/gusset.js');
const folder = new Folder();
afterAll(() => folder.remove());

describe('as a process', () => {
  test('exit statuses reach the shell, errors go to stderr', () => {
    folder.write({ 'a.gusset': bench });
    const run = (...args: string[]) =>
      spawnSync(process.execPath, [program, ...args], { cwd: folder.path, encoding: 'utf8' });
    expect(run('check', 'a.gusset')).toMatchObject({ status: 0, stderr: '', stdout: expect.stringContaining('Bench') });
    expect(run('check', 'none.gusset')).toMatchObject({ status: 2, stdout: '' });
    expect(run('check', 'a.gusset').stdout).not.toContain('\u001b[');
  });

  test('a reader that has seen enough is no error', () => {
    const command = `"${process.execPath}" "${program}" check --format json a.gusset | head -c 10`;
    const { stderr, stdout } = spawnSync('bash', ['-c', command], { cwd: folder.path, encoding: 'utf8' });
    expect([stderr, stdout.length]).toEqual(['', 10]);
  });

  test('the schema beside the program is the one that it prints', () => {
    const file = readFileSync(join(import.meta.dirname, '../../dist/check.schema.json'), 'utf8');
    const printed = spawnSync(process.execPath, [program, 'check', '--schema'], { encoding: 'utf8' }).stdout;
    expect(JSON.parse(file)).toEqual(JSON.parse(printed));
  });

  test('serve answers a client of the protocol over stdio', async () => {
    const server = spawn(process.execPath, [program, 'serve', '--stdio']);
    const send = (message: object) => {
      const text = JSON.stringify({ jsonrpc: '2.0', ...message });
      server.stdin.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
    };
    let heard = '';
    const initialized = new Promise<void>((resolve) =>
      server.stdout.on('data', (data) => {
        heard += data;
        if (heard.includes('"capabilities"') && heard.endsWith('}')) resolve();
      }),
    );
    send({ id: 1, method: 'initialize', params: { processId: process.pid, rootUri: null, capabilities: {} } });
    await initialized;
    expect(heard).toMatch(/^Content-Length: \d+\r\n\r\n\{/);
    const ended = new Promise((resolve) => server.on('exit', resolve));
    send({ method: 'initialized', params: {} });
    send({ id: 2, method: 'shutdown' });
    send({ method: 'exit' });
    expect(await ended).toBe(0);
  });
});

describe('format', () => {
  const ragged = 'machine  A {\n    ambient=20 degC\n}\n';
  const even = 'machine A {\n  ambient = 20 degC\n}\n';

  test('writes files in place and names those that changed', async () => {
    folder.write({ 'f/a.gusset': ragged, 'f/b.gusset': even });
    const { status, out } = await folder.run('format', 'f');
    expect([status, out]).toEqual([0, 'formatted  f/a.gusset\n1 file more is formatted already.\n']);
    expect(readFileSync(join(folder.path, 'f/a.gusset'), 'utf8')).toBe(even);
    expect((await folder.run('format', 'f')).out).toBe('2 files are formatted already.\n');
  });

  test('with --check only says whether it would', async () => {
    folder.write({ 'f/a.gusset': ragged });
    const { status, out } = await folder.run('format', '--check', 'f/a.gusset');
    expect([status, out]).toEqual([1, 'not formatted  f/a.gusset\n']);
    expect(readFileSync(join(folder.path, 'f/a.gusset'), 'utf8')).toBe(ragged);
    folder.write({ 'f/a.gusset': even });
    expect((await folder.run('format', '--check', 'f')).status).toBe(0);
  });

  test('keeps the mark of the byte order and the ends of lines', async () => {
    folder.write({ 'f/a.gusset': `\ufeff${ragged.replaceAll('\n', '\r\n')}` });
    await folder.run('format', 'f/a.gusset');
    expect(readFileSync(join(folder.path, 'f/a.gusset'), 'utf8')).toBe(`\ufeff${even.replaceAll('\n', '\r\n')}`);
  });

  test('a file that cannot be read is told, with status 2', async () => {
    folder.write({ 'g/a.gusset': ragged });
    const { status, err } = await folder.run('format', 'g/missing.gusset');
    expect([status, err]).toEqual([2, 'gusset: g/missing.gusset cannot be read: there is no such file or folder.\n']);
  });
});
