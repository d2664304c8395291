import { cellOf } from '../compute/cell.ts';
import { ownStatement } from '../compute/marks.ts';
import type { Declaration, Entry, Expression, Item, Quantity, Unary } from '../grammar/generated/ast.ts';
import { type AstNode, itemOf, rangeOf, textOf } from '../grammar/syntax.ts';
import { writeValues } from '../judge/edit.ts';
import type { TextFile } from '../machine/text-file.ts';
import type { Instance } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';
import { pathAt, plainTree, type Situation, situationsAlong } from '../types/situation.ts';
import { isUnit, type Unit, type UnitSystem } from '../units/units.ts';
import { rareUnit, units } from './complete-units.ts';
import type { Rewriting } from './rewriting.ts';

/** A number is written in so many digits at most; whatever needs more is another number. */
const mostDigits = 9;
/** Numbers that a builder would write: others are left to whoever types them. */
const usual = { least: 0.01, most: 1e5 };
const mostUnits = 5;

/** The same value in other units, those that it is usually given in first, where it is the same number exactly. */
export function unitsInstead(file: TextFile, offset: number): Rewriting[] {
  const path = pathAt(file, offset);
  const node = path.at(-1) as Quantity | undefined;
  if (node?.$type !== 'Quantity' || !node.unit) return [];
  const { system } = file.scope;
  const from = system.unit(node.unit);
  if (!isUnit(from) || from.currency) return [];
  const isNegative = (path.at(-2) as Unary | undefined)?.$type === 'Unary';
  const situation = situationsAlong(path, file.scope).at(-1) as Situation;
  const found = units(situation).flatMap(({ label, rank }): Rewriting | [] => {
    const text = label === node.unit || rank >= rareUnit ? undefined : inUnit(Number(node.number), from, label, system);
    return text ? { title: `Write it as ${text}`, sort: 'rewrite', edits: [{ ...rangeOf(node), text }] } : [];
  });
  // A minus before a point of temperature belongs to it, so that the zeros of two scales would have to be counted with.
  return isNegative && from.zero !== undefined ? [] : found.slice(0, mostUnits);
}

/** A number in another unit; undefined where that is not the same value exactly, or no number that one would write. */
function inUnit(number: number, from: Unit, to: string, system: UnitSystem): string | undefined {
  const unit = system.unit(to);
  if (!isUnit(unit) || unit.dimension !== from.dimension || unit.of !== from.of) return undefined;
  const value = number * from.factor + (from.zero ?? 0);
  const written = Number(((value - (unit.zero ?? 0)) / unit.factor).toPrecision(mostDigits));
  const back = written * unit.factor + (unit.zero ?? 0);
  if (Math.abs(back - value) > 1e-14 * Math.abs(value)) return undefined;
  if (written !== 0 && (written < usual.least || written > usual.most)) return undefined;
  return written < 0 ? undefined : `${written} ${to}`;
}

/** What a block takes by default, written out as its own: words and numbers that its kind gives, as they stand there. */
export function defaultsWrittenOut(file: TextFile, offset: number): Rewriting[] {
  const { block, item } = blockHeadAt(file, offset) ?? {};
  if (!block || !item) return [];
  const values = [...block.kind.members.values()].flatMap((member) => {
    const cell = member.parameters.length === 0 ? cellOf(block, member.name) : undefined;
    const { origin, expression } = cell?.definition ?? {};
    return cell && origin === 'default' && expression && isLiteral(expression)
      ? [{ cell, text: textOf(expression) }]
      : [];
  });
  if (values.length === 0) return [];
  const [first] = values;
  const what = values.length === 1 ? `${first?.cell.name} = ${first?.text}` : `${values.length} values`;
  const title = `Write out what ${block.label} takes by default: ${what}`;
  return [{ title, sort: 'rewrite', edits: writeValues(values, item) }];
}

/** The block at whose first words an offset stands, before its braces, in a machine or a part of the file. */
export function blockHeadAt(
  file: TextFile,
  offset: number,
): { readonly block: Instance; readonly entry: Entry; readonly item: Item } | undefined {
  const path = pathAt(file, offset);
  const entry = path.findLast((node): node is Entry => node.$type === 'Entry');
  const item = entry && itemOf(entry);
  if (!entry || !item || entry.equals) return undefined;
  const body = entry.body && rangeOf(entry.body);
  if (body && offset > body.start) return undefined;
  const block = plainTree(item, file.scope)
    ?.all()
    .find((each) => ownStatement(each, item) === entry);
  return block && { block, entry, item };
}

/** A number, words, or sides and ends of them: what means the same wherever it stands. */
function isLiteral(node: Expression): boolean {
  switch (node.$type) {
    case 'Quantity':
    case 'Truth':
      return true;
    case 'Reference':
      return isWord(node);
    case 'Unary':
      return node.operator === '-' && node.operand?.$type === 'Quantity';
    case 'Binary':
      return (
        (node.operator === 'x' || node.operator === '..') &&
        [node.left, node.right].every((side) => side !== undefined && isLiteral(side))
      );
    default:
      return false;
  }
}

/** Is a name in a kind's default one of the words of its choice? */
function isWord({ name, $container }: Expression & { $type: 'Reference' }): boolean {
  const terms = ($container as Entry | undefined)?.type?.terms ?? [];
  return terms.some((term) => term.$type === 'ChoiceType' && term.options.some(({ text }) => text === name.text));
}

/** A number that is given a name, to be said once and meant in several places: a constant of the file, before the item that it stands in. */
export function namedValue(file: TextFile, offset: number): Rewriting[] {
  const path = pathAt(file, offset);
  const at = path.findLastIndex((node) => node.$type === 'Entry');
  const entry = path[at] as Entry | undefined;
  const value = entry?.equals ? entry.value : undefined;
  const item = entry && itemOf(entry);
  if (!entry || !value || !item || !path.includes(value) || !isNumber(value)) return [];
  if ((item as Declaration).what && (item as Declaration).what !== 'part') return [];
  const { expected, ctx } = situationsAlong(path.slice(0, path.indexOf(value) + 1), file.scope).at(-1) as Situation;
  const type = expected?.is === 'quantity' ? expected.named?.name : undefined;
  if (!type) return [];
  const { instance } = ctx;
  const of = instance?.holder ? instance.name : instance?.name.toLowerCase();
  const name = freeName([of, entry.first.text].filter(Boolean).join('_'), file.scope);
  const edits: TextEdit[] = [
    before(item, `constant ${name}: ${type} = ${textOf(value)}\n\n`),
    { ...rangeOf(value), text: name },
  ];
  return [{ title: `Name it: constant ${name}`, sort: 'extract', edits }];
}

function isNumber(node: Expression): boolean {
  return node.$type === 'Quantity' || (node.$type === 'Unary' && isLiteral(node));
}

/** A name that nothing in sight has, as near to what is wanted as there is one. */
export function freeName(wanted: string, scope: TextFile['scope']): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? wanted : `${wanted}_${n}`;
    if (!scope.find(name) && !scope.kindNamed(name) && !scope.isChoiceWord(name) && !scope.sharedMember(name))
      return name;
  }
}

/** Something put before an item, and before the lines that say what it is. */
export function before(item: AstNode, text: string): TextEdit {
  const start = startWithDoc(item);
  return { start, end: start, text };
}

/** Where an item begins, the `///` lines above it included. */
export function startWithDoc(item: AstNode): number {
  const whole = item.$container ? textOf(item.$container) : '';
  let { start } = rangeOf(item);
  for (;;) {
    const line = whole.lastIndexOf('\n', start - 2) + 1;
    if (start === 0 || !/^[ \t]*\/\/\//.test(whole.slice(line, start))) return start;
    start = line;
  }
}
