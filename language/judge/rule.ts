import { type Cell, computedCell, type Engine } from '../compute/cell.ts';
import { evaluate, type Frame } from '../compute/evaluate.ts';
import { renderMessage } from '../compute/message.ts';
import type {
  Acceptance,
  Binary,
  Declaration,
  Expression,
  Follows,
  Member as MemberNode,
  Remedy,
  Text,
} from '../grammar/generated/ast.ts';
import type { Instance } from '../machine/tree.ts';
import type { Kind } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import type { Severity } from '../types/problem.ts';
import { clausesOf } from '../units/units.ts';
import { junction } from '../values/operators.ts';
import { Bounds, Fault, isMissing, Money, type Value } from '../values/value.ts';

/** A rule as declared. */
export interface Rule {
  readonly name: string;
  /** What its verdict goes by among an instance's cells. */
  readonly key: string;
  readonly node: Declaration;
  readonly scope: Scope;
  readonly kind: Kind;
  readonly severity: Exclude<Severity, 'note'>;
  readonly message: Text;
  readonly caution: Text | undefined;
  readonly when: readonly Expression[];
  readonly holds: readonly Expression[];
  readonly at: readonly Expression[];
  readonly remedies: readonly Remedy[];
  readonly follows: readonly Follows[];
}

/** The verdict where a rule's guard says that it does not apply. */
export const notApplicable = 'not applicable';

function readRule(node: Declaration, scope: Scope): Rule | undefined {
  const kind = node.on && scope.kindNamed(node.on.text);
  const members = node.body?.members ?? [];
  const message = members.find((m) => m.$type === 'Message');
  const clauses = (keyword: string) => clausesOf(node, keyword).flatMap((clause) => clause.values);
  const holds = clauses('holds');
  if (!kind || message?.$type !== 'Message' || !message.text || holds.length === 0 || !node.name) return undefined;
  const caution = clauses('caution')[0];
  const of = <T extends MemberNode['$type']>(type: T) =>
    members.filter((m): m is Extract<MemberNode, { $type: T }> => m.$type === type);
  return {
    name: node.name.text,
    key: `rule ${node.name.text}`,
    node,
    scope,
    kind,
    severity: message.severity,
    message: message.text,
    caution: caution?.$type === 'Text' ? caution : undefined,
    when: clauses('when'),
    holds,
    at: clauses('at'),
    remedies: of('Remedy'),
    follows: of('Follows'),
  };
}

/** The rules that apply to blocks of a kind, of all that the scope sees, in the order they are declared. */
export function rulesOn(kind: Kind, scope: Scope): readonly Rule[] {
  return scope.once(kind, () => scope.visible().flatMap((seen) => ownRulesOn(kind, seen)));
}

/** Those declared in the scope itself: the library's are found once, whatever is edited. */
function ownRulesOn(kind: Kind, scope: Scope): readonly Rule[] {
  const byKind = scope.once('rules by kind', () => new WeakMap<Kind, readonly Rule[]>());
  let rules = byKind.get(kind);
  if (!rules) {
    // Those on other kinds are not even read.
    const own = scope.own.rules.filter(({ on }) => on && kind.isA(scope.kindNamed(on.text)));
    rules = own.flatMap((node) => scope.once(node, () => readRule(node, scope)) ?? []);
    byKind.set(kind, rules);
  }
  return rules;
}

export function ruleNamed(name: string, scope: Scope): Rule | undefined {
  const found = scope.rules().find((rule) => rule.node.name?.text === name);
  return found && readRule(found.node, found.scope);
}

export function frameOf(rule: Rule, instance: Instance, engine: Engine): Frame {
  return { engine, self: instance, scope: rule.scope, mode: 'kind' };
}

/** A context for the types of a rule's expressions; what is wrong with them was reported where the rule is declared. */
export function contextOf(rule: Rule): Context {
  return { scope: rule.scope, mode: 'kind', kind: rule.kind, report: () => {} };
}

/** What a rule cautions against on an instance, with the values in it; undefined where people's safety is not at stake. */
export function cautionOf(rule: Rule, instance: Instance, engine: Engine): string | undefined {
  const { caution } = rule;
  return caution && engine.aside(() => renderMessage(caution, frameOf(rule, instance, engine), contextOf(rule)));
}

/** The cell of a rule's verdict on an instance: yes, no, `notApplicable`, or what keeps it from being decided. */
export function verdictCell(rule: Rule, instance: Instance): Cell {
  let cell = instance.cells.get(rule.key);
  if (!cell) {
    cell = computedCell(instance, rule.key, rule.scope, (engine) => verdict(rule, frameOf(rule, instance, engine)));
    cell.measure = () => marginCell(rule, instance);
    instance.cells.set(rule.key, cell);
  }
  return cell;
}

/** The cell of how far a rule's verdict on an instance is from failing. */
function marginCell(rule: Rule, instance: Instance): Cell {
  const key = `margin of ${rule.key}`;
  let cell = instance.cells.get(key);
  if (!cell) {
    cell = computedCell(instance, key, rule.scope, (engine) => {
      const frame = frameOf(rule, instance, engine);
      const margin = () => least(rule.holds.map((part) => marginOf(part, frame, contextOf(rule))));
      return ranked(engine.value(verdictCell(rule, instance)), margin);
    });
    instance.cells.set(key, cell);
  }
  return cell;
}

/** A verdict as a number, the least the worst: below zero where it fails, zero where it is not known, above where it holds. */
export function ranked(verdict: Value, margin: () => Margin | undefined): number {
  if (typeof verdict !== 'boolean') return isMissing(verdict) ? 0 : Number.MAX_VALUE;
  const by = margin();
  const amount = by ? rankOf(by) : verdict ? 1 : -1;
  return verdict ? Math.max(amount, Number.MIN_VALUE) : Math.min(amount, -Number.MIN_VALUE);
}

function verdict(rule: Rule, frame: Frame): Value {
  for (const guard of rule.when) {
    const applies = evaluate(guard, frame);
    if (applies === false) return notApplicable;
    if (applies !== true) return isMissing(applies) ? applies : new Fault('this guard is neither yes nor no', guard);
  }
  return rule.holds.reduce<Value>(
    (so, part) =>
      junction(
        'and',
        () => so,
        () => evaluate(part, frame),
      ),
    true,
  );
}

/** How far a comparison is from failing. Negative where it fails. */
export interface Margin {
  /** (limit - value) / limit; for points of temperature the difference in kelvin. */
  readonly amount: number;
  readonly inKelvin: boolean;
  /** What is compared, and with what. */
  readonly value: Expression;
  readonly limit: Expression;
  readonly operator: '<' | '<=' | '>' | '>=';
}

/** The least margin of a condition's comparisons; undefined where it compares nothing that is known. */
export function marginOf(node: Expression | undefined, frame: Frame, ctx: Context): Margin | undefined {
  if (node?.$type === 'Group') return marginOf(node.inner, frame, ctx);
  if (node?.$type !== 'Binary') return undefined;
  if (node.operator === 'and') return least([marginOf(node.left, frame, ctx), marginOf(node.right, frame, ctx)]);
  if (node.operator === 'or') return greatest([marginOf(node.left, frame, ctx), marginOf(node.right, frame, ctx)]);
  return isOrder(node.operator) ? comparison(node, node.operator, frame, ctx) : undefined;
}

function isOrder(operator: string): operator is Margin['operator'] {
  return operator === '<' || operator === '<=' || operator === '>' || operator === '>=';
}

function comparison(node: Binary, operator: Margin['operator'], frame: Frame, ctx: Context): Margin | undefined {
  const upper = operator === '<' || operator === '<=';
  const [value, limit] = [amountOf(evaluate(node.left, frame), upper), amountOf(evaluate(node.right, frame), !upper)];
  if (value === undefined || limit === undefined) return undefined;
  const type = infer(node.right, ctx);
  const inKelvin = type.is === 'quantity' && (type.points ?? false);
  const gap = upper ? limit - value : value - limit;
  const scale = inKelvin ? 1 : Math.abs(limit) || Math.abs(value) || 1;
  return { amount: gap / scale, inKelvin, value: node.left, limit: node.right, operator };
}

function amountOf(value: Value, high: boolean): number | undefined {
  if (typeof value === 'number') return value;
  if (value instanceof Money) return value.amount;
  return value instanceof Bounds ? (high ? value.high : value.low) : undefined;
}

/** Kelvins and ratios are ranked beside each other as if 100 K were the whole. */
export function rankOf(margin: Margin): number {
  return margin.inKelvin ? margin.amount / 100 : margin.amount;
}

export function least(margins: readonly (Margin | undefined)[]): Margin | undefined {
  return margins.reduce((a, b) => (a && b ? (rankOf(b) < rankOf(a) ? b : a) : (a ?? b)), undefined);
}

function greatest(margins: readonly (Margin | undefined)[]): Margin | undefined {
  return margins.reduce((a, b) => (a && b ? (rankOf(b) > rankOf(a) ? b : a) : (a ?? b)), undefined);
}

/** The acceptances of a rule that an instance's texts state, the most specific first. */
export function acceptancesOf(instance: Instance): { node: Acceptance; scope: Scope }[] {
  return instance.layers.flatMap((layer) =>
    (layer.body?.members ?? []).flatMap((node) =>
      node.$type === 'Acceptance' && node.rule ? [{ node, scope: layer.scope }] : [],
    ),
  );
}
