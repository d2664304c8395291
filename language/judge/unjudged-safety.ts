import { cellOf } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Finding } from './finding.ts';
import { type NotSaid, pathOfNotSaid } from './not-said.ts';
import type { OwnFinding } from './own-findings.ts';

/** How many names of what is missing, and of rules, are told. */
const [mostMissing, mostRules] = [4, 6];

/**
 * The warning that rules about people's safety could not be judged for want of what is not said; none where each could. What such a
 * machine does not say is no mistake, but that nothing is found says nothing of it.
 */
export function unjudgedSafety(machine: Machine, notSaid: readonly NotSaid[]): Finding[] {
  const waiting = notSaid.flatMap((each) => {
    // An open choice is listed as such, with the rules that stand behind it.
    if (cellOf(each.instance, each.name)?.definition.origin === 'open') return [];
    const grave = each.undecided.filter(({ rule }) => rule.caution !== undefined);
    return grave.length > 0 ? [{ ...each, grave }] : [];
  });
  if (waiting.length === 0) return [];
  const verdicts = new Set(waiting.flatMap(({ grave }) => grave.map(({ cell }) => cell)));
  const rules = new Set(waiting.flatMap(({ grave }) => grave.map(({ rule }) => rule.name.replaceAll('_', ' '))));
  const count = verdicts.size === 1 ? '1 rule' : `${verdicts.size} rules`;
  const missing = listed(waiting.map(pathOfNotSaid), mostMissing);
  return [
    {
      rule: 'safety_not_judged' satisfies OwnFinding,
      severity: 'warning',
      message: `${count} about people's safety could not be judged, for want of ${missing}: that nothing else is found says nothing of ${listed([...rules], mostRules)}`,
      instance: machine.tree,
      places: waiting.map(({ place }) => place),
      waysOut: ['say what is missing, or `no NAME` for what is deliberately not there'],
      scenario: machine.engine.low,
      worst: undefined,
      consequences: [],
    },
  ];
}
