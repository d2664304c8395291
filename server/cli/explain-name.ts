import { mistakeKinds } from '../../language/mistakes/all.ts';
import { nearest } from '../../language/mistakes/sentence.ts';
import type { Kind } from '../../language/names/kind.ts';
import type { Scope } from '../../language/names/scope.ts';
import { isFunctionName, languageFunctions } from '../../language/types/functions.ts';
import { isUnit } from '../../language/units/units.ts';
import {
  explainDeclared,
  explainFunction,
  explainKind,
  explainKindInShort,
  explainMember,
  explainSize,
} from './explain-declared.ts';
import { explainPartsOf, explainRelated } from './explain-index.ts';
import { explainMistake, explainOwnFinding } from './explain-mistake.ts';
import { explainDimension, explainPrefix, explainUnit } from './explain-units.ts';
import { CallError } from './io.ts';
import type { Page } from './page.ts';

/** Everything that goes by a name: a kind and a part may share one, and so may a unit and a prefix. */
export function pagesOfName(name: string, scope: Scope, newPage: () => Page, ofKind = wholeKind): Page[] {
  const { system } = scope;
  const kind = scope.kindNamed(name);
  const member = memberNamed(name, scope);
  const declared = scope.find(name);
  const size = scope.sizeNamed(name);
  const dimension = system.dimensions.get(name);
  const unit = system.unit(name);
  const prefix = system.prefixes.get(name);
  const builtin = isFunctionName(name) ? languageFunctions[name] : undefined;
  const mistake = mistakeKinds.get(name);
  const own = explainOwnFinding(name, newPage());
  return [
    ...(kind ? [ofKind(kind, newPage(), scope)] : []),
    ...(member ? [explainMember(member.member, member.kind, newPage())] : []),
    ...(declared ? [explainDeclared(declared.node, declared.scope, newPage())] : []),
    ...(size ? [explainSize(name, size, newPage())] : []),
    ...(dimension ? [explainDimension(dimension, system, newPage())] : []),
    ...(isUnit(unit) ? [explainUnit(unit, system, newPage())] : []),
    ...(prefix ? [explainPrefix(name, prefix, newPage())] : []),
    ...(builtin ? [explainFunction(name, builtin, newPage())] : []),
    ...(mistake ? [explainMistake(mistake, newPage())] : []),
    ...(own ? [own] : []),
  ];
}

export const wholeKind = (kind: Kind, page: Page, scope: Scope) => explainRelated(kind, scope, explainKind(kind, page));

export const kindInShort = (kind: Kind, page: Page, scope: Scope) =>
  explainPartsOf(kind, scope, explainKindInShort(kind, page)).prose(`All of it: gusset explain ${kind.name} --whole`);

/** `KIND.VALUE` */
function memberNamed(name: string, scope: Scope) {
  const [first = '', second, ...rest] = name.split('.');
  const kind = rest.length === 0 && second ? scope.kindNamed(first) : undefined;
  const member = kind?.members.get(second ?? '');
  if (kind && !member) {
    const near = nearest(second ?? '', kind.members.keys());
    throw new CallError(`The kind ${first} has no ${second}.${near ? ` Did you mean ${near}?` : ''}`);
  }
  return kind && member && { kind, member };
}
