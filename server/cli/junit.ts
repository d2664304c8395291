import { toXml } from 'xast-util-to-xml';
import { x } from 'xastscript';
import type { MachineReport, Report } from './schema.ts';

type Requirement = MachineReport['requirements'][number];

/**
 * The requirements of a report as test cases in the XML that programs for continuous integration read: a suite for each machine, a case
 * for each requirement, skipped where it cannot be decided, or fails as it is known to. Common practice, no standard.
 */
export function junitOf({ machines }: Report): string {
  const suites = machines.map(({ name, file, requirements }) =>
    x(
      'testsuite',
      { name, file, ...counts(requirements) },
      requirements.map((each) => caseOf(each, name)),
    ),
  );
  const all = machines.flatMap(({ requirements }) => requirements);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${toXml(x('testsuites', counts(all), suites))}\n`;
}

function counts(requirements: readonly Requirement[]) {
  const number = (is: (each: Requirement) => boolean) => String(requirements.filter(is).length);
  const failures = number(({ holds, known }) => holds === false && !known);
  const skipped = number(({ holds, known }) => holds === null || known === true);
  return { tests: String(requirements.length), failures, errors: '0', skipped };
}

function caseOf({ text, path, holds, known, message, file, line }: Requirement, machine: string) {
  const about = { name: text, classname: [machine, path].filter(Boolean).join('.'), file, line: String(line) };
  const told =
    holds === null || known ? [x('skipped', { message })] : holds ? [] : [x('failure', { message }, message)];
  return x('testcase', about, told);
}
