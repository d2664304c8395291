import type { Cell } from '../compute/cell.ts';
import { type Machine, targetsOf, writtenInstances } from '../compute/machine.ts';
import type { Instance } from '../machine/tree.ts';
import type { Choice } from './choices.ts';
import { type RecordFinding, recordFindings } from './commissioning.ts';
import { underTheirRoots } from './consequences.ts';
import { contradictionsIn } from './contradictions.ts';
import type { Finding } from './finding.ts';
import { withMisfits } from './misfit.ts';
import { notComputableFindings, type Unsafe, type Wanted, wantedCells } from './not-computable.ts';
import { type Expected, expectedIn, type NotSaid, notSaidIn, type Unjudged } from './not-said.ts';
import { judgeRequirement, type Requirement, unmetFinding } from './requirements.ts';
import { rulesOn, verdictCell } from './rule.ts';
import { restsOnChoices } from './trials.ts';
import { unjudgedSafety } from './unjudged-safety.ts';
import { decide, type Held, type Undecided, type Verdict } from './verdicts.ts';
import { type Weights, weighed } from './weights.ts';
import { settle } from './whatever.ts';

/** What the rules and requirements say of a machine. */
export interface Assessment {
  readonly findings: readonly Finding[];
  readonly requirements: readonly Requirement[];
  readonly undecided: readonly Undecided[];
  /** What is expected, or waited for, and not said yet. */
  readonly notSaid: readonly NotSaid[];
  /** The warning that rules about people's safety wait for some of that, beside the findings; none where none does. */
  readonly unjudgedSafety: readonly Finding[];
  /** Rules that were decided and hold. */
  readonly held: number;
  /** How many of them rest on ranges, and are certain to hold wherever these are taken. */
  readonly proved: number;
  /** Those of them that hold wherever they were tried, which was not everywhere. */
  readonly searched: readonly Held[];
  /** Those that lack values, and hold whatever these are. */
  readonly whatever: readonly Held[];
}

/** All that is told of a machine: what is found, and that what is not said keeps safety from being judged. */
export function toldIn({ findings, unjudgedSafety }: Assessment): Finding[] {
  return [...findings, ...unjudgedSafety];
}

/** Everything the rules and requirements say of a machine, and what is to be said of its open choices. */
export function assess(machine: Machine, choices: readonly Choice[], weights?: Weights): Assessment {
  return assessed(machine, choices, () => false, weights);
}

/**
 * What is true of a machine whatever will be chosen, and what was told before and still fails with what stands in place of its open
 * choices: all else that rests on them is withheld until they are solved.
 */
export function assessUnsolved(machine: Machine, told: ReadonlySet<string>, weights?: Weights): Assessment {
  const rests = restsOnChoices(machine);
  return assessed(machine, [], (cell) => !told.has(cell.path) && rests(cell), weights);
}

/** The verdicts that fail, by their paths. */
export function toldOf({ assessment, ...machine }: Machine & { assessment: Assessment }): Set<string> {
  const all = (findings: readonly Finding[]): Finding[] => findings.flatMap((f) => [f, ...all(f.consequences)]);
  const rules = all(assessment.findings).flatMap(({ declared, instance }) =>
    declared ? [verdictCell(declared, instance).path] : [],
  );
  const unmet = targetsOf(machine).filter(({ cell }) => machine.engine.corners(cell).values.includes(false));
  return new Set([...rules, ...unmet.map(({ cell }) => cell.path)]);
}

function assessed(
  machine: Machine,
  choices: readonly Choice[],
  isWithheld: (cell: Cell) => boolean,
  weights: Weights | undefined,
): Assessment {
  const findings: Finding[] = [];
  const undecided: Undecided[] = [];
  const unsafe: Unsafe[] = [];
  const unjudged: Unjudged[] = [];
  const held: Held[] = [];
  const { verdicts, expected } = watchedOf(machine);
  for (const verdict of verdicts) {
    const decided = decide(verdict, machine);
    if (!decided || 'missing' in decided) unjudged.push(verdict);
    if (!decided) continue;
    if ('message' in decided) {
      if (!isWithheld(verdict.cell)) findings.push(decided);
    } else if ('missing' in decided) {
      undecided.push(decided);
      const { because } = decided;
      if (verdict.rule.caution && because) unsafe.push({ rule: verdict.rule, cell: verdict.cell, because });
    } else held.push(decided);
  }
  const requirements = targetsOf(machine).map((target) => judgeRequirement(target, machine));
  for (const requirement of requirements)
    if (requirement.holds === false && !isWithheld(requirement.target.cell))
      findings.push(unmetFinding(requirement, machine));
  const computed = notComputableFindings(machine, watchedOf(machine).wanted, findings, unsafe, isWithheld);
  const records = recordFindings(machine).map((found) => ofRecord(found, machine));
  const all = [...findings, ...contradictionsIn(machine, expected), ...computed, ...records];
  const notSaid = notSaidIn(machine, expected, verdicts, unjudged, findings);
  return {
    findings: weighed(underTheirRoots(withMisfits(choices, all, machine), machine.engine), weights),
    requirements,
    undecided,
    notSaid,
    unjudgedSafety: unjudgedSafety(machine, notSaid),
    held: held.length,
    proved: held.filter(({ proved }) => proved).length,
    searched: held.filter(({ searched }) => searched),
    whatever: held.filter(({ whatever }) => whatever),
  };
}

function ofRecord(found: RecordFinding, { engine }: Machine): Finding {
  return { ...found, scenario: engine.low, worst: undefined, consequences: [] };
}

/**
 * So many cells may be put aside for what is supposed in one search: several times what a whole machine takes with half of its lines
 * gone. Of hundreds of blocks that all lack something each is asked about all others; what is not asked any more stays undecided.
 */
const mostPutAside = 400_000;

/**
 * Searches inside the ranges for what is worse there than at their ends: of every rule, requirement and value that is shown. Then
 * asks of every rule that is undecided whether what it lacks can change it. In steps; `assess` then says what was found. A search only
 * adds: what failed still does.
 */
export function* searchDeeper(machine: Machine): Generator<void> {
  const { engine } = machine;
  const { verdicts, wanted } = watchedOf(machine);
  const cells = [...verdicts, ...targetsOf(machine), ...wanted].map(({ cell }) => cell);
  for (const cell of cells) {
    if (engine.corners(cell).of > 1) yield* engine.searchDeeper(cell);
  }
  const most = engine.putAside + mostPutAside;
  for (const verdict of verdicts) {
    const decided = decide(verdict, machine);
    if (engine.putAside < most && decided && 'missing' in decided && decided.missing.length > 0)
      yield* settle(verdict.cell, engine);
  }
  for (const target of targetsOf(machine)) {
    const { holds, missing } = judgeRequirement(target, machine);
    if (engine.putAside < most && holds === undefined && missing.length > 0) yield* settle(target.cell, engine);
  }
  engine.letGo(cells.flatMap((cell) => engine.corners(cell).tried));
}

/** What is looked at of a machine after each edit: gathered once for its blocks, and what comes of it kept while these stand. */
interface Watched {
  readonly blocks: readonly Instance[];
  readonly verdicts: readonly Verdict[];
  /** Values that are worth computing even where no rule asks. */
  readonly wanted: readonly Wanted[];
  /** What its kinds expect of its blocks. */
  readonly expected: readonly Expected[];
}

const watched = new WeakMap<Machine, Watched>();

function watchedOf(machine: Machine): Watched {
  let found = watched.get(machine);
  const blocks = machine.tree.all();
  // What was tried in place of an open part may have left a block made anew.
  if (!found || blocks.length !== found.blocks.length || blocks.some((block, i) => block !== found?.blocks[i])) {
    const verdicts = blocks.flatMap((instance) =>
      rulesOn(instance.kind, machine.scope).map((rule) => ({ rule, instance, cell: verdictCell(rule, instance) })),
    );
    const wanted = [...writtenInstances(machine)].flatMap(wantedCells).map((cell) => ({ cell }));
    found = { blocks, verdicts, wanted, expected: expectedIn(machine) };
    watched.set(machine, found);
  }
  return found;
}
