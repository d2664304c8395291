import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { nearest } from '../../language/mistakes/sentence.ts';
import { type Kind, kindOfRole } from '../../language/names/kind.ts';
import type { Scope } from '../../language/names/scope.ts';
import { blockToWrite, neededIn } from './explain-declared.ts';
import { diskProject } from './files.ts';
import { CallError, exitStatuses, type Io } from './io.ts';

/**
 * Writes a rule on a kind to begin with, and two machines to try it on, into a file that is not there yet: one that is to break it, and one
 * that starts from it and keeps it. Throws a `CallError` for a kind that there is not, a name that is none or is taken, and for a file that
 * cannot be written.
 */
export function newRule(
  path: string | undefined,
  { rule, on }: { rule: string; on: string | undefined },
  io: Io,
): number {
  const { scope } = diskProject(io.cwd).library;
  const kind = kindCalled(on, scope);
  if (!/^[a-z][a-z0-9_]*$/.test(rule))
    throw new CallError(
      `A rule is named by small letters, digits and _, such as ${kind.name}_too_hot; ${rule} is no such name.`,
    );
  if (scope.find(rule)) throw new CallError(`${rule} is declared in the library already: gusset explain ${rule}`);
  const file = path === undefined ? `${rule}.gusset` : path.endsWith('.gusset') ? path : `${path}.gusset`;
  try {
    writeFileSync(resolve(io.cwd, file), ruleToWrite(rule, kind, scope), { flag: 'wx' });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    throw new CallError(code === 'EEXIST' ? `${file} is there already; nothing was written.` : message);
  }
  io.out(
    `${file}: a rule on ${kind.name}, and two machines to try it on.\nWhat a rule may ask for: gusset explain ${kind.name} --whole. To try it: gusset check ${file}\n`,
  );
  return exitStatuses.good;
}

function kindCalled(name: string | undefined, scope: Scope): Kind {
  if (name === undefined)
    throw new CallError('On which kind is the rule? Write --on KIND; all there are: gusset explain kinds');
  const kind = scope.kindNamed(name);
  if (kind) return kind;
  const near = nearest(
    name,
    [...scope.kinds()].map((each) => each.name),
  );
  throw new CallError(
    `There is no kind ${name}. ${near ? `Did you mean ${near}?` : 'All there are: gusset explain kinds'}`,
  );
}

/** The text of a rule to begin with: it reads and checks as it stands, and never fails. */
function ruleToWrite(rule: string, kind: Kind, scope: Scope): string {
  const [root, ...rest] = wayTo(kind, scope);
  const { name: machine } = root as Kind;
  return `/// What must hold, in a sentence.
rule ${rule} on ${kind.name} {
  // when …: whether it is asked at all; without it, it always is
  holds yes // VALUE <= LIMIT
  // error where somebody or something comes to harm; else warning, or advice
  warning "{name} …: what is wrong, by how much, what happens, what to do"
  // caution "Danger: …" where people can be hurt
  source practice "a standard with its number, a book with its table, or what is done in practice"
  // at VALUE: what is underlined
  // remedy VALUE: one that mends it is looked for, tried and offered
  remedy "what to do, as an order"
}

// It breaks the rule.
${machine} Breaks {
${[...neededIn(root as Kind), ...blocksIn(root as Kind, rest)].map((line) => `  // ${line}`).join('\n')}
}

// It keeps the rule, and says nothing else: at the limit, so that one moved by a little is noticed.
${machine} Keeps is Breaks {
  // …
}
`;
}

/** From a kind that stands in a file alone, through as few others as can be, to one that stands in the last of them; that kind alone where none does. */
function wayTo(kind: Kind, scope: Scope): Kind[] {
  const all = scope.kinds();
  const ways: Kind[][] = [[kind]];
  const seen = new Set([kind]);
  for (const way of ways) {
    const [first] = way;
    if (first?.toplevel) return way;
    const around = all.filter((host) => first && !seen.has(host) && host.accepts(first));
    for (const host of around) {
      seen.add(host);
      ways.push([host, ...way]);
    }
  }
  const alone = all.find((host) => host.toplevel);
  return alone && alone !== kind ? [alone] : [kind];
}

/** The blocks of some kinds within each other, the last with what it needs; a role with a name of its own is called by that. */
function blocksIn(host: Kind, [kind, ...rest]: readonly Kind[]): string[] {
  if (!kind) return [];
  // What fills a role of its own kind is called by that; what may be of many sorts says which it is.
  const role = host.roles.find((each) => kindOfRole(each) === kind);
  const head = role?.name ?? `${kind.name} my_${kind.name}`;
  if (rest.length === 0) return blockToWrite(kind, head);
  return [`${head} {`, ...blocksIn(kind, rest).map((line) => `  ${line}`), '}'];
}
