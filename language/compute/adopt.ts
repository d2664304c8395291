import type { Body, Entry } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { statementsOf } from '../machine/statements.ts';
import type { Instance, Layer } from '../machine/tree.ts';
import { type Adopted, type Cell, cellsOf, everyCell, rereadDefinition, rereadValue, surveysOf } from './cell.ts';

/**
 * Puts the texts of a newly built tree into an older one, and takes over the blocks that are new, so that values which do not
 * depend on the change stay. Undefined, with nothing changed, where not even the outermost block is the same. Where it is only tried,
 * blocks that others take the place of step aside: each comes back, with all that was computed of it, when one of its kind is tried again.
 */
export function adoptTree(old: Instance, fresh: Instance, isTry = false): Adopted | undefined {
  if (!sameBlock(old, fresh) || !sameGround(old.ground, fresh.ground)) return undefined;
  const adopted = { changed: new Set<Cell>(), gone: new Set<Instance>(), isTry };
  for (let [at, by] = [old, fresh]; ; [at, by] = [at.ground as Instance, by.ground as Instance]) {
    patch(at, by, adopted);
    // Both stand on as many. A block that is made anew inside a tree shares the tree's site: there is nothing further out to compare.
    if (at.ground === by.ground) return adopted;
  }
}

/** The same of a single block, which is tried in place of the one of its name. */
export function tryBlock(holder: Instance, fresh: Instance): Adopted {
  const adopted = { changed: new Set<Cell>(), gone: new Set<Instance>(), isTry: true };
  const children = [...holder.children.values()].map((child) => (child.name === fresh.name ? fresh : child));
  if (takesBlocks(holder, children, adopted)) renewSurveys(holder, adopted);
  return adopted;
}

/** What an edit, or what is tried, has done so far. */
interface Adopting {
  readonly changed: Set<Cell>;
  readonly gone: Set<Instance>;
  readonly isTry: boolean;
}

/** Reads values again whose statements give others now. Returns the cells that are defined otherwise than before. */
export function rereadStatements(trees: Iterable<Instance | undefined>, statements: readonly Entry[]): Set<Cell> {
  const changed = new Set<Cell>();
  for (const instance of [...trees].flatMap((tree) => tree?.allWithGround() ?? [])) {
    for (const { body } of instance.layers) {
      for (const { $container, first } of statements) {
        const cell = body === $container ? cellsOf(instance).values.get(first.text) : undefined;
        if (cell && rereadValue(cell)) changed.add(cell);
      }
    }
  }
  return changed;
}

function sameBlock(a: Instance | undefined, b: Instance): a is Instance {
  return a !== undefined && a.name === b.name && a.kind === b.kind && a.count === b.count && a.open === b.open;
}

function sameGround(a: Instance | undefined, b: Instance | undefined): boolean {
  return a === b || (b !== undefined && sameBlock(a, b) && sameGround(a.ground, b.ground));
}

function patch(old: Instance, fresh: Instance, adopted: Adopting): void {
  const renewed = renewedNames(old.layers, fresh.layers);
  if (!adopted.isTry && !sameStructure(old.layers, fresh.layers)) renewSpares(old, fresh, adopted);
  old.layers = fresh.layers;
  renew(old.meant, fresh.meant);
  renew(old.unclear, fresh.unclear);
  for (const cell of renewed ? namedCells(old, renewed) : cellsOf(old).values.values())
    if (rereadDefinition(cell)) adopted.changed.add(cell);
  const before = [...old.broken];
  renewNames(old.broken, fresh.broken);
  renewNames(old.endless, fresh.endless);
  const others = takesBlocks(old, [...fresh.children.values()], adopted);
  if (others || before.join() !== [...old.broken].join()) renewSurveys(old, adopted);
}

/** Gives a block those in it, of which the ones that are there already stay. Returns whether they are others than before. */
function takesBlocks(old: Instance, fresh: readonly Instance[], adopted: Adopting): boolean {
  const before = [...old.children.values()];
  const after = fresh.map((child) => {
    if (before.includes(child)) return child;
    const same = sameBlock(old.children.get(child.name), child) ? old.children.get(child.name) : spareFor(child, old);
    if (!same) return child;
    patch(same, child, adopted);
    return same;
  });
  if (before.length === after.length && after.every((block, i) => block === before[i])) return false;
  for (const child of before) {
    if (after.includes(child)) continue;
    if (adopted.isTry) old.spares.push(child);
    else for (const each of child.everMade()) adopted.gone.add(each);
  }
  old.children.clear();
  for (const child of after) {
    child.holder = old;
    old.children.set(child.name, child);
  }
  return true;
}

/** What stepped aside in a block and is the same as one that comes into it. */
function spareFor(child: Instance, holder: Instance): Instance | undefined {
  const at = holder.spares.findIndex((spare) => sameBlock(spare, child));
  return at < 0 ? undefined : holder.spares.splice(at, 1)[0];
}

/** What rests on which blocks stand in one is looked at again. */
function renewSurveys(instance: Instance, { changed }: Adopting): void {
  instance.reshaped();
  for (const cell of surveysOf(instance)) changed.add(cell);
}

/**
 * Tells what an edit changes in blocks that stepped aside: their own texts are read again when they come back, but what was found out with
 * them is not true any more. Where more than values changed there, they are gone.
 */
function renewSpares(old: Instance, fresh: Instance, { changed, gone }: Adopting): void {
  for (const spare of [...old.spares]) {
    const names = renewedOwnNames(spare, fresh.children.get(spare.name));
    for (const cell of names ? namedCells(spare, names) : []) changed.add(cell);
    if (names) continue;
    old.spares.splice(old.spares.indexOf(spare), 1);
    for (const each of spare.everMade()) {
      gone.add(each);
      for (const cell of everyCell(each)) changed.add(cell);
    }
  }
}

/** Names of the values of which a machine speaks otherwise than it did in a block that stepped aside; undefined where it says more than that otherwise. */
function renewedOwnNames(spare: Instance, now: Instance | undefined): Set<string> | undefined {
  const own = (block: Instance) => block.layers.filter(({ node }) => node.$type === 'Entry');
  if (now?.count !== spare.count || !sameStructure(own(spare), own(now))) return undefined;
  const bodies = [...own(spare), ...own(now)].map(({ body }) => body);
  const names = new Set(bodies.flatMap((body) => [...statementsOf(body).values.keys()]));
  const said = (block: Instance, name: string) =>
    own(block)
      .map(({ body }) => givenIn(body, name) ?? '')
      .join('\n');
  return new Set([...names].filter((name) => said(spare, name) !== said(now, name)));
}

/** Do texts say the same but for the values that they give? */
function sameStructure(before: readonly Layer[], after: readonly Layer[]): boolean {
  const isSame = ({ body }: Layer, i: number) => {
    const other = (after[i] as Layer).body;
    return body === other || structureOf(body) === structureOf(other);
  };
  return before.length === after.length && before.every(isSame);
}

function givenIn(body: Body | undefined, name: string): string | undefined {
  const given = statementsOf(body).values.get(name)?.given;
  return given && textOf(given);
}

/** All that a body says beside giving values. */
function structureOf(body: Body | undefined): string {
  const given = new Set<unknown>([...statementsOf(body).values.values()].map((said) => said.given));
  return (body?.members ?? []).flatMap((member) => (given.has(member) ? [] : [textOf(member)])).join('\n');
}

function renewNames(old: Set<string>, fresh: ReadonlySet<string>): void {
  old.clear();
  for (const name of fresh) old.add(name);
}

function renew<K, V>(old: Map<K, V>, fresh: ReadonlyMap<K, V>): void {
  old.clear();
  for (const [key, value] of fresh) old.set(key, value);
}

/** Names of the values of which a text speaks that is new, or which an old one spoke of; undefined where the layers are others. */
function renewedNames(before: readonly Layer[], after: readonly Layer[]): Set<string> | undefined {
  if (before.length !== after.length) return undefined;
  const names = new Set<string>();
  for (const [i, old] of before.entries()) {
    const fresh = after[i] as Layer;
    if (old.scope !== fresh.scope || old.mode !== fresh.mode || old.elsewhere !== fresh.elsewhere) return undefined;
    if (old.body === fresh.body) continue;
    for (const body of [old.body, fresh.body]) for (const name of statementsOf(body).values.keys()) names.add(name);
  }
  return names;
}

function namedCells(instance: Instance, names: ReadonlySet<string>): Cell[] {
  return [...names].flatMap((name) => cellsOf(instance).values.get(name) ?? []);
}
