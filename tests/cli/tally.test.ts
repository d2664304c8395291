import { describe, expect, test } from 'vitest';
import type { Finding, MachineReport, Report } from '../../server/cli/schema.ts';
import { exitStatus, tallyOf } from '../../server/cli/tally.ts';

const finding = (severity: Finding['severity'], more: Partial<Finding> = {}) =>
  ({ severity, code: 'r', machine: 'H', ...more }) as Finding;
const machine = (more: Partial<MachineReport> = {}) =>
  ({
    requirements: [],
    open: [],
    decided: 0,
    undecided: [],
    notSaid: [],
    commissioning: [],
    ...more,
  }) as unknown as MachineReport;
const report = (findings: Finding[], ...machines: MachineReport[]) => ({ findings, machines }) as unknown as Report;

describe('how much of what there is', () => {
  test('findings by how grave they are, mistakes of the text apart', () => {
    expect(
      tallyOf(
        report([
          finding('error'),
          finding('warning'),
          finding('warning'),
          finding('advice'),
          finding('error', { machine: null }),
          finding('warning', { machine: null }),
          finding('note', { machine: null }),
        ]),
      ),
    ).toMatchObject({ errors: 1, warnings: 2, advice: 1, mistakes: 2, wrongTexts: 1, doubtfulTexts: 1, accepted: 0 });
  });

  test('one mistake counts once, as grave as what follows from it', () => {
    const consequences = [finding('advice', { consequences: [finding('error')] })];
    expect(tallyOf(report([finding('warning', { consequences })]))).toMatchObject({
      errors: 1,
      warnings: 0,
      advice: 0,
    });
  });

  test('what was accepted counts no more, but where people rest on it', () => {
    const accepted = (counts: boolean) =>
      finding('error', { accepted: { reason: 'so', counts } as Finding['accepted'] });
    expect(tallyOf(report([accepted(false), accepted(true)]))).toMatchObject({ errors: 1, accepted: 1 });
  });

  test('checks of commissioning that are open, or have to be made again', () => {
    const commissioning = ['open', 'made', 'lapsed', 'outside'].map((state) => ({
      state,
    })) as unknown as MachineReport['commissioning'];
    expect(tallyOf(report([], machine({ commissioning }), machine({ commissioning })))).toMatchObject({ unchecked: 6 });
  });

  test('requirements, open choices and what could not be decided, over all machines', () => {
    const requirements = [
      { holds: true },
      { holds: false },
      { holds: null },
    ] as unknown as MachineReport['requirements'];
    const one = machine({
      requirements,
      open: [{}] as unknown as MachineReport['open'],
      decided: 4,
      undecided: [{ missing: ['a'] }, { missing: ['b', 'a'] }] as unknown as MachineReport['undecided'],
    });
    expect(tallyOf(report([finding('warning', { code: 'requirement' })], one, one))).toMatchObject({
      warnings: 0,
      failed: 2,
      unclear: 2,
      open: 2,
      decided: 8,
      undecided: 4,
      wanted: ['a', 'b'],
    });
  });
});

describe('the exit status', () => {
  const status = (strict: boolean, findings: Finding[], ...machines: MachineReport[]) =>
    exitStatus(report(findings, ...machines), strict);
  test('is 1 with an error, in the text as well', () => {
    expect(status(false, [finding('error')])).toBe(1);
    expect(status(false, [finding('error', { machine: null })])).toBe(1);
    expect(status(false, [finding('warning'), finding('advice')])).toBe(0);
    expect(status(false, [])).toBe(0);
  });

  test('and where it is to be strict with all else, but for advice and notes', () => {
    expect(status(true, [finding('warning')])).toBe(1);
    expect(status(true, [finding('warning', { machine: null })])).toBe(1);
    expect(status(true, [finding('advice'), finding('note', { machine: null })])).toBe(0);
    expect(status(true, [], machine({ open: [{}] as never }))).toBe(1);
    expect(status(true, [], machine({ undecided: [{ missing: [] }] as never }))).toBe(1);
    expect(status(true, [], machine({ requirements: [{ holds: null }] as never }))).toBe(1);
    expect(status(true, [], machine({ requirements: [{ holds: false }] as never }))).toBe(1);
    expect(status(true, [], machine({ requirements: [{ holds: true }] as never }))).toBe(0);
  });
});
