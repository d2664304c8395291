import { describe, expect, test } from 'vitest';
import { generator, mean, oracle } from './oracle.ts';
import { broken, valuesOf } from './values.ts';

/** kg/m^3, J/(kg K), W/(m K), emissivity: handbook values and values of data sheets, written down a second time. */
const materials = {
  aluminium: [2700, 896, 167, 0.09],
  anodised_aluminium: [2700, 896, 167, 0.8],
  cast_aluminium: [2660, 900, 117, 0.09],
  borosilicate_glass: [2230, 850, 1.15, 0.9],
  silicone_rubber: [1300, 1350, 0.3, 0.9],
  circuit_board: [1850, 1100, 0.3, 0.9],
  polyetherimide: [1270, 1100, 0.22, 0.9],
  ferrite_rubber: [3700, 900, 0.5, 0.9],
  cork: [120, 1800, 0.039, 0.9],
  silicone_foam: [250, 1300, 0.08, 0.9],
  mineral_wool: [100, 900, 0.045, 0.9],
} as const;
type Name = keyof typeof materials;

interface Layer {
  readonly material: Name;
  readonly thickness: number;
  readonly gap?: number;
}

interface Bed {
  readonly ambient: number;
  readonly target: number;
  readonly size: [number, number];
  readonly plate: Layer;
  readonly heater: Layer & { power: number; coefficient: number };
  readonly adhesive?: Layer;
  readonly magnets?: Layer;
  readonly sheet?: Layer;
  readonly surface?: Layer;
  readonly insulation?: Layer;
  readonly cutoff: { opens_at: number; lag: number; on_heater: boolean };
  /** What the plate bears; all else in the bed bears far more. */
  readonly limit: number;
}

const generated = (count: number): Bed[] => {
  const between = generator(11);
  const digits = (low: number, high: number, after = 1) => +between(low, high).toFixed(after);
  const pick = <T>(...from: T[]): T => from[Math.floor(between(0, from.length))] as T;
  return Array.from({ length: count }, () => {
    const size: [number, number] = [digits(100, 400, 0), digits(100, 400, 0)];
    const isTrack = between(0, 1) < 0.3;
    const isGlassy = between(0, 1) < 0.5;
    return {
      ambient: digits(5, 35, 0),
      target: digits(50, 100, 0),
      size,
      plate: { material: pick('aluminium', 'anodised_aluminium', 'cast_aluminium'), thickness: digits(2, 8) },
      heater: {
        material: isTrack ? 'circuit_board' : 'silicone_rubber',
        thickness: digits(1, 2.4),
        gap: isTrack ? digits(0, 0.1, 2) : 0,
        power: +(digits(0.25, 0.8, 2) * size[0] * size[1] * 0.01).toFixed(0),
        coefficient: isTrack ? 0.00393 : 0,
      },
      adhesive: isTrack ? undefined : { material: 'silicone_rubber', thickness: digits(0.05, 0.3, 2) },
      magnets: between(0, 1) < 0.3 ? { material: 'ferrite_rubber', thickness: digits(0.5, 1.5) } : undefined,
      sheet: isGlassy
        ? { material: 'borosilicate_glass', thickness: digits(2, 6), gap: digits(0.02, 0.15, 2) }
        : undefined,
      surface: between(0, 1) < 0.5 ? { material: 'polyetherimide', thickness: digits(0.1, 0.8) } : undefined,
      insulation: pick<Layer | undefined>(
        undefined,
        { material: 'cork', thickness: digits(2, 8) },
        { material: 'silicone_foam', thickness: digits(3, 12) },
        { material: 'mineral_wool', thickness: digits(5, 20) },
      ),
      // Some are so high that a stuck heater never comes to them.
      cutoff: {
        opens_at: between(0, 1) < 0.3 ? digits(250, 600, 0) : digits(115, 150, 0),
        lag: digits(3, 60, 0),
        on_heater: between(0, 1) < 0.4,
      },
      limit: between(0, 1) < 0.3 ? digits(250, 600, 0) : digits(120, 150, 0),
    };
  });
};

function textOf(bed: Bed): string {
  const [w, d] = bed.size;
  const block = (kind: string, layer: Layer | undefined, more = '') =>
    layer
      ? `    ${kind} {
      thickness = ${layer.thickness} mm
      material = ${layer.material}
      size = ${w} mm x ${d} mm
      air_gap = ${layer.gap ?? 0} mm
      limit = ${kind === 'plate' ? bed.limit : 900} degC
${more}    }
`
      : '';
  return `machine Bench {
  ambient = ${bed.ambient} degC
  supply psu is supply_24v_450w
  circuit bed_power {
    wire {
      area = 10 mm^2
      length = 0.5 m
      insulation = glass_braid
      limit = 900 degC
    }
    path = [psu, wire, bed.cutoff, bed.heater]
  }
  bed {
    target = ${bed.target} degC
${block('plate', bed.plate)}${block('magnets', bed.magnets)}${block('sheet', bed.sheet)}${block('surface', bed.surface)}${block('adhesive', bed.adhesive)}${block('insulation', bed.insulation)}${block(
  'heater',
  bed.heater,
  `      power = ${bed.heater.power} W
      voltage = 24 V
      temperature_coefficient = ${bed.heater.coefficient * 100} %/K
`,
)}    cutoff is thermal_link_133c {
      opens_at = ${bed.cutoff.opens_at} degC
      lag = ${bed.cutoff.lag} s
      resistance = 2 mohm
      sits = ${bed.cutoff.on_heater ? 'on_heater' : 'on_plate'}
    }
  }
}
`;
}

/**
 * What lies between the source and the heater: a metre of wire of 10 mm^2, out and back, at most 1.91 mohm/m at 20 degC (IEC 60228,
 * table 3, class 5, from memory), its copper at 60 degC and so by 0.393 %/K more, and the cutoff's contacts.
 */
const series = 1.91e-3 * (1 + 0.00393 * 40) + 2e-3;

/** Whatever its parts bear: where plastics on a bed begin to decompose, as the library counts (common practice, no source). In degC. */
const ceiling = 200;

/** The same bed as SciPy is asked: heat capacities and resistances from the numbers above. */
function caseOf(bed: Bed): object {
  const [w, d] = bed.size.map((side) => side * 1e-3) as [number, number];
  const area = w * d;
  const film = (bed.target + 273.15) / 1;
  const still = 6.6857e-4 + 9.3e-5 * film - 2.5714e-8 * film ** 2;
  const of = ({ material, thickness }: Layer, share = 1) => {
    const [density, heat, conductivity] = materials[material];
    const depth = thickness * 1e-3 * share;
    return { capacity: density * heat * depth * area, resistance: depth / (conductivity * area) };
  };
  const gap = (name: string, layer: Layer | undefined) =>
    layer?.gap ? [{ name, capacity: 0, resistance: (layer.gap * 1e-3) / (still * area) }] : [];
  const there = (name: string, layer: Layer | undefined) => (layer ? [{ name, ...of(layer) }] : []);
  const top = bed.surface ?? bed.sheet ?? bed.plate;
  return {
    ask: 'bed',
    ambient: bed.ambient,
    target: bed.target,
    layers: [
      ...there('insulation', bed.insulation),
      { name: 'heater_below', ...of(bed.heater, 0.5) },
      { name: 'heater_above', ...of(bed.heater, 0.5) },
      ...gap('heater_gap', bed.heater),
      ...there('adhesive', bed.adhesive),
      { name: 'plate', ...of(bed.plate) },
      ...there('magnets', bed.magnets),
      ...gap('sheet_gap', bed.sheet),
      ...there('sheet', bed.sheet),
      ...gap('surface_gap', bed.surface),
      ...there('surface', bed.surface),
    ],
    plate: { size: [w, d], emissivity: materials[bed.plate.material][3] },
    height: (bed.plate.thickness + (bed.sheet?.thickness ?? 0)) * 1e-3,
    top_emissivity: materials[top.material][3],
    heater: {
      resistance: 24 ** 2 / bed.heater.power,
      coefficient: bed.heater.coefficient,
      series,
      voltage: 24,
      // Common practice, no source: supplies can be turned up by a tenth.
      highest_voltage: 24 * 1.1,
    },
    cutoff: bed.cutoff,
    limit: Math.min(bed.limit, ceiling),
  };
}

interface Course {
  readonly warm_up: number;
  readonly ready: number;
  readonly rest: number;
  readonly stuck: number;
  readonly opening: number | null;
  readonly opened: number | null;
  readonly limit: number | null;
}

describe('beds of layers against SciPy', () => {
  test('32 generated beds: warm-up, stuck on, cutoff', () => {
    const beds = generated(32);
    const read = beds.map((bed) => valuesOf(textOf(bed)));
    const theirs = oracle<Course>('bed-oracle.py', beds.map(caseOf));
    for (const value of read) expect(value('bed_power.series_resistance')).toBeCloseTo(series, 5);
    /** The largest error of a path and the mean of the signed ones, printed: times relative, temperatures as kelvins. */
    const largestError = (path: string, of: (course: Course) => number | null, isTime: boolean) => {
      const signed = theirs.flatMap((course, i) => {
        const wanted = of(course);
        if (wanted === null) return [];
        const ours = (read[i] as (path: string) => number)(`bed.${path}`);
        // What is over within a hundred seconds is compared by the second.
        return [isTime ? (ours - wanted) / Math.max(wanted, 100) : ours - 273.15 - wanted];
      });
      const found = { largest: Math.max(...signed.map(Math.abs)), mean: mean(signed) };
      const shown = (error: number) => (isTime ? error.toExponential(1) : `${error.toFixed(3)} K`);
      console.log(`${path}: ${signed.length} beds, largest error ${shown(found.largest)}, mean ${shown(found.mean)}`);
      expect(signed.length).toBeGreaterThan(10);
      // What is off by a constant would lean all to one side.
      expect(Math.abs(found.mean)).toBeLessThan(isTime ? 0.002 : 0.02);
      return found.largest;
    };
    /** Whether it ever comes to that, in ours and in theirs, for every bed. */
    const ever = (path: string, of: (course: Course) => number | null): void => {
      const ours = read.map((value) => {
        try {
          return Number.isFinite(value(`bed.${path}`));
        } catch {
          return false;
        }
      });
      const wanted = theirs.map((course) => of(course) !== null);
      console.log(`${path}: ${wanted.filter((reached) => !reached).length} beds never come to it`);
      expect(wanted).toContain(false);
      expect(ours).toEqual(wanted);
    };
    ever('time_to_opening', (c) => c.opening);
    ever('time_to_limit', (c) => c.limit);
    expect(largestError('warm_up_time', (c) => c.warm_up, true)).toBeLessThan(0.01);
    expect(largestError('ready_time', (c) => c.ready, true)).toBeLessThan(0.01);
    expect(largestError('stuck_on_temperature', (c) => c.stuck, false)).toBeLessThan(0.1);
    expect(largestError('time_to_opening', (c) => c.opening, true)).toBeLessThan(0.01);
    expect(largestError('temperature_when_opened', (c) => c.opened, false)).toBeLessThan(0.1);
    expect(largestError('time_to_limit', (c) => c.limit, true)).toBeLessThan(0.01);
  }, 120_000);
});

describe('two heaters under one plate', () => {
  /** A bed whose heater is cut into two, side by side, of which the first gives this share of the power. */
  const twoOf = (bed: Bed, share: number): string => {
    const [w, d] = bed.size;
    const heaters = (['heater', 'heater outer_heater'] as const).map(
      (said, k) => `    ${said} {
      thickness = ${bed.heater.thickness} mm
      material = ${bed.heater.material}
      size = ${w / 2} mm x ${d} mm
      air_gap = ${bed.heater.gap ?? 0} mm
      limit = 900 degC
      power = ${(k === 0 ? share : 1 - share) * bed.heater.power} W
      voltage = 24 V
      temperature_coefficient = ${bed.heater.coefficient * 100} %/K
    }
`,
    );
    const text = textOf(bed).replace(/ {4}heater \{[^}]*\}\n/, heaters.join(''));
    return text.replace(
      /\n {2}bed \{/,
      `
  cutoff second is thermal_link_133c {
    opens_at = ${bed.cutoff.opens_at} degC
    resistance = 2 mohm
  }
  circuit other_power {
    wire {
      area = 10 mm^2
      length = 0.5 m
      insulation = glass_braid
      limit = 900 degC
    }
    path = [psu, wire, second, bed.outer_heater]
  }
  bed {`,
    );
  };
  const ohms = (power: number) => 24 ** 2 / power;

  test('eight beds, against SciPy: two heaters side by side, each behind a wire of its own', () => {
    const beds = generated(8);
    const shares = beds.map((_, i) => [0.5, 0.4, 0.65][i % 3] as number);
    const theirs = oracle<Course>(
      'bed-oracle.py',
      beds.map((bed, i) => {
        const asked = caseOf(bed) as { heater: object };
        const powers = [shares[i] as number, 1 - (shares[i] as number)].map((share) => share * bed.heater.power);
        const zones = powers.map((power) => ({ resistance: ohms(power), series }));
        return { ...asked, heater: { ...asked.heater, zones } };
      }),
    );
    const errors = beds.map((bed, i) => {
      const read = valuesOf(twoOf(bed, shares[i] as number));
      const course = theirs[i] as Course;
      // Where both give as much by area, all of the plate is as warm as its mean.
      if (shares[i] === 0.5)
        expect(Math.abs(read('bed.stuck_on_temperature') - 273.15 - course.stuck)).toBeLessThan(0.1);
      return [read('bed.warm_up_time') / course.warm_up - 1, read('bed.ready_time') / course.ready - 1];
    });
    console.log(`two heaters: largest error of times ${Math.max(...errors.flat().map(Math.abs)).toExponential(1)}`);
    expect(Math.max(...errors.flat().map(Math.abs))).toBeLessThan(0.01);
  }, 120_000);

  test.each([
    [0.5, 0.45],
    [0.6, 0.6],
    [0.7, 0.3],
    [0.75, 0.5],
  ])('with %d of it in one half, that half is hotter, as SciPy finds it', (share, density) => {
    const list = [120, 235, 300, 400].map((side) => ({ side, power: density * side * side * 0.01 }));
    const read = list.map(({ side, power }) =>
      valuesOf(`machine Bench {
  ambient = 20 degC
  bed {
    target = 100 degC
    plate {
      size = ${side} mm x ${side} mm
      thickness = 4 mm
      material = cast_aluminium
    }
    surface is pei_film
    heater {
      power = ${share * power} W
      voltage = 24 V
      size = ${side / 2} mm x ${side} mm
    }
    heater outer_heater {
      power = ${(1 - share) * power} W
      voltage = 24 V
      size = ${side / 2} mm x ${side} mm
    }
  }
}
`),
    );
    const theirs = oracle<{ hottest: number; mean: number }>(
      'bed-oracle.py',
      list.map(({ side, power }) => ({
        ask: 'halves',
        ambient: 20,
        conductivity: materials.cast_aluminium[2],
        thickness: 4e-3,
        plate: { size: [side * 1e-3, side * 1e-3], emissivity: materials.cast_aluminium[3] },
        height: 4e-3,
        top_emissivity: materials.polyetherimide[3],
        powers: [share * power, (1 - share) * power],
      })),
    );
    for (const [i, { hottest, mean: even }] of theirs.entries()) {
      const ours = (read[i] as (path: string) => number)('bed.stuck_on_temperature') - 273.15;
      console.log(
        `halves ${share} of ${list[i]?.side} mm: ${ours.toFixed(1)}, SciPy ${hottest.toFixed(1)}, even ${even.toFixed(1)}`,
      );
      expect(Math.abs(ours - hottest)).toBeLessThan(0.02 * (hottest - 20));
    }
  });

  test('held by one sensor over both, the hotter half is hotter than the target; by a sensor each it is not', () => {
    const bench = (rest: string) =>
      valuesOf(`machine Bench {
  ambient = 20 degC
  bed {
    target = 100 degC
    plate {
      size = 300 mm x 300 mm
      thickness = 4 mm
      material = cast_aluminium
    }
    surface is pei_film
    heater {
      power = 280 W
      voltage = 24 V
      size = 150 mm x 300 mm
    }
    heater outer_heater {
      power = 120 W
      voltage = 24 V
      size = 150 mm x 300 mm
    }
    sensor is ntc_100k
    ${rest}
  }
}
`);
    const [one, each] = [bench(''), bench('sensor outer_sensor is ntc_100k')];
    const holds = one('bed.loss_at_target');
    const [theirs] = oracle<{ hottest: number; mean: number }>('bed-oracle.py', [
      {
        ask: 'halves',
        ambient: 20,
        conductivity: materials.cast_aluminium[2],
        thickness: 4e-3,
        plate: { size: [0.3, 0.3], emissivity: materials.cast_aluminium[3] },
        height: 4e-3,
        top_emissivity: materials.polyetherimide[3],
        powers: [0.7 * holds, 0.3 * holds],
      },
    ]);
    // The film of 0.2 mm that lies on it is left out there: a hundredth of what goes up.
    expect(Math.abs((theirs?.mean ?? 0) - 100)).toBeLessThan(0.01 * (100 - 20));
    const hotter = (theirs?.hottest ?? 0) - (theirs?.mean ?? 0);
    // By a film that is taken as the same over all of the plate: the hotter half loses a little more.
    expect(one('bed.hottest_spot') - 373.15).toBeGreaterThan(hotter);
    expect(one('bed.hottest_spot') - 373.15).toBeLessThan(1.1 * hotter);
    expect(each('bed.hottest_spot')).toBeCloseTo(373.15, 9);
  });

  test('the wires of the stronger one are as much hotter than the plate as its own power by area makes them', () => {
    // q t / (2 k) up through half of a mat of silicone, reckoned from its numbers: 300 W on 235 mm x 117.5 mm, 1.5 mm thick, at 24 V.
    const read = valuesOf(`machine Bench {
  ambient = 20 degC
  bed {
    target = 100 degC
    plate {
      size = 235 mm x 235 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    heater {
      power = 100 W
      voltage = 24 V
      thickness = 1.5 mm
      material = silicone_rubber
      size = 235 mm x 117.5 mm
    }
    heater outer_heater {
      power = 300 W
      voltage = 24 V
      thickness = 1.5 mm
      material = silicone_rubber
      size = 235 mm x 117.5 mm
    }
  }
}
`);
    const byArea = 300 / (0.235 * 0.1175);
    expect(read('bed.heater_excess')).toBeCloseTo((byArea * 0.75e-3) / materials.silicone_rubber[2], 6);
  });
});

describe('layers and lags against closed forms', () => {
  const text = `kind plate_of_linear_loss {
  inside machine
  given_off(at: Temperature): Power = (at - 25 degC) / 0.62 K/W {
    source defined "a question of a test"
  }
  taken_in(at: Temperature): Power = 600 W {
    source defined "a question of a test"
  }
  course: list of curve of Time, Temperature = layered_rise(capacities: [1306.368 J/K], resistances: [0 K/W], heated: 1, power: sampled_from_start(of: taken_in, from: 25 degC, to: 1000 degC), lost_at: [2], losses: [sampled_from_start(of: given_off, from: 25 degC, to: 1000 degC)], from: 25 degC, held: 0, to: 25 degC, during: 4000 s) {
    source defined "a question of a test"
  }
  arrives: Time = when_reached(curve: course[1], at: 100 degC) {
    source defined "a question of a test"
  }
  at_the_end: Temperature = value_at(curve: course[2], at: 4000 s) {
    source defined "a question of a test"
  }
  behind: Temperature = value_at(curve: lagging(curve: course[1], by: 30 s), at: 182.369 s) {
    source defined "a question of a test"
  }
}

machine Bench {
  ambient = 25 degC
  plate_of_linear_loss {
  }
}
`;

  // Closed form, ngspice, mathjs and odex agree: 100 degC after 182.369 s, 394.335 degC after 4000 s.
  test('a plate with a linear loss', () => {
    const value = valuesOf(text);
    expect(Math.abs(value('plate_of_linear_loss.arrives') / 182.369 - 1)).toBeLessThan(1e-3);
    expect(value('plate_of_linear_loss.at_the_end') - 273.15).toBeCloseTo(394.335, 1);
  });

  // y = 25 + A (1 - exp(-t/T)) through a lag of time constant s: z = 25 + A (1 - (T exp(-t/T) - s exp(-t/s)) / (T - s)).
  test('what lags behind it by 30 s', () => {
    const [A, T, s, t] = [600 * 0.62, 0.62 * 1306.368, 30, 182.369];
    const wanted = 25 + A * (1 - (T * Math.exp(-t / T) - s * Math.exp(-t / s)) / (T - s));
    expect(Math.abs(valuesOf(text)('plate_of_linear_loss.behind') - 273.15 - wanted)).toBeLessThan(0.15);
  });
});

/** A plate of 300 mm with a mat, which is fed from 24 V or from mains, and its cutoff in or out of the path. */
function fed(by: 'low' | 'mains', power: number, target: number, more = '', path = 'bed.cutoff, bed.heater'): string {
  const source = by === 'low' ? 'supply psu is supply_24v_600w' : 'inlet psu is inlet_10a';
  return `machine Bench {
  ambient = 20 degC
  mains = 230 V
  ${source}
  circuit bed_power {
    wire {
      area = 4 mm^2
      length = 0.9 m
      insulation = silicone
    }
    path = [psu, wire, ${path}]
  }
  bed {
    target = ${target} degC
    plate {
      size = 300 mm x 300 mm
      thickness = 6 mm
      material = cast_aluminium
    }
    insulation is silicone_foam_10mm
    adhesive is silicone_adhesive
    heater {
      power = ${power} W
      voltage = ${by === 'low' ? 24 : 230} V
    }
    sensor is ntc_100k
    cutoff is thermal_link_152c
    ${more}
  }
}
`;
}

describe('what the trade knows', () => {
  // Common practice, no source: beds on mains are usually sold with more power than those on 12 or 24 V, and heat markedly faster.
  test('a bed on mains has more power, and is warm in half the time', () => {
    const power = (part: string) =>
      valuesOf(`kind asker {
  inside machine
  power: Power = ${part}.power {
    source defined "a question of a test"
  }
}
machine Bench {
  ambient = 20 degC
  asker {
  }
}
`)('asker.power');
    const low = Math.max(power('mat_24v_250w'), power('track_24v_160w'));
    expect(Math.min(power('mat_230v_400w'), power('mat_230v_700w'))).toBeGreaterThan(1.5 * low);
    const time = (text: string) => valuesOf(text)('bed.warm_up_time');
    expect(time(fed('mains', 600, 100))).toBeLessThan(0.5 * time(fed('low', 300, 100)));
  });

  // Common practice, no source: beds on mains are made for up to about 130 degC.
  test('a bed on mains holds 130 degC while it moves, and its mat and its glue bear it', () => {
    const found = broken(fed('mains', 600, 130));
    for (const rule of ['cannot_hold_target', 'heater_limit_below_target', 'adhesive_too_hot', 'insulation_too_hot'])
      expect(found).not.toContain(rule);
  });

  // Common practice, no source: a thermal fuse is the remedy for a relay that fails closed.
  test('a thermal link in the path is the remedy for a relay that fails closed', () => {
    expect(broken(fed('low', 400, 100, '', 'bed.heater'))).toContain('cutoff_not_in_path');
    const with_it = broken(fed('low', 400, 100));
    for (const rule of ['stuck_on_unprotected', 'cutoff_not_in_path', 'cutoff_opens_too_late', 'cutoff_never_opens'])
      expect(with_it).not.toContain(rule);
  });

  // Copper, IEC 60028: 0.00393 per kelvin at 20 degC; a bed of copper tracks at 100 degC draws 1/1.31 of what it draws cold.
  test('copper tracks draw less when warm, and their fuse carries the cold current', () => {
    const bed = (fedBySupply: boolean) =>
      valuesOf(`machine Bench {
  ambient = 20 degC
  ${fedBySupply ? 'supply psu is supply_24v_350w\n  fuse bed_fuse is blade_10a\n  circuit bed_power { path = [psu, bed_fuse, bed.heater] }' : ''}
  bed {
    target = 100 degC
    plate {
      size = 190 mm x 190 mm
      thickness = 3 mm
      material = aluminium
    }
    heater is track_24v_160w
  }
}
`);
    const alone = bed(false);
    expect(alone('bed.heater.cold_current')).toBeCloseTo(160 / 24, 6);
    expect(alone('bed.heater_power_at_target') / 160).toBeCloseTo(1 / (1 + 0.00393 * 80), 6);
    expect(alone('bed.heater.cold_current') / alone('bed.warm_current')).toBeCloseTo(1.314, 3);
    const value = bed(true);
    expect(value('bed_fuse.current')).toBeCloseTo(value('bed.heater.cold_current'), 6);
    expect(value('bed_fuse.current')).toBeGreaterThan(1.28 * value('bed.warm_current'));
  });
});

describe('layers one on the other', () => {
  // R = sum of L / (k A), as in Incropera, Fundamentals of Heat and Mass Transfer, section 3.1, with table A.3's cork from memory:
  // 0.09 m^2 of 5 mm of cork pass 52.7 W with 75 K across.
  test('5 mm of cork', () => {
    const value = valuesOf(`kind asker {
  inside machine
  watched: bed
  passes: Power = 0.09 m^2 * 75 K / watched.insulation.insulance {
    source defined "a question of a test"
  }
}
machine Bench {
  ambient = 25 degC
  asker {
    watched = bed
  }
  bed {
    target = 100 degC
    plate {
      size = 300 mm x 300 mm
      thickness = 6 mm
      material = aluminium
    }
    insulation {
      thickness = 5 mm
      material = cork
    }
  }
}
`);
    expect(value('asker.passes')).toBeCloseTo(52.65, 2);
  });
});

describe('the rim of a plate', () => {
  // The plate with its rim by finite volumes; ours is a bound: never less, and not much more.
  test('the difference from middle to edge is a bound, within two fifths', () => {
    const between = generator(5);
    const list = Array.from({ length: 30 }, () => ({
      side: +between(150, 500).toFixed(0),
      rim: +between(0, 60).toFixed(0),
      thickness: +between(1.5, 8).toFixed(1),
      target: +between(50, 110).toFixed(0),
    }));
    const read = list.map((c) =>
      valuesOf(`kind asker {
  inside machine
  watched: bed
  colder: TemperatureDifference = watched.edge_difference(at: watched.target, side: ${c.side} mm, heated: ${c.side - 2 * c.rim} mm) {
    source defined "a question of a test"
  }
}
machine Bench {
  ambient = 20 degC
  asker {
    watched = bed
  }
  bed {
    target = ${c.target} degC
    plate {
      size = ${c.side} mm x ${c.side} mm
      thickness = ${c.thickness} mm
      material = cast_aluminium
    }
    surface is pei_film
    heater {
      power = 300 W
      voltage = 24 V
      size = ${c.side - 2 * c.rim} mm x ${c.side - 2 * c.rim} mm
    }
  }
}
`),
    );
    const theirs = oracle<number>(
      'bed-oracle.py',
      list.map((c) => ({
        ask: 'rim',
        ambient: 20,
        target: c.target,
        conductivity: materials.cast_aluminium[2],
        plate: { size: [c.side * 1e-3, c.side * 1e-3], emissivity: materials.cast_aluminium[3] },
        height: c.thickness * 1e-3,
        // A film of 0.2 mm lies on it.
        film: 0.2e-3 / materials.polyetherimide[2],
        top_emissivity: materials.polyetherimide[3],
        heated: (c.side - 2 * c.rim) * 1e-3,
      })),
    );
    const shares = theirs.map((wanted, i) => (read[i] as (path: string) => number)('asker.colder') / wanted);
    console.log(
      `edge of a plate: ${shares.length} plates, ${Math.min(...shares).toFixed(3)} to ${Math.max(...shares).toFixed(3)} of SciPy's, mean ${mean(shares).toFixed(3)}`,
    );
    // The rim is reckoned from the plate's hottest temperature, not from that where it begins: the wider and the thinner it is, the more
    // that is too much.
    expect(Math.min(...shares)).toBeGreaterThan(1);
    expect(Math.max(...shares)).toBeLessThan(1.4);
    expect(mean(shares)).toBeLessThan(1.15);
  });
});

describe('several mats under one plate', () => {
  const bed = (heater: string, plate = '300 mm x 300 mm') =>
    valuesOf(`machine Bench {
  ambient = 20 degC
  bed {
    target = 100 degC
    plate {
      size = ${plate}
      thickness = 4 mm
      material = cast_aluminium
    }
    heater${heater}
  }
}
`);
  const mat = (count: string, size: string, power: string) =>
    `${count} {\n      voltage = 24 V\n      power = ${power}\n      size = ${size}\n    }`;

  // Laid edge to edge, two halves cover what one whole does.
  test.each([
    [' * 2', '150 mm x 300 mm', '120 W'],
    [' * 2', '300 mm x 150 mm', '120 W'],
    [' * 4', '150 mm x 150 mm', '60 W'],
    [' * 3', '100 mm x 300 mm', '80 W'],
  ])('%s of %s are one of 300 mm x 300 mm', (count, size, power) => {
    const [several, one] = [bed(mat(count, size, power)), bed(mat('', '300 mm x 300 mm', '240 W'))];
    expect(several('bed.hidden_difference')).toBeCloseTo(one('bed.hidden_difference'), 6);
    expect(several('bed.stuck_on_temperature')).toBeCloseTo(one('bed.stuck_on_temperature'), 3);
  });

  test('a mat is turned where it fits only so', () => {
    const [turned, straight] = ['200 mm x 300 mm', '300 mm x 200 mm'].map((size) =>
      bed(mat('', size, '200 W'), '300 mm x 200 mm'),
    );
    expect(turned?.('bed.hidden_difference')).toBeCloseTo(straight?.('bed.hidden_difference') ?? 0, 9);
  });

  test('that do not fit beside each other stand over', () => {
    const said = (size: string) => {
      const text = `machine Bench {
  ambient = 20 degC
  bed {
    target = 60 degC
    plate {
      size = 300 mm x 300 mm
      thickness = 4 mm
      material = cast_aluminium
    }
    heater * 2 {
      voltage = 24 V
      power = 100 W
      size = ${size}
    }
  }
}
`;
      return broken(text).includes('heater_larger_than_plate');
    };
    expect(said('150 mm x 300 mm')).toBe(false);
    expect(said('160 mm x 300 mm')).toBe(true);
    expect(said('100 mm x 200 mm')).toBe(false);
  });
});
