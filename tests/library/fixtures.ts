import { rangeOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { type Assessed, Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { beyondLimits } from './limits.ts';
import { isFurther } from './rule-examples.ts';

export { fixture, ruleExample } from './rule-examples.ts';

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

/** Reads one file with the library, in memory. */
export function open(
  text: string,
  uri = 'file:///fixture.gusset',
  rules = library,
): { project: Project; file: SourceFile } {
  const project = new Project(rules, { read: () => undefined });
  return { project, file: project.update(uri, text) };
}

/** Is it there to keep a rule, or to hold a part of it? What is found of it is not underlined. */
export const keeps = ({ tree }: Assessed) => tree.name === 'Keeps' || isFurther(tree.name);

const isUnderline = (line: string) => /^\s*\/\/\s*\^+ \w+(?: \(follows \w+\))?: /.test(line);

/** Findings with their consequences, as they would be underlined. */
export function foundIn(findings: readonly Finding[], file: SourceFile, follows?: string): Underlined[] {
  return findings.flatMap((finding) => [
    { ...placeOf(finding, file), rule: finding.rule, follows, message: finding.message },
    ...foundIn(finding.consequences, file, finding.rule),
  ]);
}

function placeOf(finding: Finding, file: SourceFile) {
  const range = rangeOf(finding.places[0] as NonNullable<Finding['places'][0]>);
  const [start, end] = [file.lines.position(range.start), file.lines.position(range.end)];
  const lineEnd = file.parsed.text.split('\n')[start.line]?.length ?? 0;
  return { line: start.line, from: start.character, to: end.line === start.line ? end.character : lineEnd };
}

/** In the order of the text. */
function ordered(list: readonly Underlined[]): Underlined[] {
  return list.toSorted((a, b) => a.line - b.line || a.from - b.from || (a.rule < b.rule ? -1 : 1));
}

/** An example, read without its underlines, with its machines, and those a little beyond its limits. */
export function judged(text: string) {
  const lines = text.split('\n').filter((line) => !isUnderline(line));
  const { project, file } = open(`${lines.join('\n')}\n${beyondLimits(text)}`);
  return { lines, project, file, machines: project.machines(file) };
}

/** An example with what is found of its machines that break a rule, consequences included, underlined in comments. */
export function underlined({ lines, file, machines }: ReturnType<typeof judged>): string {
  const breaking = machines.filter((machine) => !keeps(machine));
  const found = ordered(breaking.flatMap(({ assessment }) => foundIn(assessment.findings, file)));
  return lines
    .flatMap((line, i) => [line, ...found.filter((f) => f.line === i).map((f) => underline(f, line))])
    .join('\n');
}

const widest = 120;
const least = 24;

/** A finding as a comment on the line below the code that it is found at. */
function underline(found: Underlined, code: string): string {
  const indent = Math.max(0, Math.min(code.search(/\S/), found.from - 2));
  const carets = '^'.repeat(found.to - found.from);
  const root = found.follows ? ` (follows ${found.follows})` : '';
  const comment = `${' '.repeat(indent)}//`.padEnd(found.from);
  const start = `${comment}${carets} ${found.rule}${root}: `;
  return start + beginning(found.message, widest - start.length);
}

/** As much of a message as fits on a line, in whole words, and never less than its first words. */
function beginning(message: string, room: number): string {
  const last = message.lastIndexOf(' ', room);
  const space = last < least ? message.indexOf(' ', least) : last;
  return message.length <= room || space < 0 ? message : message.slice(0, space);
}

/** What a text's comments expect: carets under the line above, then `rule: start of the message`. */
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

/** The rules that an example's underlines name, each with the one that it follows from. */
export function rulesUnderlined(text: string): string[] {
  return expected(text).map(({ rule, follows }) => rule + (follows ? ` < ${follows}` : ''));
}
