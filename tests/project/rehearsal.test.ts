import { describe, expect, test, vi } from 'vitest';
import { answerTo } from '../../language/judge/choices.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { Trials } from '../../language/judge/trials.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { type Assessed, Project } from '../../language/project.ts';
import { Effort, isSound, solveForMending, soundFixes, soundFixForChoice } from '../../language/rehearsal.ts';
import { TextPlaces } from '../../server/cli/files.ts';
import { reportOn } from '../../server/cli/report.ts';
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

describe('an edit is sound', () => {
  const yard = `kind yard {
  toplevel
  load: Mass
  most: Mass default 10 kg
  gap: Length?
  label: Text
  pull: Force default 10 N
  heat: Temperature default 20 degC
  fuse: Current default 5 A {
    protects
  }
}
rule yard_full on yard {
  holds load <= most
  error "full"
  source defined "a test"
}
rule yard_sways on yard {
  holds load <= 8 kg
  warning "sways"
  source defined "a test"
  follows yard_full of self
}
rule yard_burns on yard {
  holds pull <= 50 N
  error "burns"
  caution "Fire: it burns"
  source defined "a test"
}
rule yard_scorches on yard {
  holds heat <= 60 degC
  error "scorches"
  caution "Burns: it is hot"
  source defined "a test"
}
rule yard_gapes on yard {
  when given(gap)
  holds gap <= 1 m
  advice "gapes"
  source defined "a test"
}
`;
  /** Is it, where one piece of the machine's text is replaced by another? */
  const sound = (lines: string, from: string, to: string) => {
    const text = `${yard}yard Y {\n${lines}}\n`;
    const start = text.indexOf(from, yard.length);
    if (start < 0) throw new Error(`there is no ${from}`);
    const { project, file } = read(text);
    return isSound([{ start, end: start + from.length, text: to }], file, project);
  };
  const given = '  load = 1 kg\n  label = "a"\n';

  test('that changes nothing of what is found, or mends some of it', () => {
    expect(sound(given, '1 kg', '2 kg')).toBe(true);
    expect(sound('  load = 12 kg\n  label = "a"\n', '12 kg', '11 kg')).toBe(true);
    expect(sound('  load = 12 kg\n  label = "a"\n', '12 kg', '9 kg')).toBe(true);
  });

  test('not where it brings a finding, be it advice, or one that follows from another', () => {
    expect(sound(given, '1 kg', '9 kg')).toBe(false);
    expect(sound(given, 'label', 'gap = 2 m\n  label')).toBe(false);
    expect(sound('  load = 9 kg\n  label = "a"\n', '9 kg', '11 kg')).toBe(false);
    expect(sound('  load = 9 kg\n  most = 8 kg\n  label = "a"\n', '9 kg', '8.5 kg')).toBe(true);
  });

  test('not where what was accepted no longer is', () => {
    const accepted = '  load = 9 kg\n  accept yard_sways at 9 kg because "so"\n  label = "a"\n';
    expect(sound(accepted, '9 kg', '8.5 kg')).toBe(true);
    expect(sound(accepted, '9 kg', '9.9 kg')).toBe(false);
  });

  test('not where a rule can be decided no longer, though a note alone does no harm', () => {
    expect(sound(given, '  load = 1 kg\n', '')).toBe(false);
    expect(sound(given, '  label = "a"\n', '')).toBe(true);
    // What was undecided and is decided well is no worse; decided ill it is.
    expect(sound('  label = "a"\n', 'label', 'load = 1 kg\n  label')).toBe(true);
    expect(sound('  label = "a"\n', 'label', 'load = 9 kg\n  label')).toBe(false);
  });

  test('not where it brings a mistake, or one more of a sort that is there', () => {
    expect(sound(given, '1 kg', '1 m')).toBe(false);
    expect(sound(`${given}  nothing = 1 m\n`, 'label', 'none = 2 m\n  label')).toBe(false);
    expect(sound(`${given}  nothing = 1 m\n  none = 2 m\n`, '  none = 2 m\n', '')).toBe(true);
  });

  test('not where a requirement is met no longer, or one that is not met falls shorter', () => {
    const required = `${given}  require load <= 3 kg\n`;
    expect(sound(required, '1 kg', '2 kg')).toBe(true);
    expect(sound(required, '1 kg', '4 kg')).toBe(false);
    expect(sound(required.replace('1 kg', '5 kg'), '5 kg', '4 kg')).toBe(true);
    expect(sound(required.replace('1 kg', '5 kg'), '5 kg', '6 kg')).toBe(false);
    expect(sound(`${given}  gap = 0.5 m\n  require gap <= 2 m\n`, '  gap = 0.5 m\n', '')).toBe(false);
  });

  test('not where what can hurt people goes further beyond its limit, by more than a twentieth of that or a kelvin', () => {
    const changed = (name: string, from: string, to: string) => sound(`${given}  ${name} = ${from}\n`, from, to);
    expect(changed('pull', '100 N', '90 N')).toBe(true);
    expect(changed('pull', '100 N', '102 N')).toBe(true);
    expect(changed('pull', '100 N', '103 N')).toBe(false);
    expect(changed('heat', '80 degC', '80.9 degC')).toBe(true);
    expect(changed('heat', '80 degC', '81.1 degC')).toBe(false);
    // Nobody is hurt by what only does not fit.
    expect(sound('  load = 12 kg\n  label = "a"\n', '12 kg', '20 kg')).toBe(true);
  });

  test('not where what protects grows', () => {
    expect(sound(`${given}  fuse = 4 A\n`, '4 A', '3 A')).toBe(true);
    expect(sound(`${given}  fuse = 4 A\n`, '4 A', '4.5 A')).toBe(false);
    expect(sound(given, 'label', 'fuse = 5 A\n  label')).toBe(true);
  });
});

describe('the ways out of a finding', () => {
  const titles = (text: string, unasked = false) => {
    const { project, file } = read(text);
    const [machine] = project.machines(file) as [Assessed];
    const [finding] = machine.assessment.findings;
    if (!finding) throw new Error('nothing is found');
    const tries = [...soundFixes(finding, machine, file, project, unasked)];
    return { titles: tries.flatMap((fix) => fix?.title ?? []), failed: tries.filter((fix) => !fix).length };
  };
  /** A room with so many values that each mend it alone, and two that do together. */
  const room = (ways: number, lines = '') => `kind room {
  toplevel
  wanted: Length default 1 m
${Array.from({ length: ways }, (_, i) => `  way_${i}: Length default 0 m`).join('\n')}
  low: Length?
  high: Length?
}
rule room_closed on room {
  holds ${[...Array.from({ length: ways }, (_, i) => `way_${i} >= wanted`), '(given(low) and given(high) and low < high)'].join(' or ')}
  warning "closed"
  source defined "a test"
${Array.from({ length: ways }, (_, i) => `  remedy way_${i} = wanted`).join('\n')}
  remedy low = wanted
  remedy high = 2 * wanted
}
room R {
${lines}}
`;

  test('are told with what each does to the numbers of the rule', () => {
    expect(titles(`${kinds}hall H {\n  width = 1 m\n}\n`).titles[0]).toMatch(
      /^Set width to 2 m: 2 m of at least 2 m, now 1 m$|^Set width to 2 m: /,
    );
  });

  test('each alone come first, then two that do together', () => {
    expect(titles(room(2)).titles).toEqual([
      'Set way_0 to 1 m: way 0 0 mm → 1 m',
      'Set way_1 to 1 m',
      'Set low to 1 m, and high to 2 m',
    ]);
    expect(titles(room(0)).titles).toEqual([expect.stringMatching(/^Set low to 1 m, and high to 2 m/)]);
  });

  test('are six at most', () => {
    expect(titles(room(6)).titles).toHaveLength(6);
    expect(titles(room(9)).titles).toHaveLength(6);
  });

  test('that somebody has to do something for first are left out where nobody is asked', () => {
    const once = room(2).replace('remedy way_0 = wanted', 'remedy way_0 = wanted once "it was measured"');
    const first = (unasked: boolean) => titles(once, unasked).titles.map((title) => title.split(' to ')[0]);
    expect(first(false)).toEqual(['Set way_0', 'Set way_1', 'Set low']);
    expect(first(true)).toEqual(['Set way_1', 'Set low']);
  });
});

test('what is undecided, or laid aside, may become so and no graver; a finding that was there may not be worse', () => {
  const text = `kind hall {
  toplevel
  load: Mass
  most: Mass?
}
rule hall_full on hall {
  holds load <= most
  warning "full"
  source defined "a test"
}
rule hall_laden on hall {
  holds load <= 5 kg
  advice "laden"
  source defined "a test"
}
hall H {
  load = 8 kg
}
hall V is H {
  load = 1 kg
}
`;
  const sound = (from: string, to: string, of = text) => {
    const { project, file } = read(of);
    const start = of.indexOf(from);
    return isSound([{ start, end: start + from.length, text: to }], file, project);
  };
  // That most is given decides what was not: well, or ill in one of both.
  expect(sound('  load = 8 kg\n', '  load = 8 kg\n  most = 9 kg\n')).toBe(true);
  expect(sound('  load = 8 kg\n', '  load = 8 kg\n  most = 7 kg\n')).toBe(false);
  // In the variant alone.
  expect(sound('  load = 1 kg\n', '  load = 6 kg\n')).toBe(false);
  // Advice that is there already is no worse where more lies on it.
  expect(sound('load = 8 kg', 'load = 9 kg')).toBe(true);
});

describe('what is open is solved once for what is said and for what is tried', () => {
  const rooms = `sizes depths: Length = [1 m, 2 m, 3 m]
kind barn {
  toplevel
  depth: Length {
    sizes depths
  }
  least: Length default 2 m
  door: Length default 1 m
}
rule barn_short on barn {
  holds depth >= least
  error "{depth} of {least}"
  source defined "a test"
}
rule door_low on barn {
  holds door >= 2 m
  warning "{door}"
  source defined "a test"
  remedy door = 2 m
}
`;
  const said = (text: string, beside: boolean) => {
    const { project, file } = read(rooms + text);
    expect(project.mistakes(file)).toEqual([]);
    if (beside) solveForMending(file, project);
    const solved = vi.spyOn(Trials.prototype, 'ask');
    const machines = project.machines(file);
    const asked = solved.mock.calls.length;
    solved.mockRestore();
    const told = machines.map(({ choices, assessment }) => ({
      choices: choices.map((choice) => [answerTo(choice), choice.isBestFound, choice.obstacles.map((o) => o.message)]),
      found: assessment.findings.map(({ rule, message }) => `${rule}: ${message}`),
    }));
    return { told, asked, isSolved: project.isSolved(file) };
  };

  test.each([
    'barn B {\n  depth = ?\n}\n',
    'barn B {\n  depth = ?\n  least = 9 m\n}\n',
    'barn B {\n  depth = ?\n}\nbarn C is B {\n  least = 3 m\n}\nbarn D {\n  depth = 1 m\n}\n',
  ])('%j', (text) => {
    const [alone, taken] = [said(text, false), said(text, true)];
    expect(taken.told).toEqual(alone.told);
    expect(alone.asked).toBeGreaterThan(0);
    expect(taken.asked).toBe(0);
  });

  test('a number whose furthest value is asked for is looked for again, and where nothing is found, nothing is solved beside', () => {
    const number = 'barn B {\n  depth = ?\n  door = least ?\n}\n';
    expect(said(number, true).told).toEqual(said(number, false).told);
    expect(said('barn B {\n  depth = ?\n  door = 2 m\n}\n', true).asked).toBeGreaterThan(0);
  });
});

describe('changes beside an open number', () => {
  const text = `kind loft {
  toplevel
  width: Length
  load: Mass
  beam: Length
}
rule loft_narrow on loft {
  holds width >= 2 m
  error "{width} wide"
  source defined "a test"
  remedy width = 2 m
}
rule loft_full on loft {
  holds load <= 10 kg
  error "{load} on it"
  source defined "a test"
  remedy load = 10 kg
}
rule loft_bends on loft {
  holds beam >= load / 1 kg * 1 mm
  warning "bends"
  source defined "a test"
}
loft L {
  width = 1 m
  load = 12 kg
  beam = least ?
}
`;
  const parts = ({ project, file }: ReturnType<typeof read>) => {
    const [machine] = project.machines(file) as [Assessed];
    const finding = (rule: string) => machine.assessment.findings.find((each) => each.rule === rule) as Finding;
    const fixes = (rule: string, effort?: Effort) =>
      [...soundFixes(finding(rule), machine, file, project, false, effort)].flatMap((fix) => fix ?? []);
    return { machine, finding, fixes };
  };

  test('are judged with what was found for it, which is looked for again once one is made', () => {
    const both = read(text);
    const { project, file } = both;
    solveForMending(file, project);
    const { machine, fixes } = parts(both);
    expect(machine.choices.map(answerTo)[0]).toMatch(/^12 mm proposed/);
    isSound([], file, project);
    const looked = vi.spyOn(Trials.prototype, 'failingOn');
    const [fix] = fixes('loft_full');
    expect(looked).not.toHaveBeenCalled();
    looked.mockRestore();
    // What was tried last is the text as it is now.
    project.update(file.uri, withEdits(fix?.edits ?? [], file.parsed.text));
    solveForMending(file, project);
    expect(parts(both).machine.choices.map(answerTo)[0]).toMatch(/^10 mm proposed/);
  });

  test('are not judged with it where they write it themselves', () => {
    const both = read(text);
    const at = text.indexOf('least ?');
    const edit = (by: string) => [{ start: at, end: at + 'least ?'.length, text: by }];
    expect(isSound(edit('12 mm'), both.file, both.project)).toBe(true);
    expect(isSound(edit('11 mm'), both.file, both.project)).toBe(false);
  });

  test('are tried until what may be spent on all of a machine is spent, and that is told', () => {
    const both = read(text);
    const { finding, fixes } = parts(both);
    const effort = new Effort(1);
    expect(fixes('loft_full', effort)).toHaveLength(1);
    expect(effort.short.size).toBe(0);
    expect(fixes('loft_narrow', effort)).toEqual([]);
    expect([...effort.short]).toEqual([finding('loft_narrow')]);
    const ways = (steps?: number) => {
      const { project, file } = read(text);
      const places = new TextPlaces(project, (uri) => uri);
      const { findings } = reportOn([{ uri: file.uri, text }], places, false, steps);
      return findings.map(({ fix, waysOut }) => [fix !== undefined, waysOut?.join().includes('were not tried')]);
    };
    expect(ways(1)).toEqual([
      [true, false],
      [false, true],
    ]);
    expect(ways()).toEqual([
      [true, false],
      [true, false],
    ]);
  });
});

test('of two machines that go by one name each keeps the numbers that were found for it', () => {
  const beams = `kind beam {
  toplevel
  load: Mass
  depth: Length
  gap: Length default 2 m
}
rule beam_bends on beam {
  holds depth >= load / 1 kg * 1 mm
  error "{depth} bends under {load}"
  source defined "a test"
}
rule gap_narrow on beam {
  holds gap >= 2 m
  warning "{gap}"
  source defined "a test"
  remedy gap = 2 m
}
beam B {
  load = 30 kg
  depth = least ?
  gap = 1 m
}
beam B {
  load = 12 kg
  depth = least ?
}
`;
  const { project, file } = read(beams);
  const [machine] = project.machines(file) as [Assessed];
  const [finding] = machine.assessment.findings as [Finding];
  const fixes = [...soundFixes(finding, machine, file, project)].flatMap((fix) => fix ?? []);
  expect(fixes.map(({ title }) => title)).toEqual([expect.stringMatching(/^Set gap to 2 m/)]);
});
