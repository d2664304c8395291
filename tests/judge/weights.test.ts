import { describe, expect, test } from 'vitest';
import type { Finding } from '../../language/judge/finding.ts';
import { type Weights, weighed, weighedWords } from '../../language/judge/weights.ts';
import { Project } from '../../language/project.ts';
import { library } from '../support.ts';
import { beam, judged, yard } from './yard.ts';

const because = 'a trial yard';
const weights = (of: Record<string, 'error' | 'warning' | 'advice'>): Weights =>
  new Map(Object.entries(of).map(([name, severity]) => [name, { severity, because }]));
/** What is found in a yard, and how grave its project has it. */
const found = (body: string, of: Weights): Finding[] => {
  const project = new Project(library, { read: () => undefined, weights: () => of });
  const file = project.update('file:///yard.gusset', yard(body));
  return [...(project.machines(file)[0]?.assessment.findings ?? [])];
};
const graveness = (findings: readonly Finding[]): string[] =>
  findings.flatMap(({ rule, severity, consequences }) => [`${rule}: ${severity}`, ...graveness(consequences)]);

const bent = beam('a', 'load = 150 N');
const lamp = 'lamp l {\n  heat = 20 W\n}';

describe('how grave a project has what is found', () => {
  test('is graver or less than its rule says, with the reason, and all else stays', () => {
    expect(graveness(judged(bent).findings)).toEqual(['beam_bends: warning']);
    for (const [severity, words] of [
      ['error', 'In this project it counts as an error, by its rule as a warning: a trial yard'],
      ['advice', 'In this project it counts as advice, by its rule as a warning: a trial yard'],
    ] as const) {
      const [finding] = found(bent, weights({ beam_bends: severity, beam_thin: 'error' })) as [Finding];
      expect([finding.severity, weighedWords(finding)]).toEqual([severity, words]);
      expect(finding.message).toBe(judged(bent).findings[0]?.message);
    }
    const [same] = found(bent, weights({ beam_bends: 'warning' })) as [Finding];
    expect([same.severity, weighedWords(same)]).toEqual(['warning', undefined]);
  });

  test('holds of what follows as well', () => {
    const two = `${bent}\n${beam('b', 'load = 1 N\nrests_on = a')}`;
    expect(graveness(found(two, weights({ beam_crooked: 'warning' })))).toEqual([
      'beam_bends: warning',
      'beam_crooked: warning',
    ]);
  });

  test('is never said of people’s safety', () => {
    for (const severity of ['warning', 'advice'] as const) {
      const [finding] = found(lamp, weights({ lamp_burns: severity })) as [Finding];
      expect([finding.severity, finding.weighed]).toEqual(['error', undefined]);
    }
  });

  test('is not lowered where something about safety follows, and says so', () => {
    const [root] = found(bent, weights({})) as [Finding];
    const [burns] = found(lamp, weights({})) as [Finding];
    const both = { ...root, consequences: [burns] };
    const [lowered] = weighed([both], weights({ beam_bends: 'advice', lamp_burns: 'advice' })) as [Finding];
    expect(graveness([lowered])).toEqual(['beam_bends: warning', 'lamp_burns: error']);
    expect(weighedWords(lowered)).toBe(
      'The project has it count as advice. It stays a warning: what follows from it is about people’s safety',
    );
    const [raised] = weighed([both], weights({ beam_bends: 'error' })) as [Finding];
    expect(graveness([raised])).toEqual(['beam_bends: error', 'lamp_burns: error']);
  });
});
