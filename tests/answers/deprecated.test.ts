import { describe, expect, test } from 'vitest';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { proposed, read } from '../support.ts';

const kinds = `kind drum {
  inside machine
  diameter: Length default calibre
  calibre: Length? { deprecated diameter }
  turns: Count default 3 { deprecated }
  height: Length = 2 * calibre
}
kind barrel is drum {
  deprecated drum
}
part large_drum is drum {
  deprecated wide_drum
  diameter = 80 mm
}
part wide_drum is drum {
  diameter = 80 mm
}
constant reach: Length = 1 m {
  deprecated span
}
constant span: Length = 1 m
function twice(of: Length): Length = 2 * of {
  deprecated
}
rule drum_small on drum {
  when twice(of: reach) > 0 mm
  holds calibre > 10 mm
  error "{calibre}"
  deprecated drum_tiny
}
rule drum_tiny on drum {
  holds diameter > 10 mm
  error "{diameter}"
}
`;

/** What is told of the deprecated in a text, and the text with what is proposed written. */
function told(text: string, own = kinds) {
  const { project, file } = read({ 'a.gusset': `use "./kinds.gusset"\n${text}`, 'kinds.gusset': own });
  const mistakes = project.mistakes(file).filter(({ code }) => code === 'deprecated');
  const edits = mistakes.flatMap(({ fixes }) => fixes[0]?.edits ?? []);
  const mended = withEdits(edits, file.parsed.text).slice(file.parsed.text.indexOf('\n') + 1);
  return { said: mistakes.map(({ message }) => message), mended };
}
const machine = (...lines: string[]) => `machine M {\n  ambient = 20 degC\n${lines.map((l) => `  ${l}\n`).join('')}}\n`;

describe('what is deprecated is told where it is used, and what takes its place is written by a fix', () => {
  test.each<[string, string, string[], string?]>([
    [
      'a value that is given and one that is read',
      machine('drum a { calibre = 5 mm }', 'require a.calibre > 1 mm'),
      Array(2).fill('calibre is no longer to be used: write diameter.'),
      machine('drum a { diameter = 5 mm }', 'require a.diameter > 1 mm'),
    ],
    [
      'a value without a successor',
      machine('drum a { turns = 2 }'),
      ['turns is no longer to be used, and nothing takes its place.'],
    ],
    ['a kind', machine('barrel a'), ['barrel is no longer to be used: write drum.'], machine('drum a')],
    [
      'a part',
      machine('drum a is large_drum'),
      ['large_drum is no longer to be used: write wide_drum.'],
      machine('drum a is wide_drum'),
    ],
    [
      'a constant',
      machine('drum a { diameter = reach }'),
      ['reach is no longer to be used: write span.'],
      machine('drum a { diameter = span }'),
    ],
    [
      'a function',
      machine('drum a { diameter = twice(of: span) }'),
      ['twice is no longer to be used, and nothing takes its place.'],
    ],
    [
      'a rule that is accepted',
      machine('drum a { accept drum_small because "it holds" }'),
      ['drum_small is no longer to be used: write drum_tiny.'],
      machine('drum a { accept drum_tiny because "it holds" }'),
    ],
    ['none of it', machine('drum a is wide_drum', '// calibre, barrel, reach', 'require a.height > 1 mm'), []],
  ])('%s', (_, text, said, mended = text) => {
    expect(told(text)).toEqual({ said, mended });
    expect(told(mended).said.filter((each) => each.includes('write'))).toEqual([]);
  });
});

test('the declaration itself goes on using it; others of its file do not', () => {
  const { project, file } = read(kinds);
  const mistakes = project.mistakes(file).filter(({ code }) => code === 'deprecated');
  const lines = mistakes.map(({ start, end }) => [file.lines.position(start).line + 1, kinds.slice(start, end)]);
  expect(lines).toEqual([
    [26, 'twice'],
    [26, 'reach'],
    [27, 'calibre'],
    [28, 'calibre'],
  ]);
});

test('what takes its place must be there', () => {
  const text = 'kind drum {\n  width: Length { deprecated diametre }\n  deprecated barel\n}\n';
  const { project, file } = read(text);
  expect(project.mistakes(file).map(({ message }) => message)).toEqual([
    'A drum has no value called diametre.',
    'Nothing is called barel.',
  ]);
});

test('a block of a machine says nothing of the kind', () => {
  const { project, file } = read(machine('deprecated bed'));
  expect(project.mistakes(file).map(({ code }) => code)).toContain('not_here');
});

describe('what is deprecated is proposed nowhere, and what takes its place is', () => {
  const inMachine = (line: string) => proposed(kinds + machine(line));
  test.each([
    ['values of a block', () => inMachine('drum a { <|> }'), 'diameter', ['calibre', 'turns']],
    ['values of a subkind', () => proposed(`${kinds}kind tub is drum {\n  <|>\n}\n`), 'diameter', ['calibre', 'turns']],
    ['values after a dot', () => inMachine('drum a\n  require a.<|>'), 'diameter', ['calibre', 'turns']],
    [
      'values in a formula',
      () => proposed(`${kinds}kind tub is drum {\n  rim: Length = <|>\n}\n`),
      'span',
      ['calibre', 'reach', 'twice'],
    ],
    ['blocks', () => inMachine('<|>'), 'drum', ['barrel']],
    ['kinds', () => proposed(`${kinds}rule r on <|>`), 'drum', ['barrel']],
    ['parts', () => inMachine('drum a is <|>'), 'wide_drum', ['large_drum']],
    ['constants', () => inMachine('drum a { diameter = <|> }'), 'span', ['reach', 'twice']],
    ['rules', () => inMachine('drum a { accept <|> }'), 'drum_tiny', ['drum_small']],
  ])('%s', (_, labels, successor, gone) => {
    const found = labels();
    expect(found).toContain(successor);
    expect(found.filter((label) => gone.includes(label))).toEqual([]);
  });
});
