import { listed } from '../../language/mistakes/sentence.ts';
import { type Block, heading, list, markdownText, paragraph, strong, table, text } from '../sheet/markdown.ts';
import type { Compared, ComparedFiles, Turned } from './compare-schema.ts';
import {
  fromTo,
  isBetter,
  isWorse,
  libraryLines,
  partLines,
  renamedLines,
  titleOf,
  turnWords,
} from './compare-text.ts';

/** So many margins and values are shown unless all are wanted. */
const mostMoved = 6;

/** A comparison in Markdown, as a comment on a change. Whatever stands in names and texts is shown, and never read as Markdown. */
export function comparisonMarkdown({ machines, come, gone }: ComparedFiles, all: boolean): string {
  const others = [
    ...(come.length > 0 ? [paragraph(text(`New: ${listed(come)}.`))] : []),
    ...(gone.length > 0 ? [paragraph(text(`Gone: ${listed(gone)}.`))] : []),
  ];
  const blocks = [...machines.flatMap((each) => sectionOf(each, all)), ...others];
  return markdownText(blocks.length > 0 ? blocks : [paragraph(text('There is no machine in them.'))]);
}

function sectionOf(compared: Compared, all: boolean): Block[] {
  const { edits, renamed, mistakes, turns, margins, values, parts, byLibrary } = compared;
  const turned = (of: (turn: Turned) => boolean) =>
    turns.flatMap((turn) => {
      if (turn.follows || !of(turn)) return [];
      return turnWords(turn, compared) + (isWorse(turn) && turn.caution ? ` Caution: ${turn.caution}` : '');
    });
  const blocks = [
    ...lines('What was changed', [
      ...edits.map((each) => each.text),
      ...renamedLines(renamed).map((line) => `renamed: ${line}`),
    ]),
    ...lines('Mistakes in the text', mistakes),
    ...lines('Fails now', turned(isWorse)),
    ...lines(
      'Undecided now',
      turned((turn) => turn.after === 'undecided'),
    ),
    ...lines('Holds now', turned(isBetter)),
    ...moves(
      'Margins',
      ['rule', 'block', 'moved'],
      margins.map(({ code, path, before, after }) => [code, path, fromTo(before, after)]),
      all,
    ),
    ...moves(
      'Values',
      ['value', 'before', 'after'],
      values.map(({ path, before, after }) => [path, before ?? '', after ?? '']),
      all,
    ),
    ...lines('Parts', partLines(parts)),
    ...lines('Moved by the library, and not by the text', byLibrary ? libraryLines(byLibrary) : []),
  ];
  return [heading(3, titleOf(compared)), ...(blocks.length > 0 ? blocks : [paragraph(text('Nothing differs.'))])];
}

function lines(title: string, items: readonly string[]): Block[] {
  return items.length > 0 ? [paragraph(strong(title)), list(items.map((item) => [text(item)]))] : [];
}

function moves(title: string, columns: readonly string[], rows: readonly string[][], all: boolean): Block[] {
  if (rows.length === 0) return [];
  const shown = all ? rows : rows.slice(0, mostMoved);
  const left = rows.length - shown.length;
  return [
    paragraph(strong(title)),
    table({ heading: columns, rows: shown }),
    ...(left > 0 ? [paragraph(text(`and ${left} more`))] : []),
  ];
}
