import { expect, test } from 'vitest';
import type { Declaration, Entry } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import type { Problem } from '../../language/types/problem.ts';
import { statementWord, tell, words } from '../../language/types/tell.ts';
import { read, toldOf } from '../support.ts';

const [item] = parse('hall H {\n}\n').file.items;

test('what is told is a sentence, an error where nothing else is said', () => {
  const heard: Problem[] = [];
  const report = (problem: Problem) => heard.push(problem);
  const fix = { title: 'Write x', range: () => ({ start: 0, end: 1 }), text: 'x' };
  tell(report, item as Entry, 'odd', 'a hall is odd.');
  tell(report, item as Entry, 'odd', 'It is odd.', 'note', fix);
  expect(heard).toEqual([
    { code: 'odd', severity: 'error', message: 'A hall is odd.', node: item, fixes: [] },
    { code: 'odd', severity: 'note', message: 'It is odd.', node: item, fixes: [fix] },
  ]);
});

test('a kind in words, and a statement', () => {
  const { scope } = read('kind open_end {\n}\nkind big_hall {\n}\n').file;
  expect(['open_end', 'big_hall'].map((name) => words(scope.kindNamed(name) as never))).toEqual([
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
