import { expect, test } from 'vitest';
import { csvOf } from '../../../server/sheet/csv.ts';
import { hostile } from './sample.ts';

test('each table is a file of its own; what a spreadsheet would take for a formula is text', () => {
  const files = csvOf(hostile);
  expect(files.map(({ name }) => name)).toEqual([
    'Finch-At-a-glance.csv',
    'Finch-Findings.csv',
    'Finch-Parts-list-lines.csv',
    'Finch-Warming-up-bed.csv',
    'Finch-Checks-With-the-plug-b-pulled-b.csv',
    'Finch-Wiring-1-b-inlet-b-230-V.csv',
  ]);
  // RFC 4180: fields with quotes or commas in quotes, quotes doubled, lines end in CR LF.
  expect(files[2]?.text).toBe(`,price,is\r\na|b,"'+3 EUR",loose\r\n"'@c","""x"", y",held\r\n`);
  expect(files[4]?.text).toContain(`screw,"'=turned()"`);
  expect(files[0]?.text).toContain(`bed.heater,power,"'=cmd()"`);
});

test('files of one name are counted', () => {
  const section = hostile.sections[2] as (typeof hostile.sections)[number];
  expect(csvOf({ ...hostile, sections: [section, section] }).map(({ name }) => name)).toEqual([
    'Finch-Parts-list-lines.csv',
    'Finch-Parts-list-lines-2.csv',
  ]);
});
