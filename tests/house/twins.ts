import type { SourceFile } from './sources.ts';

/** Where the tests of a source file stand, without what follows its name: `.test.ts`, or `.TOPIC.test.ts` for what is tested at length. */
export function twinOf(path: string): string {
  const [part, ...rest] = path.replace(/\.ts$/, '').split('/');
  if (part === 'server') return ['tests', ...(rest[0] === 'cli' ? rest : ['server', ...rest])].join('/');
  return ['tests', ...(rest.length === 1 ? ['project', ...rest] : rest)].join('/');
}

/** The tests that stand beside a source file, its twin first. */
export function testsBeside(path: string, tests: readonly string[]): string[] {
  const twin = twinOf(path);
  const beside = tests.filter((test) => test.startsWith(`${twin}.`) && test.endsWith('.test.ts'));
  return beside.toSorted((a, b) => a.length - b.length || (a < b ? -1 : 1));
}

/** Source files that have no twin, but for those excused: by their path, or by that of a folder around them. */
export function withoutTwin(
  sources: readonly SourceFile[],
  tests: readonly string[],
  excused: Readonly<Record<string, string>>,
): string[] {
  return sources
    .map(({ path }) => path)
    .filter((path) => !tests.includes(`${twinOf(path)}.test.ts`))
    .filter(
      (path) => !Object.keys(excused).some((each) => path === each || (each.endsWith('/') && path.startsWith(each))),
    );
}
