// How much a file says: its statements, of which each value and each block is one.
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import type { Entry, Member } from '../language/grammar/generated/ast.ts';
import { parse } from '../language/grammar/parser.ts';

/** What each statement of a text says, in a word or two: the value's name, the block's kind, the keyword of all else. */
export function statementsOf(text: string): string[] {
  const told = (member: Member): string[] => [
    member.$type === 'Entry' ? `${(member as Entry).first.text}${member.equals ? ' =' : ''}` : member.$type,
    ...('body' in member ? (member.body?.members ?? []).flatMap(told) : []),
  ];
  return parse(text).items.flatMap(({ node }) => (node.$type === 'Entry' ? told(node) : [node.$type]));
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const all = new Map<string, number>();
  for (const path of process.argv.slice(2)) {
    const statements = statementsOf(readFileSync(path, 'utf8'));
    console.log(`${statements.length} ${path}`);
    for (const each of statements) all.set(each, (all.get(each) ?? 0) + 1);
  }
  const sorted = [...all].toSorted(([, a], [, b]) => b - a);
  for (const [each, times] of sorted.slice(0, 60)) console.log(`${times}\t${each}`);
}
