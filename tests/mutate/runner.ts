// Runs each test file as it stands, and then, without starting anew, each of its tests with one change after another switched on, until one fails.
// What is found is written down line by line, for this worker may be ended before it is done.
import { appendFileSync } from 'node:fs';
import { relative } from 'node:path';
import { type RunnerTestCase, type RunnerTestSuite, TestRunner } from 'vitest';

/** What the changed texts look at and count in. */
interface Switch {
  activeMutant?: string;
  hitCount?: number;
  hitLimit?: number;
  mutantCoverage?: { static: Record<string, number> };
}

interface Asked {
  /** The counters of the changes that nothing has noticed yet. Those that broke what is kept between tests come first. */
  readonly pending: string[];
  /** Those that are asked of a test file, by its path in the project; of one that is not named all. */
  readonly only: Readonly<Record<string, readonly string[]>>;
  readonly told: string;
  /** Tests that take longer, in milliseconds, are not asked. */
  readonly longest: number;
}

const asked: Asked = JSON.parse(process.env.MUTATE_ASKED as string);
const shared = globalThis as { __stryker__?: Switch; mutatePending?: Set<string>; mutateAsked?: number };
/** Files of one worker share what is left. */
shared.mutatePending ??= new Set(asked.pending);
const pending = shared.mutatePending;
shared.__stryker__ ??= {};
const change: Switch = shared.__stryker__;

/** So many times as often as without a change, and so often more, is a changed place come to before it is taken to be without end. */
const [timesMore, more] = [100, 1000];

/**
 * A test that waits for what never comes is given up after so many milliseconds, and so many times what it took as it stood: the worker lives on,
 * where whoever asks would have to end it and begin another.
 */
const [longestWait, timesLonger] = [10_000, 10];
/** Of the machine's own clock: tests may put another in its place. */
const { setTimeout, clearTimeout, performance } = globalThis;

/** Milliseconds of this process's own: how busy the machine is changes nothing. */
function cpuTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

const tell = (line: object) => appendFileSync(asked.told, `${JSON.stringify(line)}\n`);

/** What was come to since the last time, and how often. */
function taken(): Map<string, number> {
  const reached = new Map(Object.entries(change.mutantCoverage?.static ?? {}));
  if (change.mutantCoverage) change.mutantCoverage.static = {};
  return reached;
}

/** Waits for so many milliseconds at most. */
async function inTime(run: () => unknown, most: number): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error('it does not come to an end')), most);
  });
  try {
    await Promise.race([run(), late]);
  } finally {
    clearTimeout(timer);
  }
}

const testsIn = (suite: RunnerTestSuite): RunnerTestCase[] =>
  suite.tasks.flatMap((task) => (task.type === 'suite' ? testsIn(task) : [task]));

export default class Changing extends TestRunner {
  /** Which changes each test comes to, and how often. */
  readonly #reached = new Map<RunnerTestCase, ReadonlyMap<string, number>>();
  /** Those that are come to outside of tests: as files are read, and in what is done before several tests. */
  readonly #outside = new Set<string>();
  readonly #began = new Map<RunnerTestCase, number>();
  readonly #took = new Map<RunnerTestCase, number>();
  /** By the clock, when each began and then how long it took. */
  readonly #waited = new Map<RunnerTestCase, number>();
  readonly #repeats = new Map<RunnerTestCase, Promise<boolean>>();

  override onBeforeTryTask(test: RunnerTestCase, options: Parameters<TestRunner['onBeforeTryTask']>[1]): void {
    for (const id of taken().keys()) this.#outside.add(id);
    this.#began.set(test, cpuTime());
    this.#waited.set(test, performance.now());
    super.onBeforeTryTask(test, options);
  }

  override onAfterTryTask(test: RunnerTestCase): void {
    super.onAfterTryTask(test);
    this.#took.set(test, cpuTime() - (this.#began.get(test) ?? 0));
    this.#waited.set(test, performance.now() - (this.#waited.get(test) ?? 0));
    this.#reached.set(test, taken());
  }

  override async onBeforeRunSuite(suite: RunnerTestSuite): Promise<void> {
    await super.onBeforeRunSuite(suite);
    if (!('filepath' in suite)) return;
    // What was added last is done first: what the tests of a file share, such as a server, is there for as long as they are asked.
    const path = relative(process.cwd(), String(suite.filepath));
    TestRunner.getSuiteHooks(suite).afterAll.push(() => this.#ask(suite, path));
  }

  async #ask(file: RunnerTestSuite, path: string): Promise<void> {
    for (const id of taken().keys()) this.#outside.add(id);
    const tests = testsIn(file)
      .filter((test) => test.result?.state === 'pass')
      .sort((a, b) => (this.#took.get(a) ?? 0) - (this.#took.get(b) ?? 0));
    const deaf = new Set<string>();
    const only = asked.only[path];
    for (const id of [...pending].filter((each) => !only || only.includes(each))) {
      for (const test of tests) {
        if (!pending.has(id)) break;
        if (!this.#reached.get(test)?.has(id)) continue;
        if ((this.#took.get(test) ?? 0) > asked.longest) continue;
        if (await this.#isRepeatable(test)) await this.#askOne(id, test, path);
        else deaf.add(id);
      }
    }
    const outside = [...this.#outside].filter((id) => pending.has(id));
    tell({ done: path, outside, deaf: [...deaf].filter((id) => pending.has(id)) });
    // What was asked again is not counted as come to by the next file.
    taken();
  }

  /** Does a test come out alike when it is run once more, with nothing changed? */
  #isRepeatable(test: RunnerTestCase): Promise<boolean> {
    let repeats = this.#repeats.get(test);
    if (!repeats) {
      repeats = this.#passes(test);
      this.#repeats.set(test, repeats);
    }
    return repeats;
  }

  async #askOne(id: string, test: RunnerTestCase, path: string): Promise<void> {
    const isFirst = shared.mutateAsked === undefined || shared.mutateAsked === Number(id);
    shared.mutateAsked ??= Number(id);
    tell({ began: id, took: Math.max(this.#took.get(test) ?? 0, this.#waited.get(test) ?? 0) });
    const hitLimit = timesMore * (this.#reached.get(test)?.get(id) ?? 0) + more;
    Object.assign(change, { activeMutant: id, hitCount: 0, hitLimit });
    const passed = await this.#passes(test);
    Object.assign(change, { activeMutant: '', hitCount: undefined, hitLimit: undefined });
    if (passed) return;
    if (!(await this.#passes(test))) {
      // What is kept between tests, such as the library, was computed with a change: with this one, or with one before it.
      tell(isFirst ? { noticed: id, by: path } : { broke: id });
      process.kill(process.pid, 'SIGKILL');
    }
    pending.delete(id);
    tell({ noticed: id, by: path, test: test.name });
  }

  async #passes(test: RunnerTestCase): Promise<boolean> {
    try {
      super.onBeforeTryTask(test, { retry: 0, repeats: 0 });
      await inTime(TestRunner.getTestFn(test), longestWait + timesLonger * (this.#waited.get(test) ?? 0));
      super.onAfterTryTask(test);
      return true;
    } catch {
      return false;
    }
  }
}
