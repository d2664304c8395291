import { describe, expect, test } from 'vitest';
import { saidShorter } from '../../language/answers/rewrite-shorter.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { rewritings, shorten } from '../../language/rewriting.ts';
import { read } from '../support.ts';

const kinds = `kind shed {
  toplevel
  /// What lies in its boxes.
  boxed: Length = sum(t.length for t in every tool where given(t.lies_in)) {
    source defined "their sum"
  }
}
kind box {
  inside shed
  /// What lies in it.
  holding: list of tool?
}
kind tool {
  inside shed
  /// How long it is.
  length: Length default 10 mm
  /// The box that names it.
  named_by: box = first(b for b in every box where given(b.holding) and self in b.holding) {
    source defined "the first"
  }
  /// Where it lies.
  lies_in: box? default named_by
}
kind stop is tool
kind rail {
  inside shed
  has stop?
  /// What ends it.
  ends_at: tool? default first(s for s in every stop of self)
}
`;

/** What is made of a text, and the titles of what did. */
function shortened(text: string): { text: string; titles: (string | undefined)[] } {
  const { project, file } = read(kinds + text);
  const titles = [...shorten(file.uri, project)].filter((title) => title !== undefined);
  return { text: project.file(file.uri)?.parsed.text.slice(kinds.length) ?? '', titles };
}

describe('what each of several blocks says of one is said there once', () => {
  test('in a list of its own, or one that is there', () => {
    const text = `shed S {
  box drawer
  tool saw {
    // Sharp.
    lies_in = drawer
    length = 30 mm
  }
  tool file { lies_in = drawer }
}
`;
    const made = `shed S {
  box drawer {
    holding = [saw, file]
  }
  tool saw {
    // Sharp.
    length = 30 mm
  }
  tool file
}
`;
    expect(shortened(text)).toEqual({
      text: made,
      titles: ['Name 2 blocks in drawer.holding, and not lies_in in each'],
    });
    const added = made.replace('  tool file\n', '  tool file\n  tool rule { lies_in = drawer }\n');
    expect(shortened(added).text).toBe(
      made.replace('[saw, file]', '[saw, file, rule]').replace('  tool file\n', '  tool file\n  tool rule\n'),
    );
  });

  test('one to a line where there are many, and where the list stands so', () => {
    const tools = (said: string) => ['a', 'b', 'c', 'd', 'e'].map((name) => `  tool ${name}${said}\n`).join('');
    const list = '    holding = [\n      a,\n      b,\n      c,\n      d,\n      e\n    ]\n';
    expect(shortened(`shed S {\n  box drawer\n${tools(' { lies_in = drawer }')}}\n`).text).toBe(
      `shed S {\n  box drawer {\n${list}  }\n${tools('')}}\n`,
    );
    const more = (said: string, at: string) =>
      `shed S {\n  box drawer {\n${list.replace('e\n', `e${at}\n`)}  }\n${tools('')}  tool f${said}\n}\n`;
    expect(shortened(more(' { lies_in = drawer }', '')).text).toBe(more('', ',\n      f'));
  });

  test('but not of one alone, nor where a note stands behind it, nor of what a variant says', () => {
    for (const text of [
      'shed S {\n  box drawer\n  tool saw { lies_in = drawer }\n}\n',
      'shed S {\n  box drawer\n  tool saw {\n    lies_in = drawer // Here.\n  }\n  tool file {\n    lies_in = drawer // And here.\n  }\n}\n',
      'shed S {\n  box drawer { holding = [saw] }\n  tool saw\n  tool file\n  tool rule\n}\nshed T is S {\n  tool file { lies_in = drawer }\n  tool rule { lies_in = drawer }\n}\n',
    ])
      expect(shortened(text)).toEqual({ text, titles: [] });
  });
});

describe('what a block finds within itself stands there', () => {
  test('with the lines above it, and by its new name wherever it was named', () => {
    const text = `shed S {
  box drawer { holding = [rail_end, saw] }
  // It clicks.
  stop rail_end {
    length = 5 mm
  }

  rail left {
    no stop
    ends_at = rail_end
  }
  tool saw
  require rail_end.length <= 6 mm
}
`;
    const made = `shed S {
  box drawer { holding = [left.stop, saw] }

  rail left {
    // It clicks.
    stop {
      length = 5 mm
    }
  }
  tool saw
  require left.stop.length <= 6 mm
}
`;
    expect(shortened(text)).toEqual({
      text: made,
      titles: ['Put rail_end into left, which finds it there: ends_at need not be said'],
    });
  });

  test('in variants of it, and where it stands on something else, too', () => {
    const grounded = `kind yard {
  toplevel
}
`;
    const text = 'shed S {\n  stop s\n  rail left { ends_at = s }\n}\nshed T is S {\n  rail left\n}\n';
    const { project, file } = read(
      grounded +
        kinds.replace('  toplevel\n', '  toplevel\n  inside yard\n') +
        text +
        'yard y {\n  shed mine is S\n}\n',
    );
    expect([...shorten(file.uri, project)].filter((title) => title !== undefined)).toHaveLength(1);
    expect(project.file(file.uri)?.parsed.text).toContain('rail left { stop }');
  });

  test('but not what two of them share, nor where one stands already', () => {
    const shared = 'shed S {\n  stop s\n  rail left { ends_at = s }\n  rail right { ends_at = s }\n}\n';
    expect(shortened(shared).text).toBe(shared);
    const other = 'shed S {\n  tool s\n  rail left { ends_at = s }\n}\n';
    expect(shortened(other).text).toBe(other);
  });
});

test('what comes to the same by itself is left out, at the cursor too, and nothing else', () => {
  const text = 'shed S {\n  rail left {\n    stop\n    ends_at = stop\n  }\n}\n';
  expect(shortened(text).text).toBe('shed S {\n  rail left {\n    stop\n  }\n}\n');
  const { project, file } = read(kinds + text);
  const at = (word: string) => rewritings(file, file.parsed.text.lastIndexOf(word), project);
  const [offered] = at('ends_at').filter(({ sort }) => sort === 'rewrite');
  expect(offered?.title).toBe('Leave out ends_at = stop of left: it comes to that by itself');
  expect(withEdits(offered?.edits ?? [], file.parsed.text)).toContain('    stop\n  }\n');
  expect(saidShorter(file, file.parsed.text.lastIndexOf('rail left'))).toEqual([]);
});
