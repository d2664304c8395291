import type { Entry } from '../grammar/generated/ast.ts';
import { statementsOf } from '../machine/statements.ts';
import type { Instance, Layer } from '../machine/tree.ts';
import { type Adopted, type Cell, cellsOf, rereadDefinition, rereadValue, surveysOf } from './cell.ts';

/**
 * Puts the texts of a newly built tree into an older one, and takes over the blocks that are new, so that values which do not
 * depend on the change stay. Undefined, with nothing changed, where not even the outermost block is the same.
 */
export function adoptTree(old: Instance, fresh: Instance): Adopted | undefined {
  if (!sameBlock(old, fresh) || !sameGround(old.ground, fresh.ground)) return undefined;
  const adopted = { changed: new Set<Cell>(), gone: new Set<Instance>() };
  for (let [at, by] = [old, fresh]; ; [at, by] = [at.ground, by.ground]) {
    patch(at, by, adopted);
    // A block that is made anew inside a tree shares the tree's site: there is nothing further out to compare.
    if (!at.ground || !by.ground || at.ground === by.ground) return adopted;
  }
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

function patch(old: Instance, fresh: Instance, adopted: { changed: Set<Cell>; gone: Set<Instance> }): void {
  const renewed = renewedNames(old.layers, fresh.layers);
  old.layers = fresh.layers;
  renew(old.meant, fresh.meant);
  renew(old.unclear, fresh.unclear);
  for (const cell of renewed ? namedCells(old, renewed) : cellsOf(old).values.values())
    if (rereadDefinition(cell)) adopted.changed.add(cell);
  const before = [...old.children.values(), ...old.broken];
  const children = [...fresh.children.values()].map((child) => {
    const same = old.children.get(child.name);
    if (!sameBlock(same, child)) return child;
    patch(same, child, adopted);
    return same;
  });
  const after = [...children, ...fresh.broken];
  if (before.length === after.length && after.every((block, i) => block === before[i])) return;
  for (const child of old.children.values())
    if (!children.includes(child)) for (const each of child.all()) adopted.gone.add(each);
  old.children.clear();
  for (const child of children) {
    child.holder = old;
    old.children.set(child.name, child);
  }
  old.broken.clear();
  for (const name of fresh.broken) old.broken.add(name);
  old.endless.clear();
  for (const name of fresh.endless) old.endless.add(name);
  old.reshaped();
  for (const cell of surveysOf(old)) adopted.changed.add(cell);
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
