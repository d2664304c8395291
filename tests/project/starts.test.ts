// The machines to begin with: short, and one that asks for everything. That nothing is found in the others is in cli/new.test.ts.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { format } from '../../language/grammar/format.ts';
import { starts } from '../../language/starts.ts';
import { statementsOf } from '../statements.ts';
import { findingsOf, machineIn, mistakesIn } from '../support.ts';

const whole = starts.filter(({ name }) => name !== 'empty');
const empty = starts.find(({ name }) => name === 'empty');

test('there is one for each file of their folder, each told in a sentence', () => {
  const files = readdirSync(join(import.meta.dirname, '../../language/starts'));
  expect(starts.map(({ name }) => `${name}.gusset`)).toEqual(files.toSorted());
  expect(whole.length).toBeGreaterThanOrEqual(3);
  for (const { about } of starts) expect(about).toMatch(/^[A-Z][^/]{20,130}\.$/);
  for (const { text } of starts) expect(format(text)).toBe(text);
});

/** As few as they are: a start that needs more than it did is noticed. */
const most: Record<string, number> = { 'sliding-bed': 58, small: 69, 'crossing-belts': 69 };

test.each(whole)('$name is short, says what to change first, and is no mistake', ({ name, text }) => {
  expect(statementsOf(text).length).toBeLessThanOrEqual(most[name] ?? 0);
  expect(text).toContain('// Change first: ');
  expect(mistakesIn(text)).toEqual([]);
});

/**
 * Three fifths of what they took before outputs, assemblies and what is computed: 272 and 363. Since, Kestrel says two more, when its bed is probed, and Heron three, what comes off
 * before its nozzle.
 */
test.each([
  ['heron', 166],
  ['kestrel', 219],
])('the example %s takes %i statements', (name, most) => {
  const text = readFileSync(join(import.meta.dirname, `../../examples/${name}.gusset`), 'utf8');
  expect(statementsOf(text).length).toBeLessThanOrEqual(most);
});

test('the empty one is no mistake, finds nothing, and asks what is not said yet', () => {
  expect(empty).toBeDefined();
  const machine = machineIn(empty?.text ?? '');
  expect(findingsOf(machine)).toEqual([]);
  expect(machine.assessment.notSaid.map(({ question }) => question)).toEqual(
    expect.arrayContaining(['What heats it?', 'What moves it?', 'What feeds it?', 'What melts filament?']),
  );
});
