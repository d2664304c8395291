import { expect, test } from 'vitest';
import { partFromBlock, partInBlock, partToFile } from '../../language/answers/rewrite-parts.ts';
import type { Rewriting } from '../../language/answers/rewriting.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import type { SourceFile } from '../../language/project.ts';
import { read } from '../support.ts';

const kinds = `kind shed {
  toplevel
  width: Length
  has door: door *
}
kind door {
  inside shed
  width: Length
  price: Money?
  opens: YesNo default yes
  has lock: lock ?
}
kind lock {
  inside door
  pins: Count
}
kind fire_door is door {
}
/// Broad.
part broad_door is door {
  // For carts.
  width = 1.2 m {
    source practice "measured"
  }
  price = 80 EUR
  lock {
    pins = 5
  }
}
part heavy_door is fire_door {
  width = 1 m
}
`;

function offered(marked: string, of: (file: SourceFile, offset: number) => Rewriting[]) {
  const text = kinds + marked;
  const plain = text.replace('<|>', '');
  const { file, project } = read(plain);
  const before = project.mistakes(file).map(({ message }) => message);
  return of(file, text.indexOf('<|>')).map(({ title, edits }) => {
    const after = withEdits(edits, plain);
    expect(project.mistakes(project.update(file.uri, after)).map(({ message }) => message)).toEqual(before);
    return [title, after.slice(kinds.length)];
  });
}

test('what a block says of itself is a part', () => {
  expect(
    offered(
      'shed S {\n  width = 3 m\n  door d<|> {\n    // As ours.\n    width = 1 m // wide\n    lock {\n      pins = 6\n    }\n  }\n}\n',
      partFromBlock,
    ),
  ).toEqual([
    [
      'Make d a part of its own: s_d',
      'part s_d is door {\n  // As ours.\n  width = 1 m // wide\n  lock {\n    pins = 6\n  }\n}\n\nshed S {\n  width = 3 m\n  door d is s_d\n}\n',
    ],
  ]);
  expect(offered('shed S {\n  door d<|> is broad_door { opens = no }\n}\n', partFromBlock)).toEqual([
    ['Make d a part of its own: s_d', 'part s_d is broad_door {\n  opens = no\n}\n\nshed S {\n  door d is s_d\n}\n'],
  ]);
});

test('but for what it says of the machine around it, what is open, and what was asked of it', () => {
  expect(
    offered(
      'shed S {\n  width = 3 m\n  door d<|> {\n    width = S.width\n    opens = no\n    require width >= 1 m\n    lock {\n      pins = ?\n    }\n  }\n}\n',
      partFromBlock,
    ),
  ).toEqual([
    [
      'Make d a part of its own: s_d',
      'part s_d is door {\n  opens = no\n}\n\nshed S {\n  width = 3 m\n  door d is s_d {\n    width = S.width\n    require width >= 1 m\n    lock {\n      pins = ?\n    }\n  }\n}\n',
    ],
  ]);
  expect(offered('shed S<|> {\n  width = 3 m\n}\n', partFromBlock)).toEqual([]);
  expect(offered('shed S {\n  door d<|> is ? { opens = no }\n}\n', partFromBlock)).toEqual([]);
});

test('what a part says stands in the block, under what that says itself', () => {
  const text = (marked: string) => offered(marked, partInBlock).map(([, after]) => after);
  const lock = '    lock {\n      pins = 5\n    }\n';
  expect(text('shed S {\n  door d is broad_door<|>\n}\n')).toEqual([
    `shed S {\n  door d {\n    width = 1.2 m\n    price = 80 EUR\n${lock}  }\n}\n`,
  ]);
  expect(text('shed S {\n  door d is broad_door<|> { width = 2 m }\n}\n')).toEqual([
    `shed S {\n  door d {\n    price = 80 EUR\n${lock}    width = 2 m\n  }\n}\n`,
  ]);
  expect(text('shed S {\n  door is heavy_door<|> {\n    opens = no\n  }\n}\n')).toEqual([
    'shed S {\n  fire_door door {\n    width = 1 m\n    opens = no\n  }\n}\n',
  ]);
  expect(text('shed S {\n  door d is broad_door<|> {\n    lock {\n      pins = 6\n    }\n  }\n}\n')).toEqual([]);
});

test('a part moves with what is said above it', () => {
  const { file } = read(kinds);
  const [move] = partToFile(file, kinds.indexOf('part broad'), [{ uri: 'file:///b.gusset', name: 'b.gusset' }]);
  expect(move).toMatchObject({ title: 'Move broad_door to b.gusset', elsewhere: { uri: 'file:///b.gusset' } });
  expect(move?.elsewhere?.text).toMatch(/^\/\/\/ Broad\.\npart broad_door is door \{\n[\s\S]*\n\}\n$/);
  expect(withEdits(move?.edits ?? [], kinds)).toContain('is door {\n}\npart heavy_door');
  expect(partToFile(file, kinds.indexOf('price = 80'), [{ uri: 'file:///b.gusset', name: 'b.gusset' }])).toEqual([]);
});
