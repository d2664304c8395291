import { describe, expect, test } from 'vitest';
import { missingPaths, targetsOf, writtenInstances } from '../../language/compute/machine.ts';
import { Project } from '../../language/project.ts';
import { Unknown } from '../../language/values/value.ts';
import { library, machineIn, read } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  depth: Length?
}
kind lamp {
  power: Power default 5 W
  has cap: cap {
  }
}
kind cap {
  require_me: Length?
}
part bright is lamp {
  require power > 1 W
}
hall Base {
  lamp a
  require width  <   5 m
}
`;

describe('requirements', () => {
  const machine = machineIn(
    `${kinds}hall H is Base {\n  lamp b is bright\n  require b.power > 2 W\n  require\n}\n`,
    'H',
  );

  test('are those of the machine, of what it starts from and of its parts, each where it stands', () => {
    const targets = targetsOf(machine);
    expect(targets.map(({ text, instance }) => [instance.path, text])).toEqual([
      ['H', 'b.power > 2 W'],
      ['H', 'width < 5 m'],
      ['H.b', 'power > 1 W'],
    ]);
    expect(targets.map(({ cell }) => machine.engine.value(cell))).toEqual([true, true, true]);
    expect(targetsOf(machine)).toBe(targets);
  });

  test('the blocks that a machine’s own text writes', () => {
    expect([...writtenInstances(machine)].map(({ path }) => path)).toEqual(['H', 'H.b']);
  });
});

describe('a requirement that is edited', () => {
  const text = (condition: string) => `${kinds}hall H {\n  require ${condition}\n}\n`;
  const { project, file } = read(text('depth < 5 m'));
  const holds = (condition: string) => {
    project.update(file.uri, text(condition));
    return project
      .machines(file)
      .find(({ tree }) => tree.name === 'H')
      ?.assessment.requirements.map((each) => each.holds);
  };

  test('is judged anew', () => {
    expect(holds('depth < 5 m')).toEqual([undefined]);
    expect(holds('width < 5 m')).toEqual([true]);
    expect(holds('width < 3 m')).toEqual([false]);
    expect(holds('width < 3 W')).toEqual([undefined]);
    expect(holds('width < 5 m')).toEqual([true]);
  });

  test('to a mistake and back', () => {
    expect(holds('width < widht')).toEqual([undefined]);
    expect(holds('width < 5 m')).toEqual([true]);
  });
});

test('what is missing is told by its path below the machine, each once', () => {
  const { tree } = machineIn(`${kinds}hall H {\n  lamp a\n}\n`, 'H');
  const lamp = tree.children.get('a');
  const cap = lamp?.children.get('cap');
  if (!lamp || !cap) throw new Error('there is no lamp with a cap');
  const value = new Unknown([
    { instance: tree, name: 'depth' },
    { instance: lamp, name: 'power' },
    { instance: cap, name: 'require_me', unreadable: true },
    { instance: lamp, name: 'power' },
  ]);
  expect(missingPaths(value)).toEqual(['depth', 'a.power']);
  expect(missingPaths(value, true)).toEqual(['a.cap.require_me']);
  expect(missingPaths(3)).toEqual([]);
});

test('a requirement in the same words is judged by what they mean after each edit', () => {
  const text = (lamp: string, line = '') => `kind hall {
  toplevel
  has lamp*
}
kind lamp {
  power: Power default 5 W
}
hall H {
${line}  require a.power / (2 W - 1 W) < 9
${lamp}}
`;
  const holds = (project: Project, at: string) => {
    const file = project.update('file:///hall.gusset', at);
    const told = project.mistakes(file).map(({ message }) => message);
    return [
      told.length,
      ...project.machines(file).flatMap(({ assessment }) => assessment.requirements.map((r) => r.holds)),
    ];
  };
  const edited = new Project(library, { read: () => undefined });
  const steps = ['  lamp a\n', '  lamp b\n', '  lamp a\n', '  lamp a { power = 20 W }\n', '', '  lamp a\n'];
  const told = steps.map((lamp) => holds(edited, text(lamp)));
  expect(told).toEqual(steps.map((lamp) => holds(new Project(library, { read: () => undefined }), text(lamp))));
  expect(told.map(([, held]) => held)).toEqual([true, undefined, true, false, undefined, true]);
});
