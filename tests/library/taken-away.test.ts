import { expect, test } from 'vitest';
import type { Finding } from '../../language/judge/finding.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { statementsOf } from '../silence/deletions.ts';
import { projectOf, sources } from '../silence/sources.ts';

// Whoever begins has not said everything yet: without any of a machine's blocks something is asked, and nothing divides by zero.

const faulty = /divides by zero|number too large|no such power/;

/** What is told of values that cannot be computed. */
function faultsOf(project: Project, files: readonly SourceFile[]): string[] {
  const told: string[] = [];
  const tell = ({ rule, message, consequences }: Finding) => {
    if (faulty.test(message)) told.push(`${rule}: ${message}`);
    consequences.forEach(tell);
  };
  for (const file of files)
    for (const { assessment } of project.machines(file)) {
      assessment.findings.forEach(tell);
      for (const each of assessment.requirements)
        if (faulty.test(each.because ?? '')) told.push(each.because as string);
    }
  return told;
}

const own = sources().filter(({ uri }) => !uri.includes('/rules/'));

test.each(own.map(({ name }) => name))(
  '%s without each of its blocks',
  (name) => {
    const { project, file, files } = projectOf(own.find((each) => each.name === name)!);
    const trees = files.flatMap((each) => project.machines(each).map(({ tree }) => tree));
    const blocks = statementsOf(file, trees).filter(({ text, gives }) => gives.length === 0 && !text.startsWith('no '));
    expect(blocks.length).toBeGreaterThan(3);
    const { text } = file.parsed;
    const faults = blocks.flatMap(({ start, end, line }) => {
      project.update(file.uri, text.slice(0, start) + text.slice(end));
      return faultsOf(project, files).map((fault) => `line ${line}: ${fault}`);
    });
    expect(faults).toEqual([]);
  },
  300_000,
);
