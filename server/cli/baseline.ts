// Findings that were there before: a file of them, so that only what is new, or has grown worse, decides how a check ends.
import { existsSync, writeFileSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';
import * as z from 'zod/mini';
import { ownFindings } from '../../language/judge/own-findings.ts';
import { asCall, displayPath, readText } from './files.ts';
import { CallError, count } from './io.ts';
import { replaceFile } from './replace.ts';
import type { Finding, MachineReport, Report } from './schema.ts';

const knownFinding = z.strictObject({
  /** Its path from the folder that the list lies in. */
  file: z.string(),
  machine: z.string(),
  /** The block below its machine. */
  path: z.string(),
  code: z.string(),
  severity: z.enum(['error', 'warning', 'advice', 'note']),
  /** What was said of it: for whoever reads the list. */
  message: z.string(),
  /** By each condition that fails how far: a share of the limit, of temperatures one of 100 K; null where nothing is compared. */
  short: z.record(z.string(), z.nullable(z.number())),
});
type Known = z.infer<typeof knownFinding>;
type Requirement = MachineReport['requirements'][number];

const list = z.strictObject({ known: z.array(knownFinding) });

/** What became of the findings of a list. */
export interface Recognised {
  /** Findings that do not count. */
  readonly known: number;
  readonly worse: number;
  /** Those of the list that are found no more. */
  readonly gone: number;
}

/** A list of known findings, as it lies on the disk. */
export class Baseline {
  readonly #full: string;
  readonly #cwd: string;
  readonly #known: readonly Known[];

  private constructor(full: string, cwd: string, known: readonly Known[]) {
    this.#full = full;
    this.#cwd = cwd;
    this.#known = known;
  }

  /** Reads a list. Throws a `CallError` where there is none, or something else. */
  static read(path: string, cwd: string): Baseline {
    const full = resolve(cwd, path);
    if (!existsSync(full))
      throw new CallError(`There is no ${path} yet: write what is known with --write-baseline beside --baseline.`);
    return new Baseline(full, cwd, parse(readText(full, cwd), path));
  }

  /**
   * Writes all of a report that a list may hold, and returns that list. What is found for people's safety, mistakes in the text, and what
   * could not be judged are never held.
   */
  static write(report: Report, path: string, cwd: string): Baseline {
    const full = resolve(cwd, path);
    const known = report.findings
      .filter((finding) => mayBeHeld(finding) && finding.accepted?.counts !== false)
      .flatMap(withConsequences)
      .map((finding) => knownAs(finding, placeIn(finding, full, cwd)));
    const text = `${JSON.stringify({ known } satisfies z.infer<typeof list>, null, 2)}\n`;
    asCall(path, () => (existsSync(full) ? replaceFile(full, text) : writeFileSync(full, text)), 'written');
    return new Baseline(full, cwd, known);
  }

  /** The report with what is said of each finding by the list, and what became of those in it. */
  recognise({ machines, findings }: Report): { report: Report; recognised: Recognised } {
    const left = new Set(this.#known);
    const marked = findings.map((finding) => this.#mark(finding, left));
    const all = marked.flatMap(withConsequences);
    const met = marked.filter((finding) => finding.code === 'requirement' && isKnown(finding));
    const report = {
      findings: marked,
      machines: machines.map((machine) => ({
        ...machine,
        requirements: machine.requirements.map((each) =>
          met.some((finding) => isOf(finding, machine.name) && isFoundOf(finding, each))
            ? { ...each, known: true }
            : each,
        ),
      })),
    };
    const recognised = {
      known: marked.filter(isKnown).length,
      worse: all.filter(({ baseline }) => baseline === 'worse').length,
      gone: left.size,
    };
    return { report, recognised };
  }

  #mark(finding: Finding, left: Set<Known>): Finding {
    const consequences = finding.consequences?.map((each) => this.#mark(each, left));
    return { ...finding, ...(consequences && { consequences }), baseline: this.#stateOf(finding, left) };
  }

  #stateOf(finding: Finding, left: Set<Known>): NonNullable<Finding['baseline']> {
    if (!mayBeHeld(finding)) return 'new';
    const file = placeIn(finding, this.#full, this.#cwd);
    const alike = this.#known.filter(
      (each) =>
        each.file === file &&
        each.machine === finding.machine &&
        each.path === finding.path &&
        each.code === finding.code,
    );
    // One block can have several requirements.
    const same = alike.filter((each) => hasSameConditions(each, finding));
    for (const each of same.length > 0 ? same : alike) left.delete(each);
    if (same.some((each) => !isWorse(each, finding))) return 'known';
    return alike.length > 0 && (same.length > 0 || finding.code !== 'requirement') ? 'worse' : 'new';
  }

  /** What is told at each run, in a line. */
  line({ known, worse, gone }: Recognised): string {
    return [
      `${displayPath(this.#full, this.#cwd)}: ${known === 1 ? '1 finding is known and does not count' : `${known} findings are known and do not count`}.`,
      worse > 0 &&
        `${worse === 1 ? '1 has' : `${worse} have`} grown worse since, and ${worse === 1 ? 'counts' : 'count'}.`,
      gone > 0 && `${count(gone, 'entry', 'entries')} of it ${gone === 1 ? 'is' : 'are'} found no more: write it anew.`,
    ]
      .filter(Boolean)
      .join(' ');
  }
}

/** Is it, with all that follows from it, known before and no worse? */
export function isKnown({ baseline, consequences = [] }: Finding): boolean {
  return baseline === 'known' && consequences.every(isKnown);
}

/** What is found by a rule that is not about people's safety, as is all that follows from it, or a requirement. */
function mayBeHeld({ machine, code, caution, consequences = [] }: Finding): boolean {
  const isRuleOrRequirement = machine !== null && (code === 'requirement' || !Object.hasOwn(ownFindings, code));
  return isRuleOrRequirement && !caution && consequences.every(mayBeHeld);
}

/** A finding with all that follows from it. */
export function withConsequences(finding: Finding): Finding[] {
  return [finding, ...(finding.consequences ?? []).flatMap(withConsequences)];
}

function knownAs(finding: Finding, file: string): Known {
  const { machine, path, code, severity, message } = finding;
  return { file, machine: machine ?? '', path: path ?? '', code, severity, message, short: shortOf(finding) };
}

/** By each condition that fails how far; of several blocks that one is asked of, how far of the worst. */
function shortOf({ failed = [] }: Finding): Known['short'] {
  const short: Known['short'] = {};
  for (const { of, condition, margin, marginUnit } of failed) {
    const key = of ? `${of}: ${condition}` : condition;
    const by = margin === undefined ? null : Number((-margin / (marginUnit === 'K' ? 100 : 1)).toPrecision(4));
    short[key] = by === null ? (short[key] ?? null) : Math.max(by, short[key] ?? by);
  }
  return short;
}

function hasSameConditions({ short }: Known, finding: Finding): boolean {
  return Object.keys(shortOf(finding)).every((condition) => Object.hasOwn(short, condition));
}

const graveness: readonly Finding['severity'][] = ['note', 'advice', 'warning', 'error'];

/** What is written is rounded: as with what is accepted, half a hundredth more is still the same. */
const rounding = 0.005;

function isWorse(known: Known, finding: Finding): boolean {
  if (graveness.indexOf(finding.severity) > graveness.indexOf(known.severity)) return true;
  return Object.entries(shortOf(finding)).some(([condition, by]) => {
    const before = known.short[condition] ?? null;
    return by !== null && before !== null && by > before + rounding;
  });
}

function isOf({ machine, alsoIn = [] }: Finding, name: string): boolean {
  return machine === name || alsoIn.includes(name);
}

/** Is this what is found of a requirement? */
function isFoundOf(finding: Finding, { path, failed = [] }: Requirement): boolean {
  const conditions = (parts: typeof failed) => parts.map(({ condition }) => condition).join('\n');
  return finding.path === path && conditions(finding.failed ?? []) === conditions(failed);
}

function placeIn({ file }: Finding, full: string, cwd: string): string {
  return relative(dirname(full), resolve(cwd, file)).split(sep).join('/');
}

function parse(text: string, path: string): Known[] {
  const { data } = list.safeParse(asJson(text));
  if (data) return data.known;
  throw new CallError(`${path} is no list of known findings: expected what --write-baseline writes.`);
}

function asJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
