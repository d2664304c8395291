import { describe, expect, test } from 'vitest';
import { markedAt, meanings, type OneMeaning } from '../types/one-meaning.ts';
import { inHall, kinds, order, proposals } from './hall.ts';

describe('values that fit come first', () => {
  test('sizes, then the kind’s own, then what is declared, and `?` for what comes in sizes', () => {
    expect(order(inHall('width = <|>'), 'narrow', '2 m', 'deep', 'reach', '?', 'twice', 'rim', 'lit', 'air')).toEqual([
      'narrow',
      '2 m',
      'deep',
      '?',
      'rim',
      'reach',
      'twice',
    ]);
    expect(order(inHall('deep = <|>'), '?', 'narrow')).toEqual([]);
  });

  test('words of a choice, yes and no', () => {
    expect(
      proposals(inHall('mode = <|>'))
        .slice(0, 2)
        .map(({ label }) => label),
    ).toEqual(['dim', 'bright']);
    expect(
      proposals(inHall('lit = <|>'))
        .slice(0, 2)
        .map(({ label }) => label),
    ).toEqual(['yes', 'no']);
  });

  test('words of expressions where one is looked for: in a kind, and for a yes or no, not for a number of a block', () => {
    const words = (marked: string) =>
      proposals(marked).flatMap(({ label, sort }) => (sort === 'keyword' && /^(if|not)$/.test(label) ? [label] : []));
    expect(words(inHall('lit = <|>')).toSorted()).toEqual(['if', 'not']);
    expect(words(inHall('deep = <|>'))).toEqual([]);
    expect(words(`${kinds}kind k is hall {\n  w: Length = <|>\n}\n`).toSorted()).toEqual(['if', 'not']);
  });

  test('not what is being given itself', () => {
    expect(order(inHall('deep = <|>'), 'deep', 'width')).toEqual(['width']);
  });
});

test('where one block is pointed at, what points at another is proposed too; in a list of blocks it is not', () => {
  const room =
    'kind lamp {\n}\nkind room {\n  toplevel\n  has lamp*\n  first: lamp?\n  next: lamp?\n  all: list of lamp?\n}\n';
  const offered = (line: string) =>
    order(`${room}room R {\n  lamp a\n  first = a\n  ${line}\n}\n`, 'a', 'first').toSorted();
  expect(offered('next = <|>')).toEqual(['a', 'first']);
  expect(offered('all = [<|>]')).toEqual(['a']);
});

describe('arguments', () => {
  test('that a call still needs, with what they are', () => {
    const [first, second] = proposals(inHall('deep = rim(<|>'));
    expect([first, second]).toMatchObject([
      { label: 'share', text: 'share: ', sort: 'argument', detail: 'a ratio, in percent' },
      { label: 'by', text: 'by: ', detail: 'a length, in mm or m' },
    ]);
    expect(order(inHall('deep = rim(share: 1, <|>'), 'share', 'by')).toEqual(['by']);
    expect(order(inHall('deep = rim(by: <|>'), 'share', 'by')).toEqual([]);
  });
});

test('what a declaration is: with its arguments, its type and its documentation', () => {
  const of = (name: string) => proposals(inHall('width = <|>')).find(({ label }) => label === name);
  expect(of('reach')).toMatchObject({ sort: 'function', detail: 'a length, in mm or m', documentation: 'How far.' });
  expect(of('twice')?.detail).toBe('(of) a length, in mm or m');
  expect(of('rim')?.detail).toBe('(share, by) a length, in mm or m');
  expect(of('narrow')).toMatchObject({ sort: 'size', detail: 'widths' });
});

describe('what is proposed is what its name means there', () => {
  const labels = (marked: string) => proposals(marked).map(({ label, sort }) => `${sort} ${label}`);

  test('a word of a choice, and not what else goes by it', () => {
    const asked = labels(inHall('mode = <|>', '  lamp dim\n'));
    expect(asked).toContain('choice dim');
    expect(asked).not.toContain('block dim');
    expect(labels(inHall('spare = <|>', '  lamp dim\n'))).toContain('block dim');
  });

  test('an argument, and neither the value nor the function that it hides', () => {
    const asked = labels(`${kinds}kind k is hall {\n  longer(deep: Length, reach: Length): Length = <|>\n}\n`);
    expect(asked).toEqual(expect.arrayContaining(['local deep', 'local reach', 'value width', 'function twice']));
    expect(asked).not.toContain('value deep');
    expect(asked).not.toContain('function reach');
  });

  test('a block’s own value, and not the one that is shared by what holds it', () => {
    const own = kinds.replace(
      'power: Power default 1 W',
      'power: Power default 1 W\n  air: Length default 1 m\n  gap: Length?',
    );
    const asked = proposals(`${own}hall H {\n  lamp a {\n    gap = <|>\n  }\n}\n`).filter(
      ({ label }) => label === 'air',
    );
    expect(asked.map(({ detail }) => detail)).toEqual(['a length, in mm or m']);
  });

  test('nothing that could mean two things', () => {
    const asked = labels(`${kinds}hall H {\n  lamp deep\n  width = <|>\n}\n`);
    expect(asked).not.toContain('value deep');
    expect(asked).not.toContain('block deep');
    expect(asked).toContain('function reach');
  });
});

describe('a name is proposed as what it means, and as nothing else', () => {
  const told = (each: OneMeaning) => {
    const name = /<\|>(\w+)/.exec(markedAt(each))?.[1];
    return proposals(markedAt(each))
      .filter(({ label }) => label === name)
      .map(({ sort, documentation, detail }) => [sort, documentation || detail].filter(Boolean).join(': '));
  };
  test.each(meanings)('$step', (each) => expect(told(each)).toEqual([each.proposed]));
});

test('on a kind that there is not, a way out has nothing to change', () => {
  expect(order('rule r on nothing {\n  remedy <|>\n}\n', 'width', 'deep')).toEqual([]);
  expect(order(`${kinds}rule r on hall {\n  remedy <|>\n}\n`, 'width', 'deep')).toEqual(['width', 'deep']);
});
