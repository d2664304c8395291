import type { Argument, Call, Declaration, Entry, Name, Parameter } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Member } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import { calledBy } from '../types/calls.ts';
import type { Context } from '../types/context.ts';
import { inference } from '../types/infer.ts';
import { domainType } from '../types/question.ts';
import { memberOf, type Situation } from '../types/situation.ts';
import { stepsOf } from '../types/steps.ts';
import type { FoundMeaning } from './meaning.ts';
import { rootMember } from './meaning-members.ts';

/** What the name that a question gives to each of what it goes through stands for. */
export function localType(path: readonly AstNode[], situations: readonly Situation[]): Type | undefined {
  const comprehension = path.at(-2) as Argument['comprehension'];
  const outer = situations.at(-3);
  return comprehension?.domain && outer && domainType(comprehension.domain, outer.ctx, inference);
}

/** An argument where it is declared. */
export function argument(node: Parameter, path: readonly AstNode[], ctx: Context): FoundMeaning {
  const entry = path.at(-3);
  const member = entry?.$type === 'Entry' ? ctx.kind?.members.get((entry as Entry).first?.text ?? '') : undefined;
  return argumentOf(member, node.name?.text ?? '', node);
}

/** An argument of a value is that of the first declaration of the value, where that has one of its name. */
function argumentOf(member: Member | undefined, name: string, node: AstNode, type?: Type): FoundMeaning {
  const root = member && rootMember(member).node;
  const first = root?.$type === 'Entry' ? root.parameters.find((p) => p.name?.text === name) : undefined;
  const parameter = node as Partial<Parameter>;
  return { sort: 'argument', identity: first ?? node, declarations: [parameter.name ?? node], member, type };
}

/** An argument that a call gives by its name. */
export function namedArgument(
  name: string,
  path: readonly AstNode[],
  situations: readonly Situation[],
): FoundMeaning | undefined {
  const call = path.at(-3) as Call;
  const { ctx } = situations.at(-3) as Situation;
  const called = calledBy(call.callee, ctx, inference);
  const parameter = called?.is === 'formula' ? called.signature.parameters.find((p) => p.name === name) : undefined;
  return parameter && argumentOf(memberOf(call.callee, ctx), name, parameter.node, parameter.type);
}

/** The argument or the name for each of a question that a name leads to. */
export function localNamed(name: string, path: readonly AstNode[], ctx: Context): FoundMeaning | undefined {
  const type = ctx.locals?.get(name);
  if (!type) return undefined;
  for (const [i, node] of [...path.entries()].reverse()) {
    if (node.$type === 'Argument') {
      const { comprehension } = node as Argument;
      if (comprehension?.variable?.text === name && isInside(path, i, comprehension))
        return { sort: 'local', identity: comprehension.variable, declarations: [comprehension.variable], type };
    }
    if (node.$type !== 'Entry' && node.$type !== 'Declaration') continue;
    const step = stepsOf(node as Entry | Declaration).find((each) => each.name?.text === name);
    if (step?.name) return localStep(step.name, type);
    const parameter = (node as Entry | Declaration).parameters.find((p) => p.name?.text === name);
    if (!parameter) continue;
    const member = node.$type === 'Entry' ? ctx.kind?.members.get((node as Entry).first?.text ?? '') : undefined;
    return argumentOf(member, name, parameter, type);
  }
  return undefined;
}

/** A step of a formula, by its name. */
export function localStep(name: Name, type: Type): FoundMeaning {
  return { sort: 'local', identity: name, declarations: [name], type };
}

/** A question's own domain does not see its name. */
function isInside(
  path: readonly AstNode[],
  index: number,
  comprehension: NonNullable<Argument['comprehension']>,
): boolean {
  return !(path[index + 1] === comprehension && path[index + 2] === comprehension.domain);
}
