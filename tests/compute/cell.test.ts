import { describe, expect, test } from 'vitest';
import {
  blocksOf,
  type Cell,
  cellOf,
  cellsOf,
  computedCell,
  everyCell,
  everyOf,
  surveysOf,
} from '../../language/compute/cell.ts';
import type { Assessed } from '../../language/project.ts';
import { machineIn, read, shown } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has room*
  has lamp*
  width: Length default 4 m
  count_of: Count = count(l for l in every lamp)
}
kind item {
  weight: Mass default 1 kg
}
kind room {
  load: item?
  has lamp {
    what = load
  }
}
kind lamp {
  what: item?
  heavy: Mass = what.weight
}
`;

describe('cells', () => {
  const machine = machineIn(`${kinds}hall H {\n  lamp a\n  room r\n}\n`);
  const { tree } = machine;

  test('there is one for each value that the kind declares, and it stays', () => {
    const width = cellOf(tree, 'width');
    expect(width).toMatchObject({ name: 'width', path: 'H.width', origin: 'default' });
    expect(cellOf(tree, 'width')).toBe(width);
    expect(cellOf(tree, 'nothing')).toBeUndefined();
    expect(cellOf(tree, 'lamp')).toBeUndefined();
    expect(cellOf(undefined, 'width')).toBeUndefined();
  });

  test('for the blocks in a block, and for all of a kind', () => {
    const value = (cell: Cell) => (machine.engine.value(cell) as readonly { path: string }[]).map(({ path }) => path);
    expect(value(blocksOf(tree))).toEqual(['H.a', 'H.r']);
    expect(value(everyOf(tree, machine.scope.kindNamed('lamp') as never))).toEqual(['H.a', 'H.r.lamp']);
    expect(blocksOf(tree)).toBe(blocksOf(tree));
    expect(surveysOf(tree.children.get('r') as never)).toContain(
      everyOf(tree, machine.scope.kindNamed('lamp') as never),
    );
    expect([...everyCell(tree)]).toContain(blocksOf(tree));
    expect([...everyCell(tree)]).toContain(cellsOf(tree).values.get('width'));
  });

  test('what is computed by a cell of its own is derived, and says by which text', () => {
    const cell = computedCell(tree, 'asked', machine.scope, () => 3);
    expect(machine.engine.value(cell)).toBe(3);
    expect(cell).toMatchObject({
      origin: 'derived',
      path: 'H.asked',
      definition: { expression: undefined, spoiled: false },
    });
  });
});

describe('an edit defines a cell anew', () => {
  /** What the lamp in a room is said to hold, after each of some texts in one project. */
  const shownAfter = (path: string, ...texts: string[]) => {
    const { project, file } = read(texts[0] as string);
    return texts.map((text) => {
      project.update(file.uri, text);
      const machine = project.machines(file).find(({ tree }) => tree.name === 'H') as Assessed;
      return shown(machine, path);
    });
  };

  // In the room's kind `load` is what the room was given; in the text of the machine it is the block of that name.
  test('where the same words come to be read in another text', () => {
    const text = (own: string) => `${kinds}hall H {
  item load { weight = 5 kg }
  item other { weight = 7 kg }
  room r {
    load = other
    lamp {
${own}
    }
  }
}
`;
    const items = kinds.replace('  has lamp*\n  width', '  has lamp*\n  has item*\n  width');
    const texts = ['', '      what = load', ''].map((own) => text(own).replace(kinds, items));
    expect(shownAfter('r.lamp.heavy', ...texts)).toEqual(['7 kg', '5 kg', '7 kg']);
  });

  test('where it comes to be given, left out, open or wrong', () => {
    const text = (line: string) => `${kinds}hall H {\n  ${line}\n}\n`;
    expect(
      shownAfter(
        'width',
        ...['', 'width = 5 m', 'width = 6 m', 'width = 6 W', 'width = 1 m / 0', 'width = 2 m', ''].map(text),
      ),
    ).toEqual(['4 m', '5 m', '6 m', 'not known', 'cannot be computed: this divides by zero', '2 m', '4 m']);
  });

  test('what was proposed while it was open is gone once it is given', () => {
    const text = (width: string) => `${kinds}hall H {\n  width = ${width}\n  require width >= 3 m\n}\n`;
    const { project, file } = read(text('least ?'));
    const widthIn = () => {
      const machine = project.machines(file).find(({ tree }) => tree.name === 'H') as Assessed;
      return [machine.choices.length, shown(machine, 'width')];
    };
    expect(widthIn()).toEqual([1, '3 m']);
    project.update(file.uri, text('5 m'));
    expect(widthIn()).toEqual([0, '5 m']);
  });

  test('where blocks come and go', () => {
    const text = (lines: string) => `${kinds}hall H {\n${lines}\n}\n`;
    expect(shownAfter('count_of', ...['', '  lamp a', '  lamp a\n  lamp b * 3', '  room r', ''].map(text))).toEqual([
      '0',
      '1',
      '4',
      '1',
      '0',
    ]);
  });
});
