import { describe, expect, test } from 'vitest';
import { complete } from '../../language/answers/complete.ts';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesOf } from '../../language/answers/occurrences.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { partKind } from '../../language/types/bind.ts';
import { machineIn, mistakesIn, read, shown } from '../support.ts';

describe('a name means one thing', () => {
  const kinds = `kind inner {
  inside machine
}
kind leaf {
  inside machine
  t: Temperature
}
`;

  test('a block named like a value that its machine has is an error that names both, wherever it is used', () => {
    const text = `machine M {
  ambient = 20 degC
  inner ambient {
  }
  leaf {
    t = ambient
  }
}
${kinds}`;
    expect(mistakesIn(text)).toEqual([
      '3: ambient is already said in this block; the first one counts.',
      '6: ambient could mean the value ambient of M or the block ambient here: give the block another name.',
    ]);
    expect(shown(machineIn(text), 'leaf.t')).toBe('not known');
  });

  test('a word that is expected comes before all else that goes by it', () => {
    const text = `machine M {
  ambient = 20 degC
  leaf narrow {
    t = 30 degC
    mode = narrow
  }
  leaf other {
    t = narrow.t
    mode = wide
  }
}
kind leaf {
  inside machine
  t: Temperature
  mode: one of wide, narrow
  is_narrow: YesNo = mode == narrow
}
`;
    expect(mistakesIn(text)).toEqual([]);
    const machine = machineIn(text);
    expect(shown(machine, 'narrow.is_narrow')).toBe('yes');
    expect(shown(machine, 'other.is_narrow')).toBe('no');
    expect(shown(machine, 'other.t')).toBe('30 °C');
  });

  test('an argument and the name of a question come before a word that is expected', () => {
    const text = `machine M {
  ambient = 20 degC
  leaf a {
    mode = narrow
  }
  leaf b {
    mode = wide
  }
}
kind leaf {
  inside machine
  mode: one of wide, narrow
  is_as(narrow: one of wide, narrow): YesNo = mode == narrow
  asked: YesNo = is_as(narrow: wide)
  alike: Count = count(wide for wide in every leaf where wide.mode == mode)
}
`;
    expect(mistakesIn(text)).toEqual([]);
    const machine = machineIn(text);
    expect(shown(machine, 'a.asked')).toBe('no');
    expect(shown(machine, 'b.asked')).toBe('yes');
    expect(shown(machine, 'a.alike')).toBe('1');
  });

  test("a formula's names are those of the kind that declares it, whatever a kind that starts from it adds", () => {
    const text = `machine M {
  ambient = 20 degC
  base_leaf {
  }
  wide_leaf {
    ambient = 70 degC
  }
}
kind base_leaf {
  inside machine
  warmer: Temperature = ambient + 5 K
}
kind wide_leaf is base_leaf {
  ambient: Temperature
}
`;
    expect(mistakesIn(text)).toEqual([]);
    const machine = machineIn(text);
    expect(shown(machine, 'base_leaf.warmer')).toBe('25 °C');
    expect(shown(machine, 'wide_leaf.warmer')).toBe('25 °C');
  });

  test('a function sees what the block shares that calls it, and nothing else of it', () => {
    const text = (body: string) => `machine M {
  ambient = 20 degC
  leaf {
    t = 30 degC
  }
}
function above(): TemperatureDifference = ${body}
kind leaf {
  inside machine
  t: Temperature
  rise: TemperatureDifference = above()
}
`;
    expect(mistakesIn(text('5 K + (ambient - 0 degC)'))).toEqual([]);
    expect(shown(machineIn(text('5 K + (ambient - 0 degC)')), 'leaf.rise')).toBe('25 K');
    expect(mistakesIn(text('t - ambient'))).toEqual(['7: Nothing is called t here. Did you mean M?']);
  });
});

describe('the only one', () => {
  const text = (leaves: string) => `machine M {
  ambient = 20 degC
  asker {
  }
${leaves}}
kind leaf {
  inside machine
}
kind asker {
  inside machine
  found: Text = the(l for l in every leaf).name
}
`;

  test('one is it', () => {
    expect(shown(machineIn(text('  leaf a {\n  }\n')), 'asker.found')).toBe('a');
  });

  test('none and two are refused, two by their names', () => {
    expect(shown(machineIn(text('')), 'asker.found')).toBe('cannot be computed: there is none');
    expect(shown(machineIn(text('  leaf a {\n  }\n  leaf b {\n  }\n')), 'asker.found')).toBe(
      'cannot be computed: there is more than one: a, b',
    );
  });
});

test('a machine sees what it shares, and not what another kind would share if it stood in one', () => {
  const text = (value: string) => `kind hall {
  toplevel
  shared air: Temperature default 20 degC
  has drum*
}
kind yard {
  toplevel
  has drum*
}
kind drum {
  warmth: Temperature
}
hall H {
  drum a {
    warmth = air
  }
}
yard Y {
  drum a {
    warmth = ${value}
  }
}
part warm_drum is drum {
  warmth = air
}
`;
  expect(mistakesIn(text('air'))).toEqual([expect.stringContaining('Nothing is called air here.')]);
  // The good neighbours: a hall, and a part, which may come to stand in one.
  expect(mistakesIn(text('15 degC'))).toEqual([]);
});

test('the kind of a part is found through what it starts from, in the files where that is written', () => {
  const { scope } = read({
    'a.gusset': 'use "./b.gusset"\npart small is middle {\n}\npart lost is nowhere {\n}\npart ring is ring {\n}\n',
    'b.gusset': 'use "./c.gusset"\npart middle is large {\n}\nbarge Base {\n}\nconstant depth: Length = 1 m\n',
    'c.gusset': 'kind barge {\n  toplevel\n}\npart large is barge {\n}\n',
  }).file;
  expect(['small', 'middle', 'Base', 'machine'].map((name) => partKind(name, scope)?.name)).toEqual([
    'barge',
    'barge',
    'barge',
    'machine',
  ]);
  expect(['lost', 'ring', 'depth', 'nothing'].map((name) => partKind(name, scope))).toEqual([
    undefined,
    undefined,
    undefined,
    undefined,
  ]);
});

/** What is asked of one name: its value, what the editor says that it means, all places of that, and what is proposed there. */
describe('a name means the same to evaluation, hover, renaming and completion', () => {
  const kinds = `constant reach: Length = 5 m {
  source defined "a test"
}
kind hall {
  toplevel
  shared reach: Length default 1 m
  has lamp*
}
kind lamp {
  far: Length
  count: Length default 2 m
  own: Length = longer(reach: 3 m) {
    source defined "a test"
  }
  longer(reach: Length): Length = reach + count {
    source defined "a test"
  }
}
`;
  const text = (formula: string) => `${kinds}hall H {\n  lamp a {\n    far = ${formula}\n  }\n}\n`;
  /** What the first name of a formula, at `far`, means to each. */
  const asked = (formula: string) => {
    const whole = text(formula);
    const { project, file } = read(whole);
    const at = whole.indexOf(`far = ${formula}`) + 'far = '.length;
    const meaning = symbolAt(file, at);
    const line = (offset: number) =>
      whole.slice(whole.lastIndexOf('\n', offset) + 1, whole.indexOf('\n', offset)).trim();
    return {
      value: shown(machineIn(whole), 'a.far'),
      declared: meaning?.declarations.map((node) => line(rangeOf(node).start)),
      places: meaning && occurrencesOf(meaning, project).map(({ range }) => line(range.start)),
      proposed: (complete(file, at)?.proposals ?? []).filter(({ label }) => label === formula).map(({ sort }) => sort),
    };
  };

  test('what a block around shares comes before what the file declares', () => {
    expect(asked('reach')).toEqual({
      value: '1 m',
      declared: ['shared reach: Length default 1 m'],
      places: ['shared reach: Length default 1 m', 'far = reach'],
      proposed: ['value'],
    });
  });

  test('a block’s own value comes before what every block has', () => {
    expect(asked('count')).toMatchObject({
      value: '2 m',
      declared: ['count: Length default 2 m'],
      proposed: ['value'],
    });
    expect(asked('count').places).toEqual([
      'count: Length default 2 m',
      'longer(reach: Length): Length = reach + count {',
      'far = count',
    ]);
  });

  test('an argument comes before all that goes by its name around it', () => {
    const whole = text('1 m');
    const { project, file } = read(whole);
    expect(shown(machineIn(whole), 'a.own')).toBe('5 m');
    const meaning = symbolAt(file, whole.indexOf('reach + count'));
    expect(meaning?.sort).toBe('argument');
    expect(meaning && occurrencesOf(meaning, project)).toHaveLength(3);
    const proposals = complete(file, whole.indexOf('reach + count'))?.proposals ?? [];
    expect(proposals.filter(({ label }) => label === 'reach').map(({ sort }) => sort)).toEqual(['local']);
  });
});
