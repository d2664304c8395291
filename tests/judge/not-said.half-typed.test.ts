import { describe, expect, test } from 'vitest';
import { dueChecksOf } from '../../language/judge/commissioning.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import { findingsOf, machineIn, undecidedOf } from '../support.ts';
import { halfTyped } from './half-typed.ts';

// Machines as they are while they are typed: what is dangerous is found, what is missing is asked, and nothing passes as judged.

interface Half {
  readonly text: string;
  /** Rules that find something. */
  readonly found: readonly string[];
  /** What is asked, with rules about safety that wait. */
  readonly asked: readonly string[];
}

const halves: readonly (readonly [what: string, half: Half])[] = [
  [
    'a bed whose heater has no power yet, and that nothing feeds',
    {
      text: halfTyped('20 degC'),
      found: ['sensor_missing', 'heater_not_fed'],
      asked: ['bed.heater.power', 'psu.feed', 'board'],
    },
  ],
  [
    'a mat on mains with nothing but a wire',
    {
      text: `machine M {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a
  heater mat {
    power = 400 W
    voltage = 230 V
  }
  circuit mat_power {
    wire {
      area = 1 mm^2
    }
    path = [inlet, wire, mat]
  }
}
`,
      found: [
        'frame_without_earth',
        'load_without_earth',
        'mains_without_fuse',
        'mains_heater_without_cutoff',
        'mains_heater_without_residual_device',
      ],
      asked: ['mat_power.wire.length', 'mat.size', 'board'],
    },
  ],
  [
    'a hot end and an axis, in no circuit',
    {
      text: `machine M {
  ambient = 20 degC
  board controller is board_4_axis
  extruder {
    hot_end {
      target = 240 degC
      heat_block is small_block
      cartridge is cartridge_24v_40w
      sensor is ntc_100k
    }
  }
  moving_bed motion {
    x {
      travel = 200 mm
    }
  }
  fan sink_fan is fan_24v_30mm
}
`,
      found: ['hot_end_sensor_out_of_range'],
      asked: [
        'extruder.hot_end.cartridge.feed',
        'extruder.hot_end.heat_sink',
        'controller.feed',
        'sink_fan.feed',
        'motion.x.guide',
      ],
    },
  ],
];

describe.each(halves)('%s', (_, { text, found, asked }) => {
  const machine = machineIn(text);

  test('is found to be dangerous where it is', () => {
    const rules = findingsOf(machine).map((line) => line.replace(/:.*/s, ''));
    expect(rules).toEqual(expect.arrayContaining([...found]));
  });

  test('is asked for what safety waits for', () => {
    const list = machine.assessment.notSaid.filter(({ safety }) => safety > 0).map(pathOfNotSaid);
    expect(list).toEqual(expect.arrayContaining([...asked]));
  });

  test('is not judged by what it lacks: every rule that is undecided is named by something that is asked', () => {
    expect(undecidedOf(machine).length).toBeGreaterThan(0);
    const waiting = machine.assessment.notSaid.flatMap(({ undecided }) => undecided.map(({ rule }) => rule.name));
    expect(machine.assessment.undecided.filter(({ rule }) => !waiting.includes(rule)).map(({ rule }) => rule)).toEqual(
      [],
    );
  });
});

test('what a heat sink, a box, a drive and an axis lack is asked, and is not where it is said', () => {
  const asked = (lines: Readonly<Record<'sink' | 'box' | 'drive', string>>) =>
    machineIn(`machine M {
  ambient = 20 degC
  box electronics {
    ${lines.box}
  }
  fan sink_fan is fan_24v_30mm
  extruder {
    hot_end {
      heat_sink {
        ${lines.sink}
      }
    }
  }
  moving_bed motion {
    x {
      belt_drive {
        ${lines.drive}
      }
    }
  }
}
`).assessment.notSaid.map(pathOfNotSaid);
  const all = [
    'extruder.hot_end.heat_sink.fan',
    'extruder.hot_end.heat_sink.holder_limit',
    'electronics.size',
    'motion.x.belt_drive.belt',
  ];
  expect(asked({ sink: '', box: '', drive: '' })).toEqual(expect.arrayContaining(all));
  const said = asked({
    sink: 'fan = sink_fan\n        no holder_limit',
    box: 'rise = 10 K\n    no size',
    drive: 'belt is belt_2mm_6',
  });
  expect(said.filter((path) => all.includes(path))).toEqual([]);
});

test('a screw without a motor of its own is asked for, until it is said that a belt joins all of them', () => {
  const asked = (lines: string) =>
    machineIn(`machine M {
  moving_bed motion {
    z {
      screw_drive drive {
        ${lines}
      }
    }
  }
}
`).assessment.notSaid.map(pathOfNotSaid);
  const path = 'motion.z.drive.screws_joined';
  const two = 'motor left is nema17_40mm\n        motor right is nema17_40mm\n        ';
  expect(asked(`${two}screw * 3 is screw_8x2`)).toContain(path);
  expect(asked(`${two}screw * 1 is screw_8x2`)).toContain(path);
  expect(asked(`${two}screw * 3 is screw_8x2\n        screws_joined = yes`)).not.toContain(path);
  expect(asked(`${two}screw * 2 is screw_8x2`)).not.toContain(path);
  expect(asked(two)).toContain('motion.z.drive.screws');
});

test('what a heater is made of is asked, since how hot it may get rests on it', () => {
  const asked = (lines: string) =>
    machineIn(`machine M {\n  bed {\n    heater {\n      power = 80 W\n      ${lines}\n    }\n  }\n}\n`)
      .assessment.notSaid.filter(({ safety }) => safety > 0)
      .map(pathOfNotSaid);
  expect(asked('')).toContain('bed.heater.material');
  expect(asked('material = circuit_board')).not.toContain('bed.heater.material');
});

test('what a controller believes is to be set, though one end alone of it is said', () => {
  const checks = (lines: string) =>
    dueChecksOf(
      machineIn(`machine M {
  ambient = 20 degC
  board controller is board_4_axis {
    sensor_input bed_input {
      ${lines}
    }
  }
  bed {
    target = 60 degC
    sensor is ntc_100k { input = controller.bed_input }
  }
}
`),
    ).flatMap(({ instance, how }) => (instance.name === 'bed_input' ? [how.replace(/\. .*/s, '')] : []));
  const says = (what: string) => [`Set the controller so that it switches off at a reading of bed.sensor ${what}`];
  expect(checks('no highest_plausible')).toEqual(says('below 0 °C'));
  expect(checks('no lowest_plausible')).toEqual(says('above 80 °C'));
  expect(checks('')).toEqual(says('below 0 °C or above 80 °C'));
  expect(checks('no lowest_plausible\n      no highest_plausible')).toEqual([]);
});

test('what holds a loose surface down is asked, and not of one that sticks by itself', () => {
  const asked = (lines: string) =>
    machineIn(`machine M {\n  bed {\n    ${lines}\n  }\n}\n`).assessment.notSaid.map(pathOfNotSaid);
  const path = 'bed.surface.held_by';
  expect(asked('surface is pei_steel_sheet')).toContain(path);
  expect(asked('surface is pei_steel_sheet { held_by = clips }')).not.toContain(path);
  expect(asked('surface is pei_steel_sheet\n    magnets is neodymium_sh')).not.toContain(path);
  expect(asked('surface is pei_film')).not.toContain(path);
});

test('what sits in a box is asked where nothing does, however that is said', () => {
  const asked = (inside: string, psu = '') =>
    machineIn(
      `machine M {\n  ambient = 20 degC\n  box {\n    rise = 10 K\n${inside}  }\n  supply psu is supply_24v_150w {\n${psu}  }\n}\n`,
    )
      .assessment.notSaid.map(({ question }) => question)
      .includes('What sits in it?');
  expect(asked('')).toBe(true);
  expect(asked('    contents = [psu]\n')).toBe(false);
  expect(asked('', '    place = box\n')).toBe(false);
});
