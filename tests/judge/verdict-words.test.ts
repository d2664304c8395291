import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CodeLens, Hover, InlayHint } from 'vscode-languageserver';
import { cellAt } from '../../language/answers/derivation.ts';
import { requirementOutcome } from '../../language/judge/requirements.ts';
import { valueOrWhy, whyNotKnown } from '../../language/judge/verdict-words.ts';
import { Unknown } from '../../language/values/value.ts';
import { Folder } from '../cli/support.ts';
import { Client } from '../server/client.ts';
import { machineIn } from '../support.ts';

const kinds = `kind shelf {
  toplevel
  load: Force
  area: Area default 1 m^2
  pressure: Pressure = load / area
}
`;

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

/** What each page says of the one requirement of a shelf. */
async function told(body: string, condition: string) {
  const text = `${kinds}shelf S {\n  ${body}\n  require ${condition}\n}\n`;
  const uri = `file:///words/${++files}.gusset`;
  await client.open(uri, text);
  const textDocument = { uri };
  const line = text.split('\n').findIndex((each) => each.includes('require'));
  const range = { start: { line, character: 0 }, end: { line, character: 99 } };
  const hover = await client.at<Hover | null>('textDocument/hover', uri, { line, character: 4 });
  const hints = await client.request<InlayHint[]>('textDocument/inlayHint', { textDocument, range });
  const lenses = await client.request<CodeLens[]>('textDocument/codeLens', { textDocument });
  const folder = new Folder();
  try {
    const { requirements } = await folder.machine(text);
    return {
      language: requirementOutcome(
        machineIn(text).assessment.requirements[0] as Parameters<typeof requirementOutcome>[0],
      ),
      hover: (hover?.contents as { value: string } | undefined)?.value.split('\n\n')[1],
      hint: hints[0]?.tooltip,
      json: requirements[0]?.message,
      lens: lenses[0]?.command?.title ?? '',
      commandLine: (await folder.run('check', 'a.gusset')).out.replace(/\s+/g, ' '),
    };
  } finally {
    folder.remove();
  }
}

describe('how a requirement stands is worded once', () => {
  test.each([
    [
      'load = 3 N',
      'load <= 4 N',
      'holds: 3 N, 25 % to spare',
      '1 requirement holds',
      'holds load <= 4 N 3 N, 25 % to spare',
    ],
    [
      'area = 2 m^2',
      'pressure <= 4 Pa',
      'undecided: load is not given',
      '1 requirement undecided',
      'load is not given.',
    ],
    [
      'load = 5 N\n  area = 2 m^2',
      'load <= 4 N and load <= 3 N + pressure * area',
      'fails: load is 5 N, the limit is 4 N (25 % short)',
      '1 requirement fails',
      'load is 5 N, the limit is 4 N (25 % short).',
    ],
    [
      'load = 9 N',
      'load <= 4 N and pressure * 2 <= load / area',
      'fails: load is 9 N, the limit is 4 N (130 % short); pressure * 2 is 18 Pa (pressure is 9 Pa), load / area is 9 Pa (load is 9 N, area is 1 m²) (100 % short)',
      '1 requirement fails',
      'load is 9 N, the limit is 4 N (130 % short); pressure * 2 is 18 Pa (pressure is 9 Pa), load / area is 9 Pa (load is 9 N, area is 1 m²) (100 % short).',
    ],
    [
      'load = 3 K',
      'pressure <= 4 Pa',
      'undecided: load has a mistake in it',
      '1 requirement undecided',
      'load has a mistake in it.',
    ],
    [
      'load = 3 N\n  area = 0 m^2',
      'pressure <= 4 Pa',
      'undecided: it cannot be computed: this divides by zero',
      '1 requirement undecided',
      'it cannot be computed: this divides by zero.',
    ],
  ])('%s, %s: %s', async (body, condition, outcome, lens, commandLine) => {
    const pages = await told(body, condition);
    expect(pages).toMatchObject({ language: outcome, hover: outcome, hint: outcome, json: outcome });
    expect(pages.lens).toContain(lens);
    expect(pages.commandLine).toContain(commandLine);
  });
});

describe('what is asked of several blocks names those that fail, alike in hover, command line and JSON', () => {
  const racks = `kind rack {
  toplevel
  has crate*
}
kind crate {
  load: Force
}
rack R {
  crate a { load = 3 N }
  crate b { load = 9 N }
  crate c { load = 7 N }
`;

  test.each([
    [
      'all(c.load <= 7 N for c in every crate)',
      'b: load is 9 N, the limit is 7 N (29 % short)',
      [['b', 'c.load <= 7 N', ['9 N', '7 N']]],
    ],
    [
      'any(c.load < 2 N for c in every crate where c.load < 8 N)',
      'a: load is 3 N, the limit is 2 N (50 % short); c: load is 7 N, the limit is 2 N (250 % short)',
      [
        ['a', 'c.load < 2 N', ['3 N', '2 N']],
        ['c', 'c.load < 2 N', ['7 N', '2 N']],
      ],
    ],
    [
      'count(c for c in every crate where c.load > 6 N) <= 1',
      'count(c for c in every crate where c.load > 6 N) is 2: b and c, the limit is 1 (100 % short)',
      [[undefined, 'count(c for c in every crate where c.load > 6 N) <= 1', ['2: b and c', '1']]],
    ],
  ])('%s', async (condition, words, data) => {
    const text = `${racks}  require ${condition}\n}\n`;
    const uri = `file:///words/${++files}.gusset`;
    await client.open(uri, text);
    const line = text.split('\n').findIndex((each) => each.includes('require'));
    const hover = await client.at<Hover | null>('textDocument/hover', uri, { line, character: 4 });
    expect((hover?.contents as { value: string } | undefined)?.value).toContain(`fails: ${words}`);
    const [requirement] = machineIn(text).assessment.requirements;
    expect(requirement && requirementOutcome(requirement)).toBe(`fails: ${words}`);
    const folder = new Folder();
    try {
      const { findings, machines } = await folder.report(text);
      const said = machines[0]?.requirements[0];
      expect(said?.message).toBe(`fails: ${words}`);
      expect(
        said?.failed?.map(({ of, condition, operands }) => [of, condition, operands.map(({ shown }) => shown)]),
      ).toEqual(data);
      expect(findings[0]).toMatchObject({ code: 'requirement', message: `${condition} does not hold: ${words}` });
      expect((await folder.run('check', 'a.gusset')).out.replace(/\s+/g, ' ')).toContain(words);
    } finally {
      folder.remove();
    }
  });
});

describe('what fails is shown with its numbers', () => {
  const failed = async (body: string, condition: string) => {
    const folder = new Folder();
    try {
      const text = `${kinds}shelf S {\n  ${body}\n  require ${condition}\n}\n`;
      const { findings, machines } = await folder.report(text);
      return {
        finding: findings.find(({ code }) => code === 'requirement'),
        requirement: machines[0]?.requirements[0],
      };
    } finally {
      folder.remove();
    }
  };

  test('in JSON every side of a comparison that fails, in SI units, and the names it is computed from', async () => {
    const { requirement, finding } = await failed('load = 9 kN', 'load <= 9 kN and pressure * 2 <= 4 kPa');
    expect(requirement?.failed).toEqual([
      {
        condition: 'pressure * 2 <= 4 kPa',
        margin: -3.5,
        marginUnit: '1',
        message: 'pressure * 2 is 18 kPa (pressure is 9 kPa), the limit is 4 kPa (350 % short)',
        operands: [
          { expression: 'pressure * 2', value: 18000, unit: 'Pa', shown: '18 kPa' },
          { expression: 'pressure', value: 9000, unit: 'Pa', shown: '9 kPa' },
          { expression: '4 kPa', value: 4000, unit: 'Pa', shown: '4 kPa' },
        ],
      },
    ]);
    expect(finding?.message).toBe(
      'load <= 9 kN and pressure * 2 <= 4 kPa does not hold: pressure * 2 is 18 kPa (pressure is 9 kPa), the limit is 4 kPa (350 % short)',
    );
  });

  test.each([
    ['not (load > 4 N)', ['load is 9 N, the limit is 4 N']],
    ['load < 4 N or load == 5 N', ['load is 9 N, the limit is 4 N (130 % short)', 'load is 9 N, not 5 N']],
    ['not (load > 4 N and load < 8 N) and load != 9 N', ['load is 9 N']],
    ['4 N >= load', ['load is 9 N, the limit is 4 N (130 % short)']],
    ['if load > 1 N then load < 2 N else load < 3 N', ['load is 9 N, the limit is 2 N (350 % short)']],
    ['load <= 8.999 N', ['load is 9 N, the limit is 8.999 N (0.011 % short)']],
    ['no', ['no is no']],
  ])('%s', async (condition, messages) => {
    const { requirement } = await failed('load = 9 N', condition);
    expect(requirement?.failed?.map(({ message }) => message)).toEqual(messages);
  });

  test('what holds has none', async () => {
    const { requirement } = await failed('load = 9 N', 'load <= 9 N');
    expect(requirement).not.toHaveProperty('failed');
  });
});

test('a value that is not known says why, and one that was left out, or is known, stands as it is shown', () => {
  const said = (path: string, body: string) => {
    const machine = machineIn(`${kinds}shelf S {\n  ${body}\n}\n`);
    const cell = cellAt(path, machine);
    return cell && valueOrWhy(machine.engine.value(cell), 'as shown');
  };
  expect(said('pressure', '')).toBe('not known: load is not given');
  expect(said('pressure', 'load = 3 N')).toBe('as shown');
  expect(valueOrWhy(new Unknown([], true), 'as shown')).toBe('as shown');
});

test('several things that keep something from being known are told at once', () => {
  expect(whyNotKnown({ missing: ['a'] })).toBe('a is not given');
  expect(whyNotKnown({ missing: ['a', 'b'], unreadable: ['c'] })).toBe(
    'a and b are not given, and c has a mistake in it',
  );
  expect(whyNotKnown({ unreadable: ['c', 'd'] })).toBe('c and d have mistakes in them');
  expect(whyNotKnown({ missing: ['a'], because: 'this divides by zero' })).toBe(
    'it cannot be computed: this divides by zero',
  );
  expect(whyNotKnown({})).toBe('something it needs has a mistake in it');
});
