import { describe, expect, test, vi } from 'vitest';
import { CancellationTokenSource, type PublishDiagnosticsParams } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { canonicalUri } from '../../language/project.ts';
import { Told } from '../../server/told.ts';
import { ready, Updates } from '../../server/updates.ts';
import { Workspace } from '../../server/workspace.ts';

const on = 'file:///shop/';
const [a, b, c] = ['a', 'b', 'c'].map((name) => `${on}${name}.gusset`) as [string, string, string];

const kinds = `sizes planks: Length = [1 m, 2 m, 3 m]
kind hall {
  toplevel
  width: Length {
    sizes planks
  }
  wind: Speed default 1 m/s
  sway: Length = 60 mm - abs(wind - 10 m/s) * 4 ms
}
rule hall_narrow on hall {
  holds width >= 2 m
  error "narrow"
  source defined "a test"
  at width
}
rule hall_sways on hall {
  holds sway <= 50 mm
  warning "sways"
  source defined "a test"
}
`;
const hall = (lines: string) => `use "./b.gusset"\nhall H {\n${lines}\n}\n`;

/** What is told of the texts that a client has open, beside what is on disk. */
function over(disk: Record<string, string> = { [b]: kinds }) {
  const texts = new Map<string, TextDocument>();
  const workspace = new Workspace((uri) => disk[uri], libraryFiles);
  const told: PublishDiagnosticsParams[] = [];
  const logged: string[] = [];
  const connection = { sendDiagnostics: async (params: PublishDiagnosticsParams) => void told.push(params) };
  const services = {
    lsp: { Connection: { console: { error: (message: string) => void logged.push(message) } } },
    workspace: { TextDocuments: { get: (uri: string) => texts.get(canonicalUri(uri)) } },
  };
  const updates = new Updates(services as never, workspace, new Told(connection as never));
  const calls = { others: 0, idle: 0, takenIn: [] as string[][] };
  updates.onOthersChanged = () => void calls.others++;
  updates.onIdle = () => void calls.idle++;
  updates.onTakenIn = (uris) => void calls.takenIn.push([...uris]);
  const put = (uri: string, text: string) => {
    const version = (texts.get(canonicalUri(uri))?.version ?? 0) + 1;
    const document = TextDocument.create(uri, 'gusset', version, text);
    texts.set(canonicalUri(uri), document);
    updates.textChanged({ document });
  };
  const close = (uri: string) => {
    const document = texts.get(canonicalUri(uri)) as TextDocument;
    texts.delete(canonicalUri(uri));
    updates.textClosed({ document });
  };
  /** `version codes` of all that was told of a file. */
  const of = (uri: string) =>
    told
      .filter((each) => each.uri === uri)
      .map(({ version, diagnostics }) => `${version ?? '-'} ${diagnostics.map(({ code }) => code).join()}`.trim());
  return { workspace, updates, disk, told, logged, calls, put, close, of };
}
/** Until nothing is left to be told of, the insides of ranges searched. */
const settled = async ({ updates, calls }: ReturnType<typeof over>) => {
  const before = calls.idle;
  await updates.untilTold();
  await expect.poll(() => calls.idle, { interval: 5 }).toBeGreaterThan(before);
};

describe('what is told of a text', () => {
  test('is what is wrong with its newest version, of keystrokes that come in one breath once', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    all.put(a, hall('  width = 2 m'));
    all.put(a, hall('  width = 1 m\n  wind = 10 m/s'));
    await settled(all);
    expect(all.of(a)).toEqual(['3 hall_sways,hall_narrow']);
    expect(all.updates.changes).toBe(3);
    // Each text is taken in once.
    expect(all.calls.takenIn).toEqual([[a]]);
    expect(all.logged).toEqual([]);
  });

  test('goes by the URI as the client spells it', async () => {
    const all = over();
    const spelled = `${on}my hall (1).gusset`;
    all.put(spelled, hall('  width = 1 m'));
    await settled(all);
    expect(canonicalUri(spelled)).not.toBe(spelled);
    expect(all.of(spelled)).toEqual(['1 hall_narrow']);
  });

  test('is told of what was edited before what only uses it, and lines of others are drawn anew', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    await settled(all);
    expect(all.calls.others).toBe(0);
    all.put(b, kinds.replace('width >= 2 m', 'width >= 1 m'));
    await settled(all);
    expect(all.told.map(({ uri }) => uri)).toEqual([a, b, a]);
    expect(all.of(a)).toEqual(['1 hall_narrow', '1']);
    expect(all.calls.others).toBe(1);
    expect(all.calls.takenIn).toEqual([[a], [b]]);
  });

  test('is nothing once it is closed, and from then on what is on disk counts', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    all.put(b, kinds.replace('width >= 2 m', 'width >= 1 m'));
    await settled(all);
    expect(all.of(a).at(-1)).toBe('1');
    all.close(b);
    await settled(all);
    expect(all.of(b)).toEqual(['1', '-']);
    expect(all.of(a).at(-1)).toBe('1 hall_narrow');
    all.close(a);
    await all.updates.untilTold();
    expect(all.of(a).at(-1)).toBe('-');
    expect(all.workspace.isOpen(a)).toBe(false);
  });

  test('follows what is changed on disk, by whichever way that is heard of', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    await settled(all);
    all.disk[b] = kinds.replace('width >= 2 m', 'width >= 1 m');
    all.updates.filesChanged([b]);
    await settled(all);
    expect(all.of(a)).toEqual(['1 hall_narrow', '1']);
    delete all.disk[b];
    await all.updates.update([], [{ toString: () => b } as never]);
    await settled(all);
    expect(all.of(a).at(-1)).toContain('missing_file');
    all.disk[b] = kinds;
    await all.updates.update([{ toString: () => b } as never], []);
    await settled(all);
    expect(all.of(a).at(-1)).toBe('1 hall_narrow');
  });

  test('is told again only where it is new', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    await settled(all);
    all.updates.tellNow(a);
    all.updates.tellNow(c);
    expect(all.of(a)).toEqual(['1 hall_narrow']);
    all.disk[b] = kinds.replace('"narrow"', '"too narrow"');
    all.workspace.changedOnDisk(b);
    all.updates.tellNow(a);
    expect(all.of(a)).toEqual(['1 hall_narrow', '1 hall_narrow']);
  });
});

describe('what takes long', () => {
  test('comes after what is certain: open choices, then what lies inside ranges', async () => {
    const all = over();
    all.put(a, hall('  width = ?\n  wind = 0 m/s .. 20 m/s\n  require width <= 1 m'));
    await all.updates.untilTold();
    // That nothing meets the requirement is known once the choice is solved.
    expect(all.of(a)).toEqual(['1', '1 requirement']);
    expect(all.calls.others).toBe(1);
    await expect.poll(() => all.calls.idle).toBe(1);
    expect(all.of(a).slice(2)).toEqual(['1 hall_sways,requirement']);
    expect(all.calls.others).toBe(2);
  });

  test('adds nothing that is told twice, and draws no line anew for it', async () => {
    const all = over();
    all.put(a, hall('  width = ?\n  wind = 0 m/s .. 5 m/s'));
    await settled(all);
    expect(all.of(a)).toHaveLength(1);
    // How many were searched is a lens’s to tell, and no diagnostic’s.
    const others = all.calls.others;
    expect(others).toBeLessThanOrEqual(1);
    all.put(a, hall('  width = 2 m\n  wind = 1 m/s'));
    await settled(all);
    expect(all.calls.others).toBe(others);
  });

  test('is left where an edit comes in between, which is answered first', async () => {
    const all = over();
    all.put(a, hall('  width = ?\n  wind = 0 m/s .. 20 m/s'));
    await all.updates.untilTold();
    all.put(a, hall('  width = 1 m\n  wind = 0 m/s .. 5 m/s'));
    await settled(all);
    expect(all.of(a).at(-1)).toBe('2 hall_narrow');
    expect(all.of(a).join()).not.toContain('hall_sways');
    expect(all.calls.idle).toBe(1);
  });

  test('is begun only when nothing has changed for a while', async () => {
    const all = over();
    all.put(a, hall('  width = 2 m\n  wind = 0 m/s .. 20 m/s'));
    await all.updates.untilTold();
    expect([all.of(a), all.calls.idle]).toEqual([['1'], 0]);
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(all.calls.idle).toBe(0);
    await expect.poll(() => all.calls.idle).toBe(1);
    expect(all.of(a)).toEqual(['1', '1 hall_sways']);
  });

  test('is let go of for files that nobody has wanted for longest', async () => {
    const all = over();
    const uris = Array.from({ length: 25 }, (_, i) => `${on}h${i}.gusset`);
    const isKept = (uri: string) => (all.workspace.project.files.get(uri)?.roots.size ?? 0) > 0;
    for (const uri of uris.slice(0, 24)) {
      all.put(uri, hall('  width = 2 m'));
      await all.updates.untilTold();
    }
    expect(uris.slice(0, 24).every(isKept)).toBe(true);
    // The first is asked about, and the second becomes the one that was wanted longest ago.
    await all.updates.untilSolved(uris[0] as string);
    all.put(uris[24] as string, hall('  width = 2 m'));
    await all.updates.untilTold();
    expect(uris.filter((uri) => !isKept(uri))).toEqual([uris[1]]);
  });
});

describe('what fails', () => {
  test('in taking in a text is told in that file, until there is one that does not', async () => {
    const all = over();
    const open = all.workspace.open.bind(all.workspace);
    all.workspace.open = (uri, text) => {
      open(uri, text);
      if (text.includes('wind')) throw new Error('a first line\nand more');
    };
    all.put(a, hall('  width = 1 m\n  wind = 1 m/s'));
    await all.updates.untilTold();
    expect(all.of(a)).toEqual(['1 not_checked']);
    const [diagnostic] = all.told[0]?.diagnostics ?? [];
    expect(diagnostic).toMatchObject({
      severity: 1,
      source: 'gusset',
      message: 'This file could not be checked, through a mistake in the language server: Error: a first line',
      range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } },
    });
    expect(all.logged[0]).toContain('and more');
    all.put(a, hall('  width = 1 m'));
    await all.updates.untilTold();
    expect(all.of(a).at(-1)).toBe('2 hall_narrow');
  });

  test.each(['judged', 'machines', 'isSolved', 'computes', 'solveChoices', 'searchDeeper'] as const)(
    'in %s takes nothing else along: the next edit is answered',
    async (name) => {
      const all = over();
      const { project } = all.workspace;
      const fail = () => {
        throw 'no error at all';
      };
      // What goes on in steps fails in its first.
      const inSteps = { next: fail, [Symbol.iterator]: () => inSteps };
      const isStepwise = name === 'solveChoices' || name === 'searchDeeper';
      const fails = vi.spyOn(project, name).mockImplementation((isStepwise ? () => inSteps : fail) as never);
      all.put(a, hall('  width = ?\n  wind = 0 m/s .. 20 m/s'));
      await all.updates.untilTold();
      await expect.poll(() => all.calls.idle).toBe(1);
      // What is told rests on what is judged: that it could not be is told in the file.
      expect(all.of(a)[0]).toBe(name === 'judged' ? '1 not_checked' : '1');
      // How choices are solved and ranges searched is in the log alone.
      const isLogged = ['judged', 'machines', 'solveChoices', 'searchDeeper'].includes(name);
      expect(all.logged.includes('no error at all')).toBe(isLogged);
      fails.mockRestore();
      all.put(a, hall('  width = 1 m'));
      await all.updates.untilTold();
      expect(all.of(a).at(-1)).toBe('2 hall_narrow');
    },
  );
});

describe('whoever asks', () => {
  test('waits until all texts are taken in, and the one that is asked about is computed', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    const uri = { path: '/shop/a.gusset', toString: () => a } as never;
    expect(await all.updates.waitUntil(ready, uri)).toBe(uri);
    expect(all.workspace.file(a)?.parsed.text).toContain('1 m');
    const file = all.workspace.file(a);
    expect(file && all.workspace.project.computes(file, 0)).toBe(true);
    // Without one that is asked about nothing is computed, but all is taken in.
    all.put(a, hall('  width = 2 m'));
    expect(await all.updates.waitUntil(ready)).toBeUndefined();
    expect(all.workspace.file(a)?.parsed.text).toContain('2 m');
  });

  test('and no longer wants to know is told so, with or without a file', async () => {
    const all = over();
    const source = new CancellationTokenSource();
    source.cancel();
    const uri = { path: '/shop/a.gusset', toString: () => a } as never;
    await expect(all.updates.waitUntil(ready, uri, source.token)).rejects.toBeDefined();
    await expect(all.updates.waitUntil(ready, source.token)).rejects.toBeDefined();
    all.put(a, hall('  width = ?'));
    await all.updates.untilSolved(a, source.token);
    await all.updates.untilTold(source.token);
    await all.updates.untilTold();
    expect(all.of(a)[0]).toBe('1');
  });

  test('waits for files that the client still sends', async () => {
    const all = over({});
    let send: (() => void) | undefined;
    const sent = new Promise<void>((resolve) => {
      send = () => {
        all.disk[b] = kinds;
        all.workspace.changedOnDisk(b);
        coming = undefined;
        resolve();
      };
    });
    let coming: Promise<void> | undefined = sent;
    Object.defineProperty(all.workspace, 'coming', { get: () => coming });
    all.put(a, hall('  width = 1 m'));
    let isAnswered = false;
    const asked = all.updates.waitUntil(ready, { path: '', toString: () => a } as never).then(() => {
      isAnswered = true;
    });
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect([isAnswered, all.of(a)]).toEqual([false, []]);
    send?.();
    await asked;
    await all.updates.untilTold();
    expect(all.of(a)).toEqual(['1 hall_narrow']);
  });

  test('for what follows from open choices has them solved', async () => {
    const all = over();
    all.put(a, hall('  width = ?'));
    await all.updates.waitUntil(ready);
    await all.updates.untilSolved(a);
    const file = all.workspace.file(a);
    if (!file) throw new Error('a is not there');
    expect(all.workspace.project.isSolved(file)).toBe(true);
    expect(all.workspace.project.judged(file)[0]?.choices[0]?.proposed?.text).toBe('2 m');
  });

  test('waits for the open choices of the newest text, however often an edit ends their search', async () => {
    const all = over();
    all.put(a, hall('  width = 2 m'));
    await all.updates.untilTold();
    const solves = { begun: 0, done: 0 };
    vi.spyOn(all.workspace.project, 'solveChoices').mockImplementation(function* () {
      solves.begun++;
      for (let i = 0; i < 8; i++) {
        for (const until = performance.now() + 4; performance.now() < until; );
        yield;
      }
      solves.done++;
    });
    const waiting = all.updates.untilSolved(a);
    await new Promise((resolve) => setTimeout(resolve, 2));
    all.put(a, hall('  width = 1 m'));
    await waiting;
    expect(solves.begun).toBeGreaterThan(1);
    expect(solves.done).toBeGreaterThan(0);
    expect(all.workspace.file(a)?.parsed.text).toContain('1 m');
    // Whoever no longer wants to know is not kept waiting for its end.
    const source = new CancellationTokenSource();
    const before = solves.done;
    const given = all.updates.untilSolved(a, source.token);
    source.cancel();
    await given;
    expect(solves.done).toBe(before);
  });

  test('waits until nothing is told of any more', async () => {
    const all = over();
    all.put(a, hall('  width = 1 m'));
    await all.updates.untilIdle();
    expect(all.of(a)).toEqual(['1 hall_narrow']);
  });
});

describe('work that is done in steps', () => {
  /** Work of so many steps, each of which needs so many. */
  function* work(steps: number, tries: string[]): Generator<() => void, string> {
    for (let i = 0; i < steps; i++) yield () => void tries.push(`step ${i}`);
    return 'done';
  }

  test('comes to its end, each step with more to spend until it has enough', async () => {
    const { updates } = over();
    const spent: number[] = [];
    const project = {
      suffices: (steps: number, step: () => unknown) => {
        spent.push(steps);
        step();
        return steps > 10_000;
      },
    };
    const tries: string[] = [];
    expect(await updates.inSteps(work(2, tries) as never, project as never)).toEqual({ done: 'done' });
    // 3000, and twice as much each time, until it is more than 10000.
    expect(spent).toEqual([3000, 6000, 12_000, 3000, 6000, 12_000]);
    expect(tries).toEqual([...Array(3).fill('step 0'), ...Array(3).fill('step 1')]);
  });

  test('is given up where a text changes meanwhile, or nobody wants to know any more', async () => {
    const all = over();
    const never = { suffices: () => false };
    const changing = all.updates.inSteps(work(1, []) as never, never as never);
    all.put(a, hall('  width = 1 m'));
    expect(await changing).toBeUndefined();
    const source = new CancellationTokenSource();
    source.cancel();
    expect(await all.updates.inSteps(work(1, []) as never, never as never, source.token)).toBeUndefined();
    // Between steps that take long as well.
    const slow = {
      suffices: () => {
        for (const until = performance.now() + 6; performance.now() < until; );
        return true;
      },
    };
    expect(await all.updates.inSteps(work(2, []) as never, slow as never, source.token)).toBeUndefined();
    const quick = { suffices: () => true };
    expect(await all.updates.inSteps(work(2, []) as never, quick as never, source.token)).toEqual({ done: 'done' });
  });
});

test('a document never goes on to a later state by being set back', () => {
  const { updates } = over();
  const document = { state: 3 } as never as { state: number };
  updates.resetToState(document as never, 5 as never);
  expect(document.state).toBe(3);
  updates.resetToState(document as never, 1 as never);
  expect(document.state).toBe(1);
});
