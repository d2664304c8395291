import { describe, expect, test } from 'vitest';
import { writeCount, writePart, writeValue } from '../../language/judge/edit.ts';
import { buildPart } from '../../language/machine/tree.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  half: Length = width / 2
  depth: Length?
}
kind lamp {
  power: Power default 5 W
  has cap: cap {
  }
}
kind cap {
  height: Length default 1 m
}
part bright is lamp {
  power = 10 W
}
kind torch is lamp {
  reach: Length default 1 m
}
part far is torch {
  reach = 9 m
}
hall Base {
  lamp old
}
`;

/** The text of a machine after a value of one of its blocks was written into it. */
function written(machine: string, path: string, name: string, text: string): string {
  const whole = kinds + machine;
  const { tree, entry } = machineIn(whole, 'H');
  const instance = path.split('.').reduce((at, each) => (each ? at.children.get(each) : at) as typeof tree, tree);
  const { start, end, text: by } = writeValue(instance, name, text, entry);
  return (whole.slice(0, start) + by + whole.slice(end)).slice(kinds.length);
}

describe('how many of a block there are is written', () => {
  const counted = (machine: string, name = 'a') => {
    const whole = kinds + machine;
    const { tree, entry } = machineIn(whole, 'H');
    const edit = writeCount(tree.children.get(name) as typeof tree, 3, entry);
    return edit && (whole.slice(0, edit.start) + edit.text + whole.slice(edit.end)).slice(kinds.length);
  };

  test('behind its name, or in place of what stands there', () => {
    expect(counted('hall H {\n  lamp a is bright\n}\n')).toBe('hall H {\n  lamp a * 3 is bright\n}\n');
    expect(counted('hall H {\n  lamp a * 2 is bright\n}\n')).toBe('hall H {\n  lamp a * 3 is bright\n}\n');
    expect(counted('hall H {\n  lamp\n}\n', 'lamp')).toBe('hall H {\n  lamp * 3\n}\n');
  });

  test('not where another machine makes it', () => {
    expect(counted('hall H is Base {\n}\n', 'old')).toBeUndefined();
  });
});

describe('a value is written', () => {
  test('in place of what the item gives', () => {
    expect(written('hall H {\n  width = 5 m\n}\n', '', 'width', '6 m')).toBe('hall H {\n  width = 6 m\n}\n');
  });

  test('in place of what says that there is none', () => {
    expect(written('hall H {\n  no depth\n  lamp a\n}\n', '', 'depth', '6 m')).toBe(
      'hall H {\n  depth = 6 m\n  lamp a\n}\n',
    );
  });

  test('in a line of its own, behind the last one and what is noted there', () => {
    expect(
      written('hall H {\n  lamp a {\n    // A lamp.\n  }\n  lamp b  // and another\n}\n', '', 'width', '6 m'),
    ).toBe('hall H {\n  lamp a {\n    // A lamp.\n  }\n  lamp b  // and another\n  width = 6 m\n}\n');
    expect(written('hall H {\r\n  lamp b // and another\r\n}\n', '', 'width', '6 m')).toBe(
      'hall H {\r\n  lamp b // and another\n  width = 6 m\r\n}\n',
    );
    expect(written('hall H {\n}\n', '', 'width', '6 m')).toBe('hall H {\n  width = 6 m\n}\n');
    expect(written('hall H { }\n', '', 'width', '6 m')).toBe('hall H {\n  width = 6 m }\n');
    expect(written('hall H {}\n', '', 'width', '6 m')).toBe('hall H {\n  width = 6 m\n}\n');
    expect(written('hall H\n', '', 'width', '6 m')).toBe('hall H {\n  width = 6 m\n}\n');
  });

  test('a brace that closes on the same line stays behind', () => {
    expect(written('hall H { lamp a }\n', '', 'width', '6 m')).toBe('hall H { lamp a\n  width = 6 m }\n');
  });

  test('into the block that it belongs to, as deep as that stands', () => {
    expect(written('hall H {\n  lamp a {\n    power = 1 W\n  }\n}\n', 'a', 'power', '2 W')).toBe(
      'hall H {\n  lamp a {\n    power = 2 W\n  }\n}\n',
    );
    expect(written('hall H {\n  lamp a\n}\n', 'a', 'power', '2 W')).toBe(
      'hall H {\n  lamp a {\n    power = 2 W\n  }\n}\n',
    );
    expect(written('hall H {\n  lamp a is bright\n}\n', 'a', 'power', '2 W')).toBe(
      'hall H {\n  lamp a is bright {\n    power = 2 W\n  }\n}\n',
    );
  });

  test('with the blocks around it, where the item has none', () => {
    expect(written('hall H is Base {\n}\n', 'old', 'power', '2 W')).toBe(
      'hall H is Base {\n  old {\n    power = 2 W\n  }\n}\n',
    );
    expect(written('hall H {\n  lamp a\n}\n', 'a.cap', 'height', '2 m')).toBe(
      'hall H {\n  lamp a {\n    cap {\n      height = 2 m\n    }\n  }\n}\n',
    );
    expect(written('hall H is Base {\n  width = 1 m\n}\n', 'old.cap', 'height', '2 m')).toBe(
      'hall H is Base {\n  width = 1 m\n  old {\n    cap {\n      height = 2 m\n    }\n  }\n}\n',
    );
  });

  test('beside a formula, and never into the kind or the part that declares it', () => {
    expect(written('hall H {\n}\n', '', 'half', '6 m')).toBe('hall H {\n  half = 6 m\n}\n');
    expect(written('hall H {\n  lamp a is bright {\n  }\n}\n', 'a', 'power', '2 W')).toBe(
      'hall H {\n  lamp a is bright {\n    power = 2 W\n  }\n}\n',
    );
  });
});

describe('a part is written', () => {
  /** The text of a machine after one of its blocks was let start from a part. */
  function from(machine: string, block: string, part: string, anew = false): string {
    const whole = kinds + machine;
    const { tree, entry, scope } = machineIn(whole, 'H');
    const declared = scope.find(part)?.node;
    const built = declared?.$type === 'Declaration' ? buildPart(declared, scope) : undefined;
    const instance = tree.children.get(block);
    if (!built || !instance) throw new Error(`there is no ${part} or no ${block}`);
    return writePart(instance, part, built, entry, anew)
      .toSorted((a, b) => b.start - a.start)
      .reduce((text, { start, end, text: by }) => text.slice(0, start) + by + text.slice(end), whole)
      .slice(kinds.length);
  }

  test('behind the block’s name and its count, or in place of what stood there', () => {
    expect(from('hall H {\n  lamp a\n}\n', 'a', 'bright')).toBe('hall H {\n  lamp a is bright\n}\n');
    expect(from('hall H {\n  lamp a * 2 {\n  }\n}\n', 'a', 'bright')).toBe(
      'hall H {\n  lamp a * 2 is bright {\n  }\n}\n',
    );
    expect(from('hall H {\n  lamp a is ?\n}\n', 'a', 'bright')).toBe('hall H {\n  lamp a is bright\n}\n');
  });

  test('with its kind, where that is another one', () => {
    expect(from('hall H {\n  torch a\n}\n', 'a', 'bright')).toBe('hall H {\n  lamp a is bright\n}\n');
    expect(from('hall H {\n  torch\n}\n', 'torch', 'bright')).toBe('hall H {\n  lamp torch is bright\n}\n');
    expect(from('hall H {\n  lamp a\n}\n', 'a', 'far')).toBe('hall H {\n  lamp a is far\n}\n');
  });

  test('and what the block says of what the part gives goes, or every number', () => {
    const said = (lines: string) => `hall H {\n  torch a {\n${lines}  }\n}\n`;
    expect(from(said('    power = 1 W\n    reach = 2 m\n'), 'a', 'far')).toBe(
      'hall H {\n  torch a is far {\n    power = 1 W\n  }\n}\n',
    );
    expect(from(said('    power = 1 W\n    reach = 2 m\n'), 'a', 'far', true)).not.toContain('=');
    // A value that the part's kind does not know.
    expect(from(said('    reach = 2 m\n'), 'a', 'bright')).not.toContain('reach');
  });

  test('and what shares its line with a brace goes alone, with the body where nothing else is in it', () => {
    const bodied = (body: string) => from(`hall H {\n  torch a ${body}\n}\n`, 'a', 'far');
    expect(bodied('{ reach = 2 m }')).toBe('hall H {\n  torch a is far\n}\n');
    expect(bodied('{\n    power = 1 W\n    reach = 2 m }')).toBe(
      'hall H {\n  torch a is far {\n    power = 1 W\n    }\n}\n',
    );
    expect(bodied('{ reach = 2 m\n    power = 1 W\n  }')).toBe(
      'hall H {\n  torch a is far {\n    power = 1 W\n  }\n}\n',
    );
    expect(bodied('{  // dim\n    reach = 2 m }')).toBe('hall H {\n  torch a is far {  // dim\n    }\n}\n');
  });

  test('into a block of its own over what is taken over', () => {
    expect(from('hall H is Base {\n}\n', 'old', 'bright')).toBe('hall H is Base {\n  lamp old is bright\n}\n');
  });
});
