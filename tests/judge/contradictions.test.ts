import { expect, test } from 'vitest';
import { bench, findingsOf, machineIn } from '../support.ts';

const heater = '    heater {\n      power = 250 W\n      voltage = 24 V\n';

test('what is said not to be there, and is, is an error at what says so', () => {
  const text = bench.replace(heater, `${heater}      no feed\n`);
  expect(text).not.toBe(bench);
  const found = machineIn(text).assessment.findings.filter(({ rule }) => rule === 'said_not_there');
  expect(found.map(({ severity, message }) => `${severity}: ${message}`)).toEqual([
    'error: bed.heater is said to have no feed, but its feed is bed_power: one of the two is wrong',
  ]);
  expect(found[0]?.places.map(({ $type }) => $type)).toEqual(['Absence']);
});

test('it is told once where a part or a base says it, at the machine', () => {
  const text = `${bench}machine Other is Bench {\n  bed {\n    heater {\n      no feed\n    }\n  }\n}\nmachine Third is Other {\n  ambient = 21 degC\n}\n`;
  for (const name of ['Other', 'Third'])
    expect(findingsOf(machineIn(text, name)).filter((line) => line.startsWith('said_not_there'))).toHaveLength(1);
});

test.each([
  ['nothing is said', bench],
  [
    'what is not there is said not to be',
    bench.replace('{ own_plug = yes }', '{\n    own_plug = yes\n    no feed\n  }'),
  ],
])('there is none where %s', (_, text) => {
  expect(findingsOf(machineIn(text))).toEqual([]);
});
