import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import type { Machine } from '../../language/compute/machine.ts';
import { writeValue } from '../../language/judge/edit.ts';
import { Instance } from '../../language/machine/tree.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { library, open } from './fixtures.ts';

// What is proposed where a material is open is what a builder would take for it. Common practice, no source, but for the names.

const text = `machine Bench {
  ambient = 15 degC .. 30 degC
  bed is bed_150_24v {
    magnets is samarium_cobalt
    surface is pei_steel_sheet { size = 150 mm x 150 mm }
  }
  extruder is extruder_24v_40w { filament = pla }
  box is steel_box
}
`;

/** What may stand in each of these places, and nothing else. */
const meant: Readonly<Record<string, readonly string[]>> = {
  'bed.plate': [
    'aluminium',
    'anodised_aluminium',
    'cast_aluminium',
    'stainless_steel',
    'borosilicate_glass',
    'window_glass',
  ],
  'bed.surface': [
    'polyetherimide',
    'polyester',
    'polyimide',
    'polypropylene',
    'circuit_board',
    'spring_steel',
    'borosilicate_glass',
    'window_glass',
  ],
  'bed.insulation': ['silicone_foam', 'mineral_wool', 'cork', 'polyurethane_foam'],
  'bed.magnets': ['ferrite', 'ferrite_rubber', 'neodymium', 'samarium_cobalt_alloy'],
  'bed.adhesive': ['silicone_rubber', 'epoxy', 'acrylic'],
  'bed.heater': ['silicone_rubber', 'polyimide', 'circuit_board', 'mica'],
  'extruder.hot_end.nozzle': ['brass', 'copper', 'stainless_steel', 'hardened_steel'],
  'extruder.hot_end.heat_block': ['aluminium_for_blocks', 'aluminium', 'copper', 'brass'],
  'extruder.hot_end.heat_sink': ['aluminium', 'anodised_aluminium', 'copper'],
  'extruder.hot_end.sleeve': ['silicone_rubber', 'mineral_wool'],
  'extruder.hot_end.heat_break.neck': ['stainless_steel', 'titanium_alloy', 'hardened_steel', 'copper'],
  'extruder.hot_end.heat_break.collar': ['stainless_steel', 'titanium_alloy', 'hardened_steel', 'copper'],
  'box.wall': [
    'painted_steel',
    'stainless_steel',
    'aluminium',
    'anodised_aluminium',
    'acrylic',
    'polycarbonate_sheet',
    'plywood',
    'window_glass',
    'silicone_foam',
    'mineral_wool',
    'cork',
    'polyurethane_foam',
  ],
};

/** The machine, and the blocks of it that say what they are made of. */
function made(): { machine: Machine; blocks: Instance[] } {
  const { project, file } = open(text);
  const [machine] = project.machines(file);
  if (!machine) throw new Error('there is no machine');
  const isMade = (each: Instance) => {
    const cell = cellOf(each, 'material');
    return cell !== undefined && machine.engine.value(cell) instanceof Instance;
  };
  return { machine, blocks: machine.tree.all().filter(isMade) };
}

const { machine, blocks } = made();

test('the example has all that is made of something, as far as the table knows it', () => {
  expect(blocks.map(({ label }) => label).toSorted()).toEqual(Object.keys(meant).toSorted());
});

describe('an open material is one of those that are meant for it', () => {
  test.each(blocks.map((block) => [block.label, block] as const))('%s', (label, block) => {
    const opened = open(withEdits([writeValue(block, 'material', '?', machine.entry)], text));
    const choices = opened.project.machines(opened.file).flatMap((each) => each.choices);
    expect(choices).toHaveLength(1);
    const all = choices.flatMap(({ candidates }) => candidates.map((each) => each.text));
    const names = meant[label] ?? [];
    expect(all.toSorted()).toEqual(names.toSorted());
    const told = choices.flatMap(({ proposed, nearest, ties }) => [proposed, nearest, ...ties]);
    for (const each of told) if (each) expect(names).toContain(each.text);
  });
});

test('each value of the library that is a material says what it can be, unless each kind that has it says so', () => {
  const unsaid = library.scope.kinds().flatMap((kind) => {
    const member = kind.members.get('material');
    const isMaterial = member?.type.is === 'instance' && member.type.kind?.name === 'material';
    return isMaterial && member.sizes.length === 0 ? [kind.name] : [];
  });
  expect(unsaid).toEqual(['layer']);
});

test('what a builder declares is proposed as well', () => {
  const own =
    'part ship_plate is material {\n  density = 2660 kg/m^3\n  specific_heat = 900 J/(kg*K)\n  conductivity = 125 W/(m*K)\n}\n';
  const plate = blocks.find(({ label }) => label === 'bed.plate') as Instance;
  const opened = open(own + withEdits([writeValue(plate, 'material', '?', machine.entry)], text));
  const [choice] = opened.project.machines(opened.file).flatMap((each) => each.choices);
  expect(choice?.candidates.map((each) => each.text)).toContain('ship_plate');
  expect(choice?.candidates.map((each) => each.text)).not.toContain('mineral_wool');
});
