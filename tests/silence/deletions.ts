import { cellOf } from '../../language/compute/cell.ts';
import type { Body, Declaration, Entry, Item } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { dueChecksOf } from '../../language/judge/commissioning.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import { type Rule, rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { settledOf } from '../../language/judge/whatever.ts';
import { type Instance, isBlock } from '../../language/machine/tree.ts';
import type { Assessed, Project, SourceFile } from '../../language/project.ts';

// The deletion test: a statement that is taken away may make the check quieter only with a word of it.

/** What a statement says, and where. */
export interface Looked {
  /** Its first line. */
  readonly text: string;
  /** The kind of the block that it stands in. */
  readonly inside: string;
  /** All that it says of a block which is there without it, by a part or a base; none where the block is its own. */
  readonly adds: readonly Looked[];
}

/** A statement of a machine or a part. */
export interface Statement extends Looked {
  readonly line: number;
  /** What is taken away: its whole lines, where it stands alone on them. */
  readonly start: number;
  readonly end: number;
  /** The value that it gives, in each block that it gives it to. */
  readonly gives: readonly { readonly block: string; readonly name: string }[];
}

/** What the rules say of a rule on a block: that it holds or fails, that it does not apply, or that it cannot be decided. */
type Verdict = 'holds' | 'fails' | 'does not apply' | 'undecided';

interface Judged {
  readonly verdict: Verdict;
  readonly rule: Rule;
}

/** All that is said of some files. */
export interface Said {
  readonly verdicts: ReadonlyMap<string, Judged>;
  /** Mistakes in the text, findings, what is undecided, what is not said yet, and what is to be checked for safety: what people read. */
  readonly told: ReadonlySet<string>;
  /** How grave the gravest finding about people's safety is, 3 for an error. */
  readonly gravest: number;
  readonly blocks: ReadonlyMap<string, Instance>;
}

/** What a statement's absence changes without a word. */
export interface Silent {
  readonly statement: Statement;
  /** Rules that were decided, and what they say now. */
  readonly changed: readonly string[];
}

export interface Outcome {
  readonly tried: number;
  readonly silent: readonly Silent[];
  /** Without these the gravest finding about people's safety is less grave, or one that failed holds by a default. */
  readonly eased: readonly Silent[];
}

/** The statements in the machines and parts of a file, outermost first. */
export function statementsOf(file: SourceFile, trees: readonly Instance[]): Statement[] {
  const blocks = new Map<Body, Instance[]>();
  for (const instance of trees.flatMap((tree) => tree.all())) {
    for (const { body } of instance.layers) if (body) blocks.set(body, [...(blocks.get(body) ?? []), instance]);
  }
  const within = (body: Body | undefined): Statement[] =>
    (body?.members ?? []).flatMap((node) => [
      statement(node, file, blocks),
      ...(node.$type === 'Entry' && isBlock(node) ? within(node.body) : []),
    ]);
  return file.parsed.file.items.flatMap((item) => (hasStatements(item) ? within(item.body) : []));
}

function hasStatements(item: Item): item is Entry | Declaration {
  return item.$type === 'Entry' || (item.$type === 'Declaration' && item.what === 'part');
}

function statement(node: AstNode, file: SourceFile, blocks: ReadonlyMap<Body, readonly Instance[]>): Statement {
  const { text } = file.parsed;
  const { start, end } = rangeOf(node);
  const [lineStart, lineEnd] = [text.lastIndexOf('\n', start - 1) + 1, text.indexOf('\n', end)];
  const isAlone = !text.slice(lineStart, start).trim() && /^\s*(\/\/.*)?$/.test(text.slice(end, lineEnd));
  const entry = node.$type === 'Entry' ? (node as Entry) : undefined;
  const name = entry?.equals ? entry.first.text : undefined;
  const givenTo = name === undefined ? [] : (blocks.get(node.$container as Body) ?? []);
  return {
    line: file.lines.position(start).line + 1,
    ...lookedAt(node, blocks),
    ...(isAlone ? { start: lineStart, end: lineEnd + 1 } : { start, end }),
    gives: givenTo.map(({ path }) => ({ block: path, name: name as string })),
  };
}

/** What a statement says, and all that it says of a block which is there without it. */
function lookedAt(node: AstNode, blocks: ReadonlyMap<Body, readonly Instance[]>): Looked {
  const block = node.$type === 'Entry' && !(node as Entry).base ? (node as Entry) : undefined;
  const instances = block?.body ? (blocks.get(block.body) ?? []) : [];
  const isThere = instances.every(({ layers }) =>
    layers.some((layer) => layer.node !== block && layer.node.$type !== 'Declaration'),
  );
  return {
    text: textOf(node).replace(/\s*\n[\s\S]*/, ' …'),
    inside: blocks.get(node.$container as Body)?.[0]?.kind.name ?? '',
    adds: instances.length > 0 && isThere ? (block?.body?.members ?? []).map((each) => lookedAt(each, blocks)) : [],
  };
}

const graveness = { error: 3, warning: 2, advice: 1, note: 0 };

/** What is said of these files now. */
export function saidOf(project: Project, files: readonly SourceFile[]): Said {
  const verdicts = new Map<string, Judged>();
  const told = new Set<string>();
  const blocks = new Map<string, Instance>();
  let gravest = 0;
  const tell = (finding: Finding) => {
    told.add(`${finding.rule} of ${finding.instance.path}`);
    if (finding.caution) gravest = Math.max(gravest, graveness[finding.severity]);
    for (const consequence of finding.consequences) tell(consequence);
  };
  for (const file of files) {
    for (const { code, message } of project.mistakes(file)) told.add(`${code}: ${message}`);
    for (const machine of project.machines(file)) {
      for (const instance of machine.tree.all()) {
        blocks.set(instance.path, instance);
        for (const rule of rulesOn(instance.kind, machine.scope))
          verdicts.set(`${rule.name} of ${instance.path}`, { verdict: verdictOn(instance, rule, machine), rule });
      }
      for (const finding of machine.assessment.findings) tell(finding);
      for (const { rule, instance } of machine.assessment.undecided) told.add(`undecided ${rule} of ${instance.path}`);
      for (const { check, instance, caution } of dueChecksOf(machine))
        if (caution) told.add(`to be checked: ${check.name} of ${instance.path}`);
      for (const each of machine.assessment.notSaid) told.add(`not said: ${machine.tree.name}.${pathOfNotSaid(each)}`);
    }
  }
  return { verdicts, told, gravest, blocks };
}

function verdictOn(instance: Instance, rule: Rule, { engine }: Assessed): Verdict {
  const cell = verdictCell(rule, instance);
  const settled = settledOf(cell);
  if (settled) return settled.holds ? 'holds' : 'fails';
  const { values } = engine.corners(cell);
  if (values.includes(false)) return 'fails';
  if (values.every((value) => typeof value === 'string')) return 'does not apply';
  return values.every((value) => value === true || typeof value === 'string') ? 'holds' : 'undecided';
}

/** Takes a statement away, and puts it back. */
export function without(statement: Statement, file: SourceFile, files: readonly SourceFile[], project: Project): Said {
  const { text } = file.parsed;
  project.update(file.uri, text.slice(0, statement.start) + text.slice(statement.end));
  const said = saidOf(project, files);
  project.update(file.uri, text);
  return said;
}

/** What is decided otherwise without a statement; empty where that is told, or nothing is. */
export function silenceOf(statement: Statement, before: Said, after: Said): string[] {
  if (isTold(before, after)) return [];
  if (isShownAll(statement, after)) return [];
  return changes(before, after, isDecided).map(([key]) => key);
}

/** Is there a word that was not there before? */
function isTold(before: Said, after: Said): boolean {
  return [...after.told].some((line) => !before.told.has(line));
}

/** Rules about people's safety that failed and do not any more, by a default alone. */
export function easedBy(statement: Statement, before: Said, after: Said): string[] {
  if (isTold(before, after) || !isShownAll(statement, after)) return [];
  const failed = ({ verdict, rule }: Judged) => verdict === 'fails' && rule.caution !== undefined;
  return changes(before, after, failed).flatMap(([line, now]) => (now === 'undecided' ? [] : [line]));
}

function isDecided({ verdict }: Judged): boolean {
  return verdict === 'holds' || verdict === 'fails';
}

function changes(before: Said, after: Said, of: (judged: Judged) => boolean): [string, Verdict][] {
  return [...before.verdicts].flatMap(([key, judged]): [string, Verdict][] => {
    const now = after.verdicts.get(key)?.verdict ?? 'does not apply';
    return of(judged) && now !== judged.verdict ? [[`${key}: ${judged.verdict}, now ${now}`, now]] : [];
  });
}

/** Is there still a value in each block that the statement gave one? A variant may say its own. */
function isShownAll({ gives }: Statement, after: Said): boolean {
  return gives.length > 0 && gives.every((given) => isShown(given, after));
}

/** Is there still a value, which `explain` shows with where it comes from: a default, or what a part or a base says? */
function isShown({ block, name }: Statement['gives'][number], { blocks }: Said): boolean {
  const origin = cellOf(blocks.get(block), name)?.definition.origin;
  return origin !== undefined && origin !== 'missing';
}

/** Takes away each of the statements that `chosen` keeps, alone. */
export function tryAll(
  file: SourceFile,
  files: readonly SourceFile[],
  project: Project,
  chosen: (statements: readonly Statement[]) => readonly Statement[],
): Outcome {
  const trees = files.flatMap((each) => project.machines(each).map(({ tree }) => tree));
  const statements = chosen(statementsOf(file, trees));
  const silent: Silent[] = [];
  const eased: Silent[] = [];
  const before = saidOf(project, files);
  for (const each of statements) {
    const after = without(each, file, files, project);
    const changed = silenceOf(each, before, after);
    if (changed.length > 0) silent.push({ statement: each, changed });
    const lost = easedBy(each, before, after);
    if (lost.length > 0) eased.push({ statement: each, changed: lost });
  }
  return { tried: statements.length, silent, eased };
}
