// `npm run mutate:names`: changes each step of the order in which a name's meaning is looked for (language/types/bind.ts), one at a
// time, and prints how many tests of evaluation, hover, renaming and completion notice it. Ends with 1 where one of them does not.
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { execPath, exit } from 'node:process';
import { makeCopy } from './copy.mjs';

const binder = 'language/types/bind.ts';
const readers = {
  evaluation: 'tests/compute/evaluate-names.test.ts',
  hover: 'tests/server/features/hover.test.ts',
  renaming: 'tests/server/features/rename.test.ts',
  completion: 'tests/answers/complete-expressions.test.ts',
};

const local = "  if (local) return { is: 'local', name, type: local };\n";
const choice = `  const choice = elementOf(expected);
  if (choice?.is === 'choice' && choice.options.includes(name)) return { is: 'choice', word: name, type: choice };
`;
const own = '    ownBinding(name, viewpoint) ??\n';
const called = "    (called && isFunctionName(name) ? { is: 'function', name, type: anyType } : undefined) ??\n";
const around = '    aroundBinding(name, viewpoint) ??\n';
const declared = '    declaredBinding(name, viewpoint.scope) ??\n';
const size = "  if (size) return { is: 'size', size, type: typeOf(size.declaration.type, size.scope) };\n";
const found = "  return found && type && { is: 'declared', node: found.node, scope: found.scope, type };\n";

const steps = [
  ['arguments are not seen', local, ''],
  ['a word that is expected before an argument', local + choice, choice + local],
  ['words that are expected are not seen', choice, ''],
  ['the block itself is not seen', "name === 'self'", 'false'],
  ['what is around before what is own', own + called + around, around + own + called],
  ["the kind around a slot's block is not seen", "return outer && memberBinding(outer, 'around')", 'return undefined'],
  ['what is around before functions of the language', called + around, around + called],
  ['what is declared before what is around', around + declared, declared + around],
  [
    'farther before nearer',
    'for (let holder = instance.around; holder; holder = holder.around) {',
    'const holders = []; for (let at = instance.around; at; at = at.around) holders.unshift(at); for (const holder of holders) {',
  ],
  ['declarations before named sizes', size, size.replace('(size)', '(size && !scope.find(name))')],
  ['declarations are not seen', found, '  return undefined;\n'],
  ['words that every block has are not seen', '    wordBinding(name)\n', '    undefined\n'],
];

const copy = makeCopy();
const source = readFileSync(join(copy, binder), 'utf8');

/** How many tests of each reader fail with a text in place of the binder's. */
function failing(text) {
  writeFileSync(join(copy, binder), text);
  const vitest = [join('node_modules', 'vitest', 'vitest.mjs'), 'run', '--reporter=json', '--outputFile=.told.json'];
  spawnSync(execPath, [...vitest, '--maxWorkers=1', ...Object.values(readers)], { cwd: copy, stdio: 'ignore' });
  const { testResults } = JSON.parse(readFileSync(join(copy, '.told.json'), 'utf8'));
  return Object.values(readers).map((file) => {
    const told = testResults.find(({ name }) => name.endsWith(file));
    return told.assertionResults.filter(({ status }) => status === 'failed').length;
  });
}

const print = (cells, title) => console.log(cells.map((cell) => String(cell).padStart(11)).join(''), ` ${title}`);
print(Object.keys(readers), '');
const rows = [['nothing is changed', failing(source)]];
for (const [title, was, is] of steps) {
  if (source.split(was).length !== 2) throw new Error(`${binder} does not have once: ${was}`);
  rows.push([title, failing(source.replace(was, () => is))]);
  print(rows.at(-1)[1], title);
}
const [[, unchanged], ...changed] = rows;
exit(unchanged.some((count) => count > 0) || changed.some(([, counts]) => counts.includes(0)) ? 1 : 0);
