import { spelling } from '../../mistakes/spelling.ts';
import type * as ast from '../generated/ast.ts';
import type { ParsedItem } from '../syntax.ts';
import { declarationWords } from '../words.ts';
import { readBodyIf, readEntry } from './blocks.ts';
import { Cursor, type Trust } from './cursor.ts';
import { readExpression } from './expressions.ts';
import { type Braces, closesAskew, goesOnBelow } from './lost-braces.ts';
import { endStatement } from './stray.ts';
import { readParameters, readType } from './types.ts';
import { readDay, readQuantity } from './values.ts';

/** Reads the item that starts at an offset. `braces` spares reading the rest of the text for each block that is not closed. */
export function parseItem(text: string, start: number, braces?: Braces): ParsedItem {
  const read = (trust: Trust) => {
    const p = new Cursor(text, start, trust);
    return { item: readItem(p), unclosed: p.open };
  };
  const first = braces?.isUnclosed(start) ? undefined : read('braces');
  if (first?.unclosed) braces?.expectMore();
  if (first && !first.unclosed && !closesAskew(text, first.item) && !goesOnBelow(text, first.item)) return first.item;
  // An unclosed block runs to the end of the file, and a brace too many ends the item early. Then the indentation tells which
  // brace is missing or left over; where it does not, lines that look like declarations are taken to end a block.
  const indented = read('indentation');
  if (first && !first.unclosed) return indented.unclosed ? { ...first.item, open: true } : indented.item;
  // An item that is not closed has at least one mistake in it, however it is read.
  const declared = indented.item.mistakes.length > 1 ? read('declarations') : indented;
  const better = indented.item.mistakes.length <= declared.item.mistakes.length ? indented : declared;
  return { ...better.item, open: true };
}

/** Reads one item, with what ends its last line. */
function readItem(p: Cursor): ParsedItem {
  const node = readItemNode(p);
  endStatement(p, node);
  const end = Math.max(p.last, p.origin);
  return { node, start: p.origin, end, mistakes: p.mistakes, open: p.open };
}

function readItemNode(p: Cursor): ast.Item {
  const word = p.token.text;
  const after = p.after();
  if (word === 'use' && (after.kind !== 'mark' || after.text === '.' || after.text === '/') && after.text !== 'is')
    return readUse(p);
  if (word === 'gusset' && after.kind === 'number') return readVersion(p);
  if (word === 'rate' && after.kind === 'number') return readRate(p);
  if (declarationWords.has(word) && (after.kind === 'word' || after.kind === 'line' || after.kind === 'end')) {
    return readDeclaration(p);
  }
  return readEntry(p) as ast.Item;
}

function readUse(p: Cursor): ast.Use {
  const start = p.next().start;
  if (p.token.kind === 'string') return p.node('Use', start, { path: p.string('a file') });
  const from = p.token.start;
  const line = p.text.slice(from).split(/\s*(?:\n|\/\/ )/, 1)[0] as string;
  const at = line ? { start: from, end: from + line.length } : p.here();
  const fix = line ? { title: 'Put it in quotes', ...at, text: `"${line.replaceAll('"', '')}"` } : undefined;
  p.report(spelling.missing_text.file(), at, fix);
  return p.node('Use', start, {});
}

function readVersion(p: Cursor): ast.Version {
  const start = p.next().start;
  return p.node('Version', start, { number: readQuantity(p) });
}

function readRate(p: Cursor): ast.Rate {
  const start = p.next().start;
  const from = readExpression(p);
  p.expectMark('=', 'between the two amounts: rate 1 EUR = 1.08 USD on 2026-03-02');
  const to = readExpression(p);
  return p.node('Rate', start, { from, to, date: readDay(p) });
}

function readDeclaration(p: Cursor): ast.Declaration {
  const start = p.token.start;
  const what = p.next().text;
  const name = readDeclaredName(p, what);
  const parameters = readParameters(p);
  const type = p.takeMark(':') ? readType(p) : undefined;
  const joint = missingJoint(p, what, name?.text ?? 'NAME');
  const on = joint === 'on' || p.takeWord('on') ? p.name('the kind that the rule is about') : undefined;
  const base =
    joint === 'is' || p.takeWord('is')
      ? p.name(what === 'part' ? 'the kind or part it starts from' : 'the kind it starts from')
      : undefined;
  const value = p.takeMark('=') ? readExpression(p) : undefined;
  return p.node('Declaration', start, { what, name, parameters, type, on, base, value, body: readBodyIf(p) });
}

function readDeclaredName(p: Cursor, what: string): ast.Name | undefined {
  const after = p.after();
  const unnamed = p.token.text === 'is' && after.kind === 'word' && after.text !== 'is';
  if (!unnamed) return p.name(`the name of the ${what}`);
  p.report(spelling.missing_name.beforeIs(what), p.token);
  return undefined;
}

/** Reports a name that is followed by a kind at once; returns the word that should stand between them. */
function missingJoint(p: Cursor, what: string, name: string): 'on' | 'is' | undefined {
  const { kind, text, start } = p.token;
  if (kind !== 'word' || text === 'on' || text === 'is') return undefined;
  if (what !== 'rule' && what !== 'part' && what !== 'kind') return undefined;
  const joint = what === 'rule' ? 'on' : 'is';
  // Another name follows: this word stands where the joint should.
  const after = p.after();
  if (after.kind === 'word') {
    const { end } = p.token;
    const example = `${what} ${name} ${joint} ${after.text}`;
    p.report(spelling.missing_joint.other(joint, text, example), p.token, {
      title: `Write ${joint}`,
      start,
      end,
      text: joint,
    });
    p.next();
    return joint;
  }
  const fix = { title: `Write ${joint}`, start, end: start, text: `${joint} ` };
  p.report(spelling.missing_joint.between(joint, `${what} ${name} ${joint} ${text}`), p.token, fix);
  return joint;
}
