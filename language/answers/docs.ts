import { docOf } from '../grammar/syntax.ts';
import type { Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { describeType, type Type } from '../names/type.ts';

/** The documentation of a value; a subkind that declares it anew need not say it again. Empty where there is none. */
export function memberDoc(member: Member | undefined): string {
  for (let kind = member?.owner; member && kind; kind = kind.base) {
    const node = kind.members.get(member.name)?.node;
    const doc = node && docOf(node);
    if (doc) return doc;
  }
  return '';
}

/** "a current, in A or mA" */
export function typeWithUnits(type: Type, scope: Scope, shown: readonly string[] = []): string {
  const words = describeType(type, scope.system);
  const of = type.is === 'sides' ? type.of : type;
  if (of.is !== 'quantity') return words;
  const units = (shown.length > 0 ? shown : (of.named?.shown ?? [])).filter((u) => u !== '1');
  return units.length > 0 ? `${words}, in ${units.slice(0, 3).join(' or ')}` : words;
}
