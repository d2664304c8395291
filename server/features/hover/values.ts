import { blockTableOf } from '../../../language/answers/block-table.ts';
import { type Derivation, explainCell, sourcesOf } from '../../../language/answers/derivation.ts';
import { memberDoc, typeWithUnits } from '../../../language/answers/docs.ts';
import type { Meaning } from '../../../language/answers/meaning.ts';
import { callCell } from '../../../language/compute/call-cell.ts';
import { type Cell, cellOf } from '../../../language/compute/cell.ts';
import { evaluate } from '../../../language/compute/evaluate.ts';
import { pathOfCell, showCell, typeOfCell } from '../../../language/compute/show-cell.ts';
import type { Access, Call } from '../../../language/grammar/generated/ast.ts';
import { type AstNode, itemOf, textOf } from '../../../language/grammar/syntax.ts';
import { valueOrWhy } from '../../../language/judge/verdict-words.ts';
import { Instance } from '../../../language/machine/tree.ts';
import type { Scope } from '../../../language/names/scope.ts';
import type { Assessed, SourceFile } from '../../../language/project.ts';
import { pathAt, type Situation, situationsAlong } from '../../../language/types/situation.ts';
import { Unknown, type Value } from '../../../language/values/value.ts';
import type { Workspace } from '../../workspace.ts';
import { assessedTrees, machineOf } from '../machines.ts';
import { code, inShort, itemName, markdownTable, origins, paragraphs } from './markdown.ts';

/** So many inputs are listed; the rest is counted. */
const mostInputs = 12;

/** A value in a machine: what it is now, and how that came about. */
export function valueText(
  meaning: Meaning,
  file: SourceFile,
  offset: number,
  workspace: Workspace,
): string | undefined {
  const { member } = meaning;
  const meant = cellMeant(meaning, file, offset, workspace);
  if (!meant || !member) return undefined;
  const { cell: asked, machine } = meant;
  const derivation = explainCell(asked, machine);
  const declared = member.role === 'derived' || derivation.origin === 'default' ? member.node : undefined;
  return paragraphs(
    `**${derivation.path}** = ${stateOf(derivation)}`,
    memberDoc(member),
    markdownTable(blockTableOf(asked, machine)),
    whereItLies(derivation),
    howItCame(derivation, machine),
    stepsOf(derivation),
    inputsOf(derivation, machine),
    origins(declared),
    `_${typeWithUnits(member.type, machine.scope, member.shown)}_`,
  );
}

/** The value of a machine that a name at an offset means; undefined where it is none, or one whose arguments are not known there. */
export function cellMeant(
  { name, member, instance: holder }: Meaning,
  file: SourceFile,
  offset: number,
  workspace: Workspace,
): { cell: Cell; machine: Assessed } | undefined {
  const instance = holder ?? referredTo(file, offset, workspace);
  const machine = machineOf(instance, file, workspace);
  const cell = cellOf(instance, name);
  if (!machine || !cell || !member) return undefined;
  const asked = member.parameters.length > 0 ? calledCell(cell, file, offset, machine, workspace) : cell;
  return asked && { cell: asked, machine };
}

/** The block whose value is named through a reference, as in `wire.place.temperature`. */
function referredTo(file: SourceFile, offset: number, workspace: Workspace): Instance | undefined {
  const path = pathAt(file, offset);
  const access = path.at(-2) as Access | undefined;
  if (access?.$type !== 'Access' || access.member !== path.at(-1)) return undefined;
  const { ctx } = situationsAlong(path, file.scope, assessedTrees(file, workspace)).at(-2) as Situation;
  const machine = machineOf(ctx.instance, file, workspace);
  if (!machine || !ctx.instance || ctx.mode === 'kind' || ctx.locals?.size) return undefined;
  const frame = { engine: machine.engine, self: ctx.instance, scope: ctx.scope, mode: ctx.mode };
  const object = evaluate(access.object, frame);
  return object instanceof Instance ? object : undefined;
}

function stateOf({ value, shown }: Derivation): string {
  return value instanceof Unknown && value.absent && value.missing.length === 0
    ? 'not given'
    : valueOrWhy(value, shown);
}

function whereItLies({ extremes }: Derivation): string | undefined {
  return extremes && `Least ${extremes.least}, greatest ${extremes.greatest}`;
}

function howItCame({ origin, formula, writtenAt }: Derivation, machine: Assessed): string | undefined {
  const text = formula && code(inShort(formula));
  const elsewhere = writtenAt && itemOf(writtenAt) !== machine.entry ? ` by ${itemName(writtenAt)}` : '';
  switch (origin) {
    case 'derived':
      return text && `Computed: ${text}`;
    case 'default':
      return text && `Default: ${text}`;
    case 'given':
      return text && `Given${elsewhere}: ${text}`;
    case 'measured':
      return text && `Measured, and used in place of what is computed: ${text}`;
    case 'proposed':
    case 'open':
      return `Open choice${origin === 'proposed' ? ', with what is proposed' : ''}`;
    default:
      return undefined;
  }
}

/** The steps of a formula, each with what it comes to. */
function stepsOf({ steps }: Derivation): string {
  return steps.map(({ name, shown, formula }) => `- where ${name} = ${shown}: ${code(inShort(formula))}`).join('\n');
}

function inputsOf({ inputs, cell, origin }: Derivation, machine: Assessed): string | undefined {
  if (origin === 'open' || inputs.length === 0) return undefined;
  // What is only asked about (is it built in?) says less than what is counted with.
  const isCondition = (input: Cell) => typeOfCell(input).is === 'truth';
  const sorted = [...inputs.filter((input) => !isCondition(input)), ...inputs.filter(isCondition)];
  const lines = sorted.slice(0, mostInputs).map((input) => inputLine(input, cell, machine));
  if (inputs.length > mostInputs) lines.push(`- and ${inputs.length - mostInputs} more`);
  return lines.join('\n');
}

function inputLine(input: Cell, of: Cell, machine: Assessed): string {
  const path = pathOfCell(input, machine);
  const label = `${input.instance.label}.`;
  const name = input.instance === of.instance && path.startsWith(label) ? path.slice(label.length) : path;
  const subject = input.called?.cell ?? input;
  if (subject.definition.origin === 'missing') return `- ${name}: not given`;
  return `- ${name} = ${showCell(input, machine)} (${standingOf(subject, machine)})`;
}

/** Whether an input is given, a default or computed, by whom, and how good its source is. */
function standingOf(cell: Cell, machine: Assessed): string {
  const { origin, node } = cell.definition;
  const standing = cell.member && sourcesOf(cell.member.node)[0]?.standing;
  if (cell.trial !== undefined || origin === 'open') return 'proposed';
  if (origin === 'default') return standing ? `default, ${standing}` : 'default';
  if (origin === 'derived') return standing && standing !== 'defined' ? `computed, ${standing}` : 'computed';
  if (origin === 'given' && node && itemOf(node) !== machine.entry) return `given by ${itemName(node)}`;
  return origin;
}

/** The value of `warm_up(to: 100 degC)`, where a value with arguments is asked with them. */
function calledCell(
  cell: Cell,
  file: SourceFile,
  offset: number,
  machine: Assessed,
  workspace: Workspace,
): Cell | undefined {
  const path = pathAt(file, offset);
  const index = path.findLastIndex((node) => node.$type === 'Call');
  const call = path[index] as Call | undefined;
  if (!call || call.callee !== path.at(-2)) return undefined;
  const { ctx } = situationsAlong(path, file.scope, assessedTrees(file, workspace))[index] as Situation;
  if (!ctx.instance || ctx.mode === 'kind') return undefined;
  const frame = { engine: machine.engine, self: ctx.instance, scope: ctx.scope, mode: ctx.mode };
  const args = (cell.member?.parameters ?? []).map((parameter, i): Value => {
    const argument =
      call.arguments.find((a) => a.name?.text === parameter.name) ??
      (call.arguments[i]?.name ? undefined : call.arguments[i]);
    return argument ? evaluate(argument.value, frame) : new Unknown([]);
  });
  return callCell(cell, args);
}

/** A value as its kind declares it. */
export function memberText({ member, instance, name }: Meaning, scope: Scope): string | undefined {
  if (!member) return undefined;
  const parameters = member.parameters.map((p) => `${p.name}: ${typeWithUnits(p.type, scope)}`);
  const given = cellOf(instance, name)?.definition;
  const text = given?.origin === 'given' && given.expression ? textOf(given.expression) : undefined;
  return paragraphs(
    `**${member.owner.name}.${member.name}${parameters.length > 0 ? `(${parameters.map((p) => p.split(':')[0]).join(', ')})` : ''}**`,
    memberDoc(member),
    text && `Given: ${code(inShort(text))}`,
    declaredAs(member.node, member.role),
    member.sizes.length > 0 && `Standard sizes: ${member.sizes.join(', ')}`,
    origins(member.node),
    `_${[typeWithUnits(member.type, scope, member.shown), ...parameters].join('; ')}_`,
  );
}

function declaredAs(node: AstNode, role: string): string | undefined {
  const { value } = node as { value?: AstNode };
  const text = value && code(inShort(textOf(value)));
  if (role === 'derived') return text && `Computed: ${text}`;
  if (role === 'default') return text && `Default: ${text}`;
  return role === 'optional' ? 'May be left out.' : undefined;
}
