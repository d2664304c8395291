import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { mistakeKinds } from '../../language/mistakes/all.ts';
import { nearest } from '../../language/mistakes/sentence.ts';
import type { Scope } from '../../language/names/scope.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { languageFunctions } from '../../language/types/functions.ts';
import { explainSearch, explainSort } from './explain-index.ts';
import { kindInShort, pagesOfName, wholeKind } from './explain-name.ts';
import { explainValue, hasMachine } from './explain-value.ts';
import { diskProject, openFile, TextPlaces } from './files.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { Page } from './page.ts';

export interface ExplainOptions {
  /** Levels of a derivation to print. */
  readonly depth: number;
  /** Of a kind all that it declares and inherits, instead of what to write, what is needed and what it will tell. */
  readonly whole?: boolean;
}

/** Explains a name of the library, or a name or value of a file. Throws a `CallError` where there is nothing of that name. */
export function explain(names: readonly string[], options: ExplainOptions, io: Io): number {
  const project = diskProject(io.cwd);
  const [first = '', second] = names;
  if (second === undefined && isFile(first, io.cwd))
    throw new CallError(`What in ${first} is to be explained? Name a value, such as MACHINE.BLOCK.VALUE.`);
  const file = second === undefined ? undefined : openFile(project, resolve(io.cwd, first), io.cwd);
  const newPage = () => new Page(io, TextPlaces.onDisk(project, io.cwd));
  io.out(`${pagesFor(second ?? first, file, project, options, newPage).join('\n')}`);
  return exitStatuses.good;
}

function isFile(path: string, cwd: string): boolean {
  return statSync(resolve(cwd, path), { throwIfNoEntry: false })?.isFile() ?? false;
}

function pagesFor(
  name: string,
  file: SourceFile | undefined,
  project: Project,
  { depth, whole }: ExplainOptions,
  newPage: () => Page,
): Page[] {
  const scope = file?.scope ?? project.library.scope;
  const machines = file ? project.machines(file) : [];
  if (hasMachine(name, machines)) return [explainValue(name, machines, depth, newPage())];
  const pages = pagesOfName(name, scope, newPage, whole ? wholeKind : kindInShort);
  if (pages.length > 0) return pages;
  const sort = explainSort(name, scope, newPage());
  if (sort) return [sort];
  if (machines.length > 0) return [explainValue(name, machines, depth, newPage())];
  const found = explainSearch(name, scope, newPage());
  if (found) return [found];
  const near = nearest(name, namesOf(scope));
  throw new CallError(
    `There is nothing called ${name}. ${near ? `Did you mean ${near}?` : 'All there is: explain kinds, explain parts, explain rules.'}`,
  );
}

function* namesOf(scope: Scope): Generator<string> {
  for (const { own } of scope.visible()) {
    yield* own.kinds.keys();
    yield* own.declared.keys();
    yield* own.sizeNames.keys();
  }
  yield* scope.system.dimensions.keys();
  for (const unit of scope.system.plainUnits()) yield unit.text;
  yield* Object.keys(languageFunctions);
  yield* mistakeKinds.keys();
}
