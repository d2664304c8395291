import type { Instance } from '../machine/tree.ts';
import type { Scope } from '../names/scope.ts';
import { Money } from './value.ts';

/** Where amounts meet: the block, and what its text sees. */
export interface Meeting {
  readonly self: Instance;
  readonly scope: Scope;
}

/** Where rates are looked for: in the file of the machine, whatever formula meets the amounts. */
export function statedRates({ self, scope }: Meeting): Scope {
  return self.root.layers[0]?.scope ?? scope;
}

/** An amount in another currency, by a rate that the file or one it uses states; undefined where none does. */
export function exchange(amount: Money, code: string, scope: Scope): Money | undefined {
  if (amount.code === code) return amount;
  for (const { own } of scope.visible()) {
    for (const rate of own.rates(scope.system)) {
      if (rate.from === amount.code && rate.to === code) return new Money(amount.amount * rate.factor, code);
      if (rate.to === amount.code && rate.from === code) return new Money(amount.amount / rate.factor, code);
    }
  }
  return undefined;
}
