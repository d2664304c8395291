import type { Body, Clause, Entry, Expression } from '../grammar/generated/ast.ts';
import { rangeOf, textOf } from '../grammar/syntax.ts';
import { clauses } from '../grammar/words.ts';
import type { Instance } from '../machine/tree.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { nearest } from '../mistakes/sentence.ts';
import { typing } from '../mistakes/typing.ts';
import { boundsOf, kindOfRole, type Member } from '../names/kind.ts';
import type { QuantityType, Type } from '../names/type.ts';
import { clausesOf, unitText } from '../units/units.ts';
import { partKind } from './bind.ts';
import type { Context } from './context.ts';
import { expect, infer } from './infer.ts';
import { literal, quantityText } from './literal.ts';
import { kindInWords, type NodeMistake, type Report, replaceWithNearest, type TextFix, tell } from './tell.ts';

/** A value given in a block: one that its kind takes, of the type and size that are meant. */
export function checkValue(node: Entry, instance: Instance, ctx: Context): void {
  const name = node.first.text;
  const member = instance.member(name);
  const { report } = ctx;
  if (!member) {
    const near = nearest(name, instance.kind.members.keys());
    const takes = [...instance.kind.members.values()]
      .filter((m) => m.role !== 'derived' && m.role !== 'child')
      .map((m) => m.name);
    const wording = naming.unknown_value.given(kindInWords(instance.kind), name, takes, near);
    tell(report, node.first, wording, ...replaceWithNearest(node.first, near));
    infer(node.value, ctx);
    return;
  }
  if (member.role === 'derived') {
    tell(report, node.first, placing.computed_value(name));
    return;
  }
  if (member.role === 'child') {
    const part = partGiven(node, member, ctx);
    tell(report, node.first, placing.block_expected(name, part), ...startingFrom(node, part));
    return;
  }
  let fits = true;
  const told = (mistake: NodeMistake) => {
    fits &&= mistake.severity !== 'error';
    report(mistake);
  };
  expect(node.value, { ...ctx, report: told }, member.type);
  checkTolerance(node, member.type, ctx);
  // A value of another quantity was reported already; how large it is says nothing.
  if (!fits) return;
  checkWithin(node, member, ctx);
  checkWhole(node.value, member, ctx);
}

/** The part that is given to a block as if it were a value, where the block can start from it. */
function partGiven({ value }: Entry, member: Member, { scope }: Context): string | undefined {
  const name = value?.$type === 'Reference' ? value.name?.text : undefined;
  return name && partKind(name, scope)?.isA(kindOfRole(member)) ? name : undefined;
}

/** The same as a block that starts from it. */
function startingFrom({ first, value }: Entry, part: string | undefined): TextFix[] {
  if (!part || !value) return [];
  const text = `${first.text} is ${part}`;
  return [{ title: `Write ${text}`, range: () => ({ start: rangeOf(first).start, end: rangeOf(value).end }), text }];
}

/** What a clause says is one of the words that it can. */
export function checkWords({ keyword, values }: Clause, report: Report): void {
  const options = clauses[keyword].words ?? [];
  for (const value of values)
    if (!options.includes(unitText(value))) tell(report, value, naming.unknown_choice(options, textOf(value)));
}

/** A tolerance is a share, or an amount of the same quantity; of a point of temperature, of which there is no share, a difference. */
export function checkTolerance(node: Entry, type: Type, ctx: Context): void {
  const clausesFor = (keyword: Clause['keyword']) => (node.body ? clausesOf(node as { body: Body }, keyword) : []);
  for (const clause of clausesFor('scatters')) checkWords(clause, ctx.report);
  const stated = clausesFor('varies')[0]?.values[0];
  if (!stated) return;
  const own = infer(stated, { ...ctx, report: () => {} });
  const isShare = own.is === 'quantity' && own.dimension.powers.size === 0;
  if (type.is === 'quantity' && (type.points || !isShare))
    expect(stated, ctx, { is: 'quantity', dimension: type.dimension });
  else if (type.is !== 'quantity') expect(stated, ctx, type);
}

function checkWithin(node: Entry, member: Member, ctx: Context): void {
  const range = boundsOf(member);
  if (!range) return;
  const [low, high] = [literal(range.left, ctx), literal(range.right, ctx)];
  if (low === undefined || high === undefined) return;
  for (const end of ends(node.value)) {
    const value = literal(end, ctx);
    if (value === undefined || (value >= low && value <= high)) continue;
    tell(ctx.report, end, typing.out_of_range(member.name, quantityText(range.left), quantityText(range.right)));
  }
}

/** Both ends of a range, each side of a size; of anything else, itself. */
function ends(value: Expression | undefined): Expression[] {
  if (value?.$type === 'Group') return ends(value.inner);
  if (value?.$type === 'Binary' && (value.operator === '..' || value.operator === 'x'))
    return [...ends(value.left), ...ends(value.right)];
  return value ? [value] : [];
}

/** A bare number that is never told in parts, as a ratio is in percent. */
function isCount({ named }: QuantityType): boolean {
  return named !== undefined && named.shown.length > 0 && named.shown.every((unit) => unit === '1');
}

/** Teeth, motors and fuses come whole. */
function checkWhole(value: Expression | undefined, { name, type }: Member, ctx: Context): void {
  if (type.is !== 'quantity' || !isCount(type)) return;
  for (const end of ends(value)) {
    const number = literal(end, ctx);
    if (number === undefined || Number.isInteger(number)) continue;
    tell(ctx.report, end, typing.not_whole(name, quantityText(end)));
  }
}
