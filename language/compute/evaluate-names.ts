import type { Reference } from '../grammar/generated/ast.ts';
import type { Instance } from '../machine/tree.ts';
import { declaredName, type Scope } from '../names/scope.ts';
import { anyType, type Type } from '../names/type.ts';
import { type Ambiguous, type Binding, bind } from '../types/bind.ts';
import { expectedAt, kindsOfText } from '../types/situation.ts';
import { Unknown, type Value } from '../values/value.ts';
import { blocksOf, type Cell, cellOf } from './cell.ts';
import { declared, sizeValues } from './evaluate-declared.ts';
import { type Code, type EvaluateExpression, type Frame, ofDeclared } from './frame.ts';

/** The value of what a name means. */
export function reference(node: Reference, evaluate: EvaluateExpression): Code {
  const binding = bindingOf(node, false);
  return (frame) => meant(binding(frame), frame, evaluate);
}

interface Bound {
  readonly scope: Scope;
  readonly version: number;
  readonly isLocal: boolean;
  readonly binding: Binding | undefined;
}

/** Tells what a name means. In a kind's text that is the same for all blocks of the kind, and kept. */
export function bindingOf(node: Reference, called: boolean): (frame: Frame) => Binding | undefined {
  const name = node.name?.text ?? '';
  let known: Bound | undefined;
  return (frame) => {
    if (frame.mode === 'block') return boundInBlock(node, frame, called);
    const { scope, locals, steps } = frame;
    const isLocal = (locals?.has(name) || steps?.has(name)) ?? false;
    if (known?.scope !== scope || known.version !== scope.version || known.isLocal !== isLocal)
      known = { scope, version: scope.version, isLocal, binding: boundInKind(node, frame, called) };
    return known.binding;
  };
}

function boundInKind(node: Reference, frame: Frame, called: boolean): Binding | undefined {
  const { scope } = frame;
  const name = node.name?.text ?? '';
  const expected = scope.isChoiceWord(name) ? expectedAt(node, scope) : undefined;
  const viewpoint = { scope, mode: 'kind', ...kindsOfText(node, scope), locals: localsOf(name, frame) } as const;
  return certain(bind(name, viewpoint, { expected, called }));
}

function boundInBlock(node: Reference, frame: Frame, called: boolean): Binding | undefined {
  const { engine, scope, self } = frame;
  const name = node.name?.text ?? '';
  // What asks is asked again when blocks come or go.
  const visit = (instance: Instance) => engine.value(blocksOf(instance));
  const viewpoint = { scope, mode: frame.mode, kind: self.kind, instance: self, locals: localsOf(name, frame), visit };
  const expected = scope.isChoiceWord(name) ? expectedAt(node, scope, self) : undefined;
  return certain(bind(name, viewpoint, { expected, called }));
}

/** The name, where an argument, a step or what a question goes through has it. */
function localsOf(name: string, { locals, steps }: Frame): ReadonlyMap<string, Type> | undefined {
  return locals?.has(name) || steps?.has(name) ? new Map([[name, anyType]]) : undefined;
}

/** What could mean two things was reported, and means neither. */
function certain(binding: Binding | Ambiguous | undefined): Binding | undefined {
  return binding?.is === 'ambiguous' ? undefined : binding;
}

function meant(binding: Binding | undefined, frame: Frame, evaluate: EvaluateExpression): Value {
  const { self, engine } = frame;
  switch (binding?.is) {
    case 'local':
      return frame.locals?.get(binding.name) ?? frame.steps?.get(binding.name) ?? new Unknown([]);
    case 'choice':
      return binding.word;
    case 'self':
      return self;
    case 'holder':
      return self.holder ?? new Unknown([]);
    case 'member':
      return memberValue(binding, frame);
    case 'block':
      return binding.instance;
    case 'size': {
      const { declaration, index, scope } = binding.size;
      return sizeValues(declaration, ofDeclared(frame, scope), evaluate)[index] ?? new Unknown([]);
    }
    case 'declared':
      engine.lookedUp(declaredName(binding.node) ?? '', frame.scope, binding.node);
      return declared(binding.node, binding.scope, frame, evaluate);
    case 'word':
      return builtinMember(self, binding.word) ?? new Unknown([]);
    default:
      return new Unknown([]);
  }
}

function memberValue(binding: MemberBinding, frame: Frame): Value {
  const holder = holderOf(binding, frame);
  const value = holder && own(holder, binding.member.name, frame);
  // Shared by some kind, but by nothing that holds this block: left out, as where a machine stands on no site.
  return value ?? new Unknown([], true);
}

export type MemberBinding = Extract<Binding, { is: 'member' }>;

/** The block that has what a name leads to: in the text of a machine the binding says which, in a kind's it is found from the block. */
export function holderOf({ instance, from, member }: MemberBinding, { self }: Frame): Instance | undefined {
  if (instance) return instance;
  if (from === 'own') return self;
  if (from === 'around') return self.holder;
  // A function sees what the block shares that calls it.
  for (let at: Instance | undefined = self; at; at = at.around) if (at.member(member.name)?.shared) return at;
  return undefined;
}

/** Whose text asks: a machine's or a part's goes by the names of blocks first, a kind's by roles alone. */
type Asking = Pick<Frame, 'engine' | 'mode'>;

/** A value or a block of the instance itself. */
export function own(instance: Instance, name: string, asking: Asking): Value | undefined {
  const member = instance.member(name);
  if (member && member.role !== 'child') return asking.engine.value(cellOf(instance, name) as Cell);
  const block = blockIn(instance, name, asking);
  if (block || !member) return block;
  if (member.occurs === 'many' && !instance.open) return instance.filling(member);
  return new Unknown([{ instance, name }], !instance.open);
}

/** A block directly in another, or what stands in place of one whose kind is not known. What asks is asked again when blocks come or go. */
function blockIn(instance: Instance, name: string, { engine, mode }: Asking): Value | undefined {
  engine.value(blocksOf(instance));
  const block = mode === 'kind' ? instance.inRole(name) : instance.called(name);
  return block ?? (instance.broken.has(name) ? new Unknown([]) : undefined);
}

/** What every block has: its name, how many it stands for, the part that it starts from. */
export function builtinMember(instance: Instance, name: string): Value | undefined {
  if (name === 'name') return instance.label;
  if (name === 'count') return instance.count;
  if (name === 'part') return instance.part?.name?.text ?? new Unknown([], true);
  return undefined;
}
