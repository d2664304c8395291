import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { dueChecksOf } from '../../language/judge/commissioning.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
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

describe('a wire of no stated length', () => {
  const room = `envelope {
    room = 420 mm x 480 mm x 420 mm
    travel = 230 mm x 230 mm x 250 mm
    tool = 60 mm x 80 mm x 70 mm
  }`;
  const without = (more: Parameters<typeof bench>[0]) => machineIn(bench(more).replace('length = 900 mm', ''));
  const asked = (machine: ReturnType<typeof without>) => machine.assessment.notSaid.map(pathOfNotSaid);

  test('is cut as long as it has to be where it bends, and 200 mm more, which is shown as a default', () => {
    const machine = without({ envelope: room });
    // 272.5 mm, as above, and the slack.
    expect(shown(machine, 'lead.length')).toBe('473 mm');
    expect(cellOf(machine.tree.children.get('lead'), 'length')?.origin).toBe('default');
    expect(asked(machine)).not.toContain('lead.length');
    expect(shown(without({ envelope: room, wire: 'slack = 500 mm' }), 'lead.length')).toBe('773 mm');
  });

  test('is asked for by its own name where it stands still, or no room is said', () => {
    const still = without({ envelope: room, motion: 'motion { bed_moves = not_at_all }' });
    const nowhere = without({});
    for (const machine of [still, nowhere]) {
      expect(asked(machine).filter((each) => each.startsWith('lead.'))).toEqual(['lead.length']);
      expect(machine.assessment.undecided.map(({ rule }) => rule)).toContain('voltage_drop_too_high');
    }
  });
});

describe('the hottest place on its way', () => {
  const capacity = (more: { wire?: string; target: number }) =>
    machineIn(bench(more).replace('target = 60 degC', `target = ${more.target} degC`));
  const found = (machine: ReturnType<typeof capacity>) =>
    findingsOf(machine).filter((each) => each.includes('wire_overloaded'));

  // IEC 60204-1, table 6, column B2: 2.5 mm^2 carries 17.4 A at 40 degC with insulation for 70 degC; table D.1 has 0.58 at 60 degC.
  test('is what its current is judged by: 17.4 A in the cool, 0.58 of it where it ends at a bed of 60 °C', () => {
    expect(shown(capacity({ target: 40 }), 'lead.capacity')).toBe('17.4 A');
    expect(shown(capacity({ target: 60 }), 'lead.capacity')).toBe('10 A');
    expect(found(capacity({ target: 60 }))).toEqual([]);
  });

  test('makes a wire too thin there that is thick enough in the cool', () => {
    expect(found(capacity({ target: 64 }))).toHaveLength(1);
    expect(found(capacity({ target: 64, wire: 'insulation = silicone' }))).toEqual([]);
    expect(found(capacity({ target: 40 }))).toEqual([]);
  });
});

describe('what bends', () => {
  test('is clamped at both ends where nothing else is said, and that is to be looked at before power', () => {
    const machine = machineIn(bench());
    expect(findingsOf(machine).filter((each) => each.includes('not_held'))).toEqual([]);
    const clamped = dueChecksOf(machine).filter(({ check }) => check.name === 'clamped');
    expect(clamped.map(({ instance }) => instance.label)).toEqual(['lead']);
  });

  test('is found where it is said to hang free', () => {
    expect(
      lead({ wire: 'held_at_both_ends = no' }).found.filter((each) => each.includes('moving_wire_not_held')),
    ).toHaveLength(1);
    expect(
      dueChecksOf(machineIn(bench({ wire: 'held_at_both_ends = no' }))).map(({ check }) => check.name),
    ).not.toContain('clamped');
  });

  test('on mains must be said to be held', () => {
    const mains = bench()
      .replace('supply psu', 'mains = 230 V\n  inlet inlet is inlet_10a\n  supply psu')
      .replace('psu, blade, lead', 'inlet, blade, lead');
    expect(findingsOf(machineIn(mains)).filter((each) => each.includes('mains_wire_not_held'))).toHaveLength(1);
  });
});
