import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import type { Open } from '../../language/grammar/generated/ast.ts';
import {
  candidatesAmong,
  candidatesFor,
  currencyAmong,
  partsAmong,
  partsOfKind,
  preferences,
} from '../../language/judge/candidates.ts';
import type { Kind } from '../../language/names/kind.ts';
import { machineIn } from '../support.ts';

const kinds = `sizes planks: Length = [30 mm, 10 mm, thick = 4 cm, 20 mm] {
  source practice "a test"
}
kind loft {
  toplevel
  has bracket*
  plank: Length {
    sizes planks
  }
  gap: Length?
  finish: one of raw, well_oiled
  held_by: bracket?
  heavy: bracket?
  open: Length?
}
kind bracket {
  good_for: Mass
  cost: Price?
  tall: Length?
  order cost, tall
}
kind strong is bracket {
}
kind other {
  good_for: Mass
}
part wood is bracket {
  good_for = 1 kg
  cost = 2 EUR
  tall = 3 m
}
part iron is bracket {
  good_for = 2 kg
  cost = 2 EUR
  tall = 1 m
}
part steel is strong {
  good_for = 3 kg
  cost = 1.20 USD
}
part gift is bracket {
  good_for = 4 kg
  tall = 2 m
}
part stranger is other {
  good_for = 4 kg
}
`;
const loft = (lines = '', more = '') => machineIn(`${kinds}${more}loft L {\n  ${lines.replaceAll('\n', '\n  ')}\n}\n`);
const cell = (name: string, machine = loft()) => {
  const found = cellOf(machine.tree, name);
  if (!found) throw new Error(`there is no ${name}`);
  return found;
};
const texts = (some: readonly { text: string }[]) => some.map(({ text }) => text);
const kindNamed = (name: string, machine = loft()) => machine.scope.kindNamed(name) as Kind;

describe('what fits', () => {
  test('of sizes all, the least first, by their names where they have some', () => {
    const machine = loft();
    const found = candidatesFor(cell('plank', machine), machine);
    expect(found).toEqual([
      { text: '10 mm', shown: '10 mm', value: 0.01 },
      { text: '20 mm', shown: '20 mm', value: 0.02 },
      { text: '30 mm', shown: '30 mm', value: 0.03 },
      { text: 'thick', shown: '40 mm', value: 0.04 },
    ]);
  });

  test('of words each, as it is written and as it is read', () => {
    const machine = loft();
    expect(candidatesFor(cell('finish', machine), machine)).toEqual([
      { text: 'raw', shown: 'raw', value: 'raw' },
      { text: 'well_oiled', shown: 'well oiled', value: 'well_oiled' },
    ]);
  });

  test('of blocks the parts of their kind and of those that are of it; of what has no sizes nothing', () => {
    const machine = loft();
    expect(texts(candidatesFor(cell('held_by', machine), machine))).toEqual(['iron', 'wood', 'gift', 'steel']);
    expect(candidatesFor(cell('gap', machine), machine)).toEqual([]);
    expect(partsOfKind(kindNamed('strong', machine), machine).map(({ name, part }) => [name, part.kind.name])).toEqual([
      ['steel', 'strong'],
    ]);
  });

  test('of what is listed behind the ? that alone, in the order that it is listed in', () => {
    const among = (name: string, open: string) => {
      const machine = loft(`${name} = ${open}`);
      const of = cell(name, machine);
      return candidatesAmong(of.definition.expression as Open, of, machine).map(
        ({ text, shown }) => `${text}: ${shown}`,
      );
    };
    expect(among('plank', '?')).toHaveLength(4);
    expect(among('plank', '? of [thick, 10 mm]')).toEqual(['thick: 40 mm', '10 mm: 10 mm']);
    // Written otherwise it is the same size, and goes by its name.
    expect(among('plank', '? of [2 cm, 40 mm]')).toEqual(['20 mm: 20 mm', 'thick: 40 mm']);
    expect(among('gap', '? of [1 m, 5 mm]')).toEqual(['1 m: 1 m', '5 mm: 5 mm']);
    expect(among('gap', '? of [1 m, open, 5 mm]')).toEqual(['1 m: 1 m', '5 mm: 5 mm']);
    expect(among('gap', 'least ?')).toEqual([]);
  });

  test('of what has a mistake in it nothing, since that is told', () => {
    const machine = loft('plank = ? of [1 A]');
    const of = cell('plank', machine);
    expect(candidatesAmong(of.definition.expression as Open, of, machine)).toEqual([]);
  });

  test('of sizes with a mistake among them nothing either, or what can be read', () => {
    const planks = (list: string) => machineIn(`${kinds.replace(/\[30 mm.*\]/, list)}loft L {\n  plank = ?\n}\n`);
    for (const list of ['[2 .. 5 mm, 10 mm]', '[nothing, 10 mm]', '[1 mm / 0, 10 mm]', '[]']) {
      const machine = planks(list);
      const found = texts(candidatesFor(cell('plank', machine), machine));
      expect(found.filter((text) => text !== '10 mm')).toEqual([]);
    }
  });

  test('of parts those that are listed, as they are preferred', () => {
    const machine = loft('bracket b is ? of [gift, wood]');
    const open = machine.tree.children
      .get('b')
      ?.layers.flatMap(({ node }) => (node.$type === 'Entry' ? [node.base] : []));
    expect(texts(partsAmong(open?.[0] as Open, kindNamed('bracket', machine), machine))).toEqual(['wood', 'gift']);
    const all = loft('bracket b is ?');
    const [any] =
      all.tree.children.get('b')?.layers.flatMap(({ node }) => (node.$type === 'Entry' ? [node.base] : [])) ?? [];
    expect(partsAmong(any as Open, kindNamed('bracket', all), all)).toHaveLength(4);
  });
});

describe('what speaks for a candidate by itself', () => {
  const counted = (pieces: number, currency?: string, more = '') => {
    const machine = loft('', more);
    const found = candidatesFor(cell('held_by', machine), machine);
    const scores = preferences(found, pieces, currency, machine);
    return Object.fromEntries(found.map(({ text }, i) => [text, scores[i]]));
  };

  test('no price, its price for so many pieces, its rank, alike ones of one; what has no rate has no price', () => {
    expect(counted(1, 'EUR')).toEqual({
      iron: [0, 0, 0, 0, 2e6, 0, 0],
      wood: [0, 0, 0, 0, 2e6, 2, 0],
      gift: [0, 0, 0, 1, 0, 1, 0],
      steel: [0, 0, 0, 1, 0, 3, 0],
    });
    expect(counted(3, 'EUR').iron?.[4]).toBe(6e6);
  });

  test('a rate that is stated leads to a price', () => {
    const rate = 'rate 1 USD = 0.50 EUR on 2026-03-02\n';
    expect(counted(1, 'EUR', rate).steel).toEqual([0, 0, 0, 0, 0.6e6, 3, 0]);
  });

  test('where none has a price, none is missed', () => {
    expect(counted(1).gift).toEqual([0, 0, 0, 0, 0, 1, 0]);
  });

  test('the currency is that of the first that has a price', () => {
    const machine = loft();
    const found = candidatesFor(cell('held_by', machine), machine);
    const named = (...names: string[]) => found.filter(({ text }) => names.includes(text));
    expect(currencyAmong(named('gift', 'wood'), machine)).toBe('EUR');
    expect(currencyAmong(named('gift', 'steel'), machine)).toBe('USD');
    expect(currencyAmong(named('gift'), machine)).toBeUndefined();
    expect(currencyAmong(candidatesFor(cell('plank', machine), machine), machine)).toBeUndefined();
  });

  test('of numbers the size', () => {
    const machine = loft();
    const sizes = preferences(candidatesFor(cell('plank', machine), machine), 1, undefined, machine);
    expect(sizes.map((score) => score.at(-1))).toEqual([0, 1, 2, 3]);
    expect(sizes[0]).toEqual([0, 0, 0, 0, 0, 0, 0]);
  });
});
