import type { InlayHint, InlayHintLabelPart } from 'vscode-languageserver';
import { type InlineValue, inlineValues } from '../../language/answers/inline-values.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import type { InlineSettings } from '../settings.ts';
import type { Workspace } from '../workspace.ts';

/** Which setting switches which kind of value on. */
const switches: Record<InlineValue['kind'], keyof InlineSettings> = {
  headline: 'headlines',
  proposal: 'proposals',
  requirement: 'requirements',
  measurement: 'measurements',
};

/** Values at the ends of lines, between two lines (both from 0). */
export function inlayHints(
  file: SourceFile,
  lines: { from: number; to: number },
  settings: InlineSettings,
  { project }: Workspace,
): InlayHint[] {
  if (!settings.enabled) return [];
  const from = file.lines.offset({ line: lines.from, character: 0 });
  const to = file.lines.offset({ line: lines.to + 1, character: 0 });
  const values = project.machines(file).flatMap((machine) => {
    const { start, end } = rangeOf(machine.entry);
    return start <= to && from <= end ? inlineValues(machine) : [];
  });
  const wanted = values.filter((value) => settings[switches[value.kind]]);
  return wanted.flatMap(({ offset, text, tooltip }) => {
    const position = file.lines.position(offset);
    if (position.line < lines.from || position.line > lines.to) return [];
    return [{ position, label: inPieces(text), tooltip, paddingLeft: true }];
  });
}

/** Editors draw a long text in pieces of their own choice, with a gap between them: better at a comma than in a number. */
const longest = 45;

function inPieces(text: string): string | InlayHintLabelPart[] {
  if (text.length <= longest) return text;
  const pieces: string[] = [];
  for (const next of text.split(/(?<=, )/)) {
    const last = pieces.at(-1);
    if (last !== undefined && last.length + next.length <= longest) pieces[pieces.length - 1] = last + next;
    else pieces.push(next);
  }
  return pieces.map((value) => ({ value }));
}
