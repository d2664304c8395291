import type {
  Argument,
  Call,
  Clause,
  Declaration,
  Entry,
  Expression,
  Has,
  ListElement,
  Name,
  Parameter,
  Quantity,
  Step,
  Text,
} from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf, type TextRange } from '../grammar/syntax.ts';
import { clauses } from '../grammar/words.ts';
import type { TextFile } from '../machine/text-file.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import { hasOwnName, type Kind, type Member } from '../names/kind.ts';
import type { Declared, Scope } from '../names/scope.ts';
import { anyType, kindOfListedBlocks, type Type, typeOf } from '../names/type.ts';
import { type Binding, bind, bindMember, blockAt, partKind } from '../types/bind.ts';
import { calledBy } from '../types/calls.ts';
import type { Context } from '../types/context.ts';
import { isFunctionName, languageFunctions } from '../types/functions.ts';
import { inference, typeIn } from '../types/infer.ts';
import { domainType } from '../types/question.ts';
import { memberOf, pathAt, plainTree, type Situation, situationsAlong, type TreeOf } from '../types/situation.ts';
import { stepsOf } from '../types/steps.ts';
import { isUnit, type Unit } from '../units/units.ts';

export type MeaningSort =
  | 'value'
  | 'block'
  | 'declaration'
  | 'kind'
  | 'part'
  | 'rule'
  | 'unit'
  | 'argument'
  | 'local'
  | 'builtin'
  | 'choice'
  | 'size'
  | 'use'
  | 'keyword';

/** What a name in a text means. */
export interface Meaning {
  readonly sort: MeaningSort;
  readonly name: string;
  /** Where it is named, in absolute offsets. */
  readonly range: TextRange;
  /** What tells it from everything else: the node that declares it first, or words for what the language itself has. */
  readonly identity: AstNode | string;
  /** The names in the texts that declare it, the most specific first. */
  readonly declarations: readonly AstNode[];
  /** For a value or a block of a machine or part: which one. */
  readonly instance?: Instance;
  readonly member?: Member;
  readonly kind?: Kind;
  readonly unit?: Unit;
  readonly type?: Type;
  /** For a `use`: the file. */
  readonly uri?: string;
}

export type FoundMeaning = Omit<Meaning, 'range' | 'name'>;

/** What is named at an offset; undefined where nothing is. */
export function symbolAt(file: TextFile, offset: number, treeOf: TreeOf = plainTree): Meaning | undefined {
  return meaningsAt(file, offset, treeOf)[0];
}

/** All that a name says at once: an unnamed block goes by the name of its kind, so that both are meant. */
export function meaningsAt(file: TextFile, offset: number, treeOf: TreeOf = plainTree): Meaning[] {
  const path = pathAt(file, offset);
  const node = path.at(-1);
  if (!node) return [];
  const situations = situationsAlong(path, file.scope, treeOf);
  const range = node.$type === 'Quantity' ? unitRange(node as Quantity) : rangeOf(node);
  if (!range || offset < range.start || offset > range.end) return [];
  const name = file.parsed.text.slice(range.start, range.end);
  const found = readNode(node, path, situations, file).flatMap((f) => (f ? [f, ...roleOf(f)] : []));
  if (found.length > 0) return found.map((f) => ({ ...f, name, range }));
  // A name that leads nowhere is no word of the language.
  return node.$type === 'Name' ? [] : keywordAt(file, offset);
}

/** A block that goes by the name of its role means the role as well. */
function roleOf({ member, instance, identity }: FoundMeaning): FoundMeaning[] {
  const goesByRole = member?.role === 'child' && instance?.name === member.name && identity !== rootMember(member).node;
  const role = goesByRole ? slotOf(member, instance) : undefined;
  return role ? [role] : [];
}

/** A word that belongs to the language. */
function keywordAt({ parsed: { text } }: TextFile, offset: number): Meaning[] {
  const before = /[\p{L}_]*$/u.exec(text.slice(Math.max(0, offset - 40), offset))?.[0] ?? '';
  const after = /^[\p{L}_]*/u.exec(text.slice(offset, offset + 40))?.[0] ?? '';
  const name = before + after || (text[offset] === '?' ? '?' : '');
  const start = offset - before.length;
  const line = text.slice(text.lastIndexOf('\n', start - 1) + 1, start);
  if (!name || /\/\/|^[^"]*"[^"]*$/.test(line)) return [];
  const range = { start, end: start + name.length };
  return [{ sort: 'keyword', name, range, identity: `keyword ${name}`, declarations: [] }];
}

/** Where the unit of a quantity stands. */
export function unitRange(node: Quantity): TextRange | undefined {
  const { start, end } = rangeOf(node);
  return node.unit ? { start: end - node.unit.length, end } : { start, end: start };
}

/** What a name, a unit or a used file means, from the nodes that lead to it and what is seen at each. */
export function readNode(
  node: AstNode,
  path: readonly AstNode[],
  situations: readonly Situation[],
  file: TextFile,
): (FoundMeaning | undefined)[] {
  const parent = path.at(-2);
  const at = situations.at(-1) as Situation;
  if (node.$type === 'Quantity') return [unitNamed((node as Quantity).unit ?? '', file.scope)];
  if (node.$type === 'Text' && parent?.$type === 'Use') return [used(node as Text, file)];
  if (node.$type !== 'Name' || !parent) return [];
  const outer = situations.at(-2) as Situation;
  return readName(node as Name, parent, path, outer.ctx, at, situations);
}

type Named = AstNode & Record<string, unknown>;

function readName(
  node: Name,
  holder: AstNode,
  path: readonly AstNode[],
  ctx: Context,
  at: Situation,
  situations: readonly Situation[],
): (FoundMeaning | undefined)[] {
  const { scope } = ctx;
  const parent = holder as Named;
  const name = node.text;
  switch (parent.$type) {
    case 'Declaration':
      return [declarationName(node, holder as Declaration, scope)];
    case 'Entry':
      return entryName(node, holder as Entry, ctx, at);
    case 'Has':
      return hasName(node, holder as Has, ctx);
    case 'Parameter':
      return [argument(holder as Parameter, path, ctx)];
    case 'Access':
      return [memberAccess(name, parent.object as Expression, ctx)];
    case 'Reference':
      return [referenced(name, path.slice(0, -1), at, situations)];
    case 'Argument':
      return [namedArgument(name, path, situations)];
    case 'Comprehension':
      return [{ sort: 'local', identity: node, declarations: [node], type: localType(path, situations) }];
    case 'ListElement':
      return [{ sort: 'size', identity: node, declarations: [node] }];
    case 'Remedy':
      return [kindNamed(name, scope) ?? declared(name, scope)];
    case 'NamedType':
      return [kindNamed(name, scope) ?? dimensionNamed(name, scope)];
    case 'Every':
      return [kindNamed(name, scope)];
    case 'Acceptance':
    case 'Follows':
      return [declared(name, scope)];
    case 'ChoiceType':
      return [choiceDeclared(node, path, ctx)];
    case 'Absence':
      return [absent(name, ctx)];
    case 'Step':
      return [localStep(node as Name, typeIn((holder as Step).value, at.ctx))];
    default:
      return [];
  }
}

/** What the name that a question gives to each of what it goes through stands for. */
function localType(path: readonly AstNode[], situations: readonly Situation[]): Type | undefined {
  const comprehension = path.at(-2) as Argument['comprehension'];
  const outer = situations.at(-3);
  return comprehension?.domain && outer && domainType(comprehension.domain, outer.ctx, inference);
}

// ---- what a name leads to ----

function kindNamed(name: string, scope: Scope): FoundMeaning | undefined {
  const kind = scope.kindNamed(name);
  return kind && { sort: 'kind', identity: kind.node, declarations: [kind.node.name], kind };
}

function dimensionNamed(name: string, scope: Scope): FoundMeaning | undefined {
  const node = scope.system.dimensions.get(name)?.node;
  return node && { sort: 'declaration', identity: node, declarations: [node.name] };
}

/** A unit as written, prefixes and products resolved. */
function unitNamed(text: string, scope: Scope): FoundMeaning | undefined {
  const unit = scope.system.unit(text);
  if (!isUnit(unit)) return undefined;
  return { sort: 'unit', identity: unit.node ?? `unit ${text}`, declarations: unit.node ? [unit.node.name] : [], unit };
}

function used(node: Text, file: TextFile): FoundMeaning | undefined {
  const use = file.uses.find((u) => u.node.path === node);
  return use && { sort: 'use', identity: `use ${use.uri}`, declarations: [], uri: use.uri };
}

/** Something that a file declares by name, other than a kind. */
function declared(name: string, scope: Scope): FoundMeaning | undefined {
  const found = scope.find(name);
  return found && declaration(found.node, found.scope);
}

function declaration(node: Declared, scope: Scope): FoundMeaning {
  if (node.$type === 'Entry') {
    const kind = scope.kindNamed(node.first?.text ?? '');
    return { sort: 'block', identity: node, declarations: [node.name ?? node.first], kind };
  }
  if (node.what === 'kind') return kindFor(node, scope);
  const sort = node.what === 'part' || node.what === 'rule' || node.what === 'unit' ? node.what : 'declaration';
  const kind = node.what === 'part' ? partKind(node.name?.text ?? '', scope) : undefined;
  return { sort, identity: node, declarations: [node.name ?? node], kind };
}

function kindFor(node: Declaration, scope: Scope): FoundMeaning {
  const kind = scope.kindNamed(node.name?.text ?? '');
  return {
    sort: 'kind',
    identity: node,
    declarations: [node.name ?? node],
    kind: kind?.node === node ? kind : undefined,
  };
}

function declarationName(node: Name, parent: Declaration, scope: Scope): FoundMeaning | undefined {
  if (node === parent.name) {
    const unit = parent.what === 'unit' ? unitNamed(node.text, scope) : undefined;
    return unit ?? declaration(parent, scope);
  }
  if (node === parent.on || parent.what === 'kind') return kindNamed(node.text, scope);
  return startsFrom(node.text, scope);
}

/** What stands after `is`: a part, another machine, or a kind. */
function startsFrom(name: string, scope: Scope): FoundMeaning | undefined {
  return declared(name, scope) ?? kindNamed(name, scope);
}

function entryName(node: Name, entry: Entry, ctx: Context, at: Situation): (FoundMeaning | undefined)[] {
  const { scope, instance, kind } = ctx;
  if (node === entry.base) return [startsFrom(node.text, scope)];
  if (entry.$container.$type === 'SpecFile') {
    const machine = { ...declaration(entry, scope), instance };
    const named = kindNamed(entry.first?.text ?? '', scope);
    return node === entry.name ? [machine] : entry.name ? [named] : [machine, named];
  }
  const member = kind?.members.get(entry.first?.text ?? '');
  if (ctx.mode === 'kind') return node === entry.first ? [valueFound(member ?? at.member)] : [];
  if (!isBlock(entry) || (member && member.role !== 'child' && !entry.body && !entry.name)) {
    return node === entry.first ? [valueFound(member, instance)] : [];
  }
  // Where a block is meant by its kind, the kind is all that is named.
  const block = instance?.meant.has(entry) ? undefined : blockOf(instance?.blockOf(entry));
  if (node === entry.name) return [block];
  return entry.name ? [kindNamed(node.text, scope)] : [block, kindNamed(node.text, scope)];
}

function hasName(node: Name, has: Has, ctx: Context): (FoundMeaning | undefined)[] {
  if (node === has.kind) return [kindNamed(node.text, ctx.scope)];
  const slot = slotOf(ctx.kind?.members.get(node.text));
  return has.kind ? [slot] : [slot, kindNamed(node.text, ctx.scope)];
}

/** The declaration that all others of a value start from: a subkind may declare it anew. */
export function rootMember(member: Member): Member {
  let root = member;
  for (let kind = member.owner.base; kind; kind = kind.base) root = kind.members.get(member.name) ?? root;
  return root;
}

function memberName(member: Member): AstNode {
  return (member.node.$type === 'Has' ? member.node.name : member.node.first) ?? member.node;
}

function memberDeclarations(member: Member): AstNode[] {
  const names = [memberName(member)];
  for (let kind = member.owner.base; kind; kind = kind.base) {
    const other = kind.members.get(member.name);
    if (other && !names.includes(memberName(other))) names.push(memberName(other));
  }
  return names;
}

function valueFound(member: Member | undefined, instance?: Instance): FoundMeaning | undefined {
  if (!member) return undefined;
  if (member.role === 'child') return slotOf(member, instance?.inRole(member.name));
  const identity = rootMember(member).node;
  return { sort: 'value', identity, declarations: memberDeclarations(member), member, instance, type: member.type };
}

function slotOf(member: Member | undefined, instance?: Instance): FoundMeaning | undefined {
  if (!member) return undefined;
  const kind = instance?.kind ?? (member.type.is === 'instance' ? member.type.kind : undefined);
  const names = instance ? blockNames(instance) : [];
  const declarations = [...names, ...memberDeclarations(member)];
  return { sort: 'block', identity: rootMember(member).node, declarations, member, instance, kind };
}

/** The names of the blocks that say something of an instance, the most specific first. */
function blockNames(instance: Instance): AstNode[] {
  return instance.layers.flatMap(({ node }) =>
    node.$type === 'Entry' && node.$container.$type !== 'SpecFile' && blockName(node) === instance.name
      ? [node.name ?? node.first]
      : [],
  );
}

function blockOf(instance: Instance | undefined): FoundMeaning | undefined {
  if (!instance) return undefined;
  if (!instance.holder) {
    const { node } = instance;
    const name = node.$type === 'Has' ? node : (node.name ?? (node.$type === 'Entry' ? node.first : node));
    return {
      sort: node.$type === 'Declaration' ? 'part' : 'block',
      identity: node,
      declarations: [name],
      instance,
      kind: instance.kind,
    };
  }
  const role = instance.fills;
  const names = blockNames(instance);
  const first = names.at(-1);
  if (!first || (role && hasOwnName(role))) return slotOf(role, instance);
  const identity = first.$container ?? first;
  return { sort: 'block', identity, declarations: names, member: role, instance, kind: instance.kind };
}

/** The block that a name in a machine's or a part's text leads to: by its own name, or by the role that it fills. */
function blockMeant(name: string, instance: Instance): FoundMeaning | undefined {
  return instance.name === name || !instance.holder ? blockOf(instance) : slotOf(instance.fills, instance);
}

/** What is said to be not there: a block of what this starts from, a value, a role, or any of a kind. */
function absent(name: string, ctx: Context): FoundMeaning | undefined {
  const { instance } = ctx;
  const named = instance?.member(name);
  const slot = named && hasOwnName(named) ? named : undefined;
  const entries = (instance?.layers ?? []).flatMap((layer) =>
    (layer.body?.members ?? []).filter((m) => m.$type === 'Entry' && isBlock(m) && blockName(m) === name),
  ) as Entry[];
  const names = entries.map((entry) => entry.name ?? entry.first);
  if (slot?.role === 'child') {
    const base = slotOf(slot);
    return base && { ...base, declarations: [...names, ...base.declarations] };
  }
  const first = entries.at(-1);
  if (!first) return named ? (named.role === 'child' ? slotOf(named) : valueFound(named)) : kindNamed(name, ctx.scope);
  return { sort: 'block', identity: first, declarations: names, kind: ctx.scope.kindNamed(first.first?.text ?? '') };
}

function argument(node: Parameter, path: readonly AstNode[], ctx: Context): FoundMeaning {
  const entry = path.at(-3);
  const member = entry?.$type === 'Entry' ? ctx.kind?.members.get((entry as Entry).first?.text ?? '') : undefined;
  return argumentOf(member, node.name?.text ?? '', node);
}

/** An argument of a value is that of the first declaration of the value, where that has one of its name. */
function argumentOf(member: Member | undefined, name: string, node: AstNode, type?: Type): FoundMeaning {
  const root = member && rootMember(member).node;
  const first = root?.$type === 'Entry' ? root.parameters.find((p) => p.name?.text === name) : undefined;
  const parameter = node as Partial<Parameter>;
  return { sort: 'argument', identity: first ?? node, declarations: [parameter.name ?? node], member, type };
}

function namedArgument(
  name: string,
  path: readonly AstNode[],
  situations: readonly Situation[],
): FoundMeaning | undefined {
  const call = path.at(-3) as Call;
  const { ctx } = situations.at(-3) as Situation;
  const called = calledBy(call.callee, ctx, inference);
  const parameter = called?.is === 'formula' ? called.signature.parameters.find((p) => p.name === name) : undefined;
  return parameter && argumentOf(memberOf(call.callee, ctx), name, parameter.node, parameter.type);
}

function memberAccess(name: string, object: Expression, ctx: Context): FoundMeaning | undefined {
  const block = blockAt(object, ctx);
  const type = typeIn(object, ctx);
  const kind = block?.kind ?? (type.is === 'instance' ? type.kind : undefined);
  const binding = kind && bindMember(name, kind, block);
  if (binding) return found(binding, name);
  const hasOwnWords = type.is === 'sides' || (type.is === 'quantity' && type.money);
  return hasOwnWords ? ownWord(name) : undefined;
}

const ownWords: Readonly<Record<string, string>> = {
  self: 'The block itself.',
  holder: 'What holds the block.',
  name: 'The name of the block.',
  count: 'How many the block stands for.',
  part: 'The name of the part that the block starts from; not given where it starts from a kind alone.',
  currency: 'The currency of a price, by its code.',
  width: 'The first side of a size.',
  depth: 'The second side of a size.',
  height: 'The third side of a size.',
};

/** What the language itself says of a name; undefined for names that are not its own. */
export function languageWord(name: string): string | undefined {
  return (
    (Object.hasOwn(ownWords, name) ? ownWords[name] : undefined) ??
    (isFunctionName(name) ? languageFunctions[name].doc : undefined)
  );
}

function ownWord(name: string): FoundMeaning | undefined {
  return languageWord(name) === undefined
    ? undefined
    : { sort: 'builtin', identity: `builtin ${name}`, declarations: [] };
}

// ---- names in expressions ----

function referenced(
  name: string,
  path: readonly AstNode[],
  at: Situation,
  situations: readonly Situation[],
): FoundMeaning | undefined {
  const { ctx } = at;
  const inClause = clauseName(name, path, ctx);
  if (inClause) return inClause;
  // `at` is what is seen inside the reference; what is expected of it is seen at the reference itself.
  const { expected, member } = situations[path.length - 1] ?? at;
  const parent = path.at(-2) as Named | undefined;
  if (parent?.$type === 'Binary' && parent.operator === 'is' && parent.right === path.at(-1))
    return kindNamed(name, ctx.scope);
  const called = parent?.$type === 'Call' && parent.callee === path.at(-1);
  const binding = bind(name, ctx, { expected, called });
  if (binding?.is === 'ambiguous') return undefined;
  if (binding?.is === 'local') return localNamed(name, path, ctx);
  if (binding?.is === 'choice' && binding.type.is === 'choice') return choiceNamed(name, member, binding.type.options);
  return (binding && found(binding, name)) ?? dimensionOrUnit(name, ctx.scope);
}

/** What a binding leads to, for an editor. */
function found(binding: Binding, name: string): FoundMeaning | undefined {
  switch (binding.is) {
    case 'self':
    case 'holder':
      return ownWord(binding.is);
    case 'word':
      return ownWord(binding.word);
    case 'function':
      return ownWord(binding.name);
    case 'member':
      return valueFound(binding.member, binding.instance);
    case 'block':
      return blockMeant(name, binding.instance);
    case 'size':
      return sizeFound(binding.size.declaration, binding.size.index);
    case 'declared':
      return declaration(binding.node, binding.scope);
    default:
      return undefined;
  }
}

function dimensionOrUnit(name: string, scope: Scope): FoundMeaning | undefined {
  return scope.shared ? undefined : (dimensionNamed(name, scope) ?? unitNamed(name, scope));
}

function sizeFound(node: Declaration, index: number): FoundMeaning {
  const element: ListElement | undefined = node.value?.$type === 'List' ? node.value.elements[index] : undefined;
  const name = element?.name ?? node.name;
  return { sort: 'size', identity: name, declarations: [name] };
}

function choiceDeclared(node: Name, path: readonly AstNode[], ctx: Context): FoundMeaning {
  const entry = path.findLast((n) => n.$type === 'Entry') as Entry | undefined;
  const member = ctx.kind?.members.get(entry?.first?.text ?? '');
  if (member?.node === entry) return choiceNamed(node.text, member, []);
  return { sort: 'choice', identity: node, declarations: [node] };
}

/** One of the choices of a value: that of the first declaration of the value which has it. */
function choiceNamed(name: string, member: Member | undefined, options: readonly string[]): FoundMeaning {
  const nodes: Name[] = [];
  for (let kind = member?.owner; kind; kind = kind.base) {
    const node = kind.members.get(member?.name ?? '')?.node;
    const option = optionsOf(node).find((o) => o.text === name);
    if (option && !nodes.includes(option)) nodes.push(option);
  }
  const identity = nodes.at(-1) ?? `one of ${options.join(', ')}: ${name}`;
  return { sort: 'choice', identity, declarations: nodes, member };
}

function optionsOf(node: AstNode | undefined): readonly Name[] {
  const terms = node?.$type === 'Entry' ? ((node as Entry).type?.terms ?? []) : [];
  return terms.flatMap((term) => {
    const type = term.$type === 'ListType' ? term.of : term;
    return type?.$type === 'ChoiceType' ? type.options : [];
  });
}

/** The argument or the name for each of a question that a name leads to. */
function localNamed(name: string, path: readonly AstNode[], ctx: Context): FoundMeaning | undefined {
  const type = ctx.locals?.get(name);
  if (!type) return undefined;
  for (const [i, node] of [...path.entries()].reverse()) {
    if (node.$type === 'Argument') {
      const { comprehension } = node as Argument;
      if (comprehension?.variable?.text === name && isInside(path, i, comprehension))
        return { sort: 'local', identity: comprehension.variable, declarations: [comprehension.variable], type };
    }
    if (node.$type !== 'Entry' && node.$type !== 'Declaration') continue;
    const step = stepsOf(node as Entry | Declaration).find((each) => each.name?.text === name);
    if (step?.name) return localStep(step.name, type);
    const parameter = (node as Entry | Declaration).parameters.find((p) => p.name?.text === name);
    if (!parameter) continue;
    const member = node.$type === 'Entry' ? ctx.kind?.members.get((node as Entry).first?.text ?? '') : undefined;
    return argumentOf(member, name, parameter, type);
  }
  return undefined;
}

/** A step of a formula, by its name. */
function localStep(name: Name, type: Type): FoundMeaning {
  return { sort: 'local', identity: name, declarations: [name], type };
}

/** A question's own domain does not see its name. */
function isInside(
  path: readonly AstNode[],
  index: number,
  comprehension: NonNullable<Argument['comprehension']>,
): boolean {
  return !(path[index + 1] === comprehension && path[index + 2] === comprehension.domain);
}

/** The type of the value whose declaration a name stands in. */
function listIn(path: readonly AstNode[], { scope }: Context): Type {
  const entry = path.findLast((node) => node.$type === 'Entry') as Entry | undefined;
  return entry?.type ? typeOf(entry.type, scope) : anyType;
}

/** Names in the clauses of kinds, values and units, which are no expressions. */
function clauseName(name: string, path: readonly AstNode[], ctx: Context): FoundMeaning | undefined {
  const clause = path.findLast((node) => node.$type === 'Clause') as Clause | undefined;
  switch (clause && clauses[clause.keyword].contents) {
    case 'values':
      return valueFound(ctx.kind?.members.get(name));
    case 'kinds':
      return kindNamed(name, ctx.scope);
    case 'sizes':
      return declared(name, ctx.scope);
    case 'units': {
      const listedKind = kindOfListedBlocks(listIn(path, ctx));
      return listedKind ? valueFound(listedKind.members.get(name)) : unitNamed(name, ctx.scope);
    }
    case 'words':
      return { sort: 'keyword', identity: `keyword ${name}`, declarations: [] };
    default:
      return undefined;
  }
}
