import { cellOf } from './compute/cell.ts';
import type { Expression } from './grammar/generated/ast.ts';
import { type AstNode, textOf } from './grammar/syntax.ts';
import type { Instance } from './machine/tree.ts';
import type { Kind, Member } from './names/kind.ts';
import { treesIn } from './one-machine.ts';
import { Project } from './project.ts';
import { starts } from './starts.ts';

/** So many are told of a value at most. */
const most = 3;

/** What the machines to begin with say, for what is likely to be said of others. */
class Usual {
  readonly #values = new Map<AstNode, Map<string, number>>();
  readonly #given = new Map<AstNode, number>();
  readonly parts = new Set<string>();

  constructor(library: Project['library']) {
    const texts = new Map(starts.map(({ name, text }) => [`file:///${name}.gusset`, text]));
    const project = new Project(library, { read: (uri) => texts.get(uri) });
    for (const uri of texts.keys()) {
      const file = project.file(uri);
      for (const tree of file ? treesIn({ project, file }) : []) for (const instance of tree.all()) this.#add(instance);
    }
  }

  #add(instance: Instance): void {
    const { fills, part, kind } = instance;
    this.#count((fills ?? kind).node);
    if (part?.name) this.parts.add(part.name.text);
    for (const member of kind.members.values()) {
      const { origin, expression } = cellOf(instance, member.name)?.definition ?? {};
      if (origin !== 'given' || !expression) continue;
      this.#count(member.node);
      if (!isNumber(expression)) continue;
      const own = this.#values.get(member.node) ?? new Map<string, number>();
      this.#values.set(member.node, own.set(textOf(expression), (own.get(textOf(expression)) ?? 0) + 1));
    }
  }

  #count(node: AstNode): void {
    this.#given.set(node, (this.#given.get(node) ?? 0) + 1);
  }

  /** What is given for a value, as it is written, what most of them give first; a default comes before them. */
  values({ node }: Member): readonly string[] {
    const byDefault =
      node.$type === 'Entry' && node.defaults && node.value && isNumber(node.value) ? [textOf(node.value)] : [];
    const given = [...(this.#values.get(node) ?? [])].sort(([, a], [, b]) => b - a).map(([text]) => text);
    return [...new Set([...byDefault, ...given])].slice(0, most);
  }

  /** How often a value is given, or a block of a role or, where it fills none, of a kind. */
  times({ node }: Member | Kind): number {
    return this.#given.get(node) ?? 0;
  }
}

const known = new WeakMap<Project['library'], Usual>();

/** What is usual, by the machines to begin with; read once for a library. */
export function usual({ library }: Pick<Project, 'library'>): Usual {
  const found = known.get(library) ?? new Usual(library);
  known.set(library, found);
  return found;
}

/** A number, or sides and ends of them. */
function isNumber(node: Expression): boolean {
  if (node.$type !== 'Binary') return node.$type === 'Quantity';
  return (
    (node.operator === 'x' || node.operator === '..') && [node.left, node.right].every((side) => side && isNumber(side))
  );
}
