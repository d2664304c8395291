import type { Expression } from '../grammar/generated/ast.ts';
import type { Instance, Mode } from '../machine/tree.ts';
import type { Scope } from '../names/scope.ts';
import { Unknown, type Value } from '../values/value.ts';
import type { Engine } from './cell.ts';

/** What an expression is computed in: the instance whose text it is, and the names bound around it. */
export interface Frame {
  readonly engine: Engine;
  readonly self: Instance;
  readonly scope: Scope;
  readonly mode: Mode;
  readonly locals?: Locals;
  /** The steps of the formula that is computed. */
  readonly steps?: Steps;
}

/** The steps of a formula, each computed when it is first asked for. */
export interface Steps {
  has(name: string): boolean;
  get(name: string): Value | undefined;
}

/** Arguments, or what a question goes through, by their names; around them those of what stands around. */
export class Locals {
  readonly #names: readonly string[];
  readonly #values: readonly Value[];
  readonly #around: Locals | undefined;
  constructor(names: readonly string[], values: readonly Value[], around?: Locals) {
    this.#names = names;
    this.#values = values;
    this.#around = around;
  }

  /** The value of a name; unknown where an argument was left out, and undefined where nothing goes by it. */
  get(name: string): Value | undefined {
    // Where two have the same name the inner, later one counts. There are a few at most, so that a loop is fast enough.
    for (let i = this.#names.length - 1; i >= 0; i--)
      if (this.#names[i] === name) return this.#values[i] ?? new Unknown([]);
    return this.#around?.get(name);
  }

  has(name: string): boolean {
    return this.#names.includes(name) || (this.#around?.has(name) ?? false);
  }

  /** Is a number among them? */
  hasNumber(): boolean {
    for (const value of this.#values) if (typeof value === 'number') return true;
    return this.#around?.hasNumber() ?? false;
  }
}

/** A frame with other names bound. Written out, as a copy with a field replaced has a shape of its own each time, which makes it slow to read. */
export function withLocals({ engine, self, scope, mode, steps }: Frame, locals: Locals | undefined): Frame {
  return { engine, self, scope, mode, locals, steps };
}

/** The frame of what a file declares for all: nothing around it is bound. */
export function ofDeclared({ engine, self }: Frame, scope: Scope): Frame {
  return { engine, self, scope, mode: 'kind', locals: undefined, steps: undefined };
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

/** An expression made ready to be computed, in whatever frame. */
export type Code = (frame: Frame) => Value;

/** What a construct makes ready and computes the expressions in it with; handed to each for the same reason. */
export interface Evaluation {
  readonly codeOf: (node: Expression | undefined) => Code;
  readonly evaluate: EvaluateExpression;
}

/** What arguments come to. */
export function valuesOf(codes: readonly Code[], frame: Frame): Value[] {
  const values: Value[] = [];
  for (const code of codes) values.push(code(frame));
  return values;
}
