import type { Body, Clause, Entry, Expression, Member as MemberNode } from '../grammar/generated/ast.ts';
import { itemOf, parsedOf, rangeOf, textOf } from '../grammar/syntax.ts';
import { belongsIn, clauses, wordsIn } from '../grammar/words.ts';
import type { Instance } from '../machine/tree.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { nearest } from '../mistakes/sentence.ts';
import { typing } from '../mistakes/typing.ts';
import { boundsOf, kindOfRole, type Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import type { QuantityType, Type } from '../names/type.ts';
import { clausesOf, unitText } from '../units/units.ts';
import { bind, partKind } from './bind.ts';
import type { Context } from './context.ts';
import { expect, infer } from './infer.ts';
import { literal, quantityText } from './literal.ts';
import {
  kindInWords,
  type NodeMistake,
  type Report,
  replaceWithNearest,
  statementWord,
  type TextFix,
  tell,
} from './tell.ts';

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
  checkHead(node, report);
  checkBelow(node, instance, ctx);
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

/** Before a value that is given stands its name, and nothing else: what else is written there would be lost. */
function checkHead(node: Entry, report: Report): void {
  const { first, name, parameters, count, base, value } = node;
  const beside: [unknown, string][] = [
    [node.shared, 'shared'],
    [name, name?.text ?? ''],
    [parameters.length > 0, 'What stands in brackets'],
    [count, `* ${count?.number}`],
    [base, base?.$type === 'Name' ? `is ${base.text}` : 'is ?'],
    [node.defaults, 'default'],
  ];
  const what = beside.find(([there]) => there)?.[1];
  if (!what) return;
  const text = `${first.text} = `;
  const fix = value && {
    title: `Write ${text}${textOf(value)}`,
    range: () => ({ start: rangeOf(node).start, end: rangeOf(value).start }),
    text,
  };
  tell(report, name ?? count ?? base ?? first, placing.not_here.head(what, first.text), ...(fix ? [fix] : []));
}

/** Below a value that is given stands what is said of the value; more of a part that it points at would be lost there. */
function checkBelow(node: Entry, instance: Instance, ctx: Context): void {
  const { first, value, body } = node;
  const lost = (body?.members ?? []).filter(
    (member) => member.$type !== 'Source' && !(member.$type === 'Clause' && belongsIn(member, 'given')),
  );
  const [said] = lost;
  if (said && value && partPointedAt(value, ctx)) {
    const name = nameForPart(`${instance.name}_${first.text}`, ctx.scope);
    const wording = placing.not_here.more(lost.map(wordOf), first.text, textOf(value), name);
    tell(ctx.report, said, wording, declaringPart(node, name));
    return;
  }
  for (const member of lost)
    tell(ctx.report, member, placing.not_here.given(wordOf(member), first.text, wordsIn('given')));
}

function wordOf(member: MemberNode): string {
  return member.$type === 'Entry' ? (member.name ?? member.first).text : statementWord(member);
}

/** Does a value name a part that is declared in a file? */
function partPointedAt(value: Expression, ctx: Context): boolean {
  const binding = value.$type === 'Reference' ? bind(value.name.text, ctx) : undefined;
  return binding?.is === 'declared' && binding.node.$type === 'Declaration' && binding.node.what === 'part';
}

/** A name that nothing has yet. */
function nameForPart(wanted: string, scope: Scope): string {
  let name = wanted;
  for (let n = 2; scope.find(name) || scope.kindNamed(name); n++) name = `${wanted}_${n}`;
  return name;
}

/** The same with what is said of a part in a part of its own, below what the value stands in. */
function declaringPart(node: Entry, name: string): TextFix {
  const value = node.value as Expression;
  const also = () => {
    const text = parsedOf(node)?.text ?? '';
    const { start } = rangeOf(node);
    const indent = /^[ \t]*/.exec(text.slice(text.lastIndexOf('\n', start - 1) + 1))?.[0] ?? '';
    const body = textOf(node.body as Body).replaceAll(`\n${indent}`, '\n');
    const lineEnd = text.indexOf('\n', rangeOf(itemOf(node) ?? node).end);
    const at = lineEnd < 0 ? text.length : lineEnd;
    return [{ start: at, end: at, text: `\n\npart ${name} is ${textOf(value)} ${body}` }];
  };
  const range = () => ({ start: rangeOf(value).start, end: rangeOf(node).end });
  return { title: `Declare part ${name}`, range, text: name, also };
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
