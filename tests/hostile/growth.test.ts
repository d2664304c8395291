// Twice the text takes about twice the time to read, whatever is wrong with it.
import { expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { spellingOf } from '../../language/grammar/syntax.ts';
import { interpolations } from '../../language/grammar/texts.ts';
import { read } from '../support.ts';

const texts: Record<string, (size: number) => string> = {
  'machines that are not closed': (size) => 'machine A {\n'.repeat(size),
  'blocks that are not closed': (size) => 'bed {\n'.repeat(size),
  'blocks in blocks that are not closed': (size) => 'machine A {\n  bed {\n    plate {\n'.repeat(size / 3),
  'braces too many': (size) => '}\n'.repeat(size),
  'brackets that are not closed': (size) => `machine A {\n${'  path = [a, b\n'.repeat(size)}}\n`,
  'characters that mean nothing': (size) => `machine A {\n  a = [${'§ '.repeat(size)}]\n}\n`,
  'comments of other languages': (size) => `machine A {\n${'  # { bed\n'.repeat(size)}}\n`,
  'values in a message': (size) => `rule r on k {\n  error "${'{a}'.repeat(size)}"\n}\n`,
  'a message without values': (size) => `rule r on k {\n  error "${'{ a '.repeat(size)}"\n}\n`,
};

/** How long a text takes to read (ms), as the processor counts it: a machine that is busy with something else is not taken for the parser. */
function timeOf(text: string): number {
  const start = process.cpuUsage();
  const parsed = parse(text);
  spellingOf(parsed);
  for (const item of parsed.file.items) {
    const said = item.$type === 'Declaration' ? item.body?.members[0] : undefined;
    if (said?.$type === 'Message') interpolations(said.text);
  }
  return process.cpuUsage(start).user / 1000;
}

/** The least time of three; no more than one is taken where that is little enough. */
function leastOf(time: () => number, enough = 0): number {
  let least = time();
  for (let tries = 1; tries < 3 && least >= enough; tries++) least = Math.min(least, time());
  return least;
}

test.each(Object.entries(texts))('%s', { timeout: 120_000 }, (_, textOf) => {
  const [small, large] = [textOf(3000), textOf(24_000)];
  // Eight times the text: eight times the time, and 64 times if it grew with the square.
  const most =
    Math.max(
      leastOf(() => timeOf(small)),
      4,
    ) * 28;
  expect(leastOf(() => timeOf(large), most)).toBeLessThan(most);
});

test('blocks of a machine, all of which lack something', { timeout: 120_000 }, () => {
  const time = (size: number) => {
    const blocks = Array.from({ length: size }, (_, i) => `  fan fan_${i} {\n    power = 2 W\n  }\n`).join('');
    const start = process.cpuUsage();
    const { project, file } = read(`machine A {\n${blocks}}\n`);
    const [machine] = project.machines(file);
    expect(machine?.assessment.undecided.length).toBeGreaterThanOrEqual(size);
    return process.cpuUsage(start).user / 1000;
  };
  const small = Math.min(time(250), time(250));
  // Of sixteen times the blocks: sixteen times the time, and 256 times if it grew with the square.
  expect(time(4000)).toBeLessThan(Math.max(small, 40) * 60);
});
