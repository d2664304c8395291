import { describe, expect, test } from 'vitest';
import { generator } from './oracle.ts';
import { broken, valuesOf } from './values.ts';

// How the gap of the first layer changes as a machine gets warm: against lengths that are summed along what holds nozzle and bed, piece by
// piece, with coefficients of expansion of a handbook.

/** Linear expansion in 1e-6/K, from memory: Callister, Materials Science and Engineering, appendix B.6. */
const handbook = { brass: [18.7, 20.5], aluminium: [22.5, 24], steel: [11, 12.3] } as const;

const machine = (rest: string, levelling: string) => `machine Bench {
  ambient = 20 degC
  bed {
    target = 60 degC
    plate { size = 200 mm x 200 mm
      thickness = 6 mm
      material = aluminium }
  }
  extruder { filament = pla
    hot_end { target = 220 degC } }
  moving_tool motion {
    carriage_mass = 0.4 kg
    z { travel = 250 mm
      wanted_speed = 5 mm/s
      wanted_acceleration = 100 mm/s^2
      screw_drive drive { screw is screw_8x2 { length = 300 mm } } }
  }
  box_frame frame { column = section_20x20
    height = 400 mm
    width = 400 mm
    depth = 400 mm }
  levelling { supports = 160 mm x 160 mm
    bed_probe is probe_pin
    ${levelling} }
  ${rest}
}
`;
const hot = (air: number) => `place warm { temperature = ${air} degC }`;

/** Length that a bar has grown by, of many slices, each as warm as its place along it. */
function grown(length: number, expansion: number, warmer: (share: number) => number): number {
  const slices = 1000;
  return Array.from({ length: slices }, (_, i) => (length / slices) * expansion * warmer((i + 0.5) / slices)).reduce(
    (a, b) => a + b,
    0,
  );
}

describe('the gap of the first layer', () => {
  test('grows by what a handbook says of brass, aluminium and steel', () => {
    const read = valuesOf(machine('', ''));
    const nozzle = (each: number) => grown(0.025, each * 1e-6, () => 200);
    expect(read('levelling.nozzle_growth')).toBeGreaterThan(nozzle(handbook.brass[0]));
    expect(read('levelling.nozzle_growth')).toBeLessThan(nozzle(handbook.brass[1]));
    // The posts under the plate are as warm as that at its side, and as the air at the other.
    const bed = (which: 0 | 1) =>
      grown(0.03, handbook.steel[which] * 1e-6, (share) => 40 * share) +
      grown(0.006, handbook.aluminium[which] * 1e-6, () => 40);
    expect(read('levelling.bed_growth')).toBeGreaterThan(bed(0));
    expect(read('levelling.bed_growth')).toBeLessThan(bed(1));
  });

  // Three states of one machine, each a sum along the loop from nozzle over frame and screws to the plate: cold, nozzle and bed warm, all
  // warm through. What the gap changes by is the difference of two of them; the library counts what may go either way to the worse.
  test('changes by the difference of two states', () => {
    const random = generator(401);
    for (let i = 0; i < 30; i++) {
      const [air, hotLength, post, loop] = [random(25, 70), random(0.015, 0.04), random(0.01, 0.05), random(0.1, 0.5)];
      const own = { nozzle: random(10, 24), frame: random(10, 24), screw: 12, plate: 0 };
      const rest = `hot_length = ${hotLength} m
    hot_expansion = ${own.nozzle} um/(m*K)
    bed_height = ${post} m
    loop_height = ${loop} m
    unlike_expansion = ${Math.abs(own.frame - own.screw)} um/(m*K)`;
      const at = (found: string) => {
        const text = machine(hot(air), `${rest}\n found_when = ${found}`).replace(
          'moving_tool motion {',
          'moving_tool motion { place = warm',
        );
        return valuesOf(text);
      };
      own.plate = (at('cold')('levelling.bed_growth') / 40 - (post * 12e-6) / 2) / 0.006;
      const gap = (nozzle: number, bed: number, around: number) =>
        -grown(hotLength, own.nozzle * 1e-6, () => nozzle) -
        grown(post, 12e-6, (share) => bed * share) -
        grown(0.006, own.plate, () => bed) -
        Math.abs(grown(loop, own.frame * 1e-6, () => around) - grown(loop, 12e-6, () => around));
      const states = { cold: gap(0, 0, 0), heated: gap(200, 40, 0), soaked: gap(200, 40, air - 20) };
      // Over a bed 40 K warmer than the air a probe gets a quarter of that warmer: found warm, it is cold at the first print, and grown at
      // the tenth.
      const probe = { cold: 0, heated: grown(0.04, 20e-6, () => 10), soaked: 0 };
      for (const found of ['cold', 'heated', 'soaked'] as const) {
        const change = Math.abs(states.soaked - states[found]) + probe[found];
        expect(at(found)('levelling.gap_change'), found).toBeCloseTo(change, 9);
      }
    }
  });

  // 25 mm of brass that get 200 K warmer are 0.1 mm: half of a first layer of 0.2 mm. Found warm, it is gone.
  test('is told of where the height is found cold, and not where it is found warm', () => {
    expect(broken(machine('', 'found_when = cold'))).toContain('first_layer_drifts');
    expect(broken(machine('', 'found_when = heated'))).not.toContain('first_layer_drifts');
    expect(broken(machine('', ''))).not.toContain('first_layer_drifts');
    const chamber = machine(hot(60), '').replace('moving_tool motion {', 'moving_tool motion { place = warm');
    expect(broken(chamber)).toContain('first_layer_drifts');
    expect(broken(chamber.replace('bed_probe is', 'found_when = soaked\n bed_probe is'))).not.toContain(
      'first_layer_drifts',
    );
  });
});
