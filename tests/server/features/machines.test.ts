import { expect, test } from 'vitest';
import { assessedTrees, machineOf } from '../../../server/features/machines.ts';
import { Workspace } from '../../../server/workspace.ts';

test('trees of machines are those that were assessed, of parts and all else the plain ones', () => {
  const workspace = new Workspace(() => undefined);
  workspace.open(
    'file:///a.gusset',
    'kind hall {\n  toplevel\n  has lamp*\n}\nkind lamp {\n}\npart p is lamp {\n}\nhall H {\n  lamp a\n}\n',
  );
  const file = workspace.file('file:///a.gusset');
  if (!file) throw new Error('the file is not there');
  const [machine] = workspace.project.machines(file);
  const [kind, , part, hall] = file.parsed.file.items;
  const treeOf = assessedTrees(file, workspace);
  expect(treeOf(hall as never, file.scope)).toBe(machine?.tree);
  expect(treeOf(part as never, file.scope)?.name).toBe('p');
  expect(treeOf(kind as never, file.scope)).toBeUndefined();
  expect(machineOf(machine?.tree.children.get('a'), file, workspace)?.tree).toBe(machine?.tree);
  expect(machineOf(treeOf(part as never, file.scope), file, workspace)).toBeUndefined();
  expect(machineOf(undefined, file, workspace)).toBeUndefined();
});
