import { expect, test } from 'vitest';
import { isUnit } from '../../language/units/units.ts';
import { explainDimension, explainPrefix, explainUnit } from '../../server/cli/explain-units.ts';
import { diskProject, TextPlaces } from '../../server/cli/files.ts';
import { Page } from '../../server/cli/page.ts';

const project = diskProject('/');
const { system } = project.library.scope;
const page = () =>
  new Page({ out: () => {}, err: () => {}, cwd: '/', colours: false, width: 90 }, TextPlaces.onDisk(project, '/'));
const unit = (text: string) => {
  const found = system.unit(text);
  if (!isUnit(found)) throw new Error(`${text} is no unit`);
  return `${explainUnit(found, system, page())}`;
};

test('a unit: what it measures, how large it is, what it is made of', () => {
  expect(unit('mm')).toMatch(/^unit mm\n/);
  expect(unit('mm')).toMatch(/^ {2}measures {4}length$/m);
  expect(unit('mm')).toMatch(/^ {2}is {10}0\.001 m$/m);
  expect(unit('mm')).toMatch(/^ {2}made of {5}m and m$/m);
  expect(unit('m')).toMatch(/^ {2}is {10}a coherent unit of the SI$/m);
  expect(unit('m')).toMatch(/^ {2}prefixes {4}all of the SI$/m);
  expect(unit('min')).toMatch(/^ {2}is {10}60 s$/m);
  expect(unit('min')).toMatch(/^ {2}prefixes {4}none$/m);
  expect(unit('degC')).toMatch(/^unit degC, shown as °C\n/);
  expect(unit('degC')).toMatch(/a point on a scale whose zero is 273\.15 K, 1 K for each/);
  expect(unit('EUR')).toContain('a currency of ISO 4217');
  expect(unit('W/(m*K)')).toMatch(/^ {2}measures {4}thermal conductivity$/m);
  expect(unit('kg^2')).toMatch(/^ {2}measures {4}kg\^2$/m);
});

test('a dimension: how it is made of others, and what it is not to be mixed with', () => {
  const dimension = (name: string) => `${explainDimension(system.dimensions.get(name) as never, system, page())}`;
  expect(dimension('Length')).toMatch(/^ {2}is {10}a base of its own$/m);
  expect(dimension('Torque')).toMatch(/^ {2}is {10}Force \* Length$/m);
  expect(dimension('Torque')).toMatch(/^ {2}not to mix {2}with energy/m);
  expect(dimension('Area')).toMatch(/^ {2}coherent {4}m\^2$/m);
  expect(dimension('Price')).not.toMatch(/^ {2}coherent/m);
});

test('a prefix', () => {
  const text = `${explainPrefix('k', system.prefixes.get('k') as never, page())}`;
  expect(text).toMatch(/^prefix k\n/);
  expect(text).toMatch(/^ {2}is {10}1000$/m);
});
