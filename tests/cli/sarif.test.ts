// Findings in the Static Analysis Results Interchange Format, against the schema of OASIS.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Log, Region } from 'sarif';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const require = createRequire(import.meta.url);
const schema = JSON.parse(
  readFileSync(require.resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'), 'utf8'),
);
// The schema is of draft 4, and its patterns are none that a browser reads with `u`.
const Ajv = require('ajv-draft-04') as typeof import('ajv-draft-04').default;
const fits = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(schema);

const text = `kind crate {
  toplevel
  load: Mass
  bears: Mass default 10 kg {
    within 0 kg .. 100 kg
  }
  sways: YesNo default no
}
/// It carries no more than it bears.
rule crate_overloaded on crate {
  holds load <= bears
  error "{name} carries {load}, and bears {bears}"
  caution "It falls on your foot."
  at bears, load
  source defined "one against the other"
  remedy bears = load
}
rule crate_sways on crate {
  holds load <= 5 kg
  warning "{name} sways"
  source defined "as an example"
  follows crate_overloaded of self
}
rule crate_full on crate {
  holds load <= 8 kg
  advice "{name} is full"
  source defined "as an example"
}
crate A {
  load = 12 kg
  width = 3
}
crate B {
  load = 9 kg
  accept crate_full because "it is <steel> & light"
}
`;
const path = 'in here/a b.gusset';

let log: Log;
beforeAll(async () => {
  folder.write({ [path]: text });
  log = JSON.parse((await folder.run('check', '--format', 'sarif', path)).out);
});
const results = () => log.runs[0]?.results ?? [];
const result = (code: string, at = 'A') =>
  results().find(
    (each) => each.ruleId === code && each.locations?.[0]?.logicalLocations?.[0]?.fullyQualifiedName === at,
  );

describe('findings as SARIF', () => {
  test('fit the schema that OASIS publishes, which objects to others', () => {
    expect(fits(log), JSON.stringify(fits.errors)).toBe(true);
    expect(fits({ ...log, runs: [{ ...log.runs[0], results: [{ message: {}, level: 'bad' }] }] })).toBe(false);
  });

  test('stand at their places, graver ones as errors, with what to mind and the way out', () => {
    expect(result('crate_overloaded')).toMatchObject({
      level: 'error',
      message: { text: expect.stringContaining('Caution: It falls on your foot.') },
      locations: [{ physicalLocation: { artifactLocation: { uri: 'in%20here/a%20b.gusset' } } }],
    });
    expect(result('crate_overloaded')?.message.text).toMatch(/^A carries 12 kg, and bears 10 kg\n/);
    expect(result('crate_full')?.level).toBe('note');
    const load = result('crate_overloaded')?.relatedLocations?.[0]?.physicalLocation?.region as Region;
    expect(
      text
        .split('\n')
        [(load.startLine as number) - 1]?.slice((load.startColumn as number) - 1, (load.endColumn as number) - 1),
    ).toBe('12 kg');
  });

  test('a consequence names its cause; mistakes in the text are among them; what was accepted is suppressed', () => {
    expect(result('crate_sways')?.relatedLocations?.at(-1)?.message?.text).toContain(
      'It follows from this: A carries 12 kg',
    );
    const mistake = results().find(({ ruleId }) => ruleId === 'unknown_value');
    expect(mistake).toMatchObject({ level: 'error', locations: [{ physicalLocation: { region: { startLine: 31 } } }] });
    expect(result('crate_full', 'B')?.suppressions).toEqual([
      { kind: 'inSource', justification: 'it is <steel> & light' },
    ]);
    expect(result('crate_full')?.suppressions).toBeUndefined();
  });

  test('each code is told of once, in words', () => {
    const rules = log.runs[0]?.tool.driver.rules ?? [];
    expect(rules.map(({ id }) => id)).toEqual([...new Set(results().map(({ ruleId }) => ruleId))].sort());
    for (const each of results()) expect(rules[each.ruleIndex as number]?.id).toBe(each.ruleId);
    expect(rules.find(({ id }) => id === 'crate_full')?.help?.text).toBe('gusset explain crate_full');
    expect(rules.find(({ id }) => id === 'unknown_value')?.fullDescription?.text).toBeTruthy();
  });

  test('a change that mends a finding does so where it is made as the log says', async () => {
    const [fix] = result('crate_overloaded')?.fixes ?? [];
    const [change] = fix?.artifactChanges ?? [];
    expect(change?.artifactLocation.uri).toBe('in%20here/a%20b.gusset');
    const lines = text.split('\n');
    for (const { deletedRegion: at, insertedContent } of change?.replacements ?? []) {
      const { startLine = 1, startColumn = 1, endLine = 1, endColumn = 1 } = at;
      const before = `${lines[startLine - 1]}`.slice(0, startColumn - 1);
      const after = `${lines[endLine - 1]}`.slice(endColumn - 1);
      lines.splice(startLine - 1, endLine - startLine + 1, `${before}${insertedContent?.text}${after}`);
    }
    folder.write({ 'mended.gusset': lines.join('\n') });
    const mended = JSON.parse((await folder.run('check', '--format', 'sarif', 'mended.gusset')).out) as Log;
    expect(mended.runs[0]?.results?.map(({ ruleId }) => ruleId)).not.toContain('crate_overloaded');
  });
});
