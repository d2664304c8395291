import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import type { Finding } from '../../language/judge/finding.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { Project } from '../../language/project.ts';
import { library } from './fixtures.ts';

const folder = new URL('../../examples/', import.meta.url);

function opened(name: string) {
  const uri = new URL(name, folder).href;
  const project = new Project(library, { read: (other) => readFileSync(new URL(other), 'utf8') });
  const file = project.update(uri, readFileSync(new URL(uri), 'utf8'));
  return { project, file, machines: project.machines(file) };
}

/** `rule` for a finding, `rule < root` for one that follows from it. */
function said(findings: readonly Finding[]): string[] {
  return findings.flatMap((finding) => [
    finding.rule,
    ...said(finding.consequences).map((rule) => (rule.includes(' < ') ? rule : `${rule} < ${finding.rule}`)),
  ]);
}

describe('examples', () => {
  test.each(['heron.gusset', 'kestrel.gusset', 'workshop-stock.gusset', 'magpie.gusset', 'own-kind.gusset'])(
    '%s has no mistake in its text',
    (name) => {
      const { project, file } = opened(name);
      expect(project.mistakes(file)).toEqual([]);
    },
  );

  test('Heron and its variants pass every rule and meet every requirement', () => {
    const { machines } = opened('heron.gusset');
    expect(machines.map((machine) => machine.tree.name)).toEqual(['Heron', 'Heron_glass', 'Heron_remote']);
    for (const { assessment } of machines) {
      expect(said(assessment.findings)).toEqual([]);
      expect(assessment.undecided).toEqual([]);
      expect(assessment.held).toBeGreaterThan(30);
      expect(assessment.requirements.filter((r) => r.holds !== true)).toEqual([]);
    }
  });

  // Common practice, no source: remote drives are light on the carriage, direct ones handle flexible filament.
  test('with its drive on the frame Heron has a lighter carriage, pushes harder, and prints no flexible filament', () => {
    const { machines } = opened('heron.gusset');
    const read = (name: string, value: string) => {
      const machine = machines.find(({ tree }) => tree.name === name);
      return machine?.engine.value(cellOf(machine.tree.children.get('extruder'), value) as Cell);
    };
    const [carried, push] = ['mass_on_carriage', 'needed_push'].map((v) => (name: string) => read(name, v) as number);
    expect(carried?.('Heron_remote')).toBeLessThan((carried?.('Heron') as number) / 3);
    expect(push?.('Heron_remote')).toBeGreaterThan(push?.('Heron') as number);
    const printable = (name: string) => (read(name, 'printable') as Instance[]).map((f) => f.name);
    expect(printable('Heron')).toEqual(['pla', 'petg', 'abs_polymer', 'asa', 'polyamide', 'tpu_95a', 'tpu_85a']);
    expect(printable('Heron_remote')).toEqual(['pla', 'petg', 'abs_polymer', 'asa', 'polyamide']);
  });

  // Common practice, no source: remote drives are light on the carriage, direct ones handle flexible filament. By how much the same
  // machine is faster with less on its carriage follows from its belts and motors.
  test('with its drive on the frame Kestrel accelerates faster, and gives up flexible filament', () => {
    const { machines } = opened('kestrel.gusset');
    const [direct, remote] = ['Kestrel', 'Kestrel_remote'].map((name) => {
      const machine = machines.find(({ tree }) => tree.name === name);
      return (path: string) => machine?.engine.value(cellAt(path, machine) as Cell);
    });
    const compared = (path: string) => [direct?.(path), remote?.(path)] as [number, number];
    const [massDirect, massRemote] = compared('extruder.mass_on_carriage');
    // Wheel 8 g, gears 15 g, motor 180 g.
    expect(massDirect - massRemote).toBeCloseTo(0.203, 6);
    const [slower, faster] = compared('motion.pair.greatest_acceleration');
    expect(faster).toBeGreaterThan(1.1 * slower);
    expect(compared('extruder.path_length')).toEqual([0.003, 0.603]);
    const [freely, throughTube] = compared('extruder.needed_push');
    // Half a turn at a friction of 0.1; the spool drags with 2 N before it.
    expect((throughTube - 2) / (freely - 2)).toBeCloseTo(Math.exp(0.1 * Math.PI), 9);
    const printable = compared('extruder.printable').map((list) => (list as unknown as Instance[]).map((f) => f.name));
    expect(printable[0]).toEqual([...(printable[1] ?? []), 'tpu_95a', 'tpu_85a']);
  });

  test('Kestrel and its variants pass every rule, with the bed on mains', () => {
    for (const { assessment } of opened('kestrel.gusset').machines) {
      expect(said(assessment.findings)).toEqual([]);
      expect(assessment.undecided).toEqual([]);
      expect(assessment.requirements.map((r) => r.holds)).not.toContain(false);
    }
  });

  test('Petrel has no mistake in its text, passes every rule and meets every requirement', () => {
    const { project, file, machines } = opened('petrel.gusset');
    expect(project.mistakes(file)).toEqual([]);
    expect(machines.map((machine) => machine.tree.name)).toEqual(['Petrel']);
    for (const { assessment } of machines) {
      expect(said(assessment.findings)).toEqual([]);
      expect(assessment.undecided).toEqual([]);
      expect(assessment.requirements.map((r) => r.holds)).toEqual([true, true, true, true]);
    }
  });

  test('Magpie tells its story: each mistake once, with what follows from it', () => {
    const [magpie, mended] = opened('magpie.gusset').machines;
    expect(said(magpie?.assessment.findings ?? []).toSorted()).toEqual(
      [
        'ac_relay_on_dc',
        'adhesive_too_hot',
        'plate_edges_colder',
        'belt_does_not_fit_pulley',
        'driver_overloaded < motor_current_too_high',
        'driver_set_wrong',
        'motors_not_joined',
        'earth_lost_unprotected < mains_heater_without_residual_device',
        'supply_not_fed',
        'falls_without_power',
        'frame_out_of_square',
        'guide_binds',
        'guide_sags',
        'hangs_on_bench',
        'layer_between_steps',
        'layer_heights_differ',
        'levelling_screw_loosens',
        'motor_current_too_high',
        'motor_too_hot < motor_current_too_high',
        'plate_cannot_grow',
        'probe_reaches_too_little',
        'screws_out_of_step',
        'shaft_overloaded',
        'beta_without_pair',
        'does_not_fit',
        'filament_not_printable < filament_squeezed',
        'filament_squeezed',
        'gear_ratio_not_as_claimed',
        'hot_end_sensor_out_of_range',
        'hot_end_melts_down',
        'hot_surfaces_unmarked',
        'break_not_seen',
        'break_not_seen',
        'heater_alone_stuck_on < mains_heater_without_cutoff',
        'heater_alone_stuck_on < voltage_mismatch',
        'liner_too_hot',
        'live_parts_within_reach',
        'tube_pushed_out',
        'fuse_not_rated_for_dc',
        'fuse_too_small',
        'fuse_too_small < voltage_mismatch',
        'insulation_too_hot',
        'magnet_too_hot',
        'frame_without_earth',
        'mains_heater_without_cutoff',
        'load_without_earth',
        'mains_without_fuse',
        'mains_heater_without_residual_device',
        'mains_heater_without_switch',
        'mains_selector_wrong',
        'moving_wire_not_held',
        'moving_wire_too_stiff',
        'output_overloaded',
        'plausible_limits_missing < break_not_seen',
        'plausible_limits_missing < break_not_seen',
        'polarity_can_be_reversed',
        'print_not_cooled',
        'printed_part_softens',
        'probe_signal_too_high',
        'relay_too_hot < voltage_mismatch',
        'sensor_out_of_range',
        'stuck_on_beyond_sensor < stuck_on_unprotected',
        'stuck_on_unprotected',
        'supply_overloaded',
        'surface_larger_than_plate',
        'switch_break_unseen',
        'enclosure_too_hot',
        'too_hot_where_it_sits < enclosure_too_hot',
        'tool_rings',
        'voltage_out_of_range',
        'voltage_drop_too_high < voltage_mismatch',
        'voltage_drop_too_high < wire_overloaded',
        'voltage_drop_too_high < wire_overloaded',
        'voltage_left_too_low < voltage_drop_too_high',
        'voltage_mismatch',
        'wire_insulation_too_hot',
        'wire_overloaded',
        'wire_overloaded < wire_insulation_too_hot',
        'printed_part_creeps < printed_part_softens',
        'belt_slackens_on_print < printed_part_creeps',
        'wire_unprotected',
        'wire_unprotected < mains_without_fuse',
        'wire_unprotected < wire_overloaded',
        'wrong_curve_set',
      ].toSorted(),
    );
    const mains = magpie?.assessment.findings.filter((finding) => finding.rule.startsWith('mains_')) ?? [];
    for (const finding of mains) expect(finding.caution).toContain('a licensed electrician');
    expect(said(mended?.assessment.findings ?? [])).toEqual([]);
    expect(mended?.assessment.undecided).toEqual([]);
  });

  test("a kind of the user's own is judged by its own rules, and its open choice is answered", () => {
    const [wagtail] = opened('own-kind.gusset').machines;
    expect(said(wagtail?.assessment.findings ?? [])).toEqual([]);
    expect(wagtail?.assessment.undecided).toEqual([]);
    expect(wagtail?.assessment.requirements.map((r) => r.holds)).toEqual([true, true]);
    const [choice] = wagtail?.choices ?? [];
    // The thinnest fits the load, and the fuse of 7.5 A that stands before it: 1.35 times that opens it, and it bears 1.45 times 7.5 A.
    expect(choice?.proposed?.text).toBe('0.5 mm^2');
    expect(choice?.obstacles).toEqual([]);
  });

  test("a rule of the user's own is broken where its kind is used badly", () => {
    const { project, file } = opened('own-kind.gusset');
    const cold = project.update(file.uri, file.parsed.text.replace('ambient = -5 degC', 'ambient = -25 degC'));
    const rules = project.machines(cold).flatMap((machine) => said(machine.assessment.findings));
    expect(rules).toContain('field_battery_too_cold');
  });
});
