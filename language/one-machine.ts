import { itemOf } from './grammar/syntax.ts';
import { blockName, type Instance } from './machine/tree.ts';
import { Project, type SourceFile } from './project.ts';

/** A machine in a file of a project. */
export interface Side {
  readonly project: Project;
  readonly file: SourceFile;
  readonly machine: string;
}

/** The names of the blocks that stand alone and that a machine is made of or stands on. */
export function rootsOf(tree: Instance): Set<string> {
  const names = new Set<string>();
  for (const instance of tree.allWithGround()) {
    for (const { node } of instance.layers) {
      const item = itemOf(node);
      if (item?.$type === 'Entry') names.add(blockName(item));
    }
  }
  return names;
}

/** The trees of what stands alone in a file, without computing anything of them. */
export function treesIn({ project, file }: Pick<Side, 'project' | 'file'>): Instance[] {
  // Asking for what is wrong brings the trees up to date.
  project.mistakes(file);
  return file.parsed.file.items.flatMap((item) => file.builtTree(item) ?? []);
}

/**
 * The same in a project of its own, of which nothing reaches the first: its file with these machines and what they are made of, and without
 * all others, so that these need not be computed. All else stands where it stood.
 */
export function alone(side: Side, machines: readonly string[]): Side {
  const { project, file, machine } = side;
  const trees = treesIn(side).filter(({ name }) => machines.includes(name));
  const needed = new Set(trees.flatMap((tree) => [...rootsOf(tree)]));
  const { text, items } = file.parsed;
  const others = items.filter(({ node }) => node.$type === 'Entry' && !needed.has(blockName(node)));
  const blank = (piece: string) => piece.replace(/[^\n]/g, ' ');
  const kept = others.reduce(
    (so, { start, end }) => so.slice(0, start) + blank(so.slice(start, end)) + so.slice(end),
    text,
  );
  const read = (uri: string) => project.files.get(uri)?.parsed.text ?? project.host.read(uri);
  const own = new Project(project.library, { ...project.host, read });
  return { project: own, file: own.update(file.uri, kept), machine };
}

/** Puts another text into a side's file. Returns the first mistake that the text before it did not have; undefined where there is none. */
export function rewrite({ project, file }: Pick<Side, 'project' | 'file'>, text: string): string | undefined {
  const told = () => project.mistakes(file).flatMap(({ severity, message }) => (severity === 'note' ? [] : message));
  const known = new Set(told());
  project.update(file.uri, text);
  return told().find((message) => !known.has(message));
}
