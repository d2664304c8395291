import { describe, expect, test } from 'vitest';
import { generator, mean, oracle } from './oracle.ts';
import { valuesOf } from './values.ts';

type Question = readonly [type: string, expression: string];

/** The values of many expressions at once, in coherent SI units, beside sensors that `sensors` puts into the machine. */
function ask(sensors: string, questions: readonly Question[], declarations = ''): number[] {
  const names = [...sensors.matchAll(/^ {2}(\w+) (\w+)(?: is \w+)? \{/gm)].map(([, kind, name]) => [kind, name]);
  const seen = names.map(([kind, name]) => `  its_${name}: ${kind}\n`).join('');
  const given = names.map(([, name]) => `    its_${name} = ${name}\n`).join('');
  const values = questions
    .map(
      ([type, e], i) =>
        `  v${i}: ${type} = ${e.replace(/(?<![\w.])\w+(?=\.\w*[a-z]\w*)/g, 'its_$&')} {\n    source defined "a question"\n  }\n`,
    )
    .join('');
  const value = valuesOf(`${declarations}
kind asker {
  inside machine
${seen}${values}}

machine Bench {
  ambient = 25 degC
${sensors}
  asker {
${given}  }
}
`);
  return questions.map((_, i) => value(`asker.v${i}`));
}

const celsius = (kelvin: number) => kelvin - 273.15;
const ohms = (name: string, t: number): Question => ['Resistance', `${name}.resistance(at: ${t} degC)`];
const reads = (name: string, r: number): Question => ['Temperature', `${name}.reading(by: ${r} ohm)`];
const millivolts = (name: string, t: number): Question => ['Voltage', `${name}.thermal_voltage(at: ${t} degC)`];

const near = (ours: number, theirs: number, within: number, what = '') =>
  expect(Math.abs(ours - theirs), `${what} ${ours} against ${theirs}`).toBeLessThanOrEqual(within);

// Data sheets of thermistors of the commonest curve: resistance by that at 25 degC.
const guide = [
  [-40, 33.36],
  [-20, 9.681],
  [-10, 5.525],
  [0, 3.264],
  [10, 1.99],
  [20, 1.249],
  [25, 1],
  [30, 0.8056],
  [40, 0.5325],
  [50, 0.3601],
  [60, 0.2487],
  [70, 0.1751],
  [80, 0.1256],
  [85, 0.107],
  [90, 0.09155],
  [100, 0.06781],
  [110, 0.05095],
  [120, 0.03881],
  [125, 0.03403],
  [130, 0.02993],
  [135, 0.0264],
] as const;

// Data sheet of a glass bead of 100 kohm, in kohm.
const bead = [
  [-40, 4124.951],
  [-20, 1080.2],
  [0, 346.214],
  [25, 100],
  [50, 33.628],
  [80, 10.991],
  [85, 9.271],
  [100, 5.688],
  [125, 2.7],
  [150, 1.392],
  [175, 0.77],
  [180, 0.689],
  [200, 0.453],
  [225, 0.279],
  [250, 0.179],
] as const;

const sensors = `
  resistive_sensor guide_table is ntc_100k_common {
  }
  ntc_curve guide_numbers {
    unit = 100 kohm
    a = 3.3539438e-3
    b = 2.5646095e-4
    square = 2.5158166e-6
    c = 1.0503069e-7
    hottest = 155 degC
  }
  resistive_sensor ten is ntc_10k {
  }
  resistive_sensor bead_table is ntc_100k_table {
  }
  resistive_sensor bead_numbers is ntc_100k {
  }
  ntc one_beta {
    nominal = 100 kohm
    beta = 4200 K
    hottest = 250 degC
  }
  ntc one_pair {
    nominal = 100 kohm
    beta = 3950 K
    hottest = 300 degC
  }
  ntc other_beta {
    nominal = 100 kohm
    beta = 3977 K
    hottest = 300 degC
  }
  resistive_sensor hundred is pt100 {
  }
  resistive_sensor thousand is pt1000 {
  }
  thermocouple_k k is thermocouple {
  }
`;

describe('sensors whose resistance falls', () => {
  test('the table of a guide, and the four numbers published beside it: all 21 points', () => {
    const table = ask(
      sensors,
      guide.map(([t]) => ohms('guide_table', t)),
    );
    const back = ask(
      sensors,
      guide.map(([, share]) => reads('guide_table', share * 1e5)),
    );
    const numbers = ask(
      sensors,
      guide.map(([t]) => ohms('guide_numbers', t)),
    );
    const shown = ask(
      sensors,
      guide.map(([, share]) => reads('guide_numbers', share * 1e5)),
    );
    guide.forEach(([t, share], i) => {
      expect(table[i]).toBeCloseTo(share * 1e5, 4);
      near(celsius(back[i] as number), t, 1e-6);
      // The guide's own promise for its numbers is 0.02 K, and its shares are printed with four digits.
      near((numbers[i] as number) / 1e5 / share, 1, 0.0012, `${t} degC`);
      near(celsius(shown[i] as number), t, 0.025, `${t} degC`);
    });
  });

  test('between the rows of the guide: the table against its four numbers', () => {
    const between = Array.from({ length: 175 }, (_, i) => -39.5 + i);
    const table = ask(
      sensors,
      between.map((t) => ohms('guide_table', t)),
    );
    const shown = ask(
      sensors,
      table.map((r) => reads('guide_numbers', r)),
    );
    const worst = Math.max(...shown.map((k, i) => Math.abs(celsius(k) - (between[i] as number))));
    console.log(`between the rows of a table: ${between.length} points, largest error ${worst.toFixed(3)} K`);
    // Rows are 5 to 20 K apart, straight between them in both logarithms: near -30 degC, where they are 20 K apart, that is the most.
    expect(worst).toBeLessThan(0.15);
  });

  // The third pair is the one that data sheets print for this curve; the others follow from its table.
  test('beta of one curve for five pairs, as a finding says', () => {
    const at = new Map<number, number>(guide);
    const beta = (from: number, to: number) =>
      Math.log((at.get(from) as number) / (at.get(to) as number)) / (1 / (from + 273.15) - 1 / (to + 273.15));
    const pairs = [beta(0, 50), beta(25, 50), beta(25, 85), beta(25, 100), beta(25, 125)];
    pairs.forEach((b, i) => near(b, [3891, 3936, 3977, 3992, 4013][i] as number, 1));
  });

  // The four numbers as in many public source files; shares computed from them by hand.
  test('four numbers of the commonest curve of 10 kohm', () => {
    const points = [
      [-40, 33.21],
      [0, 3.2555],
      [50, 0.36053],
      [85, 0.10703],
      [100, 0.06773],
      [125, 0.03387],
      [150, 0.01826],
    ] as const;
    const ours = ask(
      sensors,
      points.map(([t]) => ohms('ten', t)),
    );
    points.forEach(([t, share], i) => near((ours[i] as number) / 1e4 / share, 1, 5e-4, `${t} degC`));
    // The maker's other four numbers give ln(R/R25) by 1/T: the two fits agree within 0.02 K.
    const forward = (t: number) => {
      const x = 1 / (t + 273.15);
      return 1e4 * Math.exp(-14.6337 + 4791.842 * x - 115334 * x ** 2 - 3.730535e6 * x ** 3);
    };
    const shown = ask(
      sensors,
      points.map(([t]) => reads('ten', forward(t))),
    );
    points.forEach(([t], i) => near(celsius(shown[i] as number), t, 0.02));
  });

  test('the table of a glass bead, and three numbers fitted to it: all 15 points', () => {
    const table = ask(
      sensors,
      bead.map(([t]) => ohms('bead_table', t)),
    );
    const numbers = ask(
      sensors,
      bead.map(([, k]) => reads('bead_numbers', k * 1e3)),
    );
    bead.forEach(([t, kohm], i) => {
      expect(table[i]).toBeCloseTo(kohm * 1e3, 3);
      near(celsius(numbers[i] as number), t, t < 0 ? 0.34 : 0.23, `${t} degC`);
    });
  });

  test('between the rows of the bead: the table against its three numbers', () => {
    const between = Array.from({ length: 145 }, (_, i) => -39 + 2 * i);
    const table = ask(
      sensors,
      between.map((t) => ohms('bead_table', t)),
    );
    const shown = ask(
      sensors,
      table.map((r) => reads('bead_numbers', r)),
    );
    const worst = Math.max(...shown.map((k, i) => Math.abs(celsius(k) - (between[i] as number))));
    console.log(`between the rows of a bead's table: ${between.length} points, largest error ${worst.toFixed(3)} K`);
    expect(worst).toBeLessThan(0.45);
  });

  // Computed by hand from the bead's table: its beta from 25 to 50 degC alone, used where the bead is really hot.
  test.each([
    [100, 101.2],
    [125, 127.8],
    [150, 154.9],
    [200, 210.2],
    [250, 268],
  ])('one beta at %i degC shows %f', (t, shown) => {
    const r = (bead.find(([at]) => at === t) as readonly [number, number])[1] * 1e3;
    near(celsius(ask(sensors, [reads('one_beta', r)])[0] as number), shown, 0.06);
  });

  test('what one beta may be off by far from its pair, as two published tables grow', () => {
    const own = `
  ntc bead {
    nominal = 100 kohm
    beta = 4200 K
    beta_from = 25 degC
    beta_to = 50 degC
    hottest = 250 degC
  }
`;
    const points = [100, 125, 150, 200, 250];
    const ours = ask(
      own,
      points.map((t) => ['Temperature', `bead.meant_at(at: ${t} degC)`]),
    );
    [101.2, 127.8, 154.9, 210.2, 268].forEach((t, i) => near(celsius(ours[i] as number), t, 1));
    // Growth of beta by the kelvin beyond 50 degC: of the bead 0.022 to 0.028 %/K, of the guide's curve 0.026 to 0.03 %/K.
    const beta = (table: ReadonlyMap<number, number>, to: number) =>
      Math.log((table.get(25) as number) / (table.get(to) as number)) / (1 / 298.15 - 1 / (to + 273.15));
    const growth = (rows: readonly (readonly [number, number])[], to: number) => {
      const table = new Map(rows);
      return (beta(table, to) / beta(table, 50) - 1) / (to - 50);
    };
    for (const t of [85, 100, 125, 150, 200, 250]) near(growth(bead, t), 2.5e-4, 3.2e-5, `${t} degC`);
    for (const t of [85, 100, 125]) near(growth(guide, t), 2.8e-4, 2.2e-5, `${t} degC`);
  });

  // From the formula, by hand and by another program.
  test.each([
    [0, 336206, 339004],
    [50, 35881.8, 35631.3],
    [60, 24861.7, 24626.2],
    [100, 6975.2, 6849.4],
    [110, 5291.4, 5186.2],
    [200, 744.61, 720.09],
    [250, 335.28, 322.48],
    [300, 173.52, 166.14],
  ])('a pure beta at %i degC', (t, low, high) => {
    const [a, b] = ask(sensors, [ohms('one_pair', t), ohms('other_beta', t)]) as [number, number];
    near(a / low, 1, 2e-5);
    near(b / high, 1, 2e-5);
    const [back] = ask(sensors, [reads('one_pair', a)]) as [number];
    near(celsius(back), t, 1e-6);
  });

  // A maker's note on standardized curves: 4.7 kohm, R(5 degC) / R25 = 2.2739, 4.4 %/K: 9.793 kohm at 7 degC. The note's formula
  // is a beta of alpha T^2 around its row.
  test('the worked example of a note on standardized curves', () => {
    const beta = 0.044 * 278.15 ** 2;
    const nominal = 4700 * 2.2739 * Math.exp(-beta * (1 / 278.15 - 1 / 298.15));
    const own = `
  ntc row {
    nominal = ${nominal.toFixed(6)} ohm
    beta = ${beta.toFixed(6)} K
    hottest = 100 degC
  }
`;
    near(ask(own, [ohms('row', 7)])[0] as number, 9793, 1);
  });

  // The three numbers that two other programs find through these three points of the bead's table.
  test('three numbers from three points', () => {
    const own = `
  ntc_points three {
    cold = 25 degC
    cold_resistance = 100 kohm
    warm = 150 degC
    warm_resistance = 1.392 kohm
    hot = 250 degC
    hot_resistance = 179 ohm
    hottest = 250 degC
  }
`;
    const [a, b, c, warm] = ask(own, [
      ['Ratio', 'three.a'],
      ['Ratio', 'three.b'],
      ['Ratio', 'three.c'],
      reads('three', 1392),
    ]) as [number, number, number, number];
    near(a / 8.04654e-4, 1, 1e-6);
    near(b / 2.113183e-4, 1, 1e-6);
    near(c / 7.632336e-8, 1, 1e-6);
    near(celsius(warm), 150, 1e-6);
  });

  test("a user's own table is a kind of five lines", () => {
    const declarations = `/// A bead from a drawer, measured in ice, in the room and in boiling water.
table drawer_bead(at: Temperature): Resistance {
  source practice "measured"
  interpolation logarithmic
  row 0 degC: 16.3 kohm
  row 22 degC: 5.7 kohm
  row 100 degC: 0.34 kohm
}

/// A bead from a drawer.
kind drawer_sensor is resistive_sensor {
  /// Its resistance at a temperature.
  resistance(at: Temperature): Resistance = drawer_bead(at: at) {
    source defined "the table's"
  }
}
`;
    const own = `
  drawer_sensor mine {
    coldest = 0 degC
    hottest = 100 degC
  }
`;
    const questions = [
      ohms('mine', 22),
      reads('mine', 5700),
      reads('mine', 340),
      reads('mine', 20000),
      reads('mine', 1),
    ];
    const [r, t, end, cold, hot] = ask(own, questions, declarations) as number[];
    expect(r).toBeCloseTo(5700, 6);
    expect(celsius(t as number)).toBeCloseTo(22, 6);
    // What lies beyond a curve is shown as its end.
    expect([end, cold, hot].map((k) => Math.round(celsius(k as number)))).toEqual([100, 0, 100]);
  });
});

// IEC 60751:2008, Pt100, as on two suppliers' pages and in a scanned table.
const platinum = [
  [-200, 18.52],
  [-100, 60.26],
  [-50, 80.31],
  [0, 100],
  [50, 119.4],
  [100, 138.51],
  [150, 157.33],
  [200, 175.86],
  [250, 194.1],
  [300, 212.05],
  [400, 247.09],
  [500, 280.98],
] as const;

describe('platinum', () => {
  test('twelve points of the standard, of 100 and of 1000 ohm, and back', () => {
    const hundred = ask(
      sensors,
      platinum.map(([t]) => ohms('hundred', t)),
    );
    const thousand = ask(
      sensors,
      platinum.map(([t]) => ohms('thousand', t)),
    );
    const back = ask(
      sensors,
      hundred.map((r) => reads('hundred', r)),
    );
    platinum.forEach(([t, r], i) => {
      near(hundred[i] as number, r, 0.0051, `${t} degC`);
      expect(thousand[i]).toBeCloseTo(10 * (hundred[i] as number), 9);
      near(celsius(back[i] as number), t, 1e-6);
    });
    near((platinum[5][1] - 100) / 1e4, 0.00385055, 1e-6);
    const [at100] = ask(sensors, [ohms('hundred', 100)]) as [number];
    near((at100 - 100) / 1e4, 0.00385055, 5e-9, 'the mean slope that the standard is named by');
  });

  // The standard's equation solved for the temperature, from 0 degC up.
  test('the reading is the root of the quadratic', () => {
    for (const r of [100, 107.79, 138.5055, 194.0981, 280.9775]) {
      const t = (-3.9083e-3 + Math.sqrt(3.9083e-3 ** 2 - 4 * -5.775e-7 * (1 - r / 100))) / (2 * -5.775e-7);
      near(celsius(ask(sensors, [reads('hundred', r)])[0] as number), t, 1e-6);
    }
  });

  // By hand: 1 ohm in series is 2.6 K with 100 ohm, 0.26 K with 1000 ohm, near 0 degC.
  test('an ohm in the leads', () => {
    const [hundred, thousand] = ask(sensors, [reads('hundred', 101), reads('thousand', 1001)]) as [number, number];
    near(celsius(hundred), 2.56, 0.005);
    near(celsius(thousand), 0.256, 0.0005);
  });
});

// NIST, ITS-90 thermocouple database, type K, in mV: 100 and 300 degC as in a package that quotes it, the others from memory;
// below 0 degC as in a table on an instrument site and in a copy of the database's file.
const typeK = [
  [-270, -6.458],
  [-200, -5.891],
  [-150, -4.913],
  [-100, -3.554],
  [0, 0],
  [25, 1],
  [100, 4.096],
  [200, 8.138],
  [250, 10.153],
  [300, 12.209],
  [400, 16.397],
  [1000, 41.276],
] as const;

/** NIST's inverse polynomials for type K, from memory: mV to degC, each within 0.06 K of the reference function. */
const inverses = [
  {
    from: -5.891,
    to: 0,
    c: [
      0, 2.5173462e1, -1.1662878, -1.0833638, -8.977354e-1, -3.7342377e-1, -8.6632643e-2, -1.0450598e-2, -5.1920577e-4,
    ],
  },
  {
    from: 0,
    to: 20.644,
    c: [
      0, 2.508355e1, 7.860106e-2, -2.503131e-1, 8.31527e-2, -1.228034e-2, 9.804036e-4, -4.41303e-5, 1.057734e-6,
      -1.052755e-8,
    ],
  },
  {
    from: 20.644,
    to: 54.886,
    c: [-1.318058e2, 4.830222e1, -1.646031, 5.464731e-2, -9.650715e-4, 8.802193e-6, -3.11081e-8],
  },
];

describe('thermocouple, type K', () => {
  test('twelve points of the reference table, from -270 to 1000 degC, and back', () => {
    const ours = ask(
      sensors,
      typeK.map(([t]) => millivolts('k', t)),
    );
    const back = ask(
      sensors,
      ours.map((v) => ['Temperature', `k.reading(by: ${(v * 1e3).toFixed(9)} mV)`]),
    );
    typeK.forEach(([t, mv], i) => {
      near((ours[i] as number) * 1e3, mv, 0.00051, `${t} degC`);
      if (t > -250) near(celsius(back[i] as number), t, 1e-4, `${t} degC`);
    });
  });

  test('both branches meet at 0 degC, and so do their slopes', () => {
    const [below, at, above] = ask(
      sensors,
      [-0.001, 0, 0.001].map((t) => millivolts('k', t)),
    ) as number[];
    near(at as number, 0, 1e-9);
    near(((at as number) - (below as number)) / ((above as number) - (at as number)), 1, 1e-3);
  });

  test('read back as the published inverse polynomials do, within their 0.06 K', () => {
    const points = inverses.flatMap(({ from, to, c }) =>
      Array.from({ length: 30 }, (_, i) => from + ((to - from) * (i + 0.5)) / 30).map((mv) => ({
        mv,
        t: c.reduceRight((sum, a) => sum * mv + a, 0),
      })),
    );
    const ours = ask(
      sensors,
      points.map(({ mv }) => ['Temperature', `k.reading(by: ${mv.toFixed(9)} mV)`]),
    );
    const worst = Math.max(...points.map(({ t }, i) => Math.abs(celsius(ours[i] as number) - t)));
    console.log(
      `type K against the inverse polynomials: ${points.length} points, largest difference ${worst.toFixed(3)} K`,
    );
    expect(worst).toBeLessThan(0.065);
  });

  // A package that quotes NIST: 4.096 mV with terminals of 25 degC is 124.3 degC; voltages are added, not temperatures.
  test('the cold end is added as a voltage', () => {
    const [t] = ask(sensors, [['Temperature', 'k.reading(by: 4.096 mV + k.thermal_voltage(at: 25 degC))']]) as [number];
    near(celsius(t), 124.3, 0.05);
  });

  // The same package: 41.6 uV/K at 300 degC.
  test('volts by the kelvin at 300 degC', () => {
    const [low, high] = ask(sensors, [millivolts('k', 299.5), millivolts('k', 300.5)]) as [number, number];
    near((high - low) * 1e6, 41.6, 0.2);
  });
});

const board = (lines: string, kind = 'sensor_input') => `
  board controller is board_4_axis {
    ${kind} read_here {
${lines}
    }
  }
`;

describe('what the controller sees', () => {
  const divider = (bits: number, sensor: string) => `${board(`      bits = ${bits}`)}
  resistive_sensor one is ${sensor} {
    input = controller.read_here
    lead_length = 0 m
  }
`;

  // By hand from the three numbers of the bead, 4.7 kohm: K by the count at 10 and at 12 bits.
  test.each([
    [25, 0.49, 0.12],
    [60, 0.18, 0.045],
    [100, 0.125, 0.031],
    [200, 0.6, 0.15],
    [250, 1.65, 0.41],
    [280, 2.9, 0.72],
    [300, 4.1, 1.02],
  ])('a bead of 100 kohm at %i degC: kelvins by the count', (t, ten, twelve) => {
    const step: Question = ['TemperatureDifference', `one.kelvin_per_count(at: ${t} degC)`];
    near((ask(divider(10, 'ntc_100k'), [step])[0] as number) / ten, 1, 0.02);
    near((ask(divider(12, 'ntc_100k'), [step])[0] as number) / twelve, 1, 0.02);
  });

  // By hand: one beta of 3950 K at 250 and 300 degC; a Pt1000 with 2.22 counts/K at 25 degC, 1.47 at 300 degC, 12 bits.
  test('one beta, and platinum of 1000 ohm', () => {
    const step = (t: number): Question => ['TemperatureDifference', `one.kelvin_per_count(at: ${t} degC)`];
    const [a, b] = ask(divider(10, 'ntc_100k_beta'), [step(250), step(300)]) as [number, number];
    near(a, 1.09, 0.01);
    near(b, 2.37, 0.02);
    const [c, d] = ask(divider(12, 'pt1000'), [step(25), step(300)]) as [number, number];
    near(1 / c, 2.22, 0.01);
    near(1 / d, 1.47, 0.01);
  });

  test('counts of a divider: half of them where the sensor has the resistance of the pull-up', () => {
    const own = `${board('      bits = 10\n      pull_up = 100 kohm')}
  resistive_sensor one is ntc_100k_table {
    input = controller.read_here
    lead_length = 0 m
  }
`;
    expect(ask(own, [['Ratio', 'one.counts(at: 25 degC)']])[0]).toBeCloseTo(512, 6);
  });

  test.each(['ntc_100k', 'ntc_100k_common', 'ntc_10k', 'ntc_100k_beta', 'pt100', 'pt1000'])(
    '%s: a break and a short lie at the two ends of its curve, and what is between is shown as it is',
    (part) => {
      const own = divider(12, part);
      const questions: Question[] = [
        ['Temperature', 'one.reading_when_broken'],
        ['Temperature', 'one.reading_when_shorted'],
        ['Temperature', 'one.curve_from'],
        ['Temperature', 'one.curve_to'],
        ['Temperature', 'one.shown_at(at: 90 degC)'],
      ];
      const [broken, shorted, from, to, shown] = ask(own, questions) as [number, number, number, number, number];
      const falls = part.startsWith('ntc');
      near(broken, falls ? from : to, 1e-9);
      near(shorted, falls ? to : from, 1e-9);
      near(celsius(shown), 90, 1e-6);
    },
  );

  test('a thermocouple: a break drives it to its end, a short shows the terminals', () => {
    const own = `${board('      terminals = 40 degC', 'thermocouple_input')}
  thermocouple_k one is thermocouple {
    input = controller.read_here
  }
`;
    const [broken, shorted, shown] = ask(own, [
      ['Temperature', 'one.reading_when_broken'],
      ['Temperature', 'one.reading_when_shorted'],
      ['Temperature', 'one.shown_at(at: 200 degC)'],
    ]) as [number, number, number];
    // 3.3 V by a gain of 120 is 27.5 mV, and the voltage of 40 degC on top: 29.1 mV, which is 699 degC by the table.
    near(celsius(broken), 699, 1.5);
    // Half a count is left at the lower end: 3.4 uV, a twelfth of a kelvin.
    near(celsius(shorted), 40.08, 0.02);
    near(celsius(shown), 200, 1e-4);
  });

  // A supplier's page on Pt100: 0.05 K at 1 mA.
  test('a Pt100 warms itself by 0.05 K at 1 mA', () => {
    const own = `${board('      pull_up = 3200 ohm')}
  bed {
    target = 0.5 degC
    plate {
      size = 100 mm x 100 mm
      thickness = 3 mm
      material = aluminium
    }
    sensor is pt100 {
      input = controller.read_here
    }
  }
`;
    const machine = `machine Bench {\n  ambient = 25 degC\n${own}}\n`;
    near(valuesOf(machine)('bed.sensor.self_heating'), 0.05, 0.001);
  });
});

describe('tolerances', () => {
  // IEC 60751: class A 0.15 K + 0.002 t, class B 0.3 K + 0.005 t; thin films of class A hold it from -30 to 300 degC only.
  test('platinum by its class', () => {
    const own = `
  platinum good {
    nominal = 100 ohm
    hottest = 400 degC
    tolerance_class = a
  }
  resistive_sensor plain is pt100 {
  }
`;
    const at = (name: string, t: number): Question => ['TemperatureDifference', `${name}.tolerance(at: ${t} degC)`];
    const ours = ask(own, [at('good', 100), at('good', 200), at('good', 300), at('plain', 300), at('good', -100)]);
    [0.35, 0.55, 0.75, 1.8, 0.8].forEach((k, i) => expect(ours[i]).toBeCloseTo(k, 9));
  });

  // A bead that has 1 % more ohms and 1 % more beta than it should, read by the curve that it should have.
  test.each([60, 100, 200, 250])('a bead with both a percent off, at %i degC', (t) => {
    const own = `
  ntc right {
    nominal = 100 kohm
    beta = 3950 K
    hottest = 300 degC
  }
  ntc off {
    nominal = 99 kohm
    beta = 3989.5 K
    hottest = 300 degC
  }
`;
    const [tolerance, r] = ask(own, [['TemperatureDifference', `right.tolerance(at: ${t} degC)`], ohms('off', t)]) as [
      number,
      number,
    ];
    const [shown] = ask(own, [reads('right', r)]) as [number];
    near(tolerance / (celsius(shown) - t), 1, 0.02);
  });
});

test('without an input nothing is known of what the controller makes of a sensor', () => {
  expect(() => ask(sensors, [['Temperature', 'hundred.reading_when_broken']])).toThrow('not a known number');
});

interface Answer {
  resistance: number;
  signal: number;
  counts: number;
  step: number;
  shown: number;
  broken: number;
  shorted: number;
}

describe('against SciPy', () => {
  const between = generator(11);
  const digits = (low: number, high: number, n: number) => Number(between(low, high).toPrecision(n));
  const families = ['beta', 'three', 'four', 'table', 'platinum', 'thermocouple'] as const;

  /** The text of a sensor of a family, and the same numbers for the other program. */
  function made(family: (typeof families)[number]): { text: string; numbers: Record<string, number> } {
    const nominal = digits(5e3, 2e5, 4);
    if (family === 'beta') {
      const beta = digits(3300, 4400, 4);
      return { text: `ntc\n    nominal = ${nominal} ohm\n    beta = ${beta} K`, numbers: { nominal, beta } };
    }
    if (family === 'table') return { text: `common_ntc\n    nominal = ${nominal} ohm`, numbers: { nominal } };
    if (family === 'platinum') {
      const ohms = between(0, 1) < 0.5 ? 100 : 1000;
      return { text: `platinum\n    nominal = ${ohms} ohm`, numbers: { nominal: ohms } };
    }
    if (family === 'thermocouple') return { text: 'thermocouple_k', numbers: {} };
    const shift = between(0.97, 1.03);
    const four = family === 'four';
    const numbers = four
      ? {
          unit: nominal,
          a: 1 / 298.15,
          b: Number((2.5646e-4 * shift).toPrecision(8)),
          square: 2.5158e-6,
          c: Number((1.0503e-7 / shift).toPrecision(8)),
        }
      : {
          unit: 1,
          a: Number((8.04654e-4 * shift).toPrecision(8)),
          b: Number((2.113183e-4 / shift).toPrecision(8)),
          square: 0,
          c: Number((7.632336e-8 * shift).toPrecision(8)),
        };
    const { unit, a, b, square, c } = numbers;
    return {
      text: `ntc_curve\n    unit = ${unit} ohm\n    a = ${a}\n    b = ${b}\n    square = ${square}\n    c = ${c}`,
      numbers,
    };
  }

  test('how far 30 beds overshoot while their sensor lags, by the differential equations of both', () => {
    const list = Array.from({ length: 30 }, () => ({
      side: Math.round(between(150, 350)),
      thickness: digits(2, 6, 2),
      density: digits(0.5, 1.1, 3),
      target: Math.round(between(50, 90)),
      lag: digits(3, 20, 3),
    }));
    const ours = list.map((c) => {
      const power = c.density * (c.side / 10) ** 2;
      const at = Array.from({ length: 12 }, (_, i) => 25 + ((c.target + 35 - 25) * i) / 11);
      const bed = `
  bed hot {
    target = ${c.target} degC
    plate {
      size = ${c.side} mm x ${c.side} mm
      thickness = ${c.thickness} mm
      material = aluminium
    }
    heater {
      power = ${power} W
      voltage = 24 V
    }
    sensor is ntc_100k {
      lag = ${c.lag} s
    }
  }
`;
      const [overshoot = 0] = ask(bed, [['TemperatureDifference', 'hot.sensor.overshoot']]);
      return { overshoot, at, target: c.target, lag: c.lag };
    });
    // How fast each warms, from handbook values: 6061, 2700 kg/m^3 and 896 J/(kg K), emissivity 0.09; a mat of 1.5 mm of silicone rubber,
    // 1300 kg/m^3 and 1350 J/(kg K), under all of it.
    const rates = oracle<number[]>(
      'bed-oracle.py',
      list.map((c, i) => ({
        ask: 'rates',
        ambient: 25,
        at: ours[i]?.at,
        power: c.density * (c.side / 10) ** 2,
        capacity: (c.side * 1e-3) ** 2 * (2700 * 896 * c.thickness * 1e-3 + 1300 * 1350 * 1.5e-3),
        plate: { size: [c.side * 1e-3, c.side * 1e-3], emissivity: 0.09 },
        height: c.thickness * 1e-3,
        top_emissivity: 0.09,
      })),
    );
    const theirs = oracle<number>(
      'sensors-oracle.py',
      ours.map((c, i) => ({ ...c, rates: rates[i], family: 'lag' })),
    );
    const worst = Math.max(...ours.map((c, i) => Math.abs(c.overshoot - (theirs[i] as number))));
    const signed = ours.map((c, i) => c.overshoot / (theirs[i] as number) - 1);
    console.log(
      `overshoot by a lagging sensor: ${ours.length} beds, largest error ${worst.toFixed(3)} K, mean ${(100 * mean(signed)).toFixed(1)} %`,
    );
    // Ours takes the rate of warming at the target for the whole lag: too much where the bed hardly warms any more, and never too little.
    ours.forEach((c, i) => near(c.overshoot / (theirs[i] as number), 1, 0.06, JSON.stringify(c)));
    expect(Math.min(...signed)).toBeGreaterThan(-0.001);
    expect(mean(signed)).toBeLessThan(0.01);
  });

  test('60 sensors at inputs of their own: resistance, voltage, counts, steps, what is shown, and what is shown when a wire fails', () => {
    const list = Array.from({ length: 60 }, (_, i) => {
      const family = families[i % families.length] as (typeof families)[number];
      const own = made(family);
      // Every second one is read by the curve of another sensor of its family.
      const set = i % 12 >= 6 && family !== 'thermocouple' ? made(family) : own;
      return {
        family,
        own,
        set,
        at: digits(-20, family === 'table' ? 125 : 290, 4),
        bits: Math.round(between(10, 16)),
        reference: between(0, 1) < 0.5 ? 3.3 : 5,
        pull_up: digits(1e3, 1e4, 3),
        gain: family === 'thermocouple' ? digits(80, 140, 3) : 1,
        zero: family === 'thermocouple' ? digits(0.3, 0.6, 3) : 0,
        terminals: digits(20, 60, 3),
        length: digits(0, 3, 3),
        area: digits(0.1, 0.45, 3),
        from: family === 'thermocouple' || family === 'platinum' ? -150 : family === 'table' ? -40 : -60,
        to: family === 'table' ? 135 : 400,
      };
    });
    const ours = list.map((c) => {
      const ends = `curve_from = ${c.from} degC\n    curve_to = ${c.to} degC\n    hottest = ${c.to} degC`;
      const [kind = '', ...lines] = c.own.text.split('\n');
      const [setKind = '', ...setLines] = c.set.text.split('\n');
      const tc = c.family === 'thermocouple';
      const input = tc
        ? `      gain = ${c.gain}\n      zero = ${c.zero} V\n      terminals = ${c.terminals} degC`
        : `      pull_up = ${c.pull_up} ohm`;
      const common = `      bits = ${c.bits}\n      reference = ${c.reference} V\n${input}`;
      const leads = tc ? '' : `    lead_length = ${c.length} m\n    lead_area = ${c.area} mm^2\n`;
      const text = `${board(common, tc ? 'thermocouple_input' : 'sensor_input')}
  ${setKind} other {
${setLines.join('\n')}
    ${ends}
  }
  ${kind} one {
${lines.join('\n')}
    ${ends}
    input = controller.read_here
    set_curve = other
${leads}  }
`;
      const first: Question = tc ? ['Voltage', `one.thermal_voltage(at: ${c.at} degC)`] : ohms('one', c.at);
      const values = ask(text, [
        first,
        ['Voltage', `one.signal(at: ${c.at} degC)`],
        ['Ratio', `one.counts(at: ${c.at} degC)`],
        ['TemperatureDifference', `one.kelvin_per_count(at: ${c.at} degC)`],
        ['Temperature', `one.shown_at(at: ${c.at} degC)`],
        ['Temperature', 'one.reading_when_broken'],
        ['Temperature', 'one.reading_when_shorted'],
      ]);
      const [resistance, signal, counts, step, shown, broken, shorted] = values as [
        number,
        number,
        number,
        number,
        number,
        number,
        number,
      ];
      return { resistance, signal, counts, step, shown, broken, shorted };
    });
    const theirs = oracle<Answer>(
      'sensors-oracle.py',
      list.map((c) => ({ ...c, own: c.own.numbers, set: c.set.numbers })),
    );
    const relative = (key: keyof Answer) =>
      Math.max(...ours.map((o, i) => Math.abs(o[key] / (theirs[i] as Answer)[key] - 1)));
    const apart = (key: keyof Answer) => Math.max(...ours.map((o, i) => Math.abs(o[key] - (theirs[i] as Answer)[key])));
    for (const key of ['resistance', 'signal', 'counts', 'step'] as const) {
      console.log(`sensors, ${key}: ${list.length} cases, largest error ${relative(key).toExponential(1)}`);
    }
    for (const key of ['shown', 'broken', 'shorted'] as const) {
      console.log(`sensors, ${key}: ${list.length} cases, largest error ${apart(key).toExponential(1)} K`);
    }
    expect(relative('resistance')).toBeLessThan(1e-9);
    expect(relative('signal')).toBeLessThan(1e-9);
    expect(relative('counts')).toBeLessThan(1e-9);
    // Ours by half a kelvin to either side, theirs by the slope.
    expect(relative('step')).toBeLessThan(0.02);
    expect(apart('shown')).toBeLessThan(1e-5);
    expect(apart('broken')).toBeLessThan(1e-5);
    expect(apart('shorted')).toBeLessThan(1e-5);
  });
});
