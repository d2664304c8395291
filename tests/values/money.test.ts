import { expect, test } from 'vitest';
import { exchange, statedRates } from '../../language/values/money.ts';
import { Money } from '../../language/values/value.ts';
import { machineIn, read } from '../support.ts';

const rates = 'rate 1 EUR = 1.25 USD on 2026-03-02\n';
const { scope } = read({ 'a.gusset': 'use "./b.gusset"\n', 'b.gusset': rates }).file;

test('an amount meets another currency by a stated rate, in either direction', () => {
  expect(exchange(new Money(10, 'EUR'), 'USD', scope)).toEqual(new Money(12.5, 'USD'));
  expect(exchange(new Money(10, 'USD'), 'EUR', scope)).toEqual(new Money(8, 'EUR'));
});

test('one’s own needs no rate, another has none', () => {
  const ten = new Money(10, 'CHF');
  expect(exchange(ten, 'CHF', scope)).toBe(ten);
  expect(exchange(ten, 'EUR', scope)).toBeUndefined();
  expect(exchange(new Money(10, 'EUR'), 'CHF', scope)).toBeUndefined();
  expect(exchange(new Money(10, 'EUR'), 'USD', read('').file.scope)).toBeUndefined();
});

test('rates are those of the machine’s file, whatever formula meets the amounts', () => {
  const kinds = 'kind hall {\n  toplevel\n}\n';
  const machine = machineIn(`${rates}${kinds}hall H {\n}\n`);
  expect(statedRates({ self: machine.tree, scope })).toBe(machine.scope);
});
