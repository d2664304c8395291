import { describe, expect, test } from 'vitest';
import { completion } from '../../server/features/completion.ts';
import { Workspace } from '../../server/workspace.ts';
import { bench } from '../support.ts';

const workspace = new Workspace(() => undefined);
const uri = 'file:///a.gusset';

/** What an editor lists where `<|>` stands: what begins with what is typed, the best first. */
function proposed(marked: string): string[] {
  const offset = marked.indexOf('<|>');
  workspace.open(uri, marked.replace('<|>', ''));
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  const [typed = ''] = /[\p{L}_][\p{L}\p{N}_]*$/u.exec(marked.slice(0, offset)) ?? [];
  const { items } = completion(file, file.lines.position(offset), workspace);
  return items.map(({ label }) => label).filter((label) => label.startsWith(typed));
}

/** A machine without one of its lines, and with another in its place. */
const instead = (line: string, by: string) =>
  bench.replace(new RegExp(`\\n *${line.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}`), `\n${by}`);
/** A line more behind another. */
const behind = (line: string, more: string) => bench.replace(line, `${line}\n${more}`);
const motion = (text: string) => `machine M {\n  motion is moving_bed {\n${text}\n  }\n}\n`;
const axis = (text: string) => motion(`    axis x {\n${text}\n    }`);
const extruder = (text: string) => `machine M {\n  extruder {\n${text}\n  }\n}\n`;

/** Places in half-written files, each with what its writer most likely wants next. */
const places: readonly [what: string, text: string, wanted: string][] = [
  ['an empty file', '<|>', 'machine'],
  ['a word begun in an empty file', 'mach<|>', 'machine'],
  ['a line below a machine', `${bench}\n<|>`, 'machine'],
  ['what a variant starts from', `${bench}\nmachine Other is <|>`, 'Bench'],
  ['an empty machine', 'machine M {\n  <|>\n}\n', 'ambient'],
  ['a machine with what it heats, without what it moves', behind('mains = 230 V', '  <|>'), 'extruder'],
  ['a supply, what it is', 'machine M {\n  supply psu is <|>\n}\n', 'supply_24v_350w'],
  ['a supply, half its name', 'machine M {\n  supply psu is supply_24v_4<|>\n}\n', 'supply_24v_450w'],
  ['the mains voltage', 'machine M {\n  mains = <|>\n}\n', '230 V'],
  ['the unit of the mains voltage', 'machine M {\n  mains = 230 <|>\n}\n', 'V'],
  ['the unit of the room', 'machine M {\n  ambient = 20 <|>\n}\n', 'degC'],
  ['an empty bed', 'machine M {\n  bed {\n    <|>\n  }\n}\n', 'target'],
  ['a bed with a target', 'machine M {\n  bed {\n    target = 100 degC\n    <|>\n  }\n}\n', 'plate'],
  ['what is not given of a bed', instead('target = 100 degC', '    <|>'), 'target'],
  ['a bed without its heater', bench.replace(/\n {4}heater \{[^}]*\}/, '\n    <|>'), 'heater'],
  ['a bed without its cutoff', instead('cutoff is thermal_link_133c', '    <|>'), 'cutoff'],
  ['the part of a sensor', instead('sensor is ntc_100k', '    sensor is <|>'), 'ntc_100k'],
  ['an empty plate', 'machine M {\n  bed {\n    plate {\n      <|>\n    }\n  }\n}\n', 'size'],
  ['a plate with a size', instead('thickness = 3 mm', '      <|>'), 'thickness'],
  ['a plate without its material', instead('material = cast_aluminium', '      <|>'), 'material'],
  ['the material of a plate', instead('material = cast_aluminium', '      material = <|>'), 'cast_aluminium'],
  ['the unit of a plate', instead('thickness = 3 mm', '      thickness = 3 <|>'), 'mm'],
  ['an empty heater', bench.replace(/heater \{[^}]*\}/, 'heater {\n      <|>\n    }'), 'power'],
  ['a heater without its voltage', instead('voltage = 24 V', '      <|>'), 'voltage'],
  ['the unit of a power', instead('power = 250 W', '      power = 250 <|>'), 'W'],
  ['an empty circuit', 'machine M {\n  circuit heat {\n    <|>\n  }\n}\n', 'path'],
  ['a circuit without its fuse', instead('fuse is blade_15a', '    <|>'), 'fuse'],
  ['the part of a fuse, its size begun', instead('fuse is blade_15a', '    fuse is blade_1<|>'), 'blade_15a'],
  ['an empty wire', bench.replace(/wire \{[^}]*\}/, 'wire {\n      <|>\n    }'), 'length'],
  ['a wire without its area', instead('area = 2.5 mm^2', '      <|>'), 'area'],
  ['the size of a wire', instead('area = 2.5 mm^2', '      area = <|>'), '2.5 mm^2'],
  ['the place of a wire', instead('place = bed', '      place = <|>'), 'bed'],
  ['the start of a path', instead('path = [psu, fuse, wire, bed.cutoff, bed.heater]', '    path = [<|>]'), 'psu'],
  [
    'a path behind its supply',
    instead('path = [psu, fuse, wire, bed.cutoff, bed.heater]', '    path = [psu, <|>]'),
    'fuse',
  ],
  [
    'a path behind a wire',
    instead('path = [psu, fuse, wire, bed.cutoff, bed.heater]', '    path = [psu, fuse, wire, <|>]'),
    'bed.cutoff',
  ],
  ['an empty motion', motion('    <|>'), 'x'],
  ['an empty axis', axis('      <|>'), 'travel'],
  ['an extruder', extruder('    <|>'), 'hot_end'],
  ['behind the point of a block', `${bench.replace(/\}\n$/, '')}  require bed.<|>\n}\n`, 'power_to_hold'],
  [
    'behind the point of a heater',
    `${bench.replace(/\}\n$/, '')}  require bed.heater.<|> <= 12 A\n}\n`,
    'label_current',
  ],
  ['what is required', `${bench.replace(/\}\n$/, '')}  req<|>\n}\n`, 'require'],
];

describe('where a file is half written, what is wanted is among the first three', () => {
  test('at forty places', () => {
    expect(places.length).toBeGreaterThanOrEqual(40);
  });

  test.each(places)('%s', (_, text, wanted) => {
    expect(proposed(text).slice(0, 3)).toContain(wanted);
  });
});
