import type { FailedPart } from '../../language/compute/failed-parts.ts';
import type { Machine } from '../../language/compute/machine.ts';
import { showMargin } from '../../language/compute/margin.ts';
import { markForBlock } from '../../language/compute/marks.ts';
import { type Deviation, deviationsOf } from '../../language/compute/measurements.ts';
import { type SetRecord, setRecordsOf } from '../../language/compute/records.ts';
import { pathOfCell, showCell, typeOfCell, valuesOf } from '../../language/compute/show-cell.ts';
import type { AstNode } from '../../language/grammar/syntax.ts';
import { answerTo, type Choice, mayBeWritten } from '../../language/judge/choices.ts';
import { type DueCheck, dueChecksOf, shownRead } from '../../language/judge/commissioning.ts';
import { type Finding, isLaidAside } from '../../language/judge/finding.ts';
import { toldIn } from '../../language/judge/findings.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import type { OwnFinding } from '../../language/judge/own-findings.ts';
import { type Requirement, requirementOutcome } from '../../language/judge/requirements.ts';
import { sharedFindings } from '../../language/judge/variants.ts';
import { type WhyUnknown, whyNotKnown } from '../../language/judge/verdict-words.ts';
import { failedPartsOf, type Undecided } from '../../language/judge/verdicts.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { Mistake, Fix as MistakeFix } from '../../language/mistakes/mistake.ts';
import type { Assessed, Project, SourceFile } from '../../language/project.ts';
import { Effort, solveForMending, soundFixes } from '../../language/rehearsal.ts';
import type { UnitSystem } from '../../language/units/units.ts';
import { showValue } from '../../language/values/show.ts';
import type { TextPlaces } from './files.ts';
import { CallError } from './io.ts';
import type { Finding as FindingReport, MachineReport, Report } from './schema.ts';
import { encode, plainValue } from './values.ts';

/** A file to report on. */
export interface Input {
  readonly uri: string;
  readonly text: string;
}

/** What is said of one file, as plain data. */
export interface FileReport extends Report {
  /** Mistakes in its text, and in those of the files that it uses, by file. */
  readonly mistakes: readonly { readonly uri: string; readonly found: readonly FindingReport[] }[];
}

/**
 * Everything said of these files, as plain data: both the text and the JSON are made of it. Mistakes in the files that
 * they use count as well, since nothing that rests on them can be computed. Where no values are wanted, those that no rule
 * asks for are not computed.
 */
export function reportOn(inputs: readonly Input[], places: TextPlaces, withValues: boolean, steps?: number): Report {
  return joined(fileReports(inputs, places, withValues, steps));
}

/** The same file by file. A file is let go when it was reported on, so that a thousand take no more room than they must. */
export function fileReports(
  inputs: readonly Input[],
  places: TextPlaces,
  withValues: boolean,
  steps = mostSteps,
): FileReport[] {
  const reporter = new Reporter(places, withValues, steps);
  return inputs.map((input) => reporter.alone(input, () => reporter.file(input)));
}

/** What is said of several files in one: mistakes of a file that several use are told once. */
export function joined(files: readonly FileReport[]): Report {
  const told = new Set<string>();
  const findings = files.flatMap((file) => {
    const fresh = file.mistakes.filter(({ uri }) => !told.has(uri));
    for (const { uri } of fresh) told.add(uri);
    return fresh.flatMap(({ found }) => found).concat(file.findings);
  });
  return { machines: files.flatMap(({ machines }) => machines), findings };
}

/** The path below the machine; empty for the machine itself. */
function pathOf(instance: Instance): string {
  return instance.holder ? instance.label : '';
}

class Reporter {
  readonly project: Project;
  readonly places: TextPlaces;
  readonly withValues: boolean;
  /** So many steps are spent on trying changes for each machine. */
  readonly steps: number;
  constructor(places: TextPlaces, withValues: boolean, steps: number) {
    this.project = places.project;
    this.places = places;
    this.withValues = withValues;
    this.steps = steps;
  }

  /** What is said of a file, and of the mistakes in those it uses. */
  file({ uri, text }: Input): FileReport {
    const { project } = this;
    const file = project.update(uri, text);
    const mistakes = [...project.withUsed(file)].map((each) => ({
      uri: each.uri,
      found: project.mistakes(each).map((mistake) => this.mistake(mistake, each)),
    }));
    const report: FileReport = { machines: [], findings: [], mistakes };
    solveForMending(file, project);
    for (const _ of project.searchDeeper(file));
    const machines = project.machines(file);
    const { alsoIn, told } = sharedFindings(machines);
    for (const machine of machines) {
      report.machines.push(this.machine(machine, file));
      const effort = new Effort(this.steps);
      for (const finding of toldIn(machine.assessment)) {
        if (told.has(finding)) continue;
        const others = alsoIn.get(finding);
        report.findings.push({
          ...this.finding(finding, machine, file, effort),
          ...(others && { alsoIn: [...others] }),
        });
      }
    }
    if (file.roots.size > 0) project.forget(uri);
    return report;
  }

  /** A mistake in this program that one file brings out does not take the answers on the others. */
  alone({ uri }: Input, work: () => FileReport): FileReport {
    try {
      return work();
    } catch (error) {
      if (error instanceof CallError) throw error;
      this.project.forget(uri);
      const reason = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
      const message = `this file could not be checked, through a mistake in the program: ${reason}`;
      const start = { line: 1, column: 1, endLine: 1, endColumn: 1 };
      const place = { machine: null, path: null, file: this.places.nameOf({ uri }), ...start };
      return {
        machines: [],
        mistakes: [],
        findings: [{ code: 'not_checked' satisfies OwnFinding, severity: 'error', message, ...place }],
      };
    }
  }

  mistake(mistake: Mistake, file: SourceFile): FindingReport {
    const { code, severity, message, fixes } = mistake;
    const place = this.places.at(file, mistake);
    const fix = fixes[0] && this.#fix(fixes[0], file);
    return { code, severity, message, machine: null, path: null, ...place, ...(fix && { fix }) };
  }

  /** A finding with the first way out that holds; what follows from another goes with that one, and what helps there is tried there. */
  finding(finding: Finding, machine: Assessed, file: SourceFile, effort?: Effort): FindingReport {
    const {
      rule,
      severity,
      message,
      target,
      instance,
      caution,
      accepted,
      consequences,
      waysOut,
      places,
      worst,
      searched,
      weighed,
    } = finding;
    const failed = failedPartsOf(finding, machine);
    const fix = effort && firstOf(soundFixes(finding, machine, file, this.project, false, effort), mostTries);
    const alsoAt = places.slice(1).flatMap((node) => this.places.of(node) ?? []);
    const tried = fix ? [uncapitalised(fix.title)] : [];
    const ways = [...tried, ...waysOut, ...(effort?.short.has(finding) ? [untried] : [])];
    return {
      code: rule,
      severity,
      message,
      machine: machine.tree.name,
      path: pathOf(instance),
      ...(target && { requirement: target.text }),
      ...this.#place(places[0] ?? machine.entry, file),
      ...(worst && { worst }),
      ...(searched && { searched }),
      ...(caution && { caution }),
      ...(alsoAt.length && { alsoAt }),
      ...(ways.length && { waysOut: ways }),
      ...(fix && { fix: this.#fix(fix, file) }),
      ...(failed.length && { failed: failed.map((part) => failedPart(part, machine.scope.system)) }),
      ...(weighed && { weighed: { ...weighed } }),
      ...(accepted && {
        accepted: {
          reason: accepted.reason,
          ...(accepted.lapsed && { lapsed: accepted.lapsed }),
          withoutValue: accepted.valueless,
          counts: !isLaidAside(finding),
        },
      }),
      ...(consequences.length && { consequences: consequences.map((c) => this.finding(c, machine, file)) }),
    };
  }

  /** A change of the file's text, by the places that it replaces. */
  #fix({ title, edits }: MistakeFix, file: SourceFile): NonNullable<FindingReport['fix']> {
    return { title, edits: edits.map((edit) => ({ ...this.places.at(file, edit), text: edit.text })) };
  }

  machine(machine: Assessed, file: SourceFile): MachineReport {
    const { assessment, choices, entry, tree } = machine;
    const decided = assessment.held + assessment.findings.flatMap(withConsequences).filter((f) => f.declared).length;
    return {
      name: tree.name,
      file: this.places.nameOf(file),
      line: this.#place(entry.name ?? entry, file).line,
      ...(tree.ground && { on: tree.ground.name }),
      ...(this.withValues && { values: this.#values(machine) }),
      requirements: assessment.requirements.map((requirement) => this.#requirement(requirement, file)),
      open: choices.map((choice) => this.#open(choice, file)),
      decided,
      undecided: assessment.undecided.map(undecidedRule),
      notSaid: assessment.notSaid.map((each) => ({
        path: pathOfNotSaid(each),
        question: each.question,
        waiting: each.waiting,
        safety: each.safety,
        taken: each.taken,
        undecided: each.undecided.map(({ rule, instance }) => ({ code: rule.name, path: pathOf(instance) })),
        ...this.#place(each.place, file),
      })),
      proved: assessment.proved,
      searched: assessment.searched.map(({ rule, instance, searched, everyEnd }) => ({
        code: rule,
        path: pathOf(instance),
        searched: searched as string,
        everyEnd,
      })),
      whatever: assessment.whatever.map(({ rule, instance, whatever }) => ({
        code: rule,
        path: pathOf(instance),
        over: whatever as string,
      })),
      measurements: deviationsOf(machine).map((deviation) => this.#measurement(deviation, machine, file)),
      settings: setRecordsOf(machine).map((record) => this.#setting(record, machine, file)),
      commissioning: dueChecksOf(machine).map((due) => this.#check(due, machine, file)),
    };
  }

  #place(node: AstNode, file: SourceFile) {
    return this.places.of(node) ?? this.places.at(file, { start: 0, end: 0 });
  }

  #values(machine: Machine): NonNullable<MachineReport['values']> {
    const { system } = machine.scope;
    const values: NonNullable<MachineReport['values']> = {};
    for (const { cell, value } of valuesOf(machine, (cell) => [...machine.engine.searchDeeper(cell)])) {
      const text = showCell(cell, machine, value);
      values[pathOfCell(cell, machine)] = { ...encode(value, typeOfCell(cell), system, text), origin: cell.origin };
    }
    return values;
  }

  #requirement(requirement: Requirement, file: SourceFile): MachineReport['requirements'][number] {
    const { target, text, holds, margin, shown, searched, proved, worst, whatever } = requirement;
    return {
      text,
      path: pathOf(target.instance),
      holds: holds ?? null,
      margin: margin && Number.isFinite(margin.amount) ? margin.amount : null,
      ...(margin && { marginUnit: margin.inKelvin ? 'K' : '1', marginText: showMargin(margin) }),
      ...(shown && { value: shown }),
      ...(worst && { worst }),
      ...(searched && { searched }),
      ...(requirement.failed && {
        failed: requirement.failed.map((part) => failedPart(part, target.layer.scope.system)),
      }),
      ...(proved && { proved }),
      ...(whatever && { over: whatever }),
      ...(holds === undefined && lacking(requirement)),
      message: requirementOutcome(requirement),
      ...this.#place(target.node, file),
    };
  }

  #open(choice: Choice, file: SourceFile): MachineReport['open'][number] {
    const { instance, name, node, proposed, nearest, undecided } = choice;
    return {
      path: [pathOf(instance), name].filter(Boolean).join('.'),
      answer: answerTo(choice),
      proposed: proposed ? { text: proposed.text, shown: proposed.shown } : null,
      nearest: nearest ? { text: nearest.text, shown: nearest.shown } : null,
      mayBeWritten: mayBeWritten(choice),
      alike: choice.ties.map(({ text }) => text),
      bestFound: choice.isBestFound,
      ...(this.withValues && {
        candidates: choice.tryAll().map(({ candidate: { text, shown }, failures }) => ({
          text,
          shown,
          failures: failures.map(({ rule, severity, message }) => ({ code: rule, severity, message })),
        })),
      }),
      obstacles: choice.obstacles.map(({ rule, candidate, message }) => ({
        code: rule,
        candidate: candidate.shown,
        message,
      })),
      undecided: undecided.map(({ code, caution, ...wants }) => ({
        code,
        ...lacking(wants),
        ...(caution && { caution }),
      })),
      ...this.#place(node, file),
    };
  }

  #setting(record: SetRecord, machine: Machine, file: SourceFile): MachineReport['settings'][number] {
    const { path, cell, set, designed, agrees, date, node } = record;
    const [was, is] = [set, designed].map((value) => showCell(cell, machine, value)) as [string, string];
    return { path, set: was, designed: is, agrees: agrees ?? null, date, ...this.#place(node, file) };
  }

  #check(due: DueCheck, machine: Assessed, file: SourceFile): MachineReport['commissioning'][number] {
    const { check, instance, stage, title, how, expected, least, most, caution, state, record } = due;
    return {
      path: pathOf(instance),
      check: check.name,
      title,
      stage: stage.name,
      stageTitle: stage.title,
      how,
      expected: expected ?? null,
      least: least ?? null,
      most: most ?? null,
      ...(caution && { caution }),
      state,
      record: record
        ? {
            date: record.date,
            read: record.read === undefined ? null : shownRead(record.read, check, machine),
            changed: [...(record.changed ?? [])],
            ...this.#place(record.node, file),
          }
        : null,
      ...this.#place(markForBlock(instance, machine.entry), file),
    };
  }

  #measurement(deviation: Deviation, machine: Machine, file: SourceFile): MachineReport['measurements'][number] {
    const { node, path, measured, computed, amount, inKelvin, date, inPlace, cell } = deviation;
    const show = (value: typeof measured) =>
      showValue(value, typeOfCell(cell), machine.scope.system, { shown: cell.member?.shown });
    return {
      path,
      measured: show(measured),
      computed: show(computed),
      deviation: amount ?? null,
      deviationUnit: inKelvin ? 'K' : '1',
      date,
      inPlace,
      ...this.#place(node, file),
    };
  }
}

function withConsequences(finding: Finding): Finding[] {
  return [finding, ...finding.consequences.flatMap(withConsequences)];
}

function failedPart({ of, condition, operands, message, margin }: FailedPart, system: UnitSystem) {
  return {
    ...(of && { of }),
    condition,
    message,
    ...(margin &&
      Number.isFinite(margin.amount) && {
        margin: margin.amount,
        marginUnit: margin.inKelvin ? ('K' as const) : ('1' as const),
      }),
    operands: operands.map(({ expression, value, type, shown, where }) => ({
      expression,
      ...plainValue(value, type, system),
      shown: `${shown}${where ?? ''}`,
    })),
  };
}

function undecidedRule(undecided: Undecided): MachineReport['undecided'][number] {
  return {
    code: undecided.rule,
    path: pathOf(undecided.instance),
    ...lacking(undecided),
    message: whyNotKnown(undecided),
  };
}

function lacking({ missing = [], unreadable, because }: Partial<WhyUnknown>) {
  return {
    missing: [...missing],
    ...(unreadable && { unreadable: [...unreadable] }),
    ...(because && { because }),
  };
}

/** So many changes are tried for a finding: more are for an editor, or for `--fix`, where one waits for them. */
const mostTries = 4;
/** So many steps may all changes take that are tried for the findings of one machine: four times as many as for one full of mistakes. */
const mostSteps = 1_000_000;
/** Said of a finding for which more would have been tried. */
const untried =
  'choose some of what is still open and check again: with so much of it, further changes of the text were not tried';

function firstOf<T>(found: Iterator<T | undefined>, most: number): T | undefined {
  for (let n = 0; n < most; n++) {
    const { done, value } = found.next();
    if (done || value) return value;
  }
  return undefined;
}

function uncapitalised(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
