import type { Member } from '../names/kind.ts';
import { Formula, Unknown, type Value } from '../values/value.ts';
import type { Cell, Engine } from './cell.ts';
import { evaluate } from './evaluate.ts';
import { stepped } from './evaluate-steps.ts';
import { Locals, type Steps } from './frame.ts';

/** The value of a cell, from the text that defines it. */
export function evaluateCell(cell: Cell, engine: Engine): Value {
  const { definition, instance, member } = cell;
  if (member && member.parameters.length > 0 && definition.origin === 'derived') return formulaOf(cell, engine);
  if (!definition.expression)
    return new Unknown(
      [{ instance, name: cell.name }],
      definition.origin === 'absent' || (member?.role === 'optional' && !instance.open),
    );
  if (definition.origin === 'open') return new Unknown([{ instance, name: cell.name }]);
  const expression = definition.expression;
  if (definition.scope.isSpoiled(expression)) return new Unknown([{ instance, name: cell.name, unreadable: true }]);
  const frame = { engine, self: instance, scope: definition.scope, mode: definition.mode };
  const value = evaluate(expression, stepped(expression, frame, evaluate));
  return mayBeLeftOut(member) && !isPassedOn(cell) ? value : named(value, cell);
}

function mayBeLeftOut(member: Member | undefined): boolean {
  return member?.node.$type === 'Entry' && (member.node.type?.optional ?? false);
}

/** Is a value by default what something around it says, such as the mains of a site? Where nothing around says it, it may be said here. */
function isPassedOn({ definition: { origin, expression } }: Cell): boolean {
  return origin === 'default' && expression?.$type === 'Reference';
}

/** A default that looks for something and finds nothing leads to no value: then the value that it is the default of is missing. */
function named(value: Value, { instance, name }: Cell): Value {
  return value instanceof Unknown && value.missing.length === 0
    ? new Unknown([{ instance, name }], value.absent)
    : value;
}

/** A derived value with arguments. Its results for given arguments are cells of their own, so that they are kept. */
function formulaOf(cell: Cell, engine: Engine): Formula {
  const { instance, member, definition } = cell;
  const names = member?.parameters.map((p) => p.name) ?? [];
  const { scope } = definition;
  const direct = (...args: Value[]) =>
    evaluate(
      definition.expression,
      stepped(
        definition.expression,
        { engine, self: instance, scope, mode: 'kind', locals: new Locals(names, args) },
        evaluate,
      ),
    );
  return new Formula(cell.name, direct, names);
}

/** What the steps of a value's formula come to, by their names. */
export function stepsOfCell(cell: Cell, engine: Engine): Steps | undefined {
  const { instance, definition, member } = cell.called?.cell ?? cell;
  const { scope, mode, expression } = definition;
  const names = member?.parameters.map((p) => p.name) ?? [];
  const locals = cell.called ? new Locals(names, cell.called.args) : undefined;
  return stepped(expression, { engine, self: instance, scope, mode, locals }, evaluate).steps;
}
