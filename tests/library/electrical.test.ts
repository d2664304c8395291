import { describe, expect, test } from 'vitest';
import { simulate } from './simulator.ts';
import { broken, valuesOf } from './values.ts';

const mm2 = 1e-6;
const milli = 1e-3;

/** A machine with one mat on a supply, and what the test says of wire, fuse and room. */
function bench({
  wire = '',
  fuse = 'fuse is blade_15a',
  power = '240 W',
  room = 40,
  rest = '',
  supply = 'supply_24v_600w',
} = {}): string {
  return `machine Bench {
  ambient = ${room} degC
  supply psu is ${supply}
  heater mat {
    power = ${power}
    voltage = 24 V
    size = 250 mm x 250 mm
  }
  circuit mat_power {
    ${fuse}
    wire {
      ${wire || 'area = 1.5 mm^2\n      length = 2 m'}
    }
    path = [psu, fuse, wire, mat]
  }
  ${rest}
}
`;
}

/** A wire in the room or, where that would be none that people are in, in an oven. */
const wireOf = (lines: string, room = 40) =>
  room <= 60
    ? valuesOf(bench({ wire: lines, room }))
    : valuesOf(bench({ wire: `${lines}\nplace = oven`, rest: `place oven { temperature = ${room} degC }` }));

describe('wires', () => {
  // ASTM B258: d = 0.127 mm 92^((36-n)/39), A = pi d^2/4; 18 as GNU units' wiregauge(18), the others computed from the formula.
  test.each([
    [14, 2.081],
    [16, 1.309],
    [18, 0.82304683],
    [20, 0.518],
    [22, 0.326],
    [24, 0.205],
    [26, 0.129],
  ])('AWG %i has %d mm^2', (number, area) => {
    const value = wireOf(`area = awg_${number}\nlength = 1 m`)('mat_power.wire.area');
    expect(value / mm2).toBeCloseTo(area, number === 18 ? 7 : 3);
  });

  // IEC 60228 table 3, class 5, plain copper, ohm/km at 20 degC, as quoted by two makers' tables; warm by its annex's
  // (234.5 + t) / 254.5 at the 60 degC that a loaded wire is counted with.
  test.each([
    [0.5, 39.0],
    [0.75, 26.0],
    [1, 19.5],
    [1.5, 13.3],
    [2.5, 7.98],
    [4, 4.95],
    [6, 3.3],
    [10, 1.91],
  ])('%d mm^2 of class 5 has %d ohm/km at 20 degC, and 1.157 times that at 60 degC', (area, perKilometre) => {
    const value = wireOf(`area = ${area} mm^2\nlength = 1 m`)('mat_power.wire.resistance');
    expect(value / milli).toBeCloseTo((perKilometre * 294.5) / 254.5, 6);
  });

  // R(70 degC)/R(20 degC) = 1.1965, computed from the annex of IEC 60228.
  test('copper at 70 degC has 1.1965 times its resistance at 20 degC', () => {
    const value = wireOf('area = 1.5 mm^2\nlength = 1 m\ninsulation = silicone', 70)('mat_power.wire.resistance');
    expect(value / (13.3 * milli)).toBeCloseTo(1.1965, 4);
  });

  // Ideal copper of 1/58 ohm mm^2/m (IEC 60028, from memory): AWG 24 has 84.22 ohm/km; fine strands are allowed 1.157 times that.
  test('thin wires are counted with the allowance of class 5 over solid copper', () => {
    const value = wireOf('area = awg_24\nlength = 1 m')('mat_power.wire.resistance');
    expect(value / milli / 1.157 / (294.5 / 254.5)).toBeCloseTo(84.22, 1);
  });

  // 24 V, 10 A, 2 m one way, 1.5 mm^2 class 5: 0.616 V at 60 degC, computed from IEC 60228's table and annex.
  test('24 V, 10 A, 2 m of 1.5 mm^2: 0.616 V drop out and back', () => {
    const value = valuesOf(bench());
    const perAmpere = (2 * value('mat_power.wire.drop')) / value('mat_power.wire.current');
    expect(perAmpere * 10).toBeCloseTo(0.616, 3);
  });

  // IEC 60204-1 table 6, column B2, PVC in air of 40 degC, as quoted by a maker's help page.
  test.each([
    [0.75, 8.5],
    [1, 10.1],
    [1.5, 13.1],
    [2.5, 17.4],
    [4, 23],
    [6, 30],
    [10, 40],
  ])('%d mm^2 of PVC carries %d A at 40 degC', (area, capacity) => {
    expect(wireOf(`area = ${area} mm^2\nlength = 1 m`)('mat_power.wire.capacity')).toBeCloseTo(capacity, 6);
  });

  // Factors for 70 degC PVC referred to 40 degC, as quoted in a drive maker's manual: 45: 0.91, 50: 0.82, 55: 0.71, 60: 0.58.
  test.each([
    [45, 0.91],
    [50, 0.82],
    [55, 0.71],
    [60, 0.58],
  ])('at %i degC PVC carries %d of its table', (room, factor) => {
    const value = wireOf('area = 1.5 mm^2\nlength = 1 m', room)('mat_power.wire.capacity');
    expect(value / 13.1).toBeCloseTo(factor, 2);
  });

  // Our own safety rule: a table is never corrected upward above its own reference (the quoted manual has 1.15 at 30 degC).
  test('in a cold room, and with better insulation, a wire is not counted with more than its table', () => {
    expect(wireOf('area = 1.5 mm^2\nlength = 1 m', 20)('mat_power.wire.capacity')).toBeCloseTo(13.1, 6);
    const silicone = 'area = 1.5 mm^2\nlength = 1 m\ninsulation = silicone';
    expect(wireOf(silicone, 100)('mat_power.wire.capacity')).toBeCloseTo(13.1, 6);
  });

  // IEC 60204-1 table 6, column B2: its control pairs of 0.2 and 0.5 mm^2 from memory, 0.75 mm^2 as quoted.
  test.each([
    [0.2, 4.3],
    [0.5, 7.5],
    [0.75, 8.5],
  ])('%d mm^2 carries %d A', (area, capacity) => {
    expect(wireOf(`area = ${area} mm^2\nlength = 1 m`)('mat_power.wire.capacity')).toBeCloseTo(capacity, 9);
  });

  // The straight line between two rows: 0.35 mm^2 lies midway between 0.2 and 0.5 mm^2.
  test('between its rows a thin wire lies on the straight line, and nowhere jumps', () => {
    const capacity = (area: number) => wireOf(`area = ${area} mm^2\nlength = 1 m`)('mat_power.wire.capacity');
    expect(capacity(0.35)).toBeCloseTo((4.3 + 7.5) / 2, 9);
    expect(capacity(0.74)).toBeCloseTo(8.46, 9);
    expect(capacity(0.1)).toBeCloseTo(4.3 / 2, 9);
    let before = 0;
    for (let area = 0.05; area < 1; area += 0.01) {
      const now = capacity(Number(area.toFixed(2)));
      expect(now).toBeGreaterThan(before);
      expect(now - before).toBeLessThan(before === 0 ? 2 : 0.3);
      before = now;
    }
  });

  // IEC 60204-1 table D.2, control pairs up to 0.5 mm^2, from memory: two 76 %, four 57 %, six 48 %, nine 40 %.
  test.each([
    [1, 1],
    [2, 0.76],
    [3, 0.57],
    [4, 0.57],
    [5, 0.48],
    [9, 0.4],
  ])('of %i thin pairs together each carries %d', (pairs, share) => {
    const value = wireOf(`area = 0.5 mm^2\nlength = 1 m\nbundled = ${pairs}`)('mat_power.wire.capacity');
    expect(value).toBeCloseTo(7.5 * share, 9);
  });

  // UL 758: styles 1331 (150 degC, 600 V) and 3340 (125 degC, 600 V) read on its pages; from memory 1007 (80 degC, 300 V), 1015 (105 degC,
  // 600 V), 1332 (200 degC, 300 V), and 70 degC for PVC, 90 degC for cross-linked polyethylene (IEC 60227, 60502).
  test.each([
    ['fep_150', 150, 600],
    ['epdm', 125, 600],
    ['pvc_80', 80, 300],
    ['pvc_105', 105, 600],
    ['fep', 200, 300],
    ['pvc', 70, 300],
    ['cross_linked_polyethylene', 90, 600],
  ])('%s bears %i degC and %i V', (insulation, limit, voltage) => {
    const value = wireOf(`area = 1 mm^2\nlength = 1 m\ninsulation = ${insulation}`, 20);
    expect(value('mat_power.wire.limit')).toBeCloseTo(273.15 + limit, 9);
    const text = bench({ wire: `area = 2.5 mm^2\nlength = 0.3 m\ninsulation = ${insulation}`, room: 20 });
    const high = text.replace('supply_24v_600w', `supply_24v_600w {\n    highest_voltage = ${voltage + 1} V\n  }`);
    expect(broken(text)).not.toContain('wire_voltage_too_high');
    expect(broken(high)).toContain('wire_voltage_too_high');
  });

  test('a wire that no table knows is said not to be known, and not guessed', () => {
    const text = bench({ wire: 'area = 16 mm^2\nlength = 1 m' });
    expect(() => valuesOf(text)('mat_power.wire.capacity')).toThrow(/is not in the table/);
    expect(broken(text)).toContain('not_computable');
  });
});

describe('fuses', () => {
  // IEC 60364-4-43, 433.1: I2 <= 1.45 Iz (from memory); with 2.1 In of IEC 60127-2, a 10 A cartridge asks for 14.5 A.
  test('a cartridge of 10 A protects wires of 14.5 A and more', () => {
    const cartridge = 'fuse is cartridge_10a {\n      rated_dc_voltage = 32 V\n    }';
    const rest = 'insulation = silicone\n      length = 1 m';
    expect(broken(bench({ fuse: cartridge, power: '120 W', wire: `area = 1.5 mm^2\n      ${rest}` }))).toEqual([
      'wire_unprotected',
    ]);
    expect(broken(bench({ fuse: cartridge, power: '120 W', wire: `area = 2.5 mm^2\n      ${rest}` }))).toEqual([]);
  });

  // ISO 8820-3 (from memory): a blade fuse opens at 1.35 In, so that Iz >= 0.93 In.
  test('a blade fuse of 10 A protects a wire of 10.1 A', () => {
    const text = bench({ fuse: 'fuse is blade_10a', power: '120 W', wire: 'area = 1 mm^2\n      length = 1 m' });
    expect(broken(text)).toEqual([]);
  });

  // IEC 60364-4-43, 436 (from memory): a source that cannot give more than the wire carries protects it.
  test("a source's own limit protects a wire as well as a fuse does", () => {
    const limited = (limit: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_150w {
    current_limit = ${limit}
  }
  load fan {
    voltage = 24 V
    power = 24 W
  }
  circuit fan_power {
    wire {
      area = 1 mm^2
      length = 1 m
    }
    path = [psu, wire, fan]
  }
}
`;
    expect(broken(limited('10 A'))).toEqual([]);
    expect(broken(limited('10.5 A'))).toEqual(['wire_unprotected']);
  });

  // Only what stands before the wire opens it in a short circuit: common practice, no source.
  test('a fuse behind a wire does not protect it', () => {
    const text = bench({ power: '120 W', fuse: 'fuse is blade_10a' });
    expect(broken(text)).toEqual([]);
    expect(broken(text.replace('[psu, fuse, wire, mat]', '[psu, wire, fuse, mat]'))).toEqual(['wire_unprotected']);
  });

  // UL fuses carry 75 % of their rating for long, as quoted in a comparison of standards: 10 A carries 7.5 A.
  test('a fuse of 10 A lasts at 7.5 A', () => {
    expect(valuesOf(bench({ fuse: 'fuse is blade_10a' }))('mat_power.fuse.lasting_current')).toBeCloseTo(7.5, 9);
  });
});

describe('supplies, relays and mains', () => {
  // A maker's data sheet: 480 W, 12 W for each kelvin above 60 degC; 420 W at 65 degC and 360 W at 70 degC computed from it.
  test.each([
    [60, 480],
    [65, 420],
    [70, 360],
  ])('a supply of 480 W gives %i degC: %d W', (room, power) => {
    const text = `machine Bench {
  ambient = 20 degC
  place oven { temperature = ${room} degC }
  supply psu is supply_48v_480w {
    place = oven
    full_power_to = 60 degC
    derating = 2.5 %/K
  }
}
`;
    expect(valuesOf(text)('psu.available_power')).toBeCloseTo(power, 6);
  });

  // A relay maker's example: 8 A and 1.6 V are 12.8 W.
  test('a solid-state relay for AC loses 1.6 W for each ampere', () => {
    const value = valuesOf(mains('400 W'));
    expect((value('mat_power.relay.loss') / value('mat_power.relay.current')) * 8).toBeCloseTo(12.8, 6);
  });

  // P = U I: 400 W at 230 V draw 1.74 A, 750 W at 120 V 6.25 A.
  test('label currents on mains', () => {
    expect(valuesOf(mains('400 W'))('mat.label_current')).toBeCloseTo(1.74, 2);
    expect(valuesOf(mains('750 W', 120))('mat.label_current')).toBeCloseTo(6.25, 6);
  });

  // P = U^2/R: twice the voltage gives four times the power.
  test('a mat for 12 V on 24 V takes four times its power', () => {
    const text = bench({ power: '60 W' }).replace('voltage = 24 V', 'voltage = 12 V');
    expect(valuesOf(text)('mat.power_there')).toBeCloseTo(240, 9);
    expect(broken(text)[0]).toBe('voltage_mismatch');
  });

  // P = (U - R I) I, the definition of power: what a supply draws satisfies it, whatever drops before it.
  test('a supply behind a wire draws the power that it needs, at the voltage that reaches it', () => {
    const value = valuesOf(`machine Bench {
  ambient = 20 degC
  supply big is supply_48v_480w
  supply small is supply_12v_350w
  heater mat {
    power = 120 W
    voltage = 12 V
    size = 200 mm x 200 mm
  }
  circuit feed {
    fuse is blade_5a
    wire {
      area = 1.5 mm^2
      length = 4 m
    }
    path = [big, fuse, wire, small]
  }
  circuit mat_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.5 m
    }
    path = [small, fuse, wire, mat]
  }
}
`);
    const [current, series] = [value('feed.current'), value('feed.series_resistance')];
    expect((48 - series * current) * current).toBeCloseTo(value('small.input_power'), 9);
    expect(value('small.input_power')).toBeCloseTo(value('mat_power.source_power') / 0.85, 9);
    expect(value('big.load_power')).toBeCloseTo(48 * current, 9);
  });
});

function mains(power: string, voltage = 230): string {
  return `machine Bench {
  ambient = 20 degC
  mains = ${voltage} V
  inlet is inlet_10a
  board controller is board_5_axis
  heater mat {
    power = ${power}
    voltage = ${voltage} V
    size = 300 mm x 300 mm
  }
  circuit mat_power {
    relay is relay_ac_25a {
      control = controller.bed_output
    }
    wire {
      area = 1.5 mm^2
      length = 1 m
    }
    path = [inlet, relay, wire, mat]
  }
}
`;
}

describe('ways back, inlets and sites', () => {
  const oneWire = (wayBack: string) => `machine Bench {
  ambient = 40 degC
  supply psu is supply_24v_600w
  load lamp {
    voltage = 24 V
    power = 48 W
  }
  wire frame_strap {
    area = 10 mm^2
    length = 1 m
  }
  circuit lamp_power {
    fuse is blade_5a
    wire {
      area = 1 mm^2
      length = 1 m
    }
    path = [psu, fuse, wire, lamp]
    ${wayBack}
  }
}
`;

  // Resistances in series add up; 1 mm^2 and 10 mm^2 of IEC 60228 class 5 have 19.5 and 1.91 ohm/km, warm 1.157 times that.
  test('current comes back through a second wire, unless another way back is given', () => {
    const warm = 294.5 / 254.5;
    expect(valuesOf(oneWire(''))('lamp_power.resistance_back')).toBeCloseTo(19.5 * milli * warm, 9);
    const strapped = valuesOf(oneWire('way_back = [frame_strap]'));
    expect(strapped('lamp_power.resistance_back')).toBeCloseTo(1.91 * milli * warm, 9);
    expect(strapped('frame_strap.current')).toBeCloseTo(strapped('lamp_power.current'), 12);
  });

  const withInlet = `machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a {
    residual_current = 30 mA
    residual_type = a
    frame_earth = frame_bond
  }
  wire frame_bond {
    area = 1 mm^2
    length = 1 m
  }
  wire supply_earth {
    area = 1 mm^2
    length = 1 m
  }
  supply psu is supply_24v_350w {
    touch_proof = yes
    earthed = neither
  }
  load lamp {
    voltage = 24 V
    power = 240 W
  }
  circuit mains_side {
    fuse is cartridge_4a { touch_proof = yes }
    wire {
      area = 1 mm^2
      length = 1 m
    }
    path = [inlet, fuse, wire, psu]
    earth = supply_earth
  }
  circuit lamp_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 1 m
    }
    path = [psu, fuse, wire, lamp]
  }
}
`;

  // Energy is kept: what the mains give is what the supply takes, and what is lost on the way to it.
  test('a supply is the load of the mains and the source of what is behind it', () => {
    const value = valuesOf(withInlet);
    expect(value('psu.input_power')).toBeCloseTo((24 * value('lamp_power.current')) / 0.85, 9);
    expect(value('mains_power')).toBeCloseTo(value('psu.input_power') + value('mains_side.loss'), 9);
    expect(broken(withInlet)).toEqual([]);
  });

  test('a site adds up its machines, and each machine counts its own parts once', () => {
    const site = (n: number) =>
      `${withInlet}\nsite Club {\n  mains_voltage = 230 V\n  breaker = 16 A\n  machine bench * ${n} is Bench\n}\n`;
    const club = (n: number) => valuesOf(site(n), 'Club');
    const one = valuesOf(withInlet);
    expect(club(3)('power')).toBeCloseTo(3 * one('mains_power'), 9);
    expect(club(3)('bench.psu.load_power')).toBeCloseTo(one('psu.load_power'), 9);
    expect(club(3)('bench.lamp_power.fuse.current')).toBeCloseTo(one('lamp_power.fuse.current'), 9);
  });
});

describe('branches', () => {
  const text = `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_600w
  fuse main is blade_15a
  wire trunk {
    area = 2.5 mm^2
    length = 2 m
  }
  heater left {
    power = 100 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  heater right {
    power = 60 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  circuit left_power {
    wire {
      area = 1 mm^2
      length = 1 m
    }
    path = [psu, main, trunk, wire, left]
  }
  circuit right_power {
    wire {
      area = 1 mm^2
      length = 0.5 m
    }
    path = [psu, main, trunk, wire, right]
  }
}
`;

  test('what branches share carries what all of them take', () => {
    const value = valuesOf(text);
    const sum = value('left_power.current') + value('right_power.current');
    expect(value('trunk.current')).toBeCloseTo(sum, 9);
    expect(value('main.current')).toBeCloseTo(sum, 9);
    expect(value('psu.load_power')).toBeCloseTo(24 * sum, 9);
  });

  // A circuit simulator as an independent solution of the whole network.
  test('against a circuit simulator', () => {
    const value = valuesOf(text);
    const [r, k] = [(path: string) => value(`${path}.resistance`), (path: string) => value(`${path}.cold_resistance`)];
    const currents = simulate(
      [
        'V1 a 0 24',
        `Rmain a b ${r('main')}`,
        `Rtrunk b c ${2 * r('trunk')}`,
        `Rleftwire c d ${2 * r('left_power.wire')}`,
        `Rleft d 0 ${k('left')}`,
        `Rrightwire c e ${2 * r('right_power.wire')}`,
        `Rright e 0 ${k('right')}`,
      ],
      ['Rleft', 'Rright'],
    );
    for (const [name, circuit] of [
      ['Rleft', 'left_power'],
      ['Rright', 'right_power'],
    ] as const) {
      const simulated = currents.get(name.toLowerCase()) as number;
      expect(value(`${circuit}.current`) / simulated).toBeCloseTo(1, 9);
    }
  });

  test('a single chain equals the simulator to nine digits', () => {
    const value = valuesOf(bench());
    const series = value('mat_power.fuse.resistance') + 2 * value('mat_power.wire.resistance');
    const currents = simulate(
      ['V1 a 0 24', `Rway a b ${series}`, `Rmat b 0 ${value('mat.cold_resistance')}`],
      ['Rmat'],
    );
    expect(value('mat_power.current') / (currents.get('rmat') as number)).toBeCloseTo(1, 9);
  });
});

describe('what protects a wire', () => {
  const mains = (first: string, second: string, load: string, more = '') => `machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a
  fuse main_fuse is cartridge_10a
  ${load}
  wire tap {
    ${first}
  }
  wire lead {
    ${second}
  }
  circuit power {
    path = [inlet, tap, main_fuse, lead, item]${more}
  }
}
`;
  const unprotected = (text: string) => broken(text).filter((rule) => rule === 'wire_unprotected').length;
  const mat = 'heater item {\n    power = 400 W\n    voltage = 230 V\n    size = 200 mm x 200 mm\n  }';
  const lamp = 'steady_load item {\n    power = 400 W\n    voltage = 230 V\n  }';
  const thick = 'area = 2.5 mm^2\n    length = 100 mm';
  const thin = 'area = 1 mm^2\n    length = 0.9 m';

  // IEC 60364-4-43, 433.3.1 and 434.5.2, from memory: 10.1 A x 1.45 is less than the 21 A that open the fuse, but a mat cannot overload it, and
  // a short circuit of some hundreds of amperes lets (10 x 10 A)^2 x 0.3 s = 3000 A^2 s through, of 13 225 that 1 mm^2 bears.
  test('a resistance cannot overload it, and a short circuit opens the fuse in time', () => {
    expect(unprotected(mains(thick, thin, mat))).toBe(0);
    // Its neighbours: what can draw more, and wires that the fuse lets too much through for, or that are so long that it opens too late.
    expect(unprotected(mains(thick, thin, lamp))).toBe(1);
    expect(unprotected(mains(thick, 'area = 0.2 mm^2\n    length = 0.9 m', mat))).toBe(1);
    expect(unprotected(mains(thick, 'area = 1 mm^2\n    length = 90 m', mat))).toBe(1);
  });

  test('on a supply that ends its own current the fuse must open by itself', () => {
    const text = (power: string) => `machine Bench {
  ambient = 20 degC
  mains = 230 V
  supply psu is supply_24v_450w
  heater mat {
    power = ${power}
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  circuit power {
    fuse is blade_15a
    wire {
      area = 0.75 mm^2
      length = 0.5 m
    }
    path = [psu, fuse, wire, mat]
  }
}
`;
    expect(unprotected(text('100 W'))).toBe(1);
  });

  // IEC 60364-4-43, 433.2.2 and 434.2.1, from memory: within 3 m; a breaker of 16 A lets up to 18 000 A^2 s through (IEC 60898-1, from memory), and
  // 1.5 mm^2 bears 115^2 x 1.5^2 = 29 756, 1 mm^2 only 13 225. The fuse of 10 A asks for 21 A / 1.45 = 14.5 A.
  test('a short piece between inlet and fuse is protected by the fuse behind it and the breaker before it', () => {
    const fuse = (text: string) => text.replace('is cartridge_10a', 'is cartridge_6_3a');
    const lead = 'area = 2.5 mm^2\n    length = 0.9 m';
    expect(unprotected(fuse(mains('area = 1.5 mm^2\n    length = 100 mm', lead, lamp)))).toBe(0);
    expect(unprotected(fuse(mains('area = 1.5 mm^2\n    length = 4 m', lead, lamp)))).toBe(1);
    expect(unprotected(fuse(mains('area = 1 mm^2\n    length = 100 mm', lead, lamp)))).toBe(1);
    expect(unprotected(mains('area = 1.5 mm^2\n    length = 100 mm', lead, lamp))).toBe(1);
  });

  test('the earth of a circuit that cannot hurt may be thin, that of mains may not', () => {
    const low = `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  heater mat {
    power = 200 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  wire bond {
    area = 0.75 mm^2
    length = 0.5 m
  }
  circuit power {
    wire {
      area = 2.5 mm^2
      length = 0.5 m
    }
    path = [psu, wire, mat]
    earth = bond
  }
}
`;
    expect(broken(low)).not.toContain('earth_too_thin');
    const bond = '\n    earth = bond';
    const high = mains(thick, thin, `${mat}\n  wire bond {\n    area = 0.75 mm^2\n    length = 0.5 m\n  }`, bond);
    expect(broken(high)).toContain('earth_too_thin');
  });
});

describe('contacts by the kind of current', () => {
  const relay = (rating: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  heater mat {
    power = 240 W
    voltage = 24 V
    size = 200 mm x 200 mm
  }
  circuit power {
    relay is relay_coil_24v_16a {
      ${rating}
    }
    path = [psu, relay, mat]
  }
}
`;
  const found = (rating: string) =>
    broken(relay(rating)).filter((rule) => /^relay_(overloaded|near_limit)$/.test(rule));

  // 240 W at 24 V are 9.9 A; 80 % of 12 A are 9.6 A.
  test('what is printed for DC counts on DC: beyond it an error, within its margin a warning', () => {
    expect(found('')).toEqual([]);
    expect(found('rated_dc_current = 12 A')).toEqual(['relay_near_limit']);
    expect(found('rated_dc_current = 8 A')).toEqual(['relay_overloaded']);
  });
});
