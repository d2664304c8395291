import { isBuiltin } from 'node:module';
import { dirname, join } from 'node:path/posix';
import ts from 'typescript';
import type { SourceFile } from './sources.ts';

/** What each part of the house may import from inside the house; everything else is a wrong turn. */
const mayImport: Readonly<Record<string, readonly string[]>> = {
  language: ['language'],
  server: ['server', 'language'],
  client: ['client', 'server', 'language'],
};

/** The modules a file imports, types and dynamic imports included. */
function importsOf(file: SourceFile): string[] {
  return ts.preProcessFile(file.text, true, true).importedFiles.map(({ fileName }) => fileName);
}

/** Imports that go the wrong way, as `file imports module`. `language` runs in a browser, so Node's modules are wrong there. */
export function wrongImports(files: readonly SourceFile[]): string[] {
  return files.flatMap((file) =>
    importsOf(file)
      .filter((name) => isWrong(file.path, name))
      .map((name) => `${file.path} imports ${name}`),
  );
}

function isWrong(path: string, name: string): boolean {
  const part = path.split('/')[0] ?? '';
  if (!name.startsWith('.')) return part === 'language' && isBuiltin(name);
  const target = join(dirname(path), name).split('/')[0] ?? '';
  return !mayImport[part]?.includes(target);
}

/** The floors of `language/`, the lowest first: each question rests on the answers to those below it. */
export const floors: readonly string[] = [
  'mistakes',
  'grammar',
  'units',
  'names',
  'machine',
  'values',
  'numerics',
  'types',
  'compute',
  'judge',
  'answers',
];

/** What looks at machines from outside stands above what stands in `language/` itself, and that above all floors. */
export const roof = 'explore';

function floorOf(path: string): number {
  const folder = /^language\/([^/]+)\//.exec(path)?.[1];
  if (folder === roof) return floors.length + 1;
  const floor = folder === undefined ? -1 : floors.indexOf(folder);
  return floor < 0 ? floors.length : floor;
}

/** Each file with the files of the project that it imports, types counted. */
export function importGraph(files: readonly SourceFile[]): Map<string, string[]> {
  const known = new Set(files.map(({ path }) => path));
  return new Map(
    files.map((file) => {
      const targets = importsOf(file).flatMap((name) => (name.startsWith('.') ? [join(dirname(file.path), name)] : []));
      return [file.path, [...new Set(targets)].filter((path) => known.has(path))];
    }),
  );
}

/** Imports of `language/` that lead to a higher floor, as `file imports file`. */
export function importsThatRunUp(files: readonly SourceFile[]): string[] {
  const inside = files.filter(({ path }) => path.startsWith('language/'));
  return [...importGraph(inside)].flatMap(([from, targets]) =>
    targets.filter((to) => floorOf(to) > floorOf(from)).map((to) => `${from} imports ${to}`),
  );
}

/** Files that lead back to themselves, each circle once and in order; found by taking away what imports nothing that is left. */
export function circles(files: readonly SourceFile[]): string[] {
  const graph = importGraph(files);
  for (let before = -1; before !== graph.size; ) {
    before = graph.size;
    for (const [path, targets] of graph) if (!targets.some((to) => graph.has(to))) graph.delete(path);
  }
  // What is only led from a circle, and leads to none that leads back, is no part of one.
  const reaches = (from: string, wanted: string): boolean => {
    const seen = new Set<string>();
    for (const queue = [...(graph.get(from) ?? [])]; queue.length > 0; ) {
      const at = queue.pop() as string;
      if (at === wanted) return true;
      if (seen.has(at)) continue;
      seen.add(at);
      queue.push(...(graph.get(at) ?? []));
    }
    return false;
  };
  return [...graph.keys()].filter((path) => reaches(path, path)).sort();
}
