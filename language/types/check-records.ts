import type {
  Alteration,
  Check,
  Checked,
  Clause,
  DateValue,
  Expression,
  Item,
  Measurement,
  Setting,
} from '../grammar/generated/ast.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import { belongsIn, clauses } from '../grammar/words.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import { nearest } from '../mistakes/sentence.ts';
import { spelling } from '../mistakes/spelling.ts';
import type { Checking, Kind } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { anyType, bareNumber, textType, truthType } from '../names/type.ts';
import { unitText } from '../units/units.ts';
import { blockAt } from './bind.ts';
import type { Context } from './context.ts';
import { expect, infer } from './infer.ts';
import { checkRecorded, kindChecked, typeRead, typeRestedOn } from './records.ts';
import { memberOf } from './situation.ts';
import { kindInWords, type Report, replaceWithNearest, statementWord, tell } from './tell.ts';

// ---- what a kind says can be checked ----

/** What each sort has to say. */
const needed = {
  check: ['stage', 'how'],
  symptom: ['shows'],
  defect: ['alters', 'odds', 'how'],
} as const;

/**
 * A check says at which stage or step it is made, or when it is repeated, and how; a symptom when it shows, a defect what it alters, how often it is
 * met, and how it is found. What these read and rest on fits.
 */
export function checkCheck(node: Check, kind: Kind, scope: Scope, report: Report): void {
  const ctx: Context = { scope, mode: 'kind', kind, report };
  const said = new Set<string>();
  for (const member of node.body?.members ?? []) {
    if (member.$type === 'Source') continue;
    if (member.$type === 'Alteration' && node.what === 'defect') {
      said.add('alters');
      checkAlteration(member, kind, ctx);
    } else if (member.$type === 'Clause' && belongsIn(member, node.what)) {
      said.add(member.keyword);
      checkClause(member, kind, ctx);
    } else tell(report, member, placing.not_here.check(statementWord(member), node.what));
  }
  if (said.has('repeat') || said.has('step')) said.add('stage');
  for (const word of needed[node.what])
    if (!said.has(word)) tell(report, node.name ?? node, placing.half_check[word](node.name?.text ?? ''));
}

/** A defect alters a value of the kind that takes no arguments: to one, or to one between two. */
function checkAlteration({ name, value }: Alteration, kind: Kind, ctx: Context): void {
  const member = kind.members.get(name?.text ?? '');
  if (!member || member.role === 'child' || member.parameters.length > 0)
    return tell(ctx.report, name, naming.unknown_value.in(kindInWords(kind), name?.text ?? ''));
  const ends = value?.$type === 'Binary' && value.operator === '..' ? [value.left, value.right] : [value];
  for (const end of ends) expect(end, ctx, member.type ?? anyType);
}

/** How a value is measured, in words, and what is read then. */
export function checkTelling(node: Clause, ctx: Context): void {
  for (const value of node.values) {
    if (clauses[node.keyword].contents === 'message') expect(value, ctx, textType);
    else infer(value, ctx);
  }
}

function checkClause(node: Clause, kind: Kind, ctx: Context): void {
  const { contents } = clauses[node.keyword];
  for (const value of node.values) {
    if (contents === 'condition') expect(value, ctx, truthType);
    else if (node.keyword === 'odds') expect(value, ctx, bareNumber);
    else if (contents === 'part') expect(value, ctx, { is: 'instance', kind: undefined });
    else if (contents === 'expressions') infer(value, ctx);
    else if (contents !== 'values') expect(value, ctx, textType);
    else if (!typeRestedOn(unitText(value), kind))
      tell(ctx.report, value, naming.unknown_value.in(kindInWords(kind), unitText(value)));
  }
}

// ---- what is recorded of a machine ----

/** A record of a check: one that the kind declares, once, with values of their types. */
export function checkChecked(node: Checked, ctx: Context, recorded: Set<string>): void {
  const { report } = ctx;
  if (node.of) expect(node.of, ctx, { is: 'instance', kind: undefined });
  const kind = kindChecked(node, ctx);
  if (!node.check || !kind) return;
  const check = checkRecorded(node, ctx);
  if (!check) {
    const can = [...kind.checks.keys()];
    const near = nearest(node.check.text, can);
    tell(
      report,
      node.check,
      naming.unknown_check(kindInWords(kind), node.check.text, can, near),
      ...replaceWithNearest(node.check, near),
    );
    return;
  }
  const block = node.of ? blockAt(node.of, ctx) : ctx.instance;
  tellTwice(block && `checked ${check.name} of ${block.path}`, node, check.name, ctx, recorded);
  const type = typeRead(check);
  if (node.value && type) expect(node.value, ctx, type);
  else if (node.value) tell(report, node.value, placing.no_reading(check.name));
  for (const { name, value } of node.rests?.elements ?? []) checkRest(name, value, check, kind, ctx);
}

/** One of the values that something was checked with. */
function checkRest(
  name: (AstNode & { text: string }) | undefined,
  value: Expression,
  check: Checking,
  kind: Kind,
  ctx: Context,
): void {
  const type = name && check.rests.includes(name.text) ? typeRestedOn(name.text, kind) : undefined;
  if (type) expect(value, ctx, type);
  else
    tell(ctx.report, name ?? value, naming.unknown_value.rested(check.name, name?.text ?? textOf(value), check.rests));
}

/** What was measured, or set in the controller: a value of a block, once. */
export function checkNoted(node: Measurement | Setting, ctx: Context, recorded: Set<string>): void {
  const { target } = node;
  const type = infer(target, ctx);
  expect(node.value, ctx, type);
  const member = memberOf(target, ctx);
  if (member?.role === 'child') tell(ctx.report, target, placing.block_expected(member.name));
  const block = target?.$type === 'Access' ? blockAt(target.object, ctx) : ctx.instance;
  const what = node.$type === 'Setting' ? 'set' : 'measured';
  if (member) tellTwice(block && `${what} ${block.path}.${member.name}`, node, member.name, ctx, recorded);
}

/** Reports a second record of the same thing: nothing says which of the two counts. */
function tellTwice(
  key: string | undefined,
  node: AstNode,
  name: string,
  { report }: Context,
  recorded: Set<string>,
): void {
  if (!key) return;
  if (recorded.has(key)) tell(report, node, naming.said_twice.record(name));
  recorded.add(key);
}

/**
 * The days of an item's records: looked for once, since all of a file are asked for at each edit, and an edit that keeps the item
 * keeps its records as they are.
 */
const daysOf = new WeakMap<Item, readonly DateValue[]>();

/** Records of a day that is still to come. */
export function checkDays(item: Item, today: string, report: Report): void {
  const days = daysOf.get(item) ?? datesIn(item);
  daysOf.set(item, days);
  for (const date of days) if (date.date > today) tell(report, date, spelling.no_such_day.ahead(date.date, today));
}

function datesIn(node: AstNode): DateValue[] {
  if (node.$type === 'Measurement' || node.$type === 'Checked' || node.$type === 'Setting')
    return (node as Measurement).date ? [(node as Measurement).date] : [];
  const { body } = node as { body?: { members: readonly AstNode[] } };
  return (body?.members ?? []).flatMap(datesIn);
}
