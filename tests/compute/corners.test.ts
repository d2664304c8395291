import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { Instance } from '../../language/machine/tree.ts';
import { type Assessed, Project } from '../../language/project.ts';
import { Bounds, Fault, type Missing, Unknown, type Value } from '../../language/values/value.ts';
import { seed } from '../runner/seed.ts';
import { snapshot } from '../snapshot.ts';
import { bench, findingsOf, library, machineIn, mistakesIn, shown } from '../support.ts';

const kinds = `kind rack {
  toplevel
  /// Room for its planks.
  shared room: Length default 100 mm
  has plank*
  /// Wants the planks to fit.
  used: Length = sum(p.width for p in every plank)
  headline used
}

kind plank {
  /// Its width.
  width: Length default 10 mm
  /// Its gap, where it has one.
  gap: Length?
  /// What it takes of the room.
  share: Ratio = if width > 20 mm then (width + gap) / room else width / room
  /// How much wider it is than its holder's room allows.
  over: Length = max(width - room / 4, 0 mm)
  headline share
}

rule plank_too_wide on plank {
  when given(gap) or width > 5 mm
  holds over <= 3 mm
  at width
  error "{width} is {over} too wide"
}
`;

const uri = 'file:///rack.gusset';

function assessedOf(text: string, project = new Project(library, { read: () => undefined })) {
  const file = project.update(uri, text);
  return { said: snapshot(project, file), machine: project.machines(file)[0] };
}

const lacking = ({ instance, name, unreadable }: Missing) => `${instance.path}.${name} ${unreadable ?? ''}`;

/** What a value is, for comparison between two machines: blocks by their path, missing and faults in full. */
function told(value: Value): unknown {
  if (value instanceof Instance) return `block ${value.path}`;
  if (value instanceof Unknown) return { absent: value.absent, missing: value.missing.map(lacking) };
  if (value instanceof Bounds) return { ...value, missing: value.missing.map(lacking) };
  if (value instanceof Fault) return `fault ${value.message}`;
  if (Array.isArray(value)) return value.map(told);
  return value;
}

/** Every value of a machine at all ends that matter to it, with the ranges it rests on. */
function everything({ tree, engine }: Assessed): string[] {
  const cells = (instance: Instance): Cell[] =>
    [...instance.kind.members.values()].flatMap((member) =>
      member.parameters.length === 0 ? (cellOf(instance, member.name) ?? []) : [],
    );
  return tree.all().flatMap((instance) =>
    cells(instance).map((cell) => {
      const { tried, values, of } = engine.corners(cell);
      const ends = tried.map((scenario, i) => {
        const rests = engine.restsOf(cell, scenario).ranges.map((range) => range.path);
        return [scenario.ranges.map((range) => range.path), rests, told(values[i] as Value)];
      });
      return `${cell.path} ${of} ${JSON.stringify(ends)}`;
    }),
  );
}

const amounts = ['10 mm', '10 mm .. 30 mm', '30 mm', '30 mm .. 31 mm', '5 mm .. 10 mm', '2 mm .. 90 mm', '0 mm'];
const edit = fc.record({
  do: fc.constantFrom('set', 'set', 'set', 'drop', 'add', 'remove', 'require'),
  block: fc.constantFrom('a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'),
  value: fc.constantFrom('width', 'width', 'gap', 'room'),
  amount: fc.constantFrom(...amounts, '400 mm', '300 mm .. 400 mm', '?', 'a.width', 'b.width + gap', '1 mm / 0'),
});

test('after any edits of ranges every value is what a new project computes, at the same ends, from the same ranges', () => {
  fc.assert(
    fc.property(fc.array(edit, { minLength: 1, maxLength: 12 }), (edits) => {
      const project = new Project(library, { read: () => undefined });
      const blocks = new Map([
        ['a', new Map([['width', '10 mm .. 30 mm']])],
        ['b', new Map([['width', '10 mm']])],
      ]);
      const outside = new Map([['room', '100 mm']]);
      const requirements: string[] = ['used <= room'];
      assessedOf(kinds + rack(blocks, outside, requirements), project);
      for (const change of edits) {
        const block = change.value === 'room' ? outside : blocks.get(change.block);
        if (change.do === 'set') block?.set(change.value, change.amount);
        if (change.do === 'drop') block?.delete(change.value);
        if (change.do === 'add' && !block) blocks.set(change.block, new Map([['width', change.amount]]));
        if (change.do === 'remove') blocks.delete(change.block);
        if (change.do === 'require') requirements.splice(0, 2, `${change.block}.share + a.share <= 1`);
        const text = kinds + rack(blocks, outside, requirements);
        const edited = assessedOf(text, project);
        const fresh = assessedOf(text);
        expect(edited.said).toEqual(fresh.said);
        expect(everything(edited.machine as Assessed)).toEqual(everything(fresh.machine as Assessed));
      }
    }),
    { numRuns: Number(process.env.FUZZ_RUNS ?? 40), seed },
  );
}, 600_000);

function rack(blocks: Map<string, Map<string, string>>, outside: Map<string, string>, requirements: string[]): string {
  const values = (of: Map<string, string>) => [...of].map(([name, amount]) => `${name} = ${amount}`);
  const planks = [...blocks].map(([name, of]) => `plank ${name} { ${values(of).join('\n')}\n }`);
  return ['rack Hall {', ...values(outside), ...planks, ...requirements.map((r) => `require ${r}`), '}', ''].join('\n');
}

test('a high end written behind a value that was there counts at once', () => {
  const project = new Project(library, { read: () => undefined });
  const text = bench.replace('  ambient = 20 degC', '  ambient = 20 degC\n  require bed.target <= 120 degC');
  const holds = (now: string) => assessedOf(now, project).machine?.assessment.requirements.map((r) => r.holds);
  expect(holds(text)).toEqual([true]);
  expect(holds(text.replace('target = 100 degC', 'target = 100 degC .. 150 degC'))).toEqual([false]);
  expect(holds(text)).toEqual([true]);
});

/** Planks, each from 10 to 20 mm. */
const planks = (count: number) =>
  Array.from({ length: count }, (_, i) => `  plank p${i + 1} { width = 10 mm .. 20 mm }`).join('\n');

test('any number of ranges is tried, and the line says how many combinations were', () => {
  const sum = Array.from({ length: 40 }, (_, i) => `p${i + 1}.width`).join(' + ');
  const machine = machineIn(
    `${kinds}rack Hall {\n${planks(40)}\n  require ${sum} <= 799 mm\n  require p40.width <= 19 mm\n}\n`,
  );
  const [all, last] = machine.assessment.requirements;
  expect(all?.holds).toBe(false);
  expect(all?.shown).toBe('800 mm');
  expect(all?.searched).toMatch(/^searched \d+ of 1099511627776 combinations of ends$/);
  expect(last?.holds).toBe(false);
  expect(last?.searched).toBeUndefined();
  expect(findingsOf(machine).join('\n')).toMatch(/combinations of ends\)/);
});

test('what makes it worse at the low end and at the high end is found among many ranges', () => {
  const text = (more: string) =>
    machineIn(`${kinds}rack Hall {\n${planks(6)}\n  require p1.width - p2.width${more} <= 5 mm\n}\n`).assessment
      .requirements[0];
  expect(text('')?.holds).toBe(false);
  expect(text('')?.searched).toBeUndefined();
  const many = text(' + 0 * (p3.width + p4.width + p5.width)');
  expect(many?.holds).toBe(false);
  expect(many?.shown).toBe('10 mm');
  expect(many?.searched).toContain('of 32 combinations of ends');
});

test('a range is written the right way round', () => {
  const turned = bench.replace('target = 100 degC', 'target = 110 degC .. 100 degC');
  expect(mistakesIn(turned)).toEqual(['6: A range goes from its low end to its high end: 100 degC .. 110 degC.']);
  expect(mistakesIn(turned.replace('110 degC .. 100', '-10 degC .. 100'))).toEqual([]);
  const computed = bench.replace('target = 100 degC', 'target = 110 degC .. ambient + 50 K');
  expect(findingsOf(machineIn(computed)).join()).toContain('the high end of this range is below its low end');
});

test('of many combinations of ends that are as bad, the one is named whose paths come first', () => {
  const text = `${kinds}rack Hall {\n${planks(6)}\n  require max(p2.width, p1.width, p3.width) + 0 * (p4.width + p5.width + p6.width) <= 15 mm\n}\n`;
  const [requirement] = machineIn(text).assessment.requirements;
  expect(requirement?.holds).toBe(false);
  expect(requirement?.worst).toMatch(/^at p1\.width 20 mm, p2\.width 10 mm, p3\.width 10 mm, /);
});

test('of what is only known from below the least is found among many ranges too', () => {
  const machine = machineIn(`kind scale {
  toplevel
  has load*
  a: Mass
  b: Mass
  c: Mass
  d: Mass
  e: Mass
  total: Mass = sum(each.mass for each in every load) + a - b + c - d + e {
    source defined "a test"
  }
}
kind load {
  mass: Mass
}
scale S {
${['a', 'b', 'c', 'd', 'e'].map((name) => `  ${name} = 1 kg .. 2 kg`).join('\n')}
  load known { mass = 10 kg }
  load open
}
`);
  // 10 + 1 - 2 + 1 - 2 + 1
  expect(shown(machine, 'total')).toBe('at least 9 kg');
});

test('of yes and no the worse is found among many ranges too, through what is not known', () => {
  const machine = machineIn(`kind scale {
  toplevel
  a: Mass
  b: Mass
  c: Mass
  d: Mass
  e: Mass
  maybe: YesNo
  steady: YesNo = if a > 1.5 kg and b < 1.5 kg and d < 1.5 kg and e > 0 kg then (if c > 1.5 kg then no else maybe) else yes {
    source defined "a test"
  }
}
scale S {
${['a', 'b', 'c', 'd', 'e'].map((name) => `  ${name} = 1 kg .. 2 kg`).join('\n')}
}
`);
  const { engine, tree } = machine;
  const { values } = engine.corners(cellOf(tree, 'steady') as Cell);
  expect(values).toContain(true);
  expect(values).toContain(false);
});
