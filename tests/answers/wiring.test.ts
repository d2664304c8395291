// The wiring plan, compared with what the circuits of machines say, element by element.
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { circuitsOf, laddersOf, leadsOf } from '../../language/answers/wiring.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { machineIn, read } from '../support.ts';

const examples = readdirSync('examples')
  .filter((file) => file.endsWith('.gusset'))
  .map((file) => [file, readFileSync(`examples/${file}`, 'utf8')] as const);
const all = Object.fromEntries(examples);
const machines = examples.flatMap(([file, text]) => {
  const { project, file: source } = read({ [file]: text, ...all });
  return project.machines(source).map((machine) => [machine.tree.name, machine] as const);
});

/** Kinds of their own, so that nothing depends on what the library calls its own. */
const kinds = `kind hut {
  toplevel
  has tap*
  has pipe*
  has hose*
  has basin*
  has run*
}
kind tap {
  inside hut
  pressure: Pressure
  symbol "M0 10h40", "T", pressure
}
kind hose is tap {
  colour: one of red, blue_white default red
  way_colour: one of red, blue_white default blue_white
  length: Length
  beside: tap?
  cores colour, way_colour, length, beside
}
kind basin is tap {
  has spout*
}
kind spout is tap {
  inside basin
}
kind pipe is tap {
  watched_by: spout?
  lead_ends: Count default 3
  lead watched_by, lead_ends
}
kind run {
  inside hut
  path: list of tap
  back: list of tap default each(t for t in path where t is hose)
  ground: hose?
  flow: Length default 3 m
  a: Text = "in"
  b: Text = "out"
  rung "Plumbing", path, back, ground, a, b, flow
}
`;
const hut = (lines: string) => machineIn(`${kinds}hut H {\n${lines}\n}\n`);
const base = `  tap main { pressure = 3 bar }
  tap valve { pressure = 2 bar }
  hose green { length = 2 m }
  hose grey { length = 4 m }
  pipe shower { pressure = 1 bar }
  basin bowl {
    spout first
    spout second
  }
`;

describe('the wiring plan of each example', () => {
  test.each(machines)('%s: each circuit is drawn once, with each of its elements in their order', (_, machine) => {
    const circuits = circuitsOf(machine);
    const ladders = laddersOf(machine);
    const rungs = ladders.flatMap(({ rungs, ...ladder }) => rungs.map((rung) => ({ ladder, rung })));
    expect(rungs.map(({ rung }) => rung.name).toSorted()).toEqual(circuits.map(({ block }) => block.label).toSorted());
    for (const { ladder, rung } of rungs) {
      const { path, block } = circuits.find((each) => each.block.label === rung.name) as (typeof circuits)[number];
      const drawn = [...(rung.behind ? [] : ladder.trunk), ...rung.out, rung.load].map(({ label }) => label);
      const labels = path.map(({ label }) => label);
      expect(labels.slice(-drawn.length), block.label).toEqual(drawn);
      // What is not drawn in its rung is the ladder itself, a terminal of it, what feeds it, or stands in the rung above.
      const left = labels.slice(0, -drawn.length);
      const before = rung.behind
        ? circuits.find((each) =>
            rungs.some((r) => r.rung.name === each.block.label && r.rung.number === rung.behind?.number),
          )
        : undefined;
      if (before) expect(left).toEqual(before.path.slice(0, left.length).map(({ label }) => label));
      else expect(left.at(-1)).toBe(rung.terminal ? `${ladder.name}.${rung.terminal}` : ladder.name);
    }
  });

  test.each(machines)('%s: numbers are places, and references lead to what they name', (_, machine) => {
    const ladders = laddersOf(machine);
    expect(ladders.map(({ number }) => number)).toEqual(ladders.map((_, i) => `${i + 1}`));
    for (const { number, rungs, leads, fedBy, name } of ladders) {
      const own = [...rungs, ...leads].map((each) => each.number);
      expect(own).toEqual(own.map((_, i) => `${number}.${i + 1}`));
      const feeding = ladders.flatMap((each) => each.rungs).find((rung) => rung.number === fedBy);
      if (fedBy) expect(feeding?.load.label).toBe(name);
      for (const { load } of rungs)
        if (load.goesOn) expect(ladders.find((each) => each.number === load.goesOn)?.name).toBe(load.label);
    }
    const ends = new Set(ladders.flatMap(({ leads }) => leads.map(({ to }) => to.label)));
    for (const { to, terminal } of leadsOf(machine)) if (terminal.holder?.kind.symbol) expect(ends).toContain(to.label);
  });
});

describe('a wiring plan of kinds of their own', () => {
  test('what all rungs share is drawn once, and what some share is a reference to the rung above', () => {
    const [ladder, ...more] = laddersOf(
      hut(`${base}  run one { path = [main, valve, green, shower] }
  run two { path = [main, valve, green, grey, bowl] }
  run three { path = [main, valve, bowl] }`),
    );
    expect(more).toEqual([]);
    expect(ladder).toMatchObject({ name: 'main', told: ['300 kPa'], fedBy: '', marks: ['in', 'out'], isBoard: false });
    expect(ladder?.trunk).toMatchObject([{ name: 'valve', letters: 'T', symbol: 'M0 10h40', goesOn: '' }]);
    expect(ladder?.rungs.map(({ terminal }) => terminal)).toEqual(['', '', '']);
    expect(ladder?.rungs.map(({ number, behind, out }) => [number, behind, out.map(({ name }) => name)])).toMatchObject(
      [
        ['1.1', undefined, ['green']],
        ['1.2', { name: 'green', number: '1.1', isBoth: true }, ['grey']],
        ['1.3', undefined, []],
      ],
    );
    // Of what is shared one is enough that the way back goes through as well.
    const [other] = laddersOf(
      hut(`${base}  run one { path = [main, green, valve, shower] }
  run two { path = [main, green, valve, bowl] }
  run three { path = [main, grey] }`),
    );
    expect(other?.rungs[1]?.behind).toMatchObject({ name: 'valve', number: '1.1', isBoth: true });
  });

  test('a wire has the colours of both of its conductors, or of the one that it has; only its sizes stand beside it', () => {
    const [ladder] = laddersOf(
      hut(`${base}  hose black {
    length = 1 m
    beside = main
  }
  run one {
    path = [main, green, shower]
    back = [valve, black]
    ground = grey
  }`),
    );
    const rung = ladder?.rungs[0];
    expect(rung?.out[0]).toMatchObject({ cores: { out: 'red', back: '' }, told: ['2 m'], isBoth: false });
    expect(rung?.back.map(({ name }) => name)).toEqual(['valve', 'black']);
    expect(rung?.earth).toMatchObject({ name: 'grey', told: ['4 m'] });
    expect(rung?.told).toEqual(['flow 3 m']);
    const both = laddersOf(hut(`${base}  run one { path = [main, green, shower] }`))[0]?.rungs[0];
    expect(both?.out[0]).toMatchObject({ cores: { out: 'red', back: 'blue white' }, isBoth: true });
  });

  test('a board has its circuits by their terminals, its leads and what is free', () => {
    const [first, board] = laddersOf(
      hut(`${base.replace('pressure = 1 bar', '\n    pressure = 1 bar\n    watched_by = bowl.second\n  ')}  run feed { path = [main, bowl] }
  run wash { path = [main, bowl.first, green, valve] }`),
    );
    expect(first?.rungs.map(({ load }) => [load.name, load.goesOn])).toEqual([['bowl', '2']]);
    expect(board).toMatchObject({ name: 'bowl', isBoard: true, fedBy: '1.1', free: [] });
    expect(board?.rungs).toMatchObject([{ number: '2.1', terminal: 'first', load: { name: 'valve' } }]);
    expect(board?.leads).toMatchObject([
      { number: '2.2', terminal: 'second', to: { label: 'shower' }, told: ['lead ends 3'] },
    ]);
  });

  test('what a terminal of another block sets is told where it is drawn, with the terminal and its place on the plan', () => {
    const watched = base.replace('pressure = 1 bar', '\n    pressure = 1 bar\n    watched_by = bowl.second\n  ');
    const [ladder, board] = laddersOf(hut(`${watched}  run one { path = [main, valve, shower] }`));
    expect(ladder?.rungs[0]?.out[0]?.control).toBeUndefined();
    expect(ladder?.rungs[0]?.load).toMatchObject({ control: { name: 'bowl.second', number: '2.1', isPowered: true } });
    // At the board itself it is only named, for it stands in the plan elsewhere.
    expect(board?.leads).toMatchObject([{ number: '2.1', to: { label: 'shower', goesOn: '1.1' } }]);
  });

  test('what each sort of thing in it is, once, with where its kind says how it is drawn, and what is told beside it', () => {
    const text = `${base}  run one { path = [main, valve, green, shower] }
  run two { path = [main, valve, green, shower] }`;
    const [ladder] = laddersOf(hut(text));
    const told = ladder?.legend.map(({ letters, name, told, place }) => [
      letters,
      name,
      told.map((each) => each.name).join(', '),
      textOf(place).split(' ')[0],
    ]);
    expect(told).toEqual([
      ['', 'run', 'flow', 'rung'],
      ['T', 'tap', 'pressure', 'symbol'],
      ['', 'hose', 'length', 'cores'],
    ]);
    // What is told leads to where its kind says what it is, or how it is computed.
    const of = (sort: string) =>
      ladder?.legend.find(({ name }) => name === sort)?.told.map(({ place }) => textOf(place));
    expect(of('tap')).toEqual(['pressure: Pressure']);
    expect(of('run')).toEqual(['flow: Length default 3 m']);
  });

  test('a board that nothing is fed from yet has its leads', () => {
    const watched = base.replace('pressure = 1 bar', '\n    pressure = 1 bar\n    watched_by = bowl.second\n  ');
    expect(laddersOf(hut(watched))).toMatchObject([
      {
        name: 'bowl',
        number: '1',
        isBoard: true,
        fedBy: '',
        marks: ['', ''],
        trunk: [],
        rungs: [],
        free: [{ name: 'first' }],
      },
    ]);
  });

  test('what is not known of a circuit leaves all others as they are', () => {
    const lines = `${base}  run one { path = [main, green, shower] }\n  run two {}\n  run three { path = [main] }`;
    expect(laddersOf(hut(lines)).flatMap(({ rungs }) => rungs.map(({ name }) => name))).toEqual(['one']);
  });
});
