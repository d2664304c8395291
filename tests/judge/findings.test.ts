import { describe, expect, test } from 'vitest';
import { findingsOf, fixed, machineIn, toldOf, undecidedOf } from '../support.ts';

/** A beam that bends, and what stands on it; a lamp that burns. */
const kinds = `/// A site of beams.
kind yard {
  toplevel
  has beam*
  has lamp*
  /// Air.
  shared air: Temperature default 20 degC
}
/// A beam.
kind beam {
  /// What it bears.
  load: Force
  /// What it is good for.
  good_for: Force default 100 N
  /// How thick it is.
  depth: Length default 50 mm
  /// What it rests on.
  rests_on: beam?
}
/// A lamp.
kind lamp {
  heat: Power
  limit: Power default 10 W
  stands_on: beam?
}
/// It bears its load.
rule beam_bends on beam {
  holds load <= good_for
  warning "{name} bears {load}, and is good for {good_for}"
  source practice "a test"
  at load
  remedy good_for = load
  remedy "take a thicker one than {depth}"
}
/// It is thick enough.
rule beam_thin on beam {
  holds depth >= 40 mm
  warning "{name} is {depth} thick"
  source practice "a test"
  remedy depth = 40 mm
}
/// What rests on a bent one is crooked.
rule beam_crooked on beam {
  when given(rests_on)
  holds rests_on.load <= rests_on.good_for
  advice "{name} is crooked"
  source practice "a test"
  follows beam_bends of rests_on
}
/// It does not burn.
rule lamp_burns on lamp {
  holds heat <= limit
  error "{name} has {heat}"
  caution "Fire: keep paper away."
  source practice "a test"
  at heat
}
`;
const yard = (body: string) => `${kinds}yard Y {\n  ${body.replaceAll('\n', '\n  ')}\n}\n`;
const judged = (body: string) => machineIn(yard(body)).assessment;
const beam = (name: string, lines: string) => `beam ${name} {\n  ${lines.replaceAll('\n', '\n  ')}\n}`;

test('the kinds of these tests have no mistake', () => {
  expect(toldOf(yard(beam('a', 'load = 1 N'))).filter(({ severity }) => severity !== 'note')).toEqual([]);
});

describe('a finding', () => {
  const [finding] = judged(beam('a', 'load = 120 N')).findings;

  test('carries its rule, how grave it is, its numbers, and ways out in words', () => {
    expect(finding).toMatchObject({
      rule: 'beam_bends',
      severity: 'warning',
      message: 'a bears 120 N, and is good for 100 N',
      waysOut: ['take a thicker one than 50 mm'],
      consequences: [],
    });
    expect(finding?.caution).toBeUndefined();
    expect(finding?.accepted).toBeUndefined();
  });

  test('one about people carries its caution', () => {
    expect(judged('lamp { heat = 12 W }').findings[0]?.caution).toBe('Fire: keep paper away.');
  });

  test('where what is compared and its limit would read alike, more digits are shown', () => {
    expect(findingsOf(machineIn(yard(beam('a', 'load = 100.01 N'))))).toEqual([
      'beam_bends: a bears 100.01 N, and is good for 100 N',
    ]);
  });

  test('exactly at the limit there is none, and rules that hold are counted', () => {
    const { findings, held } = judged(beam('a', 'load = 100 N'));
    expect(findings).toEqual([]);
    expect(held).toBe(2);
  });

  test('several stand in the order of the text', () => {
    const two = `${beam('b', 'load = 130 N\ndepth = 30 mm')}\n${beam('a', 'load = 120 N')}`;
    expect(judged(two).findings.map(({ rule, instance }) => `${instance.name} ${rule}`)).toEqual([
      'b beam_thin',
      'b beam_bends',
      'a beam_bends',
    ]);
  });
});

describe('acceptances', () => {
  const accepted = (rule: string, lines: string) => {
    const found = judged(beam('a', lines)).findings;
    return found.find((f) => f.rule === rule)?.accepted;
  };

  test('of an upper limit lapse when the value grows', () => {
    const at = (load: string) => accepted('beam_bends', `load = ${load}\naccept beam_bends at 120 N because "short"`);
    expect(at('120 N')).toMatchObject({ reason: 'short', valueless: false });
    expect(at('120 N')?.lapsed).toBeUndefined();
    expect(at('110 N')?.lapsed).toBeUndefined();
    // What was written is rounded: half a percent more is the same.
    expect(at('120.5 N')?.lapsed).toBeUndefined();
    expect(at('121 N')?.lapsed).toBe('accepted at 120 N, now 121 N');
  });

  test('of a lower limit lapse when the value shrinks', () => {
    const at = (depth: string) =>
      accepted('beam_thin', `load = 1 N\ndepth = ${depth}\naccept beam_thin at 30 mm because "so"`);
    expect(at('30 mm')?.lapsed).toBeUndefined();
    expect(at('35 mm')?.lapsed).toBeUndefined();
    expect(at('29.9 mm')?.lapsed).toBeUndefined();
    expect(at('29 mm')?.lapsed).toBe('accepted at 30 mm, now 29 mm');
  });

  test('without a value could never lapse: the present one is offered', () => {
    const text = yard(beam('a', 'load = 120 N\naccept beam_bends because "short"'));
    expect(machineIn(text).assessment.findings[0]?.accepted).toMatchObject({ reason: 'short', valueless: true });
    expect([...fixed(text).keys()]).toEqual(['Set good_for to 120 N', 'State the value accepted: 120 N']);
    expect(fixed(text).get('State the value accepted: 120 N')).toBe(
      text.replace('accept beam_bends', 'accept beam_bends at 120 N'),
    );
  });

  test('hold for the rule and the block that they name, and no other', () => {
    expect(accepted('beam_bends', 'load = 120 N\naccept beam_thin at 30 mm because "so"')).toBeUndefined();
    const two = `${beam('a', 'load = 120 N')}\n${beam('b', 'load = 120 N\naccept beam_bends at 120 N because "so"')}`;
    expect(judged(two).findings.map((f) => [f.instance.name, f.accepted?.reason])).toEqual([
      ['a', undefined],
      ['b', 'so'],
    ]);
  });

  test('of a finding about people are a note: it is never laid aside', () => {
    const [finding] = judged('lamp {\n  heat = 12 W\n  accept lamp_burns at 12 W because "seldom on"\n}').findings;
    expect(finding).toMatchObject({
      severity: 'error',
      caution: 'Fire: keep paper away.',
      accepted: { reason: 'seldom on' },
    });
  });
});

describe('consequences', () => {
  const two = (more = '') => `${beam('a', `load = 120 N${more}`)}\n${beam('b', 'load = 1 N\nrests_on = a')}`;

  test('stand under their root, where that rule fails there', () => {
    expect(findingsOf(machineIn(yard(two())))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
    ]);
  });

  test('keep their own severity', () => {
    const [finding] = judged(two()).findings;
    expect([finding?.severity, finding?.consequences[0]?.severity]).toEqual(['warning', 'advice']);
  });

  test('of what is accepted are listed by themselves: they were not accepted with it', () => {
    expect(findingsOf(machineIn(yard(two('\naccept beam_bends at 120 N because "so"'))))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N',
      'beam_crooked: b is crooked',
    ]);
  });

  test('of an acceptance that lapsed stand under it again', () => {
    expect(findingsOf(machineIn(yard(two('\naccept beam_bends at 105 N because "so"'))))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
    ]);
  });

  test('stand alone where the root is another block’s', () => {
    const three = `${two()}\n${beam('c', 'load = 150 N')}`;
    expect(findingsOf(machineIn(yard(three)))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
      'beam_bends: c bears 150 N, and is good for 100 N',
    ]);
  });
});

describe('what cannot be decided', () => {
  test('names what is missing, by its path', () => {
    const { findings, undecided } = judged('beam a');
    expect(findings).toEqual([]);
    expect(undecided.map(({ rule, missing }) => [rule, missing])).toEqual([['beam_bends', ['a.load']]]);
  });

  test('says why, where something cannot be computed, and that is a finding', () => {
    const machine = machineIn(yard(beam('a', 'load = 10 N / (1 - 1)')));
    expect(undecidedOf(machine)).toEqual(['beam_bends: it cannot be computed: this divides by zero']);
    expect(findingsOf(machine)).toEqual(['not_computable: a.load cannot be computed: this divides by zero']);
  });

  test('what people’s safety rests on and cannot be computed stands by itself, other values under an error of their block', () => {
    const wide = `rule lamp_wide on lamp {\n  holds limit <= 1 W\n  error "{name} is wide"\n  source practice "a test"\n}\n`;
    const lamp = (lines: string) => machineIn(`${kinds}${wide}yard Y {\n  lamp l {\n    ${lines}\n  }\n}\n`);
    expect(findingsOf(lamp('heat = 10 W / (1 - 1)'))).toEqual([
      'lamp_wide: l is wide',
      'not_computable: l.heat cannot be computed: this divides by zero; what rests on it cannot be judged: lamp burns',
    ]);
    const seen = kinds.replace('  stands_on: beam?', '  stands_on: beam?\n  glow: Power?');
    expect(
      findingsOf(machineIn(`${seen}${wide}yard Y {\n  lamp l {\n    heat = 2 W\n    glow = 10 W / (1 - 1)\n  }\n}\n`)),
    ).toEqual(['lamp_wide: l is wide -> not_computable']);
    // A warning explains nothing.
    expect(findingsOf(machineIn(yard(beam('a', 'depth = 30 mm\nload = 10 N / (1 - 1)'))))).toEqual([
      'beam_thin: a is 30 mm thick',
      'not_computable: a.load cannot be computed: this divides by zero',
    ]);
  });

  test('a guard that is not known leaves a rule undecided, one that says no does not', () => {
    const guard = (says: string) =>
      machineIn(
        `${kinds}rule beam_wet on beam {\n  when depth > 1 mm and rests_on.depth > 1 mm\n  holds load < 1 N\n  error "wet"\n  source practice "a test"\n}\nyard Y {\n  beam a {\n    load = 9 N\n    ${says}\n  }\n}\n`,
      );
    expect(undecidedOf(guard(''))).toHaveLength(1);
    expect(undecidedOf(guard('depth = 0.5 mm')).filter((u) => u.startsWith('beam_wet'))).toEqual([]);
    expect(findingsOf(guard('rests_on = a')).map((f) => f.split(':')[0])).toEqual(['beam_wet']);
  });
});

describe('requirements', () => {
  const required = (condition: string, lines = 'load = 80 N') => judged(`${beam('a', lines)}\nrequire ${condition}`);

  test.each([
    // (limit - value) / limit
    ['a.load <= 100 N', true, 0.2, '80 N'],
    ['a.load < 100 N', true, 0.2, '80 N'],
    ['a.load >= 40 N', true, 1, '80 N'],
    ['a.load > 40 N', true, 1, '80 N'],
    ['a.load <= 40 N', false, -1, '80 N'],
    ['a.load >= 100 N', false, -0.2, '80 N'],
    ['(a.load <= 100 N)', true, 0.2, '80 N'],
    ['a.load <= 100 N and a.depth <= 51 mm', true, 1 / 51, '50 mm'],
    ['a.load <= 100 N or a.depth <= 51 mm', true, 0.2, '80 N'],
    // Of points of temperature the margin is in kelvin; beside others 100 K count as the whole.
    ['air <= 25 degC', true, 5, '20 °C'],
    ['air <= 25 degC and a.load <= 100 N', true, 5, '20 °C'],
    ['air <= 50 degC and a.load <= 100 N', true, 0.2, '80 N'],
    ['a.load - 80 N <= 0 N', true, 0, '0 N'],
    // Of a limit of zero the value itself is the whole.
    ['a.load <= 0 N', false, -1, '80 N'],
  ])('%s: %s, margin %d of %s', (condition, holds, margin, shown) => {
    const [requirement] = required(condition).requirements;
    expect(requirement).toMatchObject({ text: condition, holds, shown, missing: [] });
    expect(requirement?.margin?.amount).toBeCloseTo(margin, 9);
  });

  test('one that does not hold is a finding, with what it comes to and by how much it is short', () => {
    expect(findingsOf({ assessment: required('a.load <= 40 N') } as never)).toEqual([
      'requirement: a.load <= 40 N does not hold: a.load is 80 N, the limit is 40 N (100 % short)',
    ]);
    expect(findingsOf({ assessment: required('air <= 15 degC') } as never)).toEqual([
      'requirement: air <= 15 degC does not hold: air is 20 °C, the limit is 15 °C (5 K short)',
    ]);
    expect(required('a.load <= 40 N').findings[0]?.severity).toBe('warning');
  });

  test('one that cannot be decided names what is missing, and is no finding', () => {
    const { requirements, findings } = required('a.load <= 40 N', 'depth = 50 mm');
    expect(requirements[0]).toMatchObject({ holds: undefined, missing: ['a.load'] });
    expect(findings).toEqual([]);
  });

  test('one with a mistake in it is not computed', () => {
    const { requirements, findings } = required('a.load <= 40 W');
    expect(requirements[0]?.holds).toBeUndefined();
    expect(findings).toEqual([]);
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
