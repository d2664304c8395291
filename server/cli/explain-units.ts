import { sourcesOf } from '../../language/answers/derivation.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { baseText, inWords } from '../../language/units/display.ts';
import {
  clausesOf,
  isUnit,
  type NamedDimension,
  type Unit,
  type UnitSystem,
  unitText,
} from '../../language/units/units.ts';
import { coherentUnit } from '../../language/values/show.ts';
import { type Page, sourceInWords } from './page.ts';

/** A unit as it is written: what it measures, how large it is, and which prefixes it takes. */
export function explainUnit(unit: Unit, system: UnitSystem, page: Page): Page {
  const { node, text, symbol } = unit;
  const prefixed = node !== undefined && node.name.text !== text;
  const shown = symbol === text ? '' : `, shown as ${symbol}`;
  page.title(`unit ${text}${shown}`, node);
  if (node) page.documentation(node);
  return page.rows([
    ['measures', unit.of ? inWords(unit.of.name) : measured(unit, system)],
    ['is', sizeOf(unit, system)],
    ['made of', prefixed ? `${text.slice(0, -node.name.text.length) || text} and ${node.name.text}` : undefined],
    ['prefixes', node && !prefixed ? prefixesOf(unit) : undefined],
    ['also in', others(unit, system)],
    ...sourcesOf(node).map((source): [string, string] => ['source', sourceInWords(source)]),
  ]);
}

function measured(unit: Unit, system: UnitSystem): string {
  const names = system.named(unit.dimension).map((named) => inWords(named.name));
  return names.join(', or ') || baseText(system, unit.dimension) || 'a bare number';
}

/** Its size in coherent SI units; for a scale with a zero of its own, how points are converted. */
function sizeOf(unit: Unit, system: UnitSystem): string {
  if (unit.currency) return 'a currency of ISO 4217; two meet only by a rate that a file states';
  const base = coherentUnit({ is: 'quantity', dimension: unit.dimension, named: unit.of }, system);
  if (unit.zero !== undefined)
    return `a point on a scale whose zero is ${unit.zero} ${base}, ${unit.factor} ${base} for each`;
  if (unit.factor === 1) return base && base !== unit.text ? `1 ${base}` : 'a coherent unit of the SI';
  return `${number(unit.factor)}${base ? ` ${base}` : ''}`;
}

/** All digits that a number has, without those that binary arithmetic leaves behind. */
function number(value: number): string {
  return String(Number(value.toPrecision(15)));
}

function prefixesOf(unit: Unit): string {
  const names = clausesOf(unit.node as NonNullable<Unit['node']>, 'prefixes').flatMap((c) => c.values.map(unitText));
  return names.includes('all') ? 'all of the SI' : names.join(', ') || 'none';
}

/** The units that values of the same dimension are shown in. */
function others(unit: Unit, system: UnitSystem): string {
  const named = unit.of ? [unit.of] : system.named(unit.dimension);
  const units = named.flatMap((n) => n.shown).filter((text) => text !== unit.text && text !== '1');
  return [...new Set(units)].join(', ');
}

/** A dimension: how it is made of others, and the units it is written in. */
export function explainDimension(dimension: NamedDimension, system: UnitSystem, page: Page): Page {
  const { name, node, shown } = dimension;
  const units = system.plainUnits().filter((unit) => unit.of === dimension);
  const alike = system.named(dimension.dimension).filter((other) => other !== dimension);
  return page
    .title(`dimension ${name}`, node)
    .documentation(node)
    .rows([
      ['is', node.value ? textOf(node.value).replace(/\s+/g, ' ') : 'a base of its own'],
      ['coherent', dimension.money ? undefined : baseText(system, dimension.dimension)],
      ['shown in', shown.filter((text) => isUnit(system.unit(text))).join(', ')],
      ['units', units.map((unit) => unit.text).join(', ')],
      ['not to mix', alike.length ? `with ${alike.map((other) => inWords(other.name)).join(', ')}` : undefined],
    ]);
}

export function explainPrefix(
  name: string,
  { factor, symbol, node }: { factor: number; symbol: string; node: Parameters<Page['title']>[1] & object },
  page: Page,
): Page {
  const title = `prefix ${name}${symbol === name ? '' : `, shown as ${symbol}`}`;
  return page
    .title(title, node)
    .documentation(node)
    .rows([['is', String(factor)]]);
}
