import type { Declaration, Entry } from '../grammar/generated/ast.ts';
import { type AstNode, fileOf, mistakeAt, rangeOf, textOf } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import type { Mistake } from '../mistakes/mistake.ts';
import { naming } from '../mistakes/naming.ts';
import type { Member } from '../names/kind.ts';
import type { Declared, Scope } from '../names/scope.ts';
import { clausesOf } from '../units/units.ts';
import { rootMember } from './meaning-members.ts';
import { occurrencesIn } from './occurrences.ts';

/** Something that still works and is no longer to be used. */
interface Deprecated {
  readonly name: string;
  readonly identity: AstNode;
  /** The declaration that it stands in, which may go on using it. */
  readonly declaration: Declaration;
  /** What takes its place. */
  readonly successor: string | undefined;
}

/** Each place of a file that names what a declaration says is deprecated, with what is to be written there. */
export function deprecatedUses(file: TextFile): Mistake[] {
  const { deprecated } = naming;
  return file.scope
    .visible()
    .flatMap((scope) => scope.once('deprecated', () => deprecatedIn(scope)))
    .flatMap((each) =>
      occurrencesIn(file, each)
        .filter(({ declares, range }) => !declares && !isIn(file, range.start, each.declaration))
        .map(({ range }) => {
          const { name, successor } = each;
          if (!successor) return mistakeAt(deprecated.gone(name), range);
          const change = { title: `Write ${successor}`, ...range, text: successor };
          return mistakeAt(deprecated.by(name, successor), range, change);
        }),
    );
}

/** Is a declaration to be used still? What is deprecated is read, and no longer proposed. */
export function isCurrent(node: Declared | Member['node']): boolean {
  return clausesOf(node, 'deprecated').length === 0;
}

/** Is a value, or a block in a kind, to be used still? What a kind deprecates is so in all that starts from it. */
export function isCurrentMember({ name, node, owner }: Member): boolean {
  const inherited = owner.base?.members.get(name);
  return isCurrent(node) && (!inherited || isCurrentMember(inherited));
}

function isIn(file: TextFile, offset: number, declaration: Declaration): boolean {
  if (fileOf(declaration) !== file.parsed.file) return false;
  const { start, end } = rangeOf(declaration);
  return offset >= start && offset < end;
}

/** What of a scope's own declarations is deprecated. Those in whose text the word does not stand are not read for it. */
function deprecatedIn(scope: Scope): Deprecated[] {
  return [...scope.own.kinds.values(), ...scope.own.declared.values()].flatMap((node) =>
    node.$type === 'Declaration' && /\bdeprecated\b/.test(textOf(node))
      ? [...deprecation(node, node, node.name?.text), ...deprecatedValues(node, scope)]
      : [],
  );
}

function deprecatedValues(kind: Declaration, scope: Scope): Deprecated[] {
  const members = scope.kindNamed(kind.name?.text ?? '')?.members;
  const values = (kind.body?.members ?? []).filter((node): node is Entry => node.$type === 'Entry');
  return values.flatMap((node) => {
    const member = members?.get(node.first.text);
    return member ? deprecation(node, kind, member.name, rootMember(member).node) : [];
  });
}

function deprecation(
  node: Declaration | Entry,
  declaration: Declaration,
  name: string | undefined,
  identity: AstNode = node,
): Deprecated[] {
  const clause = clausesOf(node, 'deprecated')[0];
  const [successor] = clause?.values ?? [];
  return clause && name ? [{ name, identity, declaration, successor: successor ? textOf(successor) : undefined }] : [];
}
