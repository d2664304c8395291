import { expect, test } from 'vitest';
import { seed } from '../runner/seed.ts';
import { isDanger, loweredIn } from './lowered.ts';
import { projectOf, ruleMachines, sources } from './sources.ts';

/** Of the rules' broken examples one in so many, from where the seed begins; all of them with `SILENCE=all`. */
const oneIn = process.env.SILENCE === 'all' ? 1 : 8;
const broken = ruleMachines('Breaks');

const tellsLess = (name: string, uri: string, sampled = Number.POSITIVE_INFINITY) => {
  const { project, file, files } = projectOf({ name, uri, watched: [uri] });
  const { tried, lowered } = loweredIn(file, files, project, (all) => {
    const step = Math.max(1, Math.floor(all.length / sampled));
    return all.filter((_, i) => i % step === seed % step);
  });
  const found = lowered.filter(({ statement }) => !isDanger(statement));
  return { tried, found: found.map(({ statement, lost }) => `${name}:${statement.line} ${statement.text}: ${lost}`) };
};

test('no statement of a broken example, taken away, makes what is found for safety less grave without a word', () => {
  const some = broken.filter((_, i) => i % oneIn === seed % oneIn);
  const all = some.map(({ name, uri }) => tellsLess(name, uri));
  expect(all.reduce((sum, { tried }) => sum + tried, 0)).toBeGreaterThan(200);
  expect(all.flatMap(({ found }) => found)).toEqual([]);
}, 600_000);

test('nor does one of Magpie', () => {
  const magpie = sources().find(({ name }) => name === 'magpie.gusset');
  const { tried, found } = tellsLess('magpie.gusset', magpie?.uri ?? '', oneIn === 1 ? undefined : 24);
  expect(tried).toBeGreaterThanOrEqual(24);
  expect(found).toEqual([]);
}, 600_000);

test('what protects is no danger, so that its absence is never passed over', () => {
  const protecting = [
    'fuse is blade_5a',
    'cutoff is thermal_link_133c',
    'closes_again = no',
    'stays_off = yes',
    'has_earth = yes',
    'earth = plate_earth',
    'frame_earth = frame_bond',
    'sits = on_plate',
    'fastened = clamped',
    'held_at_both_ends = yes',
    'guarded_entry = yes',
    'touch_proof = yes',
    'path = [psu, lamp]',
    'highest_plausible = 100 degC',
    'unattended = no',
    'separation = 8 mm',
  ];
  const insides = ['machine', 'bed', 'hot_end', 'circuit', 'wire', 'cord', 'inlet', 'site', 'relay', 'board'];
  expect(insides.flatMap((inside) => protecting.filter((text) => isDanger({ text, inside, adds: [] })))).toEqual([]);
});
