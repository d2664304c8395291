import { docOf } from '../grammar/syntax.ts';
import { describeType } from '../names/type.ts';
import { type Situation, someQuantity } from '../types/situation.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import type { Proposal } from './proposal.ts';

/** Prefixes are offered between these factors; others can still be written. */
const offeredPrefixes = { least: 1e-6, most: 1e6 };

/** Units for what is expected after a number: those it is usually given in first. */
export function units({ ctx, expected }: Situation): Proposal[] {
  const { system } = ctx.scope;
  if (expected === someQuantity) return units({ ctx });
  const type = expected?.is === 'sides' || expected?.is === 'list' ? expected.of : expected;
  if (type && type.is !== 'quantity') return [];
  const named = type?.named ?? (type && system.named(type.dimension)[0]);
  const shown = (named?.shown ?? []).filter((text) => text !== '1');
  const plain = system
    .plainUnits()
    .filter((unit) => !type || (named && unit.of ? unit.of === named : unit.dimension === type.dimension));
  const prefixed = type ? plain.flatMap((unit) => withPrefixes(unit.text, system)) : [];
  const all = [...shown, ...plain.map((unit) => unit.text), ...prefixed];
  return [...new Set(all)].map((text, i) => unitProposal(text, i < shown.length ? 0 : unitRank(text, system), system));
}

/** From this rank on units are of prefixes that few use: centi, deci, deca and hecto, where they are not among those that a value is usually given in. */
export const rareUnit = 2;

/** Thousandfolds before centi, deci, deca and hecto; near ones before far ones. */
function unitRank(text: string, system: UnitSystem): number {
  const unit = asUnit(text, system);
  const plain = unit?.node && asUnit(unit.node.name.text, system);
  const steps = unit && plain ? Math.log10(unit.factor / plain.factor) / 3 : 0;
  return (Math.abs(steps - Math.round(steps)) < 1e-6 ? 1 : rareUnit) + Math.abs(steps) / 10;
}

function withPrefixes(unit: string, system: UnitSystem): string[] {
  return [...system.prefixes].flatMap(([prefix, { factor }]) => {
    if (factor < offeredPrefixes.least || factor > offeredPrefixes.most) return [];
    const found = system.unit(prefix + unit);
    return isUnit(found) && found.node === asUnit(unit, system)?.node ? [prefix + unit] : [];
  });
}

function asUnit(text: string, system: UnitSystem) {
  const unit = system.unit(text);
  return isUnit(unit) ? unit : undefined;
}

function unitProposal(label: string, rank: number, system: UnitSystem): Proposal {
  const unit = asUnit(label, system);
  const of = unit?.of ?? (unit && system.named(unit.dimension)[0]);
  const detail =
    of &&
    describeType({ is: 'quantity', dimension: of.dimension, named: of, points: of.points, money: of.money }, system);
  return { label, sort: 'unit', rank, detail, documentation: unit?.node && docOf(unit.node) };
}
