import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn, shown } from '../support.ts';

// A wire's ends follow from its path: common practice, no source.

const bench = (
  more: { wire?: string; path?: string; fan?: string; motion?: string; envelope?: string } = {},
) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w { own_plug = yes }
  board controller is board_5_axis
  bed {
    target = 60 degC
    plate {
      size = 230 mm x 230 mm
      thickness = 3 mm
      material = aluminium
    }
    heater {
      power = 200 W
      voltage = 24 V
    }
  }
  ${more.motion ?? 'motion { bed_moves = in_depth }'}
  fan blower is fan_24v_50mm_blower { ${more.fan ?? ''} }
  wire lead {
    area = 2.5 mm^2
    length = 900 mm
    ${more.wire ?? ''}
  }
  fuse blade is blade_15a
  circuit feed { path = [${more.path ?? 'psu, blade, lead, bed.heater'}] }
  ${more.envelope ?? ''}
}
`;
const lead = (more?: Parameters<typeof bench>[0]) => {
  const machine = machineIn(bench(more));
  return { leads: shown(machine, 'lead.leads_to'), moves: shown(machine, 'lead.moves'), found: findingsOf(machine) };
};

describe('where a wire leads, and whether it is bent', () => {
  test('to a bed that moves, by what it joins, whichever of its two ends that is', () => {
    expect(lead()).toMatchObject({ leads: 'bed', moves: 'yes' });
    expect(lead({ motion: 'motion { bed_moves = not_at_all }' })).toMatchObject({ leads: 'frame', moves: 'no' });
    expect(lead({ motion: '' })).toMatchObject({ leads: 'frame', moves: 'no' });
  });

  test('to what stands still it is not bent, nor is what only lies in the same path', () => {
    expect(lead({ path: 'psu, blade, lead, controller' })).toMatchObject({ leads: 'frame', moves: 'no' });
    expect(lead({ path: 'psu, lead, blade, bed.heater' })).toMatchObject({ leads: 'frame', moves: 'no' });
  });

  test('where the path is silent, as it is said', () => {
    const path = 'psu, blade, lead, blower';
    expect(lead({ path })).toMatchObject({ leads: 'frame', moves: 'no' });
    expect(lead({ path, wire: 'to = tool' })).toMatchObject({ leads: 'tool', moves: 'yes' });
    expect(lead({ path, wire: 'to = frame' })).toMatchObject({ leads: 'frame', moves: 'no' });
  });

  test('what is said otherwise than the path tells is an error', () => {
    const names = (wire: string) => lead({ wire }).found.filter((finding) => finding.includes('wire_leads_elsewhere'));
    expect(names('to = tool')).toHaveLength(1);
    expect(names('to = bed')).toEqual([]);
    expect(lead({ wire: 'to = tool' })).toMatchObject({ leads: 'bed' });
  });

  test('an exception stands: what is said of its moving comes before what follows', () => {
    expect(lead({ wire: 'moves = no' })).toMatchObject({ leads: 'bed', moves: 'no' });
  });

  test('the earth of what moves is bent with it', () => {
    const earth = `  wire earth_lead {
    area = 2.5 mm^2
    length = 900 mm
  }
`;
    const text = bench().replace('  circuit feed {', `${earth}  circuit feed {\n    earth = earth_lead\n   `);
    const machine = machineIn(text);
    expect([shown(machine, 'earth_lead.leads_to'), shown(machine, 'earth_lead.moves')]).toEqual(['bed', 'yes']);
  });
});

test('a wire to a bed that moves is as long as its travel asks, with nothing said of the wire', () => {
  const envelope = (length: string) =>
    bench({
      envelope:
        'envelope {\n    room = 420 mm x 480 mm x 420 mm\n    travel = 230 mm x 230 mm x 250 mm\n    tool = 60 mm x 80 mm x 70 mm\n  }',
    }).replace('length = 900 mm', `length = ${length}`);
  const found = (length: string) =>
    findingsOf(machineIn(envelope(length))).filter((each) => each.includes('too_short'));
  // Half of 230 mm, half as much again, and 100 mm: 272.5 mm.
  expect(shown(machineIn(envelope('1 m')), 'lead.least_length')).toBe('273 mm');
  expect(found('200 mm')).toHaveLength(1);
  expect(found('273 mm')).toEqual([]);
});

test('Heron without a word of how its wires move is judged as it was', () => {
  const folder = `${import.meta.dirname}/../../examples/`;
  const read = (name: string) => readFileSync(folder + name, 'utf8');
  const heron = read('heron.gusset').replace(/\n *held_at_both_ends = yes/g, '');
  expect(heron).not.toContain('moves = ');
  const machine = machineIn({ 'heron.gusset': heron, 'workshop-stock.gusset': read('workshop-stock.gusset') }, 'Heron');
  const loose = machine.assessment.findings.filter(({ rule }) => rule === 'moving_wire_not_held');
  expect(loose.map(({ instance }) => instance.label).toSorted()).toEqual([
    'bed_power.wire',
    'object_fan_power.wire',
    'sink_fan_power.wire',
    'tool_power.wire',
  ]);
});
