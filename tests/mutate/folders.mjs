// What is changed, and which tests are asked beside the changed file's twin and its folder's: those that rest on it. `share` is how
// much of what is changed they are to notice.
const core = ['machine', 'values', 'types', 'compute', 'judge', 'answers', 'project'].map((floor) => `tests/${floor}`);

export const folders = [
  { name: 'language/grammar', share: 0.85, tests: ['tests/types', 'tests/answers', 'tests/hostile'] },
  { name: 'language/units', share: 0.85, tests: core },
  { name: 'language/names', share: 0.85, tests: core },
  { name: 'language/machine', share: 0.85, tests: core },
  { name: 'language/values', share: 0.85, tests: core },
  { name: 'language/types', share: 0.85, tests: core },
  { name: 'language/compute', share: 0.85, tests: core },
  { name: 'language/judge', share: 0.85, tests: core },
  {
    name: 'language/answers',
    share: 0.85,
    tests: [...core, 'tests/server/features/completion.test.ts', 'tests/server/features/hover.test.ts'],
  },
  {
    name: 'language/numerics',
    share: 0.9,
    tests: ['tests/library/network.test.ts', 'tests/library/sensors.test.ts', 'tests/library/bed.test.ts'],
  },
  { name: 'language/explore', share: 0.85, tests: [] },
  { name: 'language', share: 0.85, tests: core, shallow: true },
  { name: 'server/cli', share: 0.7, tests: [] },
  { name: 'server/features', share: 0.7, tests: ['tests/server'] },
  { name: 'server/sheet', share: 0.7, tests: [] },
  { name: 'server', share: 0.7, tests: ['tests/server'], shallow: true },
];

/** Tests that take long, asked after all others. */
export const long = [
  'tests/judge/choices.test.ts',
  'tests/judge/joint.counted.test.ts',
  'tests/project/project.test.ts',
  'tests/compute/search.test.ts',
  'tests/compute/adopt.random.test.ts',
  'tests/compute/proof.random.test.ts',
  'tests/server/conversation.test.ts',
  'tests/server/anywhere.test.ts',
];

/** Tests that ask an outside program, or the bundle, which a change does not reach. */
export const deaf = ['tests/server/neovim.test.ts', 'tests/cli/program.test.ts', 'tests/cli/package.test.ts'];
