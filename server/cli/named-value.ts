import { cellAt } from '../../language/answers/derivation.ts';
import type { Cell } from '../../language/compute/cell.ts';
import { evaluate } from '../../language/compute/evaluate.ts';
import { parse } from '../../language/grammar/parser.ts';
import { misreadIn } from '../../language/grammar/syntax.ts';
import { Instance } from '../../language/machine/tree.ts';
import type { Assessed } from '../../language/project.ts';
import { infer } from '../../language/types/infer.ts';
import { CallError } from './io.ts';

/** The value or block of a machine that a path leads to, checked as the text of a machine is. Throws a `CallError` where it leads to neither. */
export function blockOrValue(path: string, machine: Assessed): Cell | Instance {
  const parsed = parse(`value = ${path}`);
  const item = parsed.file.items[0];
  const [misread] = misreadIn(parsed);
  if (misread) throw new CallError(misread.message);
  if (item?.$type !== 'Entry' || !item.value) throw new CallError(`${path} is not the path of a value.`);
  const problems: string[] = [];
  const { scope, tree, engine } = machine;
  infer(item.value, {
    scope,
    mode: 'block',
    kind: tree.kind,
    instance: tree,
    report: ({ message }) => problems.push(message),
  });
  if (problems[0]) throw new CallError(problems[0]);
  const cell = cellAt(path, machine);
  if (cell) return cell;
  const value = evaluate(item.value, { engine, self: tree, scope, mode: 'block' });
  if (value instanceof Instance) return value;
  throw new CallError(`${path} is not one value of ${tree.name}, but an expression.`);
}

/** The value of a machine at a path, which may begin with the machine's name. Throws a `CallError` where there is none. */
export function valueNamed(path: string, machine: Assessed): Cell {
  const { name } = machine.tree;
  const found = blockOrValue(path.startsWith(`${name}.`) ? path.slice(name.length + 1) : path, machine);
  if (found instanceof Instance)
    throw new CallError(`${path} is a block of ${name}, and no value. Name one of its values.`);
  return found;
}

/** Paths in one text, with commas between them; a comma in brackets belongs to a path. */
export function pathsIn(text: string): string[] {
  const paths = [''];
  let depth = 0;
  for (const character of text) {
    if ('(['.includes(character)) depth++;
    if (')]'.includes(character)) depth--;
    if (character === ',' && depth === 0) paths.push('');
    else paths[paths.length - 1] += character;
  }
  return paths.map((path) => path.trim()).filter(Boolean);
}
