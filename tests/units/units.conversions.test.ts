import { spawnSync } from 'node:child_process';
import Qty from 'js-quantities';
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { readLibrary } from '../../language/project.ts';
import { isUnit, type Unit } from '../../language/units/units.ts';

const { system } = readLibrary(libraryFiles).scope;

/** Prefixes of 2022, which GNU units does not know yet (SI Brochure, 9th edition, version 2.01, table 7). */
const newest: Record<string, number> = { Q: 1e30, R: 1e27, r: 1e-27, q: 1e-30 };

/** Every unit by itself, with each prefix it may have, and every unit that a quantity is shown in. */
function allUnits(): Unit[] {
  const plain = system.plainUnits().filter((unit) => !unit.currency && unit.zero === undefined);
  const prefixed = plain.flatMap((unit) =>
    [...system.prefixes.keys()].filter((prefix) => !(prefix in newest)).map((prefix) => prefix + unit.text),
  );
  const shown = [...system.dimensions.values()]
    .filter((d) => !d.points && !d.money)
    .flatMap((d) => d.shown.filter((u) => u !== '1'));
  const texts = new Set([...plain.map((unit) => unit.text), ...prefixed, ...shown]);
  return [...texts].flatMap((text) => {
    const unit = system.unit(text);
    return isUnit(unit) && !unit.currency ? [unit] : [];
  });
}

const units = allUnits();

/** Coherent units of the base dimensions, as GNU units and most others write them. */
const base: Record<string, string> = {
  Length: 'm',
  Mass: 'kg',
  Time: 's',
  Current: 'A',
  TemperatureDifference: 'K',
  AmountOfSubstance: 'mol',
  LuminousIntensity: 'cd',
};

function coherent(unit: Unit): string {
  const parts = [...unit.dimension.powers].map(([name, power]) => `${base[name] ?? name}^${power}`);
  return parts.join(' ') || '1';
}

/** What the other program calls by another name. In GNU units `h` is Planck's constant and `in` needs its whole name. */
const otherNames: Record<string, string> = {
  rad: 'radian',
  h: 'hour',
  d: 'day',
  in: 'inch',
  deg: 'degree',
  rev: 'revolution',
  t: 'tonne',
};

/** The names of prefixes (SI Brochure, table 7): written out, for `Tm` and the like mean other things to GNU units. */
const prefixNames: Record<string, string> = {
  Y: 'yotta',
  Z: 'zetta',
  E: 'exa',
  P: 'peta',
  T: 'tera',
  G: 'giga',
  M: 'mega',
  k: 'kilo',
  h: 'hecto',
  da: 'deca',
  d: 'deci',
  c: 'centi',
  m: 'milli',
  u: 'micro',
  n: 'nano',
  p: 'pico',
  f: 'femto',
  a: 'atto',
  z: 'zepto',
  y: 'yocto',
};

function inGnu(text: string): string {
  const plain = system.plainUnits().map((unit) => unit.text);
  const prefix = plain.includes(text)
    ? undefined
    : Object.keys(prefixNames).find((p) => text.startsWith(p) && plain.includes(text.slice(p.length)));
  if (prefix) return `${prefixNames[prefix]} ${inGnu(text.slice(prefix.length))}`;
  return text.replace(/[A-Za-z]+/g, (word) => {
    const hours = /^(.*)([AW])h$/.exec(word);
    return hours ? `(${hours[1]}${hours[2]} hour)` : (otherNames[word] ?? word);
  });
}

/** GNU units, Debian package `units`: fails loudly where it cannot be had; tests/setup.mjs installs it. */
function gnuFactors(pairs: readonly (readonly [string, string])[]): number[] {
  const run = spawnSync('units', ['--terse', '--quiet', '--digits', '15'], {
    encoding: 'utf8',
    input: `${pairs.flat().join('\n')}\n`,
  });
  if (run.error) throw new Error(`GNU units cannot be run (${run.error.message}): install the Debian package units`);
  const answers = run.stdout.trim().split('\n');
  if (answers.length !== pairs.length) {
    const at = answers.findIndex((answer) => !(Number(answer) > 0));
    throw new Error(`GNU units does not convert ${pairs[at]?.join(' to ')}: ${answers[at]}`);
  }
  return answers.map(Number);
}

test('there are a few hundred units to compare', () => {
  expect(units.length).toBeGreaterThan(250);
});

test('every unit is what GNU units says it is', () => {
  const factors = gnuFactors(units.map((unit) => [inGnu(unit.text), coherent(unit)]));
  const wrong = units.flatMap((unit, i) =>
    Math.abs((factors[i] as number) / unit.factor - 1) > 1e-12
      ? [`${unit.text}: ${unit.factor}, not ${factors[i]}`]
      : [],
  );
  expect(wrong).toEqual([]);
});

test('points on the scale of temperature, by GNU units', () => {
  const degC = system.unit('degC') as Unit;
  for (const celsius of [-40, 0, 25, 133, 1000]) {
    const run = spawnSync('units', ['--terse', '--digits', '15', `tempC(${celsius})`, 'K'], { encoding: 'utf8' });
    expect(celsius * degC.factor + (degC.zero ?? 0)).toBeCloseTo(Number(run.stdout.trim()), 9);
  }
});

test('pairs of units convert as js-quantities converts them', () => {
  const spelled = (text: string) =>
    text
      .replace(/\*/g, ' ')
      .replace(/\((.*)\)/, '$1')
      .replace(/[A-Za-z]+/g, (w) => ({ d: 'day', deg: 'degree' })[w] ?? w);
  const known = units.filter(
    (unit) =>
      !/[/]\(/.test(unit.text) &&
      Qty.parse(`1 ${spelled(unit.text)}`) !== null &&
      !/Bq|Gy|Sv|kat|percent|ppm|^m?h$/.test(unit.text),
  );
  let compared = 0;
  const wrong: string[] = [];
  for (const [i, a] of known.entries()) {
    const b = known.slice(i + 1).find((other) => other.dimension === a.dimension && other.of === a.of);
    const [from, to] = [Qty(`1 ${spelled(a.text)}`), b && Qty(`1 ${spelled(b.text)}`)];
    if (!b || !to || !from.isCompatible(to)) continue;
    compared++;
    const factor = from.to(to.units()).scalar / to.scalar;
    if (Math.abs(factor / (a.factor / b.factor) - 1) > 1e-9)
      wrong.push(`1 ${a.text} is ${a.factor / b.factor} ${b.text}, not ${factor}`);
  }
  expect(wrong).toEqual([]);
  expect(compared).toBeGreaterThan(100);
});

test.each(Object.entries(newest))('the prefix %s of 2022 is %f', (prefix, factor) => {
  const unit = system.unit(`${prefix}m`);
  expect(isUnit(unit) && unit.factor / factor).toBeCloseTo(1, 12);
});
