import { describe, expect, test } from 'vitest';
import { Project } from '../../language/project.ts';
import { rewritings, shorten } from '../../language/rewriting.ts';
import { library, read } from '../support.ts';

/** Boxes in which tools lie, and rails that find their stop within them or are told another; in a shed, of which a yard holds some. */
const kinds = `kind yard {
  toplevel
  has shed*
}
kind shed {
  toplevel
  boxed: Length = sum(t.length for t in every tool where given(t.lies_in))
  longest: tool = first(t for t in every tool)
}
kind box {
  inside shed
  holding: list of tool?
  depth: Length default 0.3 m
}
kind tool {
  inside shed
  length: Length default 10 mm
  named_by: box = first(b for b in every box where given(b.holding) and self in b.holding)
  lies_in: box? default named_by
  sunk: Length = if given(lies_in) then lies_in.depth / 3 else 0 m
}
kind stop is tool
kind rail {
  inside shed
  has stop?
  ends_at: tool? default first(s for s in every stop of self)
  travel: Length = 1 m - ends_at.length
}
rule tool_long on tool {
  holds length <= 40 mm
  warning "{name} is {length}"
  source defined "a test"
}
`;

/** What is made of a text that says things at length, its kinds left out; of several files of the first. */
function shortened(text: string, others: Record<string, string> = {}) {
  const { project, file } = read({ 'a.gusset': kinds + text, ...others });
  for (const name of Object.keys(others)) project.file(`file:///${name}`);
  const titles = [...shorten(file.uri, project)];
  return {
    text: project.file(file.uri)?.parsed.text.slice(kinds.length),
    made: titles.filter((title) => title !== undefined),
    tried: titles.length,
  };
}

const boxes = (saw = '{ lies_in = drawer }') => `shed S {
  box drawer
  tool saw ${saw}
  tool file { lies_in = drawer }
}
`;
const rail = `shed S {
  stop end { length = 30 mm }
  rail left { ends_at = end }
  tool saw
  require end.length <= 35 mm
}
`;
const railShort = `shed S {
  rail left {
    stop { length = 30 mm }
  }
  tool saw
  require left.stop.length <= 35 mm
}
`;

describe('what means the same', () => {
  test('is said shorter, one change after the other, until none is left', () => {
    const { text, made } = shortened(boxes());
    expect(text).toContain('holding = [saw, file]');
    expect(text).not.toContain('lies_in');
    expect(made).toEqual(['Name 2 blocks in drawer.holding, and not lies_in in each']);
    expect(shortened(text ?? '')).toMatchObject({ text, made: [] });
  });

  test('though a block moves, and all in it with it', () => {
    const { text, made } = shortened(rail);
    expect(made).toEqual([expect.stringMatching(/^Put end into left/)]);
    expect(text?.replace(/\s+/g, ' ')).toBe(railShort.replace(/\s+/g, ' '));
  });

  test('though something is found of the block that moves, and in a shed that stands in a yard', () => {
    const long = rail.replace('30 mm', '50 mm').replace('35 mm', '60 mm');
    expect(shortened(long).made).toHaveLength(1);
    const yard = `${long}yard Y {\n  shed one is S\n  shed two is S\n}\n`;
    expect(shortened(yard).made).toHaveLength(1);
  });

  test('though a requirement that names the block that moves is not met', () => {
    const unmet = rail.replace('35 mm', '20 mm');
    expect(shortened(unmet).made).toEqual([expect.stringMatching(/^Put end into left/)]);
    // One is met, and the other is not, before and after.
    const two = unmet.replace('  require', '  require end.length >= 1 mm\n  require');
    expect(shortened(two).text).toContain('require left.stop.length <= 20 mm');
  });

  test('in every machine at hand, in other files as well', () => {
    const variant = 'use "./a.gusset"\nshed V is S {\n}\n';
    expect(shortened(boxes(), { 'b.gusset': variant }).made).toHaveLength(1);
    // There one of them lies elsewhere: that is said by the list there as here.
    const elsewhere = 'use "./a.gusset"\nshed V is S {\n  tool saw {\n    no lies_in\n  }\n}\n';
    expect(shortened(boxes(), { 'b.gusset': elsewhere }).made).toHaveLength(1);
  });
});

describe('what does not mean the same', () => {
  test('is left as it is: where a value would be another', () => {
    // A second stop would be found in its place.
    const two = rail.replace('rail left {', 'rail left { stop here { length = 5 mm }\n   ').replace('  tool saw\n', '');
    expect(shortened(two).made).toEqual([]);
    expect(shortened(two).text).toBe(two);
  });

  test('is left where it would in a machine of another file', () => {
    const other = 'use "./a.gusset"\nshed V is S {\n  box drawer {\n    holding = [file]\n  }\n}\n';
    expect(shortened(boxes(), { 'b.gusset': other }).made).toEqual([]);
  });

  test('is left where a text could not be read any more', () => {
    const other = 'use "./a.gusset"\nshed V is S {\n  no end\n}\n';
    const gone = shortened(rail, { 'b.gusset': other });
    expect(gone.made).toEqual([]);
    expect(gone.tried).toBeGreaterThan(0);
  });
});

describe('at a place of the text', () => {
  const offered = (text: string, at: string, saved?: string, others: Record<string, string> = {}) => {
    const texts = { 'a.gusset': kinds + text, ...others };
    const { project, file } = read(texts);
    return rewritings(file, texts['a.gusset'].indexOf(at, kinds.length), project, saved).map(({ title }) => title);
  };

  test('is offered what is said there, and nothing of what stands elsewhere', () => {
    expect(offered(boxes(), 'lies_in')).toContain('Name 2 blocks in drawer.holding, and not lies_in in each');
    expect(offered(boxes(), 'box drawer').join()).not.toContain('Name 2 blocks');
  });

  const part = 'part long_saw is tool {\n  length = 30 mm\n}\nshed S {\n  tool saw is long_saw\n}\n';
  test('a part can go to a file of its own where the text was saved, by a name that is free', () => {
    const fresh = (others: Record<string, string>) =>
      offered(part, 'part long_saw', kinds + part, others).filter((title) => title.includes('stock'));
    expect(fresh({})).toEqual([]);
    const kindsApart = (others: Record<string, string>) => {
      const texts = { 'a.gusset': `use "./kinds.gusset"\n${part}`, 'kinds.gusset': kinds, ...others };
      const { project, file } = read(texts);
      const at = texts['a.gusset'].indexOf('part long_saw');
      const all = (saved?: string) => rewritings(file, at, project, saved);
      return { saved: all(texts['a.gusset']), never: all() };
    };
    const uris = (others: Record<string, string>) =>
      kindsApart(others).saved.flatMap(({ elsewhere }) => (elsewhere ? [elsewhere.uri.slice(8)] : []));
    expect(uris({})).toContain('stock.gusset');
    expect(uris({ 'stock.gusset': '', 'stock_2.gusset': '' })).toContain('stock_3.gusset');
    // It uses there what it saw here.
    const moved = kindsApart({}).saved.find(({ elsewhere }) => elsewhere?.uri.endsWith('stock.gusset'));
    expect(moved?.elsewhere?.text).toContain('use "./kinds.gusset"');
    expect(kindsApart({}).never.some(({ elsewhere }) => elsewhere?.uri.endsWith('stock.gusset'))).toBe(false);
    // To a file that is used it goes where that sees its kind, and that is no file of the library.
    expect(uris({})).toContain('kinds.gusset');
  });
});

test('a file that is not there has nothing to shorten', () => {
  expect([...shorten('file:///none.gusset', new Project(library, { read: () => undefined }))]).toEqual([]);
});
