import { mergeConfig } from 'vitest/config';
import whole from '../../vitest.config.ts';

// The tests that `run.mjs` names, in one process after another, without what is printed of them.
const { include: _, reporters: __, ...rest } = whole.test ?? {};
export default mergeConfig(
  { test: rest },
  { test: { include: (process.env.MUTATE_TESTS ?? '').split(','), exclude: ['**/neovim.test.ts'], reporters: [] } },
);
