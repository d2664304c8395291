import { readFileSync } from 'node:fs';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { ruleExampleFiles } from './rule-examples.ts';

export const library = readLibrary(libraryFiles);

/** A finding as a fixture underlines it: its place, its rule, and the rule it follows from, if it is a consequence. */
export interface Underlined {
  readonly line: number;
  readonly from: number;
  readonly to: number;
  readonly rule: string;
  readonly follows: string | undefined;
  readonly message: string;
}

/** Where a rule's fixture stands; undefined if there is none. */
export const fixtureUrl = (rule: string, which: 'breaks' | 'keeps') => ruleExampleFiles.get(`${rule}.${which}.gusset`);

/** The text of a rule's fixture, or undefined if there is none. */
export function fixture(rule: string, which: 'breaks' | 'keeps'): string | undefined {
  const url = fixtureUrl(rule, which);
  return url && readFileSync(url, 'utf8');
}

/** Reads one file with the library, in memory. */
export function open(text: string, uri = 'file:///fixture.gusset'): { project: Project; file: SourceFile } {
  const project = new Project(library, { read: () => undefined });
  return { project, file: project.update(uri, text) };
}

/** What a fixture's comments expect: carets under the line above, then `rule: start of the message`. */
export function expected(text: string): Underlined[] {
  const found: Underlined[] = [];
  let code = 0;
  for (const [index, line] of text.split('\n').entries()) {
    const match = /^\s*\/\/\s*(\^+) (\w+)(?: \(follows (\w+)\))?: (.*)$/.exec(line);
    if (!match) {
      code = index;
      continue;
    }
    const from = line.indexOf('^');
    const [, carets = '', rule = '', follows, message = ''] = match;
    found.push({ line: code, from, to: from + carets.length, rule, follows, message });
  }
  return found;
}

/** What the machines of a fixture really give, consequences included. */
export function actual(text: string): Underlined[] {
  const { project, file } = open(text);
  const found: Underlined[] = [];
  const add = (finding: Finding, follows?: string) => {
    found.push({ ...placeOf(finding, file), rule: finding.rule, follows, message: finding.message });
    for (const consequence of finding.consequences) add(consequence, finding.rule);
  };
  for (const machine of project.machines(file)) for (const finding of machine.assessment.findings) add(finding);
  return found;
}

function placeOf(finding: Finding, file: SourceFile) {
  const range = rangeOf(finding.places[0] as NonNullable<Finding['places'][0]>);
  const [start, end] = [file.lines.position(range.start), file.lines.position(range.end)];
  const lineEnd = file.parsed.text.split('\n')[start.line]?.length ?? 0;
  return { line: start.line, from: start.character, to: end.line === start.line ? end.character : lineEnd };
}

/** In the order of the text, so that two lists can be compared. */
export function ordered(list: readonly Underlined[]): Underlined[] {
  return list.toSorted((a, b) => a.line - b.line || a.from - b.from || (a.rule < b.rule ? -1 : 1));
}
