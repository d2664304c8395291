import { AlternativesError, alternatives, headlinesAround } from '../../language/explore/alternatives.ts';
import { Sweep, SweepError } from '../../language/explore/sweeping.ts';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { SourceFile } from '../../language/project.ts';
import { pathAt, situationsAlong } from '../../language/types/situation.ts';
import { alternativesText } from '../cli/alternatives-text.ts';
import { printedTable } from '../cli/table.ts';
import type { Workspace } from '../workspace.ts';
import type { AskedMachine } from './sheet.ts';

/** What a client asks for: the value at a position gone through what it can be, or the parts that could stand in the block there. */
export interface AskedExploration extends AskedMachine {
  readonly what: 'value' | 'parts';
}

/** A table in Markdown, or why there is none. */
export type ExplorationAnswer = { readonly title: string; readonly text: string } | { readonly refused: string };

/** What comes of the value, or of other parts, at a position of a file. */
export function exploration(
  file: SourceFile,
  { position, what }: AskedExploration,
  { project }: Workspace,
): ExplorationAnswer {
  const path = position ? pathAt(file, file.lines.offset(position)) : [];
  const at = path.findLastIndex((node) => node.$type === 'Entry');
  const entry = path[at] as Entry | undefined;
  // What is seen in the entry: of a block that is the block itself, of a value the block that has it.
  const seen =
    entry && situationsAlong([...path.slice(0, at + 1), ...(entry.body ? [entry.body] : [])], file.scope).at(-1);
  const block = seen?.ctx.instance;
  try {
    if (entry && block && what === 'value' && entry.equals)
      return valueExplored(entry.first.text, block, file, project);
    if (block && what === 'parts') return partsExplored(entry, block, file, project);
  } catch (error) {
    if (error instanceof SweepError || error instanceof AlternativesError)
      return { refused: `${error.message.charAt(0).toUpperCase()}${error.message.slice(1)}.` };
    throw error;
  }
  return { refused: what === 'value' ? 'There is no value at the cursor.' : 'There is no block at the cursor.' };
}

type Project = Workspace['project'];

function valueExplored(name: string, block: Instance, file: SourceFile, project: Project): ExplorationAnswer {
  const path = block.holder ? `${block.label}.${name}` : name;
  const side = { project, file, machine: block.root.name };
  const sweep = new Sweep(
    side,
    [path],
    headlinesAround(block).filter((each) => each !== path),
  );
  const points = [...sweep.points()];
  const [axis] = sweep.axes;
  const columns = sweep.shown
    .map(({ path: column }, i) => ({ column, texts: points.map(({ values }) => values[i]?.shown ?? '') }))
    .filter(({ texts }) => new Set(texts).size > 1);
  const rows = points.map(({ at, fails }, n) => [
    axis?.stops[at[0] as number]?.shown ?? '',
    ...columns.map(({ texts }) => texts[n] ?? ''),
    fails.join('; '),
  ]);
  const table = printedTable([path, ...columns.map(({ column }) => column), 'fails'], rows, 'markdown');
  const now = `${side.machine} has ${axis?.now ?? ''} there.`;
  return { title: path, text: `# ${path}\n\n${now}\n\n${withNarrowHeads(table)}` };
}

/** The parts of the innermost block at the cursor that starts from one; of a block whose kind is all that is said, of that. */
function partsExplored(
  entry: Entry | undefined,
  seen: Instance,
  file: SourceFile,
  project: Project,
): ExplorationAnswer {
  const named = entry && !entry.equals ? (seen.called(entry.name?.text ?? entry.first.text) ?? seen) : seen;
  let block: Instance | undefined = named;
  while (block?.holder && !block.part) block = block.holder;
  const path = (block?.holder ? block : named).label;
  const found = alternatives({ project, file, machine: named.root.name }, path, []);
  return { title: path, text: `# ${path}\n\n${withNarrowHeads(alternativesText(found, 'markdown'))}` };
}

/** A table that may break the paths above its columns: as wide as those, it would not fit a page. */
function withNarrowHeads(table: string): string {
  return table.replace(/^\|.*/m, (heads) => heads.replace(/(?<=\w)[._](?=\w)/g, '$&\u200b'));
}
