import { describe, expect, test, vi } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { Memory, type Place } from '../../language/judge/memory.ts';
import { putInPlace } from '../../language/judge/trials.ts';
import { Project } from '../../language/project.ts';
import { xoshiro } from '../../language/random.ts';
import { seed } from '../runner/seed.ts';
import { library, machineIn } from '../support.ts';

/** Mills with wheels, of which one sort has a brake of its own, and sluices that lead water to them. */
const kinds = `sizes widths: Length = [1 m, 2 m, 3 m] {
  source practice "a test"
}
kind valley {
  toplevel
  has wheel*
  has sluice*
  shared rain: Length default 5 m
}
kind wheel {
  wants: Length
  bears: Length
  cost: Price?
  order cost
  has brake*
}
kind braked is wheel {
  grip: Length
}
kind brake {
  worn: Length default 0 m
}
kind sluice {
  width: Length {
    sizes widths
  }
  depth: Length default 1 m
  turns: wheel?
}
part small_wheel is wheel {
  wants = 1 m
  bears = 2 m
  cost = 1 EUR
}
part braked_wheel is braked {
  wants = 2 m
  bears = 6 m
  grip = 3 m
  cost = 2 EUR
  brake b
}
part large_wheel is wheel {
  wants = 3 m
  bears = 9 m
  cost = 4 EUR
}
rule wheel_stands on sluice {
  when given(turns)
  holds width * depth >= turns.wants * 1 m
  error "{name} is {width} wide"
  source practice "a test"
}
rule wheel_bursts on sluice {
  when given(turns)
  holds width + depth <= turns.bears
  warning "{name} is {width} wide"
  source practice "a test"
}
rule sluice_floods on sluice {
  holds width * 2 >= rain
  error "{name} floods"
  source practice "a test"
}
rule wheel_slips on braked {
  holds grip >= rain / 2
  warning "{name} slips"
  source practice "a test"
}
rule brake_worn on brake {
  holds worn <= rain / 10
  warning "{name} is worn"
  source practice "a test"
}
`;

const valley = `valley V {
  rain = 4 m
  wheel w is ?
  sluice c {
    width = ?
    depth = 1 m
    turns = w
  }
  wheel other is ?
  sluice side {
    width = ?
    depth = 2 m
    turns = other
  }
}
`;

describe('what is known', () => {
  const places: Place[] = [];
  const verdict = () => {
    const { tree, engine } = machineIn(kinds + valley);
    const cell = cellOf(tree.children.get('c'), 'depth');
    if (!cell) throw new Error('there is no such value');
    return { engine, cell };
  };
  const answer = { score: [1, 0], margin: -0.5, rests: [1], standing: [0, 2] };

  test('holds for whatever stands where it does not rest', () => {
    const { engine, cell } = verdict();
    const memory = new Memory();
    memory.begin(places);
    memory.remember('k', answer.standing, { ...answer, by: answer.rests, cells: [cell], at: engine.revision });
    expect(memory.recall('k', [5, 2])).toMatchObject(answer);
    expect(memory.recall('k', [0, 1])).toBeUndefined();
    expect(memory.recall('other', [0, 2])).toBeUndefined();
  });

  test('not once an edit reached it; what is tried is no edit', () => {
    const { engine, cell } = verdict();
    const memory = new Memory();
    memory.begin(places);
    memory.remember('k', answer.standing, { ...answer, by: answer.rests, cells: [cell], at: engine.revision });
    memory.noteLooked('0,2', { at: engine.revision, failing: new Set([cell]), others: new Set() });
    memory.begin(places);
    expect(memory.lookedAt('0,2')(cell)).toBe(true);
    putInPlace(cell, 3, engine);
    expect(memory.recall('k', [0, 2])).toMatchObject(answer);
    engine.touch([cell]);
    expect(memory.recall('k', [0, 2])).toBeUndefined();
    expect(memory.lookedAt('0,2')(cell)).toBeUndefined();
    expect(memory.lookedAt('0,1')(cell)).toBeUndefined();
  });

  test('nothing of other places', () => {
    const { engine, cell } = verdict();
    const memory = new Memory();
    memory.begin(places);
    memory.remember('k', answer.standing, { ...answer, by: answer.rests, cells: [cell], at: engine.revision });
    memory.begin([{ path: 'c', name: 'width', candidates: [] }]);
    expect(memory.recall('k', [0, 2])).toBeUndefined();
  });
});

describe('after an edit choices are solved as in a new project', () => {
  const uri = 'file:///valley.gusset';
  const said = (project: Project) =>
    project.machines(project.file(uri) as never).map(({ choices, assessment }) => ({
      choices: choices.map(({ proposed, nearest, ties, isBestFound, against }) => [
        proposed?.text,
        nearest?.text,
        ties.map(({ text }) => text),
        isBestFound,
        against.map(({ message }) => message),
      ]),
      found: assessment.findings.map(({ rule, message, instance }) => `${rule} ${instance.path} ${message}`),
    }));
  const fresh = (text: string) => {
    const project = new Project(library, { read: () => undefined });
    project.update(uri, text);
    return said(project);
  };
  /** Values, blocks, parts and what is said over what is chosen: each can be written in some ways. */
  const ways: readonly (readonly string[])[] = [
    ['rain = 4 m', 'rain = 2 m', 'rain = 6 m', 'rain = 7 m'],
    ['depth = 1 m', 'depth = 0.5 m', 'depth = 3 m'],
    ['depth = 2 m', 'depth = 4 m', 'depth = 0.2 m'],
    ['wheel other is ?', 'wheel other is large_wheel', 'wheel other is ? {\n    grip = 0.5 m\n  }'],
    [
      'wheel w is ?',
      'wheel w is ? {\n    wants = 2.5 m\n  }',
      'wheel w is ? {\n    wants = 0.5 m\n    bears = 3.5 m\n  }',
      'wheel w is ? {\n    brake b {\n      worn = 0.9 m\n    }\n  }',
      'wheel w is ? {\n    brake own {\n      worn = 0.4 m\n    }\n  }',
      'wheel w is ? {\n    no brake\n  }',
      'wheel w is ? {\n    require bears >= 5 m\n  }',
      'wheel w * 2 is ?',
      'wheel w is ? of [small_wheel, braked_wheel]',
    ],
    ['grip = 3 m', 'grip = 1 m'],
    ['brake b\n', 'brake b {\n    worn = 0.3 m\n  }\n'],
    ['cost = 4 EUR', 'cost = 1.5 EUR'],
    ['width = ?', 'width = 3 m', 'width = least ?'],
    ['turns = other', 'turns = w'],
  ];

  test('what the edit does not reach is asked once', () => {
    const project = new Project(library, { read: () => undefined });
    const file = project.update(uri, kinds + valley);
    expect(project.mistakes(file)).toEqual([]);
    said(project);
    const recall = vi.spyOn(Memory.prototype, 'recall');
    project.update(uri, kinds + valley.replace('depth = 2 m', 'depth = 1.2 m'));
    said(project);
    const asked = recall.mock.results.flatMap(({ value }, i) =>
      value ? [] : [recall.mock.calls[i]?.[0].split('\n')[0]],
    );
    expect(recall.mock.calls.length).toBeGreaterThan(asked.length);
    expect([...new Set(asked)]).toEqual(['side']);
    recall.mockRestore();
  });

  test('what is said over each candidate is asked again where that is read, and what is not is kept', () => {
    const project = new Project(library, { read: () => undefined });
    const over = (said: string) => kinds + valley.replace('wheel w is ?', `wheel w is ? {\n    ${said}\n  }`);
    project.update(uri, over('wants = 0.5 m'));
    said(project);
    const recall = vi.spyOn(Memory.prototype, 'recall');
    project.update(uri, over('wants = 2.5 m'));
    const after = said(project);
    const asked = new Set(
      recall.mock.results.flatMap(({ value }, i) => (value ? [] : [recall.mock.calls[i]?.[0] as string])),
    );
    expect([...asked]).toContain('c\nrule wheel_stands');
    expect([...asked].filter((question) => question.startsWith('side'))).toEqual([]);
    recall.mockRestore();
    expect(after).toEqual(fresh(over('wants = 2.5 m')));
  });

  test.each(Array.from({ length: 10 }, (_, n) => n))('%i', (n) => {
    const state = new Uint32Array([seed, n, 1, 2]);
    const below = (most: number) => xoshiro(state) % most;
    const project = new Project(library, { read: () => undefined });
    const stands = ways.map(() => 0);
    const written = () =>
      ways.reduce(
        (text, some, i) => text.replace(some[0] as string, some[stands[i] as number] as string),
        kinds + valley,
      );
    for (let edit = 0; edit < 12; edit++) {
      const i = below(ways.length);
      stands[i] = below((ways[i] as readonly string[]).length);
      const text = written();
      project.update(uri, text);
      expect(said(project), text).toEqual(fresh(text));
    }
  });
});
