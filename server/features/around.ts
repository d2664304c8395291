import type { CodeAction, Range } from 'vscode-languageserver';
import { AroundError, around, type Edge } from '../../language/explore/around.ts';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { SourceFile } from '../../language/project.ts';
import { pathAt, type Situation, situationsAlong } from '../../language/types/situation.ts';
import type { Workspace } from '../workspace.ts';
import { action } from './quick-fixes.ts';

/** The kind of code actions that tell how far a number can go. */
export const aroundKind = 'refactor.around';

/**
 * How far the number that is given at a range can go either way before a rule or a requirement turns, as changes that take it there: to the
 * furthest where nothing does, and to the next where something does. Nothing where no number is given, or where what it says protects.
 */
export function aroundNumber(file: SourceFile, range: Range, { project }: Workspace): CodeAction[] {
  const path = pathAt(file, file.lines.offset(range.start));
  const at = path.findLastIndex((node) => node.$type === 'Entry');
  const entry = path[at] as Entry | undefined;
  const value = entry?.equals ? entry.value : undefined;
  if (!entry || !value) return [];
  const { instance } = (situationsAlong(path.slice(0, at + 1), file.scope).at(-1) as Situation).ctx;
  const name = entry.first.text;
  const machine = instance?.root.name;
  // What protects is not enlarged in passing.
  if (!instance || !machine || instance.kind.guarding.includes(name)) return [];
  try {
    const found = around({ project, file, machine }, instance.holder ? `${instance.label}.${name}` : name);
    const steps = [...edges(found.less, 'least', found.shown), ...edges(found.more, 'greatest', found.shown)];
    return steps.map(({ title, text }) =>
      action({ title, edits: [{ ...rangeOf(value), text }] }, file, [], false, aroundKind),
    );
  } catch (error) {
    if (error instanceof AroundError) return [];
    throw error;
  }
}

function edges({ last, next }: Edge, furthest: string, now: string): { title: string; text: string }[] {
  const same = next
    ? `${last.shown}: the ${furthest} for which no verdict changes`
    : `${last.shown}: as far as can be meant, no verdict changes`;
  return [
    ...(last.shown === now ? [] : [{ title: same, text: last.text }]),
    ...(next ? [{ title: `${next.shown}: ${listed(next.turns, 3)}`, text: next.text }] : []),
  ];
}
