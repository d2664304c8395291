// Which share of the changes of the rules' own texts their examples notice: `npm run grip`, or `npm run grip -- RULE …`. Prints those that
// nobody notices, and the share of each class of change.
import { argv, stdout } from 'node:process';
import { library, ruleExample } from './fixtures.ts';
import { changesOf, missedOf, type RuleChange } from './grip.ts';

const asked = argv.slice(2);
const tried: RuleChange[] = [];
const missed: RuleChange[] = [];
for (const { node } of library.scope.rules()) {
  const rule = node.name?.text ?? '';
  if (asked.length > 0 && !asked.includes(rule)) continue;
  const changes = changesOf(node);
  const unnoticed = missedOf(changes, (name) => ruleExample(name) ?? '');
  for (const { of, what } of unnoticed) stdout.write(`${rule}: ${of}: ${what}\n`);
  tried.push(...changes);
  missed.push(...unnoticed);
}
const share = (of?: string) => {
  const [all, left] = [tried, missed].map((list) => list.filter((change) => !of || change.of === of).length) as [
    number,
    number,
  ];
  return `${all - left} of ${all}, ${((100 * (all - left)) / all).toFixed(0)} %`;
};
for (const each of ['when', 'holds', 'limit', 'follows']) stdout.write(`${each}: ${share(each)}\n`);
stdout.write(`noticed by the examples, of all changes of the rules: ${share()}\n`);
