import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { markForBlock, markForValue, ownStatement, standsIn } from '../../language/compute/marks.ts';
import { itemOf, textOf } from '../../language/grammar/syntax.ts';
import { machineIn } from '../support.ts';

const text = `kind hall {
  toplevel
  has lamp*
  has post
}
kind post {
  height: Length
  twice: Length = 2 * height
}
kind lamp {
  power: Power
  half: Power = power / 2
  preset: Power default 1 W
  spare: Power?
  has cap: cap {
    width = 3 m
  }
}
kind cap {
  width: Length
}
part bright is lamp {
  power = 10 W
}
hall Base {
  lamp a is bright
}
hall H is Base {
  lamp b is bright {
    preset = 2 W
  }
  lamp c {
    power = 4 W
    no spare
  }
  post {
    height = 2 m
  }
}
`;
const { tree, entry } = machineIn(text, 'H');
const block = (name: string) => {
  const found = tree.children.get(name);
  if (!found) throw new Error(`there is no ${name}`);
  return found;
};
const marks = (name: string, value: string) => textOf(markForValue(cellOf(block(name), value) as never, entry));

describe('what is marked', () => {
  test('for a value: what the machine’s own text gives, or else its block’s name', () => {
    expect(marks('b', 'preset')).toBe('2 W');
    expect(marks('b', 'power')).toBe('b');
    expect(marks('b', 'half')).toBe('b');
    expect(marks('c', 'power')).toBe('4 W');
    expect(marks('c', 'preset')).toBe('c');
    // What is said not to be there, and a block that goes by its role.
    expect(marks('c', 'spare')).toBe('no spare');
    expect(marks('post', 'twice')).toBe('post');
  });

  test('for what another machine’s text puts there: the nearest block around it that is its own', () => {
    expect(marks('a', 'power')).toBe('H');
    expect(textOf(markForBlock(block('b').children.get('cap') as never, entry))).toBe('b');
    expect(textOf(markForBlock(tree, entry))).toBe('H');
  });
});

test('a block of one’s own is one that the item writes', () => {
  expect(ownStatement(block('a'), entry)).toBeUndefined();
  expect(itemOf(ownStatement(block('b'), entry) as never)).toBe(entry);
  expect(standsIn(undefined, entry)).toBe(false);
  expect(standsIn(ownStatement(block('b'), entry), entry)).toBe(true);
});
