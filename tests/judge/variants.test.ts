import { expect, test } from 'vitest';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { sharedFindings } from '../../language/judge/variants.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { Workspace } from '../../server/workspace.ts';
import { bench, read } from '../support.ts';

const variants = `machine Second is Bench {
  bed {
    target = 90 degC
  }
}
machine Third is Second {
  ambient = 21 degC
}
`;
const thin = bench.replace('area = 2.5 mm^2', 'area = 0.75 mm^2');

/** Each machine's findings that are told with it, with the variants that have them as well. */
function told(text: string) {
  const { project, file } = read(text);
  const machines = project.machines(file);
  const shared = sharedFindings(machines);
  return machines.map(({ tree, assessment }) => [
    tree.name,
    ...assessment.findings
      .filter((finding) => !shared.told.has(finding))
      .map((finding) => [finding.rule, ...(shared.alsoIn.get(finding) ?? [])].join(' ')),
  ]);
}

test('what a variant shares with its base is told once, there, with their names', () => {
  expect(told(thin + variants)).toEqual([['Bench', 'wire_overloaded Second Third'], ['Second'], ['Third']]);
});

test('one change in a file with three machines is one problem in the editor', () => {
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///a.gusset';
  workspace.open(uri, thin + variants);
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  const found = diagnostics(file, workspace).filter(({ severity }) => severity !== 4);
  expect(found.map(({ code }) => code)).toEqual(['wire_overloaded']);
  expect(found[0]?.message).toContain('Also in Second and Third.');
});

/** The text that a variant's only finding marks. */
function marked(variant: string): string[] {
  const text = `${bench}machine Other is Bench {\n${variant}}\n`;
  const { project, file } = read(text);
  const other = project.machines(file).find(({ tree }) => tree.name === 'Other');
  return (other?.assessment.findings ?? []).map(({ rule, places }) => {
    const { start, end } = rangeOf(places[0] as NonNullable<(typeof places)[0]>);
    return `${rule}: ${text.slice(start, end)}`;
  });
}

test('what a variant brings about stands at its statement that does', () => {
  expect(
    marked('  bed {\n    heater {\n      power = 500 W\n    }\n  }\n').every((line) => line.endsWith('500 W')),
  ).toBe(true);
  expect(marked('  bed {\n    heater {\n      power = 500 W\n    }\n  }\n')).toContain('wire_overloaded: 500 W');
});

test('a finding that only the variant has, or that is accepted there, is told with it', () => {
  const accepted = `machine Second is Bench {
  circuit bed_power {
    wire {
      length = 0.91 m
    }
  }
}
`;
  expect(told(bench + accepted.replace('length = 0.91 m', 'area = 0.75 mm^2'))[1]).toContain('wire_overloaded');
});
