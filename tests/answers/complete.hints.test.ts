import { describe, expect, test } from 'vitest';
import { complete } from '../../language/answers/complete.ts';
import type { Hints } from '../../language/answers/proposal.ts';
import { read } from '../support.ts';

const kinds = `/// A hall.
kind hall {
  toplevel
  width: Length
  deep: Length default 1 m
  spare: lamp?
  all: list of lamp?
  area: Area = width * deep
  rim(share: Ratio): Length = deep * share
  has lamp*
  has cellar?
  has door
  check swept {
    stage before_power
    how "Sweep"
    with deep, width
  }
}
/// A lamp.
kind lamp {
  specified power
  power: Power
  colour: Text
  price: Price?
  order price
  check lit {
    stage before_power
    how "Look"
  }
}
kind cellar {
  damp: Ratio default 50 %
}
kind door {
}
/// A good one.
part small is lamp {
  power = 4 W
  colour = "white"
  price = 3 EUR
}
part large is lamp {
  power = 10 W
}
`;
/** What is completed where the mark stands. */
function completed(marked: string, hints: Hints = {}) {
  const offset = marked.indexOf('<|>');
  const { file, project } = read(marked.replace('<|>', ''));
  project.mistakes(file);
  return complete(file, offset, hints);
}
const proposals = (marked: string, hints?: Hints) => completed(marked, hints)?.proposals ?? [];
const inHall = (lines: string, more = '') => `${kinds}hall H {\n${lines}\n}\n${more}`;
const of = (marked: string, label: string, hints?: Hints) =>
  proposals(marked, hints).find((each) => each.label === label);

describe('the path behind use', () => {
  const listing = () => {
    const asked: string[] = [];
    const listFiles = (path: string) => {
      asked.push(path);
      return ['deep/', 'b.gusset'];
    };
    return { asked, listFiles };
  };
  const at = (marked: string) => {
    const { asked, listFiles } = listing();
    const found = completed(marked, { listFiles });
    const { start, end, proposals: all = [] } = found ?? {};
    const [labels, texts] = [all.map(({ label }) => label), all.map(({ text }) => text)];
    return { asked, replaced: marked.replace('<|>', '').slice(start, end), labels, texts, all };
  };

  test('is completed in its own folder, and replaced whole; files rank before folders', () => {
    expect(at('use "<|>"')).toMatchObject({ asked: ['./'], replaced: '', labels: ['./deep/', './b.gusset'] });
    expect(at('use "./b<|>"')).toMatchObject({ asked: ['./'], replaced: './b', labels: ['./deep/', './b.gusset'] });
    expect(at('use "b<|>"')).toMatchObject({ asked: ['./'], replaced: 'b', labels: ['./deep/', './b.gusset'] });
    expect(at('use "../stock/x<|>')).toMatchObject({
      asked: ['../stock/'],
      replaced: '../stock/x',
      labels: ['../stock/deep/', '../stock/b.gusset'],
    });
    expect(at('use "./a.gusset"\n  use   "./<|>').labels).toEqual(['./deep/', './b.gusset']);
    expect(at('use "<|>"').all.map(({ rank, sort }) => [rank, sort])).toEqual([
      [1, 'file'],
      [0, 'file'],
    ]);
  });

  test('brings its quotes where they are not there yet; a folder is gone on with', () => {
    expect(at('use <|>')).toMatchObject({ asked: ['./'], replaced: '', texts: ['"./deep/', '"./b.gusset"'] });
    expect(at('use ./b<|>')).toMatchObject({ asked: ['./'], replaced: './b', texts: ['"./deep/', '"./b.gusset"'] });
    expect(at('use = <|>').asked).toEqual([]);
  });

  test('is none where no path is written, and holds nothing where nobody can list folders', () => {
    expect(at('use "./a.gusset" <|>').asked).toEqual([]);
    expect(at('kind use "<|>').asked).toEqual([]);
    expect(proposals('use "<|>"')).toEqual([]);
  });
});

describe('what is usual', () => {
  const usual = (values: readonly string[], times: Record<string, number> = {}, parts: string[] = []): Hints => ({
    usual: { values: () => values, times: ({ name }) => times[name] ?? 0, parts: new Set(parts) },
  });

  test('values that are often given come first where the whole value is written', () => {
    const found = proposals(inHall('  deep = <|>'), usual(['3 m', '4 m'])).slice(0, 2);
    expect(found).toMatchObject([
      { label: '3 m', sort: 'size', rank: -1, detail: 'often' },
      { label: '4 m', rank: -0.99 },
    ]);
    expect(of(inHall('  deep = 1 m + <|>'), '3 m', usual(['3 m']))).toBeUndefined();
    expect(of(inHall('  require deep < <|>'), '3 m', usual(['3 m']))).toBeUndefined();
  });

  test('values and blocks that are often said come before those that seldom are, the more often the earlier', () => {
    const hints = usual([], { spare: 5, cellar: 120, lamp: 7 });
    const rank = (label: string, marked = inHall('  <|>'), some = hints) => of(marked, label, some)?.rank;
    expect(rank('spare', undefined, {})).toBe(2);
    expect(rank('spare')).toBeCloseTo(1.5 - 0.005 + 1e-4, 9);
    // A hundred times and more are as often.
    expect(rank('cellar')).toBeCloseTo(1.5 - 0.099, 9);
    expect(rank('lamp')).toBeCloseTo(1.5 - 0.007, 9);
    // What has to be said stays first.
    expect(rank('width', undefined, usual([], { width: 50 }))).toBe(0);
    expect(rank('deep')).toBe(2.05);
    // What starts from another machine has most of it already.
    expect(rank('spare', inHall('', 'hall I is H {\n  <|>\n}\n'))).toBe(2);
  });

  test('parts that are often taken come before their like', () => {
    const ranks = (hints: Hints) =>
      Object.fromEntries(proposals(inHall('  lamp a is <|>'), hints).map(({ label, rank }) => [label, rank]));
    expect(ranks({})).toMatchObject({ small: 0, large: 0, '?': 3.5 });
    expect(ranks(usual([], {}, ['large']))).toMatchObject({ small: 0, large: -0.5 });
  });
});

test('what rules wait for comes before what is only usual, the more rules the earlier, in its own block', () => {
  const asked = (path: string) =>
    new Map(
      path === 'H'
        ? [
            ['spare', 3],
            ['deep', 30],
          ]
        : path === 'H.cellar'
          ? [['damp', 2]]
          : [],
    ) as ReadonlyMap<string, number>;
  const rank = (marked: string, label: string) => of(marked, label, { asked })?.rank;
  expect(rank(inHall('  <|>'), 'spare')).toBeCloseTo(0.9 - 3e-4, 9);
  expect(rank(inHall('  <|>'), 'deep')).toBeCloseTo(0.9 - 30e-4, 9);
  expect(rank(inHall('  <|>'), 'all')).toBe(2);
  expect(rank(inHall('  cellar {\n    <|>\n  }'), 'damp')).toBeCloseTo(0.9 - 2e-4, 9);
});

test('a block that the lists around speak of comes first of all', () => {
  expect(of(inHall('  all = [cellar, spare]\n  <|>'), 'cellar')?.rank).toBe(-0.5);
  expect(of(inHall('  all = [cellar, spare]\n  <|>'), 'spare')?.rank).toBe(2);
  expect(of(inHall('  spare = cellar\n  <|>'), 'cellar')?.rank).toBe(5);
});

describe('a block with lines to be filled', () => {
  const filled = (marked: string, canFill = true) =>
    proposals(marked, { canFill }).filter(({ label }) => label.endsWith('{ … }'));

  test('has one for each value that it needs, where blanks can be filled', () => {
    expect(filled(inHall('  <|>'))).toMatchObject([
      {
        label: 'lamp { … }',
        sort: 'block',
        rank: 5.15,
        detail: 'with power, colour',
        text: 'lamp {\n  power = \n  colour = \n}',
        blanks: 'lamp {\n  power = $1\n  colour = $2\n}$0',
      },
    ]);
    expect(filled(inHall('  <|>'), false)).toEqual([]);
  });

  test('is not proposed for what is there already', () => {
    expect(filled(inHall('  lamp { power = 1 W }', 'hall I is H {\n  <|>\n}\n'))).toEqual([]);
  });
});

describe('names behind a word', () => {
  test('a part is told with what defines it among its kind, and what it costs', () => {
    expect(of(inHall('  lamp a is <|>'), 'small')).toMatchObject({
      sort: 'part',
      detail: 'lamp · 4 W · 3 EUR',
      documentation: 'A good one.',
    });
    expect(of(inHall('  lamp a is <|>'), 'large')?.detail).toBe('lamp · 10 W');
    // Among parts of all kinds that would say little.
    expect(of(`${kinds}part p is <|>`, 'small')?.detail).toBe('lamp');
  });

  test('a machine starts from another, which is told with its kind', () => {
    const [first, ...others] = proposals(`${kinds}/// The first.\nhall H {\n}\nlamp L {\n}\nhall I is <|>\n`);
    expect(first).toMatchObject({ label: 'H', sort: 'block', rank: 0, detail: 'hall', documentation: 'The first.' });
    expect(others.map(({ label }) => label)).not.toContain('L');
  });

  test('all values can be set in a controller but what takes arguments, those that are computed first', () => {
    const found = proposals(inHall('  set <|>')).map(({ label, rank }) => [label, rank < 4]);
    expect(found).toEqual([
      ['area', true],
      ['width', false],
      ['deep', false],
      ['spare', false],
      ['all', false],
    ]);
  });

  test('what can be checked: of the block itself, then of those in it, each with its path', () => {
    const found = (lines: string) =>
      proposals(inHall(lines)).map(({ label, rank, detail, sort }) => [label, rank, detail, sort]);
    expect(found('  lamp a\n  lamp b\n  checked <|>')).toEqual([
      ['swept', 0, 'of hall', 'check'],
      ['lit of a', 1, 'of lamp', 'check'],
      ['lit of b', 1, 'of lamp', 'check'],
    ]);
    expect(found('  lamp a {\n    checked <|>\n  }')).toEqual([['lit', 0, 'of lamp', 'check']]);
    expect(found('  lamp a\n  checked <|> of a')).toEqual([['lit', 0, 'of lamp', 'check']]);
  });

  test('what a check rests on and its record does not say yet', () => {
    const found = (said: string) =>
      proposals(inHall(`  checked swept on 2026-01-02 with [${said}<|>]`)).map(({ label, text }) => [label, text]);
    expect(found('')).toEqual([
      ['deep', 'deep = '],
      ['width', 'width = '],
    ]);
    expect(found('deep = 1 m, ')).toEqual([['width', 'width = ']]);
  });
});

test('a blank stands behind an equals sign, and before a unit that follows its number at once', () => {
  expect(proposals(inHall('  deep =<|>')).every(({ text }) => text?.startsWith(' '))).toBe(true);
  expect(of(inHall('  deep = <|>'), 'width')?.text ?? 'width').toBe('width');
  expect(of(inHall('  deep = 3 <|>'), 'mm')?.text ?? 'mm').toBe('mm');
});
