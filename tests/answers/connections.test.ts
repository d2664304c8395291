// The list of connections: each conductor of each wire from terminal to terminal, once.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { connectionsOf } from '../../language/answers/connections.ts';
import { machineIn, read } from '../support.ts';

const rows = (text: string) =>
  connectionsOf(machineIn(text)).map(({ from, to, wire, colour }) => [from, to, wire, colour].join(' | '));
const parts = `  inlet is inlet_10a
  supply psu is supply_24v_350w
  board controller is board_5_axis
  heater pad {
    voltage = 24 V
    power = 40 W
  }
`;

describe('connections', () => {
  test('lead out to the load and back to the source, through what opens both conductors, and to the earth', () => {
    expect(
      rows(`machine M {
${parts}  wire bond { area = 1 mm^2 length = 1 m }
  circuit mains {
    switch is rocker_double_pole_10a
    fuse is cartridge_5a
    wire { area = 1 mm^2 length = 1 m }
    path = [inlet, switch, fuse, wire, psu]
    earth = bond
  }
}`),
    ).toEqual([
      'inlet L | mains.switch |  | ',
      'mains.switch | mains.fuse |  | ',
      'mains.fuse | psu L | mains.wire | brown',
      'psu N | mains.switch | mains.wire | blue',
      'mains.switch | inlet N |  | ',
      'psu earth | inlet earth | bond | green yellow',
    ]);
  });

  test('say how each end of a wire is made, on the way out and on the way back by what it meets there', () => {
    const list = connectionsOf(
      machineIn(`machine M {
${parts}  connector plug is crimp_2_5mm
  circuit warm {
    fuse is blade_15a
    wire { area = 1 mm^2 length = 1 m }
    path = [psu, fuse, wire, plug, pad]
  }
}`),
    );
    const ends = list.flatMap(({ wire, from, to, ends }) => (wire ? [[from, ends[0], to, ends[1]]] : []));
    const asked = 'as its terminal asks: crimped or soldered';
    expect(ends).toEqual([
      ['warm.fuse', 'crimped, at its holder', 'plug:1', 'crimped contact'],
      ['plug:2', 'crimped contact', 'psu −', asked],
    ]);
    expect(list.filter(({ wire }) => !wire).every(({ ends }) => ends.join('') === '')).toBe(true);
  });

  test('a wire that is joined to another has that one’s end as its own', () => {
    const list = rows(`machine M {
${parts}  circuit warm {
    fuse is blade_15a
    wire near { area = 1 mm^2 length = 1 m }
    wire far { area = 1 mm^2 length = 1 m }
    path = [psu, fuse, near, far, pad]
  }
}`);
    expect(list.filter((row) => row.includes('the end of'))).toEqual([
      'warm.fuse | the end of warm.far | warm.near | red',
      'the end of warm.near | pad + | warm.far | red',
      'pad − | the end of warm.near | warm.far | white',
      'the end of warm.far | psu − | warm.near | white',
    ]);
  });

  test('a circuit behind an output begins there with both of its conductors; what feeds the board is told once', () => {
    expect(
      rows(`machine M {
${parts}  circuit feed {
    fuse is blade_15a
    wire { area = 2.5 mm^2 length = 1 m }
    path = [psu, fuse, wire, controller]
  }
  circuit warm {
    wire { area = 1 mm^2 length = 1 m }
    path = [controller.bed_output, wire, pad]
  }
}`),
    ).toEqual([
      'psu + | feed.fuse |  | ',
      'feed.fuse | controller + | feed.wire | red',
      'controller − | psu − | feed.wire | white',
      'controller.bed_output + | pad + | warm.wire | red',
      'pad − | controller.bed_output − | warm.wire | white',
    ]);
  });

  test('a way back of its own is another wire, whose one conductor has its own colour', () => {
    const list = rows(`machine M {
${parts}  wire out { area = 1 mm^2 length = 1 m }
  wire home { area = 1 mm^2 length = 1 m }
  circuit warm {
    path = [psu, out, pad]
    way_back = [home]
  }
}`);
    expect(list).toEqual(['psu + | pad + | out | red', 'pad − | psu − | home | white']);
  });

  test('leads of motors, sensors and switches go to their terminals', () => {
    const text = `machine M {
  board controller is board_5_axis {
    driver x_driver { drives = [turner] }
  }
  limit_switch stop { input = controller.x_input }
  motor turner is nema17_40mm
}`;
    const list = rows(text);
    expect(list.filter((row) => row.includes('stop'))).toEqual([
      'controller.x_input:1 | stop:1 |  | ',
      'controller.x_input:2 | stop:2 |  | ',
    ]);
    // The two coils of a stepping motor, A and B: common practice, no source.
    expect(list.filter((row) => row.includes('turner'))).toEqual(
      ['A+', 'A−', 'B+', 'B−'].map((pin) => `controller.x_driver:${pin} | turner:${pin} |  | `),
    );
    // They stand in no circuit, and how they end is their own.
    for (const { circuit, ends } of connectionsOf(machineIn(text))) expect([circuit, ...ends]).toEqual(['', '', '']);
  });

  test('a lead of which nothing is told has one row, without a pin', () => {
    const bare = `kind board {
  toplevel
  has hole*
  symbol "M0 0", "A"
}
kind hole {}
kind bulb {
  inside board
  at: hole
  lead at
}
board B {
  hole left
  bulb lamp { at = left }
}
`;
    expect(rows(bare)).toEqual(['left | lamp |  | ']);
  });

  test('Kestrel: every conductor of every wire in a circuit has one row', () => {
    const { project, file } = read(readFileSync('examples/kestrel.gusset', 'utf8'));
    const machine = project.machines(file)[0] as (typeof project)['machines'] extends (f: never) => readonly (infer M)[]
      ? M
      : never;
    const list = connectionsOf(machine);
    const wires = list.filter(({ wire, circuit }) => wire && circuit).map(({ wire, core }) => `${wire} ${core}`);
    expect(new Set(wires).size).toBe(wires.length);
    // Counted by hand in its file: twelve circuits with a wire of two conductors each, two earths.
    expect(wires.length).toBe(2 * 11 + 2);
    expect(
      list
        .filter(({ colour }) => colour === 'green yellow')
        .map(({ wire }) => wire)
        .toSorted(),
    ).toEqual(['bed_power.plate_earth', 'mains_side.frame_bond', 'mains_side.supply_earth']);
  });
});
