import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CodeLens, Hover, InlayHint } from 'vscode-languageserver';
import { requirementOutcome } from '../../language/judge/findings.ts';
import { Folder } from '../cli/support.ts';
import { machineIn } from '../model/support.ts';
import { Client } from './client.ts';

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
