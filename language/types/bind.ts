import type { Access, Call, Expression, Reference } from '../grammar/generated/ast.ts';
import type { Instance, Mode } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Declared, NamedSize, Scope } from '../names/scope.ts';
import { anyType, bareNumber, signatureOf, type Type, textType, typeOf } from '../names/type.ts';
import { type FunctionName, isFunctionName } from './functions.ts';

/** What can be seen from a place in a text. */
export interface Viewpoint {
  readonly scope: Scope;
  readonly mode: Mode;
  /** The kind whose values the text sees; none for functions, tables and constants. */
  readonly kind: Kind | undefined;
  /** For a slot's own block in a kind: the kind around it, whose values it sees too. */
  readonly around?: Kind;
  /** The block that the text of a machine or a part stands in. */
  readonly instance?: Instance;
  /** Arguments, and the names that questions give to what they go through. */
  readonly locals?: ReadonlyMap<string, Type>;
  /** Hears of each block whose inner blocks are looked through, found or not. */
  readonly visit?: (instance: Instance) => void;
}

/** What a name means in a place. */
export type Binding =
  /** A word that is expected there, such as `ac` where `one of ac, dc` is. */
  | { readonly is: 'choice'; readonly word: string; readonly type: Type }
  /** An argument, or what a question calls each of what it goes through. */
  | { readonly is: 'local'; readonly name: string; readonly type: Type }
  /** The block itself, or what holds it. */
  | { readonly is: 'self' | 'holder'; readonly type: Type }
  /** A value or a block as a kind declares it: the block's own, that of the kind around a slot's block, or shared by what holds it. */
  | {
      readonly is: 'member';
      readonly from: 'own' | 'around' | 'shared';
      readonly member: Member;
      /** The block that has it, where the text stands in one. */
      readonly instance?: Instance;
      readonly type: Type;
    }
  /** A block of the machine, by its name. */
  | { readonly is: 'block'; readonly instance: Instance; readonly type: Type }
  /** A block whose kind is not known: told where it stands. */
  | { readonly is: 'broken'; readonly type: Type }
  | { readonly is: 'function'; readonly name: FunctionName; readonly type: Type }
  | { readonly is: 'size'; readonly size: NamedSize & { readonly scope: Scope }; readonly type: Type }
  | { readonly is: 'declared'; readonly node: Declared; readonly scope: Scope; readonly type: Type }
  /** What every block has. */
  | { readonly is: 'word'; readonly word: 'name' | 'count' | 'part'; readonly type: Type };

/** A name that could mean two things, and so means neither. */
export interface Ambiguous {
  readonly is: 'ambiguous';
  readonly one: Binding;
  readonly other: Binding;
}

/**
 * What a name means: the only place where that is decided. Checks, evaluation, messages, completion, hover, definition,
 * references and rename ask it. The order is the language page's: arguments, the names of questions and steps; a word that is
 * expected there; the block itself and what holds it; its own values and blocks; those of the kind around a slot's block; what the
 * blocks around share and, in a machine's text, their blocks, nearest first; standard sizes; declarations; words that every
 * block has. For what is called, the language's own functions come before what is around. Undefined where nothing goes by
 * the name.
 */
export function bind(
  name: string,
  viewpoint: Viewpoint,
  { expected, called = false }: { expected?: Type; called?: boolean } = {},
): Binding | Ambiguous | undefined {
  const local = viewpoint.locals?.get(name);
  if (local) return { is: 'local', name, type: local };
  const choice = elementOf(expected);
  if (choice?.is === 'choice' && choice.options.includes(name)) return { is: 'choice', word: name, type: choice };
  if (name === 'self') return { is: 'self', type: { is: 'instance', kind: viewpoint.kind } };
  if (name === 'holder') return { is: 'holder', type: holderType(viewpoint) };
  return (
    ownBinding(name, viewpoint) ??
    (called && isFunctionName(name) ? { is: 'function', name, type: anyType } : undefined) ??
    aroundBinding(name, viewpoint) ??
    declaredBinding(name, viewpoint.scope) ??
    wordBinding(name)
  );
}

function elementOf(type: Type | undefined): Type | undefined {
  return type?.is === 'list' ? type.of : type;
}

function holderType({ instance, around }: Viewpoint): Type {
  const kind = instance?.holder?.kind ?? around;
  return kind ? { is: 'instance', kind } : anyType;
}

/** The type of a member as an expression sees it. */
function memberType(member: Member): Type {
  if (member.parameters.length === 0) return member.occurs === 'many' ? { is: 'list', of: member.type } : member.type;
  return { is: 'formula', parameters: member.parameters.map((p) => p.type), result: member.type };
}

function memberBinding(member: Member, from: 'own' | 'around' | 'shared', instance?: Instance): Binding {
  return { is: 'member', from, member, instance, type: memberType(member) };
}

function blockBinding(instance: Instance): Binding {
  return { is: 'block', instance, type: { is: 'instance', kind: instance.kind } };
}

const broken: Binding = { is: 'broken', type: anyType };

/** A block directly in another, by its name or by the role that it fills. */
function blockIn(name: string, holder: Instance, viewpoint: Viewpoint): Binding | undefined {
  viewpoint.visit?.(holder);
  const child = holder.called(name);
  if (child) return blockBinding(child);
  return holder.broken.has(name) ? broken : undefined;
}

function ownBinding(name: string, viewpoint: Viewpoint): Binding | Ambiguous | undefined {
  const { kind, around, instance, mode } = viewpoint;
  const member = kind?.members.get(name);
  const inText = mode === 'block' ? instance : undefined;
  const block = inText && blockIn(name, inText, viewpoint);
  if (member) {
    if (!block) return memberBinding(member, 'own', inText);
    return member.role === 'child'
      ? block
      : { is: 'ambiguous', one: memberBinding(member, 'own', inText), other: block };
  }
  if (block) return block;
  const outer = around?.members.get(name);
  return outer && memberBinding(outer, 'around');
}

/** What the blocks around share, and their blocks by name; for a kind's text, what any kind shares. */
function aroundBinding(name: string, viewpoint: Viewpoint): Binding | Ambiguous | undefined {
  const { instance, mode, scope } = viewpoint;
  if (mode === 'kind' || !instance) return sharedBinding(name, scope);
  for (let holder = instance.around; holder; holder = holder.around) {
    const member = holder.member(name);
    const shared = member?.shared ? memberBinding(member, 'shared', holder) : undefined;
    const block = blockIn(name, holder, viewpoint);
    if (shared && block && member?.role !== 'child') return { is: 'ambiguous', one: shared, other: block };
    if (block) return block;
    if (shared) return shared;
  }
  // A part sees what any machine shares that it may come to stand in; a machine only what is there.
  return instance.root.kind.toplevel ? undefined : sharedBinding(name, scope);
}

function sharedBinding(name: string, scope: Scope): Binding | undefined {
  const member = sharedMember(name, scope);
  return member && memberBinding(member, 'shared');
}

/** What some kind shares under that name. */
function sharedMember(name: string, scope: Scope): Member | undefined {
  for (const visible of scope.visible()) {
    const found = visible.sharedMember(name);
    if (found) return found;
  }
  return undefined;
}

/** What a file declares under that name: a standard size, a part, a machine, a function, a constant, a table. */
function declaredBinding(name: string, scope: Scope): Binding | undefined {
  const size = scope.sizeNamed(name);
  if (size) return { is: 'size', size, type: typeOf(size.declaration.type, size.scope) };
  const found = scope.find(name);
  const type = found && declaredType(found.node, found.scope);
  return found && type && { is: 'declared', node: found.node, scope: found.scope, type };
}

function declaredType(node: Declared, scope: Scope): Type | undefined {
  if (node.$type === 'Entry') return { is: 'instance', kind: scope.kindNamed(node.first?.text ?? '') };
  if (node.what === 'part') return { is: 'instance', kind: partKind(node.name?.text ?? '', scope) };
  if (node.what === 'constant') return typeOf(node.type, scope);
  if (node.what !== 'function' && node.what !== 'table' && node.what !== 'numeric') return undefined;
  const { parameters, result } = scope.once(`signature ${node.name?.text}`, () => signatureOf(node, scope));
  return { is: 'formula', parameters: parameters.map((p) => p.type), result };
}

/** The kind a part starts from, through other parts. */
export function partKind(name: string, scope: Scope): Kind | undefined {
  let at: { name: string; scope: Scope } = { name, scope };
  for (let steps = 0; steps < 40; steps++) {
    const found = at.scope.find(at.name);
    if (!found) return at.scope.kindNamed(at.name);
    const { node } = found;
    if (node.$type === 'Entry') return found.scope.kindNamed(node.first?.text ?? '');
    if (node.what !== 'part' || !node.base) return undefined;
    at = { name: node.base.text, scope: found.scope };
  }
  return undefined;
}

function wordBinding(name: string): Binding | undefined {
  if (name === 'name' || name === 'part') return { is: 'word', word: name, type: textType };
  return name === 'count' ? { is: 'word', word: name, type: bareNumber } : undefined;
}

/** What a name after a dot means, from the block's kind and, in a machine's text, the block itself. */
export function bindMember(name: string, kind: Kind | undefined, instance?: Instance): Binding | undefined {
  const child = instance?.called(name);
  if (child) return blockBinding(child);
  const member = kind?.members.get(name);
  if (member) return memberBinding(member, 'own', instance);
  return wordBinding(name);
}

/** The block that a path such as `bed.heater` leads to in a machine's text, if it leads to one; a kind's text names roles alone. */
export function blockAt(node: Expression | undefined, viewpoint: Viewpoint): Instance | undefined {
  if (node?.$type === 'Group') return blockAt(node.inner, viewpoint);
  if (node?.$type === 'Reference') {
    const binding = bind(node.name?.text ?? '', viewpoint);
    return binding?.is === 'block' ? binding.instance : undefined;
  }
  if (node?.$type !== 'Access') return undefined;
  return blockAt(node.object, viewpoint)?.called(node.member?.text ?? '');
}

/** Is it what a call calls? */
export function isCallee(node: Reference | Access): boolean {
  const { $container } = node;
  return $container?.$type === 'Call' && ($container as Call).callee === node;
}
