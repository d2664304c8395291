import { type Cell, type Conditions, cellsOf, computedCell, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import { leastMargin, marginOf, verdictAsNumber } from '../compute/margin.ts';
import { renderMessage } from '../compute/message.ts';
import type {
  Acceptance,
  Declaration,
  Expression,
  Follows,
  Member as MemberNode,
  Remedy,
  Text,
} from '../grammar/generated/ast.ts';
import type { Instance } from '../machine/tree.ts';
import type { Severity } from '../mistakes/mistake.ts';
import type { Kind } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import type { Context } from '../types/context.ts';
import { clausesOf } from '../units/units.ts';
import { junction } from '../values/operators.ts';
import { Fault, isMissing, type Value } from '../values/value.ts';

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
    // Rules on other kinds are left out by their first line, without reading their text.
    const own = scope.own.rules.filter(({ on }) => on && kind.isA(scope.kindNamed(on.text)));
    rules = own.flatMap((node) => ownRule(node, scope) ?? []);
    byKind.set(kind, rules);
  }
  return rules;
}

/** All that a scope declares itself, on whichever kind. */
export function ownRules(scope: Scope): readonly Rule[] {
  return scope.once('own rules', () => scope.own.rules.flatMap((node) => ownRule(node, scope) ?? []));
}

function ownRule(node: Declaration, scope: Scope): Rule | undefined {
  return scope.once(node, () => readRule(node, scope));
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
  let cell = cellsOf(instance).values.get(rule.key);
  if (!cell) {
    cell = computedCell(instance, rule.key, rule.scope, (engine) => verdict(rule, frameOf(rule, instance, engine)));
    cell.measure = () => marginCell(rule, instance);
    cell.conditions = (engine) => conditionsOf(rule, frameOf(rule, instance, engine));
    cellsOf(instance).values.set(rule.key, cell);
  }
  return cell;
}

function conditionsOf({ when, holds }: Rule, frame: Frame): Conditions {
  return { when, holds, evaluate: (node) => evaluate(node, frame), showsMargin: false };
}

/** The cell of how far a rule's verdict on an instance is from failing. */
function marginCell(rule: Rule, instance: Instance): Cell {
  const key = `margin of ${rule.key}`;
  let cell = cellsOf(instance).values.get(key);
  if (!cell) {
    cell = computedCell(instance, key, rule.scope, (engine) => {
      const frame = frameOf(rule, instance, engine);
      const margin = () => leastMargin(rule.holds.map((part) => marginOf(part, frame, contextOf(rule))));
      return verdictAsNumber(engine.value(verdictCell(rule, instance)), margin);
    });
    cellsOf(instance).values.set(key, cell);
  }
  return cell;
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

/** The acceptances of a rule that an instance's texts state, the most specific first. */
export function acceptancesOf(instance: Instance): { node: Acceptance; scope: Scope }[] {
  return instance.layers.flatMap((layer) =>
    (layer.body?.members ?? []).flatMap((node) =>
      node.$type === 'Acceptance' && node.rule ? [{ node, scope: layer.scope }] : [],
    ),
  );
}
