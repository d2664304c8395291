import { missingOf, type Value } from '../values/value.ts';

/** Ends of what current flows through, joined to nodes, and what lies between them. */
interface Net {
  readonly nodes: Joined;
  readonly edges: Map<string, readonly [string, string]>;
}

/** Which ends are one: each points to another of its set, or to itself. */
class Joined {
  private readonly next: Map<string, string>;
  constructor(next = new Map<string, string>()) {
    this.next = next;
  }

  copy(): Joined {
    return new Joined(new Map(this.next));
  }

  rootOf(end: string): string {
    let at = end;
    for (;;) {
      const to = this.next.get(at) ?? at;
      if (to === at) return at;
      at = to;
    }
  }

  join(a: string, b: string): void {
    this.next.set(this.rootOf(a), this.rootOf(b));
  }
}

/**
 * Where circuits close a ring besides their own, so that their paths do not tell how a current divides: for each circuit 0, or the place
 * where it joins a way that is there already, counted from 1 over what it flows `out` through (its `source` first), its `load`, and what
 * it flows `back` through. A load that is another circuit's too counts as such. Each circuit is one ring; where a network has more
 * independent rings than circuits (edges - nodes + parts, Kirchhoff 1847), some current is told by none.
 */
export function joinsOf(source: Value, out: Value, back: Value, paired: Value, load: Value): Value {
  const lists = [source, out, back, paired, load];
  const missing = missingOf(...lists);
  if (missing) return missing;
  const asked = items(source).map((s, k) => ({
    source: s,
    out: items(items(out)[k] as Value),
    back: items(items(back)[k] as Value),
    isPaired: items(paired)[k] === true,
    load: items(load)[k] as Value,
  }));
  // Ways back are told from their load on, or from their source: whichever leaves less untold.
  const joined = (joins: number[]) => joins.filter((join) => join > 0).length;
  const told = joinsAlong(asked, false);
  if (joined(told) === 0) return told;
  const turned = joinsAlong(asked, true);
  return joined(turned) < joined(told) ? turned : told;
}

interface Way {
  readonly source: Value;
  readonly out: readonly Value[];
  readonly back: readonly Value[];
  readonly isPaired: boolean;
  readonly load: Value;
}

function joinsAlong(ways: readonly Way[], isTurned: boolean): number[] {
  const ids = new Map<Value, number>();
  const id = (of: Value) => {
    if (!ids.has(of)) ids.set(of, ids.size);
    return ids.get(of) as number;
  };
  let net: Net = { nodes: new Joined(), edges: new Map() };
  let rings = 0;
  return ways.map(({ source, out, back, isPaired, load }) => {
    // What is not known has no current either: it joins nothing.
    if (missingOf(source, load, ...out, ...back)) return 0;
    // A second conductor lies as the first does: what flows back comes through the last first.
    const way = isPaired || isTurned ? [...back].reverse() : back;
    const ring = [
      `from ${id(source)}`,
      ...out.slice(1).map((e) => `through ${id(e)}`),
      `into ${id(load)}`,
      ...way.map((e) => `${isPaired ? 'second' : out.includes(e) ? 'again' : 'through'} ${id(e)}`),
    ];
    const next = grow(net, ring);
    const grown = next && ringsOf(next) === rings + 1 ? next : undefined;
    if (grown) [net, rings] = [grown, rings + 1];
    return grown ? 0 : meetingOf(net, ring, out.length);
  });
}

function items(value: Value): readonly Value[] {
  return Array.isArray(value) ? value : [];
}

/** The net with a ring more; undefined where its load is there already. */
function grow({ nodes, edges }: Net, ring: readonly string[]): Net | undefined {
  const grown: Net = { nodes: nodes.copy(), edges: new Map(edges) };
  for (const [i, edge] of ring.entries()) {
    if (edge.startsWith('into') && edges.has(edge)) return undefined;
    grown.edges.set(edge, [`${edge} begins`, `${edge} ends`]);
    grown.nodes.join(`${edge} ends`, `${ring[(i + 1) % ring.length]} begins`);
  }
  return grown;
}

/** How many independent rings a net has. */
function ringsOf({ nodes, edges }: Net): number {
  const parts = nodes.copy();
  const roots = new Set<string>();
  for (const ends of edges.values()) {
    for (const end of ends) roots.add(nodes.rootOf(end));
    parts.join(...ends);
  }
  const apart = new Set([...roots].map((root) => parts.rootOf(root)));
  return edges.size - roots.size + apart.size;
}

/** Where a ring first comes to what is there already from another side than before. */
function meetingOf({ nodes, edges }: Net, ring: readonly string[], load: number): number {
  const at = ring.findIndex(
    (edge, i) =>
      i > 0 &&
      edges.has(edge) &&
      (i === load || nodes.rootOf(`${ring[i - 1]} ends`) !== nodes.rootOf(`${edge} begins`)),
  );
  return at < 0 ? load + 1 : at + 1;
}
