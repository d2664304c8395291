import type { SourceFile } from './sources.ts';

/** Files without a test of their own, each with the reason. A folder stands for all that is in it. */
export const excused: Readonly<Record<string, string>> = {
  'language/grammar/parser/': 'constructs lead to each other: they are read as one, through parser.ts',
  'language/machine/text-file.ts': 'types alone',
  'language/answers/proposal.ts': 'types alone',
  'language/answers/meaning.ts': 'types alone',
  'language/answers/rewriting.ts': 'types alone',
  'language/answers/rewrite-variant.ts': 'tried with what becomes of the values, in project/rewriting.test.ts',
  'server/cli/schema.ts': 'what the JSON is by its schema: what is printed is read by it in check.test.ts',
  'server/cli/main.ts': 'begins the program: run as a process in program.test.ts',
  'server/main.ts': 'begins the server: run as a process in program.test.ts and neovim.test.ts',
  'server/process.ts':
    'ties the server to its machine: every test of the server goes through it, such as server.test.ts and files.test.ts, and neovim.test.ts',
  'server/revisions.ts': 'a file at a revision: tested as what it is compared with, in features/compare.test.ts',
  'server/watchdog.ts': 'ends a process: run as one in program.test.ts',
  'server/sheet/style.ts':
    'how a sheet looks, which is looked at; that the page allows just this is tested in html.test.ts',
  'language/mistakes/': 'tables of what is said of each mistake: each is tried on its example, in mistakes/all.test.ts',
  'language/types/unknown.ts':
    'what is said of a name that means nothing: tried on the examples, in mistakes/all.test.ts',
  'server/cli/explain-mistake.ts': 'tested as it is printed, in explain.test.ts',
  'server/features/hover/': 'what hover.ts puts together: tested as what is shown, in hover.test.ts',
  'server/cli/text.ts': 'what is printed of a report: tested as it is printed, in check.test.ts',
  'server/cli/report.ts': 'what a report is made of: tested as it is printed, in check.test.ts',
  'server/cli/explain-declared.ts': 'tested as it is printed, in explain.test.ts',
  'server/cli/compare-data.ts': 'the plain data of what is compared: tested as it is printed, in compare.test.ts',
  'server/cli/compare-schema.ts':
    'what the JSON is by its schema: what is printed is checked by it, in compare.test.ts',
  'server/cli/compare-text.ts': 'tested as it is printed, in compare.test.ts',
  'server/cli/compare-markdown.ts': 'tested as it is printed, in compare.test.ts',
  'server/cli/git.ts': 'tested as what is read of a repository, in compare.test.ts',
  'server/cli/named-value.ts':
    'tested as what is said of a value that is named, in explain.test.ts and compare.test.ts',
  'server/cli/sweep-picture.ts': 'tested as it is printed, in sweep.test.ts',
  'server/cli/thread.ts': 'one of several threads: run with the others in sweep.test.ts and built.test.ts',
  'server/cli/threads.ts': 'tested as what threads find together, in sweep.test.ts and built.test.ts',
  'server/cli/table.ts': 'tested as it is printed, in compare.test.ts',
  'server/cli/explain-value.ts': 'tested as it is printed, in explain.test.ts',
  'server/cli/alternatives-text.ts': 'tested as it is printed, in alternatives.test.ts',
  'server/cli/explain-name.ts': 'tested as it is printed, in explain.test.ts',
  'server/cli/markdown-page.ts': 'tested as it is shown, in pages.test.ts',
};

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
