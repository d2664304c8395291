import { describe, expect, test } from 'vitest';
import { fixture, open } from './fixtures.ts';
import { broken, textsOf, valuesOf } from './values.ts';

const milli = 1e-3;

/** What an expression over the library's functions and tables comes to, in coherent SI units. */
function evaluated(type: string, expression: string): number {
  return valuesOf(`kind tried_out is component {
  inside machine
  out: ${type} = ${expression}
}
machine Bench {
  ambient = 20 degC
  tried_out item {
  }
}
`)('item.out');
}

/** A machine with one load on a supply of 24 V through a fuse, a wire, and what the test puts between. */
function bench({
  room = 20,
  head = '',
  supply = 'supply_24v_600w',
  load = 'heater',
  power = '240 W',
  size = '250 mm x 250 mm',
  fuse = 'blade_25a',
  wire = 'area = 6 mm^2\n      length = 0.5 m\n      insulation = silicone',
  inside = '',
  between = '',
} = {}): string {
  return `machine Bench {
  ambient = ${room} degC
  supply psu is ${supply}
${head}
  ${load} item {
    power = ${power}
    voltage = 24 V
    ${load === 'heater' ? `size = ${size}` : ''}
  }
  circuit item_power {
    fuse is ${fuse}
    ${inside}
    wire {
      ${wire}
    }
    path = [psu, fuse, ${between}wire, item]
  }
}
`;
}

describe('tables of wires and cords', () => {
  // IEC 60204-1 table 6, column E (in free air, 40 degC), as quoted by a maker's help page.
  test.each([
    [0.75, 10.4],
    [1, 12.4],
    [1.5, 16.1],
    [2.5, 22],
    [4, 30],
    [6, 37],
    [10, 52],
  ])('%d mm^2 in free air carries %d A', (area, capacity) => {
    expect(evaluated('Current', `capacity_e(area: ${area} mm^2)`)).toBeCloseTo(capacity, 9);
    const free = bench({ room: 40, wire: `area = ${area} mm^2\n      length = 1 m\n      laying = in_free_air` });
    expect(valuesOf(free)('item_power.wire.capacity')).toBeCloseTo(capacity, 9);
  });

  // IEC 60204-1 table 6, columns B1 (single cores in conduit) and C (on a wall), from memory.
  test.each([
    [0.75, 8.6, 9.8],
    [1, 10.3, 11.7],
    [1.5, 13.5, 15.2],
    [2.5, 18.3, 21],
    [4, 24, 28],
    [6, 31, 36],
    [10, 44, 50],
  ])('%d mm^2 carries %d A as single cores in a duct, and %d A on a panel', (area, cores, panel) => {
    const laid = (laying: string) =>
      valuesOf(bench({ room: 40, wire: `area = ${area} mm^2\n      length = 1 m\n      laying = ${laying}` }));
    expect(laid('cores_in_duct')('item_power.wire.capacity')).toBeCloseTo(cores, 9);
    expect(laid('on_panel')('item_power.wire.capacity')).toBeCloseTo(panel, 9);
  });

  // Our own rule of safety: free air is counted on only where it is said.
  test('a wire is counted as one in a duct, unless it is said to lie free', () => {
    const value = valuesOf(bench({ room: 40, wire: 'area = 1.5 mm^2\n      length = 1 m' }));
    expect(value('item_power.wire.capacity')).toBeCloseTo(13.1, 9);
  });

  // IEC 60364-5-52 table B.52.17, as printed in a circuit guide to BS 7671 (table 4C1): items 1 (in a bunch), 2 (a layer on a wall) and 4 (on a tray).
  const grouped: [number, number, number, number][] = [
    [1, 1, 1, 1],
    [2, 0.8, 0.85, 0.88],
    [3, 0.7, 0.79, 0.82],
    [4, 0.65, 0.75, 0.77],
    [5, 0.6, 0.73, 0.75],
    [6, 0.57, 0.72, 0.73],
    [7, 0.54, 0.72, 0.73],
    [8, 0.52, 0.71, 0.72],
    [9, 0.5, 0.7, 0.72],
    [10, 0.45, 0.7, 0.72],
    [12, 0.45, 0.7, 0.72],
    [14, 0.41, 0.7, 0.72],
    [20, 0.38, 0.7, 0.72],
  ];
  test.each(grouped)(
    'of %i circuits together each carries %d of its current, %d on a panel, %d on a tray',
    (n, ...shares) => {
      const [bunched, panel, tray] = shares as [number, number, number];
      const laid = (laying: string) =>
        valuesOf(
          bench({
            room: 40,
            wire: `area = 1.5 mm^2\n      length = 1 m\n      bundled = ${n}\n      laying = ${laying}`,
          }),
        )('item_power.wire.capacity');
      expect(laid('in_duct')).toBeCloseTo(13.1 * bunched, 9);
      expect(laid('cores_in_duct')).toBeCloseTo(13.5 * bunched, 9);
      expect(laid('in_free_air')).toBeCloseTo(16.1 * bunched, 9);
      expect(laid('on_panel')).toBeCloseTo(15.2 * panel, 9);
      expect(laid('on_tray')).toBeCloseTo(16.1 * tray, 9);
    },
  );

  // The worked value: 13.1 A x 0.65 = 8.515 A.
  test('four circuits together in a duct: 1.5 mm^2 carries 8.5 A', () => {
    const wire = 'area = 1.5 mm^2\n      length = 1 m\n      bundled = 4';
    expect(valuesOf(bench({ room: 40, wire }))('item_power.wire.capacity')).toBeCloseTo(8.515, 9);
  });

  test('a bunch that the table does not know is said not to be known', () => {
    const wire = 'area = 1.5 mm^2\n      length = 1 m\n      bundled = 21';
    expect(() => valuesOf(bench({ wire }))('item_power.wire.capacity')).toThrow(/is not in the table/);
  });

  // NEC table 400.5(A), two conductors, as reproduced in a text on the certification of end products: AWG 18 10 A, 17 12, 16 13, 14 18,
  // 12 25. The table's areas are those of the gauge to four digits.
  test.each([
    [18, 10],
    [17, 12],
    [16, 13],
    [14, 18],
    [12, 25],
  ])('a cord of AWG %i carries %d A', (gauge, capacity) => {
    const area = evaluated('Area', `awg_area(${gauge})`) * 1e6;
    const inTable = Math.min(Math.max(area, 0.823), 3.309);
    expect(evaluated('Current', `cord_capacity(area: ${inTable} mm^2)`)).toBeCloseTo(capacity, 1);
  });

  // IEC 60335-1 table 11, as quoted in a pump maker's manual: up to 3 A 0.5 mm^2 where the cord is no longer than 2 m, 6 A 0.75, 10 A 1,
  // 16 A 1.5, 25 A 2.5, 32 A 4, 40 A 6, 63 A 10.
  test.each([
    [3, 2, 0.5],
    [3, 3, 0.75],
    [6, 2, 0.75],
    [10, 3, 1],
    [16, 3, 1.5],
    [25, 3, 2.5],
    [32, 3, 4],
    [40, 3, 6],
    [63, 3, 10],
  ])('a cord for %d A, %d m long, has %d mm^2', (current, length, area) => {
    const value = evaluated('Area', `smallest_cord(current: ${current} A, length: ${length} m)`);
    expect(value * 1e6).toBeCloseTo(area, 9);
  });

  test.each([
    [0.5, 3],
    [0.75, 6],
  ])('the same table the other way round: %d mm^2 for %d A', (area, current) => {
    expect(evaluated('Current', `thin_cord_capacity(area: ${area} mm^2)`)).toBeCloseTo(current, 9);
  });

  // What a cord may carry: the tables above, and in a warmer place less, counted as a cord for 60 degC: sqrt((60 - 45) / 30) of it.
  test.each([
    ['0.5 mm^2', 20, 3],
    ['0.6 mm^2', 20, 3],
    ['0.8 mm^2', 20, 6],
    ['0.8 mm^2', 45, 6 * Math.SQRT1_2],
    ['2.081 mm^2', 20, 18],
  ])('a cord of %s in %i degC carries %d A', (area, room, capacity) => {
    const text = bench({ room, wire: `area = ${area}\n      length = 1 m` }).replace('    wire {', '    cord wire {');
    expect(valuesOf(text)('item_power.wire.capacity')).toBeCloseTo(capacity, 6);
  });

  // IEC 60364-4-43 (from memory): (k A)^2, k = 115: 29 756 A^2 s for 1.5 mm^2, 3306 for 0.5 mm^2 (computed from it).
  test.each([
    [1.5, 29756],
    [0.5, 3306],
  ])('%d mm^2 bears %d A^2 s', (area, integral) => {
    const value = valuesOf(bench({ wire: `area = ${area} mm^2\n      length = 1 m` }));
    expect(value('item_power.wire.withstands')).toBeCloseTo(integral, 0);
  });

  // t = t_a + (t_max - t_a) (I / Iz)^2: 10 A in 1.5 mm^2 at 40 degC come to 57 degC, computed from IEC 60204-1's 13.1 A.
  test('a wire gets as warm as the square of its current makes it', () => {
    const value = valuesOf(bench({ room: 40, wire: 'area = 1.5 mm^2\n      length = 0.2 m' }));
    const rise = value('item_power.wire.temperature_rise') * (10 / value('item_power.wire.current')) ** 2;
    expect(40 + rise).toBeCloseTo(57.5, 0);
  });
});

describe('contacts', () => {
  // A connector maker's page: the rated current is that of a rise of 30 K. Heat grows with the square: half the current, a quarter.
  test.each([
    [10, 30],
    [5, 7.5],
  ])('%d A through a contact for 10 A: %d K', (current, rise) => {
    expect(evaluated('TemperatureDifference', `contact_rise(current: ${current} A, rated_current: 10 A)`)).toBeCloseTo(
      rise,
      9,
    );
  });

  // Makers' pages on crimped connectors: 2.0 mm 2 A 100 V, AWG 32 to 24; 2.5 mm 3 A 250 V, AWG 30 to 22; 3.96 mm 10 A. From memory:
  // 4.2 mm in two rows 9 A, pin header 2 to 3 A, 5.08 mm 12 to 15 A, blade tabs 6.3 mm 16 to 20 A, 4.8 mm 10 to 16 A.
  test.each([
    ['crimp_2_0mm', 2],
    ['crimp_2_5mm', 3],
    ['crimp_3_96mm', 10],
    ['two_row_4_2mm', 9],
    ['pin_header_2_54mm', 2],
    ['screw_plug_5_08mm', 12],
    ['blade_tab_6_3mm', 16],
    ['blade_tab_4_8mm', 10],
  ])('%s is rated %d A', (part, current) => {
    const value = valuesOf(bench({ inside: `connector is ${part}`, between: 'connector, ' }));
    expect(value('item_power.connector.rated_current')).toBe(current);
    // A maker's page: derate to 50 to 70 %.
    expect(value('item_power.connector.lasting_current')).toBeCloseTo(current * 0.7, 9);
  });

  // UL 248-14, as in a fuse maker's guide: at most 75 K at the rated current.
  test('a fuse gets 75 K warmer at what is printed on it', () => {
    const value = valuesOf(bench());
    const rise = value('item_power.fuse.temperature_rise') * (25 / value('item_power.fuse.current')) ** 2;
    expect(rise).toBeCloseTo(75, 6);
  });
});

describe('relays and heat', () => {
  const relay = (lines: string, part = 'relay_dc_25a', power = '240 W', room = 25) =>
    valuesOf(
      bench({
        room,
        power,
        head: '  board controller is board_5_axis',
        inside: `relay is ${part} {\n      control = controller.bed_output\n      ${lines}\n    }`,
        between: 'relay, ',
      }),
    );

  // A calculator of heat sinks: 5 W through 3 + 1 + 8 K/W in 25 degC: crystal 85 degC. It counts its case behind the first 3 K/W: 70 degC.
  test('5 W through 3, 1 and 8 K/W', () => {
    const value = relay('junction_to_base = 3 K/W\n      base_to_sink = 1 K/W\n      sink_to_air = 8 K/W');
    const scale = 5 / value('item_power.relay.loss');
    expect(25 + (value('item_power.relay.base_temperature') - 298.15) * scale).toBeCloseTo(70, 6);
    expect(25 + (value('item_power.relay.junction_temperature') - 298.15) * scale).toBeCloseTo(85, 6);
  });

  // A ladder of 13 W, 0.8 + 0.1 + 2.5 K/W in 45 degC: 89.2 degC at the crystal and 78.8 at the base, as a circuit simulator has it.
  test('13 W through 0.8, 0.1 and 2.5 K/W', () => {
    const value = relay(
      'junction_to_base = 0.8 K/W\n      base_to_sink = 0.1 K/W\n      sink_to_air = 2.5 K/W',
      'relay_dc_25a',
      '240 W',
      45,
    );
    const scale = 13 / value('item_power.relay.loss');
    expect(45 + (value('item_power.relay.base_temperature') - 318.15) * scale).toBeCloseTo(78.8, 1);
    expect(45 + (value('item_power.relay.junction_temperature') - 318.15) * scale).toBeCloseTo(89.2, 1);
  });

  // 13 W, base at 80 degC or less, 45 degC around, 0.1 K/W of paste: a sink of 2.59 K/W or less (computed).
  test('the weakest heat sink for 13 W is one of 2.59 K/W', () => {
    const value = relay('base_to_sink = 0.1 K/W', 'relay_dc_25a', '240 W', 45);
    const loss = value('item_power.relay.loss');
    expect(((value('item_power.relay.sink_needed') + 0.1) * loss) / 13 - 0.1).toBeCloseTo(2.59, 2);
  });

  // 20 A through 5 mohm: 2.0 W cold, 3.2 W hot (computed, with 1.6 times the resistance, from memory).
  test('20 A through 5 mohm lose 3.2 W when hot', () => {
    const value = relay('resistance = 5 mohm');
    expect(value('item_power.relay.loss') * (20 / value('item_power.relay.current')) ** 2).toBeCloseTo(3.2, 9);
  });

  // A maker's question and answer: 10 A and 1.5 V are 15 W.
  test('10 A at 1.5 V lose 15 W in thyristors', () => {
    const value = valuesOf(`machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a
  board controller is board_5_axis
  light lamp {
    power = 1000 W
    voltage = 230 V
  }
  circuit lamp_power {
    relay is relay_ac_25a {
      control = controller.bed_output
      forward_voltage = 1.5 V
    }
    path = [inlet, relay, lamp]
  }
}
`);
    expect((value('lamp_power.relay.loss') / value('lamp_power.relay.current')) * 10).toBeCloseTo(15, 9);
  });

  // P = U I (t_r + t_f) f / 2, as in makers' notes (from memory): 24 V, 10 A and 1 ms, a thousand times a second, are 120 W. A panel relay
  // bears a few pulses a second, and no more.
  test('what a slow relay loses by pulses', () => {
    const pulsed = (frequency: string) =>
      valuesOf(
        bench({
          head: `  board controller is board_5_axis {\n    output bed_output {\n      switching_frequency = ${frequency}\n    }\n  }`,
          inside: 'relay is relay_dc_25a {\n      control = controller.bed_output\n      switching_time = 1 ms\n    }',
          between: 'relay, ',
        }),
      );
    const value = pulsed('1 kHz');
    expect((value('item_power.relay.switching_loss') / value('item_power.current')) * 10).toBeCloseTo(120, 9);
    expect(pulsed('5 Hz')('item_power.relay.switching_loss')).toBeLessThan(1);
  });

  // R = R20 (234.5 + t) / 254.5, the annex of IEC 60228: a coil of copper at 60 degC has 1.157 times its resistance, and asks for as much more
  // voltage. 18 V of a relay for 24 V become 20.8 V.
  test('a warm coil asks for more voltage', () => {
    const value = relay('control_from = 18 V', 'relay_coil_24v_16a', '100 W', 60);
    expect(value('item_power.relay.control_needed')).toBeCloseTo((18 * 294.5) / 254.5, 9);
    expect(relay('', 'relay_coil_24v_16a', '100 W', 5)('item_power.relay.control_needed')).toBe(18);
    expect(relay('', 'relay_dc_25a', '100 W', 60)('item_power.relay.control_needed')).toBe(3);
  });

  // Common practice, no source: DC relays for panels are sold for 10, 20 and 30 A. Loaded to 60 %, they carry 6, 12 and 18 A.
  test.each([10, 20, 30])('a DC relay for %i A is there, and is planned with 60 %% of it', (current) => {
    const value = relay('', `relay_dc_${current}a`);
    expect(value('item_power.relay.rated_current')).toBe(current);
    expect(value('item_power.relay.lasting_current')).toBeCloseTo(current * 0.6, 9);
  });

  // IEC 60204-1, 9.4.3, as in a public summary: what switches stands on the side that is not earthed.
  test('a DC relay switches the side that is not earthed', () => {
    const text = (switches: string, earthed: string) =>
      bench({
        fuse: 'blade_15a',
        supply: `supply_24v_600w {\n    ${earthed}\n  }`,
        wire: 'area = 2.5 mm^2\n      length = 0.5 m',
        head: '  board controller is board_5_axis',
        inside: `relay is relay_dc_25a {\n      control = controller.bed_output\n      ${switches}\n    }`,
        between: 'relay, ',
      });
    const minus = 'switches = negative';
    expect(broken(text(minus, 'earthed = negative'))).toEqual(['relay_on_earthed_side']);
    expect(broken(text('', 'earthed = positive'))).toEqual(['relay_on_earthed_side']);
    expect(broken(text(minus, ''))).toEqual(['relay_side_not_known']);
    expect(broken(text(minus, 'earthed = neither'))).toEqual([]);
    expect(broken(text('', 'earthed = negative'))).toEqual([]);
    expect(broken(text('', ''))).toEqual([]);
  });

  // The same source: an output that switches the minus is usual, and what its lead can do counts as the heater stuck on.
  test("a lead of a board's output that touches the earthed frame is a heater stuck on", () => {
    const fed = (power: string, earthed: string) =>
      textsOf(
        bench({
          power,
          supply: `supply_24v_600w {\n    ${earthed}\n  }`,
          head: '  board controller is board_5_axis',
          between: 'controller.bed_output, ',
        }),
      );
    const [applies, by] = ['applies', 'stopped_by'].map((name) => `controller.bed_output.lead_touches_frame.${name}`);
    expect(fed('480 W', 'earthed = negative')(applies as string)).toBe('true');
    expect(fed('480 W', 'earthed = negative')(by as string)).toBe('nothing');
    expect(fed('60 W', 'earthed = negative')(by as string)).toBe('what stops item when it is stuck on');
    expect(fed('480 W', 'earthed = neither')(applies as string)).toBe('false');
    expect(fed('480 W', '')(applies as string)).toBe('false');
  });
});

/** The keeping example of a cutoff on the earthed side, with other words. */
function linked(...changes: [string, string][]): string {
  const keeps = fixture('cutoff_on_earthed_side', 'Keeps') ?? '';
  return changes.reduce((text, [from, to]) => {
    expect(text).toContain(from);
    return text.replace(from, to);
  }, keeps);
}

describe('a cutoff in the way back of a direct voltage', () => {
  const stops = (text: string) => textsOf(text)('bed.stuck_closed.stopped_by');
  const inPath: [string, string][] = [
    ['wire, bed.heater]', 'wire, bed.cutoff, bed.heater]'],
    ['[bed.cutoff, back_wire]', '[back_wire]'],
  ];

  // A current flows through all of its ring, or through none of it.
  test('stops what is stuck on as one in the path does', () => {
    expect(stops(linked())).toBe('bed.cutoff, which opens at 133 °C');
    expect(stops(linked(...inPath))).toBe(stops(linked()));
    const none = linked(['[bed.cutoff, back_wire]', '[back_wire]']);
    expect(stops(none)).toBe('nothing');
    expect(broken(none)).toContain('cutoff_not_in_path');
  });

  // IEC 60204-1, 9.4.3, as in a public summary: what switches stands on the side that is not earthed.
  test('is gone past by a lead that touches the frame, where that side is earthed or may be', () => {
    const earthed = (words: string) => linked(['earthed = neither', words]);
    expect(broken(earthed('earthed = negative'))).toEqual(['cutoff_on_earthed_side']);
    expect(broken(earthed(''))).toEqual(['cutoff_on_earthed_side']);
    expect(broken(earthed('earthed = neither'))).toEqual([]);
    expect(broken(linked(...inPath, ['earthed = neither', 'earthed = negative']))).toEqual([]);
    expect(broken(linked(...inPath, ['earthed = neither', 'earthed = positive']))).toEqual([
      'relay_on_earthed_side',
      'cutoff_on_earthed_side',
    ]);
  });

  test('stops nothing where the output stands on that side too', () => {
    const value = textsOf(fixture('lead_bypasses_cutoff', 'Breaks') ?? '');
    expect(value('controller.bed_output.lead_touches_frame.stopped_by')).toBe(
      'nothing: bed.cutoff stands on the earthed side as well',
    );
    // The relay sticks, and the lead is whole: one fault, which it stops.
    expect(value('bed.stuck_closed.stopped')).toBe('true');
  });
});

describe('a cutoff that is written beside its bed', () => {
  const within = fixture('cutoff_opens_too_late', 'Keeps') ?? '';
  const cutoff = /cutoff is thermal_link_133c \{\s+sits = on_heater\s+\}/;
  const beside = (lines: string) =>
    within
      .replaceAll('bed.cutoff', 'link')
      .replace(cutoff, '')
      .replace('  bed {', `  cutoff link is thermal_link_133c {\n sits = on_heater\n ${lines}\n  }\n  bed {`);

  // IEC 60691, from memory: beyond T_m a link can close again.
  test('bears what it comes to, as one within does', () => {
    expect(within).toMatch(cutoff);
    expect(broken(beside(''))).toEqual([]);
    expect(broken(beside('limit = 135 degC'))).toEqual(['cutoff_opens_too_late']);
  });
});

describe('what a wire bears', () => {
  const wire = (lines: string) =>
    bench({ room: 60, power: '24 W', fuse: 'blade_2a', wire: `area = 1 mm^2\n      length = 0.5 m\n      ${lines}` });

  test('is its insulation, unless it says so itself', () => {
    expect(valuesOf(wire(''))('item_power.wire.limit')).toBeCloseTo(70 + 273.15, 9);
    expect(broken(wire(''))).toEqual([]);
    expect(broken(wire('limit = 59 degC'))).toContain('wire_insulation_too_hot');
    expect(broken(wire('insulation = silicone\n      limit = 59 degC'))).toContain('wire_insulation_too_hot');
    const better = valuesOf(wire('limit = 105 degC'));
    expect(better('item_power.wire.bears')).toBeCloseTo(105 + 273.15, 9);
    expect(better('item_power.wire.capacity')).toBeCloseTo(10.1, 9);
    // IEC 60204-1, table D.1, by sqrt((70 - 60) / 30): what bears 70 degC carries less at 60 degC.
    expect(valuesOf(wire(''))('item_power.wire.capacity')).toBeCloseTo(10.1 * Math.sqrt(1 / 3), 9);
  });
});

describe('outputs', () => {
  // Common practice, no source: the lowest of what terminal, track and transistor carry.
  test('an output is judged by the weakest of its parts', () => {
    const text = (limit: string) =>
      bench({
        power: '190 W',
        head: `  board controller is board_5_axis {\n    output bed_output {\n      ${limit}\n    }\n  }`,
        between: 'controller.bed_output, ',
      });
    expect(valuesOf(text(''))('controller.bed_output.weakest_limit')).toBe(10);
    expect(valuesOf(text('terminal_limit = 8 A'))('controller.bed_output.weakest_limit')).toBe(8);
    expect(broken(text(''))).not.toContain('output_overloaded');
    expect(broken(text('track_limit = 7 A'))).toContain('output_overloaded');
  });
});

describe('terminals of a supply', () => {
  // Kirchhoff's current law. Lights of 48, 24 and 12 W on 24 V; a short thick wire drops next to nothing.
  const text = (first: string, second: string) => {
    const circuit = (name: string, said: string, begin: string) => `  circuit ${name}_power {
    ${said}
    fuse is blade_5a
    wire {
      area = 2.5 mm^2
      length = 1 mm
    }
    path = [psu, ${begin}fuse, wire, ${name}]
  }
`;
    const light = (name: string, power: string) => `  light ${name} {
    voltage = 24 V
    power = ${power}
  }
`;
    return `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_350w {
    outputs = 2
    output_current = 10 A
  }
${light('strong', '48 W')}${light('branch', '24 W')}${light('weak', '12 W')}${circuit('strong', first, '')}${circuit('branch', '', 'strong_power.fuse, ')}${circuit('weak', second, '')}}`;
  };

  test('what branches behind one fuse flows through one pair, and what is said to begin there adds to it', () => {
    const busiest = (first: string, second: string) => valuesOf(text(first, second))('psu.busiest_output');
    expect(busiest('', '')).toBeCloseTo(3, 1);
    expect(busiest('source_output = 1', 'source_output = 1')).toBeCloseTo(3.5, 1);
    expect(busiest('source_output = 1', 'source_output = 2')).toBeCloseTo(3, 1);
  });
});

describe('ways back', () => {
  const strapped = (area: string, relay: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_350w { earthed = neither }
  board controller is board_5_axis
  wire back {
    area = ${area}
    length = 1 m
  }
  relay switching is ${relay} {
    control = controller.bed_output
  }
  heater mat {
    power = 100 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  circuit mat_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 1 m
    }
    path = [psu, fuse, wire, mat]
    way_back = [back, switching]
  }
}
`;

  // Where no side is earthed, a DC relay may switch the negative, which is the way back. There it is judged as anywhere else, and so is
  // the wire: in a short circuit the thinner of two conductors is the fuse.
  test('a relay and a wire in the way back are judged as those on the way out', () => {
    expect(broken(strapped('2.5 mm^2', 'relay_dc_25a'))).toEqual([]);
    expect(broken(strapped('0.75 mm^2', 'relay_dc_25a'))).toEqual(['wire_unprotected']);
    expect(broken(strapped('2.5 mm^2', 'relay_ac_25a'))).toContain('ac_relay_on_dc');
  });
});

describe('which output feeds what', () => {
  // As the paths of circuits say: an output switches what is behind it, and what is behind the relay that it controls.
  test('straight, and through a relay', () => {
    const text = bench({
      head: '  board controller is board_5_axis',
      inside: 'relay is relay_dc_25a {\n      control = controller.bed_output\n    }',
      between: 'relay, ',
    }).replace(
      /}\n$/,
      '  fan blower is fan_24v_40mm\n  circuit blower_power {\n    path = [psu, controller.fan_output, blower]\n  }\n',
    );
    const counted = ['bed_output', 'fan_output', 'tool_output'].map(
      (output) => `  require count(e for e in controller.${output}.switches) == ${output === 'tool_output' ? 0 : 1}\n`,
    );
    const { project, file } = open(`${text}${counted.join('')}}\n`);
    const [machine] = project.machines(file);
    expect(machine?.assessment.requirements.map((r) => r.holds)).toEqual([true, true, true]);
  });
});

describe('beds on boards', () => {
  // 0.45 W/cm^2, as silicone mats for beds of this size have (common practice, no source).
  const bed = (side: number) => {
    const power = 0.45 * (side / 10) ** 2;
    return bench({
      power: `${power} W`,
      size: `${side} mm x ${side} mm`,
      head: '  board controller is board_5_axis',
      fuse: side > 200 ? 'blade_25a' : 'blade_5a',
      wire:
        side > 200
          ? 'area = 6 mm^2\n      length = 0.5 m\n      insulation = silicone'
          : 'area = 1 mm^2\n      length = 0.5 m',
      between: 'controller.bed_output, ',
    });
  };

  // Common practice, no source: a DC bed of 310 mm square draws more than a board's output may carry, one of 100 mm does not.
  test('a DC bed of 310 mm square needs a relay, one of 100 mm does not', () => {
    expect(broken(bed(310))).toContain('output_overloaded');
    expect(broken(bed(100))).toEqual([]);
    const relayed = bed(310)
      .replace('controller.bed_output, ', 'relay, ')
      .replace('fuse is', 'relay is relay_dc_40a {\n      control = controller.bed_output\n    }\n    fuse is');
    expect(broken(relayed)).toEqual([]);
  });
});

describe('fuses and supplies', () => {
  // A fuse maker's guide: i^2 t / 2 for half a sine; 230 V and 5 ohm give a crest of 65 A (from memory: sqrt(2) U / R).
  test('switching on draws 65 A, and half of its square by a millisecond', () => {
    const value = valuesOf(bench().replace('ambient', 'mains = 230 V\n  ambient'));
    expect(value('psu.inrush_current')).toBeCloseTo(65, 0);
    expect(value('psu.inrush_integral')).toBeCloseTo((65.05 ** 2 * milli) / 2, 2);
    expect(value('inrush')).toBeCloseTo(65, 0);
  });

  // IEC 60127-2 and ISO 8820-3 (from memory): a slow cartridge bears ten times its rating for 20 ms and opens within 300 ms, a fast one four
  // times for 10 ms, and opens at ten times within 20 ms; a blade at six times opens in 20 to 100 ms. 65 A of a supply are 2.1 A^2 s: a fast
  // one of 5 A is worn by that, a slow one is not.
  test.each([
    ['cartridge_5a', 50, 750],
    ['glass_cartridge_5a', 4, 50],
    ['blade_5a', 18, 90],
  ])('%s bears %d A^2 s, and lets %d A^2 s through', (fuse, bears, lets) => {
    const value = valuesOf(bench({ fuse }));
    expect(value('item_power.fuse.melting_integral')).toBeCloseTo(bears, 9);
    expect(value('item_power.fuse.let_through')).toBeCloseTo(lets, 9);
  });

  // Energy is kept: a supply loses what goes in and does not come out.
  test("a supply's loss", () => {
    const value = valuesOf(bench());
    expect(value('psu.loss')).toBeCloseTo(value('psu.load_power') * (1 / 0.85 - 1), 9);
  });

  // The definition of an average, and of what can be on together.
  test('what is typically drawn, and what is drawn at worst', () => {
    const text = (never: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_600w
  heater big {
    power = 240 W
    voltage = 24 V
    size = 200 mm x 200 mm
    duty = 40 %
  }
  heater small {
    power = 48 W
    voltage = 24 V
    size = 100 mm x 100 mm
    duty = 50 %
  }
  circuit big_power {
    path = [psu, big]
  }
  circuit small_power {
    path = [psu, small]
    ${never}
  }
}
`;
    const all = valuesOf(text(''));
    expect(all('psu.load_power')).toBeCloseTo(288, 6);
    expect(all('psu.typical_power')).toBeCloseTo(0.4 * 240 + 0.5 * 48, 6);
    expect(valuesOf(text('never_with = big_power'))('psu.load_power')).toBeCloseTo(240, 6);
  });

  // P = U I: 15 W at 5 V through a converter of 90 % take 16.7 W from 24 V, whatever voltage is left.
  test('a rail of 5 V takes its power from 24 V', () => {
    const value = valuesOf(`machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_150w
  step_down rail is step_down_5v_5a
  computer brain is computer_5v_15w {
    duty = 60 %
  }
  circuit rail_power {
    path = [psu, rail]
  }
  circuit brain_power {
    path = [rail, brain]
  }
}
`);
    expect(value('brain_power.current')).toBeCloseTo(3, 9);
    expect(value('rail_power.current')).toBeCloseTo(15 / 0.9 / 24, 9);
    expect(value('rail.loss')).toBeCloseTo(15 / 0.9 - 15, 9);
    // On average, the computer takes 60 % of that.
    expect(value('psu.typical_power')).toBeCloseTo((0.6 * 15) / 0.9, 9);
  });

  // Heating appliances of class I: 0.75 mA, or 0.75 mA/kW up to 5 mA, as quoted on a page on testing appliances.
  test.each([
    [400, 0.75],
    [2000, 1.5],
    [10000, 5],
  ])('a mains heater of %i W may leak %d mA', (power, leakage) => {
    expect(evaluated('Current', `heater_leakage(power: ${power} W)`) / milli).toBeCloseTo(leakage, 9);
  });

  // IEC 60898-1 (from memory): curve B may trip at once from 3 times its rating on, C from 5, D from 10.
  test.each([
    ['b', 3],
    ['c', 5],
    ['d', 10],
  ])('a breaker of curve %s may trip at once from %i times its rating on', (curve, times) => {
    const text = `${bench({ power: '100 W' })}
site Club {
  mains_voltage = 230 V
  breaker = 16 A
  breaker_curve = ${curve}
  machine bench is Bench
}
`;
    expect(valuesOf(text, 'Club')('trips_at')).toBeCloseTo(Math.SQRT2 * 16 * times, 9);
  });

  // IEC 60664-1, table F.4 (from memory): 2.5 mm for basic insulation of 250 V; reinforced twice that, as quoted in a tutorial.
  test('creepage between mains and low voltage', () => {
    expect(evaluated('Length', 'basic_creepage') / milli).toBeCloseTo(2.5, 9);
    expect(evaluated('Length', 'reinforced_creepage') / milli).toBeCloseTo(5, 9);
  });
});

describe('mains that are high', () => {
  const bed = (voltage: number, power: number) =>
    valuesOf(`machine Bench {
  ambient = 20 degC
  mains = ${voltage} V
  inlet is inlet_10a
  heater mat {
    power = ${power} W
    voltage = ${voltage} V
    size = 300 mm x 300 mm
  }
  circuit mat_power {
    path = [inlet, mat]
  }
}
`);

  // P = U I: 400 W at 230 V draw 1.74 A, 750 W 3.26 A, 750 W at 120 V 6.25 A; a tenth more voltage is a tenth more current, and 21 % more
  // power (computed).
  test.each([
    [230, 400, 1.74],
    [230, 750, 3.26],
    [120, 750, 6.25],
  ])('%i V and %i W: %d A, and a tenth more', (voltage, power, current) => {
    const value = bed(voltage, power);
    expect(value('mat_power.current')).toBeCloseTo(current, 2);
    expect(value('mat_power.highest_current') / value('mat_power.current')).toBeCloseTo(1.1, 9);
    expect(value('mat.highest_power_there') / power).toBeCloseTo(1.21, 9);
  });
});

describe('supplies on mains', () => {
  const fed = (mains: number, lines = '', more = '') => `machine Bench {
  ambient = 20 degC
  mains = ${mains} V
  ${more}
  inlet is inlet_10a
  supply psu is supply_24v_600w {
    ${lines}
  }
  load lamp {
    voltage = 24 V
    power = 240 W
  }
  circuit mains_side {
    wire {
      area = 1 mm^2
      length = 1 m
    }
    path = [inlet, wire, psu]
  }
  circuit lamp_power {
    path = [psu, lamp]
  }
}
`;

  // The power factor is active power by apparent power (IEC 60050-131), its value for supplies without correction from memory: 240 W by
  // 85 % and 0.6 are 471 VA, 2.05 A on 230 V. What a meter of energy counts stays 282 W.
  test('a supply draws more current from the mains than its power asks for', () => {
    const value = valuesOf(fed(230));
    const apparent = 240 / 0.85 / 0.6;
    expect(value('mains_side.current')).toBeCloseTo(apparent / value('mains_side.load_voltage'), 9);
    expect(value('mains_side.current')).toBeCloseTo(2.05, 2);
    expect(value('mains_current')).toBeCloseTo(value('mains_side.current'), 9);
    expect(value('mains_side.load_power')).toBeCloseTo(240 / 0.85, 9);
    expect(value('mains_power')).toBeCloseTo(240 / 0.85 + value('mains_side.loss'), 9);
    const corrected = valuesOf(fed(230, 'mains_power_factor = 0.95'));
    expect(corrected('mains_side.current') / value('mains_side.current')).toBeCloseTo(0.6 / 0.95, 2);
  });

  // P = U I: what takes its power whatever the voltage draws a ninth more at nine tenths of it.
  test('a supply draws more when the mains are low', () => {
    const value = valuesOf(fed(230));
    expect(value('mains_side.highest_current') / value('mains_side.current')).toBeCloseTo(1 / 0.9, 9);
  });

  // Kirchhoff's current law, and i^2 t / 2 of a fuse maker's guide: two supplies behind one fuse draw twice the peak, four times the integral;
  // the short circuit that opens it last is that of the longer way.
  test('a fuse that two circuits share bears what both draw', () => {
    const shared = valuesOf(`machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a
  fuse main is cartridge_4a
  supply first_psu is supply_24v_150w
  supply second_psu is supply_24v_150w
  wire short_wire {
    area = 1 mm^2
    length = 1 m
  }
  wire long_wire {
    area = 1 mm^2
    length = 10 m
  }
  light lamp is strip_24v_1m
  light other_lamp is strip_24v_1m
  circuit first_side {
    path = [inlet, main, short_wire, first_psu]
  }
  circuit second_side {
    path = [inlet, main, long_wire, second_psu]
  }
  circuit lamp_power {
    path = [first_psu, lamp]
  }
  circuit other_power {
    path = [second_psu, other_lamp]
  }
}
`);
    expect(shared('main.switch_on_integral')).toBeCloseTo(4 * shared('first_psu.inrush_integral'), 9);
    expect(shared('main.highest_current')).toBeCloseTo(shared('main.current') / 0.9, 9);
    expect(shared('main.farthest_short_circuit')).toBeCloseTo(shared('second_side.far_short_circuit'), 9);
    expect(shared('main.least_short_circuit')).toBeLessThan(shared('first_side.far_short_circuit'));
  });

  // A distributor's table of enclosed supplies: 80 % at 90 V. From memory: all of it from 115 V. 120 V may fall to 108 V: 94.4 %.
  test.each([
    [230, 1],
    [120, 1 - (0.2 * (115 - 108)) / 25],
    [100, 0.8],
  ])('on %i V a supply gives %d of its power when the mains are low', (mains, share) => {
    expect(valuesOf(fed(mains))('psu.available_power')).toBeCloseTo(600 * share, 9);
  });

  // From memory of data sheets: 5 K for each 1000 m above 2000 m. At 4000 m, 50 degC are as 60 degC, where the table has 60 %.
  test('thin air cools a supply less', () => {
    const value = valuesOf(fed(230, '', 'altitude = 4000 m').replace('ambient = 20 degC', 'ambient = 50 degC'));
    expect(value('psu.available_power')).toBeCloseTo(600 * 0.6, 9);
  });
});

describe('drivers', () => {
  const driven = (driver: string, motors = 'motor is nema17_40mm') => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  board controller is board_5_axis {
    driver first_driver {
      drives = [motion.x.drive.motor]
      ${driver}
    }
  }
  circuit board_power {
    fuse is blade_10a
    wire {
      area = 1.5 mm^2
      length = 0.3 m
    }
    path = [psu, fuse, wire, controller]
  }
  moving_bed motion {
    carriage_mass = 0.4 kg
    bed_mass = 1 kg
    x {
      travel = 230 mm
      wanted_speed = 150 mm/s
      wanted_acceleration = 3000 mm/s^2
      belt_drive drive {
        ${motors}
        belt is belt_2mm_6
        pulley is pulley_2mm_20
      }
    }
  }
}
`;

  // Data sheets of chopper drivers (from memory): V_ref = I_peak gain R_shunt; 1.5 A, 0.15 ohm, gain 5: 1.125 V.
  test('1.5 A at the peak, 0.15 ohm and a gain of 5 ask for 1.125 V', () => {
    const value = evaluated('Voltage', 'reference_voltage(peak: 1.5 A, shunt: 0.15 ohm, gain: 5)');
    expect(value).toBeCloseTo(1.125, 9);
  });

  // The peak of a sine is the root of two times its root mean square: 1.36 A rms have a peak of 1.92 A.
  test('root mean square and peak are told apart', () => {
    const value = valuesOf(driven('setting = 1.9233 A\n      setting_is = peak'));
    expect(value('controller.first_driver.current')).toBeCloseTo(1.36, 9);
    expect(value('controller.first_driver.peak_current')).toBeCloseTo(1.36 * Math.SQRT2, 9);
    expect(value('controller.first_driver.setting_rms')).toBeCloseTo(1.36, 4);
  });

  // P = 2 I^2 R, as for any two-phase motor: from the supply it draws far less than the current of its phases.
  test('a motor draws less from the supply than flows through its phases', () => {
    const value = valuesOf(driven(''));
    const heat = 2 * 1.36 ** 2 * value('motion.x.drive.motor.resistance');
    expect(value('controller.first_driver.supply_power')).toBeCloseTo(heat + 2 * 1.36 ** 2 * 0.5 + 5, 9);
    expect(value('controller.first_driver.supply_current')).toBeLessThan(
      0.5 * value('controller.first_driver.current'),
    );
    const board = 10 + value('controller.first_driver.supply_power');
    expect(value('board_power.load_power')).toBeCloseTo(board, 6);
  });

  // Kirchhoff's current law: in parallel the currents of motors add up, in series they are the same.
  test.each([
    ['series', 1],
    ['parallel', 2],
  ])('two motors in %s take %i times the current of one', (joined, times) => {
    const value = valuesOf(driven(`joined = ${joined}`, 'motor * 2 is nema17_40mm'));
    expect(value('controller.first_driver.motor_count')).toBe(2);
    expect(value('controller.first_driver.current')).toBeCloseTo(times * 1.36, 9);
  });

  // Common practice, no source: axes first, then what pushes filament.
  test('motors that share a driver count once before that of the extruder', () => {
    const value = valuesOf(`machine Bench {
  ambient = 20 degC
  board controller is board_6_axis
  moving_tool motion {
    x { rack_drive drive { motor is nema17_34mm } }
    y { rack_drive drive { motor * 2 is nema17_34mm } }
    z {
      screw_drive drive {
        motor first is nema17_34mm
        motor second is nema17_34mm
        motor third is nema17_34mm
      }
    }
  }
  extruder { motor is nema17_34mm }
}
`);
    expect(value('motion.z.drive.first.driver_number')).toBe(3);
    expect(value('extruder.motor.driver_number')).toBe(6);
    expect(value('controller.sixth_driver.motor_count')).toBe(1);
  });
});

describe('loads with electronics', () => {
  // Common practice, no source: fans for 12 V on 24 V burn, and a probe's signal of 24 V destroys an input for 3.3 V.
  test('a fan for 12 V on 24 V', () => {
    const text = bench({ load: 'fan', power: '3 W', fuse: 'blade_1a', wire: 'area = awg_22\n      length = 0.5 m' });
    expect(broken(text)).toEqual([]);
    expect(broken(text.replace('voltage = 24 V', 'voltage = 12 V'))).toEqual(['voltage_out_of_range']);
  });

  // The definition of a constant power: what drops before it makes it draw more.
  test('electronics draw more where less voltage reaches them', () => {
    const value = valuesOf(
      bench({ load: 'steady_load', power: '48 W', fuse: 'blade_5a', wire: 'area = 1 mm^2\n      length = 4 m' }),
    );
    expect(value('item_power.current')).toBeGreaterThan(2);
    expect(value('item.voltage_left') * value('item_power.current')).toBeCloseTo(48, 9);
  });
});

describe('wires that run together', () => {
  /** Heaters at 24 V by their power, each with a wire of its own; the first says what runs with it. */
  const together = (powers: number[], runs_with: string, more = '') => `machine Bench {
  ambient = 40 degC
  mains = 230 V
  supply psu {
    voltage = 24 V
    power = 2000 W
  }
${powers
  .map(
    (power, i) => `  heater load_${i + 1} {
    power = ${power} W
    voltage = 24 V
  }
  circuit power_${i + 1} {
    wire {
      area = 1.5 mm^2
      length = 1 mm${i === 0 ? `\n      runs_with = [${runs_with}]` : ''}
    }
    path = [psu, wire, load_${i + 1}]
  }
`,
  )
  .join('')}${more}}
`;
  const others = 'power_2.wire, power_3.wire, power_4.wire';

  // 150 W at 24 V are 6.25 A, more than 30 % of 13.1 A x 0.65; 13.1 A x 0.65 = 8.5 A (IEC 60364-5-52 table B.52.17).
  test('each of four counts four, whichever of them says so', () => {
    const value = valuesOf(together([150, 150, 150, 150], others));
    for (const n of [1, 2, 3, 4]) {
      expect(value(`power_${n}.wire.bundled`)).toBe(4);
      expect(value(`power_${n}.wire.capacity`)).toBeCloseTo(8.515, 9);
    }
  });

  // 30 % of 13.1 A x 0.65 are 2.55 A, 61.3 W at 24 V (BS 7671 regulation 523.5).
  test('what carries less than 30 % of what it could does not count', () => {
    expect(valuesOf(together([150, 150, 150, 62], others))('power_1.wire.bundled')).toBe(4);
    const value = valuesOf(together([150, 150, 150, 60], others));
    expect(value('power_1.wire.bundled')).toBe(3);
    expect(value('power_1.wire.capacity')).toBeCloseTo(13.1 * 0.7, 9);
    // It counts itself: that it is light helps the others only.
    expect(value('power_4.wire.bundled')).toBe(4);
  });

  const returning = (beside: string) => `machine Bench {
  ambient = 40 degC
  mains = 230 V
  supply psu {
    voltage = 24 V
    power = 500 W
  }
  heater mat {
    power = 200 W
    voltage = 24 V
  }
  wire minus {
    area = 1.5 mm^2
    length = 1 m
  }
  wire plus {
    area = 1.5 mm^2
    length = 1 m
    ${beside}
  }
  circuit feeding {
    path = [psu, plus, mat]
    way_back = [minus]
  }
}
`;
  test('out and back, in two wires that run together, are one circuit', () => {
    const value = valuesOf(returning('runs_with = [minus]'));
    expect(value('plus.capacity')).toBeCloseTo(13.1, 9);
    expect(value('minus.capacity')).toBeCloseTo(13.1, 9);
  });

  test('more that is said to lie there counts; less does not', () => {
    expect(valuesOf(returning('runs_with = [minus]\n    bundled = 3'))('plus.capacity')).toBeCloseTo(13.1 * 0.7, 9);
    const all = together([150, 150, 150, 150], others).replace('runs_with', 'bundled = 2\n      runs_with');
    expect(valuesOf(all)('power_1.wire.capacity')).toBeCloseTo(8.515, 9);
  });
});
