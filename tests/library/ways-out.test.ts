import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Finding } from '../../language/judge/finding.ts';
import type { Fix } from '../../language/judge/fixes.ts';
import { type Assessed, Project, type SourceFile } from '../../language/project.ts';
import { soundFixes } from '../../language/rehearsal.ts';
import { fixture, library, open } from './fixtures.ts';

const rules = library.scope.rules().map(({ node }) => node.name?.text ?? '');
const magpie = readFileSync(new URL('../../examples/magpie.gusset', import.meta.url), 'utf8');

interface Found {
  readonly finding: Finding;
  readonly machine: Assessed;
}

/** All findings of a text's machines, those that follow from others included, in a project that knows nothing of any other. */
function findingsIn(text: string) {
  const { project, file } = open(text);
  const withConsequences = (finding: Finding): Finding[] => [
    finding,
    ...finding.consequences.flatMap(withConsequences),
  ];
  const found = project
    .machines(file)
    .flatMap((machine): Found[] =>
      machine.assessment.findings.flatMap(withConsequences).map((finding) => ({ finding, machine })),
    );
  return { project, file, found };
}

/** The ways out of a finding, each computed when it is asked for. */
function* waysOf({ finding, machine }: Found, project: Project, uri: string): Generator<Fix> {
  const file = project.file(uri) as SourceFile;
  for (const fix of soundFixes(finding, machine, file, project)) if (fix) yield fix;
}

function applied({ edits }: Fix, text: string): string {
  return edits
    .toSorted((a, b) => b.start - a.start)
    .reduce((now, { start, end, text: by }) => now.slice(0, start) + by + now.slice(end), text);
}

/** What is said of a text: its mistakes, and by machine what is found and what is undecided. */
function saidOf({ project, file, found }: ReturnType<typeof findingsIn>): string[] {
  return [
    ...project.mistakes(file).flatMap(({ code, severity }) => (severity === 'note' ? [] : [`mistake ${code}`])),
    ...found.map(({ finding }) => `${finding.rule} ${finding.instance.path}`),
    ...project
      .machines(file)
      .flatMap(({ assessment }) => assessment.undecided.map(({ rule, instance }) => `${rule} ${instance.path}`)),
  ];
}

/** Which sort of way out a change is, by what it writes. */
function formOf({ title, once }: Fix): string {
  if (once) return 'a value once something is done';
  const words: Readonly<Record<string, string>> = {
    Set: 'a value to set',
    Take: 'a part or a size to take',
    Add: 'a block to add',
    Put: 'a block to put into a list',
  };
  return words[title.split(' ')[0] ?? ''] ?? 'another change';
}

function countOf(forms: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const form of forms) counts.set(form, (counts.get(form) ?? 0) + 1);
  return [...counts].map(([form, count]) => `${count} ${form}`).join(', ');
}

describe('every rule has a way out, and it works', () => {
  const forms: string[] = [];

  test.each(rules)('%s', (rule) => {
    const text = fixture(rule, 'Breaks') ?? '';
    const flawed = findingsIn(text);
    const { project, file, found } = flawed;
    const before = new Set(saidOf(flawed));
    const own = found.find(({ finding }) => finding.rule === rule) as Found;
    const ways = [...waysOf(own, project, file.uri)];
    forms.push(ways[0] ? formOf(ways[0]) : 'words only');
    expect(ways.length + own.finding.waysOut.length).toBeGreaterThan(0);
    // Said anew by another project, which knows nothing of the one that proved it.
    for (const way of ways) {
      const after = saidOf(findingsIn(applied(way, text)));
      expect(after, way.title).not.toContain(`${rule} ${own.finding.instance.path}`);
      expect(
        after.filter((each) => !before.has(each)),
        way.title,
      ).toEqual([]);
    }
  });

  test('and most are more than words', () => {
    console.log(`ways out of ${rules.length} rules, by the first of each: ${countOf(forms)}`);
    const inWords = forms.filter((form) => form === 'words only').length;
    expect(inWords / forms.length).toBeLessThanOrEqual(0.1);
  });
});

test('the flawed example is told its ways out, of which each mends', () => {
  const flawed = findingsIn(magpie);
  const { project, file, found } = flawed;
  const before = new Set(saidOf(flawed));
  const all = found.map((each) => {
    const [first] = waysOf(each, project, file.uri);
    return { ...each, ways: first ? [first] : [] };
  });
  console.log(
    `ways out of ${all.length} findings of the flawed example: ${countOf(all.map(({ ways }) => (ways[0] ? formOf(ways[0]) : 'words only')))}`,
  );
  expect(all.filter(({ ways }) => ways.length > 0).length).toBeGreaterThan(0.7 * all.length);
  expect(all.flatMap(({ ways }) => ways.filter(({ title }) => /\b0 (mm|s|A|V|W)\b/.test(title)))).toEqual([]);
  // What mends one finding may mend another: each text is said anew once.
  const said = new Map<string, string[]>();
  for (const { finding, ways } of all) {
    for (const way of ways) {
      const text = applied(way, magpie);
      const after = said.get(text) ?? saidOf(findingsIn(text));
      said.set(text, after);
      expect(after, way.title).not.toContain(`${finding.rule} ${finding.instance.path}`);
      expect(
        after.filter((each) => !before.has(each)),
        way.title,
      ).toEqual([]);
    }
  }
}, 300_000);

test('a filament that wants a hotter bed is offered that, not another filament', () => {
  const text = (fixture('filament_not_printable', 'Breaks') ?? '')
    .replace('target = 80 degC', 'target = 50 degC')
    .replace('polycarbonate', 'petg')
    .replace('power = 120 W', 'power = 160 W');
  const { project, file, found } = findingsIn(text);
  const own = found.find(({ finding }) => finding.rule === 'filament_not_printable') as Found;
  const [first] = waysOf(own, project, file.uri);
  expect(first?.title).toMatch(/^Set bed\.target to 80 degC, once it may get so hot/);
});

// Absolute zero is -273.15 °C: SI Brochure, 9th edition (2019), 2.3.1.
test('no heater is so strong that a limit below absolute zero is told for its cutoff', () => {
  const text = fixture('insulation_too_hot', 'Breaks') ?? '';
  const strong = text.replace(/power = \d+ W/, 'power = 15000 W');
  const said = findingsIn(strong).found.flatMap(({ finding }) => [finding.message, ...finding.waysOut]);
  const numbers = said.flatMap((each) => [...each.matchAll(/(-?\d[\d.]*) °C/g)].map(([, number]) => Number(number)));
  expect(numbers.length).toBeGreaterThan(5);
  expect(numbers.filter((each) => each < -273.15)).toEqual([]);
  expect(said.join('\n')).toContain('no possible temperature');
});

describe('what many findings come from is told at its root', () => {
  const examples = new URL('../../examples/', import.meta.url);
  const heron = (change: (text: string) => string) => {
    const read = (uri: string) => readFileSync(new URL(uri.split('/').at(-1) ?? '', examples), 'utf8');
    const project = new Project(library, { read });
    const file = project.update('file:///heron.gusset', change(read('heron.gusset')));
    const [machine] = project.machines(file);
    return machine?.assessment.findings ?? [];
  };
  const rules = (findings: readonly Finding[]) => findings.map(({ rule }) => rule);

  test('a supply for 12 V where 24 V are wanted is the supply’s, not its loads’', () => {
    const found = heron((text) => text.replace('supply psu is supply_450', 'supply psu is supply_12v_350w'));
    const before = new Set(rules(heron((text) => text)));
    const [root, ...others] = found.filter(({ rule, severity }) => severity !== 'advice' && rule !== 'requirement');
    expect(root?.rule).toBe('supply_voltage_wrong');
    expect(root?.instance.label).toBe('psu');
    expect(root?.consequences.length).toBeGreaterThanOrEqual(4);
    // What was checked on Heron as it stands rests on its supply, and lapses with that.
    expect(rules(others).filter((rule) => !before.has(rule) && rule !== 'record_lapsed')).toEqual([]);
  });

  test('a hot end for 12 V at an output of a board for 24 V is the hot end’s, not that of what feeds the board', () => {
    const petrel = readFileSync(new URL('petrel.gusset', examples), 'utf8');
    const text = petrel.replace('hot_end is hot_end_24v_40w', 'hot_end is hot_end_12v_30w');
    const found = findingsIn(text).found.map(({ finding }) => finding);
    const root = found.find(({ rule }) => rule === 'voltage_mismatch');
    expect(root?.instance.label).toBe('extruder.hot_end.cartridge');
    expect(rules(root?.consequences ?? [])).toEqual(expect.arrayContaining(['fuse_too_small', 'wire_overloaded']));
  });

  test('a heater for 12 V on 24 V is the heater’s, not the fuse’s that opens', () => {
    const { found } = findingsIn(magpie);
    const root = found.find(({ finding }) => finding.rule === 'voltage_mismatch')?.finding;
    expect(root?.instance.label).toBe('spool_pad');
    expect(rules(root?.consequences ?? [])).toContain('fuse_too_small');
  });
});
