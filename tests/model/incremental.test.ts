import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary } from '../../language/project.ts';
import { snapshot } from './snapshot.ts';

const library = readLibrary(libraryFiles);
const folder = new URL('../../examples/', import.meta.url);
const names = ['heron.gusset', 'workshop-stock.gusset', 'own-kind.gusset'];
const uriOf = (name: string) => `file:///examples/${name}`;
const texts = new Map(names.map((name) => [uriOf(name), readFileSync(new URL(name, folder), 'utf8')]));

/** An edit of one file, by fractions so that it fits any text. */
const edit = fc.record({
  file: fc.constantFrom(...names),
  at: fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
  what: fc.oneof(
    fc.record({ do: fc.constant('delete line' as const) }),
    fc.record({ do: fc.constant('double line' as const) }),
    fc.record({ do: fc.constant('change number' as const), by: fc.constantFrom('0.5', '3', '24', '100', '?') }),
    fc.record({ do: fc.constant('rename' as const), by: fc.constantFrom('bed', 'wire', 'plate_235', 'x', 'ambient') }),
    fc.record({
      do: fc.constant('insert' as const),
      by: fc.constantFrom('}', '{', '\n', ' = ', 'remove sheet\n', 'area = ?\n', '"', '// '),
    }),
    fc.record({
      do: fc.constant('insert line' as const),
      by: fc.constantFrom(
        'fan another',
        'sheet is glass_pane',
        'wire wire { area = 1 mm^2 }',
        'ambient = 10 degC .. 40 degC',
      ),
    }),
    fc.record({ do: fc.constant('undo' as const) }),
  ),
});
type Edit = typeof edit extends fc.Arbitrary<infer T> ? T : never;

function applied(text: string, { at, what }: Edit, original: string): string {
  const lines = text.split('\n');
  const line = Math.floor(at * lines.length);
  switch (what.do) {
    case 'delete line':
      return lines.toSpliced(line, 1).join('\n');
    case 'double line':
      return lines.toSpliced(line, 0, lines[line] as string).join('\n');
    case 'insert line':
      return lines.toSpliced(line, 0, what.by).join('\n');
    case 'change number':
      return replaceNth(text, /\b\d+(\.\d+)?\b/g, at, what.by);
    case 'rename':
      return replaceNth(text, /\b[a-z]\w+\b/g, at, what.by);
    case 'insert': {
      const offset = Math.floor(at * text.length);
      return text.slice(0, offset) + what.by + text.slice(offset);
    }
    default:
      return original;
  }
}

function replaceNth(text: string, pattern: RegExp, at: number, by: string): string {
  const found = [...text.matchAll(pattern)];
  const match = found[Math.floor(at * found.length)];
  return match ? text.slice(0, match.index) + by + text.slice(match.index + match[0].length) : text;
}

test('after any edits a project says what a new one says of the same texts', () => {
  fc.assert(
    fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
      const now = new Map(texts);
      const project = new Project(library, { read: (uri) => texts.get(uri) });
      for (const name of names) snapshot(project, project.update(uriOf(name), now.get(uriOf(name)) as string));
      for (const change of edits) {
        const uri = uriOf(change.file);
        now.set(uri, applied(now.get(uri) as string, change, texts.get(uri) as string));
        project.update(uri, now.get(uri) as string);
        const fresh = new Project(library, { read: (u) => now.get(u) });
        for (const name of names) {
          const said = snapshot(project, project.update(uriOf(name), now.get(uriOf(name)) as string));
          expect(said).toEqual(snapshot(fresh, fresh.update(uriOf(name), now.get(uriOf(name)) as string)));
        }
      }
    }),
    { numRuns: Number(process.env.FUZZ_RUNS ?? 25) },
  );
}, 600_000);
