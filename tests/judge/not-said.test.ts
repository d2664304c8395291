import { describe, expect, test } from 'vitest';
import { pathOfNotSaid, questionWords, waitingWords } from '../../language/judge/not-said.ts';
import { bench, machineIn, mistakesIn, read } from '../support.ts';

const asked = (text: string, name?: string) =>
  machineIn(text, name).assessment.notSaid.map((each) => `${pathOfNotSaid(each)}: ${each.question}`);

/** The lines of the list that speak of some block. */
const of = (block: string, text: string) => asked(text).filter((line) => line.startsWith(block));

test.each([
  ['How high it is.', 'How high is it?'],
  ['How wide and how deep it is: the box around it.', 'How wide and how deep is it?'],
  ['What it is made of.', 'What is it made of?'],
  ['How far its edge is above the bench.', 'How far is its edge above the bench?'],
  ['How far it can be moved. Left out where it is fixed.', 'How far can it be moved?'],
  ['Which of its two ends is free.', 'Which of its two ends is free?'],
  ['Length where it is bent.', 'Length where it is bent?'],
])('what is said as “%s” is asked as “%s”', (said, question) => {
  const kinds = `kind hall {\n  toplevel\n  has lid\n}\nkind lid {\n  /// ${said}\n  high: Length\n}\n`;
  const rule = 'rule lid_low on lid {\n  holds high > 1 m\n  warning "{name} is {high}"\n}\n';
  expect(asked(`${kinds}${rule}hall H {\n  lid { }\n}\n`)).toEqual([`lid.high: ${question}`]);
});

describe('what kinds expect is asked until it is said', () => {
  const relations: readonly [what: string, block: string, text: string, answer: string][] = [
    [
      'a load is fed',
      'lamp.feed: What feeds it?',
      'light lamp is strip_24v_300mm',
      'circuit lamp_power { path = [psu, lamp] }',
    ],
    [
      'an element stands in a path',
      'spare.feed: In the path of which circuit',
      'fuse spare is blade_5a',
      'light lamp is strip_24v_300mm\n  circuit lamp_power { path = [psu, spare, lamp] }',
    ],
    [
      'a wire lies in a path, or earths',
      'loose.feed: In the path of which circuit',
      'wire loose {\n    area = 1 mm^2\n    length = 1 m\n  }',
      'light lamp is strip_24v_300mm\n  circuit lamp_power { path = [psu, loose, lamp] }',
    ],
    [
      'a supply is fed',
      'other.feed: What feeds it: a circuit, or a plug',
      'supply other is supply_24v_150w',
      'supply other { own_plug = yes }',
    ],
    [
      'a switch is read',
      'end.input: Which input reads it?',
      'limit_switch end',
      'limit_switch end { input = controller.x_input }',
    ],
    [
      'a sensor is read',
      'bed.sensor.input: Which input reads it?',
      '',
      'bed { sensor { input = controller.bed_input } }',
    ],
  ];
  test.each(relations)('%s', (_, line, text, answer) => {
    const board = '  board controller is board_4_axis\n}\n';
    const open = bench.replace(/\}\n$/, `  ${text}\n${board}`);
    const block = line.split(':')[0] as string;
    const told = machineIn(open).assessment.findings.filter(
      ({ instance }) => block === `${instance.label}.${block.split('.').at(-1)}`,
    );
    const times = asked(open).filter((each) => each.startsWith(line)).length;
    // Once: by the question, or by a rule that finds it.
    expect(times + told.length).toBe(1);

    const whole = `${open}machine Answered is Bench {\n  ${answer}\n}\n`;
    expect(asked(whole, 'Answered').filter((each) => each.startsWith(`${block}:`))).toEqual([]);
  });

  test('a motor is driven; an axis has a drive, a guide and a way to find its end', () => {
    const axis = (inside: string) =>
      bench.replace(/\}\n$/, `  moving_bed motion {\n    x {\n      ${inside}\n    }\n  }\n}\n`);
    expect(of('motion.x', axis('travel = 200 mm')).toSorted()).toEqual([
      'motion.x.drive: What moves it?',
      'motion.x.end_found_by: What finds its end?',
      'motion.x.guide: What guides it?',
    ]);
    const driven = axis(
      'belt_drive drive {\n        motor is nema17_40mm\n      }\n      guide is rail_9mm\n      end_found_by = drive.motor',
    );
    expect(of('motion.x.', driven)).toContain('motion.x.drive.motor.driver: What drives it?');
    expect(of('motion.x.guide: ', driven).concat(of('motion.x.drive: ', driven), of('motion.x.end', driven))).toEqual(
      [],
    );
  });

  test('a loose sheet is held', () => {
    const sheet = bench.replace('    heater {', '    sheet is glass_pane\n    heater {');
    const known = mistakesIn(sheet);
    expect(known.filter((line) => line.includes('no part'))).toEqual([]);
    expect(of('bed.sheet', sheet)).toEqual(['bed.sheet.held_by: What holds it down?']);
    expect(of('bed.sheet', sheet.replace('is glass_pane', 'is glass_pane { held_by = clips }'))).toEqual([]);
  });

  test('a heater is guarded: where a rule finds that it is not, that is not asked as well', () => {
    const bare = bench.replace('    cutoff is thermal_link_133c\n', '').replace('bed.cutoff, ', '');
    expect(machineIn(bare).assessment.findings.map(({ rule }) => rule)).toContain('stuck_on_unprotected');
    expect(of('bed.guard', bare)).toEqual([]);
  });
});

describe('an answer', () => {
  const lamp = bench.replace(/\}\n$/, '  light lamp is strip_24v_300mm\n}\n');
  test('that there is none takes the question off the list', () => {
    expect(of('lamp', lamp)).toEqual(['lamp.feed: What feeds it?']);
    const none = lamp.replace('strip_24v_300mm', 'strip_24v_300mm { no feed }');
    expect(mistakesIn(none)).toEqual([]);
    expect(of('lamp', none)).toEqual([]);
  });

  test('is not asked for where a part is still open', () => {
    expect(of('lamp', lamp.replace('is strip_24v_300mm', 'is ?')).every((line) => !line.includes('guard'))).toBe(true);
  });
});

describe('what rules wait for', () => {
  const half = bench.replace('      power = 250 W\n', '');
  test('is asked by what its documentation says it is, what most wait for first', () => {
    const list = machineIn(half).assessment.notSaid;
    const power = list.find((each) => pathOfNotSaid(each) === 'bed.heater.power');
    expect(power?.question).toBe("Power at the label's voltage, with the heater as warm as the label says?");
    expect(power?.waiting).toBe(power?.undecided.length);
    expect(power?.safety).toBe(power?.undecided.filter(({ rule }) => rule.caution).length);
    expect(list.map(({ waiting }) => waiting)).toEqual(list.map(({ waiting }) => waiting).toSorted((a, b) => b - a));
  });

  test('every undecided rule that waits for something given is told by some question', () => {
    const { undecided, notSaid } = machineIn(half).assessment;
    const waiting = undecided.filter(({ missing }) => missing.length > 0);
    expect(waiting.length).toBeGreaterThan(5);
    const told = new Set(
      notSaid.flatMap((each) => each.undecided.map(({ rule, instance }) => `${rule.name} ${instance.path}`)),
    );
    expect(waiting.filter(({ rule, instance }) => !told.has(`${rule} ${instance.path}`))).toEqual([]);
  });

  test('is counted in words', () => {
    expect(waitingWords({ waiting: 0, safety: 0 })).toBe('');
    expect(waitingWords({ waiting: 1, safety: 1 })).toBe('1 rule waits, about safety');
    expect(waitingWords({ waiting: 9, safety: 2 })).toBe('9 rules wait, 2 of them about safety');
    expect(waitingWords({ waiting: 9, safety: 9 })).toBe('9 rules wait, all of them about safety');
  });
});

test('a kind of one’s own expects, and a narrower one asks in its own words', () => {
  const own = (of: string) => `/// A boat.
kind boat {
  toplevel
  /// Where it lies.
  berth: Text?
  expects given(berth), "Where does it lie?"
}
/// A small boat.
kind dinghy is boat {
  expects given(berth), "On which beach?"
}
${of} Nut {
}
`;
  expect(mistakesIn(own('boat'))).toEqual([]);
  expect(asked(own('boat'))).toEqual(['berth: Where does it lie?']);
  expect(asked(own('dinghy'))).toEqual(['berth: On which beach?']);
  expect(mistakesIn(own('boat').replace(', "Where does it lie?"', ''))).toEqual([
    '6: expects says what is to be given, and the question in words where it is not: expects given(feed), "What feeds it?"',
  ]);
});

describe('what both a kind and rules want of a kind of one’s own', () => {
  const boat = `kind boat {
  toplevel
  /// Where it lies: a quay, or a beach.
  berth: Length
  /// How heavy
  /// it is. Without its crew.
  load: Mass
  speed_limit: Speed
  expects given(berth), "How far out does it lie?"
}
rule berth_far on boat {
  holds berth < 10 m
  error "far"
  caution "A fall: it is a long way to the quay."
}
rule berth_near on boat {
  holds berth > 1 m
  warning "near"
}
rule too_heavy on boat {
  holds load < 10 kg
  warning "heavy"
}
rule too_fast on boat {
  holds speed_limit < 10 m/s
  error "fast"
  caution "A fall."
}
boat Nut {
}
`;
  const list = () => machineIn(boat).assessment.notSaid;

  test('is asked once, in the kind’s words, with the rules that wait', () => {
    const [first] = list();
    expect(first).toMatchObject({ name: 'berth', question: 'How far out does it lie?', waiting: 2, safety: 1 });
    expect(first?.undecided.map(({ rule }) => rule.name)).toEqual(['berth_far', 'berth_near']);
  });

  test('comes by how many wait, then by how many of them are about safety', () => {
    expect(list().map(({ name, waiting, safety }) => [name, waiting, safety])).toEqual([
      ['berth', 2, 1],
      ['speed_limit', 1, 1],
      ['load', 1, 0],
    ]);
  });

  test('where no kind asks, is asked by the first sentence of its documentation, or by its name', () => {
    expect(list().map(({ question }) => question)).toEqual([
      'How far out does it lie?',
      'speed limit?',
      'How heavy\nit is?',
    ]);
    const plain = boat.replace('  expects given(berth), "How far out does it lie?"\n', '');
    expect(machineIn(plain).assessment.notSaid[0]?.question).toBe('Where it lies?');
  });
});

describe('a default that only stands in', () => {
  const boat = (lines = '', more = '') => `kind boat {
  toplevel
  has mast*
  draught: Length default 1 m {
    asked "How deep does it lie?"
  }
  depth: Length = draught + 0.5 m
  crew: Count default 3 {
    asked "How many sail it?"
  }
  quay: Length
}
kind mast {
  tall: Length default 5 m {
    asked "How tall is it?"
  }
}
rule boat_deep on boat {
  holds depth < 3 m
  error "deep"
  caution "A fall."
  source practice "a test"
}
rule boat_aground on boat {
  when quay > 1 m
  holds draught < quay
  warning "aground"
  source practice "a test"
}
rule mast_tall on mast {
  holds tall < 3 m
  warning "tall"
  source practice "a test"
}
${more}boat Nut {
${lines}
}
`;
  const list = (lines?: string, more?: string) =>
    machineIn(boat(lines, more)).assessment.notSaid.map((each) => [
      pathOfNotSaid(each),
      questionWords(each),
      waitingWords(each),
    ]);

  test('is asked for by the rules that rest on it, however far, and told with what is taken', () => {
    expect(list('  quay = 2 m')).toEqual([
      ['draught', 'How deep does it lie? Until it is said: 1 m', '2 rules rest on that, 1 of them about safety'],
    ]);
    // One that does not apply rests on it as well, one that waits for something else does not.
    expect(list('  quay = 0.5 m')).toEqual([
      ['draught', 'How deep does it lie? Until it is said: 1 m', '1 rule rests on that, about safety'],
    ]);
    expect(list('')).toEqual([
      ['draught', 'How deep does it lie? Until it is said: 1 m', '1 rule rests on that, about safety'],
      ['quay', 'quay?', '1 rule waits'],
    ]);
  });

  test('is not, once it is said, where nothing rests on it, and of a block that is still open', () => {
    expect(list('  quay = 2 m\n  draught = 1 m')).toEqual([]);
    expect(list('  quay = 2 m\n  draught = 1 m\n  mast m').map(([path]) => path)).toEqual(['m.tall']);
    const parts = 'part pine is mast {\n  tall = 1 m\n}\n';
    expect(list('  quay = 2 m\n  draught = 1 m\n  mast m is ?', parts)).toEqual([]);
  });
});

test('of each block each value that one rule waits for is asked once, wherever ranges are taken', () => {
  const { notSaid } = machineIn(`kind box {
  toplevel
  width: Length
  depth: Length
  air: Temperature default 20 degC
  has lid
}
kind lid {
  width: Length
}
rule too_large on box {
  when air > 0 degC
  holds width + depth + lid.width <= 1 m
  warning "{name} is too large"
}
box B {
  air = 5 degC .. 30 degC
  lid
}
`).assessment;
  expect(
    notSaid.map(({ instance, name, waiting, undecided }) => [instance.path, name, waiting, undecided.length]),
  ).toEqual([
    ['B', 'width', 1, 1],
    ['B', 'depth', 1, 1],
    ['B.lid', 'width', 1, 1],
  ]);
});

test('what is waited for is told with its rules, and by its place in the text where as many wait', () => {
  const words = (waiting: number, safety: number) => waitingWords({ waiting, safety, taken: '1 m' });
  expect([words(1, 0), words(2, 0), words(2, 2)]).toEqual([
    '1 rule rests on that',
    '2 rules rest on that',
    '2 rules rest on that, all of them about safety',
  ]);
  expect(questionWords({ question: 'How far?' })).toBe('How far?');
});

test('what stands before a site is asked, and may be said not to be there', () => {
  const site = (more: string) => `site Shed {\n  mains_voltage = 230 V\n  breaker = 16 A\n  ${more}\n}\n`;
  const lines = (more: string) => asked(site(more), 'Shed').filter((line) => line.startsWith('residual_current'));
  expect(lines('')).toEqual([
    'residual_current: What residual current device (RCD or GFCI) stands before it, if one does?',
  ]);
  expect(lines('residual_current = 30 mA')).toEqual([]);
  expect(lines('no residual_current')).toEqual([]);
});

test('what the leads of a sensor are covered with is asked where that gets hot', () => {
  const leads = (text: string) => of('bed.sensor.lead_insulation', text);
  expect(leads(bench)).toEqual([
    'bed.sensor.lead_insulation: What are its leads covered with, up to where it is cooler?',
  ]);
  expect(leads(bench.replace('sensor is ntc_100k', 'sensor is ntc_100k { lead_insulation = glass_braid }'))).toEqual(
    [],
  );
  expect(leads(bench.replace('100 degC', '60 degC'))).toEqual([]);
});

test('which side of a supply is earthed is asked where a lead could go past a cutoff, and nowhere else', () => {
  const board = `board controller is board_5_axis {
    output bed_output { rated_current = 20 A }
  }
  wire back_wire {
    area = 2.5 mm^2
    length = 0.9 m
    insulation = silicone
  }`;
  const switched = (path: string) =>
    bench
      .replace('  circuit', `  ${board}\n  circuit`)
      .replace('path = [psu, fuse, wire, bed.cutoff, bed.heater]', path);
  const waiting = (path: string) => {
    const { project, file } = read(switched(path));
    for (const _ of project.searchDeeper(file));
    return project.machines(file).flatMap(({ assessment }) => assessment.undecided.map(({ rule }) => rule));
  };
  const rule = 'lead_bypasses_cutoff';
  expect(
    waiting('path = [psu, fuse, controller.bed_output, wire, bed.heater]\n    way_back = [bed.cutoff, back_wire]'),
  ).toContain(rule);
  expect(
    waiting('path = [psu, fuse, controller.bed_output, wire, bed.cutoff, bed.heater]\n    way_back = [back_wire]'),
  ).not.toContain(rule);
});
