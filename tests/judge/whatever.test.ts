import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { settle, settledOf } from '../../language/judge/whatever.ts';
import type { Assessed, Project, SourceFile } from '../../language/project.ts';
import { isMissing, Range, Unknown, type Value } from '../../language/values/value.ts';
import { seed } from '../runner/seed.ts';
import { read, undecidedOf } from '../support.ts';
import { halfTyped } from './half-typed.ts';

/** A shelf on two posts, whose length and load may be left out. */
const shelf = (rule: string, lines = '', more = '') => `/// A shelf.
kind shelf {
  toplevel
  /// How long it is.
  length: Length {
    within 0.1 m .. 3 m
  }
  /// How thick it is.
  thickness: Length {
    within 5 mm .. 50 mm
  }
  /// What it is made of.
  made_of: one of oak, pine
  /// Is it glued?
  glued: YesNo
  /// What it may carry.
  limit: Force default 100 N
${more}
}
/// Holds what stands on it.
rule sags on shelf {
  ${rule}
  error "{name} sags: {length}"
  source defined "a test"
}
shelf S {
  ${lines}
}
`;

interface Told {
  readonly project: Project;
  readonly file: SourceFile;
}

function judged(text: string): Told {
  const { project, file } = read(text);
  return { project, file };
}

const machineOf = ({ project, file }: Told) => project.machines(file)[0] as Assessed;

function asked(told: Told): string[] {
  return machineOf(told).assessment.notSaid.map(pathOfNotSaid);
}

/** What is asked once it was searched deeper, what holds whatever is said, and what is found. */
function deeper(text: string) {
  const told = judged(text);
  const before = asked(told);
  for (const _ of told.project.searchDeeper(told.file));
  const { assessment } = machineOf(told);
  return {
    before,
    asked: asked(told),
    holds: assessment.whatever.map(({ whatever }) => whatever),
    found: assessment.findings.map(({ message }) => message),
    undecided: undecidedOf(machineOf(told)).length,
    held: assessment.held,
  };
}

describe('what makes no difference is not asked', () => {
  test('where a rule holds for any number that can be meant', () => {
    expect(deeper(shelf('holds length * 10 N/m <= limit'))).toEqual({
      before: ['length'],
      asked: [],
      holds: ['for any length from 0.1 to 3 m'],
      found: [],
      undecided: 0,
      held: 1,
    });
  });

  test('where it fails for any, which is found, with the numbers at one end', () => {
    const { asked, found, undecided } = deeper(shelf('holds length * 10 N/m >= limit'));
    expect(asked).toEqual([]);
    expect(undecided).toBe(0);
    expect(found).toEqual(['S sags: 100 mm (for any length from 0.1 to 3 m)']);
  });

  test('of two numbers, over both', () => {
    expect(deeper(shelf('holds length + thickness <= 3.05 m')).holds).toEqual([
      'for any length from 0.1 to 3 m and thickness from 5 to 50 mm',
    ]);
  });

  test('of what another branch alone needs', () => {
    expect(deeper(shelf('holds if glued then length <= 4 m else thickness <= 60 mm'))).toMatchObject({
      before: ['glued'],
      asked: [],
      holds: ['whatever glued is, for any thickness from 5 to 50 mm and length from 0.1 to 3 m'],
    });
  });

  test('of the words of a choice, and where it does not apply', () => {
    expect(deeper(shelf('when made_of == oak or glued\n  holds length <= 4 m')).asked).toEqual([]);
    expect(deeper(shelf('holds made_of == oak or made_of == pine')).holds).toEqual(['whatever made_of is']);
  });

  test('of as many as five words, each yes or no, and of no more', () => {
    const of = (names: string[]) => {
      const sum = names.map((name) => `(if ${name} then 1 m else 0 m)`).join(' + ');
      const more = names.map((name) => `  /// Is it?\n  ${name}: YesNo`).join('\n');
      return deeper(shelf(`holds ${sum} <= ${names.length} m`, '', more)).asked;
    };
    expect(of(['a', 'b', 'c', 'd', 'e'])).toEqual([]);
    expect(of(['a', 'b', 'c', 'd', 'e', 'f'])).toContain('f');
  });

  test('of two words, which are told as two', () => {
    const rule = 'holds (if glued then 1 m else 2 m) + (if made_of == oak then 1 m else 2 m) <= 5 m';
    expect(deeper(shelf(rule)).holds).toEqual(['whatever glued and made_of are']);
  });

  test('of as many as six numbers, and of no more', () => {
    const of = (names: string[]) => {
      const more = names.map((name) => `  /// One.\n  ${name}: Length {\n    within 1 m .. 2 m\n  }`).join('\n');
      return deeper(shelf(`holds ${names.join(' + ')} <= 20 m`, '', more)).asked;
    };
    expect(of(['a', 'b', 'c', 'd', 'e', 'f'])).toEqual([]);
    expect(of(['a', 'b', 'c', 'd', 'e', 'f', 'g'])).toContain('g');
  });

  test('where it applies for no number that can be meant', () => {
    expect(deeper(shelf('when length > 4 m\n  holds length <= 1 m'))).toMatchObject({
      before: ['length'],
      asked: [],
      found: [],
      undecided: 0,
    });
  });

  test('where bounds of the whole do not tell, but those of its parts do', () => {
    // Least at 1 m, where it is 0; bounds of the whole take both factors' least together.
    const rule = 'holds (length - 1 m) * (length - 1 m) * 1 N/m^2 >= -0.5 N';
    expect(deeper(shelf(rule)).asked).toEqual([]);
  });

  test('of two numbers the one that may be more is looked at more closely', () => {
    const rule = 'holds (length - 1 m) * (length - 1 m) * 1 N/m^2 + thickness * 1 N/m >= -0.5 N';
    expect(deeper(shelf(rule)).asked).toEqual([]);
  });

  test('of numbers below zero as of those above', () => {
    const offset = '  /// How far off.\n  offset: Length {\n    within -3 m .. 3 m\n  }';
    // Least at -1 m, where it is 0.
    const rule = 'holds (offset + 1 m) * (offset + 1 m) * 1 N/m^2 >= -0.6 N';
    expect(deeper(shelf(rule, '', offset)).asked).toEqual([]);
  });

  test('over ranges that are given as well', () => {
    expect(deeper(shelf('holds length * 10 N/m <= limit', 'limit = 40 N .. 90 N')).asked).toEqual([]);
    expect(deeper(shelf('holds length * 10 N/m <= limit', 'limit = 20 N .. 90 N')).asked).toEqual(['length']);
  });
});

describe('what can change a verdict is asked', () => {
  test.each([
    ['at one end', 'holds length <= 2.9 m', 'length'],
    ['in the middle alone', 'holds (length - 1.4 m) * (length - 1.7 m) >= 0 m^2', 'length'],
    ['in a gap that no point meets', 'holds length < 0.7 m or length > 0.70001 m', 'length'],
    ['through one word', 'holds made_of == oak', 'made_of'],
    ['through yes or no', 'holds glued', 'glued'],
    ['where it cannot be computed at one end', 'holds sqrt(length / 1 m - 0.5) <= 9', 'length'],
  ])('%s', (_, rule, name) => {
    const { asked, undecided, found } = deeper(shelf(rule));
    expect({ asked, undecided, found }).toEqual({ asked: [name], undecided: 1, found: [] });
  });

  test('of money, and of what has an end that is not known, nothing can be meant', () => {
    const price = '  /// What it costs.\n  price: Price {\n    within 1 EUR .. 2 EUR\n  }';
    expect(deeper(shelf('holds price <= 10 EUR', '', price)).asked).toEqual(['price']);
    const upTo = '  /// How far.\n  gap: Length {\n    within 1 mm .. length\n  }';
    expect(deeper(shelf('holds gap <= 10 m', '', upTo)).asked).toEqual(['gap']);
  });

  test('a block that is not there is never supposed', () => {
    const kinds = `/// A post.
kind post {
  inside shelf
  /// How high.
  height: Length {
    within 1 m .. 2 m
  }
}
`;
    const text = kinds + shelf('holds post.height > 0 m', '', '  has post?');
    expect(deeper(text)).toMatchObject({ asked: ['post'], undecided: 1 });
  });
});

describe('what was found out', () => {
  const text = shelf('holds length * 10 N/m <= limit', 'limit = 40 N');

  test('is told in the first frame after an edit that does not touch it, and not after one that does', () => {
    const told = judged(text);
    for (const _ of told.project.searchDeeper(told.file));
    const edited = (lines: string) => {
      const file = told.project.update(told.file.uri, text.replace('limit = 40 N', lines));
      return asked({ ...told, file });
    };
    expect(edited('limit = 40 N\n  glued = yes')).toEqual([]);
    expect(edited('limit = 25 N')).toEqual(['length']);
  });

  test('is forgotten after an edit of what was read only where something was supposed', () => {
    const branches = shelf('holds if glued then 10 N <= limit else 20 N <= limit', 'limit = 40 N');
    const told = judged(branches);
    for (const _ of told.project.searchDeeper(told.file));
    expect(asked(told)).toEqual([]);
    const file = told.project.update(told.file.uri, branches.replace('limit = 40 N', 'limit = 15 N'));
    expect(asked({ ...told, file })).toEqual(['glued']);
  });

  test('leaves what was computed as it was', () => {
    const told = judged(text);
    const { tree, engine, scope } = machineOf(told);
    const [rule] = rulesOn(tree.kind, scope);
    const cell = verdictCell(rule as NonNullable<typeof rule>, tree);
    const corners = engine.corners(cell);
    const { revision } = engine;
    for (const _ of settle(cell, engine));
    expect(settledOf(cell)?.holds).toBe(true);
    expect(engine.corners(cell)).toBe(corners);
    expect(engine.revision).toBe(revision);
    const length = cellOf(tree, 'length');
    expect(length && engine.value(length)).toBeInstanceOf(Unknown);
  });
});

test('of a machine typed half, no value that could be said refutes what is told of any', () => {
  const motion = `  moving_bed motion {
    x {
      travel = 200 mm
      belt_drive {
        belt is belt_2mm_6
        pulley_teeth = 20
      }
    }
  }
`;
  const told = judged(halfTyped('15 degC .. 28 degC', motion));
  for (const _ of told.project.searchDeeper(told.file));
  const { tree, engine, scope } = machineOf(told);
  const settled = tree.all().flatMap((instance) =>
    rulesOn(instance.kind, scope).flatMap((rule) => {
      const cell = verdictCell(rule, instance);
      const found = settledOf(cell);
      return found ? [{ cell, ...found }] : [];
    }),
  );
  expect(settled.length).toBeGreaterThan(0);
  fc.assert(
    fc.property(
      fc.nat({ max: settled.length - 1 }),
      fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 }),
      (n, shares) => {
        const { cell, over, holds } = settled[n] as (typeof settled)[number];
        const supposed = [...over].map(([each, plausible], i): [Cell, Value] => {
          const share = shares[i] as number;
          if (!(plausible instanceof Range))
            return [each, plausible[Math.min(plausible.length - 1, Math.floor(share * plausible.length))] as Value];
          return [each, plausible.low + share * (plausible.high - plausible.low)];
        });
        const { values } = engine.supposing(new Map(supposed), () => engine.corners(cell));
        expect(values.includes(false), cell.path).toBe(!holds);
        expect(values.some(isMissing), cell.path).toBe(false);
      },
    ),
    { seed, numRuns: 60 },
  );
});

test('of hundreds of blocks that all lack something only so many are asked, and the others stay undecided', {
  timeout: 60_000,
}, () => {
  // What feeds each is looked for among all: whatever is supposed of one reaches every other.
  const supplies = Array.from({ length: 150 }, (_, i) => `  supply s${i} { }\n`).join('');
  const told = judged(`machine M {\n${supplies}}\n`);
  for (const _ of told.project.searchDeeper(told.file));
  const { engine, assessment } = machineOf(told);
  expect(engine.putAside).toBeGreaterThan(300_000);
  // Two and a half million, if all were asked.
  expect(engine.putAside).toBeLessThan(600_000);
  expect(assessment.whatever.length).toBeGreaterThan(0);
  expect(assessment.undecided.length).toBeGreaterThan(300);
});
