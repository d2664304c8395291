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

let largest = 0;

describe('circuits that share a supply, a trunk and a way back, against a circuit simulator', () => {
  test.each(Array.from({ length: 40 }, (_, i) => i + 1))('network %i', (seed) => {
    const { text, deck, circuits } = network(seed);
    const value = valuesOf(text);
    const currents = simulate(deck, [...circuits.values()]);
    for (const [circuit, resistor] of circuits) {
      const simulated = currents.get(resistor.toLowerCase()) as number;
      const error = Math.abs(value(`${circuit}.current`) / simulated - 1);
      largest = Math.max(largest, error);
      // The simulator's own convergence is to 1e-3 of a step by default, far better on these small networks.
      expect(error).toBeLessThan(1e-5);
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
