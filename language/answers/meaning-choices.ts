import type { Entry, Name } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Member } from '../names/kind.ts';
import type { Context } from '../types/context.ts';
import type { FoundMeaning } from './meaning.ts';

/** One of the choices of a value, where it is declared. */
export function choiceDeclared(node: Name, path: readonly AstNode[], ctx: Context): FoundMeaning {
  const entry = path.findLast((n) => n.$type === 'Entry') as Entry | undefined;
  const member = ctx.kind?.members.get(entry?.first?.text ?? '');
  if (member?.node === entry) return choiceNamed(node.text, member, []);
  return { sort: 'choice', identity: node, declarations: [node] };
}

/** One of the choices of a value: that of the first declaration of the value which has it. */
export function choiceNamed(name: string, member: Member | undefined, options: readonly string[]): FoundMeaning {
  const nodes: Name[] = [];
  for (let kind = member?.owner; kind; kind = kind.base) {
    const node = kind.members.get(member?.name ?? '')?.node;
    const option = optionsOf(node).find((o) => o.text === name);
    if (option && !nodes.includes(option)) nodes.push(option);
  }
  const identity = nodes.at(-1) ?? `one of ${options.join(', ')}: ${name}`;
  return { sort: 'choice', identity, declarations: nodes, member };
}

function optionsOf(node: AstNode | undefined): readonly Name[] {
  const terms = node?.$type === 'Entry' ? ((node as Entry).type?.terms ?? []) : [];
  return terms.flatMap((term) => {
    const type = term.$type === 'ListType' ? term.of : term;
    return type?.$type === 'ChoiceType' ? type.options : [];
  });
}
