import { cellOf } from '../../language/compute/cell.ts';
import type { Finding } from '../../language/judge/finding.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { Assessed } from '../../language/project.ts';
import { library } from './fixtures.ts';

/**
 * The faults of all that stands in a tree, machines on a site included, that may happen and that nothing stops, or of which either
 * is not known, at some end of its ranges. It does not ask the machine for its list of faults, which leaves out what it cannot tell.
 */
export function unstopped({ tree, engine }: Assessed): Instance[] {
  const fault = library.scope.kindNamed('fault');
  if (!fault) throw new Error('the library has no faults');
  return tree.all().filter((block) => {
    if (!block.kind.isA(fault)) return false;
    const [applies, stopped] = ['applies', 'stopped'].map((name) => cellOf(block, name));
    if (!applies || !stopped) throw new Error(`${block.label} does not say whether it is stopped`);
    const scenarios = [...engine.scenarios(applies), ...engine.scenarios(stopped)];
    return scenarios.some((ends) =>
      engine.under(ends, () => engine.value(applies) !== false && engine.value(stopped) !== true),
    );
  });
}

// A fault that its kind calls `judged` is left alone by the rule for all faults: one of these rules speaks where nothing stops it.
const stuckBed = ['stuck_on_unprotected', 'cutoff_opens_too_late', 'cutoff_never_opens'];
const stuckHotEnd = ['hot_end_melts_down', 'hot_end_stuck_on', 'hot_end_cutoff_opens_too_late'];
const stuckChamber = ['chamber_heater_stuck_on', 'chamber_cutoff_opens_too_late'];
export const judges: Record<string, string[]> = {
  'heater.stuck_closed': ['heater_alone_stuck_on'],
  'bed.stuck_closed': stuckBed,
  'bed.sensor_loose': stuckBed,
  'bed.sensor_slipped': stuckBed,
  'bed.sensor_open': stuckBed,
  'bed.sensor_shorted': stuckBed,
  'hot_end.stuck_closed': stuckHotEnd,
  'hot_end.sensor_loose': stuckHotEnd,
  'hot_end.sensor_slipped': stuckHotEnd,
  'hot_end.sensor_open': stuckHotEnd,
  'hot_end.sensor_shorted': stuckHotEnd,
  'hot_end.fan_stopped': ['fan_stop_unseen', 'cold_side_not_cooled'],
  'chamber.stuck_closed': stuckChamber,
  'chamber.heater_fan_stopped': stuckChamber,
  'enclosure.fan_stopped': ['enclosure_hot_without_fan', 'enclosure_too_hot'],
  'thermocouple_k.wires_crossed': ['crossed_wires_not_seen'],
  'source.fuse_too_large': ['wire_unprotected', 'wire_insulation_too_hot', 'wire_overloaded'],
  'inlet.earth_lost': ['earth_lost_unprotected'],
  'output.lead_touches_frame': [
    'lead_bypasses_cutoff',
    ...stuckBed,
    ...stuckHotEnd,
    ...stuckChamber,
    'heater_alone_stuck_on',
  ],
  'drive.power_lost': ['falls_without_power'],
  'supply.selector_wrong': ['mains_selector_wrong'],
  'supply.brown_out': ['supply_overloaded'],
  'supply.polarity_reversed': ['polarity_can_be_reversed'],
};

/** The names of the rules that findings are of, consequences among them. */
function namesOf(findings: readonly Finding[]): string[] {
  return findings.flatMap(({ rule, consequences }) => [rule, ...namesOf(consequences)]);
}

/** The kind and fault by which a fault of a machine is looked up above. */
function declaredAs({ name, holder }: Instance): string {
  for (let kind = holder?.kind; kind; kind = kind.base)
    if (`${kind.name}.${name}` in judges) return `${kind.name}.${name}`;
  return `${holder?.kind.name}.${name}`;
}

/** Of the faults of a machine that nothing stops, those that have rules of their own, by kind and fault; and which of them no such rule tells. */
export function judgedUnstopped(machine: Assessed): { seen: string[]; silent: string[] } {
  const rules = namesOf(machine.assessment.findings);
  const faults = unstopped(machine).flatMap((fault) => {
    const name = declaredAs(fault);
    return name in judges ? [{ name, label: fault.label }] : [];
  });
  // What cannot be computed is an error that says so.
  const isTold = (name: string) => [...(judges[name] ?? []), 'not_computable'].some((rule) => rules.includes(rule));
  return {
    seen: faults.map(({ name }) => name),
    silent: faults.flatMap(({ name, label }) => (isTold(name) ? [] : [`${label}: ${rules.join(' ')}`])),
  };
}
