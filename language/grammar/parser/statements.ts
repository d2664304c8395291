import { spelling } from '../../mistakes/spelling.ts';
import type * as ast from '../generated/ast.ts';
import { clauseOf, sourceStandings } from '../words.ts';
import type { Cursor } from './cursor.ts';
import { readCondition, readExpression, readExpressions, readList, readPostfix } from './expressions.ts';
import { readDay } from './values.ts';

export function readSource(p: Cursor): ast.Source {
  const start = p.next().start;
  let standing: string | undefined;
  if (p.token.kind === 'word') standing = p.next().text;
  else p.report(spelling.missing_standing([...sourceStandings].join(', ')), p.here());
  return p.node('Source', start, { standing, text: p.string('the source in quotes') });
}

export function readRemedy(p: Cursor): ast.Remedy {
  const start = p.next().start;
  if (p.token.kind === 'string') return p.node('Remedy', start, { text: p.string('a remedy') });
  const target = readPostfix(p);
  if (p.takeMark('=')) return remedied(p, start, { target, value: readExpression(p) });
  if (p.takeWord('is')) return remedied(p, start, { target, base: p.name('a part or a kind') });
  if (!p.takeWord('with')) return remedied(p, start, { target });
  const added = p.name('the kind of what to put in');
  const after = p.takeWord('after') ? p.name('the kind of what it comes behind') : undefined;
  return remedied(p, start, { target, added, after });
}

function remedied(p: Cursor, start: number, parts: Partial<ast.Remedy>): ast.Remedy {
  const once = p.takeWord('once') ? p.string('what is to be done first, in quotes') : undefined;
  return p.node('Remedy', start, { ...parts, once });
}

export function readFollows(p: Cursor): ast.Follows {
  const start = p.next().start;
  const rule = p.name('the rule that is the root');
  if (p.takeWord('of')) return p.node('Follows', start, { rule, of: readExpression(p) });
  p.report(spelling.missing_of(), p.here());
  const of = p.token.kind === 'word' ? readExpression(p) : undefined;
  return p.node('Follows', start, { rule, of });
}

export function readStep(p: Cursor): ast.Step {
  const start = p.next().start;
  const name = p.name('what the step is called');
  p.expectMark('=', 'between a step and its formula: where loss = power / 2');
  return p.node('Step', start, { name, value: readExpression(p) });
}

export function readAlteration(p: Cursor): ast.Alteration {
  const start = p.next().start;
  const name = p.name('the value that is another one then');
  p.expectMark('=', 'between a value and what a defect makes of it: alters tension = 50 % * tension');
  return p.node('Alteration', start, { name, value: readExpression(p) });
}

export function readRow(p: Cursor): ast.Row {
  const start = p.next().start;
  const keys = readExpressions(p);
  p.expectMark(':', "between a row's keys and its value: row 0.75 mm^2: 8.5 A");
  return p.node('Row', start, { keys, value: readExpression(p) });
}

export function readClause(p: Cursor): ast.Clause {
  const token = p.next();
  const ends = p.token.kind === 'line' || p.token.kind === 'end' || p.isMark('}');
  if (ends) return p.node('Clause', token.start, { keyword: token.text, values: [] });
  const values =
    clauseOf(token.text)?.contents === 'condition'
      ? [readCondition(p)].filter((value) => value !== undefined)
      : readExpressions(p);
  return p.node('Clause', token.start, { keyword: token.text, values });
}

export function readAcceptance(p: Cursor): ast.Acceptance {
  const start = p.next().start;
  const rule = p.name('the rule whose finding is accepted');
  const value = p.takeWord('at') ? readExpression(p) : undefined;
  if (p.takeWord('because')) {
    // Quotes with nothing in them are no reason.
    if (/^"\s*"$/.test(p.token.text)) p.report(spelling.missing_reason(), p.token);
    return p.node('Acceptance', start, { rule, value, reason: p.string('the reason, in quotes') });
  }
  p.report(spelling.missing_reason(), p.here());
  return p.node('Acceptance', start, { rule, value });
}

export function readMeasurement(p: Cursor): ast.Measurement {
  const start = p.next().start;
  const target = readPostfix(p);
  p.expectMark('=', 'between what was measured and its value');
  const value = readExpression(p);
  const date = readDay(p);
  const inPlace = p.token.text === 'in' && p.after().text === 'place';
  if (inPlace) {
    p.next();
    p.next();
  }
  return p.node('Measurement', start, { target, value, date, inPlace });
}

const checkWords: Readonly<Record<ast.Check['what'], string>> = {
  check: 'what is checked',
  symptom: 'what shows',
  defect: 'what is wrong',
};

export function isCheckWord(word: string): word is ast.Check['what'] {
  return Object.hasOwn(checkWords, word);
}

export function readCheck(p: Cursor, what: ast.Check['what'], body: (p: Cursor) => ast.Body | undefined): ast.Check {
  const start = p.next().start;
  const name = p.name(checkWords[what]);
  return p.node('Check', start, { what, name, body: body(p) });
}

export function readChecked(p: Cursor): ast.Checked {
  const start = p.next().start;
  const check = p.name('what was checked');
  const of = p.takeWord('of') ? readPostfix(p) : undefined;
  const value = p.takeWord('at') ? readExpression(p) : undefined;
  const date = readDay(p);
  if (!p.takeWord('with')) return p.node('Checked', start, { check, of, value, date });
  if (p.isMark('[')) return p.node('Checked', start, { check, of, value, date, rests: readList(p) });
  p.report(spelling.missing_list.record(), p.here());
  return p.node('Checked', start, { check, of, value, date });
}

export function readSetting(p: Cursor): ast.Setting {
  const start = p.next().start;
  const target = readPostfix(p);
  p.expectMark('=', 'between what was set and its value');
  const value = readExpression(p);
  return p.node('Setting', start, { target, value, date: readDay(p) });
}
