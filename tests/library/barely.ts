// Proposes, of each rule, the machines that hold what nothing in its example holds: at its limit, not asked of, broken by one condition
// alone, or as a consequence of another. Ready to be pasted under its example: `npm run barely -- RULE …`. With `--write` they are written there.
import { writeFileSync } from 'node:fs';
import { argv, stdout } from 'node:process';
import { ruleExample } from './fixtures.ts';
import { searchOf, written } from './near-misses.ts';
import { ruleExampleFiles } from './rule-examples.ts';

const words = argv.slice(2);
const asked = words.filter((word) => !word.startsWith('--'));
for (const [rule, url] of ruleExampleFiles) {
  if (asked.length > 0 && !asked.includes(rule)) continue;
  const text = ruleExample(rule) ?? '';
  const search = searchOf(rule, text);
  const proposals = search?.proposals() ?? [];
  const noticed = new Set(proposals.flatMap(({ notices }) => notices));
  const left = search?.missed.filter((change) => !noticed.has(change)) ?? [];
  const machines = written(proposals, text);
  stdout.write(`// ${rule}\n${machines}${left.map(({ what }) => `// Nothing found for: ${what}\n`).join('')}\n`);
  if (machines && words.includes('--write')) writeFileSync(url, `${text}\n${machines}`);
}
