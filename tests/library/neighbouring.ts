import { expect } from 'vitest';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { decide } from '../../language/judge/verdicts.ts';
import { open } from './fixtures.ts';

/** A mistake, and its neighbour: what machines say of themselves. */
export type Pair = readonly [wrong: string, right: string];

/** Whether each machine of a text breaks a rule. */
export function breaks(rule: string, bodies: readonly string[]): boolean[] {
  const text = bodies.map((body, i) => `machine M${i} {\n ambient = 20 degC\n ${body}\n}\n`).join('\n');
  const { project, file } = open(text);
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  return [...file.roots.values()].map(({ machine }) =>
    machine.tree.all().some((instance) =>
      rulesOn(instance.kind, machine.scope)
        .filter(({ node }) => node.name?.text === rule)
        .some((each) => {
          const now = decide({ rule: each, instance, cell: verdictCell(each, instance) }, machine);
          return now !== undefined && 'message' in now;
        }),
    ),
  );
}
