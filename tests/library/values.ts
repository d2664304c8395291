import { cellOf } from '../../language/compute/cell.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { Assessed } from '../../language/project.ts';
import { Fault, type Value } from '../../language/values/value.ts';
import { open } from './fixtures.ts';

/** Reads values of a machine in a text (the first, unless it is named), by their path below it, in coherent SI units. */
export function valuesOf(text: string, name?: string): (path: string) => number {
  const machine = checked(text).find(({ tree }) => !name || tree.name === name);
  if (!machine) throw new Error('the text has no machine');
  return valuesIn(machine);
}

/** The same for each machine of a text, in its order. */
export function allValuesOf(text: string): ((path: string) => number)[] {
  return checked(text).map(valuesIn);
}

/** Reads texts of a machine in a text (the first, unless it is named), by their path below it. */
export function textsOf(text: string, name?: string): (path: string) => string {
  const machine = checked(text).find(({ tree }) => !name || tree.name === name);
  if (!machine) throw new Error('the text has no machine');
  return textsIn(machine);
}

/** Reads texts of a machine, by their path below it. */
export function textsIn(machine: Assessed): (path: string) => string {
  return (path) => String(valueAt(machine, path));
}

function checked(text: string): readonly Assessed[] {
  const { project, file } = open(text);
  const mistakes = project.mistakes(file).filter((m) => m.severity !== 'note');
  if (mistakes.length > 0) throw new Error(mistakes.map((m) => m.message).join('\n'));
  return project.machines(file);
}

/** Reads values of a machine, by their path below it, in coherent SI units. */
export function valuesIn(machine: Assessed): (path: string) => number {
  return (path) => {
    const value = valueAt(machine, path);
    if (typeof value !== 'number') throw new Error(`${path} is not a known number`);
    return value;
  };
}

function valueAt(machine: Assessed, path: string): Value {
  const value = read(path, machine.tree, (instance, name) => {
    const cell = cellOf(instance, name);
    if (!cell) throw new Error(`${instance.label} has no ${name}`);
    return machine.engine.value(cell);
  });
  if (value instanceof Fault) throw new Error(value.message);
  return value;
}

function read(path: string, tree: Instance, value: (instance: Instance, name: string) => Value): Value {
  const names = path.split('.');
  const last = names.pop() as string;
  let at = tree;
  for (const name of names) {
    const child = at.children.get(name);
    if (!child) throw new Error(`${at.label} has no ${name}`);
    at = child;
  }
  return value(at, last);
}

/** The names of the rules that a text breaks, consequences left out. */
export function broken(text: string): string[] {
  const { project, file } = open(text);
  return project.machines(file).flatMap((machine) => machine.assessment.findings.map((finding) => finding.rule));
}

/** What an expression over the library's functions comes to, in coherent SI units: the value of a kind made up for it. */
export function ask(type: string, expression: string): number {
  return valuesOf(`kind asker {
  inside machine
  asked: ${type} = ${expression} {
    source defined "a question of a test"
  }
}

machine Bench {
  ambient = 25 degC
  asker {
  }
}
`)('asker.asked');
}
