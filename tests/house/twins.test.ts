import { describe, expect, test } from 'vitest';
import { filesOf } from './sources.ts';
import { excused, testsBeside, twinOf, withoutTwin } from './twins.ts';

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
