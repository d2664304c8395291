import { describe, expect, test } from 'vitest';
import { simulate } from './simulator.ts';
import { valuesOf } from './values.ts';

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
