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
