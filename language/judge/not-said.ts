import { type Cell, cellOf, cellsOf, computedCell, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { markForBlock, markForValue } from '../compute/marks.ts';
import { showCell } from '../compute/show-cell.ts';
import { type AstNode, contentOf, docOf, rangeOf, textOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import { type Expectation, kindOfRole, namesIn } from '../names/kind.ts';
import { type Missing, Unknown } from '../values/value.ts';
import { notApplicable, type Rule, rulesOn } from './rule.ts';

/** Something that a machine does not say yet, though its kinds expect it, or rules wait for it. */
export interface NotSaid {
  readonly instance: Instance;
  /** What is missing: a value or a block of the instance. */
  readonly name: string;
  /** The question in words, such as "What feeds it?" */
  readonly question: string;
  /** How many rules wait for it. */
  readonly waiting: number;
  /** How many of them are about people's safety. */
  readonly safety: number;
  /** Those of them that are undecided for want of it. */
  readonly undecided: readonly Unjudged[];
  /** What is taken for it, where its kind has a default that only stands in: the rules do not wait, and rest on that. */
  readonly taken?: string;
  /** Where it would be said. */
  readonly place: AstNode;
}

/** A rule on a block that could not be judged: it is undecided, or does not apply as things are said. */
export interface Unjudged {
  readonly rule: Rule;
  readonly instance: Instance;
  /** The cell of its verdict. */
  readonly cell: Cell;
}

/** What a block's kind expects of it. */
export interface Expected {
  readonly expectation: Expectation;
  readonly instance: Instance;
  /** The cell of whether it is said. */
  readonly cell: Cell;
}

/** All that kinds expect of a machine's blocks. */
export function expectedIn({ tree }: Machine): Expected[] {
  return tree.all().flatMap((instance) =>
    instance.kind.expectations.map((expectation) => ({
      expectation,
      instance,
      cell: expectationCell(expectation, instance),
    })),
  );
}

/** A finding, as far as it tells what is asked here. */
interface Told {
  readonly declared?: Rule;
  readonly instance: Instance;
  readonly consequences: readonly Told[];
}

/**
 * What a machine does not say yet: what most rules wait for, or rest on, comes first. What a finding tells already is not asked again.
 * `judged` are all rules on its blocks.
 */
export function notSaidIn(
  machine: Machine,
  expected: readonly Expected[],
  judged: readonly Unjudged[],
  unjudged: readonly Unjudged[],
  findings: readonly Told[],
): NotSaid[] {
  const all = [
    ...relations(machine, expected, unjudged, findings),
    ...values(machine, unjudged),
    ...assumed(machine, judged),
  ];
  const found = new Map<string, NotSaid>();
  for (const each of all) {
    const key = `${each.instance.path}.${each.name}`;
    const same = found.get(key);
    // What a kind asks in words of its own may be what rules wait for as well.
    found.set(key, same ? { ...same, undecided: each.undecided } : each);
  }
  return [...found.values()].sort(
    (a, b) => b.waiting - a.waiting || b.safety - a.safety || rangeOf(a.place).start - rangeOf(b.place).start,
  );
}

// ---- relations that kinds expect ----

function relations(
  machine: Machine,
  expected: readonly Expected[],
  unjudged: readonly Unjudged[],
  findings: readonly Told[],
): NotSaid[] {
  const { engine, entry } = machine;
  const missing = expected.filter(({ instance, cell }) => !instance.open && engine.value(cell) === false);
  if (missing.length === 0) return [];
  const told = grouped(findings.flatMap(withConsequences), ({ instance }) => [instance]);
  // Both are gathered once, since there may be thousands of blocks and of expectations.
  const readers = grouped(unjudged, ({ cell }) => new Set(engine.inputs(cell)));
  return missing.flatMap(({ expectation, instance }): NotSaid[] => {
    const names = askedFor(expectation, instance);
    if (names.some((name) => instance.saysNo(name))) return [];
    const name = names.find((each) => isNotThere(each, instance, machine)) ?? names[0] ?? '';
    if (told.get(instance)?.some((each) => tells(each, name))) return [];
    const waiting = waitingFor(name, expectation, instance, machine, readers);
    const question = contentOf(expectation.question);
    return [{ instance, name, question, ...waiting, undecided: [], place: markForBlock(instance, entry) }];
  });
}

/** The path of what is not said, below its machine. */
export function pathOfNotSaid({ instance, name }: NotSaid): string {
  return instance.holder ? `${instance.label}.${name}` : name;
}

/** The question in words, and what is taken until it is answered. */
export function questionWords({ question, taken }: Pick<NotSaid, 'question' | 'taken'>): string {
  return taken === undefined ? question : `${question} Until it is said: ${taken}`;
}

/** How many rules wait for something, or rest on what is taken for it: `9 rules wait, 2 of them about safety`; none where no rule does. */
export function waitingWords({ waiting, safety, taken }: Pick<NotSaid, 'waiting' | 'safety' | 'taken'>): string {
  if (waiting === 0) return '';
  const [one, many] = taken === undefined ? ['waits', 'wait'] : ['rests on that', 'rest on that'];
  const rules = waiting === 1 ? `1 rule ${one}` : `${waiting} rules ${many}`;
  const about = waiting === 1 ? 'about safety' : `${safety === waiting ? 'all' : safety} of them about safety`;
  return safety === 0 ? rules : `${rules}, ${about}`;
}

/** The values, roles and kinds that an expectation asks for. */
export function askedFor(expectation: Expectation, instance: Instance): string[] {
  let names = namesOfExpectations.get(expectation);
  if (!names) {
    names = namesIn(expectation.condition);
    namesOfExpectations.set(expectation, names);
  }
  return names.filter((name) => instance.member(name) ?? expectation.owner.scope.kindNamed(name));
}

const namesOfExpectations = new WeakMap<Expectation, readonly string[]>();

/** Is there nothing that goes by the name: no value of the block, none in the role, none of the kind? */
function isNotThere(name: string, instance: Instance, { engine }: Machine): boolean {
  const cell = cellOf(instance, name);
  if (cell) return engine.value(cell) instanceof Unknown;
  const role = instance.member(name);
  return !role || instance.filling(role).length === 0;
}

/** A list by what goes for each of its elements, in their order. */
function grouped<T, K>(list: readonly T[], keysOf: (each: T) => Iterable<K>): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const each of list) {
    for (const key of keysOf(each)) {
      const group = groups.get(key);
      if (group) group.push(each);
      else groups.set(key, [each]);
    }
  }
  return groups;
}

function withConsequences(finding: Told): Told[] {
  return [finding, ...finding.consequences.flatMap(withConsequences)];
}

/** The cell of whether what is expected is said. */
function expectationCell({ condition, owner }: Expectation, instance: Instance): Cell {
  const key = `expects ${textOf(condition)}`;
  let cell = cellsOf(instance).values.get(key);
  if (!cell) {
    const compute = (engine: Engine) =>
      evaluate(condition, { engine, self: instance, scope: owner.scope, mode: 'kind' });
    cell = computedCell(instance, key, owner.scope, compute);
    cellsOf(instance).values.set(key, cell);
  }
  return cell;
}

const namesOfRules = new WeakMap<Rule, ReadonlySet<string>>();

/** The names that a rule's condition is made of. */
function namesOf(rule: Rule): ReadonlySet<string> {
  let names = namesOfRules.get(rule);
  if (!names) {
    names = new Set([...rule.when, ...rule.holds].flatMap(namesIn));
    namesOfRules.set(rule, names);
  }
  return names;
}

/** Is it told already by a rule that asks for the same? */
function tells({ declared }: Told, name: string): boolean {
  return declared !== undefined && namesOf(declared).has(name);
}

/** The rules that wait for what is expected: those that ask for the value, and those on the blocks that are not there. */
function waitingFor(
  name: string,
  { owner }: Expectation,
  instance: Instance,
  { scope }: Machine,
  readers: ReadonlyMap<Cell, readonly Unjudged[]>,
): Pick<NotSaid, 'waiting' | 'safety'> {
  const cell = cellOf(instance, name);
  const waiting = (cell && readers.get(cell)) ?? [];
  const role = instance.member(name);
  const kind = role?.role === 'child' ? kindOfRole(role) : role ? undefined : owner.scope.kindNamed(name);
  return counted([...waiting.map(({ rule }) => rule), ...(kind ? rulesOn(kind, scope) : [])]);
}

function counted(rules: readonly Rule[]): Pick<NotSaid, 'waiting' | 'safety'> {
  return { waiting: rules.length, safety: rules.filter(({ caution }) => caution).length };
}

// ---- defaults that only stand in ----

/** Defaults that only stand in for what is not said, and that rules rest on. */
function assumed(machine: Machine, judged: readonly Unjudged[]): NotSaid[] {
  const { tree, entry, engine } = machine;
  const standing = tree.all().flatMap((instance) =>
    instance.kind.asked.flatMap(({ name, question }) => {
      const cell = cellOf(instance, name);
      return cell?.definition.origin === 'default' && !instance.open ? [{ cell, question }] : [];
    }),
  );
  if (standing.length === 0) return [];
  const rules = new Map(judged.map(({ cell, rule }) => [cell, rule]));
  return standing.flatMap(({ cell, question }): NotSaid[] => {
    const { instance, name } = cell;
    const resting = [...computedFrom(cell)].flatMap((each) =>
      rules.has(each) && isDecided(each, engine) ? (rules.get(each) ?? []) : [],
    );
    if (resting.length === 0) return [];
    const [taken, place] = [showCell(cell, machine), markForValue(cell, entry)];
    return [{ instance, name, question: contentOf(question), ...counted(resting), undecided: [], taken, place }];
  });
}

function isDecided(cell: Cell, engine: Engine): boolean {
  return engine.corners(cell).values.some((value) => typeof value === 'boolean' || value === notApplicable);
}

/** All that was computed from a cell, however far, itself included. */
function computedFrom(cell: Cell): ReadonlySet<Cell> {
  const found = new Set([cell]);
  for (const at of found) {
    for (const reader of at.readers ?? []) {
      const reads = reader.results.some(({ deps, verified }) => verified >= reader.touched && deps.includes(at));
      if (reads) found.add(reader);
    }
  }
  return found;
}

// ---- values that rules need ----

function values(machine: Machine, unjudged: readonly Unjudged[]): NotSaid[] {
  const { engine, entry } = machine;
  const waiting = new Map<Instance, Map<string, Unjudged[]>>();
  for (const each of unjudged) {
    for (const { instance: at, name } of missingIn(engine.corners(each.cell).values)) {
      const names = waiting.get(at) ?? new Map<string, Unjudged[]>();
      waiting.set(at, names.set(name, [...(names.get(name) ?? []), each]));
    }
  }
  return [...waiting].flatMap(([instance, names]) =>
    [...names].map(([name, undecided]): NotSaid => {
      const cell = cellOf(instance, name);
      const place = cell ? markForValue(cell, entry) : markForBlock(instance, entry);
      const waiting = counted(undecided.map(({ rule }) => rule));
      return { instance, name, question: questionFor(instance, name), ...waiting, undecided, place };
    }),
  );
}

/** Everything that is not given and keeps one of these from being known, each once. */
function missingIn(list: readonly unknown[]): Missing[] {
  const all = list.flatMap((value) => (value instanceof Unknown ? value.missing : [])).filter((m) => !m.unreadable);
  return all.filter((m, i) => all.findIndex((n) => n.instance === m.instance && n.name === m.name) === i);
}

/** The question for a value: what its documentation says it is; for one that its kind expects, the kind's own. */
function questionFor({ kind }: Instance, name: string): string {
  const own = kind.expectations.find(({ condition }) => namesIn(condition).includes(name));
  if (own) return contentOf(own.question);
  const member = kind.members.get(name);
  const doc = member && (docOf(member.node) || (kindOfRole(member)?.documentation ?? ''));
  const first = /^[^.:]*/.exec(doc ?? '')?.[0] ?? '';
  return `${asked(first) || name.replaceAll('_', ' ')}?`;
}

/** What is said as `how high it is`, asked: `how high is it`. What is said otherwise stays as it is. */
function asked(said: string): string {
  return said.replace(
    /^(How [a-z]+(?: and how [a-z]+)*|What|Where|When) (it|they|(?:the|its) [a-z]+) (is|are|was|were|can|may|must)\b/,
    '$1 $3 $2',
  );
}
