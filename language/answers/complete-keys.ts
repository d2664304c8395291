import type { Check, Declaration, Entry, GussetKeywordNames, Has } from '../grammar/generated/ast.ts';
import { type AstNode, docOf, textOf } from '../grammar/syntax.ts';
import { type Holder, isOnce, ownDeclarations, sourceStandings, wordsIn } from '../grammar/words.ts';
import { definitionOf } from '../machine/definition.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { distance } from './complete-closeness.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { kindNames, partNames } from './complete-names.ts';
import { isCurrent, isCurrentMember } from './deprecated.ts';
import { memberDoc, typeWithUnits } from './docs.ts';
import type { Proposal } from './proposal.ts';

function keywords(words: readonly string[], rank: number): Proposal[] {
  return words.map((label) => ({ label, sort: 'keyword', rank }));
}

/** What a statement inside a body can begin with. */
export function statementKeys(cursor: CursorPlace): Proposal[] {
  const owner = cursor.body?.$container as (Check | Declaration | Entry | Has) | undefined;
  if (!owner) return [];
  if (owner.$type === 'Has') return slotKeys(cursor);
  if (owner.$type === 'Check') return keywords(wordsNotSaid(owner.what, cursor), 0);
  if (owner.$type === 'Declaration' && owner.what !== 'part') return declarationKeys(owner, cursor);
  if (cursor.outer.ctx.mode === 'kind') return keywords(wordsNotSaid('value', cursor), 0);
  if (owner.$type === 'Entry' && owner.value) return keywords(wordsNotSaid('given', cursor), 0);
  return instanceKeys(cursor);
}

/** The words that statements can begin with here, without those that are said already and can be said only once. */
function wordsNotSaid(holder: Holder, { body, file, start }: CursorPlace): string[] {
  const given = new Set(
    (body?.members ?? []).map((m) => {
      const own = m as { keyword?: string; severity?: string };
      return own.keyword ?? own.severity ?? '';
    }),
  );
  const typed = /^[\p{L}_]*/u.exec(file.parsed.text.slice(start))?.[0];
  return wordsIn(holder).filter((word) => word === typed || !given.has(word) || !isOnce(word));
}

function declarationKeys(owner: Declaration, cursor: CursorPlace): Proposal[] {
  const words = keywords(wordsNotSaid(owner.what, cursor), 0);
  return owner.what === 'kind' ? [...words, ...overridable(cursor)] : words;
}

/** Values of the base that a kind can declare anew. */
function overridable({ outer, file, body, after }: CursorPlace): Proposal[] {
  const { kind } = outer.ctx;
  const own = namesGiven(body, -1);
  return [...(kind?.base?.members.values() ?? [])]
    .filter((m) => m.role !== 'child' && !own.has(m.name) && isCurrentMember(m))
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
function namesGiven(body: CursorPlace['body'], at: number): Set<string> {
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

function slotKeys(cursor: CursorPlace): Proposal[] {
  const { kind } = cursor.outer.ctx;
  const given = namesGiven(cursor.body, cursorIn(cursor));
  return givableValues(kind, given).map((m) => proposalFor(m, cursor.file.scope, roleRank[m.role]));
}

/** The cursor's place as nodes count it: from the start of the item. */
function cursorIn({ body, start, file }: CursorPlace): number {
  const item = file.parsed.items.findLast((each) => each.start <= start);
  return body && item ? start - item.start : -1;
}

const roleRank: Readonly<Record<Member['role'], number>> = {
  needed: 0,
  optional: 2,
  default: 2.05,
  child: 5,
  derived: 9,
};

function givableValues(kind: Kind | undefined, given: ReadonlySet<string>): Member[] {
  return [...(kind?.members.values() ?? [])].filter(
    (m) => m.role !== 'child' && m.role !== 'derived' && !given.has(m.name) && isCurrentMember(m),
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
function instanceKeys(cursor: CursorPlace): Proposal[] {
  const { kind, instance } = cursor.outer.ctx;
  const { scope } = cursor.file;
  const given = namesGiven(cursor.body, cursorIn(cursor));
  const values = givableValues(kind, given).map((member) => valueKey(member, instance, cursor));
  const isPart = instance?.root.node.$type === 'Declaration';
  const statements = wordsNotSaid('block', cursor).filter((word) => !isPart || !recordWords.has(word));
  const asked = instance && cursor.hints.asked?.(instance.path);
  const named = namesUsed(cursor.body);
  // Of what starts from another one most is said already.
  const isVariant = instance?.layers.some(({ inherited }) => inherited) === true;
  const wantedFirst = (proposal: Proposal): Proposal => {
    const { label, rank } = proposal;
    const waiting = asked?.get(label);
    // What the block's own lists speak of has to be there.
    if (proposal.sort === 'block' && named.has(label)) return { ...proposal, rank: Math.min(rank, -0.5) };
    if (waiting !== undefined) return { ...proposal, rank: Math.min(rank, 0.9 - waiting / 1e4) };
    const meant = proposal.sort === 'kind' ? scope.kindNamed(label) : kind?.members.get(label);
    const times = meant && !isVariant && rank < takenOver + 2 ? (cursor.hints.usual?.times(meant) ?? 0) : 0;
    return times > 0
      ? { ...proposal, rank: Math.min(rank, 1.5 - Math.min(times, 99) / 1000 + (proposal.sort === 'value' ? 1e-4 : 0)) }
      : proposal;
  };
  const children = kind ? childKeys(kind, instance, given, scope) : [];
  return [
    ...values.map(wantedFirst),
    ...children.map(wantedFirst),
    ...(cursor.hints.canFill ? children.flatMap((child) => blockWithLines(wantedFirst(child), kind, scope)) : []),
    ...inheritedBlocks(instance, given),
    ...wholeBlocks(instance, cursor),
    ...keywords(statements, 8),
  ];
}

function valueKey(member: Member, instance: Instance | undefined, cursor: CursorPlace): Proposal {
  const { file, after } = cursor;
  const definition = instance && definitionOf(instance, member);
  const rank = roleRank[member.role] + distance(member, instance?.kind);
  const proposal = proposalFor(member, file.scope, rank, after);
  if (definition?.origin === 'default' && definition.expression)
    return { ...proposal, detail: `${proposal.detail}, default ${textOf(definition.expression)}` };
  const here = definition?.node && startOf(definition.node) === cursorIn(cursor);
  if (definition?.origin === 'given' && definition.expression && !here)
    return { ...proposal, rank: 4, detail: `${proposal.detail}, given as ${textOf(definition.expression)}` };
  return proposal;
}

/** Blocks that may stand here: those expected first, then those that may, then others that say so themselves. */
function childKeys(kind: Kind, instance: Instance | undefined, given: ReadonlySet<string>, scope: Scope): Proposal[] {
  const slots = kind.roles.filter(
    (m) => isCurrentMember(m) && (m.occurs === 'many' || (!given.has(m.name) && !isFilledByName(m, instance, given))),
  );
  const own = slots.map((member): Proposal => {
    const there = member.occurs !== 'many' && instance !== undefined && instance.filling(member).length > 0;
    const isTaken = instance?.filling(member).some((block) => block.name === member.name && isTakenOver(block));
    const rank = isTaken
      ? takenOver
      : member.occurs === 'once' && !there
        ? 1
        : member.occurs === 'always' && needsValues(member)
          ? 1.2
          : member.occurs === 'always' || there
            ? 7
            : 5;
    const of = member.type.is === 'instance' ? member.type.kind : undefined;
    const detail = isTaken ? sayMore : of ? `block of kind ${of.name}` : 'block';
    return { label: member.name, sort: 'block', rank, detail, documentation: docOf(member.node) || of?.documentation };
  });
  // A role for one block that is filled already needs no second block.
  const names = new Set(kind.roles.map((role) => role.name));
  const others = scope
    .kinds()
    .filter((child) => !names.has(child.name) && kind.accepts(child) && isCurrent(child.node))
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

/** Blocks that answer what others ask, where a statement begins. */
function wholeBlocks(instance: Instance | undefined, { hints, after, before }: CursorPlace): Proposal[] {
  if (!instance || after.trim() || before.trim()) return [];
  return (hints.whole?.(instance.path) ?? []).map(({ head, text, blanks, of, question, waiting }) => ({
    label: `${head} { … }`,
    sort: 'block',
    rank: 0.9 - waiting / 1e4,
    detail: `for ${of}`,
    documentation: `${of}: ${question}`,
    text,
    blanks,
  }));
}

/** The names that stand in the lists which a body gives. */
function namesUsed(body: CursorPlace['body']): Set<string> {
  const lists = (body?.members ?? []).flatMap((member) =>
    member.$type === 'Entry' && member.value?.$type === 'List' ? member.value.elements : [],
  );
  return new Set(lists.flatMap(({ value }) => (value?.$type === 'Reference' ? [value.name.text] : [])));
}

/** A block with a line for each value that it needs, to be filled one after the other; none where it needs nothing, or is there already. */
function blockWithLines(child: Proposal, kind: Kind | undefined, scope: Scope): Proposal[] {
  const role = kind?.roles.find(({ name }) => name === child.label);
  const type = role?.type;
  const of = child.sort === 'kind' ? scope.kindNamed(child.label) : type?.is === 'instance' ? type.kind : undefined;
  const needed = [...(of?.members.values() ?? [])].filter((member) => member.role === 'needed');
  if (needed.length === 0 || child.rank >= takenOver + 2 || child.detail === sayMore) return [];
  const lines = needed.map(({ name }, i) => `  ${name} = $${i + 1}`).join('\n');
  const names = needed.map(({ name }) => name).join(', ');
  return [
    {
      ...child,
      label: `${child.label} { … }`,
      rank: child.rank + 0.15,
      detail: `with ${names}`,
      text: `${child.label} {\n${needed.map(({ name }) => `  ${name} = `).join('\n')}\n}`,
      blanks: `${child.label} {\n${lines}\n}$0`,
    },
  ];
}

/** Does what fills a role lack values that only a text can give? */
function needsValues({ type }: Member): boolean {
  const kind = type.is === 'instance' ? type.kind : undefined;
  return [...(kind?.members.values() ?? [])].some(({ role }) => role === 'needed');
}

/** Is a role filled by a block that has a name of its own? The block at the cursor does not count. */
function isFilledByName(role: Member, instance: Instance | undefined, given: ReadonlySet<string>): boolean {
  const others = (instance?.filling(role) ?? []).filter((block) => block.name !== role.name);
  return others.some((block) => given.has(block.name) || block.layers.every((layer) => layer.inherited));
}

/** The rank of blocks that are inherited: before those that could be added. */
const takenOver = 4.5;
const sayMore = 'say more of it';

/** Is a block inherited from what the block around starts from, which says nothing more of it? */
function isTakenOver({ node, layers }: Instance): boolean {
  return node.$type === 'Entry' && layers[0]?.inherited === true;
}

/** Named blocks of what this one starts from: more can be said of them. */
function inheritedBlocks(instance: Instance | undefined, given: ReadonlySet<string>): Proposal[] {
  if (!instance) return [];
  return [...instance.children.values()]
    .filter((child) => !given.has(child.name) && child.node.$type === 'Entry' && child.node.name && isTakenOver(child))
    .map((child) => ({ label: `${child.kind.name} ${child.name}`, sort: 'block', rank: takenOver, detail: sayMore }));
}

/** What a file's statements begin with: kinds that may stand alone, and declarations. */
export function topKeys({ file }: CursorPlace): Proposal[] {
  const kinds = file.scope.kinds().filter((kind) => kind.toplevel && isCurrent(kind.node));
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

/** Records of a machine that was built: a part has none. */
const recordWords: ReadonlySet<string> = new Set<GussetKeywordNames>(['checked', 'set']);

/** How good a source is, after the word that begins it. */
export function standingWords(first: string, { outer, body }: CursorPlace): Proposal[] | undefined {
  if (first !== sourceWord || !body || outer.ctx.mode === 'block') return undefined;
  return keywords([...sourceStandings], 0);
}
