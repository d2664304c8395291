import type { Body, Entry, Expression, Item, Member } from '../grammar/generated/ast.ts';
import { type AstNode, contentOf, type ParsedFile, rangeOf, textOf } from '../grammar/syntax.ts';
import { blockName, isBlock } from '../machine/tree.ts';

/** A statement of a text: what it is about, what it says before its braces, and the statements in them. */
export interface Statement {
  /** One for each of its block: the name that it gives, or what else tells it from those beside it. */
  readonly key: string;
  /** What stands before its braces, or all of it where nothing in it is told apart; on one line, without comments. */
  readonly head: string;
  /** The same as it stands, to be written again. */
  readonly written: string;
  readonly body: readonly Statement[];
  /** Is it a block, or a declaration with statements in it? */
  readonly isBlock: boolean;
}

/** A difference between two texts, in one statement. */
export interface StatementEdit {
  readonly id: number;
  readonly is: 'added' | 'removed' | 'changed' | 'moved';
  /** What it is about: the names of the blocks around it from the outermost on, and its own. */
  readonly path: readonly string[];
  /** Where it stood before, of one that was moved. */
  readonly from?: readonly string[];
  readonly before?: Statement;
  readonly after?: Statement;
}

/** Two texts in one: each statement as it stands in both, or in one of them. */
interface Merged {
  readonly before?: Statement;
  readonly after?: Statement;
  /** What differs in its head, or in all of it. */
  edit?: StatementEdit;
  /** What is told apart in its braces. */
  readonly inner?: readonly Merged[];
}

/** The statements of a text, as far as it can be read. */
export function statementsIn(parsed: ParsedFile): Statement[] {
  return numbered(parsed.file.items.map((item) => statementOf(item, isOpened(item))));
}

/** Declarations that are compared statement by statement: what a formula or a rule says is compared as a whole. */
function isOpened(item: Item): boolean {
  if (item.$type === 'Declaration') return item.what === 'part' || item.what === 'kind';
  return item.$type === 'Entry';
}

function statementOf(node: Item | Member, opened: boolean): Statement {
  const { body } = node as { body?: Body };
  const isSplit = opened && body !== undefined;
  const { start } = rangeOf(node);
  const written = isSplit
    ? textOf(node)
        .slice(0, rangeOf(body).start - start)
        .trim()
    : textOf(node);
  const inKind = node.$type === 'Declaration' && node.what === 'kind';
  const inner = isSplit ? body.members.map((member) => statementOf(member, !inKind && isOpenedMember(member))) : [];
  return { key: keyOf(node), head: plain(written), written, body: numbered(inner), isBlock: opened };
}

function isOpenedMember(member: Member): boolean {
  return member.$type === 'Entry' && isBlock(member);
}

/** Tells apart what goes by one key in a block: the second, the third. */
function numbered(statements: readonly Statement[]): Statement[] {
  const seen = new Map<string, number>();
  return statements.map((statement) => {
    const before = seen.get(statement.key) ?? 0;
    seen.set(statement.key, before + 1);
    return before === 0 ? statement : { ...statement, key: `${statement.key} ${before + 1}` };
  });
}

const pieces = /"(?:[^"\\\n]|\\.)*"?|\/\/[^\n]*|\s+/g;

/** A text on one line, without comments. */
function plain(text: string): string {
  return text
    .replace(pieces, (piece) => (piece.startsWith('"') ? piece : ' '))
    .replace(/([[(]) /g, '$1')
    .replace(/ ([\])])/g, '$1')
    .trim();
}

function keyOf(node: Item | Member): string {
  const text = (part: AstNode | undefined) => (part ? plain(textOf(part)) : '');
  switch (node.$type) {
    case 'Use':
      return `use ${node.path ? contentOf(node.path) : ''}`;
    case 'Declaration':
      return `${node.what} ${text(node.name)}`;
    case 'Entry':
      return blockNameOrValue(node);
    case 'Version':
      return 'gusset';
    case 'Rate':
      return `rate ${text(node.from)}`;
    case 'Has':
      return text(node.kind ?? node.name);
    case 'Requirement':
      return requirementKey(node.condition);
    case 'Absence':
      return `no ${text(node.name)}`;
    case 'Acceptance':
      return `accept ${text(node.rule)}`;
    case 'Measurement':
      return `measured ${text(node.target)}`;
    case 'Checked':
      return `checked ${text(node.check)} of ${text(node.of)}`;
    case 'Setting':
      return `set ${text(node.target)}`;
    default:
      return node.$type;
  }
}

function blockNameOrValue(entry: Entry): string {
  return isBlock(entry) ? blockName(entry) : (entry.first?.text ?? '');
}

/** What a requirement is about: of a comparison its left side, so that another limit makes it no other one. */
export function requirementKey(condition: Expression | undefined): string {
  const isCompared = condition?.$type === 'Binary' && /^[<>]=?$/.test(condition.operator) && condition.left;
  const node = isCompared ? condition.left : condition;
  return `require ${node ? plain(textOf(node)) : ''}`;
}

// ---- names ----

const words = /[\p{L}_][\p{L}\p{N}_]*/gu;

function wordsIn(statements: readonly Statement[], found = new Set<string>()): Set<string> {
  for (const { written, body } of statements) {
    for (const [word] of written.matchAll(words)) found.add(word);
    wordsIn(body, found);
  }
  return found;
}

/** A text with some of its names replaced by others. */
export function withNames(text: string, names: ReadonlyMap<string, string>): string {
  return names.size === 0 ? text : text.replace(words, (word) => names.get(word) ?? word);
}

/**
 * Names that only the second of two texts has, and the names that only the first has which stood in their place: of blocks that say the
 * same otherwise, or mostly. With the names of the first, nothing differs that only was called otherwise.
 */
export function renamedBetween(before: readonly Statement[], after: readonly Statement[]): Map<string, string> {
  const [old, fresh] = [wordsIn(before), wordsIn(after)];
  const names = new Map<string, string>();
  const taken = new Set<string>();
  const compare = (a: readonly Statement[], b: readonly Statement[]): void => {
    const gone = a.filter(({ key, isBlock }) => isBlock && !b.some((each) => each.key === key));
    const come = b.filter(({ key, isBlock }) => isBlock && !a.some((each) => each.key === key));
    for (const was of gone) {
      const [from] = was.key.split(' ').slice(-1) as [string];
      if (fresh.has(from) || taken.has(from)) continue;
      const is = come.find((each) => {
        const [to] = each.key.split(' ').slice(-1) as [string];
        return !old.has(to) && !names.has(to) && isAlike(was, each, new Map([[to, from]]));
      });
      if (!is) continue;
      names.set(is.key.split(' ').at(-1) as string, from);
      taken.add(from);
    }
    for (const each of a) {
      const other = b.find(({ key }) => (names.get(key) ?? key) === each.key);
      if (other) compare(each.body, other.body);
    }
  };
  compare(before, after);
  return names;
}

/** Do two blocks say the same at half of their statements at least, once names are replaced? */
function isAlike(a: Statement, b: Statement, names: ReadonlyMap<string, string>): boolean {
  const [one, other] = [leavesOf(a), leavesOf(b).map((leaf) => withNames(leaf, names))];
  const same = one.filter((leaf) => other.includes(leaf)).length;
  return same * 2 >= Math.max(one.length, other.length);
}

/** All that a block says, a line for each. */
function leavesOf({ head, body }: Statement): string[] {
  return [head, ...body.flatMap(leavesOf)];
}

// ---- what differs ----

/** Two texts laid over each other, with the edits that lead from the first to the second. */
export class Overlay {
  readonly edits: StatementEdit[] = [];
  readonly #items: Merged[];
  readonly #first: number;

  /** `from` is the number of the first edit: those of several texts are told apart. `isExtra` tells of what a variant says (see `extra`). */
  constructor(before: readonly Statement[], after: readonly Statement[], from: number) {
    this.#first = from;
    this.#items = this.#merged(before, after, []);
    this.#findMoved();
  }

  /**
   * Takes what an item of both texts says as what a variant says beyond what it starts from, or, where it is `less`, as what is taken back:
   * each statement is an edit. `isThere` tells whether what is said beyond has such a block already: what it says of that is told apart.
   */
  extra(item: string, less: boolean, isThere: (path: readonly string[]) => boolean): void {
    const at = this.#items.findIndex(({ before }) => before?.key === item);
    const found = this.#items[at]?.before;
    if (!found) return;
    const inner = found.body.map((each) => this.#extra(each, [item], less, isThere));
    this.#items[at] = { before: found, after: found, inner };
  }

  #extra(
    statement: Statement,
    path: readonly string[],
    less: boolean,
    isThere: (path: readonly string[]) => boolean,
  ): Merged {
    const own = [...path, statement.key];
    const side = less ? { before: statement } : { after: statement };
    if (!statement.isBlock || !isThere(own.slice(1)))
      return { ...side, edit: this.#edit({ is: less ? 'removed' : 'added', path: own, ...side }) };
    const bare = bareHead(statement);
    const inner = statement.body.map((each) => this.#extra(each, own, less, isThere));
    const head = { ...statement, body: [] };
    const headSide = less ? { before: head } : { after: head };
    const edit =
      bare === statement.head && inner.length > 0 ? undefined : this.#edit({ is: 'changed', path: own, ...headSide });
    return { ...side, inner, ...(edit && { edit }) };
  }

  #edit(edit: Omit<StatementEdit, 'id'>): StatementEdit {
    const made = { id: this.#first + this.edits.length, ...edit };
    this.edits.push(made);
    return made;
  }

  #merged(before: readonly Statement[], after: readonly Statement[], path: readonly string[]): Merged[] {
    const there = new Map(after.map((each) => [each.key, each]));
    const keys = new Set(before.map(({ key }) => key));
    const kept = before.map((was): Merged => {
      const own = [...path, was.key];
      const is = there.get(was.key);
      if (!is) return { before: was, edit: this.#edit({ is: 'removed', path: own, before: was }) };
      const edit = was.head === is.head ? undefined : this.#edit({ is: 'changed', path: own, before: was, after: is });
      const inner = this.#merged(was.body, is.body, own);
      return { before: was, after: is, inner, ...(edit && { edit }) };
    });
    const come = after
      .filter(({ key }) => !keys.has(key))
      .map((is): Merged => ({ after: is, edit: this.#edit({ is: 'added', path: [...path, is.key], after: is }) }));
    return [...kept, ...come];
  }

  /** What is gone in one place and has come in another, as it was, is one edit. */
  #findMoved(): void {
    const all = (merged: readonly Merged[]): Merged[] => merged.flatMap((each) => [each, ...all(each.inner ?? [])]);
    const whole = ({ head, body }: Statement): string => `${head} {${body.map(whole).join('\n')}}`;
    const nodes = all(this.#items);
    for (const gone of nodes) {
      if (gone.edit?.is !== 'removed' || !gone.before?.isBlock) continue;
      const come = nodes.find(
        (each) => each.edit?.is === 'added' && whole(each.after as Statement) === whole(gone.before as Statement),
      );
      if (!come?.edit) continue;
      const { id, path: from, before } = gone.edit;
      const moved: StatementEdit = { id, is: 'moved', path: come.edit.path, from, before, after: come.after };
      this.edits.splice(this.edits.indexOf(come.edit), 1);
      this.edits.splice(this.edits.indexOf(gone.edit), 1, moved);
      gone.edit = moved;
      come.edit = moved;
    }
  }

  /** The first text with some of the edits made; `isLeftOut` tells of items that are of no concern. */
  text(chosen: ReadonlySet<number>, isLeftOut: (item: string) => boolean = () => false): string {
    const items = this.#items.filter(({ before, after }) => !isLeftOut((before ?? after)?.key ?? ''));
    return items
      .map((item) => written(item, chosen))
      .filter(Boolean)
      .join('\n');
  }
}

/** What names a block in a statement, without what it starts from or how many it stands for. */
export function bareHead({ head }: Pick<Statement, 'head'>): string {
  return /^[\p{L}\p{N}_]+(?: (?!is\b)[\p{L}_][\p{L}\p{N}_]*)?/u.exec(head)?.[0] ?? head;
}

function written({ before, after, edit, inner }: Merged, chosen: ReadonlySet<number>): string {
  const isMade = edit !== undefined && chosen.has(edit.id);
  if (before && after) return withBody((isMade ? after : before).written, inner ?? [], chosen);
  const only = (before ?? after) as Statement;
  const isThere = isMade === (after !== undefined);
  if (!inner) return isThere ? inFull(only) : '';
  const said = inner.some((each) => written(each, chosen) !== '');
  if (edit && isThere) return withBody(only.written, inner, chosen);
  return said ? withBody(bareHead(only), inner, chosen) : '';
}

function withBody(head: string, inner: readonly Merged[], chosen: ReadonlySet<number>): string {
  const lines = inner.map((each) => written(each, chosen)).filter(Boolean);
  return lines.length > 0 ? `${head} {\n${lines.join('\n')}\n}` : head;
}

function inFull({ written, body }: Statement): string {
  return body.length > 0 ? `${written} {\n${body.map(inFull).join('\n')}\n}` : written;
}
