import { cellAt } from '../answers/derivation.ts';
import { answerTo, type Choice } from '../judge/choices.ts';
import { writeValue } from '../judge/edit.ts';
import { withEdits } from '../mistakes/mistake.ts';
import { alone, rewrite, type Side } from '../one-machine.ts';

/** Why no furthest value can be looked for. */
export class GoalError extends Error {}

/** The furthest value with which nothing fails. */
export interface Goal {
  /** What was found, and what stops it, as the text `greatest ?` is answered. */
  readonly answer: string;
  /** As it would be written; undefined where there is none. */
  readonly text: string | undefined;
  /** The rules and requirements that fail a step further on, with what they would say. */
  readonly stops: readonly { readonly rule: string; readonly path: string; readonly message: string }[];
}

/**
 * The greatest or least value of an input of a machine with which no error, warning or requirement fails that rests on it: what is proposed
 * where the text says `greatest ?` in its place. Throws a `GoalError` where it cannot be asked for.
 */
export function goalOf(side: Side, path: string, direction: 'greatest' | 'least'): Goal {
  const { project, file, machine: name } = alone(side, [side.machine]);
  const find = () => project.machines(file).find(({ tree }) => tree.name === name);
  const machine = find();
  const cell = machine && cellAt(path, machine);
  if (!machine || !cell || cell.called) throw new GoalError(`${name} has no value ${path} that could be given`);
  const { label } = cell.instance;
  const edit = writeValue(cell.instance, cell.name, `${direction} ?`, machine.entry);
  const mistake = rewrite({ project, file }, withEdits([edit], file.parsed.text));
  if (mistake) throw new GoalError(`${path}: ${mistake.replace(/\.$/, '')}`);
  const isAsked = (choice: Choice) => choice.name === cell.name && choice.instance.label === label;
  const choice = find()?.choices.find(isAsked);
  if (!choice)
    throw new GoalError(`nothing is said of ${path}: no rule and no requirement that can be decided rests on it`);
  return {
    answer: answerTo(choice),
    text: choice.proposed?.text,
    stops: (choice.furthest?.stops ?? []).map(({ rule, instance, message }) => ({
      rule,
      path: instance.holder ? instance.label : '',
      message,
    })),
  };
}
