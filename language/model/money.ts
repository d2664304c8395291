import type { Scope } from './scope.ts';
import { Money } from './value.ts';

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
