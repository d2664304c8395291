import type { Expression } from '../grammar/generated/ast.ts';
import type { Instance, Mode } from '../machine/tree.ts';
import type { Scope } from '../names/scope.ts';
import type { Value } from '../values/value.ts';
import type { Engine } from './cell.ts';

/** What an expression is computed in: the instance whose text it is, and the names bound around it. */
export interface Frame {
  readonly engine: Engine;
  readonly self: Instance;
  readonly scope: Scope;
  readonly mode: Mode;
  readonly locals?: ReadonlyMap<string, Value>;
  /** The steps of the formula that is computed. */
  readonly steps?: Steps;
}

/** The steps of a formula, each computed when it is first asked for. */
export interface Steps {
  has(name: string): boolean;
  get(name: string): Value | undefined;
}

/** Values of a question over a list or over the tree, each with how often it counts. */
export interface Counted {
  readonly item: Value;
  readonly value: Value;
  readonly weight: number;
  /** Which of its list or question it is, counted from 1. */
  readonly position?: number;
  /** Whether its condition cannot be told, or which one it is, so that it may not belong here. */
  readonly isUnsure?: boolean;
}

/** Computes an expression; handed to what an expression may lead to, so that nothing leads back to `evaluate.ts`. */
export type EvaluateExpression = (node: Expression | undefined, frame: Frame) => Value;
