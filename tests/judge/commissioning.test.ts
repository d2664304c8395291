import { describe, expect, test } from 'vitest';
import { dueChecksOf, openChecks, upkeepOf, writtenRests } from '../../language/judge/commissioning.ts';
import { fixesFor } from '../../language/judge/fixes.ts';
import { mend } from '../../language/mending.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { machineIn, mistakesIn, read } from '../support.ts';

const kinds = `kind trial_stage {
  place: Ratio
  order place
}
/// Before anything else
part early is trial_stage { place = 1 }
/// Once it runs
part late is trial_stage { place = 2 }
kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  room: Temperature default 15 degC .. 28 degC
  gap: Length?
  /// It runs
  check runs {
    stage late
    how "Let {name} run at {speed}"
    lowest room - 3 K
    highest room + 3 K
    with speed
  }
  check silent {
    when gap > 1 mm
    stage early
    how "Listen"
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
  check runs_true {
    when jaws > 2
    when count < 9
    stage early
    how "Turn {name} by hand"
    highest 0.05 mm
    caution "Pinching at {name}."
    with jaws
  }
}
kind soft_chuck is chuck {
  width: Length default 3 mm
  check oiled {
    stage early
    how "Look"
    with jaws, width
  }
}
`;
const text = (lines: string) => `${kinds}lathe L {\n${lines}\n}\n`;
const lathe = (lines: string) => machineIn(text(lines));
const listed = (lines: string) =>
  dueChecksOf(lathe(lines)).map(({ check, instance, state }) => `${check.name} of ${instance.name}: ${state}`);
const found = (lines: string) =>
  lathe(lines).assessment.findings.map(({ rule, severity, message }) => `${severity} ${rule}: ${message}`);

describe('what is to be checked', () => {
  test('stands in the order of the stages, whatever the order of the kinds and the blocks', () => {
    expect(listed('  chuck left\n  gap = 2 mm')).toEqual([
      'silent of L: open',
      'runs_true of left: open',
      'runs of L: open',
    ]);
  });

  test('is left out only where it is known not to apply', () => {
    expect(listed('  gap = 1 mm')).toEqual(['runs of L: open']);
    expect(listed('')).toEqual(['silent of L: open', 'runs of L: open']);
    expect(listed('  chuck left { jaws = 2 }\n  gap = 1 mm')).toEqual(['runs of L: open']);
    expect(listed('  chuck left * 9 { jaws = 3 }\n  gap = 1 mm')).toEqual(['runs of L: open']);
  });

  test('a subkind has the checks of what it starts from, and its own', () => {
    expect(listed('  soft_chuck left\n  gap = 1 mm')).toEqual([
      'runs_true of left: open',
      'oiled of left: open',
      'runs of L: open',
    ]);
  });

  test('tells how, with the values of the design, what is expected, and the caution', () => {
    const [first, last] = dueChecksOf(lathe('  chuck left\n  gap = 1 mm\n  speed = 7 Hz'));
    expect(first).toMatchObject({
      title: 'runs true',
      how: 'Turn left by hand',
      expected: 'at most 0.05 mm',
      caution: 'Pinching at left.',
      stage: { name: 'early', title: 'Before anything else' },
    });
    // The room may be as cold as 15 and as warm as 28.
    expect(last).toMatchObject({ title: 'It runs', how: 'Let L run at 7 Hz', expected: '12 °C to 31 °C' });
  });
});

test('a check that no longer counts tells all that changed, one after the other', () => {
  const record = 'checked oiled on 2026-03-02 with [jaws = 4, width = 2 mm]';
  expect(found(`  gap = 1 mm\n  soft_chuck left {\n    ${record}\n  }`)).toEqual([
    'warning record_lapsed: The check of oiled of left on 2026-03-02 no longer counts: jaws was 4 then, and is 3 now; width was 2 mm then, and is 3 mm now',
  ]);
});

describe('what a record does', () => {
  const rest = '  gap = 1 mm\n  speed = 7 Hz';
  test.each([
    ['checked runs at 20 degC on 2026-03-02 with [speed = 7 Hz]', 'made', []],
    [
      'checked runs on 2026-03-02 with [speed = 6 Hz]',
      'lapsed',
      [
        'warning record_lapsed: The check of runs of L on 2026-03-02 no longer counts: speed was 6 Hz then, and is 7 Hz now',
      ],
    ],
    [
      'checked runs at 40 degC on 2026-03-02 with [speed = 7 Hz]',
      'outside',
      ['warning reading_outside: The check of runs of L read 40 °C on 2026-03-02; expected is 12 °C to 31 °C'],
    ],
    [
      'checked runs at 20 degC on 2026-03-02',
      'made',
      [
        'advice record_rests_on_nothing: The record does not say what L was checked with (speed), so it would still count when that changes',
      ],
    ],
  ])('%s: %s', (record, state, findings) => {
    expect(listed(`  ${record}\n${rest}`)).toEqual([`runs of L: ${state}`]);
    expect(found(`  ${record}\n${rest}`)).toEqual(findings);
  });

  test('a reading beyond what is expected is an error where people can be hurt', () => {
    const record = '  chuck left\n  checked runs_true of left at 0.2 mm on 2026-03-02 with [jaws = 3]\n  gap = 1 mm';
    const [finding] = lathe(record).assessment.findings;
    expect(finding).toMatchObject({ rule: 'reading_outside', severity: 'error', caution: 'Pinching at left.' });
    expect(openChecks(dueChecksOf(lathe(record)))).toBe(2);
  });

  test('what was set otherwise than designed is told where it was recorded, with both numbers', () => {
    expect(found('  set speed = 5.5 Hz on 2026-03-02\n  gap = 1 mm')).toEqual([
      'warning set_otherwise: speed was set to 5.5 Hz on 2026-03-02; by the design it is 5 Hz',
    ]);
    expect(found('  set speed = 5 Hz on 2026-03-02\n  gap = 1 mm')).toEqual([]);
  });

  test('findings stand at the record', () => {
    const { project, file } = read(text('  gap = 1 mm\n  checked runs on 2026-03-02 with [speed = 6 Hz]'));
    const place = project.machines(file)[0]?.assessment.findings[0]?.places[0];
    expect(place?.$type).toBe('Checked');
  });
});

test('how something is done tells lengths and temperatures in the units that are read there, but nothing that is to be written', () => {
  const beside = kinds
    .replace('kind lathe {', 'kind lathe {\n  beside: list of Text = ["in"]\n  alongside beside')
    .replace('how "Listen"', 'how "Listen at {gap}, and write `gap = {gap}`"');
  const machine = machineIn(`${beside}lathe L {\n  gap = 25.4 mm\n}\n`);
  const [how] = dueChecksOf(machine).flatMap(({ check, how }) => (check.name === 'silent' ? [how] : []));
  // NIST SP 811, appendix B.8: an inch is 25.4 mm.
  expect(how).toBe('Listen at 25.4 mm (1 in), and write `gap = 25.4 mm`');
});

test('what is repeated stands among upkeep by how often, and not among what puts a machine to use', () => {
  const again = `kind trial_stage {
  place: Ratio
  order place
}
/// Now and then
part often is trial_stage { place = 1 }
/// Hardly ever
part rarely is trial_stage { place = 2 }
kind lathe {
  toplevel
  gap: Length?
  check oiled {
    repeat rarely
    how "Oil {name}"
  }
  check wiped {
    when gap > 1 mm
    repeat often
    how "Wipe it"
  }
  check begun {
    stage often
    how "Begin"
  }
}
`;
  const of = (lines: string) => machineIn(`${again}lathe L {\n${lines}\n}\n`);
  const told = (lines: string) => upkeepOf(of(lines)).map(({ check, stage, how }) => [check.name, stage.title, how]);
  expect(told('  gap = 2 mm')).toEqual([
    ['wiped', 'Now and then', 'Wipe it'],
    ['oiled', 'Hardly ever', 'Oil L'],
  ]);
  expect(told('  gap = 1 mm')).toEqual([['oiled', 'Hardly ever', 'Oil L']]);
  expect(dueChecksOf(of('')).map(({ check }) => check.name)).toEqual(['begun']);
});

describe('what it was checked with is written', () => {
  const lines =
    '  chuck left { jaws = 4 }\n  checked runs_true of left on 2026-03-02\n  checked runs on 2026-03-02\n  gap = 1 mm';
  test('by the fix of the finding, for all records of the block, and nothing is found afterwards', () => {
    const machine = lathe(lines);
    const [finding] = machine.assessment.findings;
    const [fix] = [...(fixesFor(finding as NonNullable<typeof finding>, machine)[0] ?? [])];
    expect(fix?.title).toBe('Write what it was checked with');
    const after = withEdits([...(fix?.edits ?? []), ...writtenRests(machine.tree, machine)], text(lines));
    expect(after).toContain('checked runs_true of left on 2026-03-02 with [jaws = 4]');
    expect(after).toContain('checked runs on 2026-03-02 with [speed = 5 Hz]');
    expect(mistakesIn(after)).toEqual([]);
    expect(machineIn(after).assessment.findings).toEqual([]);
  });

  test('unasked as well; a record that has lapsed is left as it is', () => {
    const mended = (all: string) => {
      const { project, file } = read(text(all));
      for (const _ of mend(file.uri, project));
      return project.file(file.uri)?.parsed.text ?? '';
    };
    expect(mended(lines)).toContain('checked runs on 2026-03-02 with [speed = 5 Hz]');
    const lapsed = '  gap = 1 mm\n  checked runs on 2026-03-02 with [speed = 6 Hz]';
    expect(mended(lapsed)).toBe(text(lapsed));
  });

  test('a name changed everywhere lets nothing lapse, an edit of a value does', () => {
    const all = '  gap = 1 mm\n  speed = 5 Hz\n  checked runs on 2026-03-02 with [speed = 5 Hz]';
    const { project, file } = read(text(all));
    const rules = () => project.machines(file)[0]?.assessment.findings.map(({ rule }) => rule);
    expect(rules()).toEqual([]);
    project.update(file.uri, text(all.replace('speed = 5 Hz\n', 'speed = 6 Hz\n')));
    expect(rules()).toEqual(['record_lapsed']);
    project.update(file.uri, text(all));
    expect(rules()).toEqual([]);
  });
});
