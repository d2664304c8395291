import type { Value } from '../values/value.ts';
import { balance, balanceOverRanges } from './balance.ts';
import { combinations, greatestOfEach, greatestPower, greatestSum, leastOfEach } from './combinations.ts';
import { curveAt, lagging, whenReached } from './curve.ts';
import { inTheWay } from './in-the-way.ts';
import { inverse, inverseByLogarithm } from './inverse.ts';
import { joinsOf } from './joins.ts';
import { layeredRise } from './layers.ts';
import { loopCurrents, loopVoltages } from './network.ts';
import { rise, timeTo } from './rise.ts';
import { sampled, sampledFromStart } from './sample.ts';

/** What a formula cannot say: each numeric is declared, with its types and source, in the library under the same name. */
export const numerics: Readonly<Record<string, (...args: Value[]) => Value>> = {
  rise,
  time_to: timeTo,
  balance,
  inverse_by_logarithm: inverseByLogarithm,
  inverse,
  value_at: curveAt,
  when_reached: whenReached,
  lagging,
  layered_rise: layeredRise,
  sampled_from_start: sampledFromStart,
  combinations,
  joins_of: joinsOf,
  in_the_way: inTheWay,
  loop_currents: loopCurrents,
  loop_voltages: loopVoltages,
  greatest_current: greatestSum,
  greatest_inrush: greatestSum,
  greatest_power: greatestPower,
  greatest_of_each: greatestOfEach,
  least_of_each: leastOfEach,
  sampled,
};

/** Of these, what tells bounds from bounds; the others are opaque to them. */
export const numericsOverRanges: Readonly<Record<string, ((...args: Value[]) => Value) | undefined>> = {
  balance: balanceOverRanges,
};
