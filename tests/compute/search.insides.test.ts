import { expect, test } from 'vitest';
import { cellsOf } from '../../language/compute/cell.ts';
import { type Assessed, Project } from '../../language/project.ts';
import { read as files, findingsOf, library, shown } from '../support.ts';

const kinds = `/// A mast that swings most at one wind, between none and a storm.
kind mast {
  toplevel
  wind: Speed {
    shown m/s
  }
  stay: Length default 1 m {
    shown m
  }
  struts: Count default 2
  allowed: Length default 50 mm
  /// Greatest at 10 m/s.
  swing: Length = 60 mm - abs(wind - 10 m/s) * 4 ms {
    source defined "a test"
  }
  /// Greatest where the stay is as long as the wind is fast.
  hum: Length = 60 mm - abs(wind * 100 ms - stay) / 10 {
    source defined "a test"
  }
  /// Bad between whole numbers of struts alone.
  rattle: Length = if struts == 2 or struts == 3 or struts == 4 then 1 mm else 1 m {
    source defined "a test"
  }
  /// Not known in a gust between 9 and 11 m/s.
  gust: Length = if wind > 9 m/s and wind < 11 m/s then damped else 1 mm {
    source defined "a test"
  }
  damped: Length?
  headline swing
}
rule swings on mast {
  holds swing <= allowed
  error "{name}: {swing} of {allowed}"
  source defined "a test"
  remedy allowed = swing
}
rule rattles on mast {
  holds rattle <= 50 mm
  error "{rattle}"
  source defined "a test"
}
rule gusts on mast {
  holds gust <= 50 mm
  error "{gust}"
  source defined "a test"
}
`;

const mast = (lines: string) => `${kinds}mast M {\n${lines.replace(/^/gm, '  ')}\n}\n`;

function deeper(text: string): { first: Assessed; last: Assessed; project: Project } {
  const { project, file } = files(text);
  const first = project.machines(file)[0] as Assessed;
  for (const _ of project.searchDeeper(file));
  return { first, last: project.machines(file)[0] as Assessed, project };
}

test('what is worse inside a range than at its ends is found by the deeper search, and not before', () => {
  const { first, last } = deeper(mast('wind = 0 m/s .. 20 m/s'));
  expect(findingsOf(first)).toEqual([]);
  expect(findingsOf(last)).toEqual(['swings: M: 60 mm of 50 mm']);
  expect(last.assessment.findings[0]?.worst).toBe('at wind 10 m/s');
  expect(shown(last, 'swing')).toBe('20 to 60 mm');
});

test('the good neighbour, whose inside is within what is allowed, stays without a finding', () => {
  const { last } = deeper(mast('wind = 0 m/s .. 20 m/s\nallowed = 60.1 mm\ndamped = 2 mm'));
  expect(findingsOf(last)).toEqual([]);
  expect(last.assessment.undecided).toEqual([]);
  expect(last.assessment.searched.map(({ rule, searched }) => `${rule}: ${searched}`)).toEqual([
    expect.stringMatching(/^gusts: searched \d+ points$/),
  ]);
  // What is added to no less than nothing is never more: that is certain, and need not be searched.
  expect(last.assessment.proved).toBe(1);
});

test('a ridge between two ranges is found, and where it lies', () => {
  const { first, last } = deeper(mast('wind = 0 m/s .. 20 m/s\nstay = 0.5 m .. 0.7 m\nrequire hum <= 55 mm'));
  expect(first.assessment.requirements[0]?.holds).toBe(true);
  expect(first.assessment.requirements[0]?.worst).toBe('at stay 0.5 m and wind 0 m/s');
  const [required] = last.assessment.requirements;
  expect(required?.holds).toBe(false);
  expect(required?.shown).toBe('60 mm');
  const [, stay, wind] = /^at stay ([\d.]+) m and wind ([\d.]+) m\/s$/.exec(required?.worst ?? '') ?? [];
  expect(Number(wind) / 10).toBeCloseTo(Number(stay), 1);
});

test('what is only counted is looked at in whole numbers', () => {
  const { last } = deeper(mast('wind = 0 m/s\nstruts = 2 .. 4'));
  expect(findingsOf(last)).toEqual([]);
  expect(findingsOf(deeper(mast('wind = 0 m/s\nstruts = 2 .. 6')).last)).toEqual(['rattles: 1 m']);
});

test('what is not known inside a range only is not said to hold', () => {
  const { first, last } = deeper(mast('wind = 0 m/s .. 20 m/s\nallowed = 70 mm'));
  expect(first.assessment.undecided).toEqual([]);
  expect(last.assessment.undecided.map(({ rule, missing }) => `${rule}: ${missing}`)).toEqual(['gusts: damped']);
});

test('a search only adds: what failed at the ends still fails', () => {
  const { first, last } = deeper(mast('wind = 0 m/s .. 20 m/s\nallowed = 10 mm\nrequire stay <= 1 mm'));
  const names = ({ assessment }: Assessed) => assessment.findings.map(({ rule }) => rule);
  expect(names(first)).toEqual(['swings', 'requirement']);
  expect(names(last)).toEqual(names(first));
});

test('after any edits a deeper search says what it says of a new project', () => {
  const said = (machine: Assessed | undefined) => ({
    found: machine?.assessment.findings.map(({ rule, message, worst }) => [rule, message, worst]),
    required: machine?.assessment.requirements.map(({ holds, shown, worst, searched }) => [
      holds,
      shown,
      worst,
      searched,
    ]),
    undecided: machine?.assessment.undecided.map(({ rule, missing }) => [rule, missing]),
    searched: machine?.assessment.searched.map(({ rule, searched }) => [rule, searched]),
    swing: machine && shown(machine, 'swing'),
  });
  const uri = 'file:///mast.gusset';
  const asked = (project: Project, text: string, whole: boolean) => {
    const file = project.update(uri, text);
    const before = said(project.machines(file)[0]);
    let left = whole ? Number.POSITIVE_INFINITY : 1;
    for (const _ of project.searchDeeper(file)) if (--left === 0) break;
    return { before, after: said(project.machines(file)[0]) };
  };
  const edited = new Project(library, { read: () => undefined });
  const texts = ['0 m/s .. 20 m/s', '0 m/s .. 19 m/s', '12 m/s', '9 m/s .. 19 m/s', '0 m/s .. 20 m/s'].flatMap((wind) =>
    ['', '\nstay = 0.5 m .. 0.7 m', '\nallowed = 59 mm .. 61 mm\ndamped = 1 mm'].map((more) =>
      mast(`wind = ${wind}${more}\nrequire hum <= 55 mm`),
    ),
  );
  for (const [i, text] of texts.entries()) {
    const whole = i % 3 !== 1;
    const { after } = asked(edited, text, whole);
    const fresh = asked(new Project(library, { read: () => undefined }), text, true);
    if (whole) expect(after).toEqual(fresh.after);
  }
});

test('forty ranges in one machine are searched inside, and quickly', () => {
  const many = `${kinds}kind fleet {\n  toplevel\n  has mast*\n  total: Length = sum(m.swing for m in every mast) {\n    source defined "a test"\n  }\n}\n`;
  const masts = Array.from(
    { length: 40 },
    (_, i) => `  mast m${i} {\n    wind = 0 m/s .. 20 m/s\n    allowed = 1 m\n    damped = 1 mm\n  }`,
  );
  const text = `${many}fleet F {\n${masts.join('\n')}\n  require total <= 2.39 m\n}\n`;
  const started = performance.now();
  const { first, last } = deeper(text);
  console.info(`forty ranges: ${Math.round(performance.now() - started)} ms`);
  expect(first.assessment.requirements[0]?.holds).toBe(true);
  expect(last.assessment.requirements[0]?.holds).toBe(false);
  expect(last.assessment.requirements[0]?.shown).toBe('2.4 m');
}, 60_000);

test('up to eight ranges a search begins at every combination of ends, and beyond at those that were tried', () => {
  const points = (count: number) => {
    const masts = Array.from(
      { length: count },
      (_, i) => `  mast m${i} {\n    wind = 0 m/s .. 20 m/s\n    damped = 1 mm\n  }`,
    );
    const fleet = `${kinds}kind fleet {\n  toplevel\n  has mast*\n}\n`;
    const least = Array.from({ length: count }, (_, i) => `abs(m${i}.wind - 10 m/s)`).join(' + ');
    const { last } = deeper(
      `${fleet}fleet F {\n${masts.join('\n')}\n  require ${least} <= 1000 m/s * sin(m0.wind * 1 s / 1 m)^2 + 2000 m/s\n}\n`,
    );
    const [required] = last.assessment.requirements;
    return Number(/searched (\d+) points/.exec(required?.searched ?? '')?.[1]);
  };
  const [seven, eight, nine] = [points(7), points(8), points(9)] as [number, number, number];
  expect(eight - seven).toBeGreaterThan((2 ** 8 - 2 ** 7) / 2);
  expect(nine).toBeLessThan(eight);
});

test('of places that are as bad the first that was looked at is told', () => {
  const flat = 'require 60 mm - max(abs(wind - 10 m/s) - 3 m/s, 0 m/s) * 4 ms <= 50 mm';
  const [required] = deeper(mast(`wind = 0 m/s .. 20 m/s\n${flat}`)).last.assessment.requirements;
  expect(required?.shown).toBe('60 mm');
  expect(required?.worst).toBe('at wind 7.5 m/s');
});

test('what was computed for each point on the way is let go of', () => {
  const bent = mast('wind = 0 m/s .. 20 m/s\nrequire bend(by: 20 m - wind * 1 s) <= 1 m').replace(
    '  damped: Length?',
    '  bend(by: Length): Length = 60 mm - abs(wind * 1 s - by) / 250 {\n    source defined "a test"\n  }\n  damped: Length?',
  );
  const { last } = deeper(bent);
  const [required] = last.assessment.requirements;
  expect(required?.shown).toBe('60 mm');
  const called = [...cellsOf(last.tree).values.values()].filter((cell) => cell.called);
  // Those at the two ends, and where it is worst.
  expect(called.length).toBeGreaterThan(0);
  expect(called.length).toBeLessThan(6);
});
