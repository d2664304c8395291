// Writes what each rule's example is found to break, underlined in comments: `npm run underline`, or `npm run underline -- RULE …`.
// Prints each finding that came or went: that is to be judged by who changed the rule, not to be taken over.
import { writeFileSync } from 'node:fs';
import { argv, stdout } from 'node:process';
import { judged, ruleExample, rulesUnderlined, underlined } from './fixtures.ts';
import { ruleExampleFiles } from './rule-examples.ts';

const asked = argv.slice(2);
for (const [rule, url] of ruleExampleFiles) {
  const before = ruleExample(rule);
  if (before === undefined || (asked.length > 0 && !asked.includes(rule))) continue;
  const after = underlined(judged(before));
  if (after === before) continue;
  const [had, has] = [before, after].map(rulesUnderlined) as [string[], string[]];
  const [came, went] = [has.filter((name) => !had.includes(name)), had.filter((name) => !has.includes(name))];
  const told = [...came.map((name) => `  CAME ${name}`), ...went.map((name) => `  WENT ${name}`)].join('');
  stdout.write(`${rule}${told}\n`);
  writeFileSync(url, after);
}
