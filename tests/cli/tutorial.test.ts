// The steps from the empty file to no findings, as the language page shows them: each is done, and says what stands there.
import { afterAll, expect, test } from 'vitest';
import { languagePage } from '../../language/library/generated/manual.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const [, tutorial = ''] = languagePage.split('## A first machine, step by step\n');
const steps = (tutorial.split('\n## ')[0] as string).split('\n### ').slice(1);
const blocks = (step: string, kind: string) =>
  [...step.matchAll(/```(\w+)\n([\s\S]*?)```/g)].flatMap(([, of, text = '']) => (of === kind ? [text] : []));

/** A text with a change made as the page shows it: its lines without `+` stand there once, and those with `-` go. */
function changed(text: string, change: string): string {
  const lines = change.trimEnd().split('\n');
  const of = (signs: string) =>
    lines.filter(([sign = ' ']) => signs.includes(sign)).map((line) => `${line.slice(1)}\n`);
  const [before, after] = [of(' -').join(''), of(' +').join('')];
  if (text === '') return after;
  expect(`\n${text}`.split(`\n${before}`)).toHaveLength(2);
  return `\n${text}`.replace(`\n${before}`, () => `\n${after}`).slice(1);
}

const plain = (text: string) => text.replace(/\s+/g, ' ').trim();

test('there are eight steps, each with something to write and what is then said', () => {
  expect(steps.map((step) => step.slice(0, 2))).toEqual(['1.', '2.', '3.', '4.', '5.', '6.', '7.', '8.']);
  for (const step of steps) {
    expect(blocks(step, 'diff').length).toBeGreaterThan(0);
    expect(blocks(step, 'console')).toHaveLength(1);
  }
});

test('each step says what the page shows, and after the last nothing is found', { timeout: 120_000 }, async () => {
  let text = '';
  for (const step of steps) {
    text = blocks(step, 'diff').reduce(changed, text);
    folder.write({ 'finch.gusset': text });
    const { out } = await folder.run('check', '--strict', 'finch.gusset');
    for (const line of (blocks(step, 'console')[0] as string).trim().split('\n'))
      expect(plain(out)).toContain(plain(line));
  }
  expect(steps.at(-1)).toContain('Nothing found');
  expect((await folder.run('format', '--check', 'finch.gusset')).status).toBe(0);
});
