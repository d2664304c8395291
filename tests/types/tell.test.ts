import { describe, expect, test } from 'vitest';
import type { Declaration, Entry } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { type AstNode, childrenOf, textOf } from '../../language/grammar/syntax.ts';
import type { Wording } from '../../language/mistakes/mistake.ts';
import {
  expressionAround,
  kindInWords,
  type NodeMistake,
  nodeMistake,
  replace,
  replaceWithNearest,
  statementWord,
  tell,
} from '../../language/types/tell.ts';
import { read, toldOf } from '../support.ts';

const [item] = parse('hall H {\n}\n').file.items;

test('what is told has the code and the gravity of its kind, and its own words', () => {
  const heard: NodeMistake[] = [];
  const kind = { code: 'odd', severity: 'note', why: 'It is odd.', mend: 'Mend it.' } as const;
  const wording: Wording = { kind, message: 'A hall is odd.' };
  const fix = { title: 'Write x', range: () => ({ start: 0, end: 1 }), text: 'x' };
  tell((mistake) => heard.push(mistake), item as Entry, wording, fix);
  expect(heard).toEqual([{ code: 'odd', severity: 'note', message: 'A hall is odd.', node: item, fixes: [fix] }]);
  expect(nodeMistake(item as Entry, wording)).toMatchObject({ fixes: [] });
});

test('a kind in words, and a statement', () => {
  const { scope } = read('kind open_end {\n}\nkind big_hall {\n}\n').file;
  expect(['open_end', 'big_hall'].map((name) => kindInWords(scope.kindNamed(name) as never))).toEqual([
    'an open end',
    'a big hall',
  ]);
  const rule = parse('rule r on k {\n  holds a < b\n  error "x"\n  follows s of self\n}\n').file
    .items[0] as Declaration;
  expect(rule.body?.members.map(statementWord)).toEqual(['holds', 'message', 'follows']);
});

test('a rule that is accepted, or followed, is one that there is', () => {
  const text = (name: string) => `kind hall {
  toplevel
  width: Length default 1 m
}
rule hall_narrow on hall {
  holds width > 2 m
  error "narrow"
}
hall H {
  accept ${name} because "it is"
}
`;
  expect(toldOf(text('hall_narow')).map(({ code, marks, message, fixes }) => [code, marks, message, ...fixes])).toEqual(
    [
      [
        'unknown_rule',
        'hall_narow',
        'There is no rule called hall_narow. Did you mean hall_narrow?',
        'Write hall_narrow',
      ],
    ],
  );
  expect(toldOf(text('whatever')).map(({ message }) => message)).toEqual(['There is no rule called whatever.']);
  expect(toldOf(text('hall_narrow'))).toEqual([]);
});

describe('the expression around a mistake', () => {
  const { file } = parse(`hall H {
  width = (1 m + gap) * 2
  require width > 3 m or lit
  lamp a is bright
}
rule r on k {
  holds a < max(b, c)
  error "{d + e}"
}
`);
  const named = (name: string) => {
    const walk = (node: AstNode): AstNode | undefined =>
      node.$type === 'Name' && textOf(node) === name
        ? node
        : childrenOf(node).reduce<AstNode | undefined>((found, child) => found ?? walk(child), undefined);
    return walk(file) as AstNode;
  };
  const around = (name: string) => {
    const found = expressionAround(named(name));
    return found && textOf(found);
  };

  test('is the outermost, up to its statement', () => {
    expect(around('gap')).toBe('(1 m + gap) * 2');
    expect(around('lit')).toBe('width > 3 m or lit');
    expect(around('c')).toBe('a < max(b, c)');
  });

  test('of a name that stands in no expression is the name', () => expect(around('bright')).toBe('bright'));

  test('of a statement is none', () => expect(expressionAround(file.items[0] as AstNode)).toBeUndefined());

  test('and is replaced by what was meant, if that is known', () => {
    expect(replaceWithNearest(named('gap'), 'slit')).toMatchObject([{ title: 'Write slit', text: 'slit' }]);
    expect(replaceWithNearest(named('gap'), undefined)).toEqual([]);
  });

  test('and is replaced where it stands when that is asked for', () => {
    const fix = replace(named('gap'), 'slit', 'Write slit');
    expect(fix).toMatchObject({ title: 'Write slit', text: 'slit' });
    expect(fix.range()).toEqual({ start: 26, end: 29 });
  });
});
