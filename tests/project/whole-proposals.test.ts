import { describe, expect, test } from 'vitest';
import { starts } from '../../language/starts.ts';
import { wholeProposals } from '../../language/whole-proposals.ts';
import { read } from '../support.ts';

const textOf = (start: string) => starts.find(({ name }) => name === start)?.text ?? '';
/** What is proposed for a text's only machine. */
const proposed = (text: string) => {
  const { project, file } = read(text);
  const [machine] = project.judged(file);
  if (!machine) throw new Error('there is no machine');
  return wholeProposals(machine, project);
};
/** The same with the machines to begin with read anew: what is found in them is kept for a library, and this is another one with the same in it. */
const proposedAnew = (text: string) => {
  const { project, file } = read(text);
  const [machine] = project.judged(file);
  if (!machine) throw new Error('there is no machine');
  return wholeProposals(machine, { library: { ...project.library } });
};
const mistakes = (text: string) => {
  const { project, file } = read(text);
  return project.mistakes(file).filter(({ severity }) => severity === 'error');
};
/** A text without one of its circuits, and the load at the end of that. */
const without = (text: string, circuit: string) => {
  const found = new RegExp(`\\n  circuit ${circuit} [^]*?\\n  }(?=\\n)`).exec(text)?.[0] ?? '';
  return { text: text.replace(found, ''), load: /([\w.]+)\]\n {2}}$/.exec(found)?.[1] };
};
const wagtail = (voltage: string) => `machine Wagtail {
  ambient = 15 degC .. 30 degC
  supply psu is desktop_supply_24v_220w
  heater mat {
    power = 120 W
    voltage = ${voltage}
    size = 240 mm x 240 mm
  }
}
`;

describe('a block that answers a question as a whole', () => {
  test.each([
    ['crossing-belts', 'bed_power'],
    ['crossing-belts', 'board_power'],
    ['small', 'tool_power'],
    ['small', 'sink_fan_power'],
  ])('in %s, %s is proposed for its load where it is gone, and is read as it is written', (start, circuit) => {
    const { text, load } = without(textOf(start), circuit);
    const found = proposed(text).find(({ of }) => of === load);
    expect(found?.head).toBe(`circuit ${circuit}`);
    const whole = text.replace(/\n}\s*$/, `\n${found?.text.replace(/^/gm, '  ')}\n}\n`);
    expect(mistakes(whole)).toEqual([]);
    // It answers: what it is for is not asked again.
    expect(proposed(whole).filter(({ of }) => of === load)).toEqual([]);
  });

  test('leaves parts and sizes open, and says nothing that only who builds it can say', () => {
    const { text } = without(textOf('crossing-belts'), 'bed_power');
    const found = proposed(text).find(({ head }) => head === 'circuit bed_power');
    expect(found?.text).toMatchInlineSnapshot(`
      "circuit bed_power {
        relay is ? {
          control = controller.bed_output
        }
        wire {
          area = ?
          insulation = silicone
        }
        wire plate_earth {
          place = open_air
          area = ?
          insulation = silicone
        }
        fuse is ?
        path = [mains_side.inlet, mains_side.main_switch, fuse, relay, wire, bed.cutoff, bed.heater]
        earth = plate_earth
      }"
    `);
    expect(found?.blanks).toContain('$0');
  });

  test('is made of another of the kind where none is alike, with a name of its own', () => {
    const [found] = proposed(wagtail('24 V'));
    expect(found).toMatchObject({ head: 'circuit mat_power', of: 'mat', question: 'What feeds it?' });
    expect(found?.text).toContain('path = [psu, fuse, wire, mat]');
    expect(found?.blanks).toMatch(/length = \$\{1:0\.\d m\}\n {2}\\\}/);
  });

  test('is not proposed where its source would not be of its voltage, nor where there is none', () => {
    expect(proposed(wagtail('12 V')).map(({ head, text }) => [head, text.includes('psu')])).toEqual([]);
    expect(proposed(wagtail('24 V').replace(/ {2}supply.*\n/, '')).some(({ text }) => text.includes('psu'))).toBe(
      false,
    );
  });

  test.each([
    ['small', 'tool_power'],
    ['small', 'board_power'],
    ['crossing-belts', 'bed_power'],
  ])('in %s, %s says of each block in it what the machine to begin with says, and nothing else', (start, circuit) => {
    const whole = textOf(start);
    const { text, load } = without(whole, circuit);
    const found = proposedAnew(text).find(({ of }) => of === load);
    const written = new RegExp(`\\n  circuit ${circuit} [^]*?\\n  }(?=\\n)`).exec(whole)?.[0] ?? '';
    // The lists that it gives lead to the same blocks, in their order.
    const lists = (of: string) => [...of.matchAll(/(\w+) = (\[[^\]]*\])/g)].map(([, name, list]) => `${name} ${list}`);
    expect(lists(found?.text ?? '')).toEqual(lists(written));
    // Each part is left open, and so is each size; every other number is to be looked at.
    expect(found?.text).not.toMatch(/ is [a-z]/);
    const numbers = [...(found?.text ?? '').matchAll(/ = ([\d.]+ \w+)/g)].map(([, number]) => number);
    const blanks = [...(found?.blanks ?? '').matchAll(/\$\{(\d+):([^}]*)\}/g)];
    expect(blanks.map(([, , number]) => number)).toEqual(numbers);
    expect(blanks.map(([, n]) => Number(n))).toEqual(numbers.map((_, i) => i + 1));
    for (const number of numbers) expect(written).toContain(number);
    expect(found?.blanks.replace(/\$\{\d+:([^}]*)\}|\$0$/g, '$1').replace(/\\([$\\}])/g, '$1')).toBe(found?.text);
  });

  test('is waited for as the question that it answers, and where a finding tells of it already, before all', () => {
    const bare = textOf('small').replace(/\n {2}circuit \w+ [\s\S]*?\n {2}}(?=\n)/g, '');
    const { project, file } = read(bare);
    const [machine] = project.judged(file);
    if (!machine) throw new Error('there is no machine');
    const asked = (of: string) =>
      machine.assessment.notSaid.find(
        ({ instance, question }) => instance.label === of && question === 'What feeds it?',
      );
    const found = wholeProposals(machine, project);
    expect(found.filter(({ of }) => asked(of)).length).toBeGreaterThan(1);
    for (const { of, waiting } of found) expect(waiting, of).toBe(asked(of)?.waiting ?? 99);
  });

  test('is not proposed for a block that says that there is none', () => {
    const own = (text: string) => proposed(text).filter(({ of }) => of === 'mat');
    expect(own(wagtail('24 V'))).toHaveLength(1);
    expect(own(wagtail('24 V').replace('    voltage', '    no feed\n    voltage'))).toEqual([]);
  });

  test('goes by another name where its own is taken, and stands in the machine', () => {
    const { text, load } = without(textOf('small'), 'tool_power');
    const taken = text.replace(/\n}\s*$/, '\n  fan tool_power is fan_24v_40mm\n}\n');
    const found = proposedAnew(taken).find(({ of }) => of === load);
    expect(found?.head).toBe(`circuit ${load?.split('.').at(-1)}_power`);
    expect(found?.holder.name).toBe('machine');
    expect(found?.waiting).toBeGreaterThan(0);
  });

  test('is proposed once for each name, what most waits for first', () => {
    const bare = textOf('small').replace(/\n {2}circuit \w+ [\s\S]*?\n {2}}(?=\n)/g, '');
    const all = proposedAnew(bare);
    expect(all.length).toBeGreaterThan(2);
    expect(new Set(all.map(({ head }) => head)).size).toBe(all.length);
    const waiting = all.map((each) => each.waiting);
    expect(waiting).toEqual(waiting.toSorted((a, b) => b - a));
  });
});
