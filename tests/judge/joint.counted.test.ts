import { describe, expect, test } from 'vitest';
import type { Finding } from '../../language/judge/finding.ts';
import type { Assessed } from '../../language/project.ts';
import { Project } from '../../language/project.ts';
import { seed } from '../runner/seed.ts';
import { library } from '../support.ts';

/** How many machines are counted out: a sample; `COUNTED_MACHINES=400` counts more. */
const machines = Number(process.env.COUNTED_MACHINES ?? 40);

/** The same numbers in each run. */
function random(from: number): (below: number) => number {
  let state = from >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) % below;
  };
}

interface StockPart {
  readonly name: string;
  readonly size: number;
  readonly price: number | undefined;
}

interface Open {
  readonly path: string;
  readonly candidates: readonly { text: string; price?: number; isPart: boolean; rank: number }[];
}

interface Case {
  readonly text: (picks: readonly number[] | undefined) => string;
  readonly open: readonly Open[];
}

const bores = [4, 6, 8, 10];

/** A machine with two to four choices. */
function generated(number: number): Case {
  const pick = random(seed + number * 7919);
  for (;;) {
    const made = plant(pick);
    if (made.open.length >= 2) return made;
  }
}

/** A plant: pumps, lines that hang on them, and clips that hold the lines. What fails is sometimes an error, sometimes a warning. */
function plant(pick: (below: number) => number): Case {
  const level = () => (pick(2) ? 'error' : 'warning');
  const stock = (kind: string, sizes: readonly number[]): StockPart[] => {
    const parts = sizes.slice(0, 2 + pick(sizes.length - 1)).map((size, i) => ({
      name: `${kind}_${i}`,
      size: size + (pick(4) === 0 ? 1 : 0),
      price: pick(3) === 0 ? undefined : 1 + pick(4),
    }));
    // Two that nothing tells apart.
    const twin = parts[pick(parts.length)] as StockPart;
    return pick(2) ? parts : [{ ...twin, name: `${kind}_twin` }, ...parts];
  };
  const pumps = stock('pump', [4, 7, 10, 14]);
  const clips = stock('clip', [5, 7, 9]);
  const lines = 1 + pick(2);
  const loads = Array.from({ length: lines }, () => 2 + pick(9));
  const isShared = pick(3) > 0;
  const kinds = `sizes bores: Length = [${bores.map((bore) => `${bore} mm`).join(', ')}]
/// A plant.
kind plant {
  toplevel
  has pump*
  has line*
  /// What is paid.
  paid: Price = sum(p.cost for p in every pump) {
    source defined "a test"
  }
}
/// A pump.
kind pump {
  gives: Mass
  cost: Price?
  order cost, gives
}
/// A clip.
kind clip {
  takes: Length
  cost: Price?
  order cost, takes
}
/// A line.
kind line {
  load: Mass
  bore: Length {
    sizes bores
  }
  has clip?
  from: pump?
}
/// It gives what hangs on it.
rule pump_short on pump {
  holds sum(l.load for l in every line where l.from == self) <= gives
  ${level()} "{name} gives {gives}"
  source defined "a test"
}
/// A large one is loud beside thin lines.
rule pump_loud on pump {
  holds all(l.bore / 1 mm >= gives / 1 kg - ${3 + pick(3)} for l in every line where l.from == self)
  ${level()} "{name} is loud"
  source defined "a test"
}
/// A line carries its load.
rule line_narrow on line {
  holds bore / 1 mm >= load / 1 kg - ${pick(3)}
  ${level()} "{name} is narrow"
  source defined "a test"
}
/// A clip takes its line.
rule clip_misfit on line {
  when given(clip)
  holds bore <= clip.takes
  ${level()} "{name} does not fit"
  source defined "a test"
}
/// A clip holds its line.
rule clip_loose on line {
  when given(clip)
  holds bore + ${2 + pick(2)} mm >= clip.takes
  warning "{name} is loose"
  source defined "a test"
}
${[...pumps.map((part) => partText('pump', 'gives', 'kg', part)), ...clips.map((part) => partText('clip', 'takes', 'mm', part))].join('')}`;
  const open: Open[] = [];
  const place = (path: string, candidates: Open['candidates'], closed: string, isOpen: boolean) => {
    if (!isOpen) return () => closed;
    const i = open.length;
    open.push({ path, candidates });
    return (picks: readonly number[] | undefined) => (picks ? (candidates[picks[i] as number]?.text as string) : '?');
  };
  const parts = (from: readonly StockPart[]) => {
    const bySize = [...new Set(from.map(({ size }) => size))].sort((a, b) => a - b);
    return from.map(({ name, price, size }) => ({ text: name, price, isPart: true, rank: bySize.indexOf(size) }));
  };
  const sizes = bores.map((bore, rank) => ({ text: `${bore} mm`, isPart: false, rank }));
  const feeds = Array.from({ length: isShared ? 1 : lines }, (_, i) =>
    place(`p${i}`, parts(pumps), pumps.at(-1)?.name as string, i === 0 || pick(2) === 0),
  );
  const rows = loads.map((load, i) => {
    const bore = place(`l${i}.bore`, sizes, '6 mm', open.length < 4 && pick(4) > 0);
    const clip = place(`l${i}.clip`, parts(clips), clips[0]?.name as string, open.length < 4 && pick(2) > 0);
    return { load, bore, clip, from: isShared ? 0 : i };
  });
  const limit = pick(2) ? `  require paid <= ${2 + pick(4)} EUR\n` : '';
  const text = (picks: readonly number[] | undefined) =>
    `${kinds}plant P {\n${feeds.map((feed, i) => `  pump p${i} is ${feed(picks)}\n`).join('')}${rows
      .map(
        ({ load, bore, clip, from }, i) =>
          `  line l${i} {\n    load = ${load} kg\n    bore = ${bore(picks)}\n    clip is ${clip(picks)}\n    from = p${from}\n  }\n`,
      )
      .join('')}${limit}}\n`;
  return { text, open };
}

function partText(kind: string, size: string, unit: string, part: StockPart): string {
  const price = part.price === undefined ? '' : `  cost = ${part.price} EUR\n`;
  return `part ${part.name} is ${kind} {\n  ${size} = ${part.size} ${unit}\n${price}}\n`;
}

function all(findings: readonly Finding[]): Finding[] {
  return findings.flatMap((finding) => [finding, ...all(finding.consequences)]);
}

/** Errors and warnings of a machine; that nothing fits is said of the question. */
function failing(machine: Assessed): [number, number] {
  const found = all(machine.assessment.findings).filter(({ rule }) => rule !== 'nothing_fits');
  const errors = found.filter(({ severity }) => severity === 'error').length;
  return [errors, found.length - errors];
}

/** What a combination counts, in the order in which it is compared. */
function counted({ open }: Case, picks: readonly number[], machine: Assessed): number[] {
  const chosen = open.map(({ candidates }, i) => candidates[picks[i] as number] as Open['candidates'][number]);
  const sum = (of: (candidate: Open['candidates'][number], i: number) => number) =>
    chosen.reduce((total, candidate, i) => total + of(candidate, i), 0);
  const anyPrice = (i: number) => open[i]?.candidates.some(({ price }) => price !== undefined);
  return [
    ...failing(machine),
    sum(({ isPart, price }, i) => Number(isPart && anyPrice(i) && price === undefined)),
    sum(({ price = 0 }) => price),
    sum(({ isPart, rank }) => (isPart ? rank : 0)),
    sum(({ isPart, rank }) => (isPart ? 0 : rank)),
  ];
}

function compare(a: readonly number[], b: readonly number[]): number {
  return a.map((each, i) => each - (b[i] as number)).find((by) => by !== 0) ?? 0;
}

function combinations(open: readonly Open[]): number[][] {
  return open.reduce<number[][]>(
    (all, { candidates }) => all.flatMap((picks) => candidates.map((_, i) => [...picks, i])),
    [[]],
  );
}

const figures = { machines: 0, choices: 0, combinations: 0, withErrors: 0, withWarnings: 0, alike: 0 };

describe('what is chosen is what counting out all combinations finds', () => {
  const numbers = Array.from({ length: machines }, (_, i) => i);

  test.each(numbers)('machine %i', (number) => {
    const made = generated(number);
    const { open, text } = made;
    const project = new Project(library, { read: () => undefined });
    const uri = 'file:///a.gusset';
    const judged = (picks: readonly number[] | undefined) => {
      const file = project.update(uri, text(picks));
      expect(project.mistakes(file).filter(({ severity }) => severity === 'error')).toEqual([]);
      return project.machines(file)[0] as Assessed;
    };
    const tried = combinations(open).map((picks) => ({ picks, by: counted(made, picks, judged(picks)) }));
    const best = tried.reduce((least, each) => (compare(each.by, least.by) < 0 ? each : least));
    const [errors, warnings] = best.by as [number, number];
    const optimal = tried.filter(({ by }) => compare(by, best.by) === 0);
    const machine = judged(undefined);
    expect(open.length).toBeLessThanOrEqual(4);
    expect(machine.choices).toHaveLength(open.length);
    expect(machine.choices.filter(({ isBestFound }) => isBestFound)).toEqual([]);
    expect(failing(machine)).toEqual([errors, warnings]);
    for (const choice of machine.choices) {
      const i = open.findIndex(({ path }) => path === [choice.instance.label, choice.name].filter(Boolean).join('.'));
      const among = new Set(optimal.map(({ picks }) => open[i]?.candidates[picks[i] as number]?.text));
      const found = choice.ties.length > 0 ? choice.ties.map((each) => each.text) : [choice.proposed?.text];
      // Where something is gravely wrong whichever is taken, that which is the least short stays.
      if (!choice.nearest) expect(new Set(found)).toEqual(among);
      figures.alike += Number(among.size > 1);
    }
    figures.machines++;
    figures.choices += open.length;
    figures.combinations += tried.length;
    figures.withErrors += Number(errors > 0);
    figures.withWarnings += Number(errors === 0 && warnings > 0);
  });

  test('among them are some bound by errors, some by warnings, and some with choices that are alike', () => {
    console.info(`counted out: ${JSON.stringify(figures)}`);
    expect(figures.machines).toBe(machines);
    for (const count of [figures.withErrors, figures.withWarnings, figures.alike]) expect(count).toBeGreaterThan(0);
  });
});
