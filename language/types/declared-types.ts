import type { Type as TypeNode, TypeTerm } from '../grammar/generated/ast.ts';
import type { Scope } from '../names/scope.ts';
import { signatureOf, typeOf } from '../names/type.ts';
import { nearest, replace } from './problem.ts';
import { type Report, tell } from './tell.ts';

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
    const fixes = near ? [replace(term, near, `Write ${near}`)] : [];
    tell(
      report,
      term,
      'unknown_type',
      `${name} is neither a quantity nor a kind.${near ? ` Did you mean ${near}?` : ''}`,
      'error',
      ...fixes,
    );
  };
}
