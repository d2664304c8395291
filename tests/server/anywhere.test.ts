// At any place of any text, half-typed as it may be, the features answer: none throws, and none is slow.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { ResponseError, type TextEdit } from 'vscode-languageserver';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { format } from '../../language/grammar/format.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import { codeLenses } from '../../server/features/code-lens.ts';
import { completion } from '../../server/features/completion.ts';
import { definition } from '../../server/features/definition.ts';
import { foldingRanges } from '../../server/features/folding.ts';
import { formatEdits } from '../../server/features/formatting.ts';
import { hover } from '../../server/features/hover.ts';
import { documentLinks } from '../../server/features/links.ts';
import { highlights } from '../../server/features/references.ts';
import { rename } from '../../server/features/rename.ts';
import { semanticTokens } from '../../server/features/semantic-tokens.ts';
import { documentSymbols } from '../../server/features/symbols.ts';
import { Workspace } from '../../server/workspace.ts';
import { edited } from './client.ts';

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

test('the outline, folds, colours, links, layout and marks of text while it is typed', () => {
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///typed.gusset';
  const text = read('own-kind.gusset');
  for (let end = 0; end <= text.length; end += 61) {
    workspace.open(uri, text.slice(0, end));
    const file = workspace.file(uri) as SourceFile;
    const lines = file.lines.position(end).line;
    for (const symbol of documentSymbols(file)) expect(symbol.range.end.line).toBeLessThanOrEqual(lines);
    for (const fold of foldingRanges(file)) expect(fold.endLine).toBeLessThanOrEqual(lines);
    expect(edited(file.parsed.text, formatEdits(file))).toBe(format(file.parsed.text));
    expect(semanticTokens(file, undefined, workspace).data.length % 5).toBe(0);
    expect(codeLenses(file, workspace).length).toBeLessThanOrEqual(file.parsed.items.length);
    documentLinks(file);
    highlights(file, file.lines.position(end));
  }
});

test('every name that can be renamed can be renamed back', () => {
  const text = read('own-kind.gusset');
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///renamed.gusset';
  workspace.open(uri, text);
  const tried = new Set<string>();
  let renamed = 0;
  for (const { index, 0: name } of text.matchAll(/\p{L}[\p{L}\p{N}_]*/gu)) {
    const file = workspace.file(uri) as SourceFile;
    const meaning = symbolAt(file, index);
    const key = `${meaning?.sort} ${name} ${meaning && typeof meaning.identity !== 'string' ? rangeOf(meaning.identity).start : ''}`;
    if (!meaning || tried.has(key)) continue;
    tried.add(key);
    const there = renameTo('quite_another', file, index, workspace);
    if (!there) continue;
    renamed++;
    const place = there.edits.find((edit) => edit.newText.includes('quite_another')) as TextEdit;
    workspace.open(uri, there.text);
    const again = workspace.file(uri) as SourceFile;
    expect(again.parsed.text).not.toBe(text);
    const start = movedOffset(place, there.edits, file) + place.newText.indexOf('quite_another');
    const back = renameTo(name, again, start, workspace);
    // A name that stood for two at once was split, and stays so.
    if (there.edits.every((edit) => edit.newText === 'quite_another')) expect(back?.text).toBe(text);
    workspace.open(uri, text);
  }
  expect(renamed).toBeGreaterThan(12);
});

function renameTo(name: string, file: SourceFile, offset: number, workspace: Workspace) {
  try {
    const edits = rename(file, file.lines.position(offset), name, workspace).changes?.[file.uri] ?? [];
    return { edits, text: edited(file.parsed.text, edits) };
  } catch (error) {
    expect(error).toBeInstanceOf(ResponseError);
    return undefined;
  }
}

/** Where an edit stands after all of them are made. */
function movedOffset(edit: TextEdit, edits: readonly TextEdit[], { lines }: SourceFile): number {
  const start = lines.offset(edit.range.start);
  return edits
    .filter((other) => lines.offset(other.range.start) < start)
    .reduce((at, o) => at + o.newText.length - (lines.offset(o.range.end) - lines.offset(o.range.start)), start);
}
