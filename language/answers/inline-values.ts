import { type Cell, cellOf, type Engine } from '../compute/cell.ts';
import { type Machine, writtenInstances } from '../compute/machine.ts';
import { showMargin } from '../compute/margin.ts';
import { ownStatement, standsIn } from '../compute/marks.ts';
import { deviationsOf } from '../compute/measurements.ts';
import { showCell, valueOver } from '../compute/show-cell.ts';
import { type AstNode, itemOf, parsedOf, rangeOf } from '../grammar/syntax.ts';
import { answerTo, type Choice, waitingInWords } from '../judge/choices.ts';
import { type Requirement, requirementOutcome } from '../judge/requirements.ts';
import { amountWords, verdictOf } from '../judge/verdict-words.ts';
import type { Instance } from '../machine/tree.ts';
import { isMissing } from '../values/value.ts';

/** A value to show at the end of a line of the text. */
export interface InlineValue {
  readonly kind: 'headline' | 'proposal' | 'requirement' | 'measurement';
  /** Absolute offset of the line's end, before a comment. */
  readonly offset: number;
  readonly text: string;
  readonly tooltip: string | undefined;
}

/** What to show in the lines of a machine's own text. */
export function inlineValues(
  machine: Machine & { choices: readonly Choice[]; assessment: { requirements: readonly Requirement[] } },
): InlineValue[] {
  return [
    ...[...writtenInstances(machine)].flatMap((instance) => headlines(instance, machine)),
    ...machine.choices.flatMap((choice) => proposal(choice, machine)),
    ...machine.assessment.requirements.flatMap((requirement) => met(requirement, machine)),
    ...deviationsOf(machine)
      .filter((d) => standsIn(d.node, machine.entry))
      .map((d): InlineValue => ({ kind: 'measurement', offset: endOf(d.node), text: d.text, tooltip: d.tooltip })),
  ].sort((a, b) => a.offset - b.offset);
}

function endOf(node: AstNode): number {
  return rangeOf(node).end;
}

/** So many values stand at the end of a line; the rest is told with it. */
const mostValues = 2;

/** An instance's headline values, each after the last line of its block that it depends on. */
function headlines(instance: Instance, machine: Machine): InlineValue[] {
  const byOffset = new Map<number, string[]>();
  for (const name of instance.kind.headlines) {
    const cell = cellOf(instance, name);
    if (!cell || cell.definition.origin === 'given') continue;
    const value = valueOver(cell, machine);
    // A list of blocks is a table: too much for the end of a line.
    if (isMissing(value) || Array.isArray(value)) continue;
    const offset = determiningLine(cell, machine);
    byOffset.set(offset, [...(byOffset.get(offset) ?? []), `${words(name)} ${showCell(cell, machine, value)}`]);
  }
  return [...byOffset].map(([offset, texts]) => ({
    kind: 'headline',
    offset,
    text: inLine(texts),
    tooltip: texts.length > mostValues ? texts.join('\n\n') : undefined,
  }));
}

function inLine(texts: readonly string[]): string {
  const rest = texts.length - mostValues;
  return [...texts.slice(0, mostValues), ...(rest > 0 ? [`${rest} more`] : [])].join(', ');
}

function words(name: string): string {
  return name.replaceAll('_', ' ');
}

/** The end of the last statement of the block which the value depends on, or of the block's opening line. */
function determiningLine(cell: Cell, machine: Machine): number {
  const { instance } = cell;
  let last = 0;
  for (const dep of machine.engine.noted(cell, 'own inputs', () => ownInputs(cell, machine.engine))) {
    const { node, origin } = dep.definition;
    if (node && origin !== 'derived' && origin !== 'default' && standsIn(node, machine.entry))
      last = Math.max(last, endOf(node));
  }
  return last || openingLine(ownStatement(instance, machine.entry) as AstNode);
}

function openingLine(node: AstNode): number {
  const { start, end } = rangeOf(node);
  const text = parsedOf(node)?.text ?? '';
  const lineEnd = text.indexOf('\n', start);
  const limit = lineEnd < 0 ? end : Math.min(end, lineEnd);
  const comment = text.slice(start, limit).search(/\s*\/\//);
  return start + (comment < 0 ? text.slice(start, limit).trimEnd().length : comment);
}

/** The values of its own block that a value was computed from, however far, in the lowest scenario. */
function ownInputs(cell: Cell, engine: Engine): Cell[] {
  const seen = new Set<Cell>([cell]);
  engine.under(engine.low, () => {
    for (const at of seen) for (const dep of engine.inputs(at)) seen.add(dep);
  });
  return [...seen].filter((dep) => dep.instance === cell.instance && dep.member);
}

function proposal(choice: Choice, machine: Machine): InlineValue[] {
  if (itemOf(choice.node) !== machine.entry) return [];
  const why = choice.obstacles.map((o) => `${o.candidate.shown}: ${o.message}`);
  const tooltip = [waitingInWords(choice.undecided), ...why].filter(Boolean).join('\n\n') || undefined;
  return [{ kind: 'proposal', offset: endOf(choice.node), text: answerTo(choice), tooltip }];
}

function met(requirement: Requirement, machine: Machine): InlineValue[] {
  const { target, holds, margin, shown, endsTried } = requirement;
  if (!standsIn(target.node, machine.entry)) return [];
  const offset = endOf(target.node);
  if (holds === undefined)
    return [{ kind: 'requirement', offset, text: verdictOf(holds), tooltip: requirementOutcome(requirement) }];
  if (!margin || !shown) return [];
  const text = amountWords({ shown, margin: showMargin(margin), notes: [endsTried] });
  return [{ kind: 'requirement', offset, text, tooltip: requirementOutcome(requirement) }];
}
