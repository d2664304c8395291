// At any place of any text, half-typed as it may be, the features answer: none throws, and none is slow.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { completion } from '../../server/features/completion.ts';
import { definition } from '../../server/features/definition.ts';
import { hover } from '../../server/features/hover.ts';
import { Workspace } from '../../server/workspace.ts';

const folder = join(import.meta.dirname, '../../examples');
const read = (name: string) => readFileSync(join(folder, name), 'utf8');

function ask(workspace: Workspace, uri: string, offset: number): number {
  const file = workspace.file(uri);
  if (!file) throw new Error(`there is no ${uri}`);
  const position = file.lines.position(offset);
  hover(file, position, workspace);
  definition(file, position, workspace);
  return completion(file, position, workspace).items.length;
}

test.each(['own-kind.gusset', 'magpie.gusset'])('everywhere in %s', (name) => {
  const workspace = new Workspace(() => undefined);
  const uri = `file:///${name}`;
  const text = read(name);
  workspace.open(uri, text);
  let proposals = 0;
  for (let offset = 0; offset <= text.length; offset += 3) proposals += ask(workspace, uri, offset);
  expect(proposals).toBeGreaterThan(1000);
});

test('while it is typed: wherever the text ends', () => {
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///typed.gusset';
  const text = read('own-kind.gusset');
  let answered = 0;
  for (let end = 0; end <= text.length; end += 23) {
    workspace.open(uri, text.slice(0, end));
    if (ask(workspace, uri, end) > 0) answered++;
  }
  expect(answered).toBeGreaterThan(10);
});
