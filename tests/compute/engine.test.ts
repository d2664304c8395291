import { describe, expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { Allowance } from '../../language/compute/engine.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { Project } from '../../language/project.ts';
import { Range, Unknown } from '../../language/values/value.ts';
import { fixture } from '../library/rule-examples.ts';
import { bench, findingsOf, library, machineIn, mistakesIn, read, shown } from '../support.ts';

/** A machine of one's own kind, with values in it. */
const lab = (formulas: string, block = '') => `kind lab {
  toplevel
${formulas}
}
lab L {
${block}
}
`;

const documented = (lines: readonly string[]) => lines.map((line) => `  /// A value.\n  ${line}`).join('\n');

describe('what does not end is a finding at its place', () => {
  test('a function that calls itself, through others or not', () => {
    const text = `function f(x: Length): Length = f(x: x)
function g(x: Length): Length = h(x: x)
function h(x: Length): Length = g(x: x)
${lab(documented(['a: Length = f(x: 1 mm)', 'b: Length = h(x: 1 mm)', 'c: Length = 2 mm', 'headline a, b, c'].slice(0, 3)), '  require a < 1 mm\n  require b < 1 mm\n  require c < 3 mm')}`;
    const machine = machineIn(text);
    expect(findingsOf(machine)).toEqual([
      'not_computable: a cannot be computed: f calls itself without end',
      'not_computable: b cannot be computed: g calls itself without end: g → h → g',
    ]);
    expect(machine.assessment.requirements.map((r) => r.holds)).toEqual([undefined, undefined, true]);
  });

  test('a function may call itself where that ends', () => {
    const text = `function half(n: Count): Count = if n < 2 then 0 else 1 + half(n: n / 2)\n${lab(documented(['a: Count = half(n: 1024)']))}`;
    expect(shown(machineIn(text), 'a')).toBe('10');
  });

  test('a hundred calls within each other are the most', () => {
    const down = (from: number) =>
      machineIn(
        `function down(n: Count): Count = if n < 1 then 0 else 1 + down(n: n - 1)\n${lab(documented([`a: Count = down(n: ${from})`]), '  require a >= 1')}`,
      );
    expect(shown(down(99), 'a')).toBe('99');
    expect(findingsOf(down(100))).toEqual(['not_computable: a cannot be computed: down calls itself without end']);
  });

  test('branches beyond number, and questions within questions', () => {
    const text = `function f(x: Count): Count = if x < 1 then 1 else f(x: x - 1) + f(x: x - 1)
kind post { inside lab }
${lab(
  documented([
    'a: Count = f(x: 40)',
    'b: Count = sum(sum(sum(sum(1 for d in every post) for c in every post) for b in every post) for a in every post)',
    'c: Count = sum(sum(1 for b in every post) for a in every post)',
  ]),
  `${Array.from({ length: 60 }, (_, i) => `  post p${i}`).join('\n')}\n  require a > 1\n  require b > 1`,
)}`;
    const machine = machineIn(text);
    expect(findingsOf(machine)).toEqual([
      'not_computable: a cannot be computed: it takes too long to compute: more than 200000 steps',
    ]);
    expect(machine.assessment.requirements.map((r) => r.holds)).toEqual([undefined, undefined]);
    expect(shown(machine, 'c')).toBe('3600');
  });

  test('a part that contains itself, and machines that start from each other', () => {
    const part = 'part a is plate {\n  bed { plate is a }\n  bed two { plate is a }\n}\n';
    expect(mistakesIn(part).join('\n')).toContain('2: A bed cannot stand in a plate.');
    expect(mistakesIn('part a is bed {\n  bed two is a\n}\n').join()).toBe(
      '2: This never ends: a contains itself here.',
    );
    const ring = 'machine A is B {\n}\nmachine B is C {\n}\nmachine C is A {\n}\n';
    const said = mistakesIn(ring).filter((m) => m.includes('itself'));
    expect(said).toEqual([
      '1: A starts from itself: A → B → C → A.',
      '3: B starts from itself: B → C → A → B.',
      '5: C starts from itself: C → A → B → C.',
    ]);
  });
});

describe('what is long is computed', () => {
  test('chains of references, and rings of many', () => {
    const chain = (last: string) =>
      Array.from({ length: 1500 }, (_, i) => `v${i}: Length = ${i === 1499 ? last : `v${i + 1} + 1 mm`}`);
    expect(shown(machineIn(lab(documented(chain('1 mm')))), 'v0')).toBe('1.5 m');
    const { project, file } = read(lab(documented(chain('v0')), '  require v700 < 1 mm'));
    const [machine] = project.machines(file);
    expect(machine?.assessment.requirements[0]?.because).toMatch(
      /^this value depends on itself: v0 → v1 → v2 .* → v0$/,
    );
  });

  test('terms of a sum, and conditions', () => {
    const terms = Array.from({ length: 290 }, () => '1 mm').join(' + ');
    const conditions = Array.from({ length: 290 }, () => 'a > 0 mm').join(' and ');
    const machine = machineIn(lab(documented([`a: Length = ${terms}`, `b: YesNo = ${conditions}`])));
    expect([shown(machine, 'a'), shown(machine, 'b')]).toEqual(['290 mm', 'yes']);
  });
});

describe('numbers without end', () => {
  test('are faults with a cause, not results', () => {
    const machine = machineIn(
      lab(documented(['a: Ratio = exp(1000)', 'b: Power = 1e308 W * 10']), '  require a > 1\n  require b > 1 W'),
    );
    expect(machine.assessment.requirements.map((r) => [r.holds, r.because])).toEqual([
      [undefined, 'this comes to a number too large to compute with'],
      [undefined, 'this comes to a number too large to compute with'],
    ]);
  });
});

describe('what cannot be computed and what is not known', () => {
  test('a heater too strong for the search ends above its ceiling, and the rule fires', () => {
    const text = fixture('hot_end_stuck_on', 'Breaks') ?? '';
    const strong = text.replace(
      'cartridge is self_limiting_24v_40w',
      'cartridge is cartridge_24v_40w { power = 200 W }',
    );
    const machine = machineIn(strong);
    expect(shown(machine, 'extruder.hot_end.stuck_on_temperature')).toBe('more than 1500 °C');
    expect(findingsOf(machine).join('\n')).toMatch(
      /hot_end_melts_down: Nothing stops extruder\.hot_end with its heater stuck on: it reaches more than 1500 °C; /,
    );
  });

  test('a safety rule that cannot be computed is an error that says what could not be found', () => {
    const rule = `rule table_left on bed {
  holds far(at: target) > 0 mm
  error "out"
  caution "Fire."
}
table far(at: Temperature): Length {
  source practice "a test"
  interpolation linear
  row 0 degC: 1 mm
  row 50 degC: 2 mm
}
`;
    const said = machineIn(bench + rule).assessment.findings.filter((f) => f.rule === 'not_computable');
    expect(said.map((f) => [f.severity, f.caution])).toEqual([['error', 'Fire.']]);
    expect(said[0]?.message).toContain('what rests on it cannot be judged: table left');
  });

  test('a part that cannot be found may bring what its block leaves out', () => {
    const machine = machineIn(bench.replace('cutoff is thermal_link_133c', 'cutoff is nowhere_known'));
    expect(findingsOf(machine).join('\n')).not.toContain('DC rating');
    expect(findingsOf(machine).join('\n')).not.toContain('not known');
  });
});

describe('what is only supposed', () => {
  const text = lab(documented(['a: Length?', 'b: Length = 2 * a', 'c: Length = 3 mm + b']), '  require c < 20 mm');
  const machine = machineIn(text);
  const { engine, tree } = machine;
  const [a, b, c] = ['a', 'b', 'c'].map((name) => cellOf(tree, name) as Cell) as [Cell, Cell, Cell];

  test('is computed from, a range at its ends, and leaves what stood before', () => {
    const before = engine.corners(c);
    expect(engine.supposing(new Map([[a, 0.004]]), () => engine.value(c))).toBeCloseTo(0.011, 12);
    const over = engine.supposing(new Map([[a, new Range(0.001, 0.002)]]), () => engine.corners(c).values);
    expect(over).toEqual([expect.closeTo(0.005, 12), expect.closeTo(0.007, 12)]);
    expect(engine.corners(c)).toBe(before);
    expect(engine.value(b)).toBeInstanceOf(Unknown);
    expect(a.trial).toBeUndefined();
  });

  test('leaves what was first computed from it to be computed again, and is gone after a mistake as well', () => {
    const late = machineIn(text);
    const [first, last] = ['a', 'c'].map((name) => cellOf(late.tree, name) as Cell) as [Cell, Cell];
    const fails = () =>
      late.engine.supposing(new Map([[first, 1]]), () => {
        expect(late.engine.value(last)).toBeCloseTo(2.003, 12);
        throw new Error('given up');
      });
    expect(fails).toThrow('given up');
    expect(late.engine.value(last)).toBeInstanceOf(Unknown);
  });
});

test('what blocks that are gone had computed is let go of', () => {
  const text = (post: string) => `kind lab {
  toplevel
  has post*
  /// How high.
  shared height: Length
}
kind post {
  twice: Length = 2 * height {
    source defined "its double"
  }
}
lab L {
  height = 1 m
  post ${post}
}
`;
  const project = new Project(library, { read: () => undefined });
  for (let i = 0; i <= 250; i++) {
    const [machine] = project.machines(project.update('file:///lab.gusset', text(`p${i}`)));
    expect(machine && shown(machine, `p${i}.twice`)).toBe('2 m');
    if (i < 250) continue;
    const readers = [...(cellOf(machine?.tree as Instance, 'height')?.readers ?? [])];
    expect(readers.some(({ instance }) => instance.name === 'p250')).toBe(true);
    expect(readers.length).toBeLessThan(200);
  }
});

test('so many steps are enough or not, what goes wrong in between is told, and afterwards there is no limit', () => {
  const allowance = new Allowance();
  const spend = (steps: number) => () => {
    for (let i = 0; i < steps; i++) allowance.spend();
  };
  expect(allowance.suffices(3, spend(3))).toBe(true);
  expect(allowance.suffices(3, spend(4))).toBe(false);
  expect(() =>
    allowance.suffices(3, () => {
      throw new Error('another');
    }),
  ).toThrow('another');
  expect(spend(10)).not.toThrow();
});

test('what comes to read a value only while it is supposed to be another is computed anew afterwards', () => {
  const { project, file } = read(
    lab(documented(['length: Length', 'twice: Length = 2 * length', 'asked: Length = 1 mm'])),
  );
  const machine = project.machines(file)[0];
  if (!machine) throw new Error('there is no machine');
  const { engine, tree } = machine;
  const [length, twice] = ['length', 'twice'].map((name) => cellOf(tree, name)) as [Cell, Cell];
  expect(engine.supposing(new Map([[length, 2]]), () => engine.value(twice))).toBe(4);
  expect(engine.value(twice)).toBeInstanceOf(Unknown);
  expect(engine.supposing(new Map([[length, 3]]), () => engine.value(twice))).toBe(6);
});
