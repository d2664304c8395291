import { spelling } from '../../mistakes/spelling.ts';
import type * as ast from '../generated/ast.ts';
import type { Token } from '../lexer.ts';
import { readBracketed } from './brackets.ts';
import { type Cursor, deepest } from './cursor.ts';

export function readParameters(p: Cursor): ast.Parameter[] {
  const parameters: ast.Parameter[] = [];
  if (!p.isMark('(')) return parameters;
  readBracketed(p, '(', ')', () => {
    const start = p.token.start;
    const name = p.name('the name of an argument');
    const type = p.takeMark(':') ? readType(p) : undefined;
    if (name) parameters.push(p.node('Parameter', start, { name, type }));
  });
  return parameters;
}

export function readType(p: Cursor): ast.Type {
  const start = p.token.start;
  const terms = [readTerm(p)];
  while (p.token.text === 'x') {
    p.next();
    terms.push(readTerm(p));
  }
  const optional = p.takeMark('?');
  return p.node('Type', start, { terms: terms.filter(Boolean), optional });
}

function readTerm(p: Cursor): ast.TypeTerm | undefined {
  if (p.depth > deepest * 2) return p.giveUp(spelling.too_deep.type());
  p.depth++;
  const term = readTermAt(p, p.token);
  p.depth--;
  return term;
}

function readTermAt(p: Cursor, { start, text }: Token): ast.TypeTerm | undefined {
  const of = p.after().text === 'of';
  if (of && (text === 'list' || text === 'curve' || text === 'one')) {
    p.next();
    p.next();
    if (text === 'list') return p.node('ListType', start, { of: readTerm(p) });
    if (text === 'one') return p.node('ChoiceType', start, { options: readOptions(p) });
    const x = readTerm(p);
    p.expectMark(',', 'between the two quantities of a curve: curve of Time, Temperature');
    return p.node('CurveType', start, { x, y: readTerm(p) });
  }
  if (p.isMark('(')) {
    const parameters: (ast.TypeTerm | undefined)[] = [];
    readBracketed(p, '(', ')', () => parameters.push(readTerm(p)));
    p.expectMark('->', 'between what a formula takes and what it gives');
    return p.node('FormulaType', start, { parameters, result: readTerm(p) });
  }
  if (text === 'any' && p.after().kind === 'word') {
    p.next();
    return p.node('AnyType', start, { name: p.name('a name for any quantity, such as any X') });
  }
  const name = p.name('a quantity or a kind, such as Power or wire');
  return name && p.node('NamedType', start, { name });
}

function readOptions(p: Cursor): ast.Name[] {
  const options: ast.Name[] = [];
  do {
    const name = p.name('one of the choices');
    if (name) options.push(name);
  } while (!anotherParameter(p) && p.takeMark(','));
  return options;
}

/** Does a comma end the choices of one argument, and a name and its colon begin the next? */
function anotherParameter(p: Cursor): boolean {
  if (p.free === 0 || !p.isMark(',')) return false;
  const name = p.after();
  return p.lexer.read(name.end, true).text === ':';
}
