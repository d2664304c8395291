import { expect, test } from 'vitest';
import { seed } from '../runner/seed.ts';
import { saidOf } from '../silence/deletions.ts';
import { open } from './fixtures.ts';
import { type Role, ruleExample, ruleExampleFiles, wholeText } from './rule-examples.ts';

/** What the rules decide of one machine of a text, by rule and block. */
function verdictsOf(text: string, role: Role): string[] {
  const { project, file } = open(text);
  const of = new RegExp(` of ${role}(\\.|$)`);
  return [...saidOf(project, [file]).verdicts]
    .flatMap(([key, { verdict }]) => (of.test(key) ? [`${key}: ${verdict}`] : []))
    .toSorted();
}

const oneIn = 6;
const some = [...ruleExampleFiles.keys()].filter((_, i) => i % oneIn === seed % oneIn);

test('a variant of an example is judged as the same machine written as a whole is', () => {
  const otherwise = some.filter((rule) => {
    const text = ruleExample(rule) ?? '';
    const [variant, whole] = [verdictsOf(text, 'Keeps'), verdictsOf(wholeText(text, 'Keeps') ?? '', 'Keeps')];
    return variant.length === 0 || variant.join('\n') !== whole.join('\n');
  });
  expect(some.length).toBeGreaterThan(40);
  expect(otherwise).toEqual([]);
}, 120_000);

test('of a base and its variant, each statement is the nearest one', () => {
  const text = `// What is broken.
machine Breaks {
  relay is relay_a {
    control = first
    //        ^^^^^ some_rule: broken
    rated = 3 A
  }
  fan { power = 3 W }
  lamp left { power = 3 W }
}

// What is kept.
machine Keeps is Breaks {
  relay is relay_b { rated = 4 A }
  no fan
  lamp right { power = 2 W }
}

machine Barely is Keeps {
  relay { rated = 3.5 A }
}
`;
  expect(wholeText(text, 'Barely')).toBe(`machine Barely {
  relay is relay_b {
    control = first
    rated = 3.5 A
  }
  lamp left {
    power = 3 W
  }
  lamp right {
    power = 2 W
  }
}
`);
  expect(wholeText(text, 'Breaks')).toBe(text.slice(0, text.indexOf('// What is kept')));
});
