import { mergeConfig } from 'vitest/config';
import { BaseSequencer, type Reporter } from 'vitest/node';
import whole from '../../vitest.config.ts';

/** The tests that are asked, in this order: those that are nearest to the change first. */
const asked: readonly string[] = JSON.parse(process.env.MUTATE_TESTS ?? '[]');
/** Are all changes asked of a file one after another, once it was run? */
const together = process.env.MUTATE_ASKED !== undefined;

class Nearest extends BaseSequencer {
  override async sort(files: Parameters<BaseSequencer['sort']>[0]) {
    const place = (id: string) => asked.findIndex((test) => id.endsWith(`/${test}`));
    return files.toSorted((a, b) => place(a.moduleId) - place(b.moduleId));
  }
}

/** The first test or file that fails has noticed the change; which it is, is told where that is asked for. */
const ends: Reporter = {
  onTestCaseResult: (test) => {
    const { state, errors } = test.result();
    if (state !== 'failed') return;
    if (process.env.MUTATE_SHOW) console.error(`${test.fullName} fails: ${errors[0]?.message}`);
    process.exit(1);
  },
  onTestModuleEnd: (module) => {
    if (module.state() === 'failed') process.exit(1);
  },
};

const { include: _, reporters: __, ...rest } = whole.test ?? {};
export default mergeConfig(
  { test: rest },
  {
    test: {
      include: asked,
      reporters: process.env.MUTATE_SHOW ? ['default', ends] : [ends],
      sequence: { sequencer: Nearest },
      maxWorkers: 1,
      ...(together && { runner: './tests/mutate/runner.ts' }),
      // But for what is changed, a text is read once for all changes.
      fsModuleCache: true,
      fsModuleCachePath: '.modules',
      // That the machine is busy is no sign of a change. Where many are asked, what never ends is given up by the runner, or ended by
      // whoever asks; where one is, it is waited for twice as long as when nothing is changed.
      testTimeout: together ? 600_000 : 60_000,
      hookTimeout: together ? 600_000 : 120_000,
      expect: { poll: { timeout: together ? 60_000 : 20_000 } },
    },
  },
);
