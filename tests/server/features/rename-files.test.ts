import { expect, test } from 'vitest';
import { libraryFiles } from '../../../language/library/generated/library.ts';
import { renameFiles } from '../../../server/features/rename-files.ts';
import { Workspace } from '../../../server/workspace.ts';

const on = 'file:///shop/';
function edits(disk: Record<string, string>, ...renames: [string, string][]) {
  const files = Object.fromEntries(Object.entries(disk).map(([name, text]) => [on + name, text]));
  const workspace = new Workspace((uri) => files[uri], libraryFiles);
  for (const [uri, text] of Object.entries(files)) workspace.open(uri, text);
  const { changes = {} } = renameFiles(
    renames.map(([from, to]) => ({ oldUri: on + from, newUri: on + to })),
    workspace,
  );
  return Object.fromEntries(
    Object.entries(changes).map(([uri, list]) => [uri.slice(on.length), list.map(({ newText }) => newText)]),
  );
}
const uses = (path: string) => `use "${path}"\n`;

test('a file that others use, and one that uses others', () => {
  expect(edits({ 'a.gusset': uses('./b.gusset'), 'b.gusset': '' }, ['b.gusset', 'c.gusset'])).toEqual({
    'a.gusset': ['"./c.gusset"'],
  });
  expect(edits({ 'a.gusset': uses('./b.gusset'), 'b.gusset': '' }, ['a.gusset', 'deep/a.gusset'])).toEqual({
    'a.gusset': ['"../b.gusset"'],
  });
});

test('a whole folder: what moves together keeps its words', () => {
  const disk = { 'a.gusset': uses('./deep/b.gusset'), 'deep/b.gusset': uses('./c.gusset'), 'deep/c.gusset': '' };
  expect(edits(disk, ['deep', 'far/away'])).toEqual({ 'a.gusset': ['"./far/away/b.gusset"'] });
});

test('what only begins alike stays, and so does what nobody uses', () => {
  expect(edits({ 'a.gusset': uses('./deeper/b.gusset'), 'deeper/b.gusset': '' }, ['deep', 'far'])).toEqual({});
  expect(edits({ 'a.gusset': '', 'b.gusset': '' }, ['b.gusset', 'c.gusset'])).toEqual({});
});
