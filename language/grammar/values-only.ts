import type { Entry, Expression, Item, Text } from './generated/ast.ts';
import { type AstNode, type ParsedFile, type ParsedItem, type Placed, setParsed } from './syntax.ts';

/** An edit that changed nothing of a file but values that one of its blocks gives, beside blanks and comments. */
export interface ValuesEdit {
  /** The block that stands alone, with its older nodes. */
  readonly item: Entry;
  /** The statements whose values are others, with their older nodes. */
  readonly changed: readonly Entry[];
  /** Takes the edit into the older nodes: each stands where it does now, and those statements have their new values. */
  take(): ParsedFile;
}

type Fields = AstNode & Record<string, unknown>;

/** What of the older nodes becomes what. */
interface Difference {
  /** Nodes that are the same but for their place, the older one first. */
  readonly same: (readonly [Placed, Placed])[];
  readonly changed: { readonly entry: Entry; readonly value: Expression }[];
}

/**
 * Compares a file with what it was before an edit. Undefined where more than values has changed, so that blocks have to be built and
 * checked anew, and where something was or is not read right.
 */
export function valuesEdit(before: ParsedFile, after: ParsedFile): ValuesEdit | undefined {
  const at = onlyChange(before, after);
  if (at === undefined) return undefined;
  const [old, fresh] = [before.items[at], after.items[at]] as [ParsedItem, ParsedItem];
  if (!isSound(old) || !isSound(fresh)) return undefined;
  const found: Difference = { same: [], changed: [] };
  if (!compare(old.node, fresh.node, found)) return undefined;
  const changed = found.changed.map(({ entry }) => entry);
  return { item: old.node as Entry, changed, take: () => take(before, after, at, found) };
}

/** The number of the only item that is another one. */
function onlyChange(before: ParsedFile, after: ParsedFile): number | undefined {
  if (before.items.length !== after.items.length) return undefined;
  const differing = after.items.flatMap((item, i) => (item.node === before.items[i]?.node ? [] : [i]));
  return differing.length === 1 ? differing[0] : undefined;
}

function isSound({ node, mistakes, open }: ParsedItem): boolean {
  return node.$type === 'Entry' && mistakes.length === 0 && !open;
}

/** Are two nodes alike but for values that are given? Notes which. */
function compare(old: AstNode, fresh: AstNode, found: Difference): boolean {
  if (old.$type !== fresh.$type || (old.$type === 'Text' && !isSameText(old as Text, fresh as Text))) return false;
  const [a, b] = [old as Fields, fresh as Fields];
  found.same.push([old as Placed, fresh as Placed]);
  const giving = old.$type === 'Entry' && givesValue(old as Entry) && givesValue(fresh as Entry);
  for (const key in a) {
    if (key.charCodeAt(0) === 36 || (giving && key === 'value')) continue;
    if (!compareField(a[key], b[key], found)) return false;
  }
  for (const key in b) if (key.charCodeAt(0) !== 36 && b[key] !== undefined && !(key in a)) return false;
  if (giving) compareValues(old as Entry, fresh as Entry, found);
  return true;
}

function compareField(a: unknown, b: unknown, found: Difference): boolean {
  if (Array.isArray(a))
    return Array.isArray(b) && a.length === b.length && a.every((each, i) => compareField(each, b[i], found));
  if (typeof a === 'object' && a !== null)
    return typeof b === 'object' && b !== null && compare(a as AstNode, b as AstNode, found);
  return a === b;
}

/** Is it a value given in a block, and no open choice? */
function givesValue({ equals, type, value }: Entry): boolean {
  return equals && !type && value !== undefined && value.$type !== 'Open';
}

function compareValues(old: Entry, fresh: Entry, found: Difference): void {
  const value = fresh.value as Expression;
  const before = found.same.length;
  if (compare(old.value as Expression, value, found)) return;
  found.same.length = before;
  found.changed.push({ entry: old, value });
}

/** Expressions inside a text have places of their own: with them it is the same only where it stands as before. */
function isSameText(old: Text, fresh: Text): boolean {
  return (
    old.text === fresh.text &&
    (!old.text.includes('{') || (old as unknown as Placed).$start === (fresh as unknown as Placed).$start)
  );
}

function take(before: ParsedFile, after: ParsedFile, at: number, { same, changed }: Difference): ParsedFile {
  for (const [old, fresh] of same) {
    old.$start = fresh.$start;
    old.$end = fresh.$end;
  }
  for (const { entry, value } of changed) {
    entry.value = value;
    (value as { $container: unknown }).$container = entry;
  }
  const old = (before.items[at] as ParsedItem).node;
  const items = after.items.map((item, i) => (i === at ? { ...item, node: old } : item));
  for (const { node, start } of items) Object.assign(node, { $container: before.file, $at: start });
  before.file.items.splice(0, before.file.items.length, ...items.map(({ node }): Item => node));
  const parsed = { ...after, file: before.file, items };
  setParsed(parsed);
  return parsed;
}
