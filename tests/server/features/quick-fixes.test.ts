import { afterEach, expect, test, vi } from 'vitest';
import { quickFixes } from '../../../server/features/quick-fixes.ts';
import { Workspace } from '../../../server/workspace.ts';
import { cursor, edited } from '../client.ts';

const kinds = `kind hall {
  toplevel
  width: Length
  limit: Length default 5 m
}
rule hall_wide on hall {
  holds width <= limit
  error "{width} of {limit}"
  source defined "a test"
  at width
  remedy width = limit
}
`;
/** What is offered where the mark stands, or from there to a second one. */
function actions(marked: string, asked?: boolean) {
  const { text: half, position: start } = cursor(kinds + marked);
  const { text, position: end } = half.includes('<|>') ? cursor(half) : { text: half, position: start };
  const workspace = new Workspace(() => undefined);
  workspace.open('file:///a.gusset', text);
  const file = workspace.file('file:///a.gusset');
  if (!file) throw new Error('the file is not there');
  for (const _ of workspace.project.solveChoices(file));
  return { text, actions: quickFixes(file, { start, end }, workspace, asked) };
}

/** The titles, and the texts that come out. */
function offered(marked: string, asked?: boolean) {
  const { text, actions: found } = actions(marked, asked);
  return found.map(({ title, isPreferred, edit, kind }) => ({
    title,
    isPreferred,
    kind,
    text: edited(text, edit?.changes?.['file:///a.gusset'] ?? []).slice(kinds.length),
  }));
}

test('a mistake is mended where it stands, and that is preferred', () => {
  expect(offered('hall H {\n  wid<|>t = 3 m\n}\n')).toEqual([
    { title: 'Write width', isPreferred: true, kind: 'quickfix', text: 'hall H {\n  width = 3 m\n}\n' },
  ]);
  expect(offered('hall H {\n  widt = 3<|> m\n}\n')).toEqual([]);
});

test('a finding is mended as its rule says', () => {
  const [fix] = offered('hall H {\n  width = 6<|> m\n}\n');
  expect(fix).toMatchObject({ isPreferred: undefined, text: 'hall H {\n  width = 5 m\n}\n' });
  expect(offered('hall H {\n  width = 6 m\n}<|>\n')).toEqual([]);
});

test('what is marked may be several lines, and every mistake and finding that they touch is mended', () => {
  const two = 'hall H {\n  width = 6 m\n}\nhall I {\n  widt = 3 m\n}\n';
  const titles = (text: string) => offered(text).map(({ title }) => title.split(':')[0]);
  expect(titles(two.replace('width = 6', '<|>width = 6').replace('widt = 3', 'wid<|>t = 3'))).toEqual([
    'Write width',
    'Set width to 5 m',
  ]);
  // Where they end counts as touched, and the line below does not.
  expect(titles(two.replace('6 m\n', '6 m<|>\n'))).toEqual(['Set width to 5 m']);
  expect(titles(two.replace('widt =', '<|>widt ='))).toEqual(['Write width']);
  expect(titles(two.replace('hall I', '<|>hall I'))).toEqual([]);
});

test('each says which of the marked places it mends', () => {
  const codes = (text: string) => actions(text).actions.map(({ diagnostics }) => diagnostics?.map(({ code }) => code));
  expect(codes('hall H {\n  widt<|> = 3 m\n}\n')).toEqual([['unknown_value']]);
  expect(codes('hall H {\n  width = 6<|> m\n}\n')).toEqual([['hall_wide']]);
});

test('a mistake with two ways out prefers neither', () => {
  expect(offered('hall H {\n  width = 3<|>\n}\n').map(({ title, isPreferred }) => [title, isPreferred])).toEqual([
    ['Write 3 mm', undefined],
    ['Write 3 m', undefined],
  ]);
});

test('what mends a consequence is offered where that stands, and what several would do once', () => {
  const rules = `rule hall_high on hall {
  holds width <= limit
  warning "so"
  source defined "a test"
  at width
  remedy width = limit
}
rule hall_broad on hall {
  holds width <= limit * 1
  error "so"
  source defined "a test"
  at limit
  remedy width = limit
  follows hall_high of self
}
`;
  const found = offered(`${rules}hall H {\n  width = 6 m\n  limit = 5<|> m\n}\n`);
  expect(found.map(({ text }) => text.slice(rules.length))).toEqual(['hall H {\n  width = 5 m\n  limit = 5 m\n}\n']);
});

test('an open choice is answered where it stands', () => {
  const hall =
    'sizes gates: Length = [1 m, 2 m]\nkind gate {\n  toplevel\n  height: Length {\n    sizes gates\n  }\n}\nrule gate_low on gate {\n  holds height > 1 m\n  error "low"\n  source defined "a test"\n}\n';
  const found = offered(`${hall}gate G {\n  height = ?<|>\n}\n`);
  expect(found.map(({ text }) => text.slice(hall.length))).toEqual(['gate G {\n  height = 2 m\n}\n']);
});

afterEach(() => vi.restoreAllMocks());

test('an editor that asks by itself waits for a second, whoever asks for the changes for ten', () => {
  const rule = (n: number) =>
    `rule wide_${n} on yard {\n  holds width_${n} <= ${n} m\n  error "wide"\n  source defined "a test"\n  at width_1\n  remedy width_${n} = ${n} m\n}\n`;
  const names = [4, 3, 2, 1];
  const values = names.map((n) => `  width_${n}: Length default 9 m\n`).join('');
  const text = `kind yard {\n  toplevel\n${values}}\n${names.map(rule).join('')}yard Y {\n  width_1 = 4.5<|> m\n}\n`;
  const inTime = (asked: boolean, step: number) => {
    let now = 0;
    vi.spyOn(performance, 'now').mockImplementation(() => {
      now += step;
      return now;
    });
    return actions(text, asked).actions.length;
  };
  expect(inTime(false, 1)).toBe(4);
  expect(inTime(true, 1)).toBe(4);
  // With the clock a second on each time that it is looked at.
  expect(inTime(false, 1001)).toBe(0);
  expect(inTime(true, 1001)).toBe(4);
  expect(inTime(true, 10_001)).toBe(0);
});
