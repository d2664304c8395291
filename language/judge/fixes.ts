import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { least, marginOf } from '../compute/margin.ts';
import { showExpression } from '../compute/message.ts';
import { literalOf } from '../compute/show-cell.ts';
import type { Remedy } from '../grammar/generated/ast.ts';
import { rangeOf } from '../grammar/syntax.ts';
import { attempt, type Choice, leastThatPasses, mayBeWritten, waitingBehind } from './choices.ts';
import { type TextEdit, writeValue } from './edit.ts';
import type { Finding } from './findings.ts';
import { contextOf, frameOf, type Rule, verdictCell } from './rule.ts';

/** A change that the tool can make. */
export interface Fix {
  readonly title: string;
  readonly edits: readonly TextEdit[];
  /** True where the finding it is offered for is to be gone with it. */
  readonly mends: boolean;
}

/** The changes that would mend a finding in its machine. None adds an acceptance, and none counts an undecided rule as passed. */
export function fixesFor(finding: Finding, machine: Machine): Fix[] {
  const { declared } = finding;
  if (!declared) return [];
  const computed = declared.remedies.flatMap((remedy) => remedyFix(remedy, declared, finding, machine) ?? []);
  return [...computed, ...acceptedValue(finding, machine)];
}

/** Writes a proposal in place of its `?`, where no rule about people's safety waits behind it. */
export function fixForChoice(choice: Choice): Fix | undefined {
  if (!choice.proposed || !mayBeWritten(choice)) return undefined;
  return {
    title: `Write ${choice.proposed.text}`,
    edits: [{ ...rangeOf(choice.node), text: choice.proposed.text }],
    mends: false,
  };
}

function remedyFix(remedy: Remedy, rule: Rule, finding: Finding, machine: Machine): Fix | undefined {
  const cell = remedy.target && cellOf(finding.instance, remedy.target.text);
  if (!cell) return undefined;
  const text = remedy.value ? setTo(remedy, cell, rule, finding, machine) : chooseAnew(cell, machine);
  if (text === undefined) return undefined;
  const edit = writeValue(finding.instance, cell.name, text, machine.entry);
  return { title: `Set ${cell.name} to ${text}`, edits: [edit], mends: true };
}

/** The least standard size or part that passes everything which depends on it. */
function chooseAnew(cell: Cell, machine: Machine): string | undefined {
  const before = cell.trial;
  const { proposed } = leastThatPasses(cell, machine);
  const isGrave = proposed && waitingBehind(cell, machine).some(({ caution }) => caution);
  attempt(cell, before, machine.engine);
  return isGrave ? undefined : proposed?.text;
}

/** The remedy's value, with as many digits as it takes for the rule to hold with what is written. */
function setTo(remedy: Remedy, cell: Cell, rule: Rule, finding: Finding, machine: Machine): string | undefined {
  const { engine } = machine;
  const frame = frameOf(rule, finding.instance, engine);
  const value = engine.under(finding.scenario, () => engine.aside(() => evaluate(remedy.value, frame)));
  if (typeof value !== 'number') {
    const text = literalOf(value, cell, machine);
    return text !== undefined && holdsWith(cell, value, rule, finding, machine) ? text : undefined;
  }
  for (const digits of [3, 4, 5, 6]) {
    for (const nudge of [0, -1, 1]) {
      const rounded = nudge === 0 ? value : value * (1 + nudge * 0.5 * 10 ** (1 - digits));
      const text = literalOf(rounded, cell, machine, digits);
      const written = text === undefined ? undefined : writtenValue(text, cell, machine);
      if (written !== undefined && holdsWith(cell, written, rule, finding, machine)) return text;
    }
  }
  return undefined;
}

function writtenValue(text: string, cell: Cell, machine: Machine): number | undefined {
  const [number = '', unit] = text.split(' ');
  const found = unit ? machine.scope.system.unit(unit) : undefined;
  if (found && !('factor' in found)) return undefined;
  return cell.member ? Number(number) * (found?.factor ?? 1) + (found?.zero ?? 0) : undefined;
}

function holdsWith(
  cell: Cell,
  value: ReturnType<typeof evaluate>,
  rule: Rule,
  finding: Finding,
  machine: Machine,
): boolean {
  const { engine } = machine;
  const before = cell.trial;
  attempt(cell, value, engine);
  const verdict = verdictCell(rule, finding.instance);
  const worst = engine.under(finding.scenario, () => engine.value(verdict));
  const holds = worst !== false && engine.corners(verdict).values.every((value) => value !== false);
  attempt(cell, before, engine);
  return holds;
}

/** An acceptance that states no value could never lapse: the present value is offered. */
function acceptedValue(finding: Finding, machine: Machine): Fix[] {
  const { accepted, declared, instance, scenario } = finding;
  if (!accepted?.valueless || !declared || accepted.node.$type !== 'Acceptance') return [];
  const rule = (accepted.node as { rule?: Parameters<typeof rangeOf>[0] }).rule;
  if (!rule) return [];
  const { engine } = machine;
  const [frame, ctx] = [frameOf(declared, instance, engine), contextOf(declared)];
  const text = engine.under(scenario, () =>
    engine.aside(() => {
      const margin = least(declared.holds.map((part) => marginOf(part, frame, ctx)));
      return margin && showExpression(margin.value, frame, ctx);
    }),
  );
  const { end } = rangeOf(rule);
  return text
    ? [
        {
          title: `State the value accepted: ${text}`,
          edits: [{ start: end, end, text: ` at ${text.replace('°C', 'degC')}` }],
          mends: false,
        },
      ]
    : [];
}
