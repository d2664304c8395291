import type { Binary, Declaration, Expression, Member } from '../../language/grammar/generated/ast.ts';
import { rangeOf, textOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { equivalent } from './equivalent.ts';
import { open } from './fixtures.ts';
import { beyondLimits } from './limits.ts';

// How firmly the examples hold the rules: a rule's own text is changed, and its example should notice. Each change is a rule beside the
// library's own, of another name, so that one reading of the example tells which of them says otherwise.

/** What of a rule is changed. */
export type ChangeClass = 'when' | 'holds' | 'limit' | 'follows';

/** A change of a rule's text. */
export interface RuleChange {
  readonly rule: string;
  readonly of: ChangeClass;
  /** What it does, such as `without a > 0`. */
  readonly what: string;
  /** The name that the changed rule goes by. */
  readonly name: string;
  /** The text of the rule with the change, under that name. */
  readonly text: string;
}

interface Edit {
  readonly of: ChangeClass;
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
function dropped(member: Member, of: ChangeClass, value: Expression, mayGo: boolean): Edit[] {
  const parts = conjuncts(value);
  if (parts.length === 1) return mayGo ? [{ of, what: `without ${textOf(member)}`, ...rangeOf(member), text: '' }] : [];
  return parts.map((part) => ({
    of,
    what: `without ${textOf(part)}`,
    ...rangeOf(value),
    text: joined(parts.filter((other) => other !== part)),
  }));
}

const isComparison = (node: Expression): node is Binary =>
  node.$type === 'Binary' && ['<', '<=', '>', '>='].includes(node.operator);

/** How a limit is moved: by a tenth, or by ten kelvins where a temperature is no such multiple; a count by one. */
const byShare = [
  ['* 1.1', '+ 10 K'],
  ['* 0.9', '- 10 K'],
];
const byOne = [['+ 1'], ['- 1']];
const isCount = (limit: string) => /^\d+$|^count\(/.test(limit);

function moved(value: Expression): Edit[][] {
  return conjuncts(value)
    .filter(isComparison)
    .filter(({ right }) => !/^0( |$)/.test(textOf(right)))
    .flatMap(({ right }) =>
      (isCount(textOf(right)) ? byOne : byShare).map((ways) =>
        ways.map((by) => ({
          of: 'limit' as const,
          what: `${textOf(right)} ${by}`,
          ...rangeOf(right),
          text: `((${textOf(right)}) ${by})`,
        })),
      ),
    );
}

const nameOf = (node: Declaration) => node.name?.text ?? '';

/** The rule's text with an edit, under another name. */
function edited(node: Declaration, edit: Edit, number: number): RuleChange {
  const at = rangeOf(node).start;
  const old = textOf(node);
  const name = `${nameOf(node)}__${number}`;
  const changed = old.slice(0, edit.start - at) + edit.text + old.slice(edit.end - at);
  const text = changed.replace(`rule ${nameOf(node)} `, `rule ${name} `);
  return { rule: nameOf(node), of: edit.of, what: edit.what, name, text };
}

/** Each change that is tried of a rule: of several ways to make it the first that is well typed, but those that nothing can notice. */
export function changesOf(node: Declaration): RuleChange[] {
  const members = node.body?.members ?? [];
  const ways = members.flatMap((member): Edit[][] => {
    if (member.$type === 'Follows')
      return [[{ of: 'follows', what: `without ${textOf(member)}`, ...rangeOf(member), text: '' }]];
    if (member.$type !== 'Clause' || (member.keyword !== 'when' && member.keyword !== 'holds')) return [];
    const mayGo = member.keyword === 'when' && member.values.length === 1;
    return member.values.flatMap((value) => [
      ...dropped(member, member.keyword as ChangeClass, value, mayGo).map((edit) => [edit]),
      ...moved(value),
    ]);
  });
  let number = 0;
  const tried = ways.map((edits) => edits.map((edit) => edited(node, edit, ++number)));
  const wrong = withMistakes(tried.flat());
  const changes = tried.flatMap((each) => each.find(({ name }) => !wrong.has(name)) ?? []);
  return changes.filter(({ rule, what }) => !(`${rule}: ${what}` in equivalent));
}

/** The names of those that are not well typed. */
function withMistakes(changes: readonly RuleChange[]): Set<string> {
  const { project, file } = open(changes.map(({ text }) => text).join('\n\n'));
  const mistakes = project.mistakes(file).filter(({ severity }) => severity === 'error');
  const rules = file.parsed.file.items.filter((item): item is Declaration => item.$type === 'Declaration');
  const isIn = (node: Declaration) => {
    const { start, end } = rangeOf(node);
    return mistakes.some((mistake) => mistake.start >= start && mistake.start <= end);
  };
  return new Set(rules.filter(isIn).map(nameOf));
}

/** The rule whose consequence a changed rule no longer is, where that is the change. */
export function rootOf({ of, what }: RuleChange): string | undefined {
  return of === 'follows' ? /^without follows (\w+)/.exec(what)?.[1] : undefined;
}

/** Of changes of one rule those that its example does not notice, nor that of a rule that it no longer follows. */
export function missedOf(changes: readonly RuleChange[], exampleOf: (rule: string) => string): RuleChange[] {
  const noticedBy = (rule: string, some: readonly RuleChange[]) => {
    const example = exampleOf(rule);
    const said = some.length > 0 ? saidOf(`${example}\n${beyondLimits(example)}`, some) : () => '';
    return some.filter((change) => said(change.name) !== said(change.rule));
  };
  const noticed = new Set(noticedBy(changes[0]?.rule ?? '', changes));
  const left = changes.filter((change) => !noticed.has(change));
  for (const change of left) {
    const root = rootOf(change);
    if (root && noticedBy(root, [change]).length > 0) noticed.add(change);
  }
  return left.filter((change) => !noticed.has(change));
}

/** What a rule, or a changed one beside it, says of the machines of a text: where it fails, under what, and where it is undecided. */
export function saidOf(text: string, changes: readonly RuleChange[]): (rule: string) => string {
  const { project, file } = open([text, ...changes.map((change) => change.text)].join('\n\n'));
  const said = new Map<string, string[]>();
  const add = (rule: string, what: string) => said.set(rule, [...(said.get(rule) ?? []), what]);
  const tell = (finding: Finding, root: string) => {
    add(finding.rule, `${finding.instance.path} ${root}`);
    for (const consequence of finding.consequences) tell(consequence, finding.rule);
  };
  for (const { assessment } of project.machines(file)) {
    for (const finding of assessment.findings) tell(finding, '');
    for (const { rule, instance } of assessment.undecided) add(rule, `${instance.path} undecided`);
  }
  return (rule) => (said.get(rule) ?? []).toSorted().join('\n');
}
