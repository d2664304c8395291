import { expect, test } from 'vitest';
import { cellAt, explainCell } from '../../language/answers/derivation.ts';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesOf } from '../../language/answers/occurrences.ts';
import { format } from '../../language/grammar/format.ts';
import type { SourceFile } from '../../language/project.ts';
import { machineIn, mistakesIn, proposed, read } from '../support.ts';
import { own, springs } from './hung-plate.ts';

test('steps that are right are no mistake', () => expect(mistakesIn(own(springs))).toEqual([]));

test('each step is told where the value is explained', () => {
  const machine = machineIn(own(springs));
  const cell = cellAt('hung_plate.sag', machine);
  expect(cell && explainCell(cell, machine).steps).toEqual([
    { name: 'weight', formula: 'mass * free_fall', shown: '19.6 N' },
    { name: 'both', formula: '2 * stiffness', shown: '2 N/mm' },
  ]);
});

test('a step means what the kind’s text says, whatever a block of the machine is called', () => {
  const text = `kind hall {
  toplevel
  has lamp*
  wide: Length = half {
    where half = reach / 2
  }
}
kind lamp {
}
constant reach: Length = 4 m
hall H {
  lamp reach
}
`;
  const machine = machineIn(text);
  const cell = cellAt('wide', machine);
  expect(cell && explainCell(cell, machine).steps).toEqual([{ name: 'half', formula: 'reach / 2', shown: '2 m' }]);
});

test.each([
  ['    where both = 2 * weight\n    where weight = mass', 'Nothing is called weight'],
  [`${springs}\n    where both = stiffness`, 'both is an argument or a step already'],
  [`${springs}\n    where wrong = mass + stiffness`, 'cannot be added'],
])('%s is told', (steps, message) => {
  expect(mistakesIn(own(steps)).join('\n')).toContain(message);
});

test('a step without a formula is told', () => {
  const text = own(springs).replace('  mass: Mass\n', '  mass: Mass {\n    where half = 1 kg\n  }\n');
  expect(mistakesIn(text).join('\n')).toContain('half is a step, which belongs under a formula');
});

test('a ring through a step is told', () => {
  const text = own('    where again = sag', 'again / 2');
  expect(mistakesIn(text).join('\n')).toContain('lead back to themselves');
});

test('a step is no value of the kind: nothing else sees it', () => {
  const text = own(springs, 'weight / both', '  other: Force = weight {\n    source defined "none"\n  }\n');
  expect(mistakesIn(text).join('\n')).toContain('Nothing is called weight');
});

test('all places of a step are found, and none of another of its name', () => {
  const { project, file } = read(
    own(springs, 'weight / both', '  twice: Force = 2 * weight {\n    where weight = 1 N\n  }\n'),
  );
  const at = file.parsed.text.indexOf('weight / both');
  const symbol = symbolAt(file as SourceFile, at);
  expect(symbol?.sort).toBe('local');
  expect(
    symbol && occurrencesOf(symbol, project).map(({ range }) => file.parsed.text.slice(range.start - 6, range.end)),
  ).toEqual(['gth = weight', 'where weight']);
});

test('steps are proposed where the formula is written', () => {
  expect(proposed(own(springs, '<|>'))).toEqual(expect.arrayContaining(['weight', 'both']));
  expect(proposed(own(`${springs}\n    where more = <|>`))).toEqual(expect.arrayContaining(['weight', 'both']));
});

test('are laid out as other statements are', () => {
  expect(format(own('where weight=mass*free_fall\n where both =2*stiffness'))).toBe(own(springs));
});
