import type { Argument, Call } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { parametersOf, type Situation } from '../types/situation.ts';
import { cursorAt } from './complete-cursor.ts';
import { typeWithUnits } from './docs.ts';

/** What a call takes: each argument's name, with its type in words, and which of them is being written. */
export interface Signature {
  readonly called: string;
  readonly parameters: readonly { readonly name: string; readonly type: string }[];
  readonly active: number;
}

/** Of the innermost call whose arguments an offset stands in; undefined where there is none, or where it is not known what it calls. */
export function signatureAt(file: TextFile, offset: number): Signature | undefined {
  const { path, situations } = cursorAt(file, offset) ?? { path: [], situations: [] };
  const at = path.findLastIndex((node, i) => node.$type === 'Call' && path[i + 1]?.$type === 'Argument');
  if (at < 0) return undefined;
  const [call, argument] = path.slice(at) as unknown as [Call, Argument];
  const { ctx } = situations[at] as Situation;
  const parameters = parametersOf(call.callee, ctx);
  if (parameters.length === 0) return undefined;
  const named = parameters.findIndex(({ name }) => name === argument.name?.text);
  return {
    called: textOf(call.callee),
    parameters: parameters.map(({ name, type }) => ({ name, type: typeWithUnits(type, ctx.scope) })),
    active: named >= 0 ? named : call.arguments.indexOf(argument),
  };
}
