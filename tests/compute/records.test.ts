import { describe, expect, test } from 'vitest';
import { cellMeant, checkRecordsOf, setRecordsOf, writtenNow } from '../../language/compute/records.ts';
import { machineIn, read } from '../support.ts';

const kinds = `kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  warm: Temperature = 62.4 degC
  frost: Temperature = 0 degC + 0.1 K + 0.7 K - 0.8 K
  cool: Temperature = 0.01 degC
  mild: Temperature = 62.43 degC
  brisk: Frequency = 5.004 Hz
  steps: LinearDensity = 80 mm^-1
  ratio: Ratio = 0.29541
  sides: Length x Length default 230 mm x 220 mm
  price: Price default 12.50 EUR
  mode: one of slow, fast default slow
  room: Temperature default 15 degC .. 28 degC
  hot: Temperature = room + 10 K
  safe: YesNo default yes
  label: Text default "a lathe"
  holds: list of chuck?
  main: chuck?
  gap: Length?
  remark: Text?
  width: Length = gap / 2
  still: Frequency = 0 Hz
  hair: Length = 0.3 mm - 0.1 mm - 0.2 mm
  splinter: Length = 0.5e-6 mm
  tiny: Ratio = 0.012345
  fine: LinearDensity = 80.04 mm^-1
  half: LinearDensity = 80.05 mm^-1
  over: LinearDensity = 80.051 mm^-1
  play: Length default 1.2345 mm .. 2.3456 mm
  marks: list of Length default [80 mm, 1.2345 mm]
  wander: Frequency default 5 Hz { shown kHz }
  itself: lathe = self
  check looked_at {
    stage before_power
    how "Look at it"
  }
  check rests_on_nothing {
    stage before_power
    how "Look at it"
    with nothing
  }
  check wanders {
    stage full_load
    how "Let it run"
    with wander
  }
  check runs {
    stage full_load
    how "Let it run"
    with part, speed, mode, room, sides, safe, label, holds, main, gap, price
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
  check runs_true {
    stage before_power
    how "Turn {name}"
    highest 0.05 mm
    with part, jaws
  }
}
part small_chuck is chuck { jaws = 4 }
part big_chuck is chuck { jaws = 6 }
`;
const lathe = (lines: string, more = '', name = 'L') => machineIn(`${kinds}lathe L {\n${lines}\n}\n${more}`, name);
const changed = (lines: string, more = '', name = 'L') =>
  checkRecordsOf(lathe(lines, more, name)).map((record) => record.changed);

describe('a value that was set agrees with the design', () => {
  const agrees = (line: string, more = '') => setRecordsOf(lathe(`  set ${line} on 2026-03-02${more}`))[0]?.agrees;
  // Rounded to three digits or to as many as are written: what is shown can be copied, and no more is let pass.
  test.each([
    ['steps = 80 mm^-1', true],
    ['steps = 80.04 mm^-1', false],
    ['steps = 80.4 mm^-1', false],
    ['steps = 81 mm^-1', false],
    ['ratio = 0.295', true],
    ['ratio = 0.2954', true],
    ['ratio = 0.2955', false],
    ['ratio = 0.3', false],
    ['warm = 62.4 degC', true],
    ['warm = 62.2 degC', false],
    ['warm = 335.55 K', undefined],
    // What is computed is off by rounding alone, at the zero of the unit as elsewhere.
    ['frost = 0 degC', true],
    ['frost = 1 degC', false],
    ['cool = 0 degC', false],
    ['mild = 62.4 degC', true],
    ['mild = 62.43 degC', true],
    ['mild = 62.5 degC', false],
    ['mild = 62.42 degC', false],
    ['brisk = 5 Hz', true],
    ['brisk = 5.00 Hz', true],
    ['brisk = 5.004 Hz', true],
    ['brisk = 5.003 Hz', false],
    ['brisk = 0.005 kHz', true],
    ['speed = 5 Hz', true],
    ['speed = 2 * 2.5 Hz', true],
    ['speed = 2 * 2.6 Hz', false],
    // What is no number as written agrees within half a hundredth of what it came to.
    ['speed = 2 * 2.51 Hz', true],
    ['speed = 2 * 2.52 Hz', false],
    ['mode = slow', true],
    ['mode = fast', false],
    ['safe = yes', true],
    ['safe = no', false],
    ['sides = 230 mm x 220 mm', true],
    ['sides = 230 mm x 230 mm', false],
    ['sides = 231 mm x 220 mm', true],
    ['sides = 232 mm x 220 mm', false],
    ['sides = 230 mm x 220 mm x 5 mm', undefined],
    ['price = 12.50 EUR', true],
    ['price = 12.45 EUR', true],
    ['price = 12.40 EUR', false],
    ['label = "a lathe"', true],
    ['label = "another"', false],
    ['(speed) = 5 Hz', undefined],
    ['speed = (5 Hz)', true],
    ['speed = (6 Hz)', false],
    ['speed = 4.98 Hz', false],
    ['speed = 0.005 kHz', true],
    ['steps = 80', undefined],
    ['gap = 2 mm', undefined],
    ['nothing = 2 mm', undefined],
    ['2 = 2 mm', undefined],
    ['room = 15 degC .. 28 degC', true],
    ['room = 15 degC .. 30 degC', false],
    ['hot = 30 degC', true],
    ['hot = 38 degC', true],
    ['hot = 39 degC', false],
    ['width = 3 mm', undefined],
    ['yes = 2 mm', undefined],
    ['left. = 2', undefined],
    ['speed =', undefined],
    // Nothing is nothing, but for rounding, of what is computed too.
    ['still = 2 * 0 Hz', true],
    ['hair = 0 mm', true],
    ['splinter = 0 mm', false],
    // Noughts before the first digit say nothing of how exactly it is written.
    ['tiny = 0.0123', true],
    ['tiny = 0.0124', false],
    // Of what stands in brackets too it is asked how exactly it is written.
    ['fine = (80 mm^-1)', true],
    ['steps = (80.04 mm^-1)', false],
    // Half a step of the last digit is the most.
    ['half = 80 mm^-1', true],
    ['over = 80 mm^-1', false],
    // Each end of a range for itself; one that is no range as written within half a hundredth.
    ['play = 1.23 mm .. 2.35 mm', true],
    ['play = (1.23 mm) .. 2.35 mm', true],
    ['play = 1.25 mm .. 2.35 mm', false],
    ['play = 1.23 mm .. 2.36 mm', false],
    ['play = 1.233 mm .. 2.35 mm', false],
    ['play = if safe then 1.23 mm .. 2.35 mm else 1 mm .. 2 mm', true],
    ['play = if safe then 1.23 mm .. 2.37 mm else 1 mm .. 2 mm', false],
    // What rounds to an end of a range is within it.
    ['play = 1.23 mm', true],
    ['play = 1.22 mm', false],
    ['marks = [80 mm, 1.23 mm]', true],
    ['marks = [80 mm, 1.24 mm]', false],
    ['marks = [80.04 mm, 1.23 mm]', false],
    ['marks = [80 mm]', false],
  ])('%s: %s', (line, expected) => {
    expect(agrees(line)).toBe(expected);
  });

  test('a range agrees with what lies within it, its ends too', () => {
    const within = (speed: string) => agrees(`speed = ${speed}`, '\n  speed = 5 Hz .. 10 Hz');
    expect(['4 Hz', '5 Hz', '7 Hz', '10 Hz', '11 Hz'].map(within)).toEqual([false, true, true, true, false]);
  });

  test('what only was checked was not set, and what was set was not checked', () => {
    const lines = '  set speed = 5 Hz on 2026-03-02\n  checked looked_at on 2026-03-03';
    expect(setRecordsOf(lathe(lines)).map(({ path }) => path)).toEqual(['speed']);
    expect(checkRecordsOf(lathe(lines)).map(({ check }) => check.name)).toEqual(['looked_at']);
  });

  test('of the block that is named, with both values and the day', () => {
    const [record] = setRecordsOf(lathe('  chuck left is small_chuck\n  set left.jaws = 3 on 2026-03-02'));
    expect(record).toMatchObject({ path: 'left.jaws', set: 3, designed: 4, agrees: false, date: '2026-03-02' });
  });
});

test('a list agrees by what is in it, however it is written', () => {
  const agrees = (set: string) =>
    setRecordsOf(lathe(`  chuck a\n  chuck b\n  holds = [a, b]\n  set holds = ${set} on 2026-03-02`))[0]?.agrees;
  expect(agrees('[a, b]')).toBe(true);
  expect(agrees('each(c for c in every chuck)')).toBe(true);
  expect(agrees('each(c for c in every chuck where c == a)')).toBe(false);
});

describe('what a record was checked with', () => {
  test('is as it was, or is told with its old and its new value', () => {
    const record = (rests: string) => `  chuck left is small_chuck\n  checked runs_true of left on 2026-03-02 ${rests}`;
    expect(changed(record('with [part = small_chuck, jaws = 4]'))).toEqual([[]]);
    expect(changed(record('with [part = small_chuck, jaws = 3]'))).toEqual([['jaws was 3 then, and is 4 now']]);
    expect(changed(record('with [part = big_chuck, jaws = 4]'))).toEqual([
      ['it started from big_chuck then, and from small_chuck now'],
    ]);
    expect(changed(record('with [part = small_chuck]'))).toEqual([['jaws was not said then, and is 4 now']]);
    expect(changed(record('with [jaws = 4]'))).toEqual([['it started from no part then, and from small_chuck now']]);
    expect(changed(record(''))).toEqual([undefined]);
  });

  test('what is not given is nothing that changed, until it is; what was given and is no more has changed', () => {
    const now = (lines: string, rests: string) => changed(`${lines}\n  checked runs on 2026-03-02 with [${rests}]`)[0];
    const all =
      'speed = 5 Hz, mode = slow, room = 15 degC .. 28 degC, sides = 230 mm x 220 mm, safe = yes, label = "a lathe", price = 12.50 EUR';
    expect(now('', all)).toEqual([]);
    expect(now('  gap = 2 mm', all)).toEqual(['gap was not said then, and is 2 mm now']);
    expect(now('', `${all}, gap = 2 mm`)).toEqual(['gap was 2 mm then, and is not known now']);
    expect(now('  chuck left\n  main = left', `${all}, main = left`)).toEqual([]);
    expect(now('  chuck left\n  chuck right\n  main = left', `${all}, main = right`)).toEqual([
      'main was right then, and is left now',
    ]);
    expect(now('  chuck left\n  chuck right\n  holds = [left, right]', `${all}, holds = [left, right]`)).toEqual([]);
    expect(now('  chuck left\n  chuck right\n  holds = [left]', `${all}, holds = [left, right]`)).toHaveLength(1);
    expect(now('  room = 15 degC .. 30 degC', all)).toEqual(['room was 15 to 28 °C then, and is 15 to 30 °C now']);
    expect(now('  mode = fast', all)).toEqual(['mode was slow then, and is fast now']);
    expect(now('  price = 13 EUR', all)).toHaveLength(1);
    expect(now('  label = "another"', all)).toHaveLength(1);
  });

  test('a block that starts from a part now, and from none then', () => {
    const record = 'checked runs_true of left on 2026-03-02';
    expect(changed(`  chuck left\n  ${record} with [part = small_chuck, jaws = 3]`)).toEqual([
      ['it started from small_chuck then, and from no part now'],
    ]);
  });

  test('a check that rests on nothing never changed; what a check cannot rest on is left out', () => {
    expect(changed('  checked looked_at on 2026-03-02')).toEqual([[]]);
    expect(changed('  checked rests_on_nothing on 2026-03-02 with []')).toEqual([[]]);
  });

  test('is told in the units that the value is shown in', () => {
    const record = '  wander = 7 Hz\n  checked wanders on 2026-03-02 with [wander = 5 Hz]';
    expect(changed(record)).toEqual([['wander was 0.005 kHz then, and is 0.007 kHz now']]);
  });

  test('with what was read, where the record says it', () => {
    const read = (at: string) =>
      checkRecordsOf(lathe(`  chuck left\n  checked runs_true of left ${at}on 2026-03-02`)).map((each) => each.read);
    expect(read('at 0.03 mm ')).toEqual([expect.closeTo(0.03e-3, 9)]);
    expect(read('')).toEqual([undefined]);
  });

  test('half a record tells what it can', () => {
    const half = (record: string) => changed(`  chuck left is small_chuck\n  checked ${record}`);
    expect(half('nothing_known on 2026-03-02')).toEqual([]);
    expect(half('runs_true of 3 on 2026-03-02')).toEqual([]);
    expect(half('runs_true of left on 2026-03-02 with [part = small_chuck, 4]')).toEqual([[]]);
    expect(checkRecordsOf(lathe('  checked looked_at')).map(({ date }) => date)).toEqual(['']);
    expect(setRecordsOf(lathe('  set speed = 5 Hz')).map(({ date }) => date)).toEqual(['']);
    const machine = lathe('');
    const [layer] = machine.tree.layers;
    expect(layer && cellMeant(undefined, machine.tree, layer, machine)).toBeUndefined();
  });

  test('what has a mistake in it is told as that, and has not changed', () => {
    const record = '  chuck left is small_chuck\n  checked runs_true of left on 2026-03-02 with';
    const { project, file } = read(`${kinds}lathe L {\n${record} [part = small_chuck, jaws = 3 mm]\n}\n`);
    // One is that of a kind above, whose check cannot rest on what it says.
    expect(project.mistakes(file)).toHaveLength(2);
    expect(
      project
        .machines(file)
        .flatMap(checkRecordsOf)
        .map((each) => each.changed),
    ).toEqual([[]]);
  });

  test('is written as the language reads it', () => {
    const machine = lathe('  chuck left is small_chuck\n  chuck right');
    const written = (name: string, block = machine.tree) => writtenNow(name, block, machine);
    const [left, right] = ['left', 'right'].map((name) => machine.tree.children.get(name));
    if (!left || !right) throw new Error('the chucks are gone');
    expect(written('mode')).toBe('slow');
    expect(written('label')).toBe('"a lathe"');
    expect(written('marks')).toBe('[80 mm, 1.234 mm]');
    expect(written('part', left)).toBe('small_chuck');
    expect(written('part', right)).toBeUndefined();
    expect(written('itself')).toBe('L');
    expect(written('play')).toBe('1.234 mm .. 2.346 mm');
    expect(written('gap')).toBeUndefined();
    expect(written('remark')).toBeUndefined();
    expect(written('nothing')).toBeUndefined();
  });

  test('is written so that it agrees with what is now', () => {
    const machine = lathe(
      '  chuck left\n  chuck right\n  holds = [left, right]\n  main = left\n  speed = 7.12345 Hz\n  label = "with \\{braces}"',
    );
    const names = machine.tree.kind.checks.get('runs')?.rests ?? [];
    const rests = names.flatMap((name) => {
      const written = writtenNow(name, machine.tree, machine);
      return written === undefined ? [] : [`${name} = ${written}`];
    });
    expect(rests).toHaveLength(9);
    const lines = `  chuck left\n  chuck right\n  holds = [left, right]\n  main = left\n  speed = 7.12345 Hz\n  label = "with \\{braces}"`;
    expect(changed(`${lines}\n  checked runs on 2026-03-02 with [${rests.join(', ')}]`)).toEqual([[]]);
  });

  test('a variant knows nothing of what was checked or set of its base; a machine that stands on a site as it is does', () => {
    const record = '  checked runs on 2026-03-02\n  set speed = 5 Hz on 2026-03-02';
    expect(checkRecordsOf(lathe(record, 'lathe V is L {\n}\n', 'V'))).toEqual([]);
    expect(setRecordsOf(lathe(record, 'lathe V is L {\n}\n', 'V'))).toEqual([]);
    const own = 'lathe V is L {\n  checked runs on 2026-04-02\n}\n';
    expect(checkRecordsOf(lathe(record, own, 'V')).map(({ date }) => date)).toEqual(['2026-04-02']);
    expect(checkRecordsOf(lathe(record)).map(({ date }) => date)).toEqual(['2026-03-02']);
  });
});
