import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { spellingOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { fixesFor } from '../../language/judge/fixes.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { soundFixes, soundFixForChoice } from '../../language/rehearsal.ts';
import { bench, findingsOf, fixed, machineIn, read } from '../support.ts';
import { beam, yard } from './yard.ts';

const gauge = `/// A gauge.
kind gauge {
  toplevel
  /// What it is set to.
  setting: Current {
    within 0 A .. 10 A
  }
  /// What it is meant to have.
  wanted: Current
  /// What it bears.
  limit: Current default 100 A
}

/// It is set as it is meant to be.
rule gauge_set_wrong on gauge {
  holds abs(setting - wanted) <= 10 % * wanted
  warning "set to {setting}"
  at setting
  remedy setting = wanted
}

/// It bears its setting.
rule gauge_overloaded on gauge {
  holds setting <= limit
  warning "overloaded"
}
`;

/** What is offered for each machine of a text, as `MACHINE: title`. */
function offered(text: string): string[] {
  const { project, file } = read(text);
  return project.machines(file).flatMap((machine) => {
    const findings = machine.assessment.findings.flatMap((f): Finding[] => [f, ...f.consequences]);
    const fixes = findings.flatMap((finding) =>
      [...soundFixes(finding, machine, file, project)].flatMap((fix) => fix ?? []),
    );
    const choices = machine.choices.flatMap((choice) => soundFixForChoice(choice, file, project) ?? []);
    return [...fixes, ...choices].map(({ title }) => `${machine.tree.name}: ${title}`);
  });
}

const first = (text: string) => {
  const { project, file } = read(text);
  const [machine] = project.machines(file);
  const [finding] = machine?.assessment.findings ?? [];
  return machine && finding ? fixesFor(finding, machine).flatMap((tries) => [...tries].slice(0, 1)) : [];
};

describe('a fix is shown only if no machine gets a new finding', () => {
  const base = 'gauge A {\n  setting = 1 A\n  wanted = 2 A\n}\n';

  test.each<[string, string, string[]]>([
    ['where the machine stands alone it is', base, ['A: Set setting to 2 A']],
    ['not where a variant is set rightly by what the base says', `${base}gauge B is A {\n  wanted = 1 A\n}\n`, []],
    [
      'but where the variant says its own',
      `${base}gauge B is A {\n  wanted = 1 A\n  setting = 1 A\n}\n`,
      ['A: Set setting to 2 A'],
    ],
    [
      'where both are set wrongly by one text, and one value mends both, it is shown for the base; a variant writes into its own block',
      `${base}gauge B is A {\n}\n`,
      ['A: Set setting to 2 A', 'B: Set setting to 2 A'],
    ],
    ['not where another rule would be broken', base.replace('wanted = 2 A', 'wanted = 2 A\n  limit = 1.5 A'), []],
    ['not where the value is outside of what can be meant', base.replace('wanted = 2 A', 'wanted = 20 A'), []],
    ['but at its very end', base.replace('wanted = 2 A', 'wanted = 10 A'), ['A: Set setting to 10 A']],
  ])('%s', (_, machines, titles) => {
    expect(first(gauge + machines).length).toBeGreaterThan(0);
    expect(offered(gauge + machines)).toEqual(titles);
  });

  test('the flawed example is not mended where its variant would break', () => {
    const text = readFileSync(new URL('../../examples/magpie.gusset', import.meta.url), 'utf8');
    const { project, file } = read(text);
    const [magpie] = project.machines(file);
    const rule = 'driver_set_wrong';
    const finding = magpie?.assessment.findings.find((f) => f.rule === rule);
    expect(
      finding && magpie && fixesFor(finding, magpie).flatMap((tries) => [...tries].map(({ title }) => title)),
    ).toEqual(['Set setting to 1.92 A']);
    expect(finding && magpie && [...soundFixes(finding, magpie, file, project)].filter((fix) => fix)).toEqual([]);
  });

  test('an open choice is not written where a variant has to choose otherwise', () => {
    const open = bench.replace('area = 2.5 mm^2', 'area = ?');
    expect(offered(open)).toEqual(['Bench: Write 2.5 mm^2']);
    const stronger = 'machine Strong is Bench {\n  require bed_power.wire.area >= 6 mm^2\n}\n';
    expect(offered(open + stronger)).toEqual(['Strong: Write 6 mm^2']);
  });

  test('what is tried follows the text, and leaves the project as it is', () => {
    const { project, file } = read(gauge + base);
    const ask = () => {
      const [machine] = project.machines(file);
      const [finding] = machine?.assessment.findings ?? [];
      return machine && finding
        ? [...soundFixes(finding, machine, file, project)].flatMap((f) => f?.title ?? [])
        : undefined;
    };
    expect(ask()).toEqual(['Set setting to 2 A']);
    expect(file.parsed.text).toBe(gauge + base);
    expect(project.machines(file).flatMap(findingsOf)).toEqual(['gauge_set_wrong: set to 1 A']);
    project.update(file.uri, `${gauge}${base}gauge B is A {\n  wanted = 1 A\n}\n`);
    expect(ask()).toEqual([]);
    project.update(file.uri, gauge + base.replace('wanted = 2 A', 'wanted = 3 A'));
    expect(ask()).toEqual(['Set setting to 3 A']);
    project.update(file.uri, gauge + base.replace('setting = 1 A', 'setting = 2 A'));
    expect(ask()).toBeUndefined();
  });

  describe('it is tried on the other files at hand', () => {
    const other = (text: string) => ({
      'a.gusset': gauge + base,
      'b.gusset': `use "./a.gusset"\n${text}`,
    });
    /** What is offered for the first file, with the other one at hand. */
    const offeredBeside = (text: string, to?: string) => {
      const { project, file } = read(other(text));
      project.file('file:///b.gusset');
      const titles = () => {
        const [machine] = project.machines(file);
        const [finding] = machine?.assessment.findings ?? [];
        return machine && finding
          ? [...soundFixes(finding, machine, file, project)].flatMap((f) => f?.title ?? [])
          : undefined;
      };
      const first = titles();
      if (to === undefined) return first;
      project.update('file:///b.gusset', other(to)['b.gusset']);
      return [first, titles()];
    };
    const fix = ['Set setting to 2 A'];

    test.each<[string, string, string[]]>([
      ['one that starts from the machine and wants what it has', 'gauge B is A {\n  wanted = 1 A\n}\n', []],
      ['one that says its own', 'gauge B is A {\n  wanted = 1 A\n  setting = 1 A\n}\n', fix],
      ['one that has nothing to do with it', 'gauge B {\n  setting = 1 A\n  wanted = 1 A\n}\n', fix],
      ['one that it would mend as well', 'gauge B is A {\n}\n', fix],
    ])('%s', (_, text, titles) => {
      expect(offeredBeside(text)).toEqual(titles);
    });

    test('and follows what is edited there', () => {
      const wants = (current: string) => `gauge B is A {\n  wanted = ${current}\n}\n`;
      expect(offeredBeside(wants('1 A'), wants('2 A'))).toEqual([[], fix]);
      expect(offeredBeside(wants('2 A'), wants('1 A'))).toEqual([fix, []]);
    });

    test('and those that use it through another file', () => {
      const uses = (...files: string[]) => files.map((name) => `use "./${name}.gusset"\n`).join('');
      const { project, file } = read({
        'a.gusset': uses('kinds') + base,
        'b.gusset': `${uses('kinds', 'a')}gauge B is A {\n}\n`,
        'c.gusset': `${uses('kinds', 'b')}gauge C is B {\n  wanted = 1 A\n}\n`,
        'kinds.gusset': gauge,
      });
      const [machine] = project.machines(file);
      const [finding] = machine?.assessment.findings ?? [];
      const titles = () =>
        machine && finding && [...soundFixes(finding, machine, file, project)].flatMap((f) => f?.title ?? []);
      project.file('file:///b.gusset');
      expect(titles()).toEqual(fix);
      project.file('file:///c.gusset');
      expect(titles()).toEqual([]);
      project.forget('file:///c.gusset');
      expect(titles()).toEqual(fix);
    });
  });
});

describe('a way out', () => {
  const gauges = (rest: string, remedy: string) => `sizes widths: Length = [1 mm, 2 mm, 4 mm, 8 mm] {
  source practice "a test"
}
/// What may blow.
kind link {
  inside panel
  /// What it blows at.
  limit: Current {
    protects
  }
  /// Whether somebody looked at it.
  seen: YesNo default no
}
part link_1a is link {
  limit = 1 A
}
part link_5a is link {
  limit = 5 A
}
part link_9a is link {
  limit = 9 A
}
/// What carries a current.
kind strip {
  inside panel
  width: Length {
    sizes widths
  }
  thickness: Length default 1 mm
  current: Current
  density: CurrentDensity = current / (width * thickness)
}
/// Holds both.
kind panel {
  toplevel
  has link?
  has strip*
  row: list of strip
  links: list of link default []
}
/// A strip is not too thin.
rule strip_thin on strip {
  holds density <= 2 A/mm^2
  warning "{density}"
  source practice "a test"
  ${remedy}
}
/// A link bears what flows.
rule link_weak on panel {
  when given(link)
  holds link.limit >= 5 A
  warning "it blows at {link.limit}"
  source practice "a test"
  remedy link
}
/// There is a link.
rule link_missing on panel {
  holds given(link)
  warning "there is none"
  source practice "a test"
  remedy link
}
/// A link stands in the list.
rule link_idle on panel {
  when given(link)
  holds link in links
  warning "it does nothing"
  source practice "a test"
  remedy links with link
}
/// Somebody looked at it.
rule link_unseen on link {
  holds seen
  warning "nobody looked"
  source practice "a test"
  remedy seen = yes once "{name} was looked at"
}
${rest}`;
  const strip = (lines: string) => `  strip s {\n    current = 6 A\n    ${lines}\n  }\n`;
  const panel = (lines: string) => `panel P {\n${lines}}\n`;
  const link = '  link is link_5a {\n    seen = yes\n  }\n  links = [link]\n';

  test.each<[string, string, string, string[]]>([
    [
      'takes the nearest size that passes, and says what it does',
      'remedy width',
      `${link}${strip('width = 2 mm')}  row = [s]\n`,
      ['P: Take 4 mm for width: density 3 A/mm² → 1.5 A/mm²'],
    ],
    [
      'sets the nearest number that passes, rounded to the safe side',
      'remedy thickness',
      `${link}${strip('width = 2 mm')}  row = [s]\n`,
      ['P: Set thickness to 1.5 mm: density 3 A/mm² → 2 A/mm²'],
    ],
    [
      'offers each of several, in their order',
      'remedy current\n  remedy width',
      `${link}${strip('width = 2 mm')}  row = [s]\n`,
      ['P: Set current to 4 A: density 3 A/mm² → 2 A/mm²', 'P: Take 4 mm for width: density 3 A/mm² → 1.5 A/mm²'],
    ],
    [
      'adds the block that is missing, with a part that passes',
      'remedy width',
      `${strip('width = 4 mm')}  row = [s]\n`,
      [],
    ],
    [
      'takes no part that lets grow what protects',
      'remedy width',
      `  link is link_1a {\n    seen = yes\n  }\n  links = [link]\n${strip('width = 4 mm')}  row = [s]\n`,
      [],
    ],
    [
      'asks for what somebody has to do first',
      'remedy width',
      `  link is link_5a\n  links = [link]\n${strip('width = 4 mm')}  row = [s]\n`,
      ['P: Set seen to yes, once link was looked at'],
    ],
    [
      'puts what stands in no list into it',
      'remedy width',
      `  link is link_5a {\n    seen = yes\n  }\n${strip('width = 4 mm')}  row = [s]\n`,
      ['P: Put link into P.links'],
    ],
  ])('%s', (_, remedy, lines, titles) => {
    expect(offered(gauges(panel(lines), remedy))).toEqual(titles);
  });
});

describe('fixes of the text never make it worse', () => {
  test.each<[string, string[]]>([
    ['machine M {\n  price = 1.20b EUR\n}\n', []],
    ['machine M {\n  price = 1.20EUR\n}\n', ['Write 1.20 EUR']],
    ['machine M {\n  size = 230mm x 20 mm\n}\n', ['Write 230 mm']],
    ['machine M {\n  accept r at 10.4A because "x"\n}\n', ['Write 10.4 A']],
    ['part a is_z pei_film {\n}\n', ['Write is']],
    ['part a pei_film {\n}\n', ['Write is']],
  ])('%s', (text, titles) => {
    const problems = spellingOf(parse(text));
    expect(problems.length).toBeGreaterThan(0);
    const fixes = problems.flatMap((problem) => problem.fixes);
    expect(fixes.map(({ title }) => title)).toEqual(titles);
    for (const { start, end, text: by } of fixes.flatMap(({ edits }) => edits))
      expect(spellingOf(parse(text.slice(0, start) + by + text.slice(end)))).toEqual([]);
  });
});

describe('the least size that passes', () => {
  const shaft = (torque: string) => `sizes bores: Length = [5 mm, 8 mm, 12 mm] {
  source practice "a test"
}
/// A shaft.
kind shaft {
  toplevel
  /// How thick it is.
  bore: Length {
    sizes bores
  }
  wanted: Length
  torque: Torque?
}
/// It is thick enough.
rule shaft_thin on shaft {
  holds bore >= wanted
  warning "{name} is {bore} thick"
  source practice "a test"
  at bore
  remedy bore
}
/// It does not break.
rule shaft_breaks on shaft {
  holds torque <= bore * 1 N
  error "{name} breaks"
  caution "Pieces fly: stand aside."
  source practice "a test"
}
shaft S {
  bore = 5 mm
  wanted = 6 mm
${torque}}
`;

  test('is offered, unless a rule about people’s safety that rests on it cannot be decided', () => {
    expect(first(shaft('  torque = 0.001 N*m\n')).map(({ title }) => title)).toEqual(['Take 8 mm for bore']);
    expect(first(shaft(''))).toEqual([]);
  });
});

describe('fixes of a finding', () => {
  const text = yard(beam('a', 'load = 123.456 N\ndepth = 30 mm'));

  test('set the remedy’s value, so rounded that the rule holds with what is written', () => {
    const mended = fixed(text);
    expect([...mended.keys()]).toEqual(['Set depth to 40 mm', 'Set good_for to 124 N']);
    expect(findingsOf(machineIn(mended.get('Set depth to 40 mm') as string))).toHaveLength(1);
    for (const title of mended.keys()) expect(findingsOf(machineIn(mended.get(title) as string)).length).toBe(1);
  });

  test('write in place where the value stands already, and in a line of its own where it is by default', () => {
    const mended = fixed(text);
    expect(mended.get('Set depth to 40 mm')).toBe(text.replace('depth = 30 mm', 'depth = 40 mm'));
    expect(mended.get('Set good_for to 124 N')).toBe(
      text.replace('    depth = 30 mm\n', '    depth = 30 mm\n    good_for = 124 N\n'),
    );
  });
});

test('a value that may not be passed is rounded down, to the fewest digits that hold', () => {
  const lamp = `kind lamp {
  toplevel
  heat: Power
  most: Power
}
rule lamp_hot on lamp {
  holds heat <= most
  error "{heat}"
  source practice "a test"
  remedy heat = most
}
lamp L {
  heat = 20 W
  most = 9.876 W
}
`;
  expect([...fixed(lamp).keys()]).toEqual(['Set heat to 9.83 W']);
});

describe('a new block for a list', () => {
  const panel = (lines: string) => `kind piece {
}
kind stop is piece {
}
kind burden is piece {
}
kind bay is piece {
  has stop?
  has burden*
}
part small_stop is stop {
}
kind panel {
  toplevel
  has bay*
  has stop*
  has burden*
  path: list of piece
  others: list of piece default []
}
rule stop_missing on panel {
  holds any(e is stop for e in path)
  error "none"
  source practice "a test"
  remedy path with stop
}
panel P {
${lines}}
`;
  const mended = (lines: string) => {
    const text = fixed(panel(lines)).get('Put a stop small_stop into P.path') ?? '';
    return text.slice(text.indexOf('panel P {\n') + 'panel P {\n'.length, -2);
  };

  test('stands with the last of the list, where that stands in a block with a role for it that is free', () => {
    expect(mended('  bay b {\n    burden l\n  }\n  path = [b.l]\n')).toBe(
      '  bay b {\n    burden l\n    stop is small_stop\n  }\n  path = [b.stop, b.l]\n',
    );
  });

  test('else beside the list', () => {
    expect(mended('  burden l\n  path = [l]\n')).toBe('  burden l\n  path = [stop, l]\n  stop is small_stop\n');
    expect(mended('  bay b {\n    burden l\n    stop\n  }\n  path = [b.l]\n  others = [b.stop]\n')).toContain(
      '  path = [stop, b.l]\n',
    );
  });

  test('has a name of its own where the list is in a block that knows the usual one', () => {
    const text = `kind piece {
}
kind stop is piece {
}
kind burden is piece {
}
part small_stop is stop {
}
kind way is piece {
  has stop?
  path: list of piece
}
kind panel {
  toplevel
  has way*
  has stop*
  has burden*
}
rule stop_missing on way {
  holds any(e is stop for e in path)
  error "none"
  source practice "a test"
  remedy path with stop
}
`;
    const mended = (lines: string) => [...fixed(`${text}panel P {\n${lines}}\n`)];
    const [[, anew] = []] = mended('  burden l\n  way w { path = [l] }\n');
    expect(anew).toContain('path = [stop_2, l]');
    expect(anew).toContain('stop stop_2 is small_stop');
    // One that another list has, which begins alike, can stand in both.
    const shared = mended(
      '  burden l\n  burden k\n  stop s\n  way v { path = [l, s, k] }\n  way w { path = [l, k] }\n',
    );
    expect(shared[0]?.[0]).toBe('Put s into w.path');
  });
});

describe('numbers of a block', () => {
  const kinds = `kind lamp {
  inside room
  limit: Length?
  width: Length default 1 m
  order width
}
part wide_lamp is lamp {
  width = 2 m
}
kind room {
  toplevel
  has lamp
  low: Length?
  high: Length?
  asks: Length default 1 m
}
rule lamp_limited on lamp {
  holds not given(limit) or limit >= 3 m
  error "no"
  source practice "a test"
  remedy self
}
rule room_open on room {
  holds given(low) and given(high) and low < high
  warning "open"
  source practice "a test"
  remedy low = asks
  remedy high = 2 * asks
}
`;
  test('go with the part that stands there, where it is the block that says them', () => {
    const fixes = fixed(`${kinds}room R {\n  lamp is wide_lamp { limit = 1 m }\n  low = 1 m\n  high = 2 m\n}\n`);
    expect([...fixes.keys()][0]).toMatch(/^Take wide_lamp as it is, without numbers of its own/);
    expect([...fixes.values()][0]).toContain('  lamp is wide_lamp\n');
  });

  test('are set together where neither mends anything alone, in place of what is said not to be there', () => {
    const fixes = fixed(`${kinds}room R {\n  lamp is wide_lamp\n  no low\n}\n`);
    expect([...fixes.keys()]).toEqual(['Set low to 1 m, and high to 2 m']);
    expect([...fixes.values()][0]).toContain('  low = 1 m\n  high = 2 m\n}');
  });
});

test('parts that could stand there are tried by turns, of its own kind first, of however many of each there are', () => {
  const part = (name: string, kind: string, heat: number) => `part ${name} is ${kind} {\n  heat = ${heat} W\n}\n`;
  const text = `kind hall {
  toplevel
  has lamp*
}
kind lamp {
  heat: Power
  limit: Power default 10 W
  order heat
}
kind torch is lamp {
}
rule lamp_hot on lamp {
  holds heat <= limit
  error "{name} has {heat}"
  source practice "a test"
  remedy self
}
${part('big', 'lamp', 50)}${part('cool', 'lamp', 5)}${part('cooler', 'lamp', 3)}${part('coolest', 'lamp', 1)}${part('spark', 'torch', 4)}
hall H {
  lamp a is big
}
`;
  const { project, file } = read(text);
  const [machine] = project.machines(file);
  const [finding] = machine?.assessment.findings ?? [];
  if (!machine || !finding) throw new Error('nothing is found');
  const titles = fixesFor(finding, machine).flatMap((tries) => [...tries].map(({ title }) => title));
  expect(titles.filter((title) => title.startsWith('Take'))).toEqual([
    'Take cool',
    'Take spark',
    'Take cooler',
    'Take coolest',
  ]);
});

test('another part is offered without the numbers of the block too, where these belong to what stands there now', () => {
  const text = `kind hall {
  toplevel
  has lamp
}
kind lamp {
  heat: Power
  limit: Power default 10 W
  order heat
}
rule lamp_hot on lamp {
  holds heat <= limit
  error "{name} has {heat}"
  source practice "a test"
  remedy self
}
part big is lamp {
  heat = 50 W
}
part cool is lamp {
  heat = 5 W
}
hall H {
  lamp is big { limit = 1 W }
}
`;
  expect(offered(text)).toEqual(['H: Take cool as it is, without numbers of its own: heat 50 W → 5 W']);
  // Where the block says nothing of its own there is nothing to leave out.
  expect(offered(text.replace(' { limit = 1 W }', ''))).toEqual(['H: Take cool: heat 50 W → 5 W']);
});

test('a value that two rules let be chosen is set so that both hold', () => {
  const rule = (name: string, least: string) => `rule ${name} on hall {
  holds width >= ${least}
  error "{width}"
  source practice "a test"
  remedy width
}
`;
  const text = `kind hall {
  toplevel
  width: Length
}
${rule('low', '3 m')}${rule('lower', '5 m')}hall H {
  width = 1 m
}
`;
  const { project, file } = read(text);
  const [machine] = project.machines(file);
  const findings = machine?.assessment.findings ?? [];
  if (!machine) throw new Error('there is no machine');
  const titles = findings.map((finding) =>
    fixesFor(finding, machine, findings).flatMap((tries) => [...tries].slice(0, 1).map(({ title }) => title)),
  );
  expect(titles).toEqual([['Set width to 5 m'], ['Set width to 5 m']]);
});

test('what points at a block can be made to point at others of its kind, and not at its own', () => {
  const text = `kind wall {
  toplevel
  has hook*
}
kind hook {
  good_for: Mass
  load: Mass default 0 kg
  shares_with: hook?
}
rule hook_breaks on hook {
  when given(shares_with)
  holds load <= good_for + shares_with.good_for
  error "{name} breaks"
  source defined "a test"
  remedy shares_with
}
wall W {
  hook a {
    good_for = 3 kg
    load = 6 kg
    shares_with = b
  }
  hook b {
    good_for = 1 kg
  }
  hook c {
    good_for = 4 kg
  }
}
`;
  expect(offered(text)).toEqual(['W: Set shares_with to c']);
});

test('a value that two rules compute is set to what mends both', () => {
  const rule = (name: string, most: string) => `rule ${name} on hall {
  holds width <= ${most}
  error "{width}"
  source practice "a test"
  remedy width = ${most}
}
`;
  const text = `kind hall {
  toplevel
  width: Length
}
${rule('wide', '5 m')}${rule('wider', '3 m')}hall H {
  width = 6 m
}
`;
  expect(offered(text)).toEqual(['H: Set width to 3 m: width 6 m → 3 m', 'H: Set width to 3 m: width 6 m → 3 m']);
});

test('of parts one that mends what is asked of the block elsewhere too comes first', () => {
  const rule = (name: string, most: string) => `rule ${name} on lamp {
  holds heat <= ${most}
  error "{heat}"
  source practice "a test"
  remedy self
}
`;
  const part = (name: string, heat: number) => `part ${name} is lamp {\n  heat = ${heat} W\n}\n`;
  const text = `kind hall {
  toplevel
  has lamp
}
kind lamp {
  heat: Power
  order heat
}
${rule('hot', '40 W')}${rule('hotter', '20 W')}${part('big', 50)}${part('middle', 30)}${part('small', 10)}hall H {
  lamp is big
}
`;
  expect(offered(text)).toEqual(['H: Take small: heat 50 W → 10 W', 'H: Take small: heat 50 W → 10 W']);
});

test('there are as many of a block as its rule says', () => {
  const text = `kind hall {
  toplevel
  has lamp*
}
kind lamp {
}
rule dark on hall {
  holds count(l for l in every lamp) >= 3
  error "dark"
  source practice "a test"
  remedy each(l for l in every lamp).count = 3
}
hall H {
  lamp * 2
}
`;
  expect(offered(text)).toEqual(['H: Take 3 of lamp']);
});

describe('what is put into a list', () => {
  const kinds = `kind hall {
  toplevel
  has aisle*
  has shelf*
  has post*
}
kind shelf {
  has lamp*
  holds_lamps: list of lamp
}
kind aisle {
  has lamp*
  stands: list of thing
}
kind thing {
}
kind post is thing {
}
kind lamp is thing {
}
part bright is lamp {
}
rule aisle_dark on aisle {
  holds any(t is lamp for t in stands)
  error "dark"
  source practice "a test"
  remedy stands with lamp after post
}
rule parts_late on hall {
  holds all(r.stands[2] == first(q for q in every aisle).stands[2] for r in every aisle)
  error "the aisles part at once"
  source practice "a test"
}
`;
  test('stands in the block that has the list, where that has room for it', () => {
    const text = `${kinds}hall H {\n  post first_post\n  post last_post\n  aisle a { stands = [first_post, last_post] }\n}\n`;
    expect(offered(text)).toEqual(['H: Put a lamp bright into a.stands']);
    const { project, file } = read(text);
    const [machine] = project.machines(file);
    const [finding] = machine?.assessment.findings ?? [];
    const [fix] = machine && finding ? fixesFor(finding, machine).flatMap((tries) => [...tries]) : [];
    expect(fix && withEdits(fix.edits, text)).toContain('lamp is bright');
    expect(fix && withEdits(fix.edits, text)).toContain('stands = [first_post, lamp, last_post]');
  });

  test('is what stands in no such list, though another holds it; behind what several lists begin with, if need be', () => {
    const text = `${kinds}hall H {
  post first_post
  post middle_post
  post last_post
  shelf {
    lamp spare
    holds_lamps = [spare]
  }
  aisle a { stands = [first_post, middle_post, last_post] }
  aisle b {
    lamp is bright
    stands = [first_post, middle_post, lamp]
  }
}
`;
    const { project, file } = read(text);
    const [machine] = project.machines(file);
    const [finding] = machine?.assessment.findings ?? [];
    if (!machine || !finding) throw new Error('nothing is found');
    const tried = fixesFor(finding, machine).flatMap((tries) => [...tries].map(({ edits }) => withEdits(edits, text)));
    expect(tried[0]).toContain('aisle a { stands = [first_post, shelf.spare, middle_post, last_post] }');
    expect(tried[1]).toContain('aisle a { stands = [first_post, middle_post, shelf.spare, last_post] }');
  });
});
