import type { Machine } from '../../language/compute/machine.ts';
import type { Declaration, Entry } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { underTheirRoots } from '../../language/judge/consequences.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { decide } from '../../language/judge/verdicts.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { type Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { library, open, ruleExample } from './fixtures.ts';
import { type ChangeClass, changesOf, missedOf, type RuleChange, rootOf } from './grip.ts';
import { beyond } from './limits.ts';
import { pairsOf, type Statement, statementsBreaking, statementsFor, variantWith } from './statements.ts';

// Machines that tell a rule from what it would be with a part of it changed: what breaks or keeps it, with one thing said otherwise.

const bases = ['Breaks', 'Keeps'] as const;
type Base = (typeof bases)[number];

/** What such a machine is for. */
type Role = 'Breaks' | 'Barely' | 'Spared' | 'Follows';

/** What of a rule each holds: one that breaks it anyway says nothing of when the rule is asked. */
const told: Readonly<Record<Role, readonly ChangeClass[]>> = {
  Breaks: ['holds', 'limit'],
  Barely: ['when', 'holds', 'limit'],
  Spared: ['when', 'holds', 'limit'],
  Follows: ['follows'],
};

/** A machine, and the changes of the rule that notice it. */
export interface Proposal {
  readonly role: Role;
  readonly base: Base;
  readonly statement: Statement;
  readonly notices: readonly RuleChange[];
  /** The rules that its finding follows from. */
  readonly roots: readonly string[];
  /** The easier to read, the less. */
  readonly price: number;
}

/** What the rules say of a machine. */
interface Said {
  /** Where a rule fails, under what, and where it is undecided. */
  of(rule: string): string;
  readonly roots: ReadonlyMap<string, readonly string[]>;
  readonly findings: number;
}

const mostTried = 350;
const mostForRoot = 100;
const mostPaired = 28;
const mostPairs = 450;
const mostHalved = 10;
const steps = 14;

/** What some rules, or all that a machine's file sees, say of it. */
function saidOf(machine: Machine): Said {
  const { tree, scope, engine } = machine;
  const decided = tree.all().flatMap((instance) =>
    rulesOn(instance.kind, scope).flatMap((rule) => {
      const now = decide({ rule, instance, cell: verdictCell(rule, instance) }, machine);
      return now && !('everyEnd' in now) ? [now] : [];
    }),
  );
  const failing = decided.filter((each): each is Finding => 'message' in each);
  const said = new Map<string, string[]>();
  const roots = new Map<string, string[]>();
  const add = (rule: string, what: string) => said.set(rule, [...(said.get(rule) ?? []), what]);
  const tell = (finding: Finding, root: string) => {
    add(finding.rule, `${finding.instance.path} ${root}`);
    if (root) roots.set(finding.rule, [...(roots.get(finding.rule) ?? []), root]);
    for (const consequence of finding.consequences) tell(consequence, finding.rule);
  };
  for (const finding of underTheirRoots(failing, engine)) tell(finding, '');
  for (const each of decided) if (!('message' in each)) add(each.rule, `${each.instance.path} undecided`);
  return { of: (rule) => (said.get(rule) ?? []).toSorted().join('\n'), roots, findings: failing.length };
}

const rules = new Map(library.scope.rules().map(({ node }) => [node.name?.text ?? '', node]));

/** The library without its rules: most of what is tried concerns few of them. */
const bare = readLibrary(
  libraryFiles.map((file) => ({
    ...file,
    text: parse(file.text).file.items.reduce(
      (text, item) => (item.$type === 'Declaration' && item.what === 'rule' ? text.replace(textOf(item), '') : text),
      file.text,
    ),
  })),
);

/** An example with some rules beside it, where machines are tried. */
class Rehearsal {
  readonly #project: Project;
  #file: SourceFile;
  readonly #example: string;
  readonly #changes: string;
  readonly #kind: string;
  constructor(example: string, beside: readonly string[], judging = library) {
    this.#example = example;
    this.#changes = beside.join('\n\n');
    const { project, file } = open(`${example}\n${this.#changes}`, undefined, judging);
    this.#project = project;
    this.#file = file;
    this.#kind = kindOfMachines(example);
  }

  /** A machine of the file, of which nothing is judged yet. */
  machine(name: string): Machine | undefined {
    this.#project.mistakes(this.#file);
    return [...this.#file.roots.values()].find(({ machine }) => machine.tree.name === name)?.machine;
  }

  /** What is said of a machine with a statement of its own; undefined where that is a mistake. */
  tries(base: Base, lines: Statement['lines']): Said | undefined {
    const text = variantWith(this.#kind, 'Tried', base, lines);
    const start = this.#example.length;
    this.#file = this.#project.update(this.#file.uri, `${this.#example}\n${text}\n${this.#changes}`);
    const isWrong = this.#project
      .mistakes(this.#file)
      .some(
        (mistake) => mistake.severity !== 'note' && mistake.start > start && mistake.end <= start + text.length + 1,
      );
    const machine = isWrong ? undefined : this.machine('Tried');
    return machine && saidOf(machine);
  }
}

function kindOfMachines(example: string): string {
  const entries = parse(example).file.items.filter((item): item is Entry => item.$type === 'Entry');
  return entries.find(({ name }) => name?.text === 'Breaks')?.first.text ?? 'machine';
}

/** Proposes machines that notice the changes of a rule that its example does not, the fewest that do. */
export class Search {
  readonly missed: readonly RuleChange[];
  readonly #rule: string;
  readonly #rehearsal: Rehearsal;
  /** With all rules of the library: how much else is found. */
  readonly #whole: Rehearsal;
  readonly #found: Proposal[] = [];
  readonly #before: ReadonlyMap<Base, Said>;
  #halved = 0;

  constructor(node: Declaration, example: string) {
    this.#rule = node.name?.text ?? '';
    this.missed = missedOf(changesOf(node), (rule) => (rule === this.#rule ? example : (ruleExample(rule) ?? '')));
    const follows = (node.body?.members ?? []).flatMap((m) => (m.$type === 'Follows' ? [m.rule.text] : []));
    const needed = [node, ...follows.flatMap((name) => rules.get(name) ?? [])].map((each) => textOf(each));
    this.#rehearsal = new Rehearsal(example, [...new Set(needed), ...this.missed.map(({ text }) => text)], bare);
    this.#whole = new Rehearsal(example, []);
    this.#before = new Map(bases.map((base) => [base, saidOf(this.#rehearsal.machine(base) as Machine)]));
  }

  proposals(): Proposal[] {
    if (this.missed.length === 0) return [];
    for (const base of bases) {
      for (const statement of statementsFor(this.#rule, this.#rehearsal.machine(base) as Machine, mostTried))
        this.#try(base, statement);
    }
    for (const change of this.missed) {
      const root = rootOf(change);
      if (!root) continue;
      for (const base of bases) {
        for (const statement of statementsBreaking(root, this.#rehearsal.machine(base) as Machine, mostForRoot))
          if (!this.#isNoticed(change)) this.#try(base, statement);
      }
    }
    this.#tryPairs();
    return fewest(this.#found);
  }

  /** Of what is left, two things said otherwise at once. */
  #tryPairs(): void {
    for (const base of bases) {
      const left = this.missed.filter((change) => !this.#isNoticed(change));
      if (left.length === 0) return;
      const machine = this.#rehearsal.machine(base) as Machine;
      const own = statementsFor(this.#rule, machine, mostPaired);
      const roots = left.flatMap((change) => rootOf(change) ?? []);
      const others = roots.flatMap((root) => statementsBreaking(root, machine, mostPaired));
      const isOwn = left.some((change) => !rootOf(change));
      const pairs = [...(isOwn ? pairsOf(own, own) : []), ...pairsOf(own, others), ...pairsOf(others, own)];
      for (const statement of pairs.toSorted((a, b) => a.far - b.far).slice(0, mostPairs)) {
        this.#try(base, statement);
        if (left.every((change) => this.#isNoticed(change))) return;
      }
    }
  }

  #findingsOf(base: Base): number {
    return saidOf(this.#whole.machine(base) as Machine).findings;
  }

  #isNoticed(change: RuleChange): boolean {
    return this.#found.some(({ notices }) => notices.includes(change));
  }

  #try(base: Base, statement: Statement): void {
    const said = this.#rehearsal.tries(base, statement.lines);
    if (!said) return;
    const own = said.of(this.#rule);
    if (own.includes('undecided')) return;
    const roots = said.roots.get(this.#rule) ?? [];
    this.#add(own === '' ? 'Spared' : roots.length > 0 ? 'Follows' : 'Breaks', base, statement, [said], roots);
    const was = this.#before.get(base)?.of(this.#rule) ?? '';
    if ((was === '') !== (own === '') && !was.includes('undecided')) this.#halve(base, statement, was === '');
  }

  #add(role: Role, base: Base, statement: Statement, said: readonly Said[], roots: readonly string[]): void {
    const notices = this.missed.filter(
      ({ name, of }) => told[role].includes(of) && said.some((each) => each.of(name) !== each.of(this.#rule)),
    );
    if (notices.length === 0) return;
    const besides = (this.#whole.tries(base, statement.lines)?.findings ?? 99) - this.#findingsOf(base);
    this.#found.push({ role, base, statement, notices, roots, price: statement.far + 2 * Math.max(0, besides) });
  }

  /** Looks for the limit between a number and another. */
  #halve(base: Base, { number, far }: Statement, holds: boolean): void {
    if (!number || this.#halved >= mostHalved || !this.missed.some(({ of }) => of === 'limit')) return;
    this.#halved++;
    const says = (value: number) => this.#rehearsal.tries(base, [number.line(value)]);
    const fails = (value: number) => {
      const own = says(value)?.of(this.#rule) ?? '';
      return own !== '' && !own.includes('undecided');
    };
    let [kept, broken] = holds ? [number.from, number.to] : [number.to, number.from];
    for (let i = 0; i < steps; i++) {
      const middle = number.isPoint ? (kept + broken) / 2 : Math.sqrt(kept * broken);
      if (fails(middle)) broken = middle;
      else kept = middle;
    }
    const [at, past] = [rounded(kept, broken < kept, 3), rounded(broken, broken > kept, 4)];
    const just = says(past);
    if (just && fails(past)) this.#add('Breaks', base, { lines: [number.line(past)], far: far + 1 }, [just], []);
    const [here, above, below] = [at, at * (1 + beyond), at * (1 - beyond)].map(says);
    if (here?.of(this.#rule) !== '' || !fails(broken > kept ? at * (1 + beyond) : at * (1 - beyond))) return;
    const said = [here, above, below].filter((each) => each !== undefined);
    this.#add('Barely', base, { lines: [number.line(at)], far: far - 1 }, said, []);
  }
}

/** A number with so many digits. */
function rounded(number: number, upward: boolean, digits: number): number {
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - digits + 1);
  const count = upward ? Math.ceil(number / step - 1e-9) : Math.floor(number / step + 1e-9);
  return Number((count * step).toPrecision(digits));
}

/** The fewest that notice all that any of them does, the easiest to read first. */
function fewest(found: readonly Proposal[]): Proposal[] {
  const left = new Set(found.flatMap(({ notices }) => notices));
  const out: Proposal[] = [];
  const worth = ({ notices, price }: Proposal) => notices.filter((change) => left.has(change)).length / (4 + price);
  while (left.size > 0) {
    const best = found.reduce((a, b) => (worth(b) > worth(a) ? b : a));
    out.push({ ...best, notices: best.notices.filter((change) => left.has(change)) });
    for (const change of best.notices) left.delete(change);
  }
  return out;
}

const onOneLine = (text: string) => text.replace(/\s+/g, ' ').replaceAll('( ', '(').replaceAll(' )', ')');

/** What a machine is for, as a comment before it; one at a limit says so by its name. */
function reason({ role, notices, roots }: Proposal): string {
  const partsOf = (which: ChangeClass) =>
    notices.filter(({ of }) => of === which).map(({ what }) => onOneLine(what.replace(/^without (when )?/, '')));
  const [when, holds] = [partsOf('when'), partsOf('holds')];
  if (role === 'Follows') return `// Follows ${[...new Set(roots)].join(', ')}.\n`;
  if (role === 'Spared' && when.length > 0) return `// Asked only when ${when.join(', and when ')}.\n`;
  if (role !== 'Breaks') return '';
  return holds.length > 0 ? `// Broken by this alone: ${holds.join(', ')}.\n` : '// A little beyond the limit.\n';
}

/** Proposed machines as text, numbered behind those that an example has. */
export function written(proposals: readonly Proposal[], example: string): string {
  const there = new Map<string, number>();
  const next = (role: string) => {
    there.set(role, (there.get(role) ?? 0) + 1);
    return there.get(role) as number;
  };
  for (const [, role = ''] of example.matchAll(/^\w+ (Breaks|Barely|Spared|Follows)(?:_\d+)? /gm)) next(role);
  const kind = kindOfMachines(example);
  return proposals
    .map((proposal) => {
      const number = next(proposal.role);
      const called = number > 1 ? `${proposal.role}_${number}` : proposal.role;
      return reason(proposal) + variantWith(kind, called, proposal.base, proposal.statement.lines);
    })
    .join('\n');
}

export function searchOf(rule: string, example: string): Search | undefined {
  const node = rules.get(rule);
  return node && new Search(node, example);
}
