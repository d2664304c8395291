import { describe, expect, test } from 'vitest';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { leversOf, valueWhereFound } from '../../language/judge/lever.ts';
import { machineIn } from '../support.ts';

const text = (remedy: string, body = '') => `kind hall {
  toplevel
  width: Length default 1 m
  area: Area = width * width
  has lamp*
  has cellar?
  has door
  lamps: list of lamp = each(l for l in every lamp)
  brightest: lamp = first(l for l in every lamp)
  elsewhere: lamp default spare_lamp
  has shutter: shutter {
    lit_by = door.bulb
    opening = width / 2
    slats = 3
  }
}
kind lamp {
  power: Power default 1 W
}
kind cellar {
  depth: Length default 1 m
}
kind door {
  bulb: lamp?
}
kind shutter {
  lit_by: lamp?
  opening: Length default 1 m
  slats: Count default 1
}
part glazed is door {
  bulb = spare_lamp
}
part spare_lamp is lamp {
}
rule r on hall {
  holds width > 2 m
  error "x"
  remedy ${remedy}
}
hall H {
${body}
}
`;

/** What a way out takes hold of, by its path. */
function levers(remedy: string, body = '') {
  const machine = machineIn(text(remedy, body));
  const finding = machine.assessment.findings.find(({ rule }) => rule === 'r');
  if (!finding) throw new Error('the rule holds');
  const declared = finding.declared?.node as Declaration | undefined;
  const node = declared?.body?.members.find(({ $type }) => $type === 'Remedy');
  return leversOf(node as never, finding, machine).map((lever) =>
    lever.is === 'value'
      ? lever.cell.path
      : lever.is === 'role'
        ? `${lever.holder.path} ${lever.role.name}`
        : `${lever.instance.path}${lever.is === 'count' ? ' count' : ''}`,
  );
}

describe('a way out takes hold of', () => {
  test.each([
    ['a value', 'width', '', ['H.width']],
    ['a value of a block', 'cellar.depth', '  cellar', ['H.cellar.depth']],
    ['the same value of each in a list', 'lamps.power', '  lamp a\n  lamp b', ['H.a.power', 'H.b.power']],
    ['the block itself', 'self', '', ['H']],
    ['a block in a role', 'door', '  door', ['H.door']],
    ['a role that nothing fills', 'door', '', ['H door']],
    ['a role for several, whoever is there', 'lamp', '  lamp a', ['H lamp']],
    ['how many blocks there are of each in a list', 'lamps.count', '  lamp a\n  lamp b', ['H.a count', 'H.b count']],
    ['what a kind names, where that is said', 'shutter.lit_by', '  door { bulb = spare_lamp }', ['H.door.bulb']],
    ['the part that says it', 'shutter.lit_by', '  door is glazed', ['H.door']],
    ['what the machine says in its place', 'shutter.lit_by', '  shutter { lit_by = spare_lamp }', ['H.shutter.lit_by']],
    ['what a kind sets to a number of its own', 'shutter.slats', '', ['H.shutter.slats']],
    ['the block that a formula picks', 'brightest', '  lamp a\n  lamp b', ['H.a']],
  ])('%s', (_, remedy, body, expected) => expect(levers(remedy, body)).toEqual(expected));

  test('nothing that is computed, that is not there, or that stands in no machine', () => {
    expect(levers('area')).toEqual([]);
    expect(levers('shutter.opening')).toEqual([]);
    expect(levers('cellar.depth')).toEqual([]);
    expect(levers('brightest')).toEqual([]);
    expect(levers('elsewhere.power')).toEqual([]);
  });
});

test('a value is computed where the rule fails', () => {
  const machine = machineIn(text('width', '  width = 1 m .. 3 m'));
  const finding = machine.assessment.findings.find(({ rule }) => rule === 'r');
  const member = machine.tree.member('area')?.node;
  if (!finding || member?.$type !== 'Entry') throw new Error('there is no finding');
  expect(valueWhereFound(member.value, finding, machine)).toBe(1);
});
