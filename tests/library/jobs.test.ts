import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { sheetOf } from '../../language/answers/sheet.ts';
import { open } from './fixtures.ts';
import { textsIn, valuesIn } from './values.ts';

/** The example in a room of 25 °C, with what prints something told in steps that are easily counted. */
const petrel = readFileSync(new URL('../../examples/petrel.gusset', import.meta.url), 'utf8')
  .replace(/ambient = .*/, 'ambient = 25 degC')
  .replaceAll(/^ *require .*\n/gm, '');

const text = `${petrel}
machine Printing is Petrel {
  budget {
    kilowatt_hour = 0.25 EUR
  }
  job cup {
    volume = 60 cm^3
    height = 90 mm
  }
  job same_cup {
    mass = 60 cm^3 * extruder.filament.density
    height = 90 mm
    line_length = 1 mm
  }
  job quick {
    volume = 60 cm^3
    height = 20 mm
    bead_speed = 1 m/s
    line_length = 100 mm
    lines_in_a_row = 100000
  }
  job thread_of_plastic {
    volume = 100 mm^3
    height = 20 mm
    waste = 0
  }
}
machine Unsaid is Petrel {
  job something { height = 10 mm }
}
`;
const { project, file } = open(text);
const machine = project.machines(file).find(({ tree }) => tree.name === 'Printing');
if (!machine) throw new Error('the text has no such machine');
const value = valuesIn(machine);

/** Time on a line between two corners, by small steps of speed: up to the wanted one, no faster than it can still slow down. */
function stepped(length: number, speed: number, acceleration: number, corner: number): number {
  const step = 1e-6;
  let [way, time, v] = [0, 0, Math.min(corner, speed)];
  const end = v;
  while (way < length) {
    const slowing = (v * v - end * end) / (2 * acceleration);
    v = length - way <= slowing ? Math.max(v - acceleration * step, 1e-4) : Math.min(v + acceleration * step, speed);
    way += v * step;
    time += step;
  }
  return time;
}

test('lines take as long as the axes need from corner to corner, as steps of speed tell', () => {
  const job = (name: string, what: string) => value(`${name}.${what}`);
  const acceleration = value('moving_bed.lowest_acceleration');
  for (const [name, length] of [
    ['cup', 0.015],
    ['same_cup', 0.001],
    ['quick', 0.1],
  ] as const) {
    const lines = job(name, 'line_way') / length;
    const each = stepped(length, job(name, 'line_speed'), acceleration, value('moving_bed.corner_speed'));
    expect(job(name, 'laying_time') / lines / each, name).toBeCloseTo(1, 2);
  }
  expect(value('moving_bed.lowest_speed')).toBe(
    Math.min(value('moving_bed.x.wanted_speed'), value('moving_bed.y.wanted_speed')),
  );
});

test('what is laid takes filament by its volume, whether that or its mass is said', () => {
  // A strand of 1.75 mm: 60 cm^3 and 3 % more by 2.405 mm^2 are 25.69 m (A = pi d^2 / 4).
  expect(value('cup.filament_length')).toBeCloseTo((60e-6 * 1.03) / ((Math.PI / 4) * 0.00175 ** 2), 6);
  // Data sheets of PETG: 1.27 g/cm^3 (from memory); 61.8 cm^3 of it weigh 78.5 g.
  expect(value('cup.filament_mass')).toBeCloseTo(0.0785, 4);
  expect(value('same_cup.laid')).toBeCloseTo(value('cup.laid'), 12);
  // A bead of b by h whose edges are round: (b - h) h + pi h^2 / 4.
  const [b, h] = [value('cup.bead_width'), value('cup.layer_height')];
  expect(value('cup.line_way') * ((b - h) * h + (Math.PI * h * h) / 4)).toBeCloseTo(value('cup.laid'), 9);
});

test('what sets the time is said: speed, melting, corners, or layers that must cool', () => {
  const words = textsIn(machine);
  expect(words('cup.limited_by')).toBe('the speed that is asked for');
  expect(words('same_cup.limited_by')).toContain('corners');
  expect(words('quick.limited_by')).toBe('how fast filament melts');
  expect(value('quick.line_speed')).toBeCloseTo(value('extruder.melt_flow_limit') / value('quick.bead_area'), 9);
  expect(words('thread_of_plastic.limited_by')).toContain('cool');
  expect(value('thread_of_plastic.layer_time')).toBe(value('thread_of_plastic.least_layer_time'));
});

test('its energy is that of warming and of printing, and its cost that by the kilowatt-hour', () => {
  const printing = value('cup.print_time') - value('cup.warming_time');
  expect(printing).toBeCloseTo(value('cup.layers') * value('cup.layer_time'), 6);
  expect(value('cup.layers')).toBe(Math.ceil(0.09 / value('cup.layer_height') - 1e-3));
  // First law: what is taken while it prints, and less than full power for as long as it warms.
  const atWork = value('budget.power_at_work') * printing;
  const full =
    (value('bed.heater_power_at_target') + value('extruder.hot_end.cartridge.power') + value('budget.other_power')) /
    value('budget.conversion');
  expect(value('cup.energy')).toBeGreaterThan(atWork + 0.3 * full * value('cup.warming_time'));
  expect(value('cup.energy')).toBeLessThan(atWork + full * value('cup.warming_time'));
  const shown = sheetOf(machine).sections.find(({ heading }) => heading === 'Jobs');
  const [table] = shown?.parts ?? [];
  const cost = table?.is === 'table' ? (table.rows[0]?.texts[table.heading.indexOf('energy cost')] ?? '') : '';
  // So many joules are a kilowatt-hour: 3.6 million (SI Brochure, table 8).
  expect(Number.parseFloat(cost)).toBeCloseTo((value('cup.energy') / 3.6e6) * 0.25, 2);
});

test('a job of which neither volume nor mass is said asks for it, and tells no time', () => {
  const unsaid = project.machines(file).find(({ tree }) => tree.name === 'Unsaid');
  const asked = unsaid?.assessment.notSaid.map(({ question }) => question).join('\n');
  expect(asked).toContain('How much is laid: its `volume`, or its `mass`?');
  expect(asked).toContain('What does the machine take from the mains?');
  const rows = unsaid && sheetOf(unsaid).sections.find(({ heading }) => heading === 'Jobs')?.parts[0];
  const time = rows?.is === 'rows' && rows.rows.find(({ label }) => label === 'print time')?.shown;
  expect(time).toBe('not known: something.mass is not given');
});

test('on a delta a job lies within the circle that the nozzle reaches, and not within the square around it', () => {
  const found = (size: string) => {
    const delta = `machine D {
  ambient = 20 degC
  delta motion {
    print_radius = 100 mm
    print_height = 180 mm
  }
  envelope {
    travel = motion.travels
    bed = 240 mm x 240 mm
    print_area = 200 mm x 200 mm
  }
  job ring {
    height = 30 mm
    size = ${size}
  }
}
`;
    const { project, file } = open(delta);
    const [machine] = project.machines(file);
    return machine?.assessment.findings.filter(({ rule }) => rule === 'print_too_wide').map(({ message }) => message);
  };
  // Pythagoras: 120 and 160 are 200 from corner to corner, 160 and 150 are 219.
  expect(found('120 mm x 160 mm')).toEqual([]);
  expect(found('160 mm x 150 mm')?.join()).toContain(
    'within a circle of 200 mm, and from corner to corner it is 219 mm',
  );
  expect(found('210 mm x 10 mm')).toHaveLength(1);
});

test('what takes more than the smallest spools hold asks how much is on its spool, where nothing is said of one', () => {
  const asked = (job: string, more = '') => {
    const { project, file } = open(`${petrel}
machine Asked is Petrel {
  budget {}
  job cup {
    ${job}
    height = 20 mm
    size = 40 mm x 40 mm
  }${more}
}
`);
    const machine = project.machines(file).find(({ tree }) => tree.name === 'Asked');
    return machine?.assessment.notSaid.filter(({ question }) => question.includes('on its spool')).length;
  };
  expect(asked('mass = 300 g')).toBe(1);
  // Common practice: the smallest spools that are sold hold 250 g.
  expect(asked('mass = 240 g')).toBe(0);
  expect(asked('mass = 300 g', '\n  extruder {\n    spool\n  }')).toBe(0);
});
