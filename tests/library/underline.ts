// Writes what each rule's breaking example is found to break, underlined in comments: `npm run underline`, or `npm run underline -- RULE …`.
// Prints each finding that came or went: that is to be judged by who changed the rule, not to be taken over.
import { writeFileSync } from 'node:fs';
import { argv, stdout } from 'node:process';
import { actual, expected, fixture, fixtureUrl, library, ordered, type Underlined } from './fixtures.ts';

const widest = 120;
const least = 24;
const isUnderline = (line: string) => /^\s*\/\/\s*\^+ \w+(?: \(follows \w+\))?: /.test(line);

/** As much of a message as fits on a line, in whole words, and never less than its first words. */
function beginning(message: string, room: number): string {
  const last = message.lastIndexOf(' ', room);
  const space = last < least ? message.indexOf(' ', least) : last;
  return message.length <= room || space < 0 ? message : message.slice(0, space);
}

/** A finding as a comment on the line below the code that it is found at. */
function underline(found: Underlined, code: string): string {
  const indent = Math.max(0, Math.min(code.search(/\S/), found.from - 2));
  const carets = '^'.repeat(found.to - found.from);
  const root = found.follows ? ` (follows ${found.follows})` : '';
  const comment = `${' '.repeat(indent)}//`.padEnd(found.from);
  const start = `${comment}${carets} ${found.rule}${root}: `;
  return start + beginning(found.message, widest - start.length);
}

const named = ({ line, from, rule, follows }: Underlined) => `${line}:${from} ${rule}${follows ? ` < ${follows}` : ''}`;

/** A rule's breaking example as it is found now. */
function underlined(text: string): string {
  const lines = text.split('\n').filter((line) => !isUnderline(line));
  const found = ordered(actual(lines.join('\n')));
  return lines
    .flatMap((line, i) => [line, ...found.filter((f) => f.line === i).map((f) => underline(f, line))])
    .join('\n');
}

const asked = argv.slice(2);
const all = library.scope.rules().flatMap(({ node }) => node.name?.text ?? []);
for (const rule of asked.length > 0 ? asked : all) {
  const [before, url] = [fixture(rule, 'breaks'), fixtureUrl(rule, 'breaks')];
  if (before === undefined || !url) continue;
  const after = underlined(before);
  if (after === before) continue;
  const [had, has] = [before, after].map((text) => ordered(expected(text)).map(named));
  const came = has?.filter((name) => !had?.some((other) => other.split(' ')[1] === name.split(' ')[1])) ?? [];
  const went = had?.filter((name) => !has?.some((other) => other.split(' ')[1] === name.split(' ')[1])) ?? [];
  stdout.write(
    `${rule}${came.length > 0 ? `  CAME ${came.join(', ')}` : ''}${went.length > 0 ? `  WENT ${went.join(', ')}` : ''}\n`,
  );
  writeFileSync(url, after);
}
