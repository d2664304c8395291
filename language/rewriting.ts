import { namesInPart, partFromBlock, partInBlock, partToFile, partToNewFile } from './answers/rewrite-parts.ts';
import { saidShorter } from './answers/rewrite-shorter.ts';
import { defaultsWrittenOut, namedValue, unitsInstead } from './answers/rewrite-values.ts';
import { variantOfEdit } from './answers/rewrite-variant.ts';
import type { Rewriting } from './answers/rewriting.ts';
import { valuesOf } from './compute/show-cell.ts';
import type { Use } from './grammar/generated/ast.ts';
import { parse } from './grammar/parser.ts';
import type { Finding } from './judge/finding.ts';
import { Instance } from './machine/tree.ts';
import { copyOfProject } from './mending.ts';
import { withEdits } from './mistakes/mistake.ts';
import type { FileScope } from './names/scope.ts';
import { type Assessed, type Project, resolveUri, type SourceFile } from './project.ts';
import { isSound } from './rehearsal.ts';
import type { Value, ValueList } from './values/value.ts';

/**
 * What can be written otherwise at an offset of a file with every value as it is; `saved` is its text as it was saved, where that is known.
 * Each is tried, for as long as there is time: none brings a finding, or a text a mistake.
 */
export function rewritings(
  file: SourceFile,
  offset: number,
  project: Project,
  saved?: string,
  isTime: () => boolean = () => true,
): Rewriting[] {
  const within = [
    ...partFromBlock(file, offset),
    ...partInBlock(file, offset),
    ...namedValue(file, offset),
    ...unitsInstead(file, offset),
    ...defaultsWrittenOut(file, offset),
  ].filter(({ edits }) => isTime() && isSound(edits, file, project));
  // What was changed can bring findings of its own: the variant has them then, and the machine has not.
  const variants = saved === undefined || saved === file.parsed.text ? [] : variantOfEdit(file, offset, parse(saved));
  const shorter = saidShorter(file, offset).filter((each) => isTime() && meansTheSame(each, file, project));
  const targets = file.uses.flatMap(({ uri, found }) => {
    const used = found ? project.file(uri) : undefined;
    return used && !used.isLibrary ? [{ uri, name: decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1)) }] : [];
  });
  // A text that was never saved has no place beside which a file could be.
  const fresh =
    saved === undefined ? [] : partToNewFile(file, offset, newFile(file, project), usesFor(file, offset, project));
  const moves = [...partToFile(file, offset, targets), ...fresh].filter(
    (move) => isTime() && isRead(move, file, project),
  );
  return [...within, ...shorter, ...moves, ...variants.filter((variant) => isRead(variant, file, project))];
}

/** A file beside this one that is not there yet. */
function newFile(file: SourceFile, project: Project): string {
  for (let n = 1; ; n++) {
    const uri = resolveUri(file.uri, n === 1 ? './stock.gusset' : `./stock_${n}.gusset`);
    if (!project.files.has(uri) && project.host.read(uri) === undefined) return uri;
  }
}

/** The statements of a file through which a part in it sees what others declare. */
function usesFor(file: SourceFile, offset: number, project: Project): Use[] {
  const seen = namesInPart(file, offset).flatMap((name) => [
    file.scope.find(name)?.scope,
    file.scope.kindNamed(name)?.scope,
  ]);
  const through = file.uses.map(({ node, uri }) => ({ node, scope: project.file(uri)?.scope }));
  const needed = seen.flatMap((scope) =>
    scope === file.scope
      ? []
      : through
          .filter((use) => scope && (use.scope === scope || use.scope?.used.includes(scope as FileScope)))
          .slice(0, 1),
  );
  return through.filter((use) => needed.includes(use)).map(({ node }) => node);
}

/**
 * Makes of a project's file what says the same shorter, one change after the other, until none is left. In steps: the title of each that was
 * made, and nothing after each that was tried. The file's text is what came of it, at any step.
 */
export function* shorten(uri: string, project: Project): Generator<string | undefined> {
  const tried = new Set<string>();
  for (;;) {
    const file = project.file(uri);
    const next = file && saidShorter(file).find(({ title }) => !tried.has(title));
    if (!file || !next) return;
    tried.add(next.title);
    const isSame = meansTheSame(next, file, project);
    if (isSame) project.update(uri, withEdits(next.edits, file.parsed.text));
    yield isSame ? next.title : undefined;
  }
}

/** Has each machine at hand the same values, and is the same said of it, but for what goes by another name? */
function meansTheSame(rewriting: Rewriting, file: SourceFile, project: Project): boolean {
  if (!isRead(rewriting, file, project)) return false;
  const copy = copyOfProject(project, file.uri);
  copy.update(file.uri, withEdits(rewriting.edits, file.parsed.text));
  const { moves, otherwise } = rewriting;
  const uris = [file.uri, ...project.dependents(file.uri).map(({ uri }) => uri)];
  return uris.every((uri) => {
    const [before, after] = [project, copy].map((each) => {
      const found = each.file(uri);
      return found ? each.machines(found) : [];
    }) as [Assessed[], Assessed[]];
    return (
      before.length === after.length &&
      before.every((machine, i) => {
        const was = toldOf(machine, otherwise, moves);
        const is = toldOf(after[i] as Assessed, otherwise);
        return was.size === is.size && [...was].every(([key, told]) => is.get(key) === told);
      })
    );
  });
}

/** All values of a machine by their place, and what is found and left undecided, as it is said where a block `moves`. */
function toldOf(
  machine: Assessed,
  otherwise: ReadonlySet<string> = new Set(),
  moves?: readonly [string, string],
): Map<string, string> {
  const { assessment } = machine;
  const placed = (instance: Instance): string => {
    let root = instance;
    while (root.holder && !root.kind.toplevel) root = root.holder;
    const label = instance.path.slice(root.path.length + 1);
    const [from = '', to] = moves ?? [];
    const isMoved = moves && (label === from || label.startsWith(`${from}.`));
    return isMoved ? `${root.path}.${to}${label.slice(from.length)}` : instance.path;
  };
  const told = (value: Value): string => {
    if (typeof value === 'number') return value.toPrecision(12);
    if (value instanceof Instance) return placed(value);
    return Array.isArray(value) ? (value as ValueList).map(told).sort().join() : String(value);
  };
  const all = new Map<string, string>();
  // A text may tell of blocks by their names.
  for (const { instance, cell, value } of valuesOf(machine))
    if (!otherwise.has(cell.name) && typeof value !== 'string')
      all.set(`${placed(instance)}.${cell.name}`, told(value));
  for (const finding of [...assessment.findings, ...assessment.undecided])
    all.set(`${sayer(finding)} ${placed(finding.instance)}`, 'told');
  return all;
}

/** What says it: a rule, or which of the requirements that stand together, whose text may name a block by where it is. */
function sayer({ rule, target, instance }: Pick<Finding, 'rule' | 'target' | 'instance'>): string {
  if (!target) return rule;
  const { layer, node } = target;
  const together = node.$container.members.filter(({ $type }) => $type === node.$type);
  return `${rule} ${together.indexOf(node)} of ${instance.layers.indexOf(layer)}`;
}

/** Does a change bring no file a mistake: that itself, the one that something goes to, and those at hand that use them? */
function isRead({ edits, elsewhere }: Rewriting, file: SourceFile, project: Project): boolean {
  const copy = copyOfProject(project, file.uri);
  const before = mistakesIn(copy);
  const there = elsewhere && copy.file(elsewhere.uri);
  if (elsewhere && (there || elsewhere.isNew))
    copy.update(elsewhere.uri, withAtEnd(there?.parsed.text ?? '', elsewhere.text));
  copy.update(file.uri, withEdits(edits, file.parsed.text));
  return [...mistakesIn(copy)].every((mistake) => before.has(mistake));
}

function mistakesIn(project: Project): Set<string> {
  const told = [...project.files.values()].flatMap((file) =>
    project.mistakes(file).map(({ severity, message }) => ({ text: `${file.uri} ${message}`, severity })),
  );
  return new Set(told.filter(({ severity }) => severity !== 'note').map(({ text }) => text));
}

/** A text with an item at its end, apart from what stands before it. */
export function withAtEnd(text: string, item: string): string {
  const before = text.trimEnd();
  return `${before}${before && '\n\n'}${item}`;
}
