// Which share of the changes of the rules' own texts their examples notice: `npm run grip`, or `npm run grip -- RULE …`. Prints those that
// nobody notices.
import { argv, stdout } from 'node:process';
import { library, ruleExample } from './fixtures.ts';
import { changesOf, isNoticed } from './grip.ts';

const asked = argv.slice(2).filter((word) => !word.startsWith('--'));
const [part = 0, parts = 1] = (argv.find((word) => word.startsWith('--part=')) ?? '--part=0/1')
  .slice(7)
  .split('/')
  .map(Number);
let [tried, noticed] = [0, 0];
for (const [i, { node }] of library.scope.rules().entries()) {
  const rule = node.name?.text ?? '';
  if ((asked.length > 0 && !asked.includes(rule)) || i % parts !== part) continue;
  for (const change of changesOf(node)) {
    tried++;
    if (isNoticed(change, ruleExample(rule) ?? '')) noticed++;
    else stdout.write(`${rule}: ${change.what}\n`);
  }
}
stdout.write(
  `${noticed} of ${tried} changes of the rules noticed by their examples, ${((100 * noticed) / tried).toFixed(0)} %\n`,
);
