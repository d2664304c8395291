// Texts made to hurt, each checked by a process of its own within a limit of time and memory. What is wrong is said at its place,
// and no answer is lost.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Folder } from '../cli/support.ts';

const program = join(import.meta.dirname, '../../dist/gusset.js');
const folder = new Folder();
afterAll(() => folder.remove());

/** A kind with a value that is computed so, and a block of it. */
function computed(expression: string): string {
  const value = (name: string, by: string) => `  ${name}: Ratio = ${by} {\n    source defined "x"\n  }\n`;
  return `kind gauge {\n  toplevel\n${value('a', '1')}${value('b', expression)}}\n\ngauge A {\n}\n`;
}

const many = (text: string, times: number, between = '') => Array<string>(times).fill(text).join(between);
const message = `${computed('a')}\nrule high on gauge {\n  holds a > 2\n  error "${many('{a}', 300_000)}"\n  source defined "x"\n}\n`;

interface Hostile {
  readonly text: string;
  /** What is said first, and in which line; nothing where the text is good. */
  readonly says: string;
  readonly line?: number;
  readonly seconds: number;
  readonly megabytes: number;
}

/** Times are many times those of an idle machine: they tell what grows with the square of the text from what does not. */
const texts: Record<string, Hostile> = {
  'a sum of 290 terms': { text: computed(many('a', 290, ' + ')), says: '', seconds: 20, megabytes: 300 },
  'a sum of 100,000 terms': {
    text: computed(many('a', 1e5, ' + ')),
    says: 'too_long',
    line: 6,
    seconds: 20,
    megabytes: 300,
  },
  'a condition of 2,000 parts': {
    text: computed(`if ${many('a > 0', 2000, ' and ')} then 1 else 2`),
    says: 'too_long',
    line: 6,
    seconds: 20,
    megabytes: 300,
  },
  'a hundred brackets': {
    text: computed(`${many('(', 100)}a${many(' + a)', 100)}`),
    says: '',
    seconds: 20,
    megabytes: 300,
  },
  'sums in brackets, one in the other': {
    text: computed(`${many('(', 90)}${many('a', 290, ' + ')}${many(' + a)', 90)}`),
    says: 'too_long',
    line: 6,
    seconds: 20,
    megabytes: 300,
  },
  '5,000 dots': { text: computed(`a${many('.a', 5000)}`), says: 'too_long', line: 6, seconds: 20, megabytes: 300 },
  '5,000 calls': { text: computed(`a${many('(x: a)', 5000)}`), says: 'too_long', line: 6, seconds: 20, megabytes: 300 },
  '100,000 mistakes': {
    text: `machine A {\n${many('  wrong_name = 3 wrong\n', 1e5)}}\n`,
    says: 'unknown_value',
    line: 2,
    seconds: 120,
    megabytes: 1500,
  },
  '100,000 braces too many': { text: many('}\n', 1e5), says: 'stray_close', line: 1, seconds: 60, megabytes: 800 },
  '100,000 characters that mean nothing': {
    text: `machine A {\n  ambient = [${many('§ ', 1e5)}]\n}\n`,
    says: 'missing_value',
    line: 2,
    seconds: 30,
    megabytes: 500,
  },
  '900 kB of values in a message': { text: message, says: 'high', line: 11, seconds: 60, megabytes: 1200 },
};

test.each(Object.entries(texts))('%s', { timeout: 200_000 }, (name, { text, says, line, seconds, megabytes }) => {
  folder.write({ 'a.gusset': text, 'good.gusset': 'machine Good {\n}\n' });
  const started = performance.now();
  const args = [`--max-old-space-size=${megabytes}`, program, 'check', '--format', 'json', 'a.gusset', 'good.gusset'];
  const { stdout, stderr, error } = spawnSync(process.execPath, args, {
    cwd: folder.path,
    encoding: 'utf8',
    timeout: seconds * 1000,
    maxBuffer: 2 ** 29,
  });
  expect([error, stderr]).toEqual([undefined, '']);
  const report: { findings: { code: string; line: number }[]; machines: { name: string }[] } = JSON.parse(stdout);
  const [first] = report.findings.filter(({ code }) => code !== 'not_given');
  expect([first?.code ?? '', first?.line]).toEqual([says, line]);
  expect(report.machines.at(-1)?.name).toBe('Good');
  console.info(
    `${name}: ${((performance.now() - started) / 1000).toFixed(1)} s of ${seconds} s, within ${megabytes} MB`,
  );
});
