import { describe, expect, test } from 'vitest';
import { answerTo } from '../../language/judge/choices.ts';
import { findingsOf, machineIn, read } from '../support.ts';

describe('open numbers beside open choices', () => {
  const crates = (count: number) => {
    const names = Array.from({ length: count }, (_, i) => `c${i}`);
    return `kind board {
  bears: Mass
  order bears
}
${[1, 2, 4, 8, 16, 32].map((by) => `part board_${by} is board {\n  bears = ${by} kg\n}`).join('\n')}
kind rack {
  toplevel
  ${names.map((name) => `${name}: board`).join('\n  ')}
  each_load: Mass
  step: Length default 1 m
}
${names.map((name) => `rule rack_breaks_${name} on rack {\n  holds each_load <= ${name}.bears\n  error "breaks"\n}`).join('\n')}
rule rack_weak on rack {
  holds each_load >= 3.3 kg
  error "carries too little"
}
rule rack_total on rack {
  holds ${names.map((name) => `${name}.bears`).join(' + ')} <= ${count} * 9 kg
  warning "too much of it"
}
rule rack_steep on rack {
  holds step <= each_load / 10 kg * 1 m
  warning "steep"
}
`;
  };
  const rack = (count: number, body: string) =>
    `${crates(count)}rack R {\n  ${Array.from({ length: count }, (_, i) => `c${i} = ?`).join('\n  ')}\n  ${body}\n}\n`;

  test('beside twelve open choices both stay as they suit each other, also two at once', () => {
    const told = machineIn(rack(12, 'each_load = least ?\n  step = greatest ?')).choices.map(
      ({ proposed }) => proposed?.text,
    );
    expect(told).toEqual([...Array(12).fill('board_4'), '3.3 kg', '330 mm']);
  });

  test('where no value holds, it is judged with what suits it but for what else is open', () => {
    const small = rack(2, 'each_load = least ?\n  step = 10 mm').replaceAll('= ?', '= ? of [board_1, board_2]');
    const machine = machineIn(small);
    expect(machine.choices.at(-1)?.nearest?.text).toBe('3.3 kg');
    expect(findingsOf(machine).join()).toContain('rack_breaks');
  });

  test('a furthest value is the best found where what stops it rests on what else is open, and certain where not', () => {
    const told = machineIn(rack(2, 'each_load = least ?\n  step = 10 mm')).choices.map(answerTo);
    expect(told.at(-1)).toMatch(/^3\.3 kg proposed, the least that holds/);
    expect(told.at(-1)).not.toContain('best found');
    const most = machineIn(rack(2, 'each_load = greatest ?\n  step = 10 mm')).choices.map(answerTo);
    expect(most.at(-1)).toContain('breaks');
    expect(most.at(-1)).toContain('the best found');
  });

  test('something small that fails with any value does not keep the choices at what suited the number at first', () => {
    const plant = `sizes tensions: Voltage = [12 V, 24 V] {
  source practice "a test"
}
sizes ratings: Current = [1 A, 5 A] {
  source practice "a test"
}
kind plant {
  toplevel
  has feed
  has link
  power: Power
  real: Power = power * (feed.tension / 24 V) ^ 2
}
kind feed {
  tension: Voltage {
    sizes tensions
  }
  of: plant
}
kind link {
  rating: Current {
    sizes ratings
  }
  of: plant
  needs: Current = of.feed.tension / 12 ohm * (1 - of.real / 1 MW)
}
rule dense on plant {
  holds power <= 1200 W
  error "{power} is too dense"
  source practice "a test"
}
rule link_small on link {
  holds needs <= rating
  error "{rating} for {needs}"
  source practice "a test"
}
${['overloaded', 'sags']
  .map((name) => `rule ${name} on feed {\n  holds of.real <= 400 W\n  error "${name}"\n  source practice "a test"\n}\n`)
  .join('')}${['dark', 'dim']
  .map(
    (name) =>
      `rule ${name} on plant {\n  holds feed.tension >= 24 V\n  error "${name}"\n  source practice "a test"\n}\n`,
  )
  .join('')}plant P {
  power = greatest ?
  feed {
    tension = ?
    of = P
  }
  link {
    rating = ? of [1 A]
    of = P
  }
  require real >= 350 W
}
`;
    // At 12 V the link of 1 A does, but others do not.
    const { choices } = machineIn(plant);
    const told = choices.map(({ name, proposed, nearest }) => `${name} ${(proposed ?? nearest)?.shown}`);
    expect(told.sort()).toEqual(['power 400 W', 'rating 1 A', 'tension 24 V']);
    // What fails with any value is told with what stands in the end: of two that are too small the larger.
    const two = plant.replace('5 A]', '1.5 A, 5 A]').replace('[1 A]', '[1 A, 1.5 A]');
    expect(machineIn(two).choices.map(answerTo)).toContainEqual(
      expect.stringMatching(/^no value holds: 1\.5 A for 2 A/),
    );
    // The good neighbour: with a link of 5 A nothing fails.
    expect(findingsOf(machineIn(plant.replace('[1 A]', '[1 A, 5 A]')))).toEqual([]);
  });

  test('what was found is taken over by another project of the same text', () => {
    const text = rack(3, 'each_load = least ?\n  step = 10 mm');
    const [one, other] = [read(text), read(text)];
    one.project.takeSolutions(one.file, other.project);
    const said = (of: typeof one) => of.project.machines(of.file)[0]?.choices.map(answerTo);
    expect(said(one)).toEqual(said(other));
    expect(said(one)?.at(-1)).toMatch(/^3\.3 kg proposed/);
  });

  test('a file full of open numbers comes to an end', () => {
    const count = 150;
    const names = Array.from({ length: count }, (_, i) => `n${i}`);
    const text = `kind row {
  toplevel
  ${names.map((name) => `${name}: Length`).join('\n  ')}
}
rule row_long on row {
  holds ${names.join(' + ')} <= 1 m
  warning "long"
}
row R {
  ${names.map((name) => `${name} = greatest ?`).join('\n  ')}
}
`;
    const { choices } = machineIn(text);
    expect(choices).toHaveLength(count);
    expect(choices.map(answerTo).filter((each) => each.startsWith('not looked for'))).not.toEqual([]);
  });
});
