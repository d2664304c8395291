import type { Clause } from '../grammar/generated/ast.ts';
import { docOf, isOfValue, textOf } from '../grammar/syntax.ts';
import { clauses } from '../grammar/words.ts';
import type { Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { kindOfListedBlocks } from '../names/type.ts';
import { clausesOf } from '../units/units.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { kindNames } from './complete-names.ts';
import { units } from './complete-units.ts';
import { isCurrent, isCurrentMember } from './deprecated.ts';
import { memberDoc } from './docs.ts';
import type { Proposal } from './proposal.ts';

/** Names in clauses that are no expressions; undefined where the clause holds expressions. */
export function clauseValues(cursor: CursorPlace): Proposal[] | undefined {
  const clause = cursor.path.findLast((node) => node.$type === 'Clause') as Clause | undefined;
  const { ctx, expected } = cursor.outer;
  const own = [...(ctx.kind?.members.values() ?? [])];
  const valueNames = (list: Member[]) =>
    list.map((m): Proposal => ({ label: m.name, sort: 'value', rank: 0, documentation: memberDoc(m) }));
  const isShowable = (m: Member) => m.role !== 'child' && m.parameters.length === 0 && isCurrentMember(m);
  switch (clause && clauses[clause.keyword].contents) {
    case 'values':
    case 'reported':
    case 'drawn':
      return valueNames(own.filter(isShowable));
    case 'part':
      return moments(ctx.scope, (clause as Clause).keyword);
    case 'kinds':
      return kindNames(ctx.scope);
    case 'sizes':
      return sizesNames(ctx.scope);
    case 'units': {
      const listedKind = expected && kindOfListedBlocks(expected);
      if (listedKind) return valueNames([...listedKind.members.values()].filter(isShowable));
      return units(expected ? { ctx, expected } : cursor.outer);
    }
    case 'successor':
      return isOfValue(clause as Clause) ? valueNames(own.filter(isShowable)) : kindNames(ctx.scope);
    case 'words':
      return clauses[(clause as Clause).keyword].words?.map((label, rank) => ({ label, sort: 'keyword', rank }));
    default:
      return undefined;
  }
}

/** The stages at which other checks are made, or how often they are repeated. */
function moments(scope: Scope, keyword: Clause['keyword']): Proposal[] {
  const checks = scope.kinds().flatMap((kind) => [...kind.checks.values()]);
  const names = new Set(
    checks.flatMap(({ node }) => clausesOf(node, keyword).flatMap(({ values }) => values.map(textOf))),
  );
  return [...names].flatMap((label): Proposal[] => {
    const part = scope.find(label)?.node;
    return part ? [{ label, sort: 'part', rank: 0, documentation: docOf(part) }] : [];
  });
}

function sizesNames(scope: Scope): Proposal[] {
  return scope
    .visible()
    .flatMap((each) =>
      [...each.own.declared.values()].flatMap((node): Proposal[] =>
        node.$type === 'Declaration' && node.what === 'sizes' && node.name && isCurrent(node)
          ? [{ label: node.name.text, sort: 'size', rank: 0, documentation: docOf(node) }]
          : [],
      ),
    );
}
