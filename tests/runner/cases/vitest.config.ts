import { fileURLToPath } from 'node:url';
import { mergeConfig } from 'vitest/config';
import whole from '../../../vitest.config.ts';
import { Report } from '../report.ts';

// The project's own configuration, on tests that must not pass for good ones.
const { reporters: _, include: __, ...rest } = whole.test ?? {};
export default mergeConfig(
  { test: rest },
  {
    root: fileURLToPath(new URL('../../../', import.meta.url)),
    test: { include: ['tests/runner/cases/*.cases.ts'], reporters: [new Report(process.env.RESULTS)] },
  },
);
