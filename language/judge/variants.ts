import type { Machine } from '../compute/machine.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Finding } from './finding.ts';
import { type Assessment, toldIn } from './findings.ts';

/** What machines of a file have in common with those that they start from. */
export interface Shared {
  /** Variants in which a finding stands as well, by their names. */
  readonly alsoIn: ReadonlyMap<Finding, readonly string[]>;
  /** Findings of variants that are told where their base has them. */
  readonly told: ReadonlySet<Finding>;
}

type Judged = Machine & { readonly assessment: Assessment };

/** Which findings variants share with what they start from: one mistake is told once, in the machine that makes it. */
export function sharedFindings(machines: readonly Judged[]): Shared {
  const alsoIn = new Map<Finding, string[]>();
  const told = new Set<Finding>();
  const byEntry = new Map(machines.map((machine) => [machine.entry, machine]));
  for (const machine of machines) {
    const bases = basesOf(machine, byEntry);
    for (const finding of toldIn(machine.assessment)) {
      const first = bases
        .flatMap((base) => toldIn(base.assessment).find((other) => isSame(other, finding)) ?? [])
        .at(-1);
      if (!first) continue;
      alsoIn.set(first, [...(alsoIn.get(first) ?? []), machine.tree.name]);
      told.add(finding);
    }
  }
  return { alsoIn, told };
}

/** The machines of the same file that one starts from, the nearest first. */
function basesOf(machine: Judged, byEntry: ReadonlyMap<AstNode, Judged>): Judged[] {
  const found: Judged[] = [];
  let base = baseOf(machine, byEntry);
  while (base && base !== machine && !found.includes(base)) {
    found.push(base);
    base = baseOf(base, byEntry);
  }
  return found;
}

function baseOf({ entry, scope }: Judged, byEntry: ReadonlyMap<AstNode, Judged>): Judged | undefined {
  const node = entry.base?.$type === 'Name' ? scope.find(entry.base.text)?.node : undefined;
  return node && byEntry.get(node);
}

/** The same rule of the same block, accepted alike, with the same consequences: numbers may differ a little. */
function isSame(a: Finding, b: Finding): boolean {
  return signature(a) === signature(b);
}

function signature(finding: Finding): string {
  const { rule, severity, instance, accepted, consequences, message } = finding;
  const path = instance.holder ? instance.label : '';
  // Requirements, and values that cannot be computed, share one code each: their messages tell them apart.
  const words = finding.declared ? '' : message;
  const lapsed = accepted && (accepted.lapsed ?? 'accepted');
  return JSON.stringify([rule, severity, path, words, lapsed, consequences.map(signature).sort()]);
}
