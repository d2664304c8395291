import { describe, expect, test } from 'vitest';
import { deviationsOf } from '../../language/compute/measurements.ts';
import { bench, findingsOf, machineIn, mistakesIn, shown } from '../support.ts';

const with_ = (from: string, to: string) => {
  if (!bench.includes(from)) throw new Error(`the bench has no ${from}`);
  return bench.replace(from, to);
};

test('the bench itself: every rule holds', () => {
  const machine = machineIn(bench);
  expect(mistakesIn(bench)).toEqual([]);
  expect(findingsOf(machine)).toEqual([]);
  expect(machine.assessment.undecided).toEqual([]);
  expect(machine.assessment.held).toBeGreaterThan(20);
});

describe('unknown and undecided', () => {
  test('what is not given is named where it would be given, and what depends on it names it', () => {
    const text = with_('      area = 2.5 mm^2\n', '');
    expect(mistakesIn(text)).toEqual(['21: Not given yet: area. What depends on it is not known.']);
    const { undecided } = machineIn(text).assessment;
    expect(undecided.find((u) => u.rule === 'wire_overloaded')?.missing).toEqual(['bed_power.wire.area']);
  });

  test('a default that leads to nothing leaves its value to be given', () => {
    const lone = 'machine Lone {\n  ambient = 20 degC\n  envelope {\n    tool = 60 mm x 80 mm x 70 mm\n  }\n}\n';
    const { undecided } = machineIn(lone).assessment;
    expect(undecided.find((u) => u.rule === 'tool_hits_side')?.missing).toEqual(['envelope.travel', 'envelope.room']);
  });

  test('an empty machine is not a passing machine', () => {
    const { assessment } = machineIn('machine Empty {\n}\n');
    expect(assessment.held).toBe(0);
    expect(mistakesIn('machine Empty {\n}\n')[0]).toContain('Not given yet: ambient');
  });

  test('a sum over partly unknown values gives bounds, and a limit below them is decided', () => {
    const priced = with_('      power = 250 W\n', '      power = 250 W\n      price = 20 EUR\n');
    expect(shown(machineIn(priced), 'cost')).toBe('at least 20 EUR');
    const [over] = machineIn(priced.replace('  bed {', '  require cost <= 15 EUR\n  bed {')).assessment.requirements;
    expect(over?.holds).toBe(false);
    const [within] = machineIn(priced.replace('  bed {', '  require cost <= 25 EUR\n  bed {')).assessment.requirements;
    expect(within?.holds).toBeUndefined();
    expect(within?.missing).toContain('bed.plate.price');
  });

  test('what may or may not belong to a count leaves it between two bounds', () => {
    const open = with_('      area = 2.5 mm^2\n', '');
    const counted = (limit: string) => {
      const asked = `  require count(w for w in every wire where w.area > 1 mm^2) ${limit}\n  bed {`;
      const [requirement] = machineIn(open.replace('  bed {', asked)).assessment.requirements;
      return requirement;
    };
    expect(counted('<= 1')?.holds).toBe(true);
    expect(counted('<= 0')?.holds).toBeUndefined();
    expect(counted('<= 0')?.missing).toEqual(['bed_power.wire.area']);
    expect(counted('>= 2')?.holds).toBe(false);
  });

  test('a price that depends on a range is shown from one end to the other', () => {
    const budget = '  budget {\n    other_power = 0 W\n    kilowatt_hour = 1 EUR\n  }\n  bed {';
    const text = with_('  bed {', budget).replace(/ambient = .*/, 'ambient = 10 degC .. 30 degC');
    expect(shown(machineIn(text), 'budget.cost_per_hour')).toMatch(/^0\.\d\d to 0\.\d\d EUR$/);
  });

  test('two currencies meet only by a stated rate', () => {
    const two = with_('      power = 250 W\n', '      power = 250 W\n      price = 20 EUR\n').replace(
      'thickness = 3 mm\n',
      'thickness = 3 mm\n      price = 10.80 USD\n',
    );
    expect(shown(machineIn(two), 'cost')).toContain('without a stated rate');
    expect(shown(machineIn(`rate 1 EUR = 1.08 USD on 2026-03-02\n${two}`), 'cost')).toBe('at least 32.40 USD');
  });
});

describe('what every block has', () => {
  const asker = (type: string, formula: string) =>
    `part mine is heater {\n  power = 20 W\n}\n${with_('  bed {', '  asker {\n  }\n  bed {').replace('    heater {', '    heater is mine {')}
/// Asks.
kind asker {
  inside machine
  /// An answer.
  answer: ${type} = ${formula} {
    source defined "a question of a test"
  }
}
`;

  test('the part that it starts from, by name; none where it starts from a kind alone', () => {
    const heaters = 'each(h.part for h in every heater)';
    expect(shown(machineIn(asker('list of Text', heaters)), 'asker.answer')).toBe('[mine]');
    const plates = 'any(given(p.part) for p in every plate)';
    expect(shown(machineIn(asker('YesNo', plates)), 'asker.answer')).toBe('no');
  });

  test('a price its currency', () => {
    expect(shown(machineIn(asker('YesNo', '(2 EUR).currency == (3 EUR).currency')), 'asker.answer')).toBe('yes');
    expect(shown(machineIn(asker('YesNo', '(2 EUR).currency == (3 USD).currency')), 'asker.answer')).toBe('no');
    expect(mistakesIn(asker('Text', '(2 W).currency')).join()).toContain('no .currency');
  });

  test('what a list of blocks asks to show must be values of theirs', () => {
    const text = asker('list of heater', 'each(h for h in every heater)').replace(
      '    source defined "a q',
      '    shown power, wats\n    source defined "a q',
    );
    expect(mistakesIn(text).join()).toContain('A heater has no value called wats.');
  });
});

describe('a text with values in it', () => {
  const labelled = (text: string, rest = '') => `${bench}
/// A label.
kind label {
  inside machine
  /// What it says.
  says: Text = ${text} {
    source defined "a text of a test"
  }
  /// How wide it is.
  width: Length default 20 mm
  /// The same, said.
  in_words(of: Length): Text = "{of} wide" {
    source defined "a text of a test"
  }
${rest}}
machine Shelf {
  ambient = 20 degC
  label {
  }
}
`;
  const said = (text: string, rest = '') => shown(machineIn(labelled(text, rest), 'Shelf'), 'label.says');

  test('shows them in their units', () => {
    expect(said('"{width}, in {ambient}"')).toBe('20 mm, in 20 °C');
    expect(said('if width > 10 mm then "wide: {width}" else "narrow"')).toBe('wide: 20 mm');
    expect(said('in_words(of: 2 * width)')).toBe('40 mm wide');
    expect(said('"\\{width}"')).toBe('{width}');
  });

  test('is not known where one of them is not', () => {
    expect(said('"{height} high"', '  /// How high it is.\n  height: Length\n')).toBe('not known');
  });

  test('is checked as any expression is', () => {
    expect(mistakesIn(labelled('"{widht} wide"')).join()).toContain('Nothing is called widht');
    expect(mistakesIn(labelled('"{width +} wide"')).join()).toContain('is not an expression');
  });

  test('in the block of a slot it sees what holds it, calls by name included', () => {
    const slot = '  has sticker: label_on_label {\n    reads = "{in_words(of: width / 2)}, on {holder.name}"\n  }\n';
    const kind =
      '/// A label on a label.\nkind label_on_label {\n  inside label\n  /// What it says.\n  reads: Text\n}\n';
    const machine = machineIn(`${labelled('"none"', slot)}${kind}`, 'Shelf');
    expect(shown(machine, 'label.sticker.reads')).toBe('10 mm wide, on label');
  });
});

describe('rings', () => {
  test('among values', () => {
    const text = with_('power = 250 W', 'power = label_current * voltage');
    expect(findingsOf(machineIn(text))).toEqual([
      'not_computable: this value depends on itself: bed.heater.label_current → bed.heater.power → bed.heater.label_current',
    ]);
  });

  test('a choice may not go by a name that already means something', () => {
    const text = '/// A.\nkind lock is component {\n  by: one of silicone, spring\n}\n';
    expect(mistakesIn(text)).toEqual(['3: silicone already means something else here: give this choice another name.']);
  });

  test('among formulas of a kind', () => {
    const text = '/// A.\nkind loop is component {\n  a: Power = b\n  b: Power = a\n}\n';
    expect(mistakesIn(text)).toEqual(['3: These formulas lead back to themselves: a → b → a.']);
  });

  test('among parts, kinds and files', () => {
    expect(mistakesIn('part egg is hen {\n}\npart hen is egg {\n}\n')[0]).toBe(
      '1: egg starts from itself, through hen.',
    );
    expect(mistakesIn('kind p is q {\n}\nkind q is p {\n}\n')[0]).toBe('1: p starts from itself: p → q → … → p.');
    const files = { 'a.gusset': 'use "./b.gusset"\n', 'b.gusset': 'use "./a.gusset"\n' };
    expect(mistakesIn(files)).toEqual(['1: These files use each other in a ring: a.gusset → b.gusset → a.gusset.']);
  });
});

describe('variants, parts and files', () => {
  const variant = `${bench}
machine Glass is Bench {
  bed {
    plate {
      thickness = 6 mm
    }
    no cutoff
  }
}
`;

  test('nested blocks override, what is removed is gone, the base stays as it was', () => {
    expect(shown(machineIn(variant, 'Glass'), 'bed.plate.thickness')).toBe('6 mm');
    expect(shown(machineIn(variant, 'Bench'), 'bed.plate.thickness')).toBe('3 mm');
    expect(machineIn(variant, 'Glass').tree.children.get('bed')?.children.has('cutoff')).toBe(false);
  });

  test('references lead to the variant’s own blocks', () => {
    const twice = `${bench}\nmachine Strong is Bench {\n  bed {\n    heater {\n      power = 300 W\n    }\n  }\n}\n`;
    expect(shown(machineIn(twice, 'Bench'), 'bed_power.current')).toBe('10.3 A');
    expect(shown(machineIn(twice, 'Strong'), 'bed_power.current')).toBe('12.3 A');
  });

  test('parts start from parts', () => {
    const text = `part mat is mat_24v_250w {\n  price = 20 EUR\n}\npart cheap_mat is mat {\n  price = 12 EUR\n}\n${with_('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is cheap_mat')}`;
    expect(shown(machineIn(text), 'bed.heater.price')).toBe('12 EUR');
    expect(shown(machineIn(text), 'bed.heater.power')).toBe('250 W');
  });

  test('a block that stands for several is counted as often', () => {
    const one = with_('      power = 250 W\n', '      power = 250 W\n      price = 20 EUR\n');
    expect(shown(machineIn(one.replace('heater {', 'heater * 2 {')), 'cost')).toBe('at least 40 EUR');
  });

  test('a change in a used file reaches every file that depends on it, however far, and use is not handed on', () => {
    const files = {
      'a.gusset': `use "./b.gusset"\n${with_('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is near')}`,
      'b.gusset': 'use "./c.gusset"\npart near is far {\n}\n',
      'c.gusset': 'part far is mat_24v_250w {\n  power = 240 W\n}\n',
    };
    const machine = machineIn(files);
    expect(shown(machine, 'bed.heater.power')).toBe('240 W');
    expect(mistakesIn({ ...files, 'a.gusset': files['a.gusset'].replace('is near', 'is far') })).toContain(
      '13: There is no part called far. Declare it, or use the file that does.',
    );
  });

  test('clashes and missing files', () => {
    expect(mistakesIn('use "./none.gusset"\n')).toEqual([
      '1: There is no file none.gusset beside this one.'.replace('none', './none'),
    ]);
    const files = {
      'a.gusset': 'use "./b.gusset"\npart twin is plate {\n}\n',
      'b.gusset': 'part twin is plate {\n}\n',
    };
    expect(mistakesIn(files)).toEqual(['2: A file used here already declares twin: give one of them another name.']);
    expect(mistakesIn('part aluminium is material {\n}\n')).toContain(
      '1: The library already has aluminium: give this one another name.',
    );
  });
});

describe('ranges and places', () => {
  test('rules try both ends of a range and name the worse', () => {
    const text = with_('ambient = 20 degC', 'ambient = 5 degC .. 40 degC').replace('power = 250 W', 'power = 95 W');
    const finding = findingsOf(machineIn(text)).find((f) => f.startsWith('warm_up_never_reaches_target'));
    // Cold air takes more heat away: the bed comes to rest lower.
    expect(finding).toBeDefined();
    const cold = findingsOf(machineIn(text.replace('5 degC .. 40 degC', '5 degC'))).find((f) =>
      f.startsWith('warm_up_never'),
    );
    expect(finding?.split(':')[1]).toBe(cold?.split(':')[1]);
  });

  test('a wire under the bed is judged at the bed’s temperature', () => {
    const pvc = with_('insulation = silicone', 'insulation = pvc');
    expect(findingsOf(machineIn(pvc)).join()).toContain('wire_insulation_too_hot');
    expect(findingsOf(machineIn(pvc.replace('      place = bed\n', ''))).join()).not.toContain(
      'wire_insulation_too_hot',
    );
  });
});

describe('open choices', () => {
  test('the smallest size that passes, and the rule that decides', () => {
    const [choice] = machineIn(with_('area = 2.5 mm^2', 'area = ?')).choices;
    expect(choice?.proposed?.text).toBe('2.5 mm^2');
    expect(choice?.obstacles.map((o) => `${o.candidate.text} ${o.rule}`)).toEqual([
      '0.75 mm^2 wire_overloaded',
      '1 mm^2 wire_overloaded',
      '1.5 mm^2 wire_unprotected',
    ]);
  });

  test('what is proposed flows on', () => {
    expect(shown(machineIn(with_('area = 2.5 mm^2', 'area = ?')), 'bed_power.wire.capacity')).toBe(
      shown(machineIn(bench), 'bed_power.wire.capacity'),
    );
  });

  test('what every candidate breaks is a finding at its own place, and stands in no way', () => {
    const text = with_('area = 2.5 mm^2', 'area = ?').replace('length = 0.9 m', 'length = 60 m');
    const machine = machineIn(text);
    expect(machine.choices[0]?.proposed?.text).toBe('4 mm^2');
    expect(machine.choices[0]?.obstacles.at(-1)?.rule).toBe('fuse_never_opens');
    expect(findingsOf(machine).join()).toContain('voltage_drop_too_high');
  });

  test('where nothing fits, it is found at the question, with why and what would have to give', () => {
    const strong = with_('area = 2.5 mm^2', 'area = ?').replace('power = 250 W', 'power = 2500 W');
    const machine = machineIn(strong);
    expect(machine.choices[0]).toMatchObject({ proposed: undefined, nearest: { text: '10 mm^2' } });
    const found = machine.assessment.findings.find(({ rule }) => rule === 'nothing_fits');
    expect(found?.message).toBe(
      'nothing fits here: each, even 10 mm²: bed_power.wire overheats: 10 mm² of silicone is rated to 40 A at 100 °C, the hottest on its way, but carries 99.1 A. 10 mm² comes nearest',
    );
    expect(found?.caution).toContain('Fire');
    expect(found?.waysOut).toEqual([
      'change something else: each that can be chosen breaks a rule about people’s safety',
    ]);
    expect(found?.severity).toBe('error');
  });

  test('a part: the cheapest that passes', () => {
    const stock =
      'part dear is blade_15a {\n  price = 2 EUR\n}\npart cheap is blade_15a {\n  price = 1 EUR\n}\npart small is blade_5a {\n  price = 0.50 EUR\n}\n';
    const machine = machineIn(stock + with_('fuse is blade_15a', 'fuse is ?'));
    expect(machine.choices[0]?.proposed?.text).toBe('cheap');
    expect(machine.choices[0]?.obstacles[0]).toMatchObject({ rule: 'fuse_too_small', candidate: { text: 'small' } });
    expect(shown(machine, 'bed_power.fuse.price')).toBe('1 EUR');
  });

  test('what no part brings rules no part out', () => {
    const machine = machineIn(
      bench.replace('fuse is blade_15a', 'fuse is blade_15a\n    relay is ?').replace('fuse, ', 'fuse, relay, '),
    );
    expect(findingsOf(machine).join()).toContain('relay_not_controlled');
    expect(machine.choices[0]?.proposed?.text).toBe('relay_coil_24v_16a');
  });

  test('a mistake elsewhere, which the choice hardly bears on, does not stand in its way', () => {
    const weak =
      'part weak is relay_dc_25a {\n  rated_current = 3 A\n}\n' +
      bench.replace('fuse is blade_15a', 'fuse is ?\n    relay is weak').replace('fuse, ', 'fuse, relay, ');
    const machine = machineIn(weak);
    expect(findingsOf(machine).join()).toContain('relay_overloaded');
    expect(machine.choices[0]?.proposed?.text).toBe('blade_15a');
    const area = machineIn(weak.replace('fuse is ?', 'fuse is blade_15a').replace('area = 2.5 mm^2', 'area = ?'));
    expect(area.choices[0]?.proposed?.text).toBe('2.5 mm^2');
  });

  test('a part that is still open has no rating yet, rather than none', () => {
    const own = 'kind odd_fuse is fuse {\n}\n';
    const machine = machineIn(own + with_('fuse is blade_15a', 'odd_fuse fuse is ?'));
    expect(machine.choices[0]).toMatchObject({ proposed: undefined, nearest: undefined });
    expect(findingsOf(machine).join()).not.toContain('fuse_not_rated_for_dc');
    const undecided = machine.assessment.undecided.find((u) => u.rule === 'fuse_not_rated_for_dc');
    expect(undecided?.missing).toEqual(['bed_power.fuse.rated_dc_voltage']);
  });
});

describe('acceptances and measurements', () => {
  const thin = with_('area = 2.5 mm^2', 'area = 0.75 mm^2');
  const accepting = (text: string) => thin.replace('area = 0.75 mm^2', `area = 0.75 mm^2\n      accept ${text}`);

  test('stays listed with its reason, and lapses when the value grows worse', () => {
    const [kept] = machineIn(accepting('wire_overloaded at 10.2 A because "short runs"')).assessment.findings;
    expect(kept?.accepted).toMatchObject({ reason: 'short runs', lapsed: undefined });
    const [lapsed] = machineIn(accepting('wire_overloaded at 9 A because "short runs"')).assessment.findings;
    expect(lapsed?.accepted?.lapsed).toBe('accepted at 9 A, now 10.1 A');
  });

  test('what was measured belongs to the machine that was built: a variant is computed anew, and knows of no measurement', () => {
    const built = with_('power = 250 W', 'power = 250 W\n      measured label_current = 10.1 A on 2026-03-02 in place');
    const stronger = `${built}machine Stronger is Bench {\n  bed {\n    heater {\n      power = 300 W\n    }\n  }\n}\n`;
    expect(shown(machineIn(stronger, 'Bench'), 'bed.heater.label_current')).toBe('10.1 A');
    const variant = machineIn(stronger, 'Stronger');
    expect(shown(variant, 'bed.heater.label_current')).toBe('12.5 A');
    expect(deviationsOf(variant)).toEqual([]);
    const again = `${stronger}machine Third is Stronger {\n}\n`;
    expect(shown(machineIn(again, 'Third'), 'bed.heater.label_current')).toBe('12.5 A');
    // The variant has its own measurement, and a machine that stands on a site unchanged is the one that was built.
    const own = stronger.replace(
      'power = 300 W',
      'power = 300 W\n      measured label_current = 12 A on 2026-04-01 in place',
    );
    expect(shown(machineIn(own, 'Stronger'), 'bed.heater.label_current')).toBe('12 A');
    const site = `${built}site Room {\n  mains = 230 V\n  machine left is Bench\n  machine right is Bench {\n    bed {\n      heater {\n        power = 300 W\n      }\n    }\n  }\n}\n`;
    expect(shown(machineIn(site, 'Room'), 'left.bed.heater.label_current')).toBe('10.1 A');
    expect(shown(machineIn(site, 'Room'), 'right.bed.heater.label_current')).toBe('12.5 A');
  });

  test('what is measured stands beside what is computed, or in its place', () => {
    const beside = machineIn(
      with_('power = 250 W', 'power = 250 W\n      measured label_current = 10.1 A on 2026-03-02'),
    );
    expect(shown(beside, 'bed.heater.label_current')).toBe('10.4 A');
    const inPlace = machineIn(
      with_('power = 250 W', 'power = 250 W\n      measured label_current = 10.1 A on 2026-03-02 in place'),
    );
    expect(shown(inPlace, 'bed.heater.label_current')).toBe('10.1 A');
  });
});

test('a consequence stands under its root', () => {
  const [finding, ...others] = findingsOf(machineIn(with_('voltage = 24 V', 'voltage = 12 V')));
  expect(others).toEqual([]);
  expect(finding).toContain('it takes 4 times its power, 1 kW in place of 250 W');
  expect(finding).toContain('-> supply_overloaded');
});

test('what is only advised against, or warned of, is computed all the same; a mistake is not', () => {
  const turns = (value: string) =>
    shown(machineIn(`kind reel {\n  toplevel\n  turns: Count\n}\nreel R {\n  turns = ${value}\n}\n`), 'turns');
  expect(turns('2.5')).toBe('2.5');
  expect(turns('2 kg')).toBe('not known');
});
