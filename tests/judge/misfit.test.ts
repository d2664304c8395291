import { describe, expect, test } from 'vitest';
import { type AstNode, textOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import type { Assessed } from '../../language/project.ts';
import { soundFixes } from '../../language/rehearsal.ts';
import { findingsOf, machineIn, read } from '../support.ts';

const kinds = `sizes ropes: Length = [2 mm, 4 mm, 6 mm, 8 mm] {
  source practice "a test"
}
kind swing {
  toplevel
  rope: Length {
    sizes ropes
  }
  load: Mass default 1 kg
  eye: Length default 10 mm
  budget: Price default 100 EUR
  low: YesNo default no
}
rule rope_snaps on swing {
  holds rope >= load * 1 mm/kg
  error "{rope} snaps under {load}"
  source practice "a test"
}
rule eye_narrow on swing {
  holds rope <= eye
  error "{rope} does not go through {eye}"
  source practice "a test"
}
rule rope_dear on swing {
  holds rope * 1 EUR/mm <= budget
  error "{rope} is too dear"
  source practice "a test"
}
rule hangs_high on swing {
  holds low
  warning "it hangs high"
  source practice "a test"
}
`;
const caution = kinds.replace(
  '  source practice "a test"\n}\nrule eye_narrow',
  '  caution "A fall."\n  source practice "a test"\n}\nrule eye_narrow',
);
function misfit(lines: string, text = kinds) {
  const { findings } = machineIn(`${text}swing S {\n  rope = ?\n  low = yes\n${lines}\n}\n`).assessment;
  return findings.find(({ rule }) => rule === 'nothing_fits');
}

describe('why nothing fits', () => {
  test('nothing is said where something does', () => {
    expect(misfit('')).toBeUndefined();
    expect(misfit('  load = 8 kg')).toBeUndefined();
    expect(misfit('  load = 6 kg\n  eye = 6 mm')).toBeUndefined();
  });

  test('one rule that each fails, with its numbers where it comes nearest, and what would have to give', () => {
    expect(misfit('  load = 9 kg')).toMatchObject({
      severity: 'error',
      message: 'nothing fits here: each, even 8 mm: 8 mm snaps under 9 kg. 8 mm comes nearest',
      waysOut: [expect.stringMatching(/^with 8 mm this would have to give: /)],
      caution: undefined,
    });
    expect(misfit('  eye = 1 mm')).toMatchObject({
      severity: 'error',
      message: 'nothing fits here: each, even 2 mm: 2 mm does not go through 1 mm. 2 mm comes nearest',
    });
  });

  test('the fewest rules that together rule out all, and which each of them rules out', () => {
    expect(misfit('  load = 5 kg\n  eye = 5 mm')?.message).toBe(
      'nothing fits here: 2 mm and 4 mm, even 4 mm: 4 mm snaps under 5 kg; 6 mm and 8 mm, even 6 mm: 6 mm does not go through 5 mm. 4 mm comes nearest',
    );
    // What rules out no more than another rule does is not a reason of its own.
    expect(misfit('  load = 7 kg\n  eye = 7 mm\n  budget = 7.5 EUR')?.message).toContain(
      '2 mm to 6 mm, even 6 mm: 6 mm snaps under 7 kg; 8 mm: ',
    );
  });

  test('what fails whatever is chosen is no reason', () => {
    expect(findingsOf(machineIn(`${kinds}swing S {\n  rope = ?\n}\n`))).toEqual(['hangs_high: it hangs high']);
  });

  test('what endangers people is never to be given up', () => {
    expect(misfit('  load = 9 kg', caution)).toMatchObject({
      severity: 'error',
      caution: 'A fall.',
      waysOut: ['change something else: each that can be chosen breaks a rule about people’s safety'],
    });
    expect(misfit('  load = 5 kg\n  eye = 5 mm', caution)).toMatchObject({
      waysOut: [expect.stringMatching(/^with 6 mm this would have to give: .*does not go through/)],
    });
  });

  test('a way to give is told with the value that would be set', () => {
    const text = kinds.replace('  holds rope <= eye\n', '  holds rope <= eye\n  remedy eye = rope\n');
    expect(misfit('  load = 5 kg\n  eye = 5 mm', text)?.waysOut).toEqual([
      'with 4 mm this would have to give: 4 mm snaps under 5 kg (20 % short)',
    ]);
  });

  test('a warning where of what can be chosen something breaks no more than a warning about people’s safety', () => {
    const text = kinds.replace('error "{rope} is too dear"', 'warning "{rope} is too dear"\n  caution "Poverty."');
    expect(misfit('  budget = 1 EUR', text)).toMatchObject({ severity: 'warning', caution: 'Poverty.' });
    expect(misfit('  budget = 1 EUR\n  eye = 4 mm', text)).toMatchObject({ severity: 'warning' });
    expect(misfit('  budget = 1 EUR\n  eye = 1 mm', text)).toMatchObject({ severity: 'error' });
  });

  test('of five rules that each rule out one alone all are told, of which no four do', () => {
    const five = `sizes ropes: Length = [1 mm, 2 mm, 3 mm, 4 mm, 5 mm] {
  source practice "a test"
}
kind swing {
  toplevel
  rope: Length {
    sizes ropes
  }
}
${[1, 2, 3, 4, 5]
  .map((n) => `rule r${n} on swing {\n  holds rope != ${n} mm\n  error "not {rope}"\n  source practice "a test"\n}\n`)
  .join('')}`;
    const { findings } = machineIn(`${five}swing S {\n  rope = ?\n}\n`).assessment;
    expect(findings.map(({ message }) => message)).toEqual([
      'nothing fits here: 1 mm: not 1 mm; 2 mm: not 2 mm; 3 mm: not 3 mm; 4 mm: not 4 mm; 5 mm: not 5 mm. 1 mm comes nearest',
    ]);
  });

  test('what fails with what comes nearest stands under it, and what it cautions against is said above', () => {
    const under = (text: string) => {
      const { findings } = machineIn(`${text}swing S {\n  rope = ?\n  low = yes\n  load = 9 kg\n}\n`).assessment;
      return findings.map(({ rule, consequences }) => [rule, ...consequences.map((each) => each.rule)].join(' > '));
    };
    expect(under(kinds)).toEqual(['nothing_fits > rope_snaps']);
    expect(under(caution)).toEqual(['nothing_fits > rope_snaps']);
    expect(misfit('  load = 9 kg', caution)).toMatchObject({ severity: 'error', caution: 'A fall.' });
  });

  test('in a variant that nothing fits, it is told at the variant', () => {
    const text = `${kinds}swing S {\n  rope = ?\n  low = yes\n}\nswing T is S {\n  load = 9 kg\n}\n`;
    const { project, file } = read(text);
    const [first, second] = project.machines(file).map(({ assessment }) => assessment.findings);
    expect(first).toEqual([]);
    const [place] = second?.[0]?.places ?? [];
    expect(textOf(place as AstNode)).toMatch(/T/);
    expect(second?.map(({ rule }) => rule)).toEqual(['nothing_fits']);
  });
});

describe('of what is listed', () => {
  const listed = (lines: string, text = kinds) => {
    const { findings } = machineIn(`${text}swing S {\n  low = yes\n${lines}\n}\n`).assessment;
    return findings.find(({ rule }) => rule === 'nothing_fits')?.waysOut;
  };

  test('nothing fits, but something else would: the first that does is named, before what would have to give', () => {
    const ways = [
      'none of those listed fits: 6 mm would',
      expect.stringMatching(/^with 4 mm this would have to give: /),
    ];
    expect(listed('  rope = ? of [2 mm, 4 mm]\n  load = 5 kg')).toEqual(ways);
    expect(listed('  rope = ? of [2 mm, 4 mm]\n  load = 5 kg', caution)).toEqual(ways.slice(0, 1));
    expect(listed('  rope = ? of [2 mm, 8 mm]\n  load = 5 kg')).toBeUndefined();
  });

  test('what brings a warning comes last, and says so; what breaks something else is none', () => {
    const text = kinds.replace('holds low\n', 'holds low and rope != 6 mm\n');
    expect(listed('  rope = ? of [2 mm, 4 mm]\n  load = 5 kg', text)?.[0]).toContain(': 8 mm would');
    expect(listed('  rope = ? of [2 mm, 4 mm]\n  load = 5 kg\n  eye = 7 mm', text)?.[0]).toBe(
      'none of those listed fits: 6 mm would, with a new warning',
    );
    expect(listed('  rope = ? of [2 mm, 4 mm]\n  load = 5 kg\n  eye = 5 mm')).toEqual([
      expect.stringMatching(/^with 4 mm this would have to give/),
    ]);
  });

  test('what would fit is offered to be written', () => {
    const { project, file } = read(`${kinds}swing S {\n  low = yes\n  rope = ? of [2 mm, 4 mm]\n  load = 5 kg\n}\n`);
    const [machine] = project.machines(file);
    const finding = machine?.assessment.findings[0] as Finding;
    const fixes = [...soundFixes(finding, machine as Assessed, file, project)].flatMap((fix) => fix ?? []);
    expect(fixes.map(({ title, edits }) => [title, edits.map(({ text }) => text)])).toContainEqual([
      'Take 6 mm',
      ['6 mm'],
    ]);
  });
});

describe('one cause', () => {
  const hut = `sizes tensions: Voltage = [12 V, 24 V] {
  source practice "a test"
}
sizes ratings: Current = [1 A, 3 A, 5 A] {
  source practice "a test"
}
kind hut {
  toplevel
  has feed
  has link
}
kind feed {
  tension: Voltage {
    sizes tensions
  }
}
kind link {
  rating: Current {
    sizes ratings
  }
  fed_by: feed
  needs: Current = fed_by.tension / 6 ohm
}
rule link_small on link {
  holds needs <= rating
  error "{rating} for {needs}"
  caution "Fire."
  source practice "a test"
}
${['dark', 'dim']
  .map(
    (name) => `rule ${name} on hut {\n  holds feed.tension >= 24 V\n  error "${name}"\n  source practice "a test"\n}\n`,
  )
  .join('')}`;
  const roots = (link: string) =>
    findingsOf(
      machineIn(`${hut}hut H {\n  feed {\n    tension = ?\n  }\n  link {\n    ${link}\n    fed_by = feed\n  }\n}\n`),
    );

  test('is said of the choice whose block is wrong, and not of one that would hide it', () => {
    // 24 V over 6 ohm are 4 A; at 12 V, 2 A, the fuse would do, but nothing else.
    expect(roots('rating = ? of [1 A, 3 A]')).toEqual([
      'nothing_fits: nothing fits here: each, even 3 A: 3 A for 4 A. 3 A comes nearest -> link_small',
    ]);
    expect(roots('rating = ? of [1 A, 5 A]')).toEqual([]);
  });

  test('is one finding where the same speaks against two choices, and neither is it said of', () => {
    const text = `rule too_much on hut {
  holds link.needs <= link.rating
  error "{link.rating} for {link.needs}, in all"
  source practice "a test"
}
`;
    const without = hut
      .replace('rule link_small', 'rule unasked')
      .replace('holds needs <= rating', 'holds needs <= 9 A');
    const found = findingsOf(
      machineIn(
        `${without}${text}hut H {\n  feed {\n    tension = ?\n  }\n  link {\n    rating = ? of [1 A, 3 A]\n    fed_by = feed\n  }\n}\n`,
      ),
    );
    expect(found).toHaveLength(1);
  });
});
