// The deletion test over all examples and rules' kept examples: `npm run silence`, or `npm run silence -- --part=1/4 heron`. Each statement
// is taken away alone. Prints how many were tried, those that were missed by nobody, and the seconds it took.
import { argv, exit } from 'node:process';
import { tryAll } from './deletions.ts';
import { isDanger } from './lowered.ts';
import { hasReason } from './reasons.ts';
import { projectOf, sources } from './sources.ts';

const words = argv.slice(2);
const [part = 1, parts = 1] = (words.find((word) => word.startsWith('--part=')) ?? '')
  .replace('--part=', '')
  .split('/')
  .filter(Boolean)
  .map(Number);
const wanted = words.filter((word) => !word.startsWith('--'));
const begin = performance.now();
let [tried, silent, excused, eased, n] = [0, 0, 0, 0, 0];
for (const source of sources()) {
  if (wanted.length > 0 && !wanted.some((word) => source.name.includes(word))) continue;
  const { project, file, files } = projectOf(source);
  const outcome = tryAll(file, files, project, (all) => all.filter(() => n++ % parts === part - 1));
  tried += outcome.tried;
  silent += outcome.silent.filter(({ statement }) => !hasReason(statement)).length;
  excused += outcome.silent.filter(({ statement }) => hasReason(statement)).length;
  const easedWithout = outcome.eased.filter(({ statement }) => !isDanger(statement));
  eased += easedWithout.length;
  for (const { statement, changed } of outcome.silent)
    console.log(
      `${hasReason(statement) ? 'silent, with a reason,' : 'silent'} ${source.name}:${statement.line} ${statement.text}\n  ${changed.slice(0, 6).join('\n  ')}`,
    );
  for (const { statement, changed } of easedWithout)
    console.log(`eased ${source.name}:${statement.line} ${statement.text}\n  ${changed.slice(0, 6).join('\n  ')}`);
}
const seconds = ((performance.now() - begin) / 1000).toFixed(0);
console.log(
  `${tried} statements tried, ${silent} silent, ${excused} silent with a reason, ${eased} eased by a default, ${seconds} s`,
);
exit(silent + eased > 0 ? 1 : 0);
