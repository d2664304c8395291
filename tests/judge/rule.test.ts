import { describe, expect, test } from 'vitest';
import { acceptancesOf, notApplicable, ruleNamed, rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { Fault, Unknown } from '../../language/values/value.ts';
import { machineIn, read } from '../support.ts';

const kinds = `kind hall {
  toplevel
  width: Length default 4 m
  lit: YesNo default yes
  gap: Length?
  says: Text default "a"
}
kind big_hall is hall {
}
`;
const rule = (name: string, on: string, clauses: string) =>
  `rule ${name} on ${on} {\n${clauses.replace(/^/gm, '  ')}\n}\n`;
const plain = 'holds width < 3 m\nerror "wide"';

describe('a rule', () => {
  test('is on its kind and on all that start from it, one’s own first, in the order of the text', () => {
    const used = rule('used_one', 'hall', plain).replace('hall {', 'hall {');
    const { file } = read({
      'a.gusset': `use "./b.gusset"\n${rule('first', 'big_hall', plain)}${rule('second', 'hall', plain)}`,
      'b.gusset': kinds + used,
    });
    const names = (kind: string) => rulesOn(file.scope.kindNamed(kind) as never, file.scope).map(({ name }) => name);
    expect(names('big_hall')).toEqual(['first', 'second', 'used_one']);
    expect(names('hall')).toEqual(['second', 'used_one']);
    expect(ruleNamed('used_one', file.scope)?.scope).toBe(file.scope.used[0]);
    expect(ruleNamed('no_such_rule', file.scope)).toBeUndefined();
  });

  test('that is half written is none', () => {
    const clauses = ['holds width < 3 m', 'error "wide"', 'holds width < 3 m\nerror', plain];
    const text = clauses.map((each, i) => rule(`r${i}`, 'hall', each)).join('');
    const { scope } = read(`${kinds}${text}${rule('lost', 'nothing', plain)}`).file;
    expect(rulesOn(scope.kindNamed('hall') as never, scope).map(({ name }) => name)).toEqual(['r3']);
    expect(ruleNamed('lost', scope)).toBeUndefined();
  });

  test('keeps its clauses apart', () => {
    const { scope } = read(
      `${kinds}${rule('r', 'hall', 'when lit\nwhen width > 1 m\nholds width < 3 m\nholds lit\nadvice "a"\ncaution "b"\nat width\nremedy width = 1 m\nremedy "mend it"\nfollows s of self')}${rule('s', 'hall', plain)}`,
    ).file;
    const { when, holds, at, remedies, follows, severity, caution, key } = ruleNamed('r', scope) ?? {};
    expect([when, holds, at, remedies, follows].map((each) => each?.length)).toEqual([2, 2, 1, 2, 1]);
    expect([severity, caution?.text, key]).toEqual(['advice', '"b"', 'rule r']);
    expect(ruleNamed('s', scope)).toMatchObject({ severity: 'error', caution: undefined });
  });
});

describe('its verdict', () => {
  const verdict = (clauses: string, lines = '') => {
    const machine = machineIn(`${kinds}${rule('r', 'hall', `${clauses}\nerror "x"`)}hall H {\n${lines}\n}\n`);
    const found = rulesOn(machine.tree.kind, machine.scope).find(({ name }) => name === 'r');
    const cell = verdictCell(found as never, machine.tree);
    expect(verdictCell(found as never, machine.tree)).toBe(cell);
    return machine.engine.value(cell);
  };

  test('all that it holds must be so', () => {
    expect(verdict('holds width < 5 m\nholds lit')).toBe(true);
    expect(verdict('holds width < 5 m\nholds not lit')).toBe(false);
    expect(verdict('holds width < 3 m\nholds gap < 1 m')).toBe(false);
    expect(verdict('holds gap < 1 m\nholds width < 3 m')).toBe(false);
    expect(verdict('holds gap < 1 m\nholds width < 5 m')).toBeInstanceOf(Unknown);
  });

  test('a guard that says no keeps it away, one that is not known leaves it open', () => {
    expect(verdict('when width > 5 m\nholds width < 3 m')).toBe(notApplicable);
    expect(verdict('when width < 5 m\nwhen not lit\nholds width < 3 m')).toBe(notApplicable);
    expect(verdict('when gap > 5 m\nholds width < 3 m')).toBeInstanceOf(Unknown);
    expect(verdict('when width / 0 > 5 m\nholds width < 3 m')).toBeInstanceOf(Fault);
    // The first that decides is enough.
    expect(verdict('when not lit\nwhen gap > 5 m\nholds width < 3 m')).toBe(notApplicable);
    expect(verdict('when gap > 5 m\nwhen not lit\nholds width < 3 m')).toBeInstanceOf(Unknown);
  });
});

test('acceptances are those of all texts of a block, the most specific first', () => {
  const { tree } = machineIn(
    `${kinds}${rule('r', 'hall', plain)}${rule('s', 'hall', plain)}hall Base {\n  accept r because "one"\n}\nhall H is Base {\n  accept s because "two"\n  accept\n}\n`,
    'H',
  );
  expect(acceptancesOf(tree).map(({ node }) => [node.rule.text, node.reason?.text])).toEqual([
    ['s', '"two"'],
    ['r', '"one"'],
  ]);
});

test('of a block that says nothing there are none', () => {
  const lamps = kinds.replace('  toplevel\n', '  toplevel\n  has lamp*\n');
  const { tree } = machineIn(
    `${lamps}kind lamp {\n}\npart small is lamp {\n}\nhall H {\n  lamp a\n  lamp b is small\n}\n`,
  );
  expect([...tree.children.values()].map((each) => acceptancesOf(each))).toEqual([[], []]);
});
