import { parse } from '../../language/grammar/parser.ts';
import { problemsOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from './sources.ts';

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

/** What is wrong with a block's spelling, as `file:line: message`. */
export function spellingProblems({ path, line, text }: CodeBlock): string[] {
  return problemsOf(parse(text)).map((problem) => {
    const at = line + text.slice(0, problem.start).split('\n').length - 1;
    return `${path}:${at}: ${problem.message}`;
  });
}
