import { expect, test } from 'vitest';
import { seed } from '../runner/seed.ts';
import { tryAll } from './deletions.ts';
import { hasReason } from './reasons.ts';
import { projectOf, type Source, sources } from './sources.ts';

/** Statements that are tried of a file, every so many from where the seed begins. */
const sampled = 16;

const named = (name: string) => sources().find((source) => source.name === name) as Source;

/** Takes a sample of a file's statements away, one at a time. */
function sample(name: string) {
  const { project, file, files } = projectOf(named(name));
  return tryAll(file, files, project, (all) => {
    const step = Math.max(1, Math.floor(all.length / sampled));
    return all.filter((_, i) => i % step === seed % step);
  });
}

test('a statement of a machine that is taken away is missed by somebody, or there is a reason', () => {
  const { tried, silent, eased } = sample('petrel.gusset');
  expect(tried).toBeGreaterThanOrEqual(sampled);
  expect(silent.filter(({ statement }) => !hasReason(statement))).toEqual([]);
  // No default makes what failed for people's safety hold, or not be asked.
  expect(eased).toEqual([]);
}, 600_000);

test('a reason is not there for what protects, feeds or moves', () => {
  const needed = ['fuse is blade_5a', 'cutoff is link_133', 'path = [psu, lamp]', 'guide is rail_9mm', 'belt_drive {'];
  const insides = ['machine', 'bed', 'hot_end', 'circuit', 'axis', 'chamber', 'wire', 'extruder'];
  const excused = insides.flatMap((inside) => needed.filter((text) => hasReason({ text, inside, adds: [] })));
  expect(excused).toEqual([]);
  expect(hasReason({ text: 'sleeve is silicone_sleeve', inside: 'hot_end', adds: [] })).toBe(true);
  // A bed without a heater is no chamber without one.
  expect(hasReason({ text: 'heater {', inside: 'chamber', adds: [] })).toBe(true);
  expect(hasReason({ text: 'heater {', inside: 'bed', adds: [] })).toBe(false);
  // A block that only adds to one which is there may go where each of its statements may.
  const setting = { text: 'setting = 1 A', inside: 'driver', adds: [] };
  const number = { text: 'number = 3', inside: 'driver', adds: [] };
  const block = { text: 'driver first {', inside: 'board' };
  expect(hasReason({ ...block, adds: [setting] })).toBe(true);
  expect(hasReason({ ...block, adds: [setting, number] })).toBe(false);
  expect(hasReason({ ...block, adds: [] })).toBe(false);
});
