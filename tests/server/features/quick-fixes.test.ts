import { expect, test } from 'vitest';
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
/** What is offered where the mark stands: titles, and the texts that come out. */
function offered(marked: string) {
  const { text, position } = cursor(kinds + marked);
  const workspace = new Workspace(() => undefined);
  workspace.open('file:///a.gusset', text);
  const file = workspace.file('file:///a.gusset');
  if (!file) throw new Error('the file is not there');
  return quickFixes(file, { start: position, end: position }, workspace).map(({ title, isPreferred, edit, kind }) => ({
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
