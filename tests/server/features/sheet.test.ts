// The sheet of a machine as a client is answered: sections as HTML, those it has already left out.
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { Project } from '../../../language/project.ts';
import type { AskedSheet, SheetAnswer } from '../../../server/features/sheet.ts';
import { Client } from '../client.ts';

const text = `/// What it stores.
kind shed {
  toplevel
  /// What it costs.
  cost: Price
  width: Length default 2 m {
    source practice "what fits between two trees"
  }
  floor: Area = width * width {
    source defined "a square"
  }
  report "Costs", cost
  report "Sizes", width
  headline cost, floor
}
shed Larch {
  cost = 3 EUR
}
shed Beech is Larch {
  cost = 4 EUR
}
`;
const uri = 'file:///test/sheds.gusset';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
  await client.open(uri, text);
  await client.open('file:///test/none.gusset', 'kind bare {\n}\n');
});
afterAll(() => client.stop());

const ask = async (asked: Partial<AskedSheet> = {}) =>
  (await client.request('gusset/sheet', { uri, ...asked })) as SheetAnswer | null;
const line = (words: string) => ({ line: text.slice(0, text.indexOf(words)).split('\n').length - 1, character: 3 });

const kestrel = readFileSync(new URL('../../../examples/kestrel.gusset', import.meta.url), 'utf8');

/** In how many steps, one go after the other, the server computes an edited file whose sheet is asked for, until it has told of it. */
async function rounds(its: string, text: string): Promise<number[]> {
  const computes = vi.spyOn(Project.prototype, 'computes');
  await client.change(its, text);
  const sheet = client.request('gusset/sheet', { uri: its });
  await client.diagnostics(its);
  const made = computes.mock.calls.map(([, steps]) => steps);
  computes.mockRestore();
  await sheet;
  return made;
}

// By turns each go would be made twice, and what a search had found at the end of the shorter one is lost to both.
test('a sheet that is asked for as one types waits for the diagnostics: the two do not compute the same by turns', async () => {
  const its = 'file:///test/kestrel.gusset';
  const wire = (length: number) => kestrel.replace(/ length = 0\.\d m$/m, ` length = 0.${length} m`);
  await client.open(its, kestrel);
  await client.diagnostics(its);
  // What draws is loaded by the first that is asked for.
  await rounds(its, wire(6));
  const steps = await rounds(its, wire(7));
  const untilLongest = steps.slice(0, steps.lastIndexOf(Math.max(...steps)) + 1);
  expect(untilLongest.length).toBeGreaterThan(3);
  expect(untilLongest).toEqual([...new Set(untilLongest)]);
}, 60_000);

describe('the sheet that a client asks for', () => {
  test('is that of the machine at the position, of the one named, or else of the first', async () => {
    expect((await ask())?.machine).toBe('Larch');
    expect((await ask({ position: line('cost = 4 EUR') }))?.machine).toBe('Beech');
    expect((await ask({ position: line('What it costs') }))?.machine).toBe('Larch');
    expect((await ask({ position: line('cost = 4 EUR'), machine: 'Larch' }))?.machine).toBe('Larch');
  });

  test('has its sections in their order, with places that lead to the text', async () => {
    const answer = await ask({ machine: 'Beech' });
    expect(answer?.sections.map(({ id, heading }) => [id, heading])).toEqual([
      ['at-a-glance', 'At a glance'],
      ['costs', 'Costs'],
      ['sizes', 'Sizes'],
      ['sources', 'Sources'],
    ]);
    const { line: at, character } = { line: line('cost = 4 EUR').line + 1, character: 10 };
    expect(answer?.sections[1]?.html).toContain(`data-place="${uri}:${at}:${character}"`);
    expect(answer?.sections[1]?.html).toContain(`title="sheds.gusset:${at}"`);
    expect(answer?.style).toContain('var(--text)');
    expect(answer?.mind).toContain('They do not mean that a design is safe');
    expect(answer?.page).toBeUndefined();
  });

  test('leaves out the sections that the client has as they are', async () => {
    const known = Object.fromEntries(((await ask())?.sections ?? []).map(({ id, state }) => [id, state]));
    expect((await ask({ known }))?.sections.map(({ html }) => html)).toEqual(Array(4).fill(undefined));
    const other = await ask({ known, machine: 'Beech' });
    expect(other?.sections.filter(({ html }) => html !== undefined).map(({ id }) => id)).toEqual(
      expect.arrayContaining(['at-a-glance', 'costs']),
    );
  });

  test('tells what the values rest on where that is asked for, and from then on what was found out last', async () => {
    const rests = (answer: SheetAnswer | null) => answer?.sections.find(({ id }) => id === 'what-it-rests-on')?.html;
    const of = (asked: Partial<AskedSheet>) => ask({ machine: 'Larch', ...asked });
    expect(rests(await of({}))).toBeUndefined();
    const found = rests(await of({ resting: true }));
    expect(found).toContain('what fits between two trees (common practice, no published source)');
    expect(found).toContain('2.56\u00a0m² to 5.76\u00a0m²');
    expect(found).not.toContain('before the last edits');
    expect(rests(await of({}))).toBe(found);
    // That of another machine is another one's.
    expect(rests(await of({ machine: 'Beech' }))).toBeUndefined();
    client.change(uri, text.replace('cost = 3 EUR', 'cost = 3 EUR\n  width = 3 m'));
    expect(rests(await of({}))).toContain('As it was before the last edits: it is being computed anew.');
    // What is said stands in for nothing.
    expect(rests(await of({ resting: true }))).toBeUndefined();
    client.change(uri, text);
    expect((await of({ resting: true, page: true }))?.page).toContain('what fits between two trees');
  });

  test('has a page of its own where one is wanted', async () => {
    const { page = '' } = (await ask({ page: true })) ?? {};
    expect(page).toMatch(/^<!doctype html>/);
    expect(page).toContain('3\u00a0EUR');
  });

  test('is none where there is no machine, or no file', async () => {
    expect(await ask({ uri: 'file:///test/none.gusset' })).toBeNull();
    expect(await ask({ uri: 'file:///test/nowhere.gusset' })).toBeNull();
  });
});
