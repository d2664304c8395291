import { describe, expect, test } from 'vitest';
import { sharedFindings } from '../../language/judge/variants.ts';
import { bench, machineIn, read } from '../support.ts';

const warned = (text: string) =>
  machineIn(text).assessment.unjudgedSafety.map(({ severity, message }) => `${severity}: ${message}`);

/** The bench, whose supply has a plug of its own. */
const fed = bench;

describe('where rules about safety wait for what is not said', () => {
  test('there is a warning that says for what, and which they are', () => {
    const [warning, ...others] = warned(fed.replace(/ +area = 2.5 mm\^2\n/, ''));
    expect(others).toEqual([]);
    expect(warning).toMatch(
      /^warning: \d+ rules about people's safety could not be judged, for want of bed_power\.wire\.area: that nothing else is found says nothing of supply terminals overloaded, .* and \d+ more$/,
    );
  });

  test('one alone is told as one', () => {
    const rack =
      'kind rack {\n  toplevel\n  load: Mass\n}\nrule rack_falls on rack {\n  holds load <= 3 kg\n  error "falls"\n  caution "Mind your feet."\n  source practice "a test"\n}\nrack R {\n}\n';
    expect(warned(rack)).toEqual([
      "warning: 1 rule about people's safety could not be judged, for want of load: that nothing else is found says nothing of rack falls",
    ]);
  });

  test('it is told at what is missing, beside the findings, which it is none of', () => {
    const { assessment } = machineIn(fed.replace(/ +area = 2.5 mm\^2\n/, ''));
    const [warning] = assessment.unjudgedSafety;
    expect(assessment.findings).not.toContain(warning);
    expect(warning?.places.map((node) => ('text' in node ? node.text : node.$type))).toEqual(['wire']);
  });

  test('a variant that lacks the same is told of with its base', () => {
    const { project, file } = read(
      `${fed.replace(/ +area = 2.5 mm\^2\n/, '')}machine Other is Bench {\n  frequency = 60 Hz\n}\n`,
    );
    const machines = project.machines(file);
    expect(sharedFindings(machines).alsoIn.get(machines[0]?.assessment.unjudgedSafety[0] as never)).toEqual(['Other']);
  });
});

describe('there is none', () => {
  test('where an open choice is waited for, which is listed as such', () => {
    expect(warned(fed.replace('area = 2.5 mm^2', 'area = ?').replace('power = 250 W', 'power = 2500 W'))).toEqual([]);
  });

  test('where all that safety rests on is said', () => {
    expect(warned(fed)).toEqual([]);
  });

  test('where only rules wait that are about nobody’s safety', () => {
    const text = fed.replace(
      'circuit bed_power',
      'moving_bed motion {\n    x {\n      travel = 200 mm\n    }\n  }\n  circuit bed_power',
    );
    const { assessment } = machineIn(text);
    expect(assessment.notSaid.length).toBeGreaterThan(0);
    expect(assessment.unjudgedSafety).toEqual([]);
  });
});
