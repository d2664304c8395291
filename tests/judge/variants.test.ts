import { expect, test } from 'vitest';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { sharedFindings } from '../../language/judge/variants.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { Workspace } from '../../server/workspace.ts';
import { bench, read } from '../support.ts';
import { beam, yard } from './yard.ts';

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

/** A yard with a beam that bends, and one that is made from it. */
const yards = (variant: string, body = beam('a', 'load = 120 N')) => `${yard(body)}yard Z is Y {\n${variant}}\n`;

test('what the first of a chain has is told there, in the order of its variants, though the one between accepts it', () => {
  expect(told(`${yards('')}yard Last is Z {\n}\n`)).toEqual([['Y', 'beam_bends Z Last'], ['Z'], ['Last']]);
  const accepted = yards('  a {\n    accept beam_bends because "seen"\n  }\n');
  expect(told(accepted)).toEqual([
    ['Y', 'beam_bends'],
    ['Z', 'beam_bends'],
  ]);
  expect(told(`${accepted}yard Last is Z {\n}\n`)[2]).toEqual(['Last']);
});

test('another block, another rule and another consequence are others', () => {
  expect(told(yards('  beam b {\n    load = 120 N\n  }\n'))).toEqual([
    ['Y', 'beam_bends Z'],
    ['Z', 'beam_bends'],
  ]);
  expect(told(yards('  a {\n    depth = 10 mm\n  }\n'))).toEqual([
    ['Y', 'beam_bends Z'],
    ['Z', 'beam_thin'],
  ]);
  expect(told(yards('  beam b {\n    load = 1 N\n    rests_on = a\n  }\n'))).toEqual([
    ['Y', 'beam_bends'],
    ['Z', 'beam_bends'],
  ]);
});

test('requirements share a code, and are told apart by their words', () => {
  const body = `${beam('a', 'load = 90 N')}\nrequire a.load <= 80 N`;
  expect(told(yards('  require a.depth <= 1 mm\n', body)).map((each) => each.length)).toEqual([2, 2]);
  expect(told(yards('', body)).map((each) => each.length)).toEqual([2, 1]);
});

test('an acceptance that holds is not one that lapsed', () => {
  const body = beam('a', 'load = 120 N\naccept beam_bends at 120 N because "seen"');
  expect(told(yards('  a {\n    load = 130 N\n  }\n', body))).toEqual([
    ['Y', 'beam_bends'],
    ['Z', 'beam_bends'],
  ]);
  expect(told(yards('', body))).toEqual([['Y', 'beam_bends Z'], ['Z']]);
});

test('what starts from a part, from itself, or in a ring shares nothing, and comes to an end', () => {
  const bent = beam('a', 'load = 120 N').replaceAll('\n', '\n  ');
  expect(told(`${yard('')}yard A is A {\n  ${bent}\n}\n`).at(-1)).toEqual(['A', 'beam_bends']);
  const ring = told(`${yard('')}yard A is B {\n  ${bent}\n}\nyard B is A {\n  ${bent}\n}\n`);
  expect(ring.map(([name]) => name)).toEqual(['Y', 'A', 'B']);
});
