import { describe, expect, test } from 'vitest';
import { proposed } from '../support.ts';

const kinds = `kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  mode: one of slow, fast default slow
  gap: Length?
  turned: Frequency = 2 * speed
  check runs {
    stage full_load
    how "Let it run"
    highest 2 * speed
    with speed, mode
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
  check runs_true {
    stage before_power
    how "Turn it"
  }
}
`;
const inLathe = (line: string) => proposed(`${kinds}lathe L {\n  chuck left\n  ${line}\n}\n`);
const inCheck = (line: string) => proposed(`${kinds}kind k is chuck {\n  check c {\n    ${line}\n  }\n}\n`);

describe('records', () => {
  test('a statement may begin with them', () => {
    expect(inLathe('<|>').slice(-5)).toEqual(['accept', 'measured', 'checked', 'set', 'no']);
  });

  test('what can be checked on the block, and on those in it by their path', () => {
    expect(inLathe('checked <|>')).toEqual(['runs', 'runs_true of left']);
    expect(inLathe('checked <|> of left on 2026-03-02')).toEqual(['runs_true']);
    expect(proposed(`${kinds}lathe L {\n  chuck left {\n    checked <|>\n  }\n}\n`)).toEqual(['runs_true']);
  });

  test.each([
    ['checked runs <|>', ['of', 'at', 'on']],
    ['checked runs_true of left <|>', ['at', 'on']],
    ['checked runs at 5 Hz <|>', ['on']],
    ['checked runs on 2026-03-02 <|>', ['with']],
    ['set speed = 5 Hz <|>', ['on']],
    ['set speed = 5 Hz on 2026-03-02 <|>', []],
  ])('%s: %s', (line, words) => {
    expect(inLathe(line)).toEqual(words);
  });

  test('the values that a check rests on and the record does not say yet, and what each can be', () => {
    expect(inLathe('checked runs on 2026-03-02 with [<|>]')).toEqual(['speed', 'mode']);
    expect(inLathe('checked runs on 2026-03-02 with [speed = 5 Hz, <|>]')).toEqual(['mode']);
    expect(inLathe('checked runs on 2026-03-02 with [mode = <|>]').slice(0, 2)).toEqual(['slow', 'fast']);
    expect(inLathe('checked runs on 2026-03-02 with [speed = 5 <|>]')[0]).toBe('Hz');
  });

  test('what can be set, and measured: what is computed, and what may be left out until it is built', () => {
    expect(inLathe('set <|>')).toEqual(['turned', 'speed', 'mode', 'gap']);
    expect(inLathe('measured <|>').toSorted()).toEqual(['gap', 'turned']);
  });
});

describe('a check of a kind', () => {
  test('its clauses, those of which one is enough only once', () => {
    expect(inCheck('<|>')).toEqual([
      'when',
      'stage',
      'repeat',
      'step',
      'uncover',
      'lowest',
      'highest',
      'with',
      'caution',
      'source',
      'assumes',
      'how',
    ]);
    expect(inCheck('stage before_power\n    <|>')).not.toContain('stage');
  });

  test('the stages at which others are made, the values that it may rest on', () => {
    expect(inCheck('stage <|>')).toEqual(expect.arrayContaining(['before_power', 'full_load']));
    expect(inCheck('with <|>')).toEqual(['jaws']);
    expect(inCheck('highest <|>')).toContain('jaws');
  });
});
