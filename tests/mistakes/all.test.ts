import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { mistakeExamples } from '../../language/library/generated/manual.ts';
import { mistakeKinds } from '../../language/mistakes/all.ts';
import type { Mistake } from '../../language/mistakes/mistake.ts';
import { namingTable } from '../../language/mistakes/naming.ts';
import { placingTable } from '../../language/mistakes/placing.ts';
import { spellingTable } from '../../language/mistakes/spelling.ts';
import { typingTable } from '../../language/mistakes/typing.ts';
import { Project, type SourceFile } from '../../language/project.ts';
import { libraryNames } from '../house/names.ts';
import { filesOf, root } from '../house/sources.ts';
import { expected } from '../library/fixtures.ts';
import { library } from '../support.ts';

const tables = [spellingTable, namingTable, typingTable, placingTable];

/** A file in the folder of a design, which may use what lies in that folder. */
function read(text: string): { file: SourceFile; mistakes: Mistake[] } {
  const project = new Project(library, {
    read: (uri) => (uri === 'file:///design/stock.gusset' ? '' : undefined),
    refuses: (uri) => (uri.startsWith('file:///design/') ? undefined : 'it lies outside the folder of the design'),
  });
  const file = project.update('file:///design/file.gusset', text);
  return { file, mistakes: project.mistakes(file) };
}

/** What is told of a text; notes on what is not given yet only where they are asked for. */
function told(text: string, code: string): Mistake[] {
  return read(text).mistakes.filter((mistake) => mistake.severity !== 'note' || mistake.code === code);
}

describe.each([...mistakeKinds.values()])('$code', ({ code, severity, why, mend }) => {
  const example = mistakeExamples.find((each) => each.code === code);

  test('has a page: why it is a mistake, how it is mended, an example', () => {
    for (const text of [why, mend]) expect(text).toMatch(/^[A-Z0-9].{10,}[.]$/);
    expect(example).toBeDefined();
  });

  test('is what its example is told, there and nothing else', () => {
    const { file } = read(example?.wrong ?? '');
    const found = told(example?.wrong ?? '', code);
    const wanted = expected(example?.wrong ?? '');
    expect(found.map((mistake) => [mistake.code, mistake.severity, mistake.message])).toEqual(
      wanted.map(({ rule, message }) => [rule, severity, message]),
    );
    expect(new Set(wanted.map(({ rule }) => rule))).toEqual(new Set([code]));
    for (const [i, { start, end }] of found.entries()) {
      const [from, to] = [file.lines.position(start), file.lines.position(end)];
      expect(from.line).toBe(wanted[i]?.line);
      // A comment's own two slashes cover the first two columns.
      expect(Math.max(2, from.character)).toBe(wanted[i]?.from);
      if (from.line === to.line) expect(Math.max(3, to.character)).toBe(wanted[i]?.to);
    }
  });

  test('is not told of its example mended', () => {
    expect(told(example?.right ?? '', code)).toEqual([]);
  });
});

test('each fix that is offered for an example mends a mistake and makes none', () => {
  const offered = mistakeExamples.flatMap(({ code, wrong }) =>
    told(wrong, code).flatMap(({ fixes }) => fixes.map(({ title, edits }) => ({ code, wrong, title, edits }))),
  );
  expect(offered.length).toBeGreaterThan(30);
  const useless = offered.filter(({ code, wrong, edits }) => {
    const mended = edits
      .toSorted((a, b) => b.start - a.start)
      .reduce((text, { start, end, text: by }) => text.slice(0, start) + by + text.slice(end), wrong);
    return told(mended, code).length >= told(wrong, code).length;
  });
  expect(useless.map(({ code, title }) => `${code}: ${title}`)).toEqual([]);
});

test('there are as many codes as lines in the tables, none of them the name of something else, and no example is left over', () => {
  const codes = tables.flatMap((table) => Object.keys(table));
  expect(mistakeKinds.size).toBe(codes.length);
  const names = libraryNames(filesOf('language/library', '.gusset'));
  expect(codes.filter((code) => names.has(code) || library.scope.kindNamed(code))).toEqual([]);
  expect(mistakeExamples.filter(({ code }) => !mistakeKinds.has(code))).toEqual([]);
});

test('each wording of a table is said somewhere, and what is said stands in a table', () => {
  const sources = filesOf('language', '.ts').filter(({ path }) => !path.startsWith('language/mistakes/'));
  const words = new Set<string>();
  const messages: string[] = [];
  for (const { path, text } of sources) {
    const visit = (node: ts.Node): void => {
      if (ts.isIdentifier(node)) words.add(node.text);
      // A mistake is made of a wording alone: by these two functions, and where they are moved.
      if (ts.isPropertyAssignment(node) && node.name.getText() === 'code' && ts.isStringLiteralLike(node.initializer))
        messages.push(`${path}: ${node.getText()}`);
      ts.forEachChild(node, visit);
    };
    visit(ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true));
  }
  const unsaid = tables.flatMap((table) =>
    Object.entries(table).flatMap(([code, { says }]) => {
      const variants = typeof says === 'function' ? [] : Object.keys(says);
      return [code, ...variants].filter((word) => !words.has(word)).map((word) => `${code}: ${word}`);
    }),
  );
  expect(unsaid).toEqual([]);
  expect(messages).toEqual([]);
});

test('the examples are laid out as the formatter does where they can be read', () => {
  const folder = join(root, 'language/mistakes/examples');
  for (const { code } of mistakeExamples)
    expect(readFileSync(join(folder, `${code}.gusset`), 'utf8')).toMatch(/\n\n\/\/ ---- mended ----\n\n[^\n]/);
});
