import { describe, expect, test } from 'vitest';
import { answerTo, mayBeWritten } from '../../language/judge/choices.ts';
import { findingsOf, machineIn, mistakesIn, shown } from '../support.ts';

const kinds = `/// A beam.
kind beam {
  toplevel
  load: Mass
  depth: Length
  /// How warm it may get.
  heat: Temperature default 20 degC
  /// How many of them.
  pieces: Count default 1
  hole: YesNo default no
}
/// It carries its load.
rule beam_bends on beam {
  holds depth * pieces >= load / 1 kg * 1 mm
  error "{name} of {depth} bends under {load}"
  source practice "a test"
}
/// There is no room for more.
rule beam_thick on beam {
  holds depth <= 40 mm
  warning "{name} of {depth} is thicker than 40 mm"
  source practice "a test"
}
/// Where a hole goes through, some depths meet it.
rule beam_holed on beam {
  when hole
  holds depth <= 20 mm or depth >= 30 mm
  warning "the hole meets an edge"
  source practice "a test"
}
/// It does not glow.
rule beam_hot on beam {
  holds heat <= 66.6 degC
  warning "{name} is hot"
  source practice "a test"
}
`;
const beam = (body: string) => `${kinds}beam B {\n  ${body.replaceAll('\n', '\n  ')}\n}\n`;
const answer = (body: string) => machineIn(beam(body)).choices.map(answerTo).join('\n');

describe('the furthest value of a number', () => {
  test('the least, what stops it, and its margin', () => {
    expect(answer('load = 12.34 kg\ndepth = least ?')).toBe(
      '12.4 mm proposed, the least that holds: further on, B of 12.3 mm bends under 12.34 kg (beam_bends, 0.49 % to spare here)',
    );
    expect(shown(machineIn(beam('load = 12.34 kg\ndepth = least ?')), 'depth')).toBe('12.4 mm');
  });

  test('the greatest', () => {
    expect(answer('load = 12 kg\ndepth = greatest ?')).toMatch(
      /^40 mm proposed, the greatest that holds: .*beam_thick/,
    );
  });

  test('the greatest is written as the least is: round, with its unit', () => {
    const [choice] = machineIn(beam('load = 12 kg\ndepth = greatest ?')).choices;
    expect(choice?.proposed?.text).toBe('40 mm');
  });

  test('a requirement stops it as a rule does, also over a range', () => {
    expect(answer('load = 5 kg .. 18 kg\ndepth = least ?')).toMatch(/^18 mm proposed/);
    expect(answer('load = 12 kg\ndepth = greatest ?\nrequire depth <= 25 mm')).toMatch(/^25 mm proposed.*requirement/);
  });

  test('where what holds falls into stretches, it says so', () => {
    const text = answer('load = 12 kg\nhole = yes\ndepth = greatest ?');
    expect(text).toMatch(/^40 mm proposed/);
    expect(text).toContain('what holds falls apart: from 12 mm to 20 mm and from 30 mm to 40 mm');
  });

  test('a narrow stretch between two rules is found', () => {
    expect(answer('load = 39.9 kg\ndepth = least ?')).toMatch(/^39\.9 mm proposed/);
  });

  test('where nothing stops it, or no value holds, there is none', () => {
    expect(answer('load = least ?\ndepth = 30 mm')).toBe('nothing stops it: there is no least; it holds up to 30 kg');
    const machine = machineIn(beam('load = 60 kg\ndepth = least ?'));
    expect(machine.choices.map(answerTo)).toEqual([
      'no value holds: B of 46.4 mm bends under 60 kg (beam_bends); B of 60 mm is thicker than 40 mm (beam_thick); 60 mm comes nearest',
    ]);
    expect(findingsOf(machine).join()).toContain('nothing_fits: no value holds');
    expect(machine.choices.map(mayBeWritten)).toEqual([false]);
  });

  test('a requirement and a rule that together leave nothing are both told, and what breaks no rule comes nearest', () => {
    const text = 'depth = 18 mm\nload = greatest ?\nrequire load >= 500 kg';
    expect(answer(text)).toBe(
      'no value holds: load >= 500 kg would not hold (requirement); B of 18 mm bends under 21.5 kg (beam_bends); 18 kg comes nearest',
    );
    expect(findingsOf(machineIn(beam(text)))).toEqual([expect.stringMatching(/^nothing_fits: .* -> requirement$/)]);
    // The good neighbour: what is asked for is within what it carries.
    expect(answer('depth = 18 mm\nload = greatest ?\nrequire load >= 15 kg')).toMatch(/^18 kg proposed/);
  });

  test('where something fails with any value none holds, and it is judged with what comes nearest', () => {
    const text = 'load = 12 kg\ndepth = least ?\nrequire depth + 1 m <= 10 mm';
    expect(answer(text)).toBe('no value holds: depth + 1 m <= 10 mm would not hold (requirement); 12 mm comes nearest');
    const machine = machineIn(beam(text));
    expect(shown(machine, 'depth')).toBe('12 mm');
    expect(machine.choices.map(mayBeWritten)).toEqual([false]);
    // It is found at its own place, once.
    expect(findingsOf(machine).filter((each) => !each.includes('depth + 1 m'))).toEqual([]);
    expect(findingsOf(machine)).toHaveLength(1);
  });

  const bar = (body: string) => `kind bar {
  toplevel
  load: Force {
    within 0 N .. 50 N
  }
  shift: Length default 0 mm {
    within -10 mm .. 10 mm
  }
  pull: Force default 3 N {
    within 2 N .. 50 N
  }
  bears: Force default 60 N
  most: Length default 100 mm {
    within -10 mm .. 100 mm
  }
}
rule breaks on bar {
  holds load <= bears
  holds shift <= most
  holds pull <= bears
  error "{name} breaks"
}
bar b {
  ${body}
}
`;
  const answers = (text: string) => machineIn(text).choices.map(answerTo).join();

  test('where it fails by less, the less there is, the least comes nearest', () => {
    const text = bar('load = greatest ?').replace('load <= bears', 'load <= -1 N');
    expect(answers(text)).toMatch(/^no value holds: b breaks \(breaks\); .* comes nearest$/);
    expect(findingsOf(machineIn(text)).join()).toContain('b breaks');
    expect(parseFloat(String(machineIn(text).choices[0]?.nearest?.text))).toBeLessThan(0.001);
    const upward = bar('load = least ?').replace('load <= bears', 'load >= 99 N');
    expect(answers(upward)).toContain('50 N comes nearest');
  });

  test('what can be meant at all ends the search, and it says so', () => {
    expect(answers(bar('load = greatest ?'))).toBe(
      'nothing stops it up to 50 N, the greatest that can be meant; it holds everywhere',
    );
    expect(answers(bar('load = greatest ?\n  bears = 49.996 N'))).toMatch(/^49\.9 N proposed/);
    // What is round and would hold is no answer where it lies beyond.
    const beyond = bar('load = greatest ?')
      .replace('0 N .. 50 N', '0 N .. 49.96 N')
      .replace('load <= bears', 'load <= 49.95 N or load >= 49.99 N');
    expect(answers(beyond)).toMatch(/^49\.9 N proposed/);
    expect(answers(bar('load = 1 N\n  pull = least ?'))).toBe(
      'nothing stops it down to 2 N, the least that can be meant; it holds everywhere',
    );
    // Nothing at all is no load: of what ends there, no least is told.
    expect(answers(bar('load = least ?'))).toBe('nothing stops it: there is no least; it holds everywhere');
  });

  test('below zero it is looked for as well, where less can be meant', () => {
    expect(answers(bar('load = 1 N\n  shift = greatest ?\n  most = -3 mm'))).toMatch(/^-3 mm proposed, the greatest/);
    expect(answers(bar('load = 1 N\n  shift = least ?'))).toContain('down to -10 mm, the least that can be meant');
  });

  test('points of temperature and counts', () => {
    expect(answer('load = 1 kg\ndepth = 5 mm\nheat = greatest ?')).toMatch(/^66\.6 °C proposed/);
    expect(answer('load = 31 kg\ndepth = 10 mm\npieces = least ?')).toMatch(/^4 proposed/);
  });

  test('a proposal is written as a number with its unit', () => {
    const [choice] = machineIn(beam('load = 12.34 kg\ndepth = least ?')).choices;
    expect(choice?.proposed?.text).toBe('12.4 mm');
    expect(choice && mayBeWritten(choice)).toBe(true);
    const written = beam('load = 12.34 kg\ndepth = 12.4 mm');
    expect(mistakesIn(written)).toEqual([]);
    expect(findingsOf(machineIn(written))).toEqual([]);
  });

  test('where what stands first in another open place lets none hold, what does is looked for with it', () => {
    const props = `kind prop {
  good_for: Mass
  order good_for
}
part prop_weak is prop {
  good_for = 1 kg
}
part prop_strong is prop {
  good_for = 100 kg
}
kind shore {
  toplevel
  has prop
  load: Mass
  depth: Length
}
rule shore_bends on shore {
  holds depth >= load / prop.good_for * 10 mm
  error "bends"
}
rule shore_thick on shore {
  holds depth <= 40 mm
  warning "thick"
}
`;
    const asked = (load: string) => {
      const text = `${props}shore S {\n  prop is ?\n  load = ${load}\n  depth = least ?\n}\n`;
      return machineIn(text).choices.map(({ proposed }) => proposed?.text);
    };
    expect(asked('50 kg')).toEqual(['prop_strong', '5 mm']);
    expect(asked('2 kg')).toEqual(['prop_weak', '20 mm']);
    expect(asked('500 kg')[1]).toBeUndefined();
  });

  test('a requirement that cannot be computed with a value is not met there', () => {
    const text = (ask: string) => `kind pot {
  toplevel
  power: Power
  soon: Time = if power > 50 W then 1000 J / (power - 50 W) else 1 s / (power - power) * power
}
pot P {
  power = ${ask}
  require soon <= 10 s
}
`;
    expect(machineIn(text('least ?')).choices[0]?.proposed?.text).toBe('150 W');
  });
});
