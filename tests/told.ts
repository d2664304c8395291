// All that is told of the machines of a file, a line each: their values, findings, undecided rules and requirements. What two texts tell
// is compared with `diff`, to see that one says the same in fewer statements.
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { cellOf } from '../language/compute/cell.ts';
import { showCell } from '../language/compute/show-cell.ts';
import { libraryFiles } from '../language/library/generated/library.ts';
import { type Assessed, Project, readLibrary } from '../language/project.ts';

/** The lines of one machine, its values at the least ends of its ranges. */
export function toldOfMachine(machine: Assessed): string[] {
  const { assessment, engine, tree } = machine;
  const values = engine.under(engine.low, () =>
    tree.all().flatMap((instance) =>
      [...instance.kind.members.values()].flatMap(({ name, role, parameters }) => {
        const cell = role === 'child' || parameters.length > 0 ? undefined : cellOf(instance, name);
        return cell ? [`${instance.label}.${name} = ${showCell(cell, machine, engine.value(cell))}`] : [];
      }),
    ),
  );
  return [
    ...values.sort(),
    ...assessment.findings.map(({ rule, instance, message }) => `found ${rule} ${instance.label}: ${message}`),
    ...assessment.undecided.map(({ rule, instance }) => `undecided ${rule} ${instance.label}`),
    ...assessment.requirements.map(({ text, holds, shown }) => `${text}: ${holds} ${shown}`),
    `${assessment.held} hold`,
  ].map((line) => `${tree.name}: ${line}`);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const project = new Project(readLibrary(libraryFiles), { read: (uri) => readFileSync(new URL(uri), 'utf8') });
  for (const path of process.argv.slice(2)) {
    const file = project.file(pathToFileURL(resolve(path)).href);
    for (const machine of file ? project.machines(file) : [])
      for (const line of toldOfMachine(machine)) console.log(line);
  }
}
