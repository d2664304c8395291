import { describe, expect, test } from 'vitest';
import { Project } from '../../language/project.ts';
import { library, mistakesIn } from '../support.ts';

const kinds = `kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  turned: Frequency = 2 * speed
  check runs {
    stage full_load
    how "Let it run"
    with speed
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
  turning: YesNo = jaws > 2
  check runs_true {
    stage before_power
    how "Turn {name} by hand beside a dial gauge"
    highest 0.05 mm
    with part, jaws
  }
}
part small_chuck is chuck { jaws = 4 }
`;
const told = (lines: string) => mistakesIn(`${kinds}lathe L {\n  chuck left is small_chuck\n${lines}\n}\n`);
const toldOfKind = (check: string) =>
  mistakesIn(`kind drum {\n  width: Length\n  round(at: Length): Length = at\n${check}\n}\n`);

describe('what a record says', () => {
  test.each([
    'checked runs_true of left on 2026-03-02',
    'checked runs_true of left at 0.03 mm on 2026-03-02 with [part = small_chuck, jaws = 4]',
    'checked runs on 2026-03-02 with [speed = 5 Hz]',
    'chuck right {\n    checked runs_true at 0.03 mm on 2026-03-02\n  }',
    'set speed = 5 Hz on 2026-03-02',
    'set left.jaws = 4 on 2026-03-02',
    'checked runs on 2024-02-29',
    'checked runs on 2026-03-02\n  checked runs_true of left on 2026-03-02',
    'set speed = 5 Hz on 2026-03-02\n  measured speed = 5 Hz on 2026-03-02',
  ])('%s', (line) => {
    expect(told(`  ${line}`)).toEqual([]);
  });

  test.each([
    [
      'checked runs_treu of left on 2026-03-02',
      'runs_treu is nothing that can be checked on a chuck. Did you mean runs_true?',
    ],
    ['checked runs_true on 2026-03-02', 'runs_true is nothing that can be checked on a lathe. What can be: runs.'],
    ['checked runs of speed on 2026-03-02', 'Expected a block'],
    ['checked runs of nothing on 2026-03-02', 'Nothing is called nothing here.'],
    ['checked runs at 5 Hz on 2026-03-02', 'The check of runs reads no value: it is made, or it is not.'],
    ['checked runs_true of left at 3 Hz on 2026-03-02', 'Expected a length'],
    [
      'checked runs on 2026-03-02 with [turned = 10 Hz]',
      'The check of runs does not rest on turned: it rests on speed',
    ],
    ['checked runs on 2026-03-02 with [5 Hz]', 'The check of runs does not rest on 5 Hz'],
    ['checked runs on 2026-03-02 with [speed = 5 mm]', 'Expected a frequency'],
    ['checked runs on 2026-03-02 with speed', 'Expected the values that it was checked with, in brackets'],
    ['checked runs', 'Expected the day it was taken'],
    ['checked runs on 2026-02-29', '2026-02-29 is no date: that month has the days 01 to 28.'],
    ['checked runs on 1900-02-29', '1900-02-29 is no date'],
    ['checked runs on 2026-13-01', '2026-13-01 is no date: months go from 01 to 12, not to 13.'],
    ['checked runs on 2026-04-31', '2026-04-31 is no date: that month has the days 01 to 30.'],
    ['checked runs on 2026-04-00', '2026-04-00 is no date'],
    ['set sped = 5 Hz on 2026-03-02', 'Nothing is called sped here. Did you mean speed?'],
    ['set speed = 5 mm on 2026-03-02', 'Expected a frequency'],
    ['set left = 3 on 2026-03-02', 'Expected a chuck'],
    ['checked runs on 2026-03-02\n  checked runs on 2026-03-03', 'runs is recorded twice: leave the later record'],
    [
      'checked runs_true of right on 2026-03-02\n  chuck right {\n    checked runs_true on 2026-03-02\n  }',
      'runs_true is recorded twice',
    ],
    ['set speed = 5 Hz on 2026-03-02\n  set speed = 6 Hz on 2026-03-02', 'speed is recorded twice'],
    ['measured turned = 5 Hz on 2026-03-02\n  measured turned = 6 Hz on 2026-03-02', 'turned is recorded twice'],
  ])('%s: %s', (line, message) => {
    const mistakes = told(`  ${line}`);
    expect(mistakes).toHaveLength(1);
    expect(mistakes[0]).toContain(message);
  });

  test('a part has no records: it is built into any number of machines', () => {
    const part = (line: string) => mistakesIn(`${kinds}part big_chuck is chuck {\n  ${line}\n}\n`);
    expect(part('checked runs_true on 2026-03-02')[0]).toContain('checked is a record of the machine that was built');
    expect(part('set jaws = 3 on 2026-03-02')[0]).toContain('it belongs in a machine, not in a part');
    expect(part('measured jaws = 3 on 2026-03-02')).toEqual([]);
  });

  test('a day that lies ahead is told where there is a clock, wherever the record stands', () => {
    const text = `${kinds}lathe L {
  chuck left is small_chuck {
    checked runs_true on 2026-03-03
  }
  measured turned = 10 Hz on 2026-03-02
  set speed = 5 Hz on 2027-01-01
}
`;
    const ahead = (today?: string) => {
      const project = new Project(library, { read: () => undefined, ...(today && { today: () => today }) });
      const mistakes = project.mistakes(project.update('file:///a.gusset', text));
      return mistakes.map(({ code, message }) => `${code}: ${message.slice(0, 45)}`);
    };
    expect(ahead('2026-03-02')).toEqual([
      'no_such_day: 2026-03-03 lies ahead: today is 2026-03-02. A',
      'no_such_day: 2027-01-01 lies ahead: today is 2026-03-02. A',
    ]);
    expect(ahead('2027-01-01')).toEqual([]);
    expect(ahead()).toEqual([]);
  });
});

describe('what a kind says can be checked', () => {
  const check = (more: string) =>
    toldOfKind(`  check round_enough {\n    stage before_power\n    how "Turn it"\n    ${more}\n  }`);
  test.each([
    'highest 0.1 mm',
    'lowest width\n    highest 2 * width',
    'when width > 3 mm',
    'with width, part',
    'caution "Hot."',
  ])('%s', (line) => {
    expect(check(line)).toEqual([]);
  });

  test.each([
    ['with wdth', 'A drum has no value called wdth.'],
    ['with round', 'A drum has no value called round.'],
    ['when width', 'Expected yes or no'],
    ['holds width > 3 mm', 'holds does not belong in a check.'],
    ['headline width', 'headline does not belong in a check.'],
    ['highest 3 * nothing', 'Nothing is called nothing'],
    ['how "At {nothing}"', 'Nothing is called nothing'],
  ])('%s: %s', (line, message) => {
    expect(check(line)[0]).toContain(message);
  });

  test('it says when it is made, and how; and one name is one check', () => {
    expect(toldOfKind('  check round_enough')).toHaveLength(2);
    expect(toldOfKind('  check round_enough { how "Turn it" }')[0]).toContain('does not say at which stage it is made');
    expect(toldOfKind('  check round_enough { stage before_power }')[0]).toContain('does not say how it is done');
    const twice = '  check c {\n    stage before_power\n    how "Turn it"\n  }\n'.repeat(2);
    expect(toldOfKind(twice)).toEqual(['8: c is already declared in this kind; the first one counts.']);
    expect(toldOfKind('  check width {\n    stage before_power\n    how "Measure it"\n  }')).toEqual([]);
  });

  test('what is repeated has no stage', () => {
    expect(toldOfKind('  check c {\n    repeat each_month\n    how "Turn it"\n  }')).toEqual([]);
    expect(toldOfKind('  check c {\n    repeat width\n    how "Turn it"\n  }')[0]).toContain('Expected');
  });

  test('its stage is a part', () => {
    expect(toldOfKind('  check c {\n    stage width\n    how "Turn it"\n  }')[0]).toContain('Expected');
    expect(toldOfKind('  check c {\n    stage before_pover\n    how "Turn it"\n  }')[0]).toContain(
      'Did you mean before_power?',
    );
  });
});
