import { describe, expect, test } from 'vitest';
import {
  Overlay,
  renamedBetween,
  requirementKey,
  statementsIn,
  withNames,
} from '../../language/answers/statement-edits.ts';
import type { Requirement } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';

const before = `use "./stock.gusset"

machine Hut {
  ambient = 20 degC // in the shade
  shelf left is board {
    load = 3 kg
    limit = 5 kg
  }
  shelf right
  require left.share <= 0.8
}
part board is shelf {
  thickness = 18 mm
}
kind lamp is load {
  glow: Power = power {
    source defined "all of it"
  }
}
`;

const edits = (after: string, first = before) =>
  new Overlay(statementsIn(parse(first)), statementsIn(parse(after)), 0).edits.map(
    ({ is, path, before, after }) => `${is} ${path.join('.')}: ${before?.head ?? ''} | ${after?.head ?? ''}`,
  );

describe('edits are told by statements', () => {
  test('order, blanks, comments and lines of a list are none', () => {
    const other = before
      .replace('    load = 3 kg\n    limit = 5 kg\n', '    limit  =  5 kg\n    load = 3 kg // more\n')
      .replace('ambient = 20 degC // in the shade', 'ambient = 20 degC');
    expect(edits(other)).toEqual([]);
  });

  test('a value, a part and a limit that changed are each told at their place', () => {
    const other = before
      .replace('load = 3 kg', 'load = 4 kg')
      .replace('left is board', 'left is plank')
      .replace('<= 0.8', '<= 0.7')
      .replace('18 mm', '25 mm');
    expect(edits(other)).toEqual([
      'changed Hut.left: shelf left is board | shelf left is plank',
      'changed Hut.left.load: load = 3 kg | load = 4 kg',
      'changed Hut.require left.share: require left.share <= 0.8 | require left.share <= 0.7',
      'changed part board.thickness: thickness = 18 mm | thickness = 25 mm',
    ]);
  });

  test('what a formula says is compared as a whole', () => {
    const [only, ...more] = edits(before.replace('all of it', 'most of it'));
    expect(more).toEqual([]);
    expect(only).toMatch(/^changed kind lamp\.glow: .*all of it.* \| .*most of it/);
  });

  test('what came, went and moved', () => {
    const other = before
      .replace('  shelf right\n', '')
      .replace('use "./stock.gusset"\n', '')
      .replace(
        '  require',
        '  site room {\n    shelf left is board {\n      load = 3 kg\n      limit = 5 kg\n    }\n  }\n  require',
      )
      .replace('    load = 3 kg\n    limit = 5 kg\n  }\n  site', '  site');
    expect(edits(other.replace('  shelf left is board {\n  site', '  site'))).toEqual([
      'removed use ./stock.gusset: use "./stock.gusset" | ',
      'removed Hut.left: shelf left is board | ',
      'removed Hut.right: shelf right | ',
      'added Hut.room:  | site room',
    ]);
    const moved = before.replace('part board is shelf {\n  thickness = 18 mm\n}\n', '');
    expect(edits(`${moved}\npart board is shelf {\n  thickness = 18 mm\n}\n`)).toEqual([]);
  });

  test('a block that stands elsewhere as it was is moved', () => {
    const first = 'machine Hut {\n  shelf one {\n    lamp spot { power = 3 W }\n  }\n  shelf two\n}\n';
    const then = 'machine Hut {\n  shelf one\n  shelf two {\n    lamp spot { power = 3 W }\n  }\n}\n';
    const [edit, ...more] = new Overlay(statementsIn(parse(first)), statementsIn(parse(then)), 0).edits;
    expect(more).toEqual([]);
    expect(edit).toMatchObject({ is: 'moved', from: ['Hut', 'one', 'spot'], path: ['Hut', 'two', 'spot'] });
  });
});

describe('a text with some of the edits made', () => {
  const after = before
    .replace('load = 3 kg', 'load = 4 kg')
    .replace('  shelf right\n', '  lamp spot { power = 3 W }\n');
  const overlay = new Overlay(statementsIn(parse(before)), statementsIn(parse(after)), 5);
  const same = (text: string, other: string) => edits(other, text);

  test('none of them is the first, all of them the second', () => {
    expect(overlay.edits.map(({ id }) => id)).toEqual([5, 6, 7]);
    expect(same(overlay.text(new Set()), before)).toEqual([]);
    expect(same(overlay.text(new Set([5, 6, 7])), after)).toEqual([]);
  });

  test('one of them is the first with that', () => {
    expect(same(overlay.text(new Set([5])), before.replace('load = 3 kg', 'load = 4 kg'))).toEqual([]);
  });

  test('items of no concern are left out', () => {
    expect(overlay.text(new Set(), (item) => item === 'Hut')).not.toContain('machine');
  });

  test('what a variant says is an edit each, of a block that is there by its statements', () => {
    const variant =
      'machine Base { }\nmachine Hut is Base {\n  shelf left * 2 is board {\n    load = 4 kg\n  }\n  lamp spot {\n    power = 3 W\n  }\n}\n';
    const items = statementsIn(parse(variant));
    for (const less of [false, true]) {
      const own = new Overlay(items, items, 0);
      own.extra('Hut', less, (path) => path.join('.') === 'left');
      expect(own.edits.map(({ is, path }) => `${is} ${path.join('.')}`)).toEqual(
        less
          ? ['removed Hut.left.load', 'changed Hut.left', 'removed Hut.spot']
          : ['added Hut.left.load', 'changed Hut.left', 'added Hut.spot'],
      );
      const [nothing, everything] = [new Set<number>(), new Set([0, 1, 2])];
      const bare = 'machine Base { }\nmachine Hut is Base\n';
      expect(edits(own.text(less ? everything : nothing), bare)).toEqual([]);
      expect(edits(own.text(less ? nothing : everything), variant)).toEqual([]);
      // The statement alone says more of a block that keeps what it starts from.
      expect(own.text(new Set(less ? [1, 2] : [0]))).toContain('shelf left {\nload = 4 kg\n}');
    }
  });
});

describe('names', () => {
  test('a block that is called otherwise, and says the same', () => {
    const other = withNames(before, new Map([['left', 'upper']]));
    const [a, b] = [statementsIn(parse(before)), statementsIn(parse(other))];
    expect([...renamedBetween(a, b)]).toEqual([['upper', 'left']]);
    expect(edits(withNames(other, renamedBetween(a, b)))).toEqual([]);
  });

  test('a block that says something else is another one', () => {
    const other = before.replace(
      'shelf left is board {\n    load = 3 kg\n    limit = 5 kg',
      'shelf upper is plank {\n    load = 9 kg\n    limit = 8 kg',
    );
    expect([...renamedBetween(statementsIn(parse(before)), statementsIn(parse(other)))]).toEqual([]);
  });

  test('a name that is still used, or has gone to another block already, is nobody else’s', () => {
    const named = (...lines: string[]) => statementsIn(parse(`machine Hut {\n  ${lines.join('\n  ')}\n}\n`));
    const shelf = (name: string) => `shelf ${name} { load = 3 kg }`;
    const site = (name: string, inside: string) => `site ${name} { ${inside} }`;
    // The lamp beside it is called as the shelf was.
    expect([...renamedBetween(named(shelf('left')), named(shelf('upper'), 'lamp left { power = 3 W }'))]).toEqual([]);
    const before = named(site('room', shelf('left')), site('hall', shelf('left')));
    const after = named(site('room', shelf('upper')), site('hall', shelf('lower')));
    expect([...renamedBetween(before, after)]).toEqual([['upper', 'left']]);
  });

  test('a requirement is told by what it is about', () => {
    const keyOf = (text: string) => {
      const [item] = parse(`machine Hut {\n  require ${text}\n}`).file.items;
      const [member] = item?.$type === 'Entry' ? (item.body?.members ?? []) : [];
      return requirementKey((member as Requirement).condition);
    };
    expect(keyOf('left.share <= 0.8')).toBe(keyOf('left.share  < 0.7'));
    expect(keyOf('not left.falls')).toBe('require not left.falls');
  });
});
