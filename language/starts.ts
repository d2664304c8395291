import { startFiles } from './library/generated/starts.ts';

/** A machine to begin with. */
export interface Start {
  /** That of its file, without what follows the dot. */
  readonly name: string;
  /** What it is, in a sentence: the first line of its file. */
  readonly about: string;
  readonly text: string;
}

/** The machines to begin with, one for each file of `language/starts/`, by name. */
export const starts: readonly Start[] = startFiles.map(({ name, text }) => ({
  name,
  about: text.slice(0, text.indexOf('\n')).replace(/^\/\/\/ /, ''),
  text,
}));
