// The command line as it is built, in a process of its own; and the formatter and the server behind it.
import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, lstatSync, readdirSync, readFileSync, statSync, symlinkSync } from 'node:fs';
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

  test('a full disk is told in one line, with status 2', () => {
    const { status, stderr } = spawnSync(
      'bash',
      ['-c', `"${process.execPath}" "${program}" check a.gusset > /dev/full`],
      {
        cwd: folder.path,
        encoding: 'utf8',
      },
    );
    expect([status, stderr]).toEqual([2, 'gusset: the output cannot be written: the disk is full.\n']);
  });

  describe('on the oldest Node that is supported', () => {
    const node = join(import.meta.dirname, 'oldest-node/node_modules/.bin/node');
    const run = (...args: string[]) => {
      const { status, stdout, stderr } = spawnSync(node, [program, ...args], { cwd: folder.path, encoding: 'utf8' });
      return { status, stdout, stderr };
    };
    const here = (...args: string[]) => {
      const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], {
        cwd: folder.path,
        encoding: 'utf8',
      });
      return { status, stdout, stderr };
    };

    test('it is another version than the one that runs the tests', () => {
      const { stdout } = spawnSync(node, ['-p', 'process.versions.node'], { encoding: 'utf8' });
      expect(Number.parseInt(stdout, 10)).toBe(20);
      expect(Number.parseInt(process.versions.node, 10)).toBeGreaterThan(20);
    });

    test.each([
      ['check', 'a.gusset'],
      ['check', '--format', 'json', '--values', 'a.gusset'],
      ['check', '--schema'],
      ['explain', 'rules'],
      ['explain', 'a.gusset', 'Bench.mat.power'],
      ['format', '--check', 'a.gusset'],
      ['--version'],
    ])('%s %s says what it says here', (...args) => {
      folder.write({ 'a.gusset': bench });
      const said = run(...args);
      expect(said).toEqual(here(...args));
      expect(said).toMatchObject({ status: 0, stderr: '' });
      expect(said.stdout).not.toBe('');
    });

    test('serve answers', async () => expect(await conversation(node)).toBe(0));
  });

  test('an older Node is told in one line what is needed', () => {
    // The version is all that the program goes by, and it reads it before anything else is loaded.
    const older =
      "Object.defineProperty(process, 'version', { value: 'v18.20.8' }); Object.defineProperty(process, 'versions', { value: { node: '18.20.8' } });";
    const args = ['--import', `data:text/javascript,${encodeURIComponent(older)}`, program, 'check', 'a.gusset'];
    const { status, stdout, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' });
    expect([status, stdout, stderr]).toEqual([2, '', 'gusset: Node 20 or later is needed; this is v18.20.8.\n']);
  });

  test('the schema beside the program is the one that it prints', () => {
    const file = readFileSync(join(import.meta.dirname, '../../dist/check.schema.json'), 'utf8');
    const printed = spawnSync(process.execPath, [program, 'check', '--schema'], { encoding: 'utf8' }).stdout;
    expect(JSON.parse(file)).toEqual(JSON.parse(printed));
  });

  test('serve answers a client of the protocol over stdio', async () => {
    expect(await conversation(process.execPath)).toBe(0);
  });
});

test('a server that is stuck ends with its client', { timeout: 60_000 }, async () => {
  const client = spawn('sleep', ['1000']);
  // Stuck for good, as in a computation without an end, soon after its first answer.
  const code = `const { stdout } = process;
    const write = stdout.write;
    stdout.write = (...all) => (setTimeout(() => { for (;;); }, 500), write.apply(stdout, all));`;
  const stuck = `data:text/javascript,${encodeURIComponent(code)}`;
  const server = spawn(process.execPath, ['--import', stuck, program, 'serve', '--stdio']);
  const answered = new Promise((resolve) => server.stdout.once('data', resolve));
  const ended = new Promise<unknown>((resolve) => server.on('exit', (status, signal) => resolve(status ?? signal)));
  const params = { processId: client.pid, rootUri: null, capabilities: {} };
  const text = JSON.stringify({ jsonrpc: '2.0', id: 1, method: 'initialize', params });
  server.stdin.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
  await answered;
  const still = await Promise.race([ended, new Promise((resolve) => setTimeout(resolve, 3000, 'running'))]);
  expect(still).toBe('running');
  client.kill();
  expect(await ended).toBe('SIGKILL');
});

/** Starts a server, greets it and takes leave of it; the exit status. */
async function conversation(node: string): Promise<unknown> {
  const server = spawn(node, [program, 'serve', '--stdio']);
  const send = (message: object) => {
    const text = JSON.stringify({ jsonrpc: '2.0', ...message });
    server.stdin.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
  };
  let heard = '';
  const ended = new Promise((resolve) => server.on('exit', resolve));
  const initialized = new Promise<void>((resolve) =>
    server.stdout.on('data', (data) => {
      heard += data;
      if (heard.includes('"capabilities"') && heard.endsWith('}')) resolve();
    }),
  );
  send({ id: 1, method: 'initialize', params: { processId: process.pid, rootUri: null, capabilities: {} } });
  await Promise.race([initialized, ended]);
  expect(heard).toMatch(/^Content-Length: \d+\r\n\r\n\{/);
  send({ method: 'initialized', params: {} });
  send({ id: 2, method: 'shutdown' });
  send({ method: 'exit' });
  return ended;
}

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

  test('a file whose brackets do not match is told, with or without --check', async () => {
    const torn = 'machine A {\n  bed {\n  ambient=20 degC\n}\n';
    folder.write({ 't/a.gusset': torn, 't/b.gusset': even });
    for (const options of [[], ['--check']]) {
      const { status, out } = await folder.run('format', ...options, 't');
      const told = 'cannot be formatted  t/a.gusset:2: its brackets do not match\n1 file more is formatted already.\n';
      expect([status, out]).toEqual([1, told]);
    }
    expect(readFileSync(join(folder.path, 't/a.gusset'), 'utf8')).toBe(torn);
  });

  test('a file is written whole or not at all, and keeps its mode and the link that leads to it', async () => {
    folder.write({ 'w/a.gusset': ragged });
    chmodSync(join(folder.path, 'w/a.gusset'), 0o640);
    symlinkSync('a.gusset', join(folder.path, 'w/link.gusset'));
    expect((await folder.run('format', 'w/link.gusset')).status).toBe(0);
    expect(readFileSync(join(folder.path, 'w/a.gusset'), 'utf8')).toBe(even);
    expect(statSync(join(folder.path, 'w/a.gusset')).mode & 0o777).toBe(0o640);
    expect(lstatSync(join(folder.path, 'w/link.gusset')).isSymbolicLink()).toBe(true);
    expect(readdirSync(join(folder.path, 'w')).toSorted()).toEqual(['a.gusset', 'link.gusset']);
  });

  test.each(['\r', '\r\n', '\r\r\n', '\n\r'])('line ends as %j: what is formatted once stays', async (end) => {
    const { format: layOut } = await import('../../language/grammar/format.ts');
    const once = layOut(`${ragged}machine B {\n  // left\n  power ==\n}\n`.replaceAll('\n', end));
    expect(layOut(once)).toBe(once);
    expect(once).toContain('ambient = 20 degC');
    expect(once).not.toMatch(/\r(?!\n)/);
  });
});
