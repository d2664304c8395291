import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { open } from './fixtures.ts';

// Machines as somebody would build them, whole, each with mistakes of its kind of motion. Common practice, no source.

/** Of each machine the mistakes that are made in it, and what is found of them: of the machine itself nothing is. */
const built: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  // A gantry that four motors lift over a bed that stands still.
  gannet: {
    Gannet_falls: 'falls_without_power',
    Gannet_stiff: 'tilted_against_guides',
    Gannet_short: 'guide_shorter_than_travel',
    Gannet_fast: 'motor_stalls',
  },
  // A beam that is held and lifted at one of its ends.
  teal: {
    Teal_far: 'guide_binds',
    Teal_hangs: 'edge_droops',
    Teal_short: 'screw_shorter_than_travel',
    Teal_coarse: 'falls_without_power',
  },
  // Crossed belts, and two tools of which one is fetched at a time.
  merganser: {
    Merganser_weak: 'tool_lifts_off',
    Merganser_drops: 'tool_falls_without_power',
    Merganser_over: 'docks_over_print',
    Merganser_unlike: 'belts_pull_unlike',
    Merganser_together: 'driver_turns_two_things',
  },
};

describe.each(Object.keys(built))('%s', (name) => {
  const { project, file } = open(readFileSync(new URL(`built/${name}.gusset`, import.meta.url), 'utf8'));
  const machines = project.machines(file);
  const [whole, ...wrong] = machines.map(({ tree, assessment }) => ({ name: tree.name, assessment }));

  test('is read without a mistake; nothing is found in it, and nothing is undecided', () => {
    expect(project.mistakes(file).filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(whole?.assessment.findings.map((f) => `${f.rule}: ${f.message}`)).toEqual([]);
    expect(whole?.assessment.undecided.map(({ rule }) => rule)).toEqual([]);
    expect(whole?.assessment.notSaid.length).toBe(0);
  });

  test('each mistake in it is found, and nothing else', () => {
    const found = wrong.map(({ name, assessment }) => [name, assessment.findings.map(({ rule }) => rule)]);
    expect(found).toEqual(Object.entries(built[name] ?? {}).map(([variant, rule]) => [variant, [rule]]));
  });
});
