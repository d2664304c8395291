import { spelling } from '../../mistakes/spelling.ts';
import type * as ast from '../generated/ast.ts';
import type { Token } from '../lexer.ts';
import { clauseOf, declarationWords, severities, sourceStandings } from '../words.ts';
import { type Cursor, deepest } from './cursor.ts';
import { readCondition } from './expressions.ts';
import {
  readBase,
  readCount,
  readValueOf,
  readValueWithoutEquals,
  startsValue,
  takeColonForEquals,
  takeDoubleEquals,
} from './given.ts';
import {
  endsUnclosed,
  hasBraceBelow,
  missesBrace,
  passesToBrace,
  passLeftOver,
  reportUnclosedBlock,
  skipDeep,
} from './lost-braces.ts';
import {
  isCheckWord,
  readAcceptance,
  readAlteration,
  readCheck,
  readChecked,
  readClause,
  readFollows,
  readMeasurement,
  readRemedy,
  readRow,
  readSetting,
  readSource,
  readStep,
} from './statements.ts';
import { endStatement, namingMarks, otherComment, reportOtherComment } from './stray.ts';
import { readParameters, readType } from './types.ts';

export function readBodyIf(p: Cursor): ast.Body | undefined {
  if (p.isMark('{') || hasBraceBelow(p) || missesBrace(p)) return readBody(p);
  return undefined;
}

function readBody(p: Cursor): ast.Body {
  const free = p.free;
  p.free = 0;
  const opening = p.isMark('{') ? p.next() : { ...p.token, start: p.lastStart, end: p.last };
  const members: ast.Member[] = [];
  if (++p.depth > deepest) skipDeep(p);
  for (;;) {
    while (p.token.kind === 'line') p.next();
    if (p.token.kind === 'end' || endsUnclosed(p, opening)) {
      reportUnclosedBlock(p, opening);
      break;
    }
    if (p.isMark('}')) {
      if (passLeftOver(p, opening)) continue;
      p.free = free;
      p.next();
      break;
    }
    const member = readMember(p);
    if (member) members.push(member);
    endStatement(p, member);
  }
  p.free = free;
  p.depth--;
  return p.node('Body', opening.start, { members });
}

function readMember(p: Cursor): ast.Member | undefined {
  const { kind, text: word } = p.token;
  if (kind !== 'word') return passStray(p);
  const after = p.after();
  const names = (after.kind === 'mark' && namingMarks.has(after.text)) || takesArguments(p, after);
  const ends = after.kind === 'line' || after.kind === 'end' || after.text === '}';
  if (names || after.text === 'is' || after.text === 'default' || (ends && !clauseOf(word)?.bare)) return readEntry(p);
  const keyword = readWithKeyword(p, word, after);
  return keyword ?? readEntry(p);
}

/** Does a bracket behind a word hold arguments with their types? A condition in brackets, behind `when` or `holds`, has no colon there. */
function takesArguments(p: Cursor, bracket: Token): boolean {
  if (bracket.text !== '(') return false;
  const name = p.lexer.read(bracket.end, true);
  return name.kind === 'word' && p.lexer.read(name.end, true).text === ':';
}

function readWithKeyword(p: Cursor, word: string, after: Token): ast.Member | undefined {
  const start = p.token.start;
  if (word === 'shared' && after.text === 'has') return readHas(p);
  if (word === 'has' && after.kind === 'word') return readHas(p);
  if (word === 'source' && (sourceStandings.has(after.text) || after.kind === 'string')) return readSource(p);
  if (severities.has(word) && after.kind === 'string') {
    return p.node('Message', p.next().start, { severity: word, text: p.string('the message') });
  }
  if (word === 'remedy' && (after.kind === 'word' || after.kind === 'string')) return readRemedy(p);
  if (word === 'follows' && after.kind === 'word') return readFollows(p);
  if (word === 'row') return readRow(p);
  if (word === 'where' && after.kind === 'word') return readStep(p);
  if (word === 'alters' && after.kind === 'word') return readAlteration(p);
  if (word === 'require') {
    p.next();
    return p.node('Requirement', start, { condition: readCondition(p) });
  }
  if (word === 'accept' && after.kind === 'word') return readAcceptance(p);
  if (word === 'measured') return readMeasurement(p);
  if (isCheckWord(word) && after.kind === 'word') return readCheck(p, word, readBodyIf);
  if (word === 'checked' && after.kind === 'word') return readChecked(p);
  if (word === 'set' && after.kind === 'word') return readSetting(p);
  if ((word === 'no' || word === 'remove') && after.kind === 'word') return readAbsence(p);
  if (clauseOf(word)) return readClause(p);
  if (
    declarationWords.has(word) &&
    after.kind === 'word' &&
    (word !== 'part' || p.lexer.read(after.end, false).text === 'is') &&
    word !== 'unit'
  ) {
    p.report(spelling.declaration_inside(word), p.token);
  }
  return undefined;
}

/** What is deliberately not there, also by the word that said so once. */
function readAbsence(p: Cursor): ast.Absence {
  const { start, end, text } = p.next();
  const fix = { title: 'Write no', start, end, text: 'no' };
  if (text === 'remove') p.report(spelling.old_word.remove(), { start, end }, fix);
  return p.node('Absence', start, { name: p.name('the name of what is not there') });
}

function readHas(p: Cursor): ast.Has {
  const start = p.token.start;
  const shared = p.takeWord('shared');
  p.next();
  const name = p.name('the name of a block');
  const kind = p.takeMark(':') ? p.name('a kind') : undefined;
  const occurs = p.takeMark('?') ? '?' : p.takeMark('*') ? '*' : undefined;
  return p.node('Has', start, { shared, name, kind, occurs, body: readBodyIf(p) });
}

export function readEntry(p: Cursor): ast.Entry {
  const start = p.token.start;
  const shared = p.token.text === 'shared' && p.after().kind === 'word' && p.takeWord('shared');
  const first = p.name('a name');
  const named = p.token.kind === 'word' && p.token.text !== 'is' && p.token.text !== 'default';
  const name = named ? p.name('a name') : undefined;
  const parameters = readParameters(p);
  const colon = p.isMark(':') && takeColonForEquals(p, first?.text ?? 'this');
  const type = !colon && p.takeMark(':') ? readType(p) : undefined;
  const count = p.takeMark('*') ? readCount(p) : undefined;
  const base = p.takeWord('is') ? readBase(p) : undefined;
  const defaults = p.takeWord('default');
  let equals = !defaults && (colon || p.takeMark('=') || (!type && takeDoubleEquals(p, first?.text ?? 'this')));
  let value: ast.Expression | undefined;
  if (equals || defaults) value = readValueOf(p, first?.text ?? 'this');
  else if (startsValue(p) && !type && !base) {
    equals = true;
    value = readValueWithoutEquals(p);
  }
  return p.node('Entry', start, {
    shared,
    first,
    name,
    parameters,
    type,
    count,
    base,
    defaults,
    equals,
    value,
    body: !value && passesToBrace(p) ? readBody(p) : readBodyIf(p),
  });
}

function passStray(p: Cursor): ast.Member | undefined {
  const { kind, text, start, end } = p.token;
  if (otherComment(p.text, start)) {
    p.token = p.lexer.read(reportOtherComment(p, start), false);
    return p.token.kind === 'word' ? readMember(p) : undefined;
  }
  const { meaningless, beforeEquals, inBlock } = spelling.stray_text;
  const wording = kind === 'bad' ? meaningless(text) : text === '=' ? beforeEquals() : inBlock(text);
  p.report(wording, { start, end });
  p.skipLine();
  return undefined;
}
