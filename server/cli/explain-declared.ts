import { assumptionsOf, limitsKnownOf, sourcesOf } from '../../language/answers/derivation.ts';
import { blocksOf, type Cell, cellOf, type Engine } from '../../language/compute/cell.ts';
import { IncrementalEngine } from '../../language/compute/engine.ts';
import { evaluate } from '../../language/compute/evaluate.ts';
import { evaluateCell } from '../../language/compute/evaluate-cells.ts';
import { sizeValues } from '../../language/compute/evaluate-declared.ts';
import type {
  Body,
  Call,
  Declaration,
  Entry,
  Expression,
  Has,
  Name,
  Remedy,
} from '../../language/grammar/generated/ast.ts';
import { type AstNode, contentOf, docOf, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { type Rule, ruleNamed } from '../../language/judge/rule.ts';
import { ruleExamples } from '../../language/library/generated/manual.ts';
import { buildPart, Instance } from '../../language/machine/tree.ts';
import type { Kind, Member } from '../../language/names/kind.ts';
import type { Declared, NamedSize, Scope } from '../../language/names/scope.ts';
import { kindOfListedBlocks, typeOf } from '../../language/names/type.ts';
import type { LanguageFunction } from '../../language/types/functions.ts';
import { inWords, withArticle } from '../../language/units/display.ts';
import { clausesOf } from '../../language/units/units.ts';
import { showValue } from '../../language/values/show.ts';
import { isMissing } from '../../language/values/value.ts';
import { wrap } from './io.ts';
import { onOneLine, type Page, sourceInWords } from './page.ts';
import { shownExample } from './rule-example.ts';

type Rows = [string, string | undefined][];

/** Text on one line. */
function flat(node: AstNode): string {
  return onOneLine(textOf(node));
}

/** What is written before a body: `label_current: Current = power / voltage`. */
function head(node: AstNode & { body?: Body }): string {
  const text = textOf(node);
  const end = node.body ? rangeOf(node.body).start - rangeOf(node).start : text.length;
  return onOneLine(text.slice(0, end)).trim();
}

function sourceRows(node: { body?: Body }): Rows {
  return [
    ...sourcesOf(node).map((source): [string, string] => ['source', sourceInWords(source)]),
    ...assumptionsOf(node).map((text): [string, string] => ['assumes', text]),
    ...limitsKnownOf(node).map((text): [string, string] => ['known', text]),
  ];
}

/** A declaration by its sort. */
export function explainDeclared(node: Declared, scope: Scope, page: Page): Page {
  if (node.$type === 'Entry') return explainRoot(node, page);
  if (node.what === 'rule') {
    const rule = ruleNamed(node.name.text, scope);
    if (rule) return explainRule(rule, page);
  }
  if (node.what === 'part') return explainPart(node, scope, page);
  return explainFormula(node, scope, page);
}

// ---- kinds ----

const groups: readonly { title: string; wants: (member: Member) => boolean }[] = [
  { title: 'Needed', wants: (m) => m.role === 'needed' },
  { title: 'May be left out', wants: (m) => m.role === 'optional' },
  { title: 'With a default', wants: (m) => m.role === 'default' },
  { title: 'Blocks in it', wants: (m) => m.role === 'child' },
  { title: 'Computed', wants: (m) => m.role === 'derived' },
];

/** A kind: its documentation, and all it declares and inherits. */
export function explainKind(kind: Kind, page: Page): Page {
  page.title(head(kind.node), kind.node).documentation(kind.node);
  page.rows([
    ['stands in', [...kind.inside, ...(kind.toplevel ? ['a file, alone'] : [])].join(', ')],
    ['shows', kind.headlines.join(', ')],
    ...sourceRows(kind.node),
  ]);
  const members = [...kind.members.values()];
  for (const { title, wants } of groups)
    page.list(
      title,
      members.filter(wants).flatMap((member) => memberLines(member, kind, page)),
    );
  for (const [heading, what] of checkings)
    page.list(
      heading,
      [...kind.checkings(what).values()].flatMap(({ name, node, owner }) => [
        `  ${name}${page.style.quiet(owner === kind ? '' : `  (from ${owner.name})`)}`,
        ...(docOf(node) ? [wrap(docOf(node).replace(/\n/g, ' '), page.io.width, '    ')] : []),
      ]),
    );
  return page;
}

const checkings = [
  ['What can be checked', 'check'],
  ['What trouble shows', 'symptom'],
  ['What can be wrong', 'defect'],
] as const;

/** A kind in short: what to write, what is needed for that, and what it will tell. */
export function explainKindInShort(kind: Kind, page: Page): Page {
  const members = [...kind.members.values()];
  const line = (member: Member, text: string) => [
    wrap(`${text}: ${firstSentence(documentationOf(member))}`.replace(/: $/, ''), page.io.width, '  ', '      '),
  ];
  const needed = members.filter(({ role }) => role === 'needed');
  // What is always there is the kind's own, such as a single fault that can happen to it.
  const blocks = members.filter(({ role, occurs }) => role === 'child' && occurs !== 'always');
  const told = kind.headlines.flatMap((name) => kind.members.get(name) ?? []);
  return page
    .title(head(kind.node), kind.node)
    .documentation(kind.node)
    .code('To write', blockToWrite(kind, kind.name + ownName(kind)).join('\n'))
    .list(
      'Needed',
      needed.flatMap((member) => line(member, [member.name, unitsOf(member)].filter(Boolean).join(', '))),
    )
    .list('May stand in it', blocks.length ? [wrap(blocks.map((b) => b.name).join(', '), page.io.width, '  ')] : [])
    .list(
      'It will tell',
      told.flatMap((member) => line(member, member.name)),
    );
}

/** What stands by itself may have a name of its own; what fills a role is called by that. */
const ownName = (kind: Kind) => (kind.inside.length > 0 || kind.toplevel ? ` my_${kind.name}` : '');

/** The values that a block of a kind needs, as lines to fill in. */
export const neededIn = (kind: Kind) =>
  [...kind.members.values()].filter(({ role }) => role === 'needed').map(({ name }) => `${name} = …`);

/** What a block needs, and what each block needs that may not be missing in it: as lines to fill in. A kind within itself is not opened again. */
export function blockToWrite(kind: Kind, head: string, around: readonly Kind[] = []): string[] {
  const blocks = [...kind.members.values()].flatMap(({ name, type, occurs }) => {
    const within = occurs === 'once' && type.is === 'instance' ? type.kind : undefined;
    return within && !around.includes(within) ? blockToWrite(within, name, [...around, kind]) : [];
  });
  const lines = [...neededIn(kind), ...blocks];
  return lines.length === 0 ? [head] : [`${head} {`, ...lines.map((line) => `  ${line}`), '}'];
}

const firstSentence = (text: string) =>
  text
    .replace(/\s+/g, ' ')
    .split(/(?<=\.) /)[0]
    ?.replace(/\.$/, '') ?? '';

function memberLines(member: Member, kind: Kind, page: Page): string[] {
  const { node, owner } = member;
  const from = owner === kind ? '' : `  (from ${owner.name})`;
  const facts = [unitsOf(member), member.sizes.length ? `sizes ${member.sizes.join(', ')}` : ''].filter(Boolean);
  const doc = documentationOf(member);
  return [
    `${wrap(head(node), page.io.width, '  ', '      ')}${page.style.quiet(from)}`,
    ...(doc ? [wrap(doc.replace(/\n/g, ' '), page.io.width, '    ')] : []),
    ...(facts.length ? [page.style.quiet(wrap(facts.join('; '), page.io.width, '    '))] : []),
    ...sourceRows(node).map(([label, text]) => page.style.quiet(wrap(`${label}: ${text}`, page.io.width, '    '))),
  ];
}

/** A subkind that declares a value anew need not document it again. */
function documentationOf(member: Member): string {
  for (let kind: Kind | undefined = member.owner; kind; kind = kind.base) {
    const node = kind.members.get(member.name)?.node;
    const doc = node && docOf(node);
    if (doc) return doc;
  }
  return '';
}

/** The units a value is shown in; of a list of blocks, what a table of them shows. */
function unitsOf({ type, shown }: Member): string {
  if (kindOfListedBlocks(type)) return shown.length ? `a table of ${shown.join(', ')}` : '';
  const of = type.is === 'sides' ? type.of : type;
  const units = shown.length ? shown : of.is === 'quantity' ? (of.named?.shown ?? []) : [];
  const named = units.filter((unit) => unit !== '1');
  return named.length ? `in ${named.join(', ')}` : '';
}

/** One value or block that a kind declares. */
export function explainMember(member: Member, kind: Kind, page: Page): Page {
  const { node, owner, sizes } = member;
  return page
    .title(`${kind.name}.${head(node)}`, node)
    .prose(documentationOf(member))
    .rows([
      ['from', owner === kind ? undefined : owner.name],
      ['units', unitsOf(member).replace(/^in /, '')],
      ['sizes', sizes.join(', ')],
      [
        'within',
        clausesOf(node as Entry & Has, 'within')
          .flatMap((c) => c.values.map(flat))
          .join(', '),
      ],
      ...sourceRows(node),
    ]);
}

// ---- rules ----

function explainRule(rule: Rule, page: Page): Page {
  const { node, name, severity, message, caution, when, holds, remedies, follows } = rule;
  const example = ruleExamples.find((e) => e.rule === name);
  const shown = example && shownExample(example.text);
  page
    .title(head(node), node)
    .documentation(node)
    .rows([
      ['level', severity],
      ['applies', when.map(flat).join(', and ') || undefined],
      ['must hold', holds.map(flat).join(', and ')],
      ['says', contentOf(message)],
      ['caution', caution && contentOf(caution)],
      ...remedies.map((remedy): [string, string] => ['way out', remedyText(remedy, node.on)]),
      ...follows.map((f): [string, string] => ['follows', `${f.rule.text}, where it fails for ${flat(f.of)}`]),
      ...sourceRows(node),
    ]);
  return page.code('Broken by', shown?.breaks).code('Kept by', shown?.keeps);
}

function remedyText({ text, target, value, base, added, after, once }: Remedy, kind: Name | undefined): string {
  if (text) return contentOf(text);
  const own = kind ? inWords(kind.text) : 'block';
  const before = once ? `once ${contentOf(once)}, ` : '';
  const isCount = target?.$type === 'Access' && target.member?.text === 'count';
  if (isCount && value) return `${before}take ${flat(value)} of ${targetInWords(target.object, own)}`;
  const name = target ? targetInWords(target, own) : '';
  if (value) return `${before}set ${name} to ${flat(value)}`;
  if (added) return `${before}put ${withArticle(added.text)} into ${name}${after ? ` after the ${after.text}` : ''}`;
  const isSelf = target?.$type === 'Reference' && target.name.text === 'self';
  if (base) return `${before}take ${withArticle(base.text)} ${isSelf ? 'in its place' : `for ${name}`}`;
  return `${before}choose another ${isSelf ? own : name}`;
}

/** What a way out takes hold of, as a builder says it: `screw`, `each guide in it`, `length of each wire of way_out`. */
function targetInWords(target: Expression, own: string): string {
  if (target.$type === 'Reference' && target.name.text === 'self') return `the ${own}`;
  if (target.$type === 'Call') return questionInWords(target, own);
  if (target.$type !== 'Access' || !target.member) return flat(target);
  const { object, member } = target;
  if (object.$type === 'Reference' && object.name.text === 'self') return member.text;
  return object.$type === 'Call' ? `${member.text} of ${questionInWords(object, own)}` : flat(target);
}

/** `each(w for w in way_out where w is wire)` as `each wire of way_out`. */
function questionInWords(call: Call, own: string): string {
  const of = call.arguments[0];
  const { domain, condition, variable } = of?.comprehension ?? {};
  const asks = call.callee.$type === 'Reference' ? call.callee.name.text : flat(call.callee);
  const which = asks === 'each' ? 'each' : `the ${asks}`;
  if (!domain) return of ? `${which} of ${flat(of)}` : flat(call);
  const isKind = condition?.$type === 'Binary' && condition.operator === 'is';
  const those = condition && flat(condition).replace(new RegExp(`\\b${variable?.text}\\.`, 'g'), '');
  const where = those ? ` where ${those}` : '';
  if (domain.$type !== 'Every')
    return isKind ? `${which} ${flat(condition.right)} of ${flat(domain)}` : `${which} of ${flat(domain)}${where}`;
  const { within } = domain;
  return `${which} ${domain.kind.text}${within ? ` of ${targetInWords(within, own)}` : ''}${where}`;
}

// ---- parts and machines ----

/** A part: what it gives, and what its kind makes of that. */
function explainPart(node: Declaration, scope: Scope, page: Page): Page {
  page.title(head(node), node).documentation(node);
  const instance = buildPart(node, scope);
  if (!instance) return page.rows(sourceRows(node));
  page.rows([['kind', instance.kind.name], ...sourceRows(node)]);
  const values = valuesOfPart(instance, scope);
  return page
    .list(
      'Given',
      values.filter((v) => v.given).map((v) => v.text),
    )
    .list(
      'From its kind',
      values.filter((v) => !v.given).map((v) => v.text),
    )
    .list(
      'Blocks in it',
      [...instance.children.values()].map((child) => childLine(child, scope, page)),
    );
}

/** `bed_output: output with rated_current = 12 A` */
function childLine(child: Instance, scope: Scope, page: Page): string {
  const given = valuesOfPart(child, scope).filter((value) => value.given);
  const values = given.length ? ` with ${given.map((value) => value.text.trim()).join(', ')}` : '';
  return wrap(`${child.name}: ${child.kind.name}${values}`, page.io.width, '  ', '      ');
}

/** All values that are known of a part that stands by itself. */
function valuesOfPart(instance: Instance, scope: Scope): { text: string; given: boolean }[] {
  const engine = new IncrementalEngine(evaluateCell);
  return [...instance.kind.members.values()].flatMap((member) => {
    const cell = member.parameters.length ? undefined : cellOf(instance, member.name);
    const value = cell && engine.value(cell);
    if (!cell || value === undefined || isMissing(value)) return [];
    const { origin } = cell.definition;
    if (asksTheMachine(cell, engine)) return [];
    const text = `  ${member.name} = ${showValue(value, member.type, scope.system, { shown: member.shown })}`;
    return [{ text: origin === 'default' ? `${text}  (default)` : text, given: origin === 'given' }];
  });
}

/** Does a value rest on a question over the machine? Of a part by itself, the answer would be that there is nothing. */
function asksTheMachine(cell: Cell, engine: Engine): boolean {
  // What blocks stand in a part, the part tells by itself.
  if (cell === blocksOf(cell.instance)) return false;
  // What else neither declares nor calls a value is a question over the tree.
  if (!cell.member && !cell.called) return true;
  const inputs = engine.inputs(cell);
  if (cell.definition.origin === 'derived' && inputs.length === 0) return true;
  return inputs.some((input) => asksTheMachine(input, engine));
}

function explainRoot(node: Entry, page: Page): Page {
  return page.title(head(node), node).documentation(node);
}

// ---- functions, tables, sizes, constants, numerics ----

function explainFormula(node: Declaration, scope: Scope, page: Page): Page {
  const [interpolation] = clausesOf(node, 'interpolation').flatMap((clause) => clause.values.map(flat));
  const title = node.what === 'sizes' ? head(node).replace(/ = .*/, '') : head(node);
  page
    .title(title, node)
    .documentation(node)
    .rows([...sourceRows(node), ['between rows', node.what === 'table' ? betweenWords(interpolation) : undefined]]);
  const rows = (node.body?.members ?? []).filter((member) => member.$type === 'Row');
  page.list(
    'Rows',
    rows.map((row) => `  ${flat(row).replace(/^row /, '')}`),
  );
  return node.what === 'sizes' ? page.list('Sizes', sizeLines(node, scope)) : page;
}

function betweenWords(interpolation?: string): string {
  return interpolation
    ? `${interpolation} interpolation; outside the rows it is not known`
    : 'only what stands in a row is known';
}

function sizeLines(node: Declaration, scope: Scope): string[] {
  if (node.value?.$type !== 'List') return [];
  const values = shownSizes(node, scope);
  return node.value.elements.map(
    (element, i) => `  ${element.name ? `${element.name.text} = ` : ''}${values[i] ?? ''}`,
  );
}

function shownSizes(node: Declaration, scope: Scope): string[] {
  const [kind] = scope.kinds();
  if (!kind) return [];
  const type = typeOf(node.type, scope);
  // Sizes are computed without any block's values: an empty one of whatever kind stands for the block around them.
  const self = new Instance('', kind, undefined, 1, []);
  const engine = new IncrementalEngine(evaluateCell);
  const values = sizeValues(node, { engine, self, scope, mode: 'kind' }, evaluate);
  return values.map((value) => showValue(value, type, scope.system));
}

/** One named size of a series. */
export function explainSize(name: string, size: NamedSize & { scope: Scope }, page: Page): Page {
  const { declaration, index, scope } = size;
  return page
    .title(`${name} = ${shownSizes(declaration, scope)[index] ?? ''}`, declaration)
    .rows([['one of', declaration.name.text], ...sourceRows(declaration)]);
}

/** A function of the language itself. */
export function explainFunction(name: string, { doc }: LanguageFunction, page: Page): Page {
  return page.title(`function ${name}, of the language itself`).prose(doc);
}
