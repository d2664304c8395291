import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { inlineValues } from '../../language/answers/inline-values.ts';
import { cellOf, cellsOf } from '../../language/compute/cell.ts';
import { candidatesFor } from '../../language/judge/candidates.ts';
import { answerTo, mayBeWritten } from '../../language/judge/choices.ts';
import type { Finding } from '../../language/judge/finding.ts';
import type { Severity } from '../../language/mistakes/mistake.ts';
import { declaredName } from '../../language/names/scope.ts';
import { type Assessed, Project } from '../../language/project.ts';
import { partKind } from '../../language/types/bind.ts';
import { bench, findingsOf, library, machineIn } from '../support.ts';

const graveness: readonly (Severity | undefined)[] = [undefined, 'note', 'advice', 'warning', 'error'];

function all(findings: readonly Finding[]): Finding[] {
  return findings.flatMap((finding) => [finding, ...all(finding.consequences)]);
}

/** `rule path severity` of everything that a machine is told. */
function told(machine: Assessed): Set<string> {
  // That nothing fits is said of the question, not of what stands in its place.
  const findings = all(machine.assessment.findings).filter(({ rule }) => rule !== 'nothing_fits');
  return new Set(
    findings.map((f) => {
      const what = f.rule === 'requirement' ? f.message.split(' does not hold')[0] : f.rule;
      return `${what} ${f.instance.label} ${f.severity}`;
    }),
  );
}

function gravest(machine: Assessed): number {
  return Math.max(0, ...all(machine.assessment.findings).map(({ severity }) => graveness.indexOf(severity)));
}

/** What is said of a machine: it holds no longer once its text is edited. */
const standing = (machine: Assessed) => ({ told: told(machine), gravest: gravest(machine) });

const project = new Project(library, { read: () => undefined });

/** The machine of a text, which differs little from the one before: only what rests on that is computed again. */
const machineWritten = (text: string) => project.machines(project.update('file:///a.gusset', text))[0] as Assessed;

function changed(text: string, ...changes: readonly (readonly [string, string])[]): string {
  return changes.reduce((now, [from, to]) => {
    expect(now).toContain(from);
    return now.replace(from, to);
  }, text);
}

/** The library's parts of a kind, all of which may stand in place of a `?`. */
const partsOf = (kind: string): string[] =>
  library.scope.parts().flatMap(({ node, scope }) => {
    const name = declaredName(node) ?? '';
    return partKind(name, scope)?.isA(scope.kindNamed(kind)) ? [name] : [];
  });
const fuses = partsOf('fuse');
const areas = ['0.5', '0.75', '1', '1.5', '2.5', '4', '6', '10'].map((area) => `${area} mm^2`);
const supplies = partsOf('supply');

const opening = {
  area: { closed: 'area = 2.5 mm^2', open: 'area = ?', write: (to: string) => `area = ${to}`, among: areas },
  fuse: { closed: 'fuse is blade_15a', open: 'fuse is ?', write: (to: string) => `fuse is ${to}`, among: fuses },
  supply: {
    closed: 'psu is supply_24v_450w',
    open: 'psu is ?',
    write: (to: string) => `psu is ${to}`,
    among: supplies,
  },
} as const;

const mistakes: Record<string, readonly (readonly [string, string])[]> = {
  'no cutoff stands in the path': [
    ['bed.cutoff, ', ''],
    ['    cutoff is thermal_link_133c\n', ''],
  ],
  'the cutoff lies beside the path': [['bed.cutoff, ', '']],
  'the heater is a third of what is needed': [['power = 250 W', 'power = 40 W']],
  'the heater is too strong for everything': [['power = 250 W', 'power = 2500 W']],
  'the heater is for another voltage': [['voltage = 24 V', 'voltage = 12 V']],
  'the wire is longer than any area bears': [['length = 0.9 m', 'length = 60 m']],
  'a requirement that cannot be met': [['  circuit', '  require bed.warm_up(to: 90 degC) <= 5 s\n  circuit']],
  'a requirement that only the choice can meet': [['  circuit', '  require bed_power.wire.area >= 6 mm^2\n  circuit']],
  'the insulation melts under the bed': [['insulation = silicone', 'insulation = pvc']],
};

describe('an open choice never makes the check quieter', () => {
  const twins = Object.entries(mistakes).flatMap(([mistake, changes]) =>
    Object.entries(opening).map(([what, open]) => ({ mistake, changes, what, open })),
  );

  test.each(twins)('$mistake, with an open $what', ({ changes, open: { closed, open, write, among } }) => {
    const flawed = changed(bench, ...changes);
    const machine = machineIn(changed(flawed, [closed, open]));
    const [choice] = machine.choices;
    const written = new Map(among.map((to) => [to, standing(machineWritten(changed(flawed, [closed, write(to)])))]));
    const closings = [...written.values()];
    const openly = told(machine);
    // What is found whichever is written is found where nothing is.
    const always = [...(closings[0]?.told ?? [])].filter((key) => closings.every((other) => other.told.has(key)));
    expect([...openly]).toEqual(expect.arrayContaining(always));
    expect(gravest(machine)).toBeGreaterThanOrEqual(Math.min(...closings.map((closing) => closing.gravest)));
    for (const cell of machine.tree.all().flatMap((each) => [...cellsOf(each).values.values()])) {
      if (cell.definition.origin === 'open') expect(cell.origin).toBe(choice?.proposed ? 'proposed' : 'open');
    }
    // What stands in its place is judged as if it were written.
    const stands = choice?.proposed ?? choice?.nearest;
    expect(openly).toEqual(written.get(stands?.text as string)?.told);
    // Nothing that is proposed is at fault itself.
    if (choice?.proposed) {
      const own = machine.assessment.findings.filter((f) => f.instance === choice.instance && f.severity === 'error');
      expect(own).toEqual([]);
    }
  });

  test('a fire is told as if the area were written, at its own place', () => {
    const flawed = changed(bench, ...(mistakes['no cutoff stands in the path'] ?? []));
    const machine = machineIn(changed(flawed, ['area = 2.5 mm^2', 'area = ?']));
    const closed = machineIn(changed(flawed, ['area = 2.5 mm^2', 'area = 4 mm^2']));
    const fire = (of: Assessed) =>
      of.assessment.findings.map((f) => `${f.rule} ${f.severity} ${f.instance.label} ${f.caution}`);
    expect(fire(machine).join()).toContain('stuck_on_unprotected error bed Fire');
    expect(fire(machine)).toEqual(fire(closed));
  });

  test.each([100, 50])('a supply of half the voltage does not hide the fire, with the bed at %i °C', (target) => {
    const cold = changed(bench, ['target = 100 degC', `target = ${target} degC`], ['power = 250 W', 'power = 240 W']);
    const flawed = changed(cold, ...(mistakes['no cutoff stands in the path'] ?? []));
    const machine = machineIn(changed(flawed, ['psu is supply_24v_450w', 'psu is ?']));
    expect(machine.choices[0]?.proposed?.text).toBe('supply_24v_350w');
    expect(told(machine)).toContain('stuck_on_unprotected bed error');
    // Where a cutoff stops it, there is nothing to set apart.
    const good = machineIn(changed(cold, ['psu is supply_24v_450w', 'psu is ?']));
    expect(good.choices[0]?.proposed?.text).toBe('supply_24v_350w');
    expect(findingsOf(good)).toEqual([]);
  });

  test('all of supply, fuse and area open: they settle beside each other', () => {
    const text = changed(
      bench,
      ['psu is supply_24v_450w', 'psu is ? { own_plug = yes }'],
      ['fuse is blade_15a', 'fuse is ?'],
      ['area = 2.5 mm^2', 'area = ?'],
    );
    const machine = machineIn(text);
    expect(machine.choices.map((c) => c.proposed?.text)).toEqual(['supply_24v_350w', 'blade_15a', '2.5 mm^2']);
    expect(machine.choices.every((c) => c.undecided.length === 0 && mayBeWritten(c))).toBe(true);
    expect(findingsOf(machine)).toEqual([]);
    // Where one of them cannot be had, the others are still told what they would have to bear.
    const burning = machineIn(changed(text, ...(mistakes['no cutoff stands in the path'] ?? [])));
    expect(burning.choices.map((c) => (c.proposed ?? c.nearest)?.text)).toEqual([
      'supply_24v_350w',
      'blade_15a',
      '2.5 mm^2',
    ]);
    expect(findingsOf(burning).join()).toContain('stuck_on_unprotected');
  });
});

describe('a proposal that undecided rules stand behind', () => {
  const unknown = changed(
    bench,
    ['supply psu is supply_24v_450w', 'supply psu'],
    ['fuse is blade_15a', 'fuse is ?'],
    ['area = 2.5 mm^2', 'area = ?'],
  );

  test('says so in its line, and is not to be written where one is about safety', () => {
    const machine = machineIn(unknown);
    const [fuse, area] = machine.choices;
    expect(fuse?.undecided.map((u) => u.code)).toContain('fuse_too_small');
    expect(fuse?.undecided.find((u) => u.code === 'fuse_not_rated_for_dc')?.caution).toContain('Fire');
    for (const choice of [fuse, area]) if (choice) expect(mayBeWritten(choice)).toBe(false);
    const line = inlineValues(machine).find((v) => v.kind === 'proposal');
    expect(line?.text).toMatch(/^\w+ proposed if \d+ undecided rules hold, \d+ of them about safety$/);
    expect(line?.tooltip).toContain('psu.voltage');
  });

  const shelf = `sizes boards: Length = [12 mm, 18 mm]

/// A shelf.
kind shelf {
  toplevel
  /// Its board.
  thickness: Length {
    sizes boards
  }
  /// What lies on it.
  load: Mass?
  /// How it bends.
  bend: Length = thickness * (load / 10 kg)
}

/// A shelf is stiff.
rule shelf_bends on shelf {
  holds thickness >= 15 mm
  warning "bends"
}

/// A shelf holds.
rule shelf_falls on shelf {
  when load > 1 kg
  holds bend <= 40 mm
  error "falls"
}

shelf Upper {
  thickness = ?
}
`;

  test('is to be written where what waits is not about safety', () => {
    const [choice] = machineIn(shelf).choices;
    // What its guard lacks keeps the rule from looking at the board at all, which does not mean that it would not.
    expect(choice?.undecided).toEqual([{ code: 'shelf_falls', missing: ['load'] }]);
    expect(choice && answerTo(choice)).toBe('18 mm proposed if 1 undecided rule holds');
    expect(choice && mayBeWritten(choice)).toBe(true);
    const [grave] = machineIn(changed(shelf, ['error "falls"', 'error "falls"\n  caution "Mind your feet."'])).choices;
    expect(grave && answerTo(grave)).toBe('18 mm proposed if 1 undecided rule holds, which is about safety');
    expect(grave && mayBeWritten(grave)).toBe(false);
    const [decided] = machineIn(changed(shelf, ['thickness = ?', 'thickness = ?\n  load = 10 kg'])).choices;
    expect(decided && answerTo(decided)).toBe('18 mm proposed');
  });
});

describe('a candidate that breaks a rule about itself is not proposed', () => {
  const mains = changed(
    bench,
    ['supply psu is supply_24v_450w', 'inlet psu'],
    ['voltage = 24 V', 'voltage = 230 V'],
    ['power = 250 W', 'power = 400 W'],
    ['fuse is blade_15a', 'fuse is ?'],
  );

  test('a fuse for direct current on mains', () => {
    const [choice] = machineIn(mains).choices;
    expect(choice?.proposed?.text).toBe('cartridge_4a');
    expect(choice?.obstacles.at(-1)).toMatchObject({ rule: 'fuse_not_rated_for_ac', candidate: { text: 'blade_3a' } });
  });

  test('a fuse for mains in a DC circuit', () => {
    for (const power of [30, 60, 90, 120]) {
      const text = changed(bench, ['fuse is blade_15a', 'fuse is ?'], ['power = 250 W', `power = ${power} W`]);
      expect(machineIn(text).choices[0]?.proposed?.text).toMatch(/^blade/);
    }
  });

  test('where no part has what it takes, none is proposed, and it is told', () => {
    const machine = machineIn(
      changed(mains, ['  mains = 230 V', '  mains = 260 V'], ['= 230 V\n    }', '= 260 V\n    }']),
    );
    expect(machine.choices[0]?.proposed).toBeUndefined();
    expect(findingsOf(machine).join()).toContain('fuse_not_rated_for_ac');
  });
});

test('candidates come in their order', () => {
  const machine = machineIn(changed(bench, ['area = 2.5 mm^2', 'area = ?']));
  const cell = cellOf(machine.choices[0]?.instance, 'area');
  const values = cell ? candidatesFor(cell, machine).map(({ value }) => value as number) : [];
  expect(values.length).toBeGreaterThan(5);
  expect(values).toEqual(values.toSorted((a, b) => a - b));
});

describe('what does not bear its place, or has another voltage, is never proposed in a whole machine', () => {
  const examples = new URL('../../examples/', import.meta.url);
  const heron = readFileSync(new URL('heron.gusset', examples), 'utf8');
  const bed = heron.indexOf('circuit bed_power');
  const opened = {
    insulation: heron.slice(0, bed) + heron.slice(bed).replace(/insulation = \w+/, 'insulation = ?'),
    material: heron.replace('heater is mat_230', 'heater is mat_230\n    plate { material = ? }'),
    '': heron.replace(/heater is \w+/, 'heater is ?'),
  };

  test.each([
    ['a wire under a bed of 100 °C', 'insulation', ['epdm', 'pvc'], true],
    ['a plate that is heated', 'material', ['acrylic', 'pla', 'mineral_wool'], false],
    ['a mat on 24 V', '', ['mat_230v_400w', 'mat_230v_700w'], true],
  ] as const)('%s', (_, name, never, isListed) => {
    expect(opened[name]).not.toBe(heron);
    const project = new Project(library, {
      read: (uri) => readFileSync(new URL(uri.split('/').at(-1) ?? '', examples), 'utf8'),
    });
    const [machine] = project.machines(project.update('file:///heron.gusset', opened[name]));
    const [choice] = machine?.choices ?? [];
    const taken = [choice?.proposed, choice?.nearest, ...(choice?.ties ?? [])].flatMap((each) => each?.text ?? []);
    expect(taken.length).toBeGreaterThan(0);
    expect(taken.filter((text) => never.includes(text as never))).toEqual([]);
    // All that could stand there is told, with what speaks against each that is not to be taken; what a plate is never made of could not.
    const tried = choice?.tryAll() ?? [];
    for (const text of never) {
      const [against] = tried.filter(({ candidate }) => candidate.text === text);
      if (against) expect(against.failures.length, text).toBeGreaterThan(0);
    }
    expect(tried.some(({ candidate }) => never.includes(candidate.text as never))).toBe(isListed);
    expect(tried.length).toBeGreaterThan(2);
  });
});

test('what is found after candidates of several kinds were tried is found of what stands there', () => {
  const part = (name: string, kind: string, bears: string) => `part ${name} is ${kind} {\n  bears = ${bears}\n}\n`;
  const text = `kind rack {
  toplevel
  has peg*
}
kind peg {
  bears: Mass
  order bears
}
kind hook is peg {
}
${part('peg_1', 'peg', '1 kg')}${part('hook_2', 'hook', '2 kg')}${part('peg_3', 'peg', '3 kg')}rule peg_weak on peg {
  holds bears >= 5 kg
  error "{name} bears {bears}"
}
rack R {
  peg a is ?
}
`;
  const project = new Project(library, { read: () => undefined });
  const file = project.update('file:///a.gusset', text);
  const found = () => project.machines(file).map(findingsOf);
  const first = found();
  // What is found of the block that stands there follows from that nothing fits, whichever kinds were tried in its place.
  expect(first).toEqual([[expect.stringMatching(/^nothing_fits: .* peg_3 comes nearest -> peg_weak$/)]]);
  for (const _ of project.searchDeeper(file));
  for (const { choices } of project.machines(file)) {
    expect(choices.map((choice) => choice.obstacles.length)).toEqual([3]);
    expect(choices.map(({ instance }) => instance.label)).toEqual(['a']);
  }
  for (const _ of project.searchDeeper(file));
  expect(found()).toEqual(first);
});
