import { describe, expect, test } from 'vitest';
import { assumptionsOf, cellAt, explainCell, sourcesOf } from '../../language/answers/derivation.ts';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { machineIn } from '../support.ts';

const text = `kind hall {
  toplevel
  has lamp*
  /// How wide.
  width: Length default 4 m
  /// Half of it.
  half: Length = width / 2 {
    source recalled "a book"
    assumes "it is straight"
  }
  rim(share: Ratio, by: Length): Length = width * share + by {
    source defined "here"
  }
  asked: Length = rim(50 %, 1 m) + half
}
kind big_hall is hall {
  width: Length default 5 m
}
kind huge_hall is big_hall {
  width: Length default 6 m
}
kind lamp {
  power: Power
}
hall H {
  width = 3 m .. 5 m
  lamp a {
    power = 2 W {
      source read "a label"
    }
    source quoted "a sheet"
  }
  lamp b {
    power = 3 W
    source quoted "a sheet"
  }
}
big_hall B {
}
huge_hall C {
}
`;
const machine = machineIn(text, 'H');
const explained = (path: string, of = machine) => {
  const cell = cellAt(path, of);
  if (!cell) throw new Error(`there is no ${path}`);
  return explainCell(cell, of);
};

describe('how a value came about', () => {
  test('by its formula, its source and what went in', () => {
    expect(explained('half')).toMatchObject({
      path: 'half',
      shown: '1.5 to 2.5 m',
      extremes: { least: 'at width 3 m', greatest: 'at width 5 m' },
      type: 'a length',
      origin: 'derived',
      documentation: 'Half of it.',
      formula: 'width / 2',
      sources: [{ standing: 'recalled', text: 'a book' }],
      assumptions: ['it is straight'],
    });
    expect(explained('half').inputs.map(({ name }) => name)).toEqual(['width']);
    expect(explained('asked').inputs.map(({ path }) => path)).toEqual([expect.stringContaining('H.rim'), 'H.half']);
  });

  test('where it was given: its own source, or that of the block around it', () => {
    expect(explained('a.power')).toMatchObject({ origin: 'given', formula: '2 W', assumptions: [] });
    expect(explained('b.power').sources).toEqual([{ standing: 'quoted', text: 'a sheet' }]);
    expect(textOf(explained('b.power').writtenAt as never)).toBe('3 W');
  });

  test('a subkind that declares it anew is documented by its base', () => {
    const big = machineIn(text, 'B');
    expect(explained('width', big)).toMatchObject({ origin: 'default', documentation: 'How wide.', formula: '5 m' });
    const huge = machineIn(text, 'C');
    expect(explained('width', huge)).toMatchObject({ documentation: 'How wide.', formula: '6 m' });
    expect(explained('asked', huge).documentation).toBe('');
  });

  test('with the arguments that it is called with', () => {
    for (const call of ['rim(50 %, 1 m)', 'rim(by: 1 m, share: 50 %)'])
      expect(explained(call)).toMatchObject({
        path: 'rim(share: 50 %, by: 1 m)',
        shown: '2.5 to 3.5 m',
        type: 'a length',
      });
  });
});

describe('the cell that a path names', () => {
  test('or none', () => {
    expect(cellAt('a.power', machine)?.path).toBe('H.a.power');
    for (const path of ['nothing', 'a.nothing', 'nothing.power', 'width.power', '1 m', '', 'a.'])
      expect(cellAt(path, machine), path).toBeUndefined();
  });
});

test('sources and assumptions of what has none', () => {
  expect(sourcesOf(undefined)).toEqual([]);
  expect(assumptionsOf(undefined)).toEqual([]);
  const kind = machine.scope.kindNamed('hall')?.node as Declaration;
  expect(sourcesOf(kind)).toEqual([]);
  expect(assumptionsOf(kind)).toEqual([]);
});
