import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary } from '../../language/project.ts';
import { root, type SourceFile } from './sources.ts';

export interface CodeBlock {
  readonly path: string;
  /** Line of the block's first line of code, from 1. */
  readonly line: number;
  readonly text: string;
}

/** The code blocks of a Markdown page that are marked with the language's name. */
export function codeBlocks({ path, text }: SourceFile): CodeBlock[] {
  return [...text.matchAll(/^```gusset\n(.*?)^```$/gms)].map((match) => ({
    path,
    line: text.slice(0, match.index).split('\n').length + 1,
    text: match[1] ?? '',
  }));
}

const library = readLibrary(libraryFiles);
const host = {
  read: (uri: string) => (existsSync(fileURLToPath(uri)) ? readFileSync(fileURLToPath(uri), 'utf8') : undefined),
};

/**
 * What is wrong with a block, as `file:line: message`: spelling, names, units, types, and in machines what cannot be computed.
 * A block is read as a file among the examples. A page may show a declaration that the library has.
 */
export function problemsIn({ path, line, text }: CodeBlock): string[] {
  const project = new Project(library, host);
  const file = project.update(pathToFileURL(join(root, 'examples', 'block-of-a-page.gusset')).toString(), text);
  const mistakes = project.mistakes(file).filter(({ code }) => code !== 'clash');
  const undecided = project.machines(file).flatMap(({ assessment }) => assessment.undecided);
  return [
    ...mistakes.map(
      ({ start, message }) => `${path}:${line + text.slice(0, start).split('\n').length - 1}: ${message}`,
    ),
    ...undecided.map(({ rule }) => `${path}:${line}: ${rule} cannot be decided`),
  ];
}
