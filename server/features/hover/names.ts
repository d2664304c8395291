import { blockTableOf } from '../../../language/answers/block-table.ts';
import { memberDoc, typeWithUnits } from '../../../language/answers/docs.ts';
import type { Meaning } from '../../../language/answers/meaning.ts';
import { cellOf } from '../../../language/compute/cell.ts';
import { showCell, valueOver } from '../../../language/compute/show-cell.ts';
import type { Check, Declaration } from '../../../language/grammar/generated/ast.ts';
import { type AstNode, contentOf, docOf, fileOf, rangeOf, textOf } from '../../../language/grammar/syntax.ts';
import { dueChecksOf } from '../../../language/judge/commissioning.ts';
import type { Instance } from '../../../language/machine/tree.ts';
import type { Kind, Member } from '../../../language/names/kind.ts';
import type { Scope } from '../../../language/names/scope.ts';
import { anyType, describeType } from '../../../language/names/type.ts';
import type { Assessed, SourceFile } from '../../../language/project.ts';
import { plainTree } from '../../../language/types/situation.ts';
import { baseText, formatNumber, inWords, withArticle } from '../../../language/units/display.ts';
import { clausesOf } from '../../../language/units/units.ts';
import { isMissing } from '../../../language/values/value.ts';
import type { Workspace } from '../../workspace.ts';
import { machineOf } from '../machines.ts';
import { code, firstSentence, inShort, origins, paragraphs } from './markdown.ts';

/** So many names are listed in one line of a hover. */
const mostNames = 14;

function names(list: readonly string[]): string {
  const rest = list.length - mostNames;
  return list.slice(0, mostNames).map(code).join(', ') + (rest > 0 ? ` and ${rest} more` : '');
}

export function kindText({ kind }: Meaning, scope: Scope): string | undefined {
  if (!kind) return undefined;
  const base = kind.base ? ` is ${kind.base.name}` : '';
  return paragraphs(`**kind ${kind.name}**${base}`, kind.documentation, needs(kind, scope), otherValues(kind));
}

function membersOf(kind: Kind, ...roles: Member['role'][]): Member[] {
  return [...kind.members.values()].filter((m) => roles.includes(m.role));
}

function needs(kind: Kind, scope: Scope): string | undefined {
  const lines = membersOf(kind, 'needed').map(
    (m) => `- ${code(m.name)}: ${firstSentence(memberDoc(m)) || describeType(m.type, scope.system)}`,
  );
  return lines.length > 0 ? `Needs\n${lines.join('\n')}` : undefined;
}

function otherValues(kind: Kind): string | undefined {
  const groups: [string, Member[]][] = [
    ['May be given', membersOf(kind, 'optional', 'default')],
    ['Computed', membersOf(kind, 'derived')],
    ['Blocks', membersOf(kind, 'child')],
  ];
  const isOwn = (member: Member) => member.owner === kind;
  const lines = groups
    .filter(([, list]) => list.length > 0)
    .map(
      ([title, list]) =>
        `${title}: ${names([...list.filter(isOwn), ...list.filter((m) => !isOwn(m))].map((m) => m.name))}`,
    );
  return lines.join('  \n') || undefined;
}

/** A part: what it is, and what it gives, with what it takes from the part it starts from. */
export function partText({ name, identity, kind }: Meaning, scope: Scope): string | undefined {
  const node = identity as Declaration;
  const found = scope.find(name)?.node === node ? scope.find(name) : undefined;
  const tree = plainTree(node, found?.scope ?? scope);
  const lines = [...(kind?.members.values() ?? [])].flatMap((member) => {
    const definition = member.role === 'child' ? undefined : cellOf(tree, member.name)?.definition;
    if (definition?.origin !== 'given' || !definition.expression) return [];
    return [`- ${member.name} = ${inShort(textOf(definition.expression), 60)}`];
  });
  return paragraphs(
    `**part ${name}** is ${node.base?.text ?? kind?.name ?? ''}`,
    docOf(node) || (kind && firstSentence(kind.documentation)),
    lines.join('\n'),
    origins(node),
  );
}

/** A block: its kind and part, and in a machine the values worth showing. */
export function blockText(meaning: Meaning, file: SourceFile, workspace: Workspace): string | undefined {
  const { instance, kind, name, member } = meaning;
  // A word that is half typed could become one: nothing is known of it.
  if (!kind) return undefined;
  const machine = machineOf(instance, file, workspace);
  const title = instance?.path ?? (member ? `${member.owner.name}.${member.name}` : name);
  const own = meaning.identity as AstNode;
  const doc = own.$type === 'Entry' || own.$type === 'Has' ? docOf(own) : '';
  const values = (instance && machine ? instance.kind.headlines : []).flatMap((headline) => {
    const cell = cellOf(instance, headline);
    const value = cell && machine && valueOver(cell, machine);
    return cell && machine && value !== undefined && !isMissing(value) && !Array.isArray(value)
      ? [`- ${headline} = ${showCell(cell, machine, value)}`]
      : [];
  });
  const count = instance && instance.count > 1 ? `, ${instance.count} of them` : '';
  return paragraphs(
    `**${title}**: ${withArticle(kind.name.replaceAll('_', ' '))}${startsFrom(meaning)}${count}`,
    doc || kind.documentation,
    [...values, instance && machine && lists(instance, machine)].filter(Boolean).join('\n'),
    instance ? stillMissing(instance) : needs(kind, file.scope),
  );
}

/** The lists of blocks that are worth showing, each in a line: how many there are, and the first of them. Whoever wants all of them asks for the list itself. */
function lists(instance: Instance, machine: Assessed): string {
  return instance.kind.headlines
    .flatMap((headline) => {
      const cell = cellOf(instance, headline);
      const table = cell && blockTableOf(cell, machine);
      return table?.rows.length ? [`- ${headline}: ${table.rows.length}, ${inFew(table.blocks)}`] : [];
    })
    .join('\n');
}

/** So many blocks of a list are named in a line. */
const mostBlocks = 3;

function inFew(blocks: readonly Instance[]): string {
  const rest = blocks.length - mostBlocks;
  const named = blocks.slice(0, mostBlocks).map(({ label }) => label);
  return `${named.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}

function stillMissing(instance: Instance): string | undefined {
  const missing = membersOf(instance.kind, 'needed').filter(
    (m) => cellOf(instance, m.name)?.definition.origin === 'missing',
  );
  return missing.length > 0 ? `Not given yet: ${names(missing.map((m) => m.name))}` : undefined;
}

function startsFrom({ instance }: Meaning): string {
  const part = instance?.part?.name?.text;
  return part ? `, from ${code(part)}` : '';
}

export function ruleText({ name, identity }: Meaning): string {
  const node = identity as Declaration;
  const message = node.body?.members.find((m) => m.$type === 'Message');
  const caution = clausesOf(node, 'caution')[0]?.values[0];
  const condition = clausesOf(node, 'holds').map((c) => code(inShort(c.values.map(textOf).join(', '))));
  return paragraphs(
    `**rule ${name}** on ${node.on?.text ?? ''}`,
    docOf(node),
    condition.length > 0 && `Holds: ${condition.join(', ')}`,
    message?.$type === 'Message' && message.text && `${sentenceStart(message.severity)}: ${contentOf(message.text)}`,
    caution?.$type === 'Text' && `**Caution**: ${contentOf(caution)}`,
    origins(node),
  );
}

/** What can be checked on a block of a kind; in a record of it, how it is done there, and how the record stands. */
export function checkText(
  { name, identity, kind }: Meaning,
  file: SourceFile,
  offset: number,
  { project }: Workspace,
): string {
  const node = identity as Check;
  const due = project
    .machines(file)
    .flatMap(dueChecksOf)
    .find(({ record }) => record && fileOf(record.node) === file.parsed.file && isAt(record.node, offset));
  const text = (keyword: string) => {
    const value = clausesOf(node, keyword)[0]?.values[0];
    return value && (value.$type === 'Text' ? contentOf(value) : textOf(value));
  };
  const caution = due?.caution ?? text('caution');
  const bounds = [
    text('lowest') && `at least ${text('lowest')}`,
    text('highest') && `at most ${text('highest')}`,
  ].filter(Boolean);
  const rests = kind?.checkings(node.what).get(name)?.rests ?? [];
  const altered = (node.body?.members ?? []).flatMap((member) =>
    member.$type === 'Alteration' ? [`${member.name?.text} = ${textOf(member.value)}`] : [],
  );
  const expected = due?.expected ?? bounds.join(', ');
  return paragraphs(
    `**${node.what} ${name}** of ${kind?.name ?? ''}`,
    docOf(node),
    text('shows') && `It shows where ${code(text('shows') as string)}`,
    altered.length > 0 && `It makes of values: ${altered.map(code).join(', ')}`,
    text('odds') && `How often it is met: ${text('odds')}`,
    due?.how ?? text('how'),
    expected && `Expected: ${expected}`,
    caution && `**Caution**: ${caution}`,
    rests.length > 0 && `It rests on ${names(rests)}`,
    ...(due?.record?.changed ?? []).map((change) => `Changed since: ${change}`),
    origins(node),
  );
}

function isAt(node: AstNode, offset: number): boolean {
  const { start, end } = rangeOf(node);
  return start <= offset && offset <= end;
}

function sentenceStart(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}

/** A unit: what it measures, and what one of it is in SI. */
export function unitText({ name, unit }: Meaning, scope: Scope): string | undefined {
  if (!unit) return undefined;
  const { system } = scope;
  const of = unit.of ?? system.named(unit.dimension)[0];
  const measures = unit.currency ? 'a price' : of ? withArticle(inWords(of.name)) : 'a product of units';
  const si = baseText(system, unit.dimension);
  const zero = unit.zero ? `0 ${name} = ${formatNumber(unit.zero, 6)} ${si}` : undefined;
  const one =
    unit.dimension.powers.size > 0 && si !== name ? `1 ${name} = ${formatNumber(unit.factor, 6)} ${si}` : undefined;
  const factor =
    unit.dimension.powers.size === 0 && unit.factor !== 1 ? `1 ${name} = ${formatNumber(unit.factor, 6)}` : one;
  return paragraphs(
    `**${name}**: ${measures}`,
    unit.node && docOf(unit.node),
    unit.currency ? undefined : (zero ?? factor),
    unit.node && origins(unit.node),
  );
}

export function choiceText({ name, member, type }: Meaning): string {
  const options = type?.is === 'choice' ? type.options : optionsOf(member);
  return paragraphs(
    `**${name}**`,
    member && `${member.owner.name}.${member.name}: ${memberDoc(member)}`,
    options.length > 0 && `One of ${options.join(', ')}`,
  );
}

function optionsOf(member: Member | undefined): readonly string[] {
  const type = member?.type ?? anyType;
  const of = type.is === 'list' ? type.of : type;
  return of.is === 'choice' ? of.options : [];
}

/** Functions, constants, tables, numerics, sizes, dimensions, and names bound in formulas. */
export function declarationText({ name, identity, type, sort }: Meaning, scope: Scope): string | undefined {
  if (typeof identity === 'string') return undefined;
  if (sort === 'argument' || sort === 'local')
    return paragraphs(`**${name}**`, type && `_${typeWithUnits(type, scope)}_`);
  const node = (identity.$type === 'Declaration' ? identity : itemAbove(identity)) as Declaration | undefined;
  if (!node) return undefined;
  const parameters = node.parameters.map((p) => `${p.name?.text}: ${p.type ? textOf(p.type) : ''}`).join(', ');
  const result = node.type ? `: ${textOf(node.type)}` : '';
  const value =
    node.value && (node.what === 'function' || node.what === 'constant' || node.what === 'sizes' || sort === 'size');
  return paragraphs(
    `**${node.what} ${sort === 'size' ? name : (node.name?.text ?? name)}**${parameters ? ` (${parameters})` : ''}${result}`,
    docOf(node),
    value && code(inShort(textOf(node.value as AstNode))),
    shownUnits(node),
    origins(node),
  );
}

function itemAbove(node: AstNode): AstNode | undefined {
  let at: AstNode | undefined = node;
  while (at && at.$type !== 'Declaration') at = at.$container;
  return at;
}

function shownUnits(node: Declaration): string | undefined {
  const units = clausesOf(node, 'shown').flatMap((clause) => clause.values.map(textOf));
  return units.length > 0 ? `Shown in ${units.join(', ')}` : undefined;
}

/** A file that is used: what it declares. */
export function useText({ uri }: Meaning, workspace: Workspace): string | undefined {
  const file = uri && workspace.file(uri);
  if (!uri || !file) return undefined;
  const { declared, kinds } = file.scope.own;
  const list = [...kinds.keys(), ...declared.keys()];
  return paragraphs(
    `**${decodeURIComponent(uri.split('/').pop() ?? '')}**`,
    list.length > 0 && `Declares ${names(list)}`,
  );
}
