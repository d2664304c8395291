import type { Checked, Expression } from '../grammar/generated/ast.ts';
import type { Checking, Kind } from '../names/kind.ts';
import { anyType, type Type } from '../names/type.ts';
import { clausesOf } from '../units/units.ts';
import { blockAt } from './bind.ts';
import type { Context } from './context.ts';
import { typeIn } from './infer.ts';

/** The name by which the list of values that a check rests on means the part that the block starts from. */
export const partWord = 'part';

/** The kind of the block that a record speaks of: the one it names, or else the one it stands in. */
export function kindChecked({ of }: Checked, ctx: Context): Kind | undefined {
  if (!of) return ctx.kind;
  const block = blockAt(of, ctx);
  if (block) return block.kind;
  const type = typeIn(of, ctx);
  return type.is === 'instance' ? type.kind : undefined;
}

/** The check that a record names, as the kind of its block declares it; undefined where it declares none of that name. */
export function checkRecorded(node: Checked, ctx: Context): Checking | undefined {
  return kindChecked(node, ctx)?.checks.get(node.check?.text ?? '');
}

/** The least and the greatest reading with which a check is passed; it may have both, one of them, or none. */
export function boundsOf({ node }: Checking): { least: Expression | undefined; most: Expression | undefined } {
  const first = (keyword: 'lowest' | 'highest') => clausesOf(node, keyword)[0]?.values[0];
  return { least: first('lowest'), most: first('highest') };
}

/** The type of a check's reading, which is that of its bounds; undefined where the check has no reading. */
export function typeRead(check: Checking): Type | undefined {
  const { least, most } = boundsOf(check);
  const { owner } = check;
  if (!least && !most) return undefined;
  return typeIn(least ?? most, { scope: owner.scope, mode: 'kind', kind: owner, report: () => {} });
}

/** The type of one of the values that a check rests on; undefined where blocks of the kind have no such value. */
export function typeRestedOn(name: string, kind: Kind | undefined): Type | undefined {
  if (name === partWord) return { is: 'instance', kind: undefined };
  const member = kind?.members.get(name);
  if (!member || member.role === 'child' || member.parameters.length > 0) return undefined;
  return member.type ?? anyType;
}
