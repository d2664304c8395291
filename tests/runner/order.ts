import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Test files that take long, the longest first. */
export const longest: readonly string[] = [
  'tests/workbench/editor.test.ts',
  'tests/workbench/accessible.test.ts',
  'tests/library/renamed.test.ts',
  'tests/compute/adopt.random.test.ts',
  'tests/library/taken-away.test.ts',
  'tests/library/ways-out.test.ts',
  'tests/server/conversation.test.ts',
  'tests/hostile/texts.test.ts',
  'tests/library/motion-numerics.test.ts',
  'tests/judge/choices.test.ts',
  'tests/cli/check.test.ts',
  'tests/cli/program.test.ts',
  'tests/server/anywhere.test.ts',
  'tests/library/extrusion-numerics.test.ts',
  'tests/grammar/parser.oracle.test.ts',
];

/** Begins with what takes long, so that at the end no worker waits for one last file of another's. */
export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => {
      const at = longest.findIndex((name) => moduleId.endsWith(name));
      return at < 0 ? longest.length : at;
    };
    return (await super.sort(files)).toSorted((a, b) => place(a) - place(b));
  }
}
