// Prints, of each rule, the machine that holds it at its limit, ready to be pasted under its example: `npm run barely -- RULE …`. With
// `--write` it is written there.
import { writeFileSync } from 'node:fs';
import { argv, stdout } from 'node:process';
import { ruleExample } from './fixtures.ts';
import { barely } from './limits.ts';
import { ruleExampleFiles } from './rule-examples.ts';

const words = argv.slice(2);
const asked = words.filter((word) => !word.startsWith('--'));
for (const [rule, url] of ruleExampleFiles) {
  const text = ruleExample(rule) ?? '';
  if ((asked.length > 0 && !asked.includes(rule)) || / Barely is Keeps /.test(text)) continue;
  const proposed = barely(rule, text);
  stdout.write(`// ${rule}\n${proposed ?? '// No number of its example leads to its limit.\n'}\n`);
  if (proposed && words.includes('--write')) writeFileSync(url, `${text}\n${proposed}`);
}
