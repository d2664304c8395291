import { cellOf } from './compute/cell.ts';
import type { Choice } from './judge/choices.ts';
import { beyondLimit, effectOn } from './judge/effect.ts';
import { type Finding, isLaidAside, wordOf } from './judge/finding.ts';
import { type Fix, firstOf, fixesFor, fixesTogether, fixForChoice } from './judge/fixes.ts';
import type { Severity } from './mistakes/mistake.ts';
import { type TextEdit, withEdits } from './mistakes/mistake.ts';
import { type Assessed, Project, type SourceFile } from './project.ts';
import { both } from './two-changes.ts';

/** How grave what is said of a place is: nothing 0, undecided or laid aside 1, and so on to an error. */
const ranks: Record<Severity, number> = { note: 1, advice: 2, warning: 3, error: 4 };
const undecidedRank = 1;

interface Standing {
  /** By file, machine, rule and block, or by the sort of a mistake in a text: how grave that is. */
  readonly gravities: Map<string, number>;
  /** By file and path: what protects the less, the larger it is; and by how much a requirement that is not met falls short. */
  readonly amounts: Map<string, number>;
  /** By finding that is about people's safety: by how much its numbers are beyond their limit, in what may be passed over. */
  readonly excesses: Map<string, number>;
}

/** A change may move what is beyond its limit by a twentieth of that, or a kelvin: a thicker wire lets a little more current flow. */
const passedOver = { share: 0.05, kelvin: 1 };

/**
 * Tries changes of a file beside the project, of which nothing reaches it: on that file, and on all that are at hand and use it,
 * however far, since a machine there may start from one here or use its parts. What is kept between questions follows the
 * project's texts, so that only what has changed is computed again.
 */
class Rehearsal {
  readonly #beside: Project;
  #before: Standing | undefined;
  #text = '';
  /** The file, and those at hand that use it. */
  #uris: readonly string[] = [];
  readonly uri: string;
  constructor(uri: string, project: Project) {
    this.uri = uri;
    const read = (uri: string) => project.files.get(uri)?.parsed.text ?? project.host.read(uri);
    this.#beside = new Project(project.library, { ...project.host, read });
  }

  /** Takes over the texts as they are now. */
  follow(file: SourceFile, project: Project): void {
    const uris = [file.uri, ...project.dependents(file.uri).map(({ uri }) => uri)];
    const { text } = file.parsed;
    if (text !== this.#text || uris.join('\n') !== this.#uris.join('\n')) this.#before = undefined;
    this.#text = text;
    this.#uris = uris;
    for (const [uri, { parsed }] of [...this.#beside.files]) {
      const now = this.#beside.host.read(uri);
      // The text that was last tried here gives way when the next one is.
      if (now === parsed.text || uri === this.uri) continue;
      this.#before = undefined;
      if (typeof now === 'string') this.#beside.update(uri, now);
      else this.#beside.forget(uri);
    }
  }

  /**
   * Do these edits bring no machine a new finding, nor a text a mistake, and is the finding gone that they are to mend, if any? A
   * rule that can no longer be decided counts as new, and so does a finding that becomes graver. Nothing that protects may grow, no
   * requirement that is not met fall shorter, and nothing that can hurt people go much further beyond its limit. Of numbers that stay open
   * it is judged with what was found for them: what holds is not to hang on their being looked for again.
   */
  isSound(edits: readonly TextEdit[], mended?: string): boolean {
    const before = this.#before ?? this.#begin();
    const after = this.#standingOf(withEdits(edits, this.#text));
    if (mended && after.gravities.has(mended)) return false;
    return (
      isNowhereMore(after.gravities, before.gravities, 0) &&
      isNowhereMore(after.amounts, before.amounts, Infinity) &&
      isNowhereMore(after.excesses, before.excesses, Infinity, 1)
    );
  }

  /**
   * What these edits, which mend a finding, bring a machine instead, and the machine with them: undefined where they do not mend it, or what
   * keeps them from being sound is no finding there.
   */
  obstaclesTo(edits: readonly TextEdit[], mended: string, name: string) {
    const before = this.#before ?? this.#begin();
    const { gravities } = this.#standingOf(withEdits(edits, this.#text));
    const machine = gravities.has(mended) ? undefined : this.tried(name);
    const isNew = (key: string) => (gravities.get(key) ?? 0) > (before.gravities.get(key) ?? 0);
    const findings = machine && allFindings(machine).filter((each) => isNew(keyOf(each, machine, this.uri)));
    return machine && findings && findings.length > 0 ? { machine, findings } : undefined;
  }

  /** How things stand before a change. */
  #begin(): Standing {
    this.#beside.lookAnew();
    this.#before = this.#standingOf(this.#text);
    this.#beside.keepNumbers(this.#uris.flatMap((uri) => this.#beside.file(uri) ?? []));
    return this.#before;
  }

  /** So many steps were computed here up to now. */
  get steps(): number {
    return this.#beside.steps;
  }

  /** Solves what is open as the texts are now, where changes will be tried, and says so to the project. */
  solveFor(file: SourceFile, project: Project): void {
    this.#before = undefined;
    this.#beside.lookAnew();
    this.#beside.update(this.uri, this.#text);
    project.takeSolutions(file, this.#beside);
  }

  /** The machine of that name as it is with what was tried last. */
  tried(name: string): Assessed | undefined {
    const file = this.#beside.file(this.uri);
    return file && this.#beside.machines(file).find(({ tree }) => tree.name === name);
  }

  #standingOf(text: string): Standing {
    this.#beside.update(this.uri, text);
    const standing: Standing = { gravities: new Map(), amounts: new Map(), excesses: new Map() };
    for (const uri of this.#uris) {
      const file = this.#beside.file(uri);
      if (file) this.#addFile(file, standing);
    }
    return standing;
  }

  #addFile(file: SourceFile, standing: Standing): void {
    const { gravities, amounts } = standing;
    for (const { code, severity } of this.#beside.mistakes(file)) {
      const key = `${file.uri} mistake ${code}`;
      if (severity !== 'note') gravities.set(key, (gravities.get(key) ?? 0) + 1);
    }
    for (const machine of this.#beside.machines(file)) {
      addStanding(machine, file.uri, standing);
      addGuards(machine, file.uri, amounts);
    }
  }
}

/** Is each number at most what it was before, and so much `more`? What is new counts as if it had been `otherwise`. */
function isNowhereMore(
  after: ReadonlyMap<string, number>,
  before: ReadonlyMap<string, number>,
  otherwise: number,
  more = 0,
): boolean {
  return [...after].every(([key, number]) => number <= (before.get(key) ?? otherwise) + more);
}

/** The values of a machine that protect the less, the larger they are. */
function addGuards(machine: Assessed, uri: string, guards: Map<string, number>): void {
  for (const instance of machine.tree.all()) {
    for (const name of instance.kind.guarding) {
      const cell = cellOf(instance, name);
      const value = cell && machine.engine.value(cell);
      if (typeof value === 'number') guards.set(`${uri} ${instance.path}.${name}`, value);
    }
  }
}

function addStanding(machine: Assessed, uri: string, { gravities, amounts, excesses }: Standing): void {
  const { findings, undecided, requirements } = machine.assessment;
  const add = (key: string, rank: number) => gravities.set(key, Math.max(rank, gravities.get(key) ?? 0));
  const found = (all: readonly Finding[]): void => {
    for (const finding of all) {
      const { target, consequences, weighed } = finding;
      // What a project takes lightly is no way out of something else.
      const severity = weighed?.byRule ?? finding.severity;
      // What is not met is told by the requirement itself.
      if (!target) add(keyOf(finding, machine, uri), isLaidAside(finding) ? ranks.note : ranks[severity]);
      const beyond = finding.caution ? beyondLimit(finding, machine) : undefined;
      if (beyond) {
        const unit = beyond.inKelvin ? passedOver.kelvin : passedOver.share;
        excesses.set(keyOf(finding, machine, uri), beyond.amount / unit);
      }
      found(consequences);
    }
  };
  found(findings);
  for (const each of undecided) add(keyOf(each, machine, uri), undecidedRank);
  for (const { target, holds, margin } of requirements) {
    if (holds === true) continue;
    const key = keyOf({ rule: '', target, instance: target.instance }, machine, uri);
    add(key, holds === false ? ranks.warning : undecidedRank);
    if (holds === false && margin) amounts.set(key, -margin.amount);
  }
}

function keyOf(
  finding: Pick<Finding, 'rule' | 'instance' | 'target'>,
  { tree }: Pick<Assessed, 'tree'>,
  uri: string,
): string {
  return `${uri} ${tree.name} ${wordOf(finding)} ${finding.instance.path}`;
}

/** One for each project, for the file that was last asked about: it holds all of that file, and of those that use it, once more. */
const rehearsals = new WeakMap<Project, Rehearsal>();

function rehearsalOf(file: SourceFile, project: Project): Rehearsal {
  let rehearsal = rehearsals.get(project);
  if (rehearsal?.uri !== file.uri) {
    rehearsal = new Rehearsal(file.uri, project);
    rehearsals.set(project, rehearsal);
  }
  rehearsal.follow(file, project);
  return rehearsal;
}

/**
 * Solves the open choices of a file's machines beside the project, if anything is to be mended there: with what is found out by that
 * changes will be tried, and the project need not look for it as well.
 */
export function solveForMending(file: SourceFile, project: Project): void {
  if (project.isSolved(file)) return;
  if (project.judged(file).some(({ assessment }) => assessment.findings.length > 0))
    rehearsalOf(file, project).solveFor(file, project);
}

/** Do these edits of a file bring no machine a new finding, there or in a file at hand that uses it, nor a text a mistake? */
export function isSound(edits: readonly TextEdit[], file: SourceFile, project: Project): boolean {
  return rehearsalOf(file, project).isSound(edits);
}

/** What may be spent on trying changes for all findings of a machine together, in steps of computing: counted, so that it ends alike anywhere. */
export class Effort {
  left: number;
  /** The findings for which more would have been tried. */
  readonly short = new Set<Finding>();
  constructor(steps: number) {
    this.left = steps;
  }

  /** Is nothing left for a finding? */
  isSpentFor(finding: Finding): boolean {
    if (this.left > 0) return false;
    this.short.add(finding);
    return true;
  }
}

/** So many ways out of one finding are told: of what could be otherwise for a requirement there may be many more. */
const mostWays = 6;

/**
 * The changes that would mend a finding, one for each way out at most, each tried on the whole file and on those at hand that use it:
 * none brings any machine a new finding, or a text a mistake, or lets grow what protects. The title says what it does to the numbers
 * of the rule. They come one by one, so that whoever needs one only waits for no more; in between nothing, after each that failed.
 * What somebody has to do something for first is left out where it is to be made `unasked`; and all that is left once an `effort` is spent.
 */
export function* soundFixes(
  finding: Finding,
  machine: Assessed,
  file: SourceFile,
  project: Project,
  unasked = false,
  effort?: Effort,
): Generator<Fix | undefined> {
  const found = new Set<string>();
  const unsound: Fix[] = [];
  for (const tries of fixesFor(finding, machine, allFindings(machine))) {
    if (found.size === mostWays) return;
    for (const fix of tries) {
      if (unasked && (fix.once !== undefined || !fix.mends)) continue;
      const text = writtenBy(fix);
      // Two ways out may come to the same change.
      if (found.has(text)) break;
      if (effort?.isSpentFor(finding)) return;
      const sound = rehearsed(fix, finding, machine, file, project, effort);
      yield sound;
      if (!sound) {
        unsound.push(fix);
        continue;
      }
      found.add(text);
      break;
    }
  }
  if (found.size > 0) return;
  for (const fix of fixesTogether(finding, machine)) {
    if (effort?.isSpentFor(finding)) return;
    const sound = rehearsed(fix, finding, machine, file, project, effort);
    yield sound;
    if (sound) return;
  }
  if (finding.severity === 'error' || finding.caution)
    yield* pairedFixes(unsound, finding, machine, file, project, effort);
}

/** So many changes that bring something new are looked at for one that mends that, and so many of these tried with each. */
const [mostFirst, mostSecond] = [4, 6];

/** What mends a finding together with what mends that which it brings, where it is not sound by itself: the first that is. */
function* pairedFixes(
  unsound: readonly Fix[],
  finding: Finding,
  machine: Assessed,
  file: SourceFile,
  project: Project,
  effort: Effort | undefined,
): Generator<Fix | undefined> {
  const isPlain = ({ mends, once }: Fix) => mends && once === undefined;
  for (const first of unsound.filter(isPlain).slice(0, mostFirst)) {
    if (effort?.isSpentFor(finding)) return;
    const rehearsal = rehearsalOf(file, project);
    const { steps } = rehearsal;
    const then = rehearsal.obstaclesTo(first.edits, keyOf(finding, machine, file.uri), machine.tree.name);
    const others = then && allFindings(then.machine);
    const seconds = then?.findings.flatMap((each) =>
      fixesFor(each, then.machine, others).flatMap((tries) => [...firstOf(tries, 2)].filter(isPlain)),
    );
    if (effort) effort.left -= rehearsal.steps - steps;
    yield undefined;
    for (const second of (seconds ?? []).slice(0, mostSecond)) {
      if (effort?.isSpentFor(finding)) return;
      const fix = both(first, second, file.parsed.text);
      const sound = fix && rehearsed(fix, finding, machine, file, project, effort);
      yield sound;
      if (sound) return;
    }
  }
}

function writtenBy({ edits }: Fix): string {
  return JSON.stringify(edits);
}

/** The change, with what it does, if it is sound. */
function rehearsed(
  fix: Fix,
  finding: Finding,
  machine: Assessed,
  file: SourceFile,
  project: Project,
  effort: Effort | undefined,
): Fix | undefined {
  const rehearsal = rehearsalOf(file, project);
  const { steps } = rehearsal;
  const isSound = rehearsal.isSound(fix.edits, fix.mends ? keyOf(finding, machine, file.uri) : undefined);
  if (effort) effort.left -= rehearsal.steps - steps;
  if (!isSound) return undefined;
  const after = fix.mends ? rehearsal.tried(machine.tree.name) : undefined;
  const effect = after && effectOn(finding, machine, after);
  return effect ? { ...fix, title: `${fix.title}: ${effect}` } : fix;
}

function allFindings({ assessment }: Assessed): Finding[] {
  const withConsequences = (finding: Finding): Finding[] => [
    finding,
    ...finding.consequences.flatMap(withConsequences),
  ];
  return assessment.findings.flatMap(withConsequences);
}

/** Writes a proposal in place of its `?`, where that is as sound: a variant may have to choose otherwise. */
export function soundFixForChoice(choice: Choice, file: SourceFile, project: Project): Fix | undefined {
  const fix = fixForChoice(choice);
  return fix && isSound(fix.edits, file, project) ? fix : undefined;
}
