import type { Absence, Entry, Expression, Measurement } from '../grammar/generated/ast.ts';
import type { Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { statementsOf } from './statements.ts';
import type { Instance, Mode } from './tree.ts';

/** Where a value comes from. */
export type Origin = 'given' | 'default' | 'derived' | 'measured' | 'open' | 'absent' | 'missing';

/** The text that decides a value. */
export interface Definition {
  readonly origin: Origin;
  readonly expression: Expression | undefined;
  /** The statement: an assignment, a measurement, that it is not there, or the kind's declaration. */
  readonly node: Entry | Measurement | Absence | undefined;
  readonly scope: Scope;
  readonly mode: Mode;
  /** Whether the checks found a mistake in the expression, so that it is not computed. */
  readonly spoiled: boolean;
}

/** A definition, with whether the checks found a mistake in it. */
export function defined({ origin, expression, node, scope, mode }: Omit<Definition, 'spoiled'>): Definition {
  // Written out: a copy with one more field has a shape of its own each time, which costs more than what is in it.
  return { origin, expression, node, scope, mode, spoiled: expression !== undefined && scope.isSpoiled(expression) };
}

/** Finds the text that decides a value of a block: a measurement used in place, the most specific assignment, or the kind's own. */
export function definitionOf(instance: Instance, member: Member): Definition {
  let given: Definition | undefined;
  for (const { body, scope, mode, elsewhere } of instance.layers) {
    const own = statementsOf(body).values.get(member.name);
    if (own?.measured && !elsewhere)
      return defined({ origin: 'measured', expression: own.measured.value, node: own.measured, scope, mode });
    if (given || !(own?.given || own?.absent)) continue;
    const node = own.given;
    if (!node) {
      given = defined({ origin: 'absent', expression: undefined, node: own.absent, scope, mode });
      continue;
    }
    const origin = node.value?.$type === 'Open' ? 'open' : node.value ? 'given' : 'missing';
    given = defined({ origin, expression: node.value, node, scope, mode });
  }
  // A derived value is not to be given: the checks say so, and the formula stays in force.
  return given && member.role !== 'derived' ? given : definitionByKind(member);
}

/** What the library's own kinds say of their values: the same for every machine. */
const byLibrary = new WeakMap<Member, Definition>();

/** What a kind says of a value, where no block says more. */
function definitionByKind(member: Member): Definition {
  const known = byLibrary.get(member);
  if (known) return known;
  const { scope } = member.owner;
  const node = member.node as Entry;
  const origin = member.role === 'derived' ? 'derived' : member.role === 'default' ? 'default' : 'missing';
  const made = defined({ origin, expression: node.value, node, scope, mode: 'kind' });
  if (!scope.shared) byLibrary.set(member, made);
  return made;
}
