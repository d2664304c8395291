import { expect, test } from 'vitest';
import type { Finding } from '../../language/judge/finding.ts';
import { mend } from '../../language/mending.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import type { Assessed } from '../../language/project.ts';
import { soundFixes } from '../../language/rehearsal.ts';
import { both } from '../../language/two-changes.ts';
import { findingsOf, machineIn, read } from '../support.ts';

const fix = (title: string, start: number, end: number, text: string) => ({
  title,
  edits: [{ start, end, text }],
  mends: true,
});

test('two changes are one, the second of what the first makes', () => {
  const text = 'a = 1\nb = 2\n';
  // The first makes the text longer: there the 2 stands at 12.
  const one = both(fix('Set a to 100', 4, 5, '100'), fix('Set b to 3', 12, 13, '3'), text);
  expect(one?.title).toBe('Set a to 100, and set b to 3');
  expect(withEdits(one?.edits ?? [], text)).toBe('a = 100\nb = 3\n');
  const back = both(fix('Set b to 300', 10, 11, '300'), fix('Set a to 7', 4, 5, '7'), text);
  expect(withEdits(back?.edits ?? [], text)).toBe('a = 7\nb = 300\n');
});

test('there is none where the second changes what the first wrote', () => {
  expect(both(fix('Set a to 100', 4, 5, '100'), fix('Set a to 7', 4, 7, '7'), 'a = 1\nb = 2\n')).toBeUndefined();
});

const kinds = `kind hall {
  toplevel
  width: Length
  least: Length default 2 m
  most: Length default 4 m
  door: Length default 1 m
}
rule hall_narrow on hall {
  holds width >= least
  error "{width} of {least}"
  source defined "a test"
  at width
  remedy width = least
}
rule hall_wide on hall {
  holds width <= most
  error "{width} of {most}"
  source defined "a test"
  remedy most = width
}
rule hall_beyond on hall {
  holds most <= 5 m
  error "{most} is beyond 5 m"
  source defined "a test"
}
`;

function offered(lines: string, text = kinds) {
  const { project, file } = read(`${text}hall H {\n${lines}}\n`);
  const [machine] = project.machines(file) as [Assessed];
  const [finding] = machine.assessment.findings as [Finding];
  const fixes = [...soundFixes(finding, machine, file, project)].flatMap((each) => each ?? []);
  return fixes.map(({ title, edits }) => ({ title, text: withEdits(edits, file.parsed.text) }));
}

test('where no single change mends an error, one is offered with what mends that which it brings', () => {
  const [first, ...others] = offered('  width = 1 m\n  most = 1.5 m\n');
  expect(others).toEqual([]);
  expect(first?.title).toMatch(/^Set width to 2 m, and set most to 2 m/);
  expect(findingsOf(machineIn(first?.text ?? ''))).toEqual([]);
});

test('not where one alone does, and none where what it brings cannot be mended either', () => {
  expect(offered('  width = 1 m\n').map(({ title }) => title)).toEqual([expect.not.stringContaining(', and')]);
  expect(offered('  width = 1 m\n  least = 6 m\n  most = 4 m\n')).toEqual([]);
  const warning = kinds.replace('error "{width} of {least}"', 'warning "{width} of {least}"');
  expect(offered('  width = 1 m\n  most = 1.5 m\n', warning)).toEqual([]);
});

test('what is made by itself makes both', () => {
  const { project, file } = read(`${kinds}hall H {\n  width = 1 m\n  most = 1.5 m\n}\n`);
  const made = [...mend(file.uri, project)].flatMap((each) => each ?? []);
  expect(made).toHaveLength(1);
  expect(project.file(file.uri)?.parsed.text).toContain('width = 2 m\n  most = 2 m');
});
