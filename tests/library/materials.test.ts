import { describe, expect, test } from 'vitest';
import { valuesOf } from './values.ts';

/** Values of the library, read through a kind made up for this test, in coherent SI units. */
function ask(questions: Record<string, string>): (name: string) => number {
  const lines = Object.entries(questions).map(
    ([name, asked]) => `  ${name}: ${asked} {\n    source defined "a question of a test"\n  }`,
  );
  const value = valuesOf(`kind asked_kind {
  inside machine
${lines.join('\n')}
}

machine Bench {
  ambient = 25 degC
  asked_kind {
  }
}
`);
  return (name) => value(`asked_kind.${name}`);
}

const properties = { density: 'Density', specific_heat: 'SpecificHeat', conductivity: 'ThermalConductivity' };

/** Density kg/m^3, specific heat J/(kg K), conductivity W/(m K): what is published, from lowest to highest. */
type Published = [part: string, density: number[], heat: number[], conductivity: number[]];

const materials: Published[] = [
  // 6061-T6: a handbook has 896 and 167, the fit of NIST's cryogenics pages at 300 K 954 and 155.3.
  ['aluminium', [2700], [896, 954], [155.3, 167]],
  ['anodised_aluminium', [2700], [896, 954], [155.3, 167]],
  // Alloy 5083-O, a metal dealer's data sheet.
  ['cast_aluminium', [2660], [900], [117]],
  // Incropera, table A.1, as in the Mechanical Engineers' Handbook, volume 4, table 1.
  ['copper', [8933], [385], [401]],
  // Incropera, table A.1, AISI 304, from memory.
  ['stainless_steel', [7900], [477], [14.9]],
  // Handbooks of 1.1274 and 65Mn, from memory.
  ['spring_steel', [7850], [480], [46, 50]],
  // Specific heat: Callister, appendix B.8; the rest from memory.
  ['borosilicate_glass', [2230], [830, 850], [1.1, 1.2]],
  // From memory: makers' data of solid silicone rubber.
  ['silicone_rubber', [1150, 1500], [1200, 1500], [0.2, 0.4]],
  // Crawford, Plastics Engineering, 3rd edition, table 1.8.
  ['polyetherimide', [1270], [1000, 1200], [0.22]],
  ['ptfe', [2100, 2200], [1000], [0.25]],
  // From memory: sheets of phlogopite mica.
  ['mica', [2100, 2900], [800, 880], [0.3, 0.6]],
  // Incropera, table A.3, from memory.
  ['cork', [120], [1800], [0.039]],
  ['plywood', [545], [1215], [0.12]],
  // Crawford, table 1.8: foam of 32 kg/m^3. Its specific heat is that of solid polyurethane, from memory.
  ['polyurethane_foam', [32], [1300, 1800], [0.032]],
  // From memory: data sheets of acrylic sheet, and handbooks of mild steel. Polycarbonate: Crawford, table 1.8.
  ['acrylic', [1170, 1200], [1400, 1500], [0.17, 0.21]],
  ['painted_steel', [7800, 7870], [434, 490], [45, 64]],
  ['polycarbonate_sheet', [1150, 1200], [1200], [0.2]],
  // From memory: boards and blankets of mineral fibre.
  ['mineral_wool', [64, 130], [840, 1000], [0.035, 0.06]],
];

describe('materials are within what is published', () => {
  test.each(materials)('%s', (part, ...published) => {
    const asked = Object.entries(properties).map(([name, type]) => [name, `${type} = ${part}.${name}`]);
    const value = ask(Object.fromEntries(asked));
    for (const [i, name] of Object.keys(properties).entries()) {
      const range = published[i] as number[];
      expect(value(name), `${part}.${name}`).toBeGreaterThanOrEqual(Math.min(...range) * (1 - 1e-9));
      expect(value(name), `${part}.${name}`).toBeLessThanOrEqual(Math.max(...range) * (1 + 1e-9));
    }
  });

  // Linear expansion in 1e-6/K, from the same tables: 6061, copper, 304 and steel from handbooks, PTFE and PEI from memory.
  test.each([
    ['aluminium', 23.6, 23.6],
    ['cast_aluminium', 22.3, 23.8],
    ['copper', 16.5, 16.5],
    ['stainless_steel', 17.2, 17.2],
    ['spring_steel', 11.5, 12],
    ['borosilicate_glass', 3.3, 3.3],
    ['ptfe', 140, 140],
    ['polyetherimide', 56, 56],
  ])('%s expands by %d to %d', (part, low, high) => {
    const ppm = ask({ asked: `ThermalExpansion = ${part}.expansion` })('asked') * 1e6;
    expect(ppm).toBeGreaterThanOrEqual(low - 1e-6);
    expect(ppm).toBeLessThanOrEqual(high + 1e-6);
  });

  // Wolfe and Zissis, The Infrared Handbook: aluminium as received 0.09; anodised 0.55 thin, 0.82 thick (Incropera A.11), glass 0.85 to 1.
  test.each([
    ['aluminium', 0.04, 0.3],
    ['anodised_aluminium', 0.55, 0.82],
    ['copper', 0.02, 0.05],
    ['borosilicate_glass', 0.85, 1],
  ])('%s radiates with %d to %d', (part, low, high) => {
    const value = ask({ asked: `Ratio = ${part}.emissivity` })('asked');
    expect(value).toBeGreaterThanOrEqual(low);
    expect(value).toBeLessThanOrEqual(high);
  });

  // Fourier's law by hand: 5 mm of cork of 0.09 m^2 and 75 K let 52.7 W through.
  test('a sheet of cork conducts as Fourier says', () => {
    expect(ask({ asked: 'Power = cork.conductivity * 0.09 m^2 * 75 K / 5 mm' })('asked')).toBeCloseTo(52.65, 6);
  });

  // By hand: 300 mm by 300 mm by 6 mm of 6061 weigh 1.458 kg and take 1306.368 J/K.
  test('the heat that a plate takes', () => {
    const value = ask({
      asked: 'HeatCapacity = aluminium.density * 300 mm * 300 mm * 6 mm * aluminium.specific_heat',
    });
    expect(value('asked')).toBeCloseTo(1306.368, 9);
  });
});
