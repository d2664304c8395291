import type { Argument, Name } from '../grammar/generated/ast.ts';

/** Which argument of a call goes to which parameter: the one place where names and order are matched. */
interface Matched<P> {
  /** Each argument with the parameter that it is for; undefined for one that is for none. */
  readonly parameters: readonly (P | undefined)[];
  /** Each parameter with the place of its argument in the call; undefined for one that has none. */
  readonly arguments: readonly (number | undefined)[];
  /** Arguments that give a parameter a second time, by their place in the call. */
  readonly repeated: readonly number[];
}

/** An argument goes to the parameter it names; one without a name to the parameter at its place in the call. */
export function matchArguments<P extends { readonly name: string }>(
  args: readonly Pick<Argument, 'name'>[],
  parameters: readonly P[],
): Matched<P> {
  const taken: (number | undefined)[] = parameters.map(() => undefined);
  const repeated: number[] = [];
  const matched = args.map((argument, position) => {
    const at = indexFor(argument.name, position, parameters);
    if (at < 0) return undefined;
    if (taken[at] === undefined) taken[at] = position;
    else repeated.push(position);
    return parameters[at];
  });
  return { parameters: matched, arguments: taken, repeated };
}

function indexFor(name: Name | undefined, position: number, parameters: readonly { readonly name: string }[]): number {
  if (name) return parameters.findIndex((parameter) => parameter.name === name.text);
  return position < parameters.length ? position : -1;
}
