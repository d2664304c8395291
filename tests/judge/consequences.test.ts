import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn } from '../support.ts';
import { beam, judged, yard } from './yard.ts';

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

  const hut = `kind hut {
  toplevel
  has wall*
  has roof*
}
kind wall {
  leans: YesNo default no
}
kind roof {
  sags: YesNo default no
  on: list of wall
}
rule wall_leans on wall {
  holds not leans
  warning "{name} leans"
  source defined "a test"
}
rule roof_sags on roof {
  holds not sags
  warning "{name} sags"
  source defined "a test"
  follows wall_leans of on
}
`;
  const found = (body: string) => findingsOf(machineIn(`${hut}hut H {\n${body}\n}\n`));

  test('of a rule that fails at any of several blocks stand under the first of them', () => {
    const walls = '  wall a\n  wall b { leans = yes }\n  wall c { leans = yes }\n  wall d { leans = yes }';
    expect(found(`${walls}\n  roof r {\n    sags = yes\n    on = [a, d, c]\n  }`)).toEqual(
      ['wall_leans: b: b leans', 'wall_leans: c: c leans -> roof_sags', 'wall_leans: d: d leans'].map((line) =>
        line.replace(/^(\w+): \w: /, '$1: '),
      ),
    );
    expect(found(`${walls}\n  roof r {\n    sags = yes\n    on = [a]\n  }`)).toContain('roof_sags: r sags');
  });

  test('and what is found stands in the order of the text', () => {
    expect(found('  roof r {\n    sags = yes\n    on = []\n  }\n  wall a { leans = yes }')).toEqual([
      'roof_sags: r sags',
      'wall_leans: a leans',
    ]);
  });
});
