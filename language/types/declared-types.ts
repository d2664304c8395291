import type { Type as TypeNode, TypeTerm } from '../grammar/generated/ast.ts';
import { naming } from '../mistakes/naming.ts';
import { nearest } from '../mistakes/sentence.ts';
import type { Scope } from '../names/scope.ts';
import { signatureOf, typeOf } from '../names/type.ts';
import { type Report, replaceWithNearest, tell } from './tell.ts';

export function readType(node: TypeNode | undefined, scope: Scope, report: Report) {
  return typeOf(node, scope, unknownType(scope, report));
}

export function readSignature(node: Parameters<typeof signatureOf>[0], scope: Scope, report: Report) {
  return signatureOf(node, scope, unknownType(scope, report));
}

function unknownType(scope: Scope, report: Report) {
  return (term: TypeTerm) => {
    const name = term.$type === 'NamedType' ? (term.name?.text ?? '') : '';
    const near = nearest(name, [
      ...scope.system.dimensions.keys(),
      ...scope.kinds().map((k) => k.name),
      'Text',
      'YesNo',
      'Date',
    ]);
    tell(report, term, naming.unknown_type(name, near), ...replaceWithNearest(term, near));
  };
}
