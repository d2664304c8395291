import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

const kind = (member: string) => `kind k {\n  toplevel\n  length: Length\n  ${member}\n}\n`;
const rule = (clauses: string) => `${kind('text: Text?')}rule r on k {\n  ${clauses}\n}\n`;
const unit = 'Expected a length, this is a power.';
const unheard = 'Nothing is called lenght in k, nor is it shared by what holds one. Did you mean length?';

const mistakes: readonly [text: string, code: string, marks: string, message: string, ...fixes: string[]][] = [
  ['rule r {\n}\n', 'missing_kind', 'r', 'A rule says what it is about: rule NAME on KIND { … }.'],
  ['rule r on kk {\n}\n', 'unknown_kind', 'kk', 'There is no kind called kk.'],
  [rule('holds length > 3 mm'), 'missing_message', 'r', 'A rule has a message: error, warning or advice, and a text.'],
  [rule('error "x"'), 'missing_holds', 'r', 'A rule says what must be so, such as holds current <= capacity.'],
  [rule('holds length > 3 mm\n  error "{lenght}"'), 'unknown_name', 'lenght', unheard, 'Write length'],
  [rule('holds length > 3 W\n  error "x"'), 'wrong_dimension', '3 W', unit],
  [
    rule('when length\n  holds length > 1 m\n  error "x"'),
    'wrong_type',
    'length',
    'Expected yes or no, this is a length.',
  ],
  [rule('holds length > 1 m\n  error "x"\n  at lenght'), 'unknown_name', 'lenght', unheard, 'Write length'],
  [
    rule('holds length > 1 m\n  error "x"\n  remedy lenght'),
    'unknown_value',
    'lenght',
    'A k has no value called lenght.',
  ],
  [rule('holds length > 1 m\n  error "x"\n  remedy length = 3 W'), 'wrong_dimension', '3 W', unit],
  [rule('holds length > 1 m\n  error "x"\n  remedy "{lenght}"'), 'unknown_name', 'lenght', unheard, 'Write length'],
  [
    rule('holds length > 1 m\n  error "x"\n  caution 3'),
    'wrong_type',
    '3',
    'Expected a text in quotes, this is a bare number.',
  ],
  [
    rule('holds length > 1 m\n  error "x"\n  headline length'),
    'not_here',
    'headline length',
    'headline does not belong in a rule.',
  ],
];

const told = (text: string) => toldOf(text).filter(({ severity }) => severity !== 'note');

describe('one mistake in a rule', () => {
  test.each(mistakes)('%s: %s', (text, code, marks, message, ...fixes) => {
    expect(told(text).map(({ severity: _, ...rest }) => rest)).toEqual([{ code, marks, message, fixes }]);
  });
});

const oneOf = (text: string) => told(text).map(({ code, marks, message }) => [code, marks, message]);

test('a rule follows one that there is', () => {
  const rule = (name: string) =>
    `rule first on wire {\n  holds length > 0 m\n  error "short"\n}\nrule second on wire {\n  holds length > 0 m\n  error "short"\n  follows ${name} of self\n}\n`;
  expect(oneOf(rule('firs'))).toEqual([['unknown_rule', 'firs', 'There is no rule called firs. Did you mean first?']]);
  expect(oneOf(rule('first'))).toEqual([]);
});
