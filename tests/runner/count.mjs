// What a run of the tests comes to: how many passed and failed, and why what is not a failed test counts as one all the same.

/** The folder of `tests/` that a file stands in. */
const folderOf = (file) => file.split('/')[1];

/**
 * Counts a run's results. A test left out or refused counts as failed, and so does a file that could not be run; in a run of
 * everything also a folder with fewer tests than it has at least. Returns `passed`, `failed` and `lines`, one for each reason.
 */
export function count({ tests, errors }, { clean, least }) {
  const lines = errors.map((error) => `FAILED: ${error}`);
  let passed = 0;
  let failed = errors.length;
  for (const { file, name, state, refused } of tests) {
    if (state === 'passed' && !refused) passed += 1;
    else failed += 1;
    if (refused) lines.push(`FAILED: refused: ${file}: ${name}: ${refused}`);
    else if (state !== 'passed' && state !== 'failed') lines.push(`FAILED: left out (${state}): ${file}: ${name}`);
  }
  const few = least ? tooFew(tests, least) : [];
  lines.push(...few);
  failed += few.length;
  if (tests.length + errors.length === 0) lines.push('FAILED: no test ran');
  if (failed === 0 && (passed === 0 || !clean)) failed = 1;
  return { passed, failed, lines };
}

function tooFew(tests, least) {
  const there = new Map();
  for (const { file } of tests) there.set(folderOf(file), (there.get(folderOf(file)) ?? 0) + 1);
  const few = Object.entries(least).flatMap(([folder, number]) => {
    const found = there.get(folder) ?? 0;
    return found < number
      ? [
          `FAILED: tests/${folder} has ${found} tests, and had at least ${number}: something makes none any more, or tests/runner/least.json is to follow`,
        ]
      : [];
  });
  const unheard = [...there.keys()].filter((folder) => !(folder in least));
  return [...few, ...unheard.map((folder) => `FAILED: tests/runner/least.json says nothing of tests/${folder}`)];
}
