import { describe, expect, test } from 'vitest';
import { filesOf } from './sources.ts';
import { testsBeside, twinOf, withoutTwin } from './twins.ts';

/** Files without a test of their own, each with the reason. A folder stands for all that is in it. */
const excused: Readonly<Record<string, string>> = {
  'language/grammar/parser/': 'constructs lead to each other: they are read as one, through parser.ts',
  'language/machine/text-file.ts': 'types alone',
  'language/answers/proposal.ts': 'types alone',
  'language/answers/meaning.ts': 'types alone',
  'language/answers/rewriting.ts': 'types alone',
  'language/answers/rewrite-variant.ts': 'tried with what becomes of the values, in project/rewriting.test.ts',
  'server/cli/schema.ts': 'what the JSON is by its schema: what is printed is read by it in check.test.ts',
  'server/cli/main.ts': 'begins the program: run as a process in program.test.ts',
  'server/main.ts': 'begins the server: run as a process in program.test.ts and neovim.test.ts',
  'server/process.ts': 'ties the server to its machine: every test of the server goes through it, and neovim.test.ts',
  'server/revisions.ts': 'a file at a revision: tested as what it is compared with, in features/compare.test.ts',
  'server/watchdog.ts': 'ends a process: run as one in program.test.ts',
  'server/services.ts': 'ties each feature to its request: every test of a feature goes through it',
  'server/updates.ts': 'what is published when: tested with the server, in server.test.ts',
  'server/sheet/style.ts':
    'how a sheet looks, which is looked at; that the page allows just this is tested in html.test.ts',
  'language/mistakes/': 'tables of what is said of each mistake: each is tried on its example, in mistakes/all.test.ts',
  'language/judge/candidates.ts':
    'a step of the search for what is open: tested as what it proposes, in judge/choices.test.ts',
  'language/judge/trials.ts':
    'a step of the search for what is open: tested as what it proposes, in judge/choices.test.ts',
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
  'server/cli/sweep-thread.ts': 'one of several threads: run with the others in sweep.test.ts',
  'server/cli/sweep-threads.ts': 'tested as what threads find together, in sweep.test.ts',
  'server/cli/table.ts': 'tested as it is printed, in compare.test.ts',
  'server/cli/explain-value.ts': 'tested as it is printed, in explain.test.ts',
};

const sources = [...filesOf('language', '.ts'), ...filesOf('server', '.ts')];
const tests = filesOf('tests', '.test.ts').map(({ path }) => path);

describe('each source file has its twin', () => {
  test('or is named with the reason why not', () => {
    expect(sources.length).toBeGreaterThan(100);
    expect(withoutTwin(sources, tests, excused)).toEqual([]);
  });

  test('none is excused that has one, or that is not there', () => {
    const isNeeded = (path: string) =>
      sources.some((source) => source.path.startsWith(path) && !tests.includes(`${twinOf(source.path)}.test.ts`));
    expect(Object.keys(excused).filter((path) => !isNeeded(path))).toEqual([]);
  });

  test('the tests that a reason names are there', () => {
    const named = Object.values(excused).flatMap((reason) => reason.match(/[\w./-]+\.test\.ts/g) ?? []);
    expect(named.length).toBeGreaterThan(10);
    expect(named.filter((name) => !tests.some((test) => test.endsWith(`/${name}`)))).toEqual([]);
  });

  test('one that has none is found', () => {
    const named = (path: string) => ({ path, text: '' });
    const of = ['language/a/x.ts', 'language/y.ts', 'server/z.ts', 'server/features/w.ts', 'server/cli/v.ts'].map(
      named,
    );
    const twins = ['a/x', 'project/y', 'server/z', 'server/features/w', 'cli/v'].map((name) => `tests/${name}.test.ts`);
    expect(withoutTwin(of, twins, {})).toEqual([]);
    expect(withoutTwin(of, [], { 'server/': 'all of it' })).toEqual(['language/a/x.ts', 'language/y.ts']);
    expect(withoutTwin([named('language/a/x.ts')], ['tests/a/x.more.test.ts', 'tests/b/x.test.ts'], {})).toEqual([
      'language/a/x.ts',
    ]);
  });

  test('the twin comes first among those beside a file', () => {
    const beside = ['tests/a/x.long.test.ts', 'tests/a/x.test.ts', 'tests/a/xy.test.ts', 'tests/a/x.ts'];
    expect(testsBeside('language/a/x.ts', beside)).toEqual(['tests/a/x.test.ts', 'tests/a/x.long.test.ts']);
  });
});
