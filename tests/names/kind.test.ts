import { describe, expect, test } from 'vitest';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { boundsOf, hasOwnName, type Kind, kindOfRole, type Member, namesIn } from '../../language/names/kind.ts';
import { read } from '../support.ts';

const text = `/// A crate.
/// It holds things.
kind crate {
  toplevel
  inside hall
  symbol "M0 10h40", "C", width
  cores tone, tone, width
  lead beside
  rung "Plan", width
  headline load, width
  order price_of
  shared air: Temperature default 20 degC
  width: Length {
    sizes widths
    shown cm, m
  }
  mass: Mass?
  turns: Count default 3
  load: Mass = 2 kg
  rim(share: Ratio, by: Length): Length = width * share
  price_of: Price?
  spare: long_bolt?
  has bolt*
  has lid?
  has handle
  has front: board
  has back: board {
  }
}
kind big_crate is crate {
  headline turns
  order width
  inside yard
  turns: Count = 5
  turns: Count = 6
  has long_bolt?
}
kind board {
}
kind bolt {
}
kind long_bolt is bolt {
}
kind lid {
}
kind handle {
}
kind hall {
}
kind yard is hall {
}
kind round is square {
}
kind square is round {
}
sizes widths: Length = [1 m, 2 m]
`;

const { scope } = read(text).file;
const kind = (name: string) => scope.kindNamed(name) as Kind;

describe('the members of a kind', () => {
  test('have their roles', () => {
    const roles = [...kind('crate').members.values()].map(({ name, role, occurs }) => [name, occurs ?? role]);
    expect(Object.fromEntries(roles)).toEqual({
      air: 'default',
      width: 'needed',
      mass: 'optional',
      turns: 'default',
      load: 'derived',
      rim: 'derived',
      price_of: 'optional',
      spare: 'optional',
      bolt: 'many',
      lid: 'optional',
      handle: 'once',
      front: 'once',
      back: 'always',
    });
  });

  test('are inherited, and replaced where declared anew; of two of one name the first counts', () => {
    const { members } = kind('big_crate');
    expect(members.get('width')?.owner.name).toBe('crate');
    expect(members.get('turns')).toMatchObject({ role: 'derived', owner: { name: 'big_crate' } });
    const node = members.get('turns')?.node;
    expect(node?.$type === 'Entry' && node.value).toMatchObject({ number: '5' });
    expect(kind('big_crate').ownMembers).toEqual(new Set(['turns', 'long_bolt']));
  });

  test('declared anew can be meant as far as what they replace says, unless they say it', () => {
    const meant = read(`kind box {
  fill: Ratio default 50 % { within 0 .. 1 }
  rise: Ratio default 2
}
kind tray is box {
  fill: Ratio default 20 %
  rise: Ratio default 3 { within 1 .. 9 }
}
kind flat is tray {
  fill: Ratio default 10 %
  rise: Ratio default 4 { within 1 .. 5 }
}
`).file.scope;
    const bounds = (name: string) =>
      [...(meant.kindNamed(name)?.members.values() ?? [])].map((member) => {
        const range = boundsOf(member);
        return range && textOf(range);
      });
    expect(bounds('box')).toEqual(['0 .. 1', '0 .. 1000000']);
    expect(bounds('tray')).toEqual(['0 .. 1', '1 .. 9']);
    expect(bounds('flat')).toEqual(['0 .. 1', '1 .. 5']);
  });

  test('keep their sizes, their units and their arguments', () => {
    expect(kind('crate').members.get('width')).toMatchObject({ sizes: ['widths'], shown: ['cm', 'm'], parameters: [] });
    expect(
      kind('crate')
        .members.get('rim')
        ?.parameters.map(({ name }) => name),
    ).toEqual(['share', 'by']);
    expect([...kind('crate').members.values()].filter(({ shared }) => shared).map(({ name }) => name)).toEqual(['air']);
  });
});

describe('what a kind starts from', () => {
  test('however far', () => {
    expect(kind('big_crate').isA(kind('crate'))).toBe(true);
    expect(kind('crate').isA(kind('big_crate'))).toBe(false);
    expect(kind('crate').isA(kind('crate'))).toBe(true);
    expect(kind('crate').isA(undefined)).toBe(false);
  });

  test('in a ring is nothing', () => {
    expect(kind('round').base).toBeUndefined();
    expect(kind('square').base).toBeUndefined();
    expect(kind('round').isA(kind('square'))).toBe(false);
  });

  test('is headed by its own words, and ranked by those of its base', () => {
    expect(kind('big_crate').headlines).toEqual(['turns', 'load', 'width']);
    expect(kind('big_crate').ranking).toEqual(['price_of', 'width']);
    expect(kind('big_crate').inside).toEqual(['yard', 'hall']);
    expect(kind('crate').headlines).toEqual(['load', 'width']);
  });

  test('hands on that it stands alone, and its symbol', () => {
    expect(['crate', 'big_crate', 'bolt'].map((name) => kind(name).toplevel)).toEqual([true, true, false]);
    expect(['crate', 'big_crate', 'bolt'].map((name) => kind(name).symbol)).toEqual([
      { path: 'M0 10h40', letters: 'C', names: ['width'] },
      { path: 'M0 10h40', letters: 'C', names: ['width'] },
      undefined,
    ]);
    expect(kind('big_crate')).toMatchObject({
      cores: ['tone', 'tone', 'width'],
      lead: ['beside'],
      rung: { heading: 'Plan', names: ['width'] },
    });
    expect(kind('bolt')).toMatchObject({ cores: [], lead: [], rung: undefined });
    expect(kind('crate').documentation).toBe('A crate.\nIt holds things.');
    expect(kind('big_crate').documentation).toBe('');
  });
});

describe('the role that a block fills', () => {
  const role = (of: string, name: string, child: string) => kind(of).roleFor(name, kind(child))?.name;

  test('without a name of its own it is found by the kind', () => {
    expect(role('crate', 'whatever', 'bolt')).toBe('bolt');
    expect(role('crate', 'whatever', 'long_bolt')).toBe('bolt');
    expect(role('crate', 'whatever', 'hall')).toBeUndefined();
  });

  test('is no value that points at a block', () => {
    expect(kind('crate').roles.map(({ name }) => name)).toEqual(['bolt', 'lid', 'handle', 'front', 'back']);
    expect(role('crate', 'spare', 'long_bolt')).toBe('bolt');
  });

  test('the narrowest takes it', () => {
    expect(role('big_crate', 'b', 'long_bolt')).toBe('long_bolt');
    expect(role('big_crate', 'b', 'bolt')).toBe('bolt');
  });

  test('with a name of its own by that name alone', () => {
    expect(role('crate', 'front', 'board')).toBe('front');
    expect(role('crate', 'back', 'board')).toBe('back');
    expect(role('crate', 'side', 'board')).toBeUndefined();
    expect(role('crate', 'front', 'lid')).toBe('lid');
    const named = [...kind('crate').members.values()].filter((member) => hasOwnName(member));
    expect(named.map(({ name }) => [name, kindOfRole(kind('crate').members.get(name) as never)?.name])).toEqual([
      ['front', 'board'],
      ['back', 'board'],
    ]);
  });
});

test('what protects is guarded', () => {
  const { scope: own } = read(
    'kind link_of_tests {\n  rating: Current {\n    protects\n  }\n  length: Length\n}\n',
  ).file;
  expect(own.kindNamed('link_of_tests')?.guarding).toEqual(['rating']);
});

test('a block may stand where a role takes it, or where its kind says so', () => {
  expect(kind('crate').accepts(kind('bolt'))).toBe(true);
  expect(kind('crate').accepts(kind('board'))).toBe(true);
  expect(kind('hall').accepts(kind('crate'))).toBe(true);
  expect(kind('yard').accepts(kind('crate'))).toBe(true);
  expect(kind('hall').accepts(kind('bolt'))).toBe(false);
  expect(kind('bolt').accepts(kind('crate'))).toBe(false);
});

describe('what a kind expects', () => {
  const { scope: own } = read(`kind post {
  inside hall
  spare: Length?
  feed: Count?
  width: Length
  depth: Length default 1 m
  area: Length? = 1 m
  expects given(feed), "What feeds it?"
  expects any(w.tall for w in every wall), "Which wall is tall?"
  expects given(spare)
  has wall?
  has roof
  has beam*
}
kind iron_post is post {
  expects given(width), "How wide is it?"
  expects given(feed), "What feeds iron?"
}
kind wall {
  tall: YesNo default no
}
kind roof {
}
kind beam {
}
kind hall {
}
`).file;
  const post = own.kindNamed('post') as Kind;
  const iron = own.kindNamed('iron_post') as Kind;
  const asked = (of: Kind) =>
    of.expectations.map(({ condition, question, owner }) => [textOf(condition), question.text, owner.name]);

  test('is asked in its own words first; the same condition is asked once, in the nearest words', () => {
    const wall = ['any(w.tall for w in every wall)', '"Which wall is tall?"', 'post'];
    // Without a question nothing is asked.
    expect(asked(post)).toEqual([['given(feed)', '"What feeds it?"', 'post'], wall]);
    expect(asked(iron)).toEqual([
      ['given(width)', '"How wide is it?"', 'iron_post'],
      ['given(feed)', '"What feeds iron?"', 'iron_post'],
      wall,
    ]);
  });

  test('may be lacking, as may what is optional and a role that need not be filled', () => {
    const lacking = (of: Kind) =>
      [...of.members.values()].filter((member) => of.mayLack(member)).map(({ name }) => name);
    expect(lacking(post)).toEqual(['spare', 'feed', 'wall', 'beam']);
    expect(lacking(iron)).toEqual(['spare', 'feed', 'width', 'wall', 'beam']);
    // A role that must be filled is not made one that need not be by what is asked of it.
    const roof = post.members.get('roof') as Member;
    const { scope: asking } = read('kind hut {\n  has roof\n  expects given(roof), "?"\n}\nkind roof {\n}\n').file;
    expect(asking.kindNamed('hut')?.mayLack(roof)).toBe(false);
  });

  test('names what it is made of, each once: what it calls and the kinds that it goes through among them', () => {
    const { file } = read(
      'hall H {\n  w = any(m.top > limit for m in every motor where m.top > m.low) or limit > 2\n}\n',
    );
    const entry = file.parsed.file.items[0] as Entry;
    const given = entry.body?.members[0] as Entry;
    expect(namesIn(given.value as never).toSorted()).toEqual(['any', 'limit', 'm', 'motor']);
  });
});
