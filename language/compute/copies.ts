// Copies told apart. A block that stands for several, as in `motor * 2`, is computed once and counted so often. Where each of them is
// another one, as machines are that were built, which one is meant is one more thing that differs between scenarios.
import type { Instance } from '../machine/tree.ts';
import { Range } from '../values/value.ts';
import { Cell, type Ends, type Engine } from './cell.ts';

/** The blocks around a block, itself among them, that stand for several, outermost first. */
export function severalAround(instance: Instance): Instance[] {
  const around: Instance[] = [];
  for (let at: Instance | undefined = instance; at; at = at.holder) if (isSeveral(at)) around.unshift(at);
  return around;
}

function isSeveral({ count }: Instance): boolean {
  return Number.isInteger(count) && count > 1;
}

/** From now on each copy of a block is one by itself: ranges from no to yes are the digits of its number. */
export function tellApart(instance: Instance, engine: Engine): void {
  if (engine.copies.has(instance)) return;
  const digits = Array.from({ length: Math.ceil(Math.log2(instance.count)) }, (_, i) => {
    const digit = new Cell(instance, `digit ${i} of its copy`, undefined);
    digit.trial = new Range(0, 1);
    return digit;
  });
  engine.copies.set(instance, digits);
}

/** Which copy of a block is meant in the present scenario, those around it counted in, from 0; what asks rests on that. */
export function copyMeant(instance: Instance, engine: Engine): number {
  return severalAround(instance).reduce((before, each) => {
    const digits = engine.copies.get(each) ?? [];
    const number = digits.reduce((sum, digit, i) => sum + (engine.value(digit) === 1 ? 2 ** i : 0), 0);
    // Digits can say more than there are copies: these mean the last one once more.
    return before * each.count + Math.min(number, each.count - 1);
  }, 0);
}

/** From the present scenario one for each copy of these blocks that are told apart, each of one with each of the others. */
export function scenariosApart(blocks: readonly Instance[], engine: Engine): Ends[] {
  return blocks.reduce<Ends[]>(
    (scenarios, block) =>
      scenarios.flatMap((from) =>
        Array.from({ length: block.count }, (_, copy) => meaning(copy, engine.copies.get(block) ?? [], from)),
      ),
    [engine.scenario],
  );
}

function meaning(copy: number, digits: readonly Cell[], from: Ends): Ends {
  return digits.reduce((at, digit, i) => (at.has(digit) === ((copy >> i) % 2 === 1) ? at : at.flipped(digit)), from);
}
