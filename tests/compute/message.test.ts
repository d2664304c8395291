import { expect, test } from 'vitest';
import { blockContext, blockFrame } from '../../language/compute/machine.ts';
import { isKnown, renderMessage, showExpression } from '../../language/compute/message.ts';
import type { Declaration, Expression, Text } from '../../language/grammar/generated/ast.ts';
import type { Layer } from '../../language/machine/tree.ts';
import { machineIn } from '../support.ts';

const machine = machineIn(`kind hall {
  toplevel
  width: Length default 4 m
  gap: Length?
}
constant one: Text = "{width} wide"
constant other: Text = "{width} with {gap}"
constant plain: Text = "nothing"
hall H {
}
`);
const layer = machine.tree.layers[0] as Layer;
const frame = blockFrame(machine.tree, layer, machine.engine);
const ctx = blockContext(machine.tree, layer);
const text = (name: string) => {
  const found = machine.scope.find(name);
  return (found?.node as Declaration | undefined)?.value as Text;
};

test('a text with the values in it', () => {
  expect(renderMessage(text('one'), frame, ctx)).toBe('4 m wide');
  expect(renderMessage(text('other'), frame, ctx)).toBe('4 m with a length that is not given');
});

test('whether all is known that a text shows', () => {
  expect(['one', 'other', 'plain'].map((name) => isKnown(text(name), frame))).toEqual([true, false, true]);
});

test('one expression by itself, in so many digits', () => {
  const node = machine.scope.kindNamed('hall')?.members.get('width')?.node;
  if (node?.$type !== 'Entry') throw new Error('width is no value');
  expect(showExpression(node.value as Expression, frame, ctx)).toBe('4 m');
  expect(showExpression(node.value as Expression, frame, ctx, { digits: 5 })).toBe('4 m');
});
