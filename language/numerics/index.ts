import type { Value } from '../model/value.ts';
import { balance } from './balance.ts';
import { combinations, greatestOfEach, greatestPower, greatestSum, leastOfEach } from './combinations.ts';
import { curveAt, lagging, whenReached } from './curve.ts';
import { inverse, inverseByLogarithm } from './inverse.ts';
import { joinsOf } from './joins.ts';
import { layeredRise } from './layers.ts';
import { loopCurrents, loopVoltages } from './network.ts';
import { rise, timeTo } from './rise.ts';
import { sampled, sampledFlow } from './sample.ts';

/** What a formula cannot say: each numeric is declared, with its types and source, in the library under the same name. */
export const numerics: Readonly<Record<string, (...args: Value[]) => Value>> = {
  rise,
  time_to: timeTo,
  balance,
  temperature_by_resistance: inverseByLogarithm,
  temperature_by_voltage: inverse,
  value_at: curveAt,
  when_reached: whenReached,
  lagging,
  layered_rise: layeredRise,
  flow_curve: sampledFlow,
  combinations,
  joins_of: joinsOf,
  loop_currents: loopCurrents,
  loop_voltages: loopVoltages,
  greatest_current: greatestSum,
  greatest_inrush: greatestSum,
  greatest_power: greatestPower,
  greatest_of_each: greatestOfEach,
  least_of_each: leastOfEach,
  torque_curve: sampled,
  acceleration_curve: sampled,
  speed_without_torque: balance,
};
