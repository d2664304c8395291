import { describe, expect, test } from 'vitest';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { boundsOf, type Kind, type Member } from '../../language/names/kind.ts';
import { literal } from '../../language/types/literal.ts';
import { mistakesIn } from '../support.ts';
import { library } from './fixtures.ts';

const { scope } = library;
const ctx = { scope, mode: 'kind', kind: undefined, report: () => {} } as const;

/** Every quantity of a kind that somebody gives, where it is declared. */
const given = scope.kinds().flatMap((kind: Kind) =>
  [...kind.members.values()].filter(({ owner, role, type }) => {
    const quantity = type.is === 'sides' ? type.of : type;
    return owner === kind && role !== 'derived' && quantity.is === 'quantity' && !quantity.money;
  }),
);

const pathOf = ({ owner, name }: Member) => `${owner.name}.${name}`;

function limits(member: Member): [low: number | undefined, high: number | undefined] {
  const range = boundsOf(member);
  return [literal(range?.left, ctx), literal(range?.right, ctx)];
}

test('each quantity of a kind has a least and a greatest that can be meant', () => {
  expect(given.length).toBeGreaterThan(500);
  const open = given.filter((member) => {
    const [low, high] = limits(member);
    return low === undefined || high === undefined || low >= high;
  });
  expect(open.map(pathOf)).toEqual([]);
});

/** What may be less than nothing, and why. */
const signed: Readonly<Record<string, string>> = {
  face: 'a fit has play, or is pressed',
  thread: 'a fit has play, or is pressed',
  hole_pattern: 'a fit has play, or is pressed',
  channel: 'a fit has play, or is pressed',
  'bed_probe.beside': 'to the one side or to the other',
  'bed_probe.face_above': 'a face may hang lower than the nozzle',
  'axis.drive_beside': 'to the one side or to the other',
  'axis.mass_beside': 'to the one side or to the other',
  'axis.mass_below': 'below its guides, or above them',
  'belt_drive.clamp_beside': 'to the one side or to the other',
  'belt_drive.out_of_plane': 'to the one side or to the other',
  'crossed_drive.other_longer': 'longer, or shorter',
  'guide.offset': 'to the one side or to the other',
  'guide.reach': 'to the one side or to the other',
  'space_taken.right': 'to the one side or to the other of what it is told from',
  'space_taken.behind': 'behind what it is told from, or before it',
  'space_taken.above': 'above what it is told from, or below it',
  'machine.altitude': 'there is land below the sea',
  'thermocouple_input.zero': 'an amplifier may shift its zero either way',
  ntc_curve: 'numbers of a fitted curve',
};
const bySign = new Set(['Temperature', 'TemperatureDifference', 'TemperatureCoefficient', 'ThermalExpansion', 'Angle']);

/** Sizes of which a side may be nothing, and why. */
const flat: Readonly<Record<string, string>> = {
  'bed_probe.beside': 'to the one side or to the other, or in line',
  'levelling.supports': 'supports may stand in a row',
};

test('each side of a size is more than nothing', () => {
  const sizes = given.filter(({ type }) => type.is === 'sides');
  expect(sizes.length).toBeGreaterThan(10);
  const found = sizes.filter((member) => (limits(member)[0] ?? 0) <= 0 && !flat[pathOf(member)]);
  expect(found.map(pathOf)).toEqual([]);
  expect(mistakesIn('machine M {\n  bed { plate { size = 0 mm x 200 mm } }\n}\n')).toContain(
    '2: size is meant to be between 10 mm and 10 m.',
  );
});

test('what cannot be less than nothing is not: lengths, masses, counts, resistances and the like', () => {
  const below = given.filter((member) => {
    const quantity = member.type.is === 'sides' ? member.type.of : member.type;
    const name = quantity.is === 'quantity' ? (quantity.named?.name ?? '') : '';
    const [low = 0] = limits(member);
    return !bySign.has(name) && low < 0 && !signed[pathOf(member)] && !signed[member.owner.name];
  });
  expect(below.map(pathOf)).toEqual([]);
});

test('each default that is written out lies within what can be meant', () => {
  const outside = given.filter((member) => {
    const [low = 0, high = 0] = limits(member);
    const value = literal((member.node as Entry).value, ctx);
    return value !== undefined && (value < low || value > high);
  });
  expect(outside.map(pathOf)).toEqual([]);
});

describe('what cannot be meant is told', () => {
  const machine = (inside: string) => `machine M {\n  ambient = 20 degC\n  ${inside}\n}\n`;
  test.each([
    ['a length below zero', 'wire w {\n    area = 1 mm^2\n    length = -1 m\n  }', 'length'],
    ['a travel of nothing', 'moving_bed motion {\n    x {\n      travel = 0 mm\n    }\n  }', 'travel'],
    ['a mass below zero', 'moving_bed motion {\n    carriage_mass = -1 kg\n  }', 'carriage_mass'],
    ['a side of a plate below zero', 'bed {\n    plate {\n      size = 200 mm x -200 mm\n    }\n  }', 'size'],
    ['mains of another world', 'mains = 2300 V', 'mains'],
    ['more light than a black body gives', 'bed {\n    plate {\n      emissivity = 2\n    }\n  }', 'emissivity'],
    ['a supply loaded beyond what it is rated to', 'supply s {\n    loaded_to = 150 %\n  }', 'loaded_to'],
    [
      'gears of a row that give more than they get',
      'extruder {\n    gear_train is planetary_train {\n      efficiency = 150 %\n    }\n  }',
      'efficiency',
    ],
  ])('%s', (_, inside, name) => {
    const told = mistakesIn(machine(inside)).filter((line) => line.includes(`${name} is meant to be between`));
    expect(told).toHaveLength(1);
  });

  test('a room as hot as an oven, and a range the wrong way round', () => {
    expect(mistakesIn('machine M {\n  ambient = 200 degC\n}\n').join()).toContain('ambient');
    expect(mistakesIn('machine M {\n  ambient = 30 degC .. 20 degC\n}\n')).not.toEqual([]);
  });

  test('their neighbours are not', () => {
    const fine = [
      'mains = 120 V',
      'altitude = -200 m',
      'moving_bed motion {\n    x {\n      travel = 100 mm\n    }\n  }',
    ];
    for (const inside of fine)
      expect(mistakesIn(machine(inside)).filter((line) => line.includes('is meant to be between'))).toEqual([]);
  });
});
