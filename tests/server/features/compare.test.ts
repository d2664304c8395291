// A machine compared in the editor: the sheets of both, and what differs.
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { AskedComparison, ComparisonAnswer } from '../../../server/features/compare.ts';
import { Repository } from '../../cli/repository.ts';
import { Folder } from '../../cli/support.ts';
import { Client } from '../client.ts';

const text = `/// What it stores.
kind shed {
  toplevel
  /// What it costs.
  cost: Price
  report "Costs", cost
  headline cost
}
/// It is cheap.
rule too_dear on shed {
  holds cost <= 5 EUR
  warning "{name} costs {cost}"
  source practice "a purse"
}
shed Larch {
  cost = 3 EUR
}
shed Beech is Larch {
  cost = 8 EUR
}
`;
const folder = new Folder();
const repository = new Repository(folder);
repository.commit({ 'sheds.gusset': text.replace('3 EUR', '2 EUR') }, 'cheaper');
folder.write({ 'sheds.gusset': text, 'one.gusset': text.slice(0, text.indexOf('shed Beech')).replace('Larch', 'Oak') });
const uri = pathToFileURL(`${folder.path}/sheds.gusset`).href;

let client: Client;
beforeAll(async () => {
  client = await Client.start();
  await client.open(uri, text);
  await client.open('file:///test/none.gusset', 'kind bare {\n}\n');
});
afterAll(async () => {
  await client.stop();
  folder.remove();
});

const ask = async (asked: Partial<AskedComparison> = {}) =>
  (await client.request('gusset/compare', { uri, ...asked })) as ComparisonAnswer | null;

test('what it can be compared with', async () => {
  expect(await ask({ position: { line: 17, character: 3 } })).toEqual({
    machine: 'Beech',
    others: ['Larch'],
    hasLastEdit: false,
  });
  expect(await ask({ uri: 'file:///test/none.gusset' })).toBeNull();
});

test('another machine of the file: both sheets, and what differs before the second', async () => {
  const answer = await ask({ machine: 'Beech', other: { machine: 'Larch' } });
  expect(answer).toMatchObject({ title: 'Larch ↔ Beech', before: expect.stringMatching(/^# Larch\n.*3 EUR/s) });
  expect(answer).toMatchObject({
    after: expect.stringMatching(/^### Larch → Beech.*with cost = 8 EUR.*too_dear: Beech costs 8 EUR.*# Beech/s),
  });
});

test('another file, in which the only machine may be called otherwise', async () => {
  const other = { uri: pathToFileURL(`${folder.path}/one.gusset`).href };
  expect(await ask({ machine: 'Larch', other })).toMatchObject({ title: 'Oak, one.gusset ↔ Larch' });
});

test('a revision, with the text as it stands in the editor', async () => {
  const answer = await ask({ machine: 'Larch', other: { revision: 'HEAD' } });
  expect(answer).toMatchObject({ title: 'Larch, HEAD ↔ Larch', after: expect.stringContaining('cost: 2 EUR → 3 EUR') });
});

test('what cannot be compared is told, and nothing else is asked of the repository', async () => {
  expect(await ask({ machine: 'Larch', other: { revision: 'nowhere' } })).toEqual({
    refused: 'There is no revision nowhere here.',
  });
  expect(await ask({ machine: 'Larch', other: { revision: '--upload-pack=x' } })).toMatchObject({
    refused: expect.stringContaining('names no revision'),
  });
  expect(await ask({ machine: 'Larch', other: { revision: 'a..b' } })).toMatchObject({
    refused: expect.stringContaining('two revisions'),
  });
  expect(await ask({ machine: 'Larch', other: { uri: 'file:///test/none.gusset' } })).toMatchObject({
    refused: expect.stringContaining('no machine Larch'),
  });
});

test('both sheets side by side, as a page without scripts', async () => {
  const answer = await ask({ machine: 'Beech', other: { machine: 'Larch' }, columns: true });
  const { page, title } = answer as { page: string; title: string };
  expect(title).toBe('Larch ↔ Beech');
  expect(page).toMatch(/<div class="beside"><h1>Larch<\/h1><h1>Beech<\/h1><\/div>/);
  expect(page).toMatch(/<li>too_dear \w+ → fails\. /);
  expect(page.match(/role="region"/g)?.length).toBeGreaterThan(1);
  expect(page).toMatch(/3\sEUR[\s\S]*8\sEUR/);
  expect(page).not.toContain('<script');
});
