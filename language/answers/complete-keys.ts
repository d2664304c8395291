import type { Declaration, Entry, GussetKeywordNames, Has } from '../grammar/generated/ast.ts';
import { type AstNode, docOf, textOf } from '../grammar/syntax.ts';
import { type Holder, isOnce, ownDeclarations, standings, wordsIn } from '../grammar/words.ts';
import { definitionOf } from '../machine/definition.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { kindNames, partNames } from './complete-names.ts';
import type { Place } from './complete-place.ts';
import { distance } from './complete-values.ts';
import { memberDoc, typeWithUnits } from './docs.ts';
import type { Proposal } from './proposal.ts';

function keywords(words: readonly string[], rank: number): Proposal[] {
  return words.map((label) => ({ label, sort: 'keyword', rank }));
}

/** What a statement inside a body can begin with. */
export function statementKeys(place: Place): Proposal[] {
  const owner = place.body?.$container as (Declaration | Entry | Has) | undefined;
  if (!owner) return [];
  if (owner.$type === 'Has') return slotKeys(place);
  if (owner.$type === 'Declaration' && owner.what !== 'part') return declarationKeys(owner, place);
  if (place.outer.ctx.mode === 'kind') return keywords(unsaid('value', place), 0);
  return instanceKeys(place);
}

/** Words of statements that something can still hold: not those that say nothing new once they were said. */
function unsaid(holder: Holder, { body, file, start }: Place): string[] {
  const said = new Set(
    (body?.members ?? []).map((m) => {
      const own = m as { keyword?: string; severity?: string };
      return own.keyword ?? own.severity ?? '';
    }),
  );
  const typed = /^[\p{L}_]*/u.exec(file.parsed.text.slice(start))?.[0];
  return wordsIn(holder).filter((word) => word === typed || !said.has(word) || !isOnce(word));
}

function declarationKeys(owner: Declaration, place: Place): Proposal[] {
  const words = keywords(unsaid(owner.what, place), 0);
  return owner.what === 'kind' ? [...words, ...overridable(place)] : words;
}

/** Values of the base that a kind can declare anew. */
function overridable({ outer, file, body, after }: Place): Proposal[] {
  const { kind } = outer.ctx;
  const own = saidNames(body, -1);
  return [...(kind?.base?.members.values() ?? [])]
    .filter((m) => m.role !== 'child' && !own.has(m.name))
    .map((m) => ({ ...proposalFor(m, file.scope, 1, after), ...declaredAnew(m, after) }));
}

/** A value's declaration up to its type, as its base writes it. */
function declaredAnew(member: Member, after: string): Pick<Proposal, 'text' | 'detail'> {
  const detail = `declared by ${member.owner.name}`;
  const { node } = member;
  if (node.$type !== 'Entry' || !node.type || /^\s*[=:({]/.test(after)) return { text: member.name, detail };
  const head = textOf(node).slice(startOf(node.first) - startOf(node), endOf(node.type) - startOf(node));
  return { text: member.role === 'derived' ? `${head} = ` : head, detail };
}

function endOf(node: AstNode): number {
  return (node as AstNode & { $end: number }).$end;
}

/** The names that a body's statements give, except the one at the cursor. */
function saidNames(body: Place['body'], at: number): Set<string> {
  const names = new Set<string>();
  for (const member of body?.members ?? []) {
    if (member.$type !== 'Entry' || !member.first || startOf(member) === at) continue;
    names.add(isBlock(member) ? blockName(member) : member.first.text);
  }
  return names;
}

function startOf(node: AstNode): number {
  return (node as AstNode & { $start: number }).$start;
}

function slotKeys(place: Place): Proposal[] {
  const { kind } = place.outer.ctx;
  const said = saidNames(place.body, cursorIn(place));
  return values(kind, said).map((m) => proposalFor(m, place.file.scope, roleRank[m.role]));
}

/** The cursor's place as nodes count it: from the start of the item. */
function cursorIn({ body, start, file }: Place): number {
  const item = file.parsed.items.findLast((each) => each.start <= start);
  return body && item ? start - item.start : -1;
}

const roleRank: Readonly<Record<Member['role'], number>> = { needed: 0, optional: 2, default: 3, child: 5, derived: 9 };

function values(kind: Kind | undefined, said: ReadonlySet<string>): Member[] {
  return [...(kind?.members.values() ?? [])].filter(
    (m) => m.role !== 'child' && m.role !== 'derived' && !said.has(m.name),
  );
}

/** A value's key, with its equals sign where none follows yet. */
function proposalFor(member: Member, scope: Scope, rank: number, after = ''): Proposal {
  const equals = member.role === 'child' || /^\s*[=:({]/.test(after) ? '' : ' = ';
  return {
    label: member.name,
    sort: member.role === 'child' ? 'block' : 'value',
    rank,
    text: member.name + equals,
    detail: typeWithUnits(member.type, scope, member.shown),
    documentation: memberDoc(member),
  };
}

/** Keys of a block: what is still missing first, then what may be given, the blocks, and the statements. */
function instanceKeys(place: Place): Proposal[] {
  const { kind, instance } = place.outer.ctx;
  const { scope } = place.file;
  const said = saidNames(place.body, cursorIn(place));
  const given = values(kind, said).map((member) => valueKey(member, instance, place));
  const statements = unsaid('block', place);
  return [
    ...given,
    ...(kind ? childKeys(kind, instance, said, scope) : []),
    ...inheritedBlocks(instance, said),
    ...keywords(statements, 8),
  ];
}

function valueKey(member: Member, instance: Instance | undefined, place: Place): Proposal {
  const { file, after } = place;
  const definition = instance && definitionOf(instance, member);
  const rank = roleRank[member.role] + distance(member, instance?.kind);
  const proposal = proposalFor(member, file.scope, rank, after);
  if (definition?.origin === 'default' && definition.expression)
    return { ...proposal, detail: `${proposal.detail}, default ${textOf(definition.expression)}` };
  const here = definition?.node && startOf(definition.node) === cursorIn(place);
  if (definition?.origin === 'given' && definition.expression && !here)
    return { ...proposal, rank: 4, detail: `${proposal.detail}, given as ${textOf(definition.expression)}` };
  return proposal;
}

/** Blocks that may stand here: those expected first, then those that may, then others that say so themselves. */
function childKeys(kind: Kind, instance: Instance | undefined, said: ReadonlySet<string>, scope: Scope): Proposal[] {
  const slots = kind.roles.filter(
    (m) => m.occurs === 'many' || (!said.has(m.name) && !isFilledByName(m, instance, said)),
  );
  const own = slots.map((member): Proposal => {
    const there = member.occurs !== 'many' && instance !== undefined && instance.filling(member).length > 0;
    const rank = member.occurs === 'once' && !there ? 1 : member.occurs === 'always' || there ? 7 : 5;
    const of = member.type.is === 'instance' ? member.type.kind : undefined;
    const detail = of ? `block of kind ${of.name}` : 'block';
    return { label: member.name, sort: 'block', rank, detail, documentation: docOf(member.node) || of?.documentation };
  });
  // What fills a role for one already is not wanted a second time.
  const names = new Set(kind.roles.map((role) => role.name));
  const others = scope
    .kinds()
    .filter((child) => !names.has(child.name) && kind.accepts(child))
    .map(
      (child): Proposal => ({
        label: child.name,
        sort: 'kind',
        rank: 6,
        detail: 'block',
        documentation: child.documentation,
      }),
    );
  return [...own, ...others];
}

/** Does a block that goes by another name fill a role, one that is written elsewhere than at the cursor? */
function isFilledByName(role: Member, instance: Instance | undefined, said: ReadonlySet<string>): boolean {
  const others = (instance?.filling(role) ?? []).filter((block) => block.name !== role.name);
  return others.some((block) => said.has(block.name) || block.layers.every((layer) => layer.inherited));
}

/** Named blocks of what this one starts from: more can be said of them. */
function inheritedBlocks(instance: Instance | undefined, said: ReadonlySet<string>): Proposal[] {
  if (!instance) return [];
  return [...instance.children.values()]
    .filter(
      (child) => !said.has(child.name) && child.node.$type === 'Entry' && child.node.name && child.layers[0]?.inherited,
    )
    .map((child) => ({ label: `${child.kind.name} ${child.name}`, sort: 'block', rank: 5, detail: 'say more of it' }));
}

/** What a file's statements begin with: kinds that may stand alone, and declarations. */
export function topKeys({ file }: Place): Proposal[] {
  const kinds = file.scope.kinds().filter((kind) => kind.toplevel);
  return [
    ...kinds.map(
      (kind): Proposal => ({
        label: kind.name,
        sort: 'kind',
        rank: 0,
        detail: 'stands alone',
        documentation: kind.documentation,
      }),
    ),
    ...keywords(ownDeclarations, 1),
    ...keywords(wordsIn('file'), 1),
  ];
}

/** What a part can start from: kinds and parts. */
export function blockKeys(scope: Scope): Proposal[] {
  return [...kindNames(scope, undefined, 0), ...partNames(scope, undefined, 2)];
}

const sourceWord: GussetKeywordNames = 'source';

/** How good a source is, after the word that begins it. */
export function standingWords(first: string, { outer, body }: Place): Proposal[] | undefined {
  if (first !== sourceWord || !body || outer.ctx.mode === 'block') return undefined;
  return keywords([...standings], 0);
}
