import type { Kind, Member } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import { someQuantity } from '../types/situation.ts';

/** How well something of a type fits: the less the better; undefined where it does not fit at all. */
export function closeness(type: Type, expected: Type | undefined): number | undefined {
  if (expected === someQuantity && type.is === 'formula') return closeness(type.result, expected);
  if (expected === someQuantity)
    return type.is === 'quantity' ? 0 : type.is === 'sides' ? 2 : type.is === 'any' ? 1 : undefined;
  if (!expected || expected.is === 'any' || type.is === 'any') return 1;
  if (type.is === 'formula' && expected.is !== 'formula') return closeness(type.result, expected);
  if (type.is === 'sides' && expected.is === 'quantity') return 2;
  if (expected.is === 'truth') return type.is === 'truth' ? 0 : type.is === 'quantity' || type.is === 'choice' ? 1 : 2;
  if (type.is !== expected.is) return undefined;
  if (type.is === 'quantity' && expected.is === 'quantity') {
    if (type.dimension !== expected.dimension || (type.points ?? false) !== (expected.points ?? false))
      return undefined;
    return type.named === expected.named ? 0 : 1;
  }
  if (type.is === 'instance' && expected.is === 'instance')
    return !expected.kind || type.kind?.isA(expected.kind) ? 0 : undefined;
  if (type.is === 'list' && expected.is === 'list') return closeness(type.of, expected.of);
  return 0;
}

/** How far up a member was declared: what is a kind's own comes first, and its headlines before all. */
export function distance(member: Member, kind: Kind | undefined): number {
  let steps = 0;
  for (let at = kind; at && at !== member.owner; at = at.base) steps++;
  return (kind?.headlines.includes(member.name) ? -0.3 : 0) + Math.min(steps, 9) * 0.1;
}
