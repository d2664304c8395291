import { describe, expect, test } from 'vitest';
import { machineIn, mistakesIn, shown } from '../support.ts';
import { meanings, text } from '../types/one-meaning.ts';

const kinds = `/// Holds lamps.
kind hall {
  toplevel
  shared mains: Voltage default 230 V
  width: Length default 4 m
  has lamp*
  has door {
    height = width / 2
  }
}
/// A lamp.
kind lamp {
  voltage: Voltage = mains {
    source defined "a test"
  }
  named: Text = holder.name {
    source defined "a test"
  }
  itself: YesNo = self.count == 2 {
    source defined "a test"
  }
  part_given: YesNo = given(part) {
    source defined "a test"
  }
  maker: Text = part otherwise "none" {
    source defined "a test"
  }
  reach: Length?
  lit: one of bright, dim default dim
}
/// A lamp of a maker.
part small_lamp is lamp {
  lit = bright
}
/// A door.
kind door {
  height: Length
}
`;
const hall = (body: string) => machineIn(`${kinds}hall H {\n${body}\n}\n`);

describe('a name comes to', () => {
  const machine = hall('  lamp a * 2\n  lamp b is small_lamp\n  width = 6 m');

  test('what the blocks around share', () => {
    expect(shown(machine, 'a.voltage')).toBe('230 V');
    expect(shown(hall('  mains = 120 V\n  lamp a'), 'a.voltage')).toBe('120 V');
  });

  test('a value of the kind around the block of a role', () => expect(shown(machine, 'door.height')).toBe('3 m'));

  test('the block itself, what holds it, and what every block has', () => {
    expect(shown(machine, 'a.named')).toBe('H');
    expect(shown(machine, 'a.itself')).toBe('yes');
    expect(shown(machine, 'b.itself')).toBe('no');
    expect(shown(machine, 'a.part_given')).toBe('no');
    expect(shown(machine, 'a.maker')).toBe('none');
    expect(shown(machine, 'b.maker')).toBe('small_lamp');
    expect(shown(machine, 'b.part_given')).toBe('yes');
  });

  test('a word that is expected there, though a block goes by it', () => {
    expect(shown(hall('  lamp bright\n  lamp a { lit = bright }'), 'a.lit')).toBe('bright');
  });

  test('a block around, by its name, in the text of a machine', () => {
    const beside = hall('  lamp a {\n    reach = 2 m\n  }\n  lamp b {\n    reach = 2 * a.reach\n  }');
    expect(shown(beside, 'b.reach')).toBe('4 m');
  });
});

describe('of what a name could mean, it comes to the first', () => {
  test.each(meanings)('$step', ({ value: [path, expected] }) => expect(shown(machineIn(text), path)).toBe(expected));

  test('and nothing of it is a mistake', () => expect(mistakesIn(text)).toEqual([]));
});
