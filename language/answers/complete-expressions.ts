import type {
  Argument,
  Call,
  Checked,
  Entry,
  GussetKeywordNames,
  List,
  ListElement,
} from '../grammar/generated/ast.ts';
import { type AstNode, docOf, textOf } from '../grammar/syntax.ts';
import type { Kind, Member } from '../names/kind.ts';
import { type Type, typeOf } from '../names/type.ts';
import { bind } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import { type LanguageFunction, languageFunctions } from '../types/functions.ts';
import { checkRecorded } from '../types/records.ts';
import { parametersOf, type Situation } from '../types/situation.ts';
import { blocks, holders } from './complete-blocks.ts';
import { closeness } from './complete-closeness.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { memberProposal } from './complete-members.ts';
import { kindNames, partNames } from './complete-names.ts';
import { isCurrent, isCurrentMember } from './deprecated.ts';
import { typeWithUnits } from './docs.ts';
import { languageWord } from './language-words.ts';
import type { Proposal } from './proposal.ts';

/** What an expression can begin with here. */
export function expressions(cursor: CursorPlace): Proposal[] {
  const { path, situations } = cursor;
  const reference = path.at(-2) as AstNode;
  const { ctx, expected, member } = situations.at(-2) as Situation;
  const parent = path.at(-3) as (AstNode & Record<string, unknown>) | undefined;
  if (parent?.$type === 'Binary' && parent.operator === 'is' && parent.right === reference) return kindNames(ctx.scope);
  if (parent?.$type === 'Measurement' && parent.target === reference) return measurable(ctx);
  if (parent?.$type === 'Setting' && parent.target === reference) return settable(ctx);
  if (parent?.$type === 'Remedy' && parent.target === reference) return changeable(ctx);
  const named = rests(path, situations);
  if (named) return named;
  const whole = parent?.$type === 'Entry' || parent?.$type === 'Remedy';
  const own = nameBeingGiven(cursor);
  const held = heldAlready(path);
  const isGiven = ctx.mode === 'block' && path[0]?.$type === 'Entry';
  const isListed = isGiven && parent?.$type === 'ListElement';
  return [
    ...argumentNames(path, situations),
    ...choices(ctx, expected),
    ...(whole ? sizesOf(member, ctx) : []),
    ...(whole && member ? likelyValues(member, cursor) : []),
    ...(whole && ctx.mode === 'block' ? openChoice(member) : []),
    ...locals(ctx, expected),
    ...(ctx.mode === 'block' ? blocks(ctx, expected) : []),
    ...(isListed && expected?.is === 'instance' ? [] : ownValues(ctx, expected, isGiven)),
    ...declaredValues(ctx, expected, isListed),
    ...languageWords(parent, expected, ctx),
  ].filter(({ label, sort }) => (label !== own || sort !== 'value') && !held.has(label));
}

/** The names that the list around holds already: they are not proposed a second time. */
function heldAlready(path: readonly AstNode[]): ReadonlySet<string> {
  const list = path.findLast((node) => node.$type === 'List') as List | undefined;
  const within = list && path[path.indexOf(list) + 1];
  const others = list?.elements.filter((element) => element !== within) ?? [];
  return new Set(others.map(({ value }) => textOf(value)));
}

/** The values that a record's check rests on and the record does not say yet. */
function rests(path: readonly AstNode[], situations: readonly Situation[]): Proposal[] | undefined {
  const [record, list, element] = path.slice(-5) as AstNode[];
  if (record?.$type !== 'Checked' || list?.$type !== 'List' || (element as ListElement | undefined)?.name)
    return undefined;
  const at = situations.at(-5);
  const check = at && checkRecorded(record as Checked, at.ctx);
  const given = new Set((list as List).elements.map(({ name }) => name?.text));
  return (check?.rests ?? [])
    .filter((name) => !given.has(name))
    .map((label) => ({ label, sort: 'value', rank: 0, text: `${label} = ` }));
}

/** What can be set in a controller: any value, what is computed first. */
function settable(ctx: Context): Proposal[] {
  const values = [...(ctx.kind?.members.values() ?? [])].filter((m) => m.role !== 'child' && !m.parameters.length);
  return values.flatMap((m) => memberProposal(m, undefined, ctx, m.role === 'derived' ? 0 : 4, false));
}

/** What can be measured: what is computed, and what may be left out until the machine is built. */
function measurable(ctx: Context): Proposal[] {
  const computed = [...(ctx.kind?.members.values() ?? [])].filter(
    (m) => (m.role === 'derived' || m.role === 'optional') && !m.parameters.length,
  );
  return computed.flatMap((m) => memberProposal(m, undefined, ctx, 0, false));
}

/** What a way out can change of the block that its rule is on. */
function changeable(ctx: Context): Proposal[] {
  const values = [...(ctx.kind?.members.values() ?? [])].filter(isCurrentMember);
  return values.map((m) => ({ label: m.name, sort: 'value', rank: 0 }));
}

/** The value that the statement gives. It is not proposed, for no value can be computed from itself. */
function nameBeingGiven({ path }: CursorPlace): string | undefined {
  const entry = path[0];
  return entry?.$type === 'Entry' ? (entry as Entry).first?.text : undefined;
}

/** Names of arguments that a call still needs. */
function argumentNames(path: readonly AstNode[], situations: readonly Situation[]): Proposal[] {
  const argument = path.at(-3) as Argument | undefined;
  const call = path.at(-4) as Call | undefined;
  if (argument?.$type !== 'Argument' || call?.$type !== 'Call' || argument.name) return [];
  const { ctx } = situations.at(-4) as Situation;
  const given = new Set(call.arguments.map((a) => a.name?.text));
  return parametersOf(call.callee, ctx)
    .filter((parameter) => !given.has(parameter.name))
    .map(({ name, type }) => ({
      label: name,
      sort: 'argument',
      rank: 0,
      text: `${name}: `,
      detail: typeWithUnits(type, ctx.scope),
    }));
}

// Whatever is proposed by its name alone is what that name means in this place: a nearer thing of the same name hides it.

function choices(ctx: Context, expected: Type | undefined): Proposal[] {
  const type = expected?.is === 'list' ? expected.of : expected;
  if (type?.is === 'choice')
    return type.options
      .filter((label) => bind(label, ctx, { expected })?.is === 'choice')
      .map((label) => ({ label, sort: 'choice', rank: 0 }));
  const truths: readonly GussetKeywordNames[] = ['yes', 'no'];
  return type?.is === 'truth' ? truths.map((label) => ({ label, sort: 'choice', rank: 0 })) : [];
}

/** The standard sizes that a value comes in, as they are written. */
function sizesOf(member: Member | undefined, ctx: Context): Proposal[] {
  return (member?.sizes ?? []).flatMap((name) => {
    const node = ctx.scope.find(name)?.node;
    if (node?.$type !== 'Declaration' || node.value?.$type !== 'List') return [];
    const means = (element: ListElement) => !element.name || bind(element.name.text, ctx)?.is === 'size';
    return node.value.elements.filter(means).map(
      (element): Proposal => ({
        label: element.name?.text ?? textOf(element.value),
        sort: 'size',
        rank: 1,
        detail: name.replaceAll('_', ' '),
        documentation: docOf(node),
      }),
    );
  });
}

/** What is often given for a value. */
function likelyValues(member: Member, { hints }: CursorPlace): Proposal[] {
  const values = hints.usual?.values(member) ?? [];
  return values.map((label, i) => ({ label, sort: 'size', rank: -1 + i / 100, detail: 'often' }));
}

function openChoice(member: Member | undefined): Proposal[] {
  if (!member || (member.sizes.length === 0 && member.type.is !== 'instance')) return [];
  return [{ label: '?', sort: 'keyword', rank: 4.5, detail: 'an open choice' }];
}

function locals(ctx: Context, expected: Type | undefined): Proposal[] {
  return [...(ctx.locals?.keys() ?? [])].flatMap((label): Proposal[] => {
    const binding = bind(label, ctx, { expected });
    if (binding?.is !== 'local') return [];
    const { type } = binding;
    return [{ label, sort: 'local', rank: closeness(type, expected) ?? 4, detail: typeWithUnits(type, ctx.scope) }];
  });
}

/** Values of the kind itself, and those that what holds it shares. What a block computes rests on what its text gives, seldom the other way round. */
function ownValues(ctx: Context, expected: Type | undefined, isGiven: boolean): Proposal[] {
  const own = [...(ctx.kind?.members.values() ?? []), ...(ctx.around?.members.values() ?? [])];
  const leads = ctx.mode === 'kind';
  const isLast = ({ role }: Member) => isGiven && role === 'derived';
  const proposals = (members: readonly Member[], rank: number) =>
    // To find out what a name means takes time: it is only done for the few values that fit what is expected.
    members
      .map((member) => ({ member, proposal: memberProposal(member, expected, ctx, rank, leads) }))
      .filter(({ member, proposal }) => proposal.length > 0 && isMeant(member, ctx, expected))
      .flatMap(({ proposal }) => proposal);
  return [
    ...proposals(
      own.filter((member) => !isLast(member)),
      2,
    ),
    ...proposals(own.filter(isLast), 6),
    ...proposals([...new Set(sharedValues(ctx))], 3),
  ];
}

function isMeant(member: Member, ctx: Context, expected: Type | undefined): boolean {
  const called = member.parameters.length > 0 && expected?.is !== 'formula';
  const binding = bind(member.name, ctx, { expected, called });
  return binding?.is === 'member' && binding.member === member;
}

function sharedValues(ctx: Context): Member[] {
  const kinds: Iterable<Kind> =
    ctx.mode === 'kind' || !ctx.instance ? ctx.scope.kinds() : holders(ctx.instance).map((i) => i.kind);
  return [...kinds].flatMap((kind) => [...kind.members.values()].filter((m) => m.shared));
}

/** Constants, functions, tables and parts of the right type. */
function declaredValues(ctx: Context, expected: Type | undefined, isListed: boolean): Proposal[] {
  const { scope } = ctx;
  const wanted = expected?.is === 'list' ? expected.of : expected;
  // A list of blocks holds blocks of the machine; a part only becomes one when a block starts from it.
  const parts = wanted?.is === 'instance' && wanted.kind && !isListed ? partNames(scope, wanted.kind, 2) : [];
  const others = scope.visible().flatMap((each) =>
    [...each.own.declared.values()].flatMap((node): Proposal[] => {
      if (node.$type !== 'Declaration' || !node.type || !node.name || node.what === 'sizes' || !isCurrent(node))
        return [];
      const type = typeOf(node.type, each);
      // What gives a quantity of any dimension is neither a word of a choice nor a block.
      if (type.is === 'any' && expected && expected.is !== 'any' && wanted?.is !== 'quantity') return [];
      const fits = closeness(type, expected);
      const called = node.parameters.length > 0;
      if (fits === undefined || bind(node.name.text, ctx, { expected, called })?.is !== 'declared') return [];
      const takes = node.parameters.map((p) => p.name?.text).join(', ');
      const detail = (takes ? `(${takes}) ` : '') + typeWithUnits(type, scope);
      return [{ label: node.name.text, sort: 'function', rank: 6 + fits, detail, documentation: docOf(node) }];
    }),
  );
  return [...parts, ...others];
}

const wordsOfBlocks = ['self', 'holder', 'name', 'count', 'part'];

/** In the text of a kind: the block itself, what holds it, and what every block has, where these words mean that. */
function blockWords(ctx: Context, expected: Type | undefined): Proposal[] {
  if (ctx.mode !== 'kind' || !ctx.kind) return [];
  return wordsOfBlocks.flatMap((label): Proposal[] => {
    const binding = bind(label, ctx, { expected });
    if (binding?.is !== 'word' && binding?.is !== 'self' && binding?.is !== 'holder') return [];
    const fits = closeness(binding.type, expected);
    return fits === undefined ? [] : [{ label, sort: 'keyword', rank: 8 + fits, documentation: languageWord(label) }];
  });
}

const inExpressions: readonly GussetKeywordNames[] = ['if', 'not'];

/** Functions and words of the language. */
function languageWords(
  parent: (AstNode & Record<string, unknown>) | undefined,
  expected: Type | undefined,
  ctx: Context,
): Proposal[] {
  const every: GussetKeywordNames = 'every';
  if (parent?.$type === 'Comprehension') return [{ label: every, sort: 'keyword', rank: 0 }];
  const functions = Object.entries(languageFunctions).filter(
    ([name, each]) => gives(each, expected) && bind(name, ctx, { called: true })?.is === 'function',
  );
  return [
    ...blockWords(ctx, expected),
    ...functions.map(([label, { doc }]): Proposal => ({ label, sort: 'function', rank: 8, documentation: doc })),
    ...(ctx.mode === 'kind' || expected?.is === 'truth'
      ? inExpressions.map((label): Proposal => ({ label, sort: 'keyword', rank: 9 }))
      : []),
  ];
}

/** Can a function of the language give what is expected? */
function gives({ shape }: LanguageFunction, expected: Type | undefined): boolean {
  if (!expected || expected.is === 'any' || expected.is === 'truth') return true;
  if (expected.is === 'instance') return shape === 'list to element';
  return expected.is === 'quantity' && shape !== 'truth' && shape !== 'value to truth';
}
