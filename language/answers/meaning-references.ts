import type { Clause, Entry, Expression } from '../grammar/generated/ast.ts';
import { type AstNode, isOfValue } from '../grammar/syntax.ts';
import { clauses } from '../grammar/words.ts';
import { anyType, kindOfListedBlocks, type Type, typeOf } from '../names/type.ts';
import { type Binding, bind, bindMember, blockAt } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import { typeIn } from '../types/infer.ts';
import type { Situation } from '../types/situation.ts';
import { ownWord } from './language-words.ts';
import type { FoundMeaning } from './meaning.ts';
import { localNamed } from './meaning-arguments.ts';
import { blockMeant } from './meaning-blocks.ts';
import { choiceNamed } from './meaning-choices.ts';
import {
  declaration,
  declared,
  dimensionOrUnit,
  kindNamed,
  sizeFound,
  startsFrom,
  unitNamed,
} from './meaning-declared.ts';
import { valueFound } from './meaning-members.ts';

/** What stands behind a dot. */
export function memberAccess(name: string, object: Expression, ctx: Context): FoundMeaning | undefined {
  const block = blockAt(object, ctx);
  const type = typeIn(object, ctx);
  const kind = block?.kind ?? (type.is === 'instance' ? type.kind : undefined);
  const binding = kind && bindMember(name, kind, block);
  if (binding) return found(binding, name);
  const hasOwnWords = type.is === 'sides' || (type.is === 'quantity' && type.money);
  return hasOwnWords ? ownWord(name) : undefined;
}

/** A name in an expression or a clause. */
export function referenced(
  name: string,
  path: readonly AstNode[],
  at: Situation,
  situations: readonly Situation[],
): FoundMeaning | undefined {
  const { ctx } = at;
  const inClause = clauseName(name, path, ctx);
  if (inClause) return inClause;
  // `at` is what is seen inside the reference; what is expected of it is seen at the reference itself.
  const { expected, member } = situations[path.length - 1] ?? at;
  const parent = path.at(-2) as (AstNode & Record<string, unknown>) | undefined;
  if (parent?.$type === 'Binary' && parent.operator === 'is' && parent.right === path.at(-1))
    return kindNamed(name, ctx.scope);
  const called = parent?.$type === 'Call' && parent.callee === path.at(-1);
  const binding = bind(name, ctx, { expected, called });
  if (binding?.is === 'ambiguous') return undefined;
  if (binding?.is === 'local') return localNamed(name, path, ctx);
  if (binding?.is === 'choice' && binding.type.is === 'choice') return choiceNamed(name, member, binding.type.options);
  return (binding && found(binding, name)) ?? dimensionOrUnit(name, ctx.scope);
}

/** What a binding leads to, for an editor. */
function found(binding: Binding, name: string): FoundMeaning | undefined {
  switch (binding.is) {
    case 'self':
    case 'holder':
      return ownWord(binding.is);
    case 'word':
      return ownWord(binding.word);
    case 'function':
      return ownWord(binding.name);
    case 'member':
      return valueFound(binding.member, binding.instance);
    case 'block':
      return blockMeant(name, binding.instance);
    case 'size':
      return sizeFound(binding.size.declaration, binding.size.index);
    case 'declared':
      return declaration(binding.node, binding.scope);
    default:
      return undefined;
  }
}

/** The type of the value whose declaration a name stands in. */
function listIn(path: readonly AstNode[], { scope }: Context): Type {
  const entry = path.findLast((node) => node.$type === 'Entry') as Entry | undefined;
  return entry?.type ? typeOf(entry.type, scope) : anyType;
}

/** Names in the clauses of kinds, values and units, which are no expressions. */
function clauseName(name: string, path: readonly AstNode[], ctx: Context): FoundMeaning | undefined {
  const clause = path.findLast((node) => node.$type === 'Clause') as Clause | undefined;
  switch (clause && clauses[clause.keyword].contents) {
    case 'values':
    case 'reported':
    case 'drawn':
      return valueFound(ctx.kind?.members.get(name)) ?? ownWord(name);
    case 'part':
      return declared(name, ctx.scope);
    case 'kinds':
      return kindNamed(name, ctx.scope);
    case 'sizes':
      return declared(name, ctx.scope);
    case 'units': {
      const listedKind = kindOfListedBlocks(listIn(path, ctx));
      return listedKind ? valueFound(listedKind.members.get(name)) : unitNamed(name, ctx.scope);
    }
    case 'successor':
      return isOfValue(clause as Clause) ? valueFound(ctx.kind?.members.get(name)) : startsFrom(name, ctx.scope);
    case 'words':
      return { sort: 'keyword', identity: `keyword ${name}`, declarations: [] };
    default:
      return undefined;
  }
}
