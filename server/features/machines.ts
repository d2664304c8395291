import type { Instance } from '../../language/machine/tree.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { TreeOf } from '../../language/types/situation.ts';
import { plainTree } from '../../language/types/situation.ts';
import type { Workspace } from '../workspace.ts';

/** The trees of a file's machines as they were assessed, so that their values are at hand; of parts the plain ones. */
export function assessedTrees(file: SourceFile, { project }: Workspace): TreeOf {
  return (item, scope) => project.judged(file).find((m) => m.entry === item)?.tree ?? plainTree(item, scope);
}

/** The machine of a file that an instance belongs to. */
export function machineOf(
  instance: Instance | undefined,
  file: SourceFile,
  { project }: Workspace,
): Assessed | undefined {
  return instance && project.judged(file).find((m) => m.tree === instance.root);
}
