import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { Ends } from '../../language/compute/cell.ts';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { targetsOf } from '../../language/compute/machine.ts';
import { proofOf } from '../../language/compute/proof.ts';
import { notApplicable, rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { type Assessed, Project } from '../../language/project.ts';
import { library, read } from '../support.ts';

const seed = Number(process.env.FUZZ_SEED ?? 20260302);
/** How many points each proof is tried at; where more are asked for, in every machine of a file. */
const points = Number(process.env.PROOF_POINTS ?? 8);
console.info(`proofs seed ${seed}, ${points} points: FUZZ_SEED and PROOF_POINTS try others`);

/** Numbers below 1 that look random: a linear congruential generator with the constants of Numerical Recipes. */
function drawing(from: number): () => number {
  let state = from >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Of each example, how many verdicts over ranges that hold are proved. */
const shares: { readonly proved: number; readonly of: number }[] = [];

function verdictsOf(machine: Assessed): Cell[] {
  const rules = machine.tree
    .all()
    .flatMap((instance) => rulesOn(instance.kind, machine.scope).map((rule) => verdictCell(rule, instance)));
  return [...rules, ...targetsOf(machine).map(({ cell }) => cell)];
}

/** A verdict of which bounds said that it holds wherever it applies, and a point where it does not. */
function refuted(machine: Assessed, draw: () => number): { proved: number; searched: number; wrong: string[] } {
  const { engine } = machine;
  const over = verdictsOf(machine).filter((cell) => engine.corners(cell).of > 1);
  const holding = over.filter((cell) => !engine.corners(cell).values.includes(false));
  const proved = holding.filter((cell) => engine.corners(cell).proved);
  const wrong: string[] = [];
  const all = proved.reduce((so, cell) => so.and(engine.restsOf(cell, engine.low)), engine.low);
  for (let i = 0; i < points; i++) {
    const at = all.placed(all.ranges.map(() => draw()));
    for (const cell of proved) {
      const value = engine.under(at, () => engine.value(cell));
      const known = engine.corners(cell).values;
      const isSame = value === true || value === notApplicable;
      if (!isSame && !known.some((each) => typeof each === 'object')) wrong.push(`${cell.path} at ${at.shares.join()}`);
    }
    engine.letGo([]);
  }
  return { proved: proved.length, searched: holding.length - proved.length, wrong };
}

const folder = new URL('../../examples/', import.meta.url);
const examples = readdirSync(folder).filter((name) => name.endsWith('.gusset'));

test.each(examples)(
  '%s: no proof is refuted',
  (name) => {
    const project = new Project(library, { read: (uri) => readFileSync(new URL(uri), 'utf8') });
    const file = project.file(new URL(name, folder).href);
    if (!file) throw new Error(`${name} is not there`);
    for (const _ of project.searchDeeper(file));
    const draw = drawing(seed);
    const machines = process.env.PROOF_POINTS ? project.machines(file) : project.machines(file).slice(0, 1);
    const found = machines.map((machine) => refuted(machine, draw));
    const sum = (of: (each: (typeof found)[number]) => number) => found.reduce((so, each) => so + of(each), 0);
    const [proved, searched] = [sum(({ proved }) => proved), sum(({ searched }) => searched)];
    shares.push({ proved, of: proved + searched });
    console.info(`${name}: ${proved} of ${proved + searched} verdicts over ranges that hold are proved`);
    expect(found.flatMap(({ wrong }) => wrong)).toEqual([]);
    expect(machines.length === 0 || proved > 0).toBe(true);
  },
  3_600_000,
);

test('of the verdicts over ranges that hold in the examples, at least 70 % are proved', () => {
  const [proved, of] = [shares.reduce((so, each) => so + each.proved, 0), shares.reduce((so, each) => so + each.of, 0)];
  console.info(`examples: ${proved} of ${of} verdicts over ranges that hold are proved`);
  expect(of).toBeGreaterThan(300);
  expect(proved / of).toBeGreaterThan(0.7);
});

/** A formula of three ranges, each of 1 to 3 at its ends. */
function formula(draw: () => number, depth: number): string {
  const pick = (...of: string[]) => of[Math.floor(draw() * of.length)] as string;
  if (depth === 0) return draw() < 0.7 ? pick('p', 'q', 'r') : (0.25 + Math.floor(draw() * 12) / 4).toString();
  const [a, b] = [formula(draw, depth - 1), formula(draw, Math.floor(draw() * depth))];
  const c = formula(draw, 0);
  return pick(
    `(${a} + ${b})`,
    `(${a} - ${b})`,
    `${a} * ${b}`,
    `(${a}) / (${c} + 1)`,
    `(${a} * 1) ^ 2`,
    `(abs(${a}) + 1) ^ -1.5`,
    `sqrt(abs(${a}) + 0.5)`,
    `abs(${a} - ${b})`,
    `min(${a}, ${b})`,
    `max(${a}, ${b}, 1)`,
    `exp(${c} / 4)`,
    `ln(${c} + 1)`,
    `(if ${c} > 0.5 then ${a} else ${b})`,
    `(if ${c} > 2 then ${a} else ${b})`,
    `sum([${a}, ${b}])`,
    `-(${a})`,
    `floor(${a})`,
  );
}

test('of random formulas each is between the least and the greatest that bounds were certain of, at every point', () => {
  const draw = drawing(seed);
  let certain = 0;
  for (let i = 0; i < 400; i++) {
    const range = () => `${(1 + draw()).toFixed(3)} .. ${(2 + draw()).toFixed(3)}`;
    const text = `kind box {
  toplevel
  p: Ratio
  q: Ratio
  r: Ratio
  out: Ratio = ${formula(draw, 3)} {
    source defined "a test"
  }
}
box B {
  p = ${range()}
  q = ${range()}
  r = ${range()}
}
`;
    const { project, file } = read(text);
    const machine = project.machines(file)[0] as Assessed;
    const { engine, tree } = machine;
    const cell = cellOf(tree, 'out') as Cell;
    const corners = proofOf(cell, engine)?.corners;
    if (!corners) continue;
    certain++;
    const ranges = ['p', 'q', 'r'].map((name) => cellOf(tree, name) as Cell);
    const whole = engine.atHighEnds(ranges);
    const at = (ends: Ends) => engine.under(ends, () => engine.value(cell));
    const ends = (corners.length ? corners : [engine.low]).map(at);
    if (!ends.every((value) => typeof value === 'number')) continue;
    const [low, high] = [Math.min(...ends), Math.max(...ends)];
    const slack = 1e-9 * Math.max(1, Math.abs(low), Math.abs(high));
    for (let k = 0; k < 100; k++) {
      const value = at(whole.placed(whole.ranges.map(() => draw()))) as number;
      if (value < low - slack || value > high + slack) throw new Error(`${text}: ${value}, not ${low} to ${high}`);
    }
  }
  console.info(`random formulas: ${certain} of 400 certain`);
  expect(certain).toBeGreaterThan(100);
});
