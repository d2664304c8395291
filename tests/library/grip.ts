import type { Binary, Declaration, Expression, Member } from '../../language/grammar/generated/ast.ts';
import { rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { type Assessed, readLibrary } from '../../language/project.ts';
import { checkDeclaration } from '../../language/types/check.ts';
import { foundIn, judged, keeps, library, underlined } from './fixtures.ts';
import { isAtLimit } from './limits.ts';

// How firmly the examples hold the rules: a rule's own text is changed, and its example should notice.

/** A change of a rule's text. */
export interface RuleChange {
  readonly rule: string;
  /** What it does, such as `holds without a > 0`. */
  readonly what: string;
  /** The text of the rule with it. */
  readonly text: string;
}

interface Edit {
  readonly what: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

function conjuncts(node: Expression): Expression[] {
  return node.$type === 'Binary' && node.operator === 'and'
    ? [...conjuncts(node.left), ...conjuncts(node.right)]
    : [node];
}

const joined = (parts: readonly Expression[]) => parts.map((part) => textOf(part)).join(' and ');

/** A condition without one of its parts; the statement goes where there is only one, if it may. */
function dropped(member: Member, value: Expression, mayGo: boolean): Edit[] {
  const parts = conjuncts(value);
  if (parts.length === 1) return mayGo ? [{ what: `without ${textOf(member)}`, ...rangeOf(member), text: '' }] : [];
  return parts.map((part) => ({
    what: `without ${textOf(part)}`,
    ...rangeOf(value),
    text: joined(parts.filter((other) => other !== part)),
  }));
}

const isComparison = (node: Expression): node is Binary =>
  node.$type === 'Binary' && ['<', '<=', '>', '>='].includes(node.operator);

/** A limit a tenth up or down, or ten kelvins where a temperature is no such multiple. */
function moved(value: Expression): Edit[][] {
  return conjuncts(value)
    .filter(isComparison)
    .filter(({ right }) => !/^0( |$)/.test(textOf(right)))
    .flatMap(({ right }) =>
      [
        ['* 1.1', '+ 10 K'],
        ['* 0.9', '- 10 K'],
      ].map((ways) =>
        ways.map((by) => ({ what: `${textOf(right)} ${by}`, ...rangeOf(right), text: `((${textOf(right)}) ${by})` })),
      ),
    );
}

/** The rule's text with an edit, if it is still well typed. */
function changedBy(node: Declaration, edit: Edit): RuleChange | undefined {
  const at = rangeOf(node).start;
  const old = textOf(node);
  const text = old.slice(0, edit.start - at) + edit.text + old.slice(edit.end - at);
  const { scope } = libraryWith(old, text);
  const rule = node.name?.text ?? '';
  const now = scope.rules().find((each) => each.node.name?.text === rule)?.node;
  let isWrong = !now;
  if (now) checkDeclaration(now, scope, () => (isWrong = true), true);
  return isWrong ? undefined : { rule, what: edit.what, text };
}

/** Each change that is tried of a rule. */
export function changesOf(node: Declaration): RuleChange[] {
  const members = node.body?.members ?? [];
  const ways = members.flatMap((member): Edit[][] => {
    if (member.$type === 'Follows') return [[{ what: `without ${textOf(member)}`, ...rangeOf(member), text: '' }]];
    if (member.$type !== 'Clause' || (member.keyword !== 'when' && member.keyword !== 'holds')) return [];
    const mayGo = member.keyword === 'when';
    return member.values.flatMap((value) => [
      ...dropped(member, value, mayGo && member.values.length === 1).map((edit) => [edit]),
      ...moved(value),
    ]);
  });
  return ways.flatMap((edits) => {
    for (const edit of edits) {
      const change = changedBy(node, edit);
      if (change) return [change];
    }
    return [];
  });
}

function libraryWith(old: string, text: string) {
  return readLibrary(
    libraryFiles.map((file) =>
      file.text.includes(old) ? { ...file, text: file.text.replace(old, () => text) } : file,
    ),
  );
}

/** Does a rule's example notice that the rule's text is another? */
export function isNoticed({ rule, text }: RuleChange, example: string): boolean {
  const node = library.scope.rules().find((each) => each.node.name?.text === rule)?.node;
  const changed = libraryWith(textOf(node as Declaration), text);
  const now = judged(example, changed);
  if (underlined(now) !== example) return true;
  const keeping = now.machines.filter(keeps);
  return (
    keeping.some(({ assessment }) => foundIn(assessment.findings, now.file).some((found) => found.rule === rule)) ||
    isUndecided(rule, keeping) !== isUndecidedNow(rule, example) ||
    (/^\w+ Barely is /m.test(example) && !isAtLimit(rule, example, changed))
  );
}

const isUndecided = (rule: string, machines: readonly Assessed[]) =>
  machines.some(({ assessment }) => assessment.undecided.some((each) => each.rule === rule));

const undecidedNow = new Map<string, boolean>();

/** Is a rule undecided in what keeps it, as the library is? */
function isUndecidedNow(rule: string, example: string): boolean {
  const known = undecidedNow.get(example) ?? isUndecided(rule, judged(example).machines.filter(keeps));
  undecidedNow.set(example, known);
  return known;
}
