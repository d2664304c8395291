import type {
  Check,
  Checked,
  Declaration,
  Entry,
  Expression,
  Has,
  Name,
  Parameter,
  Quantity,
  Step,
  Text,
} from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf, type TextRange } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import type { Context } from '../types/context.ts';
import { typeIn } from '../types/infer.ts';
import { checkRecorded, kindChecked } from '../types/records.ts';
import { pathAt, plainTree, type Situation, situationsAlong, type TreeOf } from '../types/situation.ts';
import type { FoundMeaning, Meaning } from './meaning.ts';
import { argument, localStep, localType, namedArgument } from './meaning-arguments.ts';
import { absent, entryName, hasName } from './meaning-blocks.ts';
import { choiceDeclared } from './meaning-choices.ts';
import { declarationName, declared, dimensionNamed, kindNamed, unitNamed, used } from './meaning-declared.ts';
import { checkFound, rootMember, slotOf, valueFound } from './meaning-members.ts';
import { memberAccess, referenced } from './meaning-references.ts';

/** What is named at an offset; undefined where nothing is. */
export function symbolAt(file: TextFile, offset: number, treeOf: TreeOf = plainTree): Meaning | undefined {
  return meaningsAt(file, offset, treeOf)[0];
}

/** All that a name says at once: an unnamed block goes by the name of its kind, so that both are meant. */
export function meaningsAt(file: TextFile, offset: number, treeOf: TreeOf = plainTree): Meaning[] {
  const path = pathAt(file, offset);
  const node = path.at(-1);
  if (!node) return [];
  const situations = situationsAlong(path, file.scope, treeOf);
  const range = node.$type === 'Quantity' ? unitRange(node as Quantity) : rangeOf(node);
  if (!range || offset < range.start || offset > range.end) return [];
  const name = file.parsed.text.slice(range.start, range.end);
  const found = readNode(node, path, situations, file).flatMap((f) => (f ? [f, ...roleOf(f)] : []));
  if (found.length > 0) return found.map((f) => ({ ...f, name, range }));
  // A name that leads nowhere is no word of the language.
  return node.$type === 'Name' ? [] : keywordAt(file, offset);
}

/** A block that goes by the name of its role means the role as well. */
function roleOf({ member, instance, identity }: FoundMeaning): FoundMeaning[] {
  const goesByRole = member?.role === 'child' && instance?.name === member.name && identity !== rootMember(member).node;
  const role = goesByRole ? slotOf(member, instance) : undefined;
  return role ? [role] : [];
}

/** A word that belongs to the language. */
function keywordAt({ parsed: { text } }: TextFile, offset: number): Meaning[] {
  const [before] = /[\p{L}_]*$/u.exec(text.slice(Math.max(0, offset - 40), offset)) as RegExpExecArray;
  const [after] = /^[\p{L}_]*/u.exec(text.slice(offset, offset + 40)) as RegExpExecArray;
  const name = `${before}${after}` || (text[offset] === '?' ? '?' : '');
  const start = offset - before.length;
  const line = text.slice(text.lastIndexOf('\n', start - 1) + 1, start);
  if (!name || /\/\/|^[^"]*"[^"]*$/.test(line)) return [];
  const range = { start, end: start + name.length };
  return [{ sort: 'keyword', name, range, identity: `keyword ${name}`, declarations: [] }];
}

/** Where the unit of a quantity stands. */
export function unitRange(node: Quantity): TextRange | undefined {
  const { start, end } = rangeOf(node);
  return node.unit ? { start: end - node.unit.length, end } : { start, end: start };
}

/** What a name, a unit or a used file means, from the nodes that lead to it and what is seen at each. */
export function readNode(
  node: AstNode,
  path: readonly AstNode[],
  situations: readonly Situation[],
  file: TextFile,
): (FoundMeaning | undefined)[] {
  const parent = path.at(-2);
  const at = situations.at(-1) as Situation;
  if (node.$type === 'Quantity') return [unitNamed((node as Quantity).unit ?? '', file.scope)];
  if (node.$type === 'Text' && parent?.$type === 'Use') return [used(node as Text, file)];
  if (node.$type !== 'Name' || !parent) return [];
  const outer = situations.at(-2) as Situation;
  return readName(node as Name, parent, path, outer.ctx, at, situations);
}

type Named = AstNode & Record<string, unknown>;

function readName(
  node: Name,
  holder: AstNode,
  path: readonly AstNode[],
  ctx: Context,
  at: Situation,
  situations: readonly Situation[],
): (FoundMeaning | undefined)[] {
  const { scope } = ctx;
  const parent = holder as Named;
  const name = node.text;
  switch (parent.$type) {
    case 'Declaration':
      return [declarationName(node, holder as Declaration, scope)];
    case 'Entry':
      return entryName(node, holder as Entry, ctx, at);
    case 'Has':
      return hasName(node, holder as Has, ctx);
    case 'Parameter':
      return [argument(holder as Parameter, path, ctx)];
    case 'Access':
      return [memberAccess(name, parent.object as Expression, ctx)];
    case 'Reference':
      return [referenced(name, path.slice(0, -1), at, situations)];
    case 'Argument':
      return [namedArgument(name, path, situations)];
    case 'Comprehension':
      return [{ sort: 'local', identity: node, declarations: [node], type: localType(path, situations) }];
    case 'Check':
      return [checkFound(ctx.kind?.checkings((holder as Check).what).get(name))];
    case 'Alteration':
      return [valueFound(ctx.kind?.members.get(name))];
    case 'Checked':
      return [checkFound(checkRecorded(holder as Checked, ctx))];
    case 'ListElement':
      if (path.at(-4)?.$type === 'Checked')
        return [valueFound(kindChecked(path.at(-4) as Checked, ctx)?.members.get(name))];
      return [{ sort: 'size', identity: node, declarations: [node] }];
    case 'Remedy':
      return [kindNamed(name, scope) ?? declared(name, scope)];
    case 'NamedType':
      return [kindNamed(name, scope) ?? dimensionNamed(name, scope)];
    case 'Every':
      return [kindNamed(name, scope)];
    case 'Acceptance':
    case 'Follows':
      return [declared(name, scope)];
    case 'ChoiceType':
      return [choiceDeclared(node, path, ctx)];
    case 'Absence':
      return [absent(name, ctx)];
    case 'Step':
      return [localStep(node as Name, typeIn((holder as Step).value, at.ctx))];
    default:
      return [];
  }
}
