import { describe, expect, test } from 'vitest';
import { type Assessed, Project } from '../../language/project.ts';
import { soundFixes, soundFixForChoice } from '../../language/rehearsal.ts';
import { library, read } from '../support.ts';

const kinds = `sizes widths: Length = [1 m, 2 m, 3 m]
kind hall {
  toplevel
  width: Length {
    sizes widths
  }
  least: Length default 2 m
  most: Length default 9 m
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
  at width
}
`;

/** Titles of the changes offered for the first finding of the first machine, and whether all is as it was afterwards. */
function offered(machines: string, others: Record<string, string> = {}) {
  const { project, file } = read({ 'a.gusset': kinds + machines, ...others });
  for (const name of Object.keys(others)) project.file(`file:///${name}`);
  const [machine] = project.machines(file) as [Assessed];
  const [finding] = machine.assessment.findings;
  if (!finding) throw new Error('nothing is found');
  const before = project.machines(file).map(({ assessment }) => assessment.findings.length);
  const titles = [...soundFixes(finding, machine, file, project)].flatMap((fix) => (fix ? [fix.title] : []));
  expect(project.machines(file).map(({ assessment }) => assessment.findings.length)).toEqual(before);
  expect(file.parsed.text).toBe(kinds + machines);
  return titles.length > 0;
}

describe('a change is offered', () => {
  const narrow = 'hall H {\n  width = 1 m\n}\n';
  test('where it brings nothing new', () => expect(offered(narrow)).toBe(true));

  test('not where it breaks a variant, but where that says its own', () => {
    expect(offered(`${narrow}hall V is H {\n  least = 1 m\n  most = 1 m\n}\n`)).toBe(false);
    expect(offered(`${narrow}hall V is H {\n  least = 1 m\n  most = 1 m\n  width = 1 m\n}\n`)).toBe(true);
  });

  test('not where it breaks a machine in a file at hand that uses this one', () => {
    const variant = (rest: string) => ({ 'b.gusset': `use "./a.gusset"\nhall V is H {\n  least = 1 m\n${rest}}\n` });
    expect(offered(narrow, variant('  most = 1 m\n'))).toBe(false);
    expect(offered(narrow, variant(''))).toBe(true);
  });

  test('not where another rule of the machine would break', () => {
    expect(offered('hall H {\n  width = 1 m\n  most = 1 m\n}\n')).toBe(false);
  });
});

test('a proposal is written where that is as sound', () => {
  const written = (machines: string) => {
    const { project, file } = read(kinds + machines);
    const [machine] = project.machines(file) as [Assessed];
    const [choice] = machine.choices;
    return choice && soundFixForChoice(choice, file, project)?.title;
  };
  expect(written('hall H {\n  width = ?\n}\n')).toContain('2 m');
  expect(written('hall H {\n  width = ?\n}\nhall V is H {\n  least = 3 m\n}\n')).toBeUndefined();
});

test('what is tried follows the texts as they are now, of the file itself and of those that use it', () => {
  const project = new Project(library, { read: () => undefined });
  const put = (name: string, text: string) => project.update(`file:///${name}.gusset`, text);
  const own = (rest: string) => `${kinds}hall H {\n  width = 1 m\n${rest}}\n`;
  const variant = (rest: string) => `use "./a.gusset"\nhall V is H {\n  least = 1 m\n${rest}}\n`;
  const file = put('a', own(''));
  const offered = () => {
    const [machine] = project.machines(file) as [Assessed];
    const [finding] = machine.assessment.findings;
    return finding && [...soundFixes(finding, machine, file, project)].some((fix) => fix !== undefined);
  };
  expect(offered()).toBe(true);
  put('b', variant(''));
  expect(offered()).toBe(true);
  put('b', variant('  most = 1 m\n'));
  expect(offered()).toBe(false);
  put('b', variant('  most = 3 m\n'));
  expect(offered()).toBe(true);
  put('b', variant('  most = 1 m\n'));
  expect(offered()).toBe(false);
  project.forget('file:///b.gusset');
  expect(offered()).toBe(true);
  put('a', own('  most = 1 m\n'));
  expect(offered()).toBe(false);
  put('a', own('  most = 5 m\n'));
  expect(offered()).toBe(true);
});

describe('what protects the less, the larger it is', () => {
  const guarded = (holds: string, lines: string) => `kind hall {
  toplevel
  rating: Current? {
    protects
  }
  other: Current? {
    protects
  }
  wanted: Current default 5 A
}
rule hall_rated on hall {
  holds ${holds}
  warning "{name}"
  source defined "a test"
  remedy rating = wanted
}
hall H {
${lines}}
`;
  const titles = (text: string) => {
    const { project, file } = read(text);
    const [machine] = project.machines(file) as [Assessed];
    const [finding] = machine.assessment.findings;
    if (!finding) throw new Error('nothing is found');
    return [...soundFixes(finding, machine, file, project)].flatMap((fix) => fix?.title ?? []);
  };

  test('may become smaller, and is given where it was not, but grows by no change', () => {
    expect(titles(guarded('rating <= wanted', '  rating = 9 A\n  other = 1 A\n'))).toEqual([
      expect.stringContaining('Set rating to 5 A'),
    ]);
    expect(titles(guarded('given(rating)', '  other = 1 A\n'))).toEqual([expect.stringContaining('Set rating to 5 A')]);
    expect(titles(guarded('rating >= wanted', '  rating = 1 A\n  other = 1 A\n'))).toEqual([]);
  });
});
