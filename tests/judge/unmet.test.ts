import { describe, expect, test } from 'vitest';
import { meansFor } from '../../language/judge/unmet.ts';
import { mend } from '../../language/mending.ts';
import { soundFixes } from '../../language/rehearsal.ts';
import { read } from '../support.ts';

/** A hall with lamps: its rules let width and lamps be chosen; what a lamp gives is a fact, and the air is where it stands. */
const kinds = `kind hall {
  toplevel
  has lamp*
  shared air: Temperature default 20 degC
  width: Length default 2 m
  depth: Length default 3 m
  colour: one of white, black default black
  mass: Mass default 5 kg
  area: Area = width * depth
  light: Power = (if colour == white then 2 else 1) * sum(l.power for l in lamp)
  brightness: PowerDensity = light / area
  warmth: Temperature = air + light * 1 K/W
}
kind lamp {
  power: Power
  length: Length
  order power
}
part lamp_small is lamp {
  power = 4 W
  length = 0.2 m
}
part lamp_medium is lamp {
  power = 10 W
  length = 0.5 m
}
part lamp_large is lamp {
  power = 40 W
  length = 2.5 m
}
rule hall_wide on hall {
  holds width <= 10 m
  warning "wide"
  source defined "a test"
  remedy width
  remedy colour
}
rule lamp_long on lamp {
  holds length <= 2 m
  warning "long"
  source defined "a test"
  remedy self
}
rule air_cold on hall {
  holds air > 0 degC
  warning "cold"
  source defined "a test"
  remedy air
}
`;
const asked = (body: string, more = '') => {
  const { project, file } = read({ 'a.gusset': `${kinds}hall H {\n${body}\n}\n${more}` });
  const machine = project.machines(file).find(({ tree }) => tree.name === 'H');
  const finding = machine?.assessment.findings.find(({ rule }) => rule === 'requirement');
  if (!machine || !finding) throw new Error('every requirement is met');
  return { project, file, machine, finding };
};
/** The ways out of the first requirement that is not met. */
const waysOut = (body: string, more = '') => {
  const { project, file, machine, finding } = asked(body, more);
  return [...soundFixes(finding, machine, file, project)].flatMap((fix) => fix?.title ?? []);
};
const means = (body: string) => {
  const { machine, finding } = asked(body);
  if (!finding.target) throw new Error('no requirement');
  return meansFor(finding.target, finding.scenario, machine).map((each) =>
    each.is === 'part' ? each.instance.label : `${each.cell.name}${each.free ? '' : ', a fact'}`,
  );
};

describe('what could be otherwise for a requirement', () => {
  test('values that a way out lets be chosen, parts, then facts; nothing shared, and nothing that it does not rest on', () => {
    const lamp = '  lamp a is lamp_small';
    const body = `${lamp}\n  depth = 3 m\n  mass = 4 kg\n  require brightness >= 1 W/m²`;
    expect(means(body)).toEqual(['width', 'colour', 'a', 'depth, a fact']);
    expect(means(`${lamp}\n  require warmth >= 30 degC`)).toEqual(['colour', 'a']);
  });

  test('no value that a formula of the machine gives, and none over a range', () => {
    expect(means('  lamp a is lamp_small\n  width = depth - 1 m\n  depth = 3 m\n  require area <= 5 m^2')).toEqual([
      'depth, a fact',
    ]);
    expect(means('  width = 2 m .. 3 m\n  depth = 3 m\n  require area <= 5 m^2')).toEqual(['depth, a fact']);
  });
});

describe('where nothing alone meets a requirement', () => {
  const deep = `rule hall_deep on hall {
  holds depth <= 12 m
  warning "deep"
  source defined "a test"
  remedy depth
}
`;
  const hall = (wish: string) => waysOut(`  width = 2 m\n  depth = 3 m\n  require ${wish}`, deep);

  test('two values do, those that change least', () => {
    expect(hall('area >= 40 m^2')).toEqual(['Set width to 10 m, and depth to 4.5 m: area 6 m² → 45 m²']);
    expect(hall('area >= 100 m^2')).toEqual(['Set width to 10 m, and depth to 12 m: area 6 m² → 120 m²']);
  });

  test('two are not told where one is enough, nor where they bring a finding', () => {
    expect(hall('area >= 25 m^2')).toEqual(['Set width to 8.4 m: area 6 m² → 25.2 m²']);
    expect(hall('area >= 200 m^2')).toEqual([]);
  });
});

/** A mill: its rules let several values be chosen, one is to agree with another, and a shaft comes with its wheel. */
const mill = `sizes beams: Length = [100 mm, 200 mm, 400 mm] {
  source practice "a test"
}
kind mill {
  toplevel
  has shaft?
  near: Length default 10 m
  far_off: Length default 1 m
  nothing: Length default 0 m
  beam: Length default 100 mm {
    sizes beams
  }
  shared damp: Length default 1 m
  heat: Temperature default 20 degC
  cool: Temperature default 20 degC
  agrees: Length default 1 m
  idle: Length default 1 m
  ends: list of Length default [1 m]
  reach: Length = near + 0.001 * far_off + 0.1 * beam + nothing + damp + agrees + 0 * idle + first_of(ends) + wheel_size
  wheel_size: Length = (shaft.wheel.width + shaft.wheel.depth) otherwise 0 m
  first_of(all: list of Length): Length = sum(one for one in all)
  hot: TemperatureDifference = (heat - 0 degC) + 0.1 * (cool - 0 degC)
}
kind shaft {
  has wheel
  turned: Length default 1 m
}
kind wheel {
  width: Length
  depth: Length default 1 m
}
part wheel_small is wheel {
  width = 1 m
  depth = 1 m
}
part wheel_large is wheel {
  width = 2 m
  depth = 2 m
}
rule mill_reaches on mill {
  holds near >= 0 m
  warning "near"
  source defined "a test"
  remedy near
  remedy far_off
  remedy nothing
  remedy damp
  remedy idle
  remedy ends
  remedy heat
  remedy cool
  remedy agrees = near
  remedy shaft.turned
  remedy shaft.wheel.width
}
`;
const meansOf = (body: string) => {
  const { project, file } = read(`${mill}mill H {\n${body}\n}\n`);
  const machine = project.machines(file).find(({ tree }) => tree.name === 'H');
  const finding = machine?.assessment.findings.find(({ rule }) => rule === 'requirement');
  if (!machine || !finding?.target) throw new Error('every requirement is met');
  return meansFor(finding.target, finding.scenario, machine).map((each) =>
    each.is === 'part' ? `part ${each.instance.label}` : `${each.cell.name}${each.free ? '' : ', a fact'}`,
  );
};

describe('what could be otherwise, of many', () => {
  const wheel = '  shaft s {\n    wheel w is wheel_small\n  }';

  test('what has to change least comes first, what has to change far after the parts; what does nothing, or is to agree, not at all', () => {
    // 10 m of near and 1 m each of four others: near has to grow by a twentieth, far_off by five hundred times.
    expect(meansOf(`${wheel}\n  agrees = 1 m\n  require reach >= 15.5 m`)).toEqual([
      'near',
      'beam',
      'nothing',
      'part s.w',
      'far_off',
    ]);
  });

  test('a point of temperature is changed by kelvins: one that counts a tenth has to change more', () => {
    expect(meansOf('  require hot <= 12 K')).toEqual(['heat', 'cool']);
    expect(meansOf('  require hot <= -200 K')).toEqual(['heat', 'cool']);
  });

  test('what blocks share, lists, and what is computed from another are none', () => {
    expect(meansOf(`${wheel}\n  damp = 2 m\n  ends = [1 m]\n  agrees = near\n  require reach >= 28 m`)).toEqual([
      'near',
      'beam',
      'nothing',
      'part s.w',
      'far_off',
    ]);
  });

  test('a size is what may be chosen, though no way out says so', () => {
    expect(meansOf('  require beam >= 300 mm')).toEqual(['beam']);
  });

  test('of values that do as much no more than eight are looked at', () => {
    const names = [...'abcdefghijk'];
    const kinds = `kind row {
  toplevel
${names.map((name) => `  ${name}: Length default 1 m`).join('\n')}
  all: Length = ${names.join(' + ')}
}
rule row_long on row {
  holds a > 0 m
  warning "long"
  source defined "a test"
${names.map((name) => `  remedy ${name}`).join('\n')}
}
`;
    const { project, file } = read(`${kinds}row H {\n  require all >= 12 m\n}\n`);
    const [machine] = project.machines(file);
    const [finding] = machine?.assessment.findings ?? [];
    if (!machine || !finding?.target) throw new Error('every requirement is met');
    expect(meansFor(finding.target, finding.scenario, machine)).toHaveLength(8);
  });
});

describe('ways out of a requirement', () => {
  test('each with what it does', () => {
    expect(waysOut('  lamp a is lamp_small\n  depth = 3 m\n  require brightness >= 1 W/m²')).toEqual([
      'Set width to 1.3 m: brightness 0.667 W/m² → 1.03 W/m²',
      'Set colour to white: brightness 0.667 W/m² → 1.33 W/m²',
      'Take lamp_medium for a: brightness 0.667 W/m² → 1.67 W/m²',
      'Set depth to 2 m, once it really is so: brightness 0.667 W/m² → 1 W/m²',
    ]);
  });

  test('none that breaks a rule, another requirement, or a variant', () => {
    const body = '  lamp a is lamp_small\n  require brightness >= 4 W/m²';
    expect(waysOut(body)).toEqual(['Set width to 330 mm: brightness 0.667 W/m² → 4.04 W/m²']);
    expect(waysOut(`${body}\n  require width >= 1 m`)).toEqual([]);
    expect(waysOut(body, 'hall I is H {\n  require width >= 1 m\n}\n')).toEqual([]);
  });

  test('none by which another requirement that is not met falls shorter', () => {
    const body = '  lamp a is lamp_large\n  require light >= 50 W\n  require light <= 30 W';
    expect(waysOut(body)).toEqual([]);
    expect(waysOut(body.replace('\n  require light <= 30 W', ''))).toEqual(['Set colour to white: light 40 W → 80 W']);
  });

  test('of two requirements of one block each is mended by itself, by what is no fact', () => {
    const body = '  lamp a is lamp_small\n  depth = 3 m\n  require area <= 5 m^2\n  require warmth >= 28 degC';
    const { project, file } = asked(body);
    const made = [...mend(file.uri, project)].flatMap((step) => (step ? [`${step.rule}: ${step.title}`] : []));
    expect(made).toEqual([
      'requirement: Set width to 1.6 m: area 6 m² → 4.8 m²',
      'requirement: Set colour to white: warmth 24 °C → 28 °C',
    ]);
  });
});
