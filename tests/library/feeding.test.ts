import { describe, expect, test } from 'vitest';
import { machineStanding } from '../../server/features/code-lens.ts';
import { open } from './fixtures.ts';

// What is not connected is a finding where the machine says how it is fed; where it says nothing of that yet, it is not judged, and
// named: nothing is found only beside what was not judged.

const bed = `bed {
  target = 60 degC
  plate {
    size = 230 mm x 230 mm
    thickness = 3 mm
    material = cast_aluminium
  }
  heater pad {
    power = 150 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  sensor is ntc_100k
}`;
const inlet = 'inlet is inlet_10a\n';
const axis = (name: string) => `axis ${name} { drive { motor is nema17_40mm } }\n`;
const motion = `motion {\n${axis('x')}${axis('y')}}\n`;

/** What a machine with this in it finds of what is not connected, and what it does not judge for want of what. */
function connected(text: string): string[] {
  const { project, file } = open(`machine Bench {\n  ambient = 20 degC\n${text}\n}\n`);
  expect(project.mistakes(file).filter((m) => m.severity === 'error')).toEqual([]);
  const rules = ['heater_not_fed', 'supply_not_fed', 'fuse_in_no_path', 'motors_without_drivers'];
  return project.machines(file).flatMap((machine) => {
    const { findings, undecided } = machine.assessment;
    const waiting = undecided.filter(({ rule }) => rules.includes(rule));
    if (waiting.length > 0)
      expect(machineStanding(machine)).toMatch(/\d+ rules? (undecided|could not be judged, for want of )/);
    return [
      ...findings.flatMap((f) => [f, ...f.consequences]).flatMap(({ rule }) => (rules.includes(rule) ? [rule] : [])),
      ...waiting.flatMap(({ missing }) => missing.map((name) => `without ${name}`)),
    ];
  });
}

describe('what is not connected is found or named', () => {
  test.each<[string, string, string[]]>([
    ['a bed, and nothing of its electrics', bed, ['without bed.pad.feed']],
    ['a bed beside a supply', `${bed}\nsupply psu is desktop_supply_24v_120w\n`, ['heater_not_fed']],
    [
      'a hot end, and nothing of its electrics',
      'extruder {\n hot_end {\n cartridge {\n power = 40 W\n voltage = 24 V\n }\n }\n}\n',
      ['without extruder.hot_end.cartridge.feed'],
    ],
    [
      'the heater of a chamber, and nothing of its electrics',
      'chamber {\n heater { power = 200 W\n voltage = 230 V\n }\n}\n',
      ['without chamber.heater.feed'],
    ],
    ['a heater in the open', 'heater mat { power = 750 W\n voltage = 230 V\n }\n', ['heater_not_fed']],
    ['a supply without an inlet', 'supply psu is supply_24v_450w\n', ['without psu.feed']],
    ['a supply beside an inlet', `${inlet}supply psu is supply_24v_450w\n`, ['supply_not_fed']],
    ['a supply with a plug of its own', 'supply psu is desktop_supply_24v_120w\n', []],
    ['a supply with a plug of its own beside an inlet', `${inlet}supply psu is desktop_supply_24v_120w\n`, []],
    ['a supply fed by the inlet', `${inlet}supply psu is supply_24v_450w\ncircuit a { path = [inlet, psu] }\n`, []],
    [
      'motors, and nothing of what drives them',
      motion,
      ['without motion.x.drive.motor.driver', 'without motion.y.drive.motor.driver'],
    ],
    [
      'motors beside a circuit',
      `${inlet}supply psu is supply_24v_450w\ncircuit a { path = [inlet, psu] }\n${motion}`,
      ['motors_without_drivers'],
    ],
    ['motors and a board', `${motion}board controller is board_5_axis\n`, []],
  ])('%s', (_, text, found) => {
    expect(connected(text)).toEqual(found);
  });
});
