// What is changed, and which tests are asked: those that stand for it, not all that touch it, for nearly all of them do.
// `share` is how much of what is changed they are to notice.
const core = ['machine', 'values', 'types', 'compute', 'judge', 'answers', 'project'].map((floor) => `tests/${floor}`);

export const folders = [
  { name: 'language/grammar', share: 0.85, tests: ['tests/grammar'] },
  { name: 'language/units', share: 0.85, tests: ['tests/units', ...core] },
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
    tests: [
      'tests/numerics',
      'tests/library/network.test.ts',
      'tests/library/sensors.test.ts',
      'tests/library/bed.test.ts',
    ],
  },
  { name: 'language', share: 0.85, tests: [...core, 'tests/grammar'], shallow: true },
  { name: 'server/cli', share: 0.7, tests: ['tests/cli'] },
  { name: 'server/features', share: 0.7, tests: ['tests/server', 'tests/server/features'] },
  { name: 'server', share: 0.7, tests: ['tests/server', 'tests/server/features'], shallow: true },
];
