import { describe, expect, test } from 'vitest';
import { textOf } from '../../language/grammar/syntax.ts';
import { describeType } from '../../language/names/type.ts';
import {
  contextWithin,
  expectedAt,
  kindsOfText,
  memberOf,
  parametersOf,
  pathAt,
  plainTree,
  situationsAlong,
} from '../../language/types/situation.ts';
import { library, read } from '../support.ts';

const { system } = library.scope;

const kinds = `kind hall {
  toplevel
  width: Length default 1 m
  mode: one of dim, bright default dim
  size: Length x Length
  lit: YesNo default yes
  held: lamp?
  all_of: list of lamp?
  has lamp*
  has spare: lamp {
    power = 2 W
  }
  rim(share: Ratio, by: Length): Length = width * share + by
}
kind lamp {
  power: Power
}
constant depth: Length = 1 m
sizes widths: Length = [1 m, 2 m]
table heat(at: Length, of: Time): Power {
  row 1 m, 2 s: 3 W
}
`;

/** The text around a mark, without it: the innermost node there, what is seen of it, and its file. */
function at(marked: string) {
  const offset = marked.indexOf('<|>');
  if (offset < 0) throw new Error('the text marks no place with <|>');
  const { file } = read(marked.replace('<|>', ''));
  const path = pathAt(file, offset);
  // What is expected is told of the expression, not of the name in it.
  const seen = situationsAlong(path, file.scope).at(path.at(-1)?.$type === 'Name' ? -2 : -1);
  return { file, path, node: path.at(-1), seen };
}

const expected = (marked: string) => {
  const { seen } = at(marked);
  return seen?.expected && describeType(seen.expected, system);
};
const inHall = (line: string) => `${kinds}hall H {\n  ${line}\n}\n`;
const inKind = (line: string) => `${kinds}kind k is hall {\n  ${line}\n}\n`;
const inRule = (line: string) => `${kinds}rule r on hall {\n  ${line}\n}\n`;

describe('what is expected', () => {
  test.each([
    ['a value of a block', inHall('width = 1 <|>m'), 'a length'],
    ['in brackets', inHall('width = (1 <|>m)'), 'a length'],
    ['beside a sum', inHall('width = 1 m + 1 <|>m'), 'a length'],
    ['beside a product any quantity', inHall('width = 1 m * 1 <|>m'), 'anything'],
    ['one side of a size', inHall('size = 1 <|>m x 2 m'), 'a length'],
    ['a block in a block', inHall('lamp a {\n    power = 1 <|>W\n  }'), 'a power'],
    ['a block in a list', inHall('all_of = [la<|>mp]'), 'a lamp'],
    ['how many there are', inHall('lamp a * <|>2'), 'a bare number'],
    ['a requirement', inHall('require l<|>it'), 'yes or no'],
    ['a side of or', inHall('require lit or l<|>it'), 'yes or no'],
    ['beside a comparison', inHall('require width < 1 <|>m'), 'a length'],
    ['before a comparison', inHall('require 1 <|>m < width'), 'a length'],
    ['a word that is compared', inHall('require mode == di<|>m'), 'one of dim, bright'],
    ['one of a list', inHall('require mode in [di<|>m]'), 'one of dim, bright'],
    ['a measurement', inHall('measured width = 1 <|>m on 2026-01-01'), 'a length'],
    ['a condition', inHall('width = if l<|>it then 1 m else 2 m'), 'yes or no'],
    ['a branch', inHall('width = if lit then 1 <|>m else 2 m'), 'a length'],
    ['the other branch', inHall('width = if lit then 1 m else 2 <|>m'), 'a length'],
    ['an argument by its place', inHall('width = rim(50 <|>%, 1 m)'), 'a ratio'],
    ['an argument by its name', inHall('width = rim(by: 1 <|>m, share: 50 %)'), 'a length'],
    ['one of the arguments of min', inHall('width = min(1 m, 2 <|>m)'), 'a length'],
    ['what is asked of any', inHall('require any(l<|>it for l in lamp)'), 'yes or no'],
    ['the condition of a question', inHall('require count(l for l in lamp where l<|>it) > 1'), 'yes or no'],
    ['a default', inKind('deep: Length default 1 <|>m'), 'a length'],
    ['a formula', inKind('deep: Length = 1 <|>m'), 'a length'],
    ['within', inKind('deep: Length {\n    within 1 <|>m .. 2 m\n  }'), 'a length'],
    ['a value of a role’s own block', inKind('has more: lamp {\n    power = 1 <|>W\n  }'), 'a power'],
    ['what a rule holds', inRule('holds l<|>it'), 'yes or no'],
    ['when a rule applies', inRule('when l<|>it'), 'yes or no'],
    ['a caution', inRule('caution "<|>x"'), 'a text in quotes'],
    ['a remedy', inRule('remedy width = 1 <|>m'), 'a length'],
    ['a constant', `${kinds}constant c: Length = 1 <|>m\n`, 'a length'],
    ['a function', `${kinds}function f(x: Time): Length = 1 <|>m\n`, 'a length'],
    ['a size', `${kinds}sizes s: Length = [1 <|>m]\n`, 'a length'],
    ['a key of a table', 'table t(a: Length, b: Time): Power {\n  row 1 m, 2 <|>s: 3 W\n}\n', 'a time'],
    ['the value of a row', 'table t(a: Length, b: Time): Power {\n  row 1 m, 2 s: 3 <|>W\n}\n', 'a power'],
    ['where a rule is told', inRule('at wi<|>dth'), undefined],
  ])('%s', (_, marked, type) => expect(expected(marked)).toBe(type));
});

describe('the nodes around a place', () => {
  test('lead from the item to the innermost, in a text as well', () => {
    const { path } = at(inRule('error "narrow: {wi<|>dth} of it"'));
    expect(path.map(({ $type }) => $type)).toEqual(['Declaration', 'Body', 'Message', 'Text', 'Reference', 'Name']);
    expect(textOf(path.at(-1) as never)).toBe('width');
  });

  test('are those behind which one stands, where nothing else follows', () => {
    expect(textOf(at(inHall('width = depth<|>')).node as never)).toBe('depth');
    expect(at(`${kinds}\n<|>\n`).path).toEqual([]);
  });
});

test('a name is the value that its kind declares', () => {
  const member = (marked: string) => {
    const { path, seen, file } = at(marked);
    const node = path.findLast(({ $type }) => ['Reference', 'Access', 'Call', 'Group'].includes($type));
    return memberOf(
      node as never,
      seen?.ctx ?? contextWithin(node as never, plainTree(path[0] as never, file.scope) as never, file.scope, 'block'),
    )?.name;
  };
  expect(member(inHall('require wi<|>dth > 1 m'))).toBe('width');
  expect(member(inHall('require (width<|>) > 1 m'))).toBe('width');
  expect(member(inHall('require spare.po<|>wer > 1 W'))).toBe('power');
  expect(member(inHall('require ri<|>m(1, 1 m) > 1 m'))).toBe('rim');
  expect(member(inHall('require de<|>pth > 1 m'))).toBeUndefined();
  expect(member(inHall('require 1.po<|>wer > 1 m'))).toBeUndefined();
});

test('the parameters of what is called', () => {
  const parameters = (marked: string) => {
    const { path, seen } = at(marked);
    const call = path.findLast(({ $type }) => $type === 'Call') as { callee?: never } | undefined;
    return parametersOf(call?.callee, seen?.ctx as never).map(({ name }) => name);
  };
  expect(parameters(inHall('require ri<|>m(1, 1 m) > 1 m'))).toEqual(['share', 'by']);
  expect(parameters(inHall('require he<|>at(1 m, 1 s) > 1 W'))).toEqual(['at', 'of']);
  expect(parameters(inHall('require mi<|>n(1, 2) > 1'))).toEqual([]);
});

describe('the kinds whose values a text sees', () => {
  const around = (marked: string) => {
    const { node, file } = at(marked);
    const { kind, around: outer } = kindsOfText(node as never, file.scope);
    return [kind?.name, outer?.name];
  };
  test('that of the kind or of the rule, and in a role’s own block that of the role with the one around it', () => {
    expect(around(inKind('deep: Length = wi<|>dth'))).toEqual(['k', undefined]);
    expect(around(inRule('holds l<|>it'))).toEqual(['hall', undefined]);
    expect(around(inKind('has more: lamp {\n    power = 1 <|>W\n  }'))).toEqual(['lamp', 'k']);
    expect(around(`${kinds}constant c: Length = de<|>pth\n`)).toEqual([undefined, undefined]);
  });
});

test('a tree is built once for a text, and anew where what it sees has changed', () => {
  const { file, project } = read(`${kinds}hall H {\n}\n`);
  const [item] = file.parsed.file.items.slice(-1);
  const tree = plainTree(item as never, file.scope);
  expect(tree?.name).toBe('H');
  expect(plainTree(item as never, file.scope)).toBe(tree);
  expect(plainTree(file.parsed.file.items[0] as never, file.scope)).toBeUndefined();
  project.update(file.uri, `${kinds}part p is lamp {\n}\nhall H {\n}\n`);
  expect(plainTree(item as never, file.scope)).not.toBe(tree);
  expect(plainTree(file.parsed.file.items.at(-2) as never, file.scope)?.kind.name).toBe('lamp');
});

test('what is expected where a node stands, in the text of a machine', () => {
  const { file, node } = at(inHall('lamp a {\n    power = 1 <|>W\n  }'));
  expect(describeType(expectedAt(node as never, file.scope) as never, system)).toBe('a power');
});
