import { describe, expect, test } from 'vitest';
import { simulate } from './simulator.ts';
import { broken, valuesOf } from './values.ts';

/** Numbers between 0 and 1 that are the same on every machine (a linear congruence, Numerical Recipes, 3rd ed., 7.1). */
function randomly(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

interface Network {
  readonly text: string;
  readonly deck: readonly string[];
  /** Circuits, each with the resistor of the deck that carries its current. */
  readonly circuits: ReadonlyMap<string, string>;
}

/**
 * A supply with a resistance of its own, a trunk that all share (with or without a second conductor), branches to heaters, and
 * some to converters of constant power that feed heaters of their own, all with random values; as a machine and as a netlist.
 */
function network(seed: number): Network {
  const random = randomly(seed);
  const between = (low: number, high: number) => low + (high - low) * random();
  const ohms = (low: number, high: number) => Number(between(low, high).toFixed(4));
  const isPaired = random() < 0.5;
  const [inner, trunk, back] = [ohms(0, 0.05), ohms(0.005, 0.1), ohms(0.005, 0.1)];
  const blocks = [`supply psu {\n    voltage = 24 V\n    power = 2000 W\n    resistance = ${inner} ohm\n  }`];
  blocks.push(
    `element trunk {\n    resistance = ${trunk} ohm\n  }`,
    `element back {\n    resistance = ${back} ohm\n  }`,
  );
  const deck = [
    `V1 s 0 24`,
    `Rinner s p ${inner || 1e-12}`,
    `Rtrunk p t ${trunk}`,
    `Rback m 0 ${isPaired ? 1e-12 : back}`,
  ];
  const circuits = new Map<string, string>();
  const wayBack = isPaired ? '' : '\n    way_back = [back]';
  const branches = 1 + Math.floor(between(0, 5));
  for (let n = 1; n <= branches; n++) {
    const branch = ohms(0.01, 0.3);
    blocks.push(`element lead_${n} {\n    resistance = ${branch} ohm\n  }`);
    deck.push(`Rlead${n} t a${n} ${branch}`);
    if (random() < 0.6) {
      const power = Math.round(between(5, 120));
      blocks.push(`heater load_${n} {\n    power = ${power} W\n    voltage = 24 V\n    size = 100 mm x 100 mm\n  }`);
      blocks.push(
        `circuit power_${n} {\n    path = [psu, trunk, lead_${n}, load_${n}]${isPaired ? '\n    way_back = []' : wayBack}\n  }`,
      );
      deck.push(`Rload${n} a${n} m ${24 ** 2 / power}`);
    } else {
      const [power, efficiency, after] = [
        Math.round(between(2, 40)),
        Number(between(0.7, 0.95).toFixed(2)),
        ohms(0.01, 0.2),
      ];
      blocks.push(
        `supply small_${n} {\n    voltage = 12 V\n    power = 200 W\n    efficiency = ${Math.round(efficiency * 100)} %\n  }`,
      );
      blocks.push(`element after_${n} {\n    resistance = ${after} ohm\n  }`);
      blocks.push(`heater load_${n} {\n    power = ${power} W\n    voltage = 12 V\n    size = 100 mm x 100 mm\n  }`);
      blocks.push(
        `circuit power_${n} {\n    path = [psu, trunk, lead_${n}, small_${n}]${isPaired ? '\n    way_back = []' : wayBack}\n  }`,
      );
      blocks.push(`circuit fed_${n} {\n    path = [small_${n}, after_${n}, load_${n}]\n    way_back = []\n  }`);
      deck.push(`Vsmall${n} o${n} 0 12`, `Rafter${n} o${n} q${n} ${after}`, `Rload${n} q${n} 0 ${12 ** 2 / power}`);
      deck.push(`Bsmall${n} a${n} m I = -12 * I(Vsmall${n}) / ${Math.round(efficiency * 100) / 100} / V(a${n},m)`);
      circuits.set(`fed_${n}`, `Rafter${n}`);
    }
    circuits.set(`power_${n}`, `Rlead${n}`);
  }
  const text = `machine Net {\n  ambient = 20 degC\n  mains = 230 V\n  ${blocks.join('\n  ')}\n}\n`;
  return { text, deck, circuits };
}

/**
 * A machine on mains: an inlet with a heater on AC and two supplies, of 24 V and of 48 V, whose loads share one way back. At 24 V hang heaters,
 * electronics of constant power, a diode, and rails of 12 V and of 5 V, one behind the other; at 48 V heaters and electronics. Some wires
 * are of the library's own kind, with both their conductors. All with random values; as a machine and as a netlist, mains as root mean square.
 */
function mixed(seed: number): Network {
  const random = randomly(1000 + seed);
  const between = (low: number, high: number) => low + (high - low) * random();
  const ohms = (low: number, high: number) => Number(between(low, high).toFixed(4));
  const watts = (low: number, high: number) => Math.round(between(low, high));
  const share = (low: number, high: number) => Math.round(between(low, high) * 100);
  const blocks: string[] = [];
  const deck: string[] = [];
  const circuits = new Map<string, string>();
  const element = (name: string, value: number) => blocks.push(`element ${name} {\n    resistance = ${value} ohm\n  }`);
  const circuit = (name: string, path: string[], back: string[] | undefined, resistor: string) => {
    const wayBack = back ? `\n    way_back = [${back.join(', ')}]` : '';
    blocks.push(`circuit ${name} {\n    path = [${path.join(', ')}]${wayBack}\n  }`);
    circuits.set(name, resistor);
  };
  const heater = (name: string, power: number, voltage: number) =>
    blocks.push(
      `heater ${name} {\n    power = ${power} W\n    voltage = ${voltage} V\n    size = 100 mm x 100 mm\n  }`,
    );

  // The mains side: one line and one neutral for all, and a branch for each.
  const [line, neutral] = [ohms(0.01, 0.4), ohms(0.01, 0.4)];
  element('line_wire', line);
  element('neutral_wire', neutral);
  blocks.push('inlet is inlet_16a');
  deck.push('Vmains l 0 230', `Rline l k ${line}`, `Rneutral n 0 ${neutral}`);
  const bed = watts(100, 1500);
  heater('mains_bed', bed, 230);
  element('bed_lead', 0.1);
  circuit('bed_power', ['inlet', 'line_wire', 'bed_lead', 'mains_bed'], ['neutral_wire'], 'Rbedlead');
  deck.push('Rbedlead k b 0.1', `Rbed b n ${230 ** 2 / bed}`);

  // What both supplies come back through.
  const ground = ohms(0.001, 0.05);
  element('ground', ground);
  deck.push(`Rground m 0 ${ground}`);
  for (const voltage of [24, 48]) {
    const [efficiency, factor, lead] = [share(0.7, 0.95), share(0.5, 0.99), ohms(0.01, 0.3)];
    const psu = `psu_${voltage}`;
    blocks.push(
      `supply ${psu} {\n    voltage = ${voltage} V\n    power = 2000 W\n    efficiency = ${efficiency} %\n    mains_power_factor = ${factor / 100}\n  }`,
    );
    element(`lead_${voltage}`, lead);
    circuit(`in_${voltage}`, ['inlet', 'line_wire', `lead_${voltage}`, psu], ['neutral_wire'], `Rlead${voltage}`);
    deck.push(
      `Rlead${voltage} k a${voltage} ${lead}`,
      `Vout${voltage} s${voltage} 0 ${voltage}`,
      `Bin${voltage} a${voltage} n I = -${voltage} * I(Vout${voltage}) / ${efficiency / 100} / ${factor / 100} / V(a${voltage},n)`,
    );
    for (let n = 1; n <= 1 + Math.floor(between(0, 3)); n++) {
      const [name, ohm] = [`${voltage}_${n}`, ohms(0.01, 0.2)];
      element(`branch_${name}`, ohm);
      deck.push(`Rbranch${name} s${voltage} c${name} ${ohm}`);
      if (random() < 0.5) {
        const power = watts(5, 150);
        heater(`load_${name}`, power, voltage);
        circuit(`to_${name}`, [psu, `branch_${name}`, `load_${name}`], ['ground'], `Rbranch${name}`);
        deck.push(`Rload${name} c${name} m ${voltage ** 2 / power}`);
      } else {
        const [power, kept] = [watts(5, 60), random() < 0.5 ? 0.4 : 0];
        blocks.push(`element diode_${name} {\n    forward_voltage = ${kept} V\n  }`);
        blocks.push(`steady_load load_${name} {\n    power = ${power} W\n    voltage = ${voltage} V\n  }`);
        const isBehind = random() < 0.5;
        const out = [psu, `branch_${name}`, ...(isBehind ? [] : [`diode_${name}`]), `load_${name}`];
        circuit(`to_${name}`, out, isBehind ? [`diode_${name}`, 'ground'] : ['ground'], `Rbranch${name}`);
        deck.push(`Vdiode${name} c${name} d${name} ${kept}`, `Bload${name} d${name} m I = ${power} / V(d${name},m)`);
      }
    }
  }

  // Rails of 12 V and of 5 V, and a wire with both its conductors: 1.5 mm^2 of class 5 have 13.3 ohm/km, at 60 degC 294.5/254.5 times that.
  const metres = Number(between(0.2, 3).toFixed(2));
  const wire = 2 * metres * 13.3e-3 * (294.5 / 254.5);
  blocks.push(`wire rail_lead {\n    area = 1.5 mm^2\n    length = ${metres} m\n  }`);
  const [first, second, small, lamp] = [share(0.8, 0.95), share(0.8, 0.95), watts(1, 15), watts(1, 20)];
  for (const [voltage, efficiency] of [
    [12, first],
    [5, second],
  ])
    blocks.push(
      `step_down rail_${voltage} {\n    voltage = ${voltage} V\n    rated_current = 50 A\n    highest_input = 40 V\n    efficiency = ${efficiency} %\n  }`,
    );
  element('rail_link', 0.02);
  element('lamp_lead', 0.05);
  element('brain_lead', 0.01);
  blocks.push(`light lamp {\n    power = ${lamp} W\n    voltage = 12 V\n  }`);
  blocks.push(`computer brain {\n    power = ${small} W\n  }`);
  circuit('rail_power', ['psu_24', 'rail_lead', 'rail_12'], undefined, 'Rrail');
  circuit('lamp_power', ['rail_12', 'lamp_lead', 'lamp'], [], 'Rlamplead');
  circuit('link_power', ['rail_12', 'rail_link', 'rail_5'], [], 'Rlink');
  circuit('brain_power', ['rail_5', 'brain_lead', 'brain'], [], 'Rbrain');
  deck.push(
    `Rrail s24 e ${wire}`,
    `Brail e 0 I = -12 * I(Vtwelve) / ${first / 100} / V(e)`,
    'Vtwelve t 0 12',
    'Rlamplead t u 0.05',
    `Rlamp u 0 ${12 ** 2 / lamp}`,
    'Rlink t v 0.02',
    `Blink v 0 I = -5 * I(Vfive) / ${second / 100} / V(v)`,
    'Vfive f 0 5',
    'Rbrain f g 0.01',
    `Bbrain g 0 I = ${small} / V(g)`,
  );
  // The simulator starts from the voltages without load: nothing can be divided by none.
  const starts = deck.flatMap((part) => {
    const [name = '', node = ''] = part.split(' ');
    if (!name.startsWith('B')) return [];
    const volts = name.startsWith('Bin')
      ? 230
      : name === 'Blink'
        ? 12
        : name === 'Bbrain'
          ? 5
          : node.includes('48')
            ? 48
            : 24;
    return [`.nodeset V(${node})=${volts}`];
  });
  const text = `machine Net {\n  ambient = 20 degC\n  mains = 230 V\n  ${blocks.join('\n  ')}\n}\n`;
  return { text, deck: [...deck, ...starts], circuits };
}

let largest = 0;

describe('circuits that share a supply, a trunk and a way back, against a circuit simulator', () => {
  test.each([
    ...Array.from({ length: 40 }, (_, i) => [i + 1, 'branches and converters', network] as const),
    ...Array.from({ length: 20 }, (_, i) => [i + 1, 'mains, two supplies, rails and electronics', mixed] as const),
  ])('network %i of %s', (seed, _, made) => {
    const { text, deck, circuits } = made(seed);
    const value = valuesOf(text);
    const currents = simulate(deck, [...circuits.values()]);
    for (const [circuit, resistor] of circuits) {
      const simulated = currents.get(resistor.toLowerCase()) as number;
      const error = Math.abs(value(`${circuit}.current`) / simulated - 1);
      largest = Math.max(largest, error);
      expect(error).toBeLessThan(1e-7);
    }
  });

  test('the largest error', () => {
    console.log(`largest difference from the simulator: ${largest.toExponential(1)}`);
    expect(largest).toBeGreaterThan(0);
  });
});

/** All largest sets of 1 to `count` without one of the pairs, by trying every set. */
function largestSets(count: number, pairs: readonly (readonly [number, number])[]): number[][] {
  const sets = Array.from({ length: 2 ** count }, (_, bits) =>
    Array.from({ length: count }, (_, i) => i + 1).filter((n) => bits & (1 << (n - 1))),
  ).filter((set) => !pairs.some(([a, b]) => set.includes(a) && set.includes(b)));
  return sets.filter((set) => !sets.some((other) => other.length > set.length && set.every((n) => other.includes(n))));
}

/** The same network, in which some branches are never on with some others; and what each combination that can occur comes to. */
function exclusive(seed: number) {
  const { text, deck, circuits } = network(seed);
  const random = randomly(5000 + seed);
  const count = deck.filter((card) => card.startsWith('Rlead')).length;
  const pairs: [number, number][] = [];
  let excluding = text;
  for (let n = 1; n <= count; n++) {
    const other = 1 + Math.floor(random() * count);
    if (other === n || random() < 0.3) continue;
    pairs.push([n, other]);
    excluding = excluding.replace(`circuit power_${n} {`, `circuit power_${n} {\n    never_with = power_${other}`);
  }
  const combinations = largestSets(count, pairs).map((on) => simulated(deck, circuits, on));
  return { text: excluding, circuits, combinations, isExclusive: pairs.length > 0 };
}

/** Currents by circuit with only some branches on: what hangs at the others is taken out of the netlist. */
function simulated(deck: readonly string[], circuits: ReadonlyMap<string, string>, on: readonly number[]) {
  const isOn = (name: string) => on.includes(Number(/(\d+)$/.exec(name)?.[1] ?? on[0]));
  const left = deck.filter((card) => !/^(Rload|Bsmall|Vsmall|Rafter)/.test(card) || isOn(card.split(' ')[0] as string));
  const wanted = [...circuits].filter(([circuit]) => isOn(circuit));
  const currents = simulate(
    left,
    wanted.map(([, resistor]) => resistor),
  );
  return new Map(wanted.map(([circuit, resistor]) => [circuit, currents.get(resistor.toLowerCase()) as number]));
}

function near(found: number, wanted: number): void {
  expect(Math.abs(found / wanted - 1)).toBeLessThan(1e-7);
}

describe('circuits of which some are never on with others, each combination solved by a circuit simulator', () => {
  const networks = Array.from({ length: 40 }, (_, i) => i + 101);

  test.each(networks)('network %i', (seed) => {
    const { text, circuits, combinations } = exclusive(seed);
    const value = valuesOf(text);
    for (const circuit of circuits.keys())
      near(value(`${circuit}.current`), Math.max(...combinations.map((c) => c.get(circuit) ?? 0)));
    const through = combinations.map((c) =>
      [...c].reduce((sum, [name, amps]) => (name.startsWith('p') ? sum + amps : sum), 0),
    );
    near(value('trunk.current'), Math.max(...through));
    near(value('psu.load_power'), 24 * Math.max(...through));
    near(value('psu.given_current'), Math.max(...through));
  });

  test('most of them have exclusions', () => {
    const lines = networks.map((seed) => exclusive(seed).isExclusive);
    expect(lines.filter(Boolean).length).toBeGreaterThan(15);
  });
});

const heaters = (loads: readonly [name: string, power: number, more?: string][], voltage = 24) =>
  loads
    .map(
      ([name, power, more]) => `  heater ${name} {
    power = ${power} W
    voltage = ${voltage} V
  }
  circuit ${name}_power {
    ${more ?? ''}
    path = [psu, ${name}]
  }
`,
    )
    .join('');

const bench = (blocks: string) => `machine Net {
  ambient = 20 degC
  mains = 230 V
${blocks}}
`;

describe('what is never on together', () => {
  const psu = '  supply psu {\n    voltage = 24 V\n    power = 1000 W\n    efficiency = 80 %\n  }\n';

  test('two that run together, neither with a third: both are counted, and the third is not', () => {
    const three: [string, number, string?][] = [
      ['a', 200, 'never_with = c_power'],
      ['b', 200, 'never_with = c_power'],
      ['c', 100],
    ];
    const value = valuesOf(bench(psu + heaters(three)));
    expect(value('psu.load_power')).toBeCloseTo(400, 9);
    expect(value('mains_power')).toBeCloseTo(500, 9);
    const weaker: [string, number, string?][] = [
      ['a', 200, 'never_with = c_power'],
      ['b', 200, 'never_with = c_power'],
      ['c', 500],
    ];
    expect(valuesOf(bench(psu + heaters(weaker)))('psu.load_power')).toBeCloseTo(500, 9);
  });

  // 240 W / 0.8 = 300 W at 230 V and a power factor of 0.6.
  test('through a converter too: its input, the inlet and the mains bear one of the two', () => {
    const value = valuesOf(
      bench(
        `  inlet is inlet_16a\n${psu}${heaters([
          ['a', 240, 'never_with = b_power'],
          ['b', 240],
        ])}  circuit feed {\n    path = [inlet, psu]\n  }\n`,
      ),
    );
    const amperes = 300 / 0.6 / 230;
    expect(value('psu.load_power')).toBeCloseTo(240, 9);
    expect(value('psu.input_power')).toBeCloseTo(300, 9);
    expect(value('psu.loss')).toBeCloseTo(60, 9);
    expect(value('feed.current')).toBeCloseTo(amperes, 9);
    expect(value('inlet.given_current')).toBeCloseTo(amperes, 9);
    expect(value('mains_power')).toBeCloseTo(300, 9);
    expect(value('mains_current')).toBeCloseTo(amperes, 9);
  });

  test('what hangs behind a supply that is off is off too, and its inrush is not added', () => {
    const value = valuesOf(
      bench(
        `  inlet is inlet_16a
  switch main {
    rated_current = 16 A
    resistance = 0 ohm
  }
  supply psu {
    voltage = 24 V
    power = 1000 W
    efficiency = 80 %
  }
  supply other {
    voltage = 48 V
    power = 1000 W
    efficiency = 80 %
  }
${heaters([['a', 240]])}  heater b {
    power = 480 W
    voltage = 48 V
  }
  circuit b_power {
    path = [other, b]
  }
  circuit feed {
    path = [inlet, main, psu]
    never_with = other_feed
  }
  circuit other_feed {
    path = [inlet, main, other]
  }
`,
      ),
    );
    expect(value('inlet.given_current')).toBeCloseTo(480 / 0.8 / 0.6 / 230, 9);
    expect(value('mains_power')).toBeCloseTo(600, 9);
    expect(value('main.inrush_through')).toBeCloseTo((Math.SQRT2 * 230) / 5, 9);
    expect(value('inrush')).toBeCloseTo((Math.SQRT2 * 230) / 5, 9);
  });

  const ring = (count: number) => {
    const blocks = [psu, '  element trunk {\n    resistance = 0.1 ohm\n  }\n'];
    const deck = ['V1 p 0 24', 'Rtrunk p t 0.1'];
    for (let n = 1; n <= count; n++) {
      const power = 10 + 5 * n;
      const next = n === 13 ? 1 : n + 1;
      blocks.push(`  heater load_${n} {\n    power = ${power} W\n    voltage = 24 V\n  }\n`);
      const never = n <= 13 && count >= 13 ? `    never_with = power_${next}\n` : '';
      blocks.push(`  circuit power_${n} {\n${never}    path = [psu, trunk, load_${n}]\n  }\n`);
      deck.push(`Rload${n} t 0 ${24 ** 2 / power}`);
    }
    return { text: bench(blocks.join('')), deck };
  };

  test('of more than twelve exclusions there is an upper bound, and it is said', () => {
    const { text, deck } = ring(13);
    expect(broken(text)).toContain('too_many_exclusions');
    const value = valuesOf(text);
    const pairs = Array.from({ length: 13 }, (_, i) => [i + 1, i === 12 ? 1 : i + 2] as const);
    const sets = largestSets(13, pairs).filter((_, i) => i % 5 === 0);
    expect(sets.length).toBeGreaterThan(5);
    for (const on of sets) {
      const left = deck.filter((card) => !card.startsWith('Rload') || on.includes(Number(/\d+/.exec(card)?.[0])));
      const names = on.map((n) => `Rload${n}`);
      const currents = simulate(left, ['Rtrunk', ...names]);
      expect(value('trunk.current')).toBeGreaterThan(currents.get('rtrunk') as number);
      for (const n of on) {
        const amperes = currents.get(`rload${n}`) as number;
        expect(value(`power_${n}.current`)).toBeGreaterThan(amperes);
        expect(value(`power_${n}.load_voltage`)).toBeLessThan((amperes * 24 ** 2) / (10 + 5 * n));
      }
    }
  });

  test('twelve exclusions that do not touch each other are counted out, all 4096 combinations', () => {
    const pairs = Array.from({ length: 12 }, (_, i): [string, number, string?][] => [
      [`a${i}`, 10 + i, `never_with = b${i}_power`],
      [`b${i}`, 30 - i],
    ]).flat();
    const text = bench(psu + heaters(pairs));
    expect(broken(text)).not.toContain('too_many_exclusions');
    const most = Array.from({ length: 12 }, (_, i) => Math.max(10 + i, 30 - i)).reduce((sum, power) => sum + power, 0);
    expect(valuesOf(text)('psu.load_power')).toBeCloseTo(most, 6);
  });
});

describe('networks that paths do not tell', () => {
  const wires = ['one', 'two', 'both'].map((name) => `  element ${name} {\n    resistance = 0.1 ohm\n  }\n`).join('');
  const mats = ['left', 'right']
    .map((name) => `  heater ${name} {\n    power = 100 W\n    voltage = 24 V\n  }\n`)
    .join('');
  const psu = '  supply psu {\n    voltage = 24 V\n    power = 1000 W\n  }\n';
  const paths = (first: string, second: string) =>
    bench(`${psu}${wires}${mats}  circuit first {\n    ${first}\n  }\n  circuit second {\n    ${second}\n  }\n`);

  test.each([
    ['two ways join in one wire', 'path = [psu, one, both, left]', 'path = [psu, two, both, right]'],
    ['a way that skips what another goes through', 'path = [psu, one, both, left]', 'path = [psu, both, right]'],
    ['the same in another order', 'path = [psu, one, both, left]', 'path = [psu, both, one, right]'],
    ['one load on two circuits', 'path = [psu, one, left]', 'path = [psu, two, left]'],
    ['one load on two circuits, without wires', 'path = [psu, left]', 'path = [psu, two, left]'],
    [
      'ways back that join and part',
      'path = [psu, left]\n    way_back = [one, both]',
      'path = [psu, right]\n    way_back = [two, one]',
    ],
    ['a way back that is another way out', 'path = [psu, one, left]', 'path = [psu, right]\n    way_back = [one]'],
  ])('%s: refused there, and no current is shown', (_, first, second) => {
    const text = paths(first, second);
    expect(broken(text).filter((rule) => rule === 'ways_join')).toHaveLength(1);
    expect(() => valuesOf(text)('second.current')).toThrow();
  });

  test.each([
    ['a branch', 'path = [psu, both, one, left]', 'path = [psu, both, two, right]'],
    ['a branch behind the first load', 'path = [psu, both, left]', 'path = [psu, both, two, right]'],
    [
      'one way back, told from the load on',
      'path = [psu, left]\n    way_back = [one, both]',
      'path = [psu, right]\n    way_back = [two, both]',
    ],
    [
      'one way back, told from the source on',
      'path = [psu, left]\n    way_back = [both, one]',
      'path = [psu, right]\n    way_back = [both, two]',
    ],
  ])('%s is a network that paths tell', (_, first, second) => {
    const text = paths(first, second);
    expect(broken(text)).not.toContain('ways_join');
    expect(valuesOf(text)('both.current')).toBeGreaterThan(7);
  });
});

describe('supplies whose outputs are joined', () => {
  const two = (shares: boolean, more = '') => {
    const lines = (name: string, other: string) => `  supply ${name} {
    voltage = 24 V
    power = 350 W
    efficiency = 80 %
    resistance = 0 ohm
    shares_load = ${shares ? 'yes' : 'no'}${other}
  }
`;
    return bench(
      `  inlet is inlet_16a
${lines('psu', '\n    parallel_with = other')}${lines('other', '')}${heaters([['mat', 600]])}  circuit feed {
    path = [inlet, psu]
  }
  circuit other_feed {
    path = [inlet, other]
  }
${more}}
`.replace(/}\n$/, ''),
    );
  };
  const input = 600 / 0.8 / 0.6 / 230;

  test("with both makers' word that they share, each bears half", () => {
    const value = valuesOf(two(true));
    expect(value('psu.load_power')).toBeCloseTo(300, 9);
    expect(value('other.load_power')).toBeCloseTo(300, 9);
    expect(value('psu.available_power')).toBeCloseTo(0.9 * 350, 9);
    expect(value('feed.current')).toBeCloseTo(input / 2, 9);
    expect(value('other_feed.current')).toBeCloseTo(input / 2, 9);
    expect(value('inlet.given_current')).toBeCloseTo(input, 9);
    expect(value('mains_power')).toBeCloseTo(750, 9);
    expect(broken(two(true))).not.toContain('supply_overloaded');
  });

  test('without it each must bear all alone, and the inlet all of it once', () => {
    const value = valuesOf(two(false));
    for (const name of ['psu', 'other']) expect(value(`${name}.load_power`)).toBeCloseTo(600, 9);
    expect(value('feed.current')).toBeCloseTo(input, 9);
    expect(value('other_feed.current')).toBeCloseTo(input, 9);
    expect(value('inlet.given_current')).toBeCloseTo(input, 9);
    expect(value('mains_power')).toBeCloseTo(750, 9);
    expect(value('inlet.given_current')).toBeCloseTo(input, 9);
    expect(broken(two(false)).filter((rule) => rule === 'supply_overloaded')).toHaveLength(2);
  });

  // Each supply limits at 150 % of 350 W / 24 V.
  test('wires and fuses bear the short-circuit currents of both', () => {
    const value = valuesOf(two(true));
    expect(value('psu.rail_short_circuit')).toBeCloseTo((2 * 1.5 * 350) / 24, 9);
    expect(value('other.rail_limit')).toBeCloseTo((2 * 1.5 * 350) / 24, 9);
    expect(value('psu.least_source_current')).toBeCloseTo((1.5 * 350) / 24, 9);
  });
});

test('more power than the way lets through is said, and not computed', () => {
  const text = `machine Net {
  ambient = 20 degC
  mains = 230 V
  supply psu {
    voltage = 24 V
    power = 2000 W
  }
  element lead {
    resistance = 2 ohm
  }
  supply small {
    voltage = 12 V
    power = 200 W
  }
  heater pad {
    power = 100 W
    voltage = 12 V
    size = 100 mm x 100 mm
  }
  circuit power {
    path = [psu, lead, small]
  }
  circuit fed {
    path = [small, pad]
  }
}
`;
  expect(() => valuesOf(text)('power.current')).toThrow('more power than the way to them lets through');
});
