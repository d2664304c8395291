import { type Differences, differences, standings } from '../answers/compare.ts';
import { smallestSets } from '../answers/smallest-set.ts';
import {
  Overlay,
  renamedBetween,
  type Statement,
  type StatementEdit,
  statementsIn,
  withNames,
} from '../answers/statement-edits.ts';
import type { Entry } from '../grammar/generated/ast.ts';
import { parse } from '../grammar/parser.ts';
import { misreadIn } from '../grammar/syntax.ts';
import { blockName, type Instance } from '../machine/tree.ts';
import { alone, rootsOf, type Side } from '../one-machine.ts';
import { type Assessed, Project, resolveUri, type SourceFile } from '../project.ts';

/** A difference of the texts, and the file that it stands in, as the first side calls it. */
export interface FileEdit extends StatementEdit {
  readonly uri: string;
}

/** What differs between two machines, in the text and in what comes of it. */
export interface Comparison extends Differences {
  readonly edits: readonly FileEdit[];
  /** Names of the second that the same goes by in the first: by the name there now. */
  readonly names: ReadonlyMap<string, string>;
  /** By the key of a turn to what fails or is undecided, the smallest sets of edits that each bring it about; none where no edit does. */
  readonly causes: ReadonlyMap<string, readonly (readonly number[])[]>;
  /** What is wrong with the text of the second and was not with that of the first. */
  readonly mistakes: readonly string[];
  /** How many places of either text cannot be read: they are not compared. */
  readonly unread: number;
}

/** Texts are tried so many times at most, to find which edit did something. */
const mostTrials = 400;
/** Of so many edits at most each is tried alone. */
const mostAlone = 80;

/**
 * Compares two machines: what was changed in the texts, what turned, and which edits did it. Margins and values that moved by less than the
 * share `least` are left out. Throws an `Error` where a side has no such machine.
 */
export function compare(first: Side, second: Side, least: number): Comparison {
  const [before, after] = aloneBoth(first, second);
  const [was, is] = [judged(before), judged(after)];
  const texts = new Texts(before, after, was, is);
  const found = differences(was, is, texts.names, least);
  const bad = found.turns.filter((turn) => turn.after === 'fails' || turn.after === 'undecided');
  const edits = texts.edits();
  return {
    ...found,
    edits,
    names: texts.names,
    causes: new Trials(texts, edits, after.project.library).causesOf(
      bad.map(({ key, after: state }) => ({ key, state })),
    ),
    mistakes: newMistakes(before, after, texts.names),
    unread: [before, after].flatMap(filesOf).reduce((sum, { parsed }) => sum + misreadIn(parsed).length, 0),
  };
}

/** Both without the machines of their files that they have nothing to do with; in one file where they stand in one. */
function aloneBoth(first: Side, second: Side): [Side, Side] {
  const machines = [first.machine, second.machine];
  if (first.file !== second.file) return [alone(first, [first.machine]), alone(second, [second.machine])];
  const both = alone(first, machines);
  return [both, { ...both, machine: second.machine }];
}

/** A machine with all that is said of it, looked for inside its ranges as well. */
function judged({ project, file, machine }: Side): Assessed {
  for (const _ of project.searchDeeper(file));
  const found = project.machines(file).find(({ tree }) => tree.name === machine);
  if (!found) throw new Error(`there is no machine ${machine}`);
  return found;
}

function filesOf({ project, file }: Side): SourceFile[] {
  return [...project.withUsed(file)];
}

function newMistakes(before: Side, after: Side, names: ReadonlyMap<string, string>): string[] {
  const told = (side: Side) =>
    filesOf(side).flatMap((file) =>
      side.project.mistakes(file).flatMap(({ severity, message }) => (severity === 'note' ? [] : [message])),
    );
  const known = new Set(told(before));
  return told(after).filter((message) => !known.has(withNames(message, names)));
}

/** A URI as a path beside a file. */
function pathBeside(uri: string, file: string): string {
  const [to, from] = [uri.split('/'), file.split('/').slice(0, -1)];
  let same = 0;
  while (same < from.length && same < to.length - 1 && from[same] === to[same]) same++;
  return [...from.slice(same).map(() => '..'), ...to.slice(same)].map(decodeURIComponent).join('/');
}

/** The texts of both sides, laid over each other by the places of their files beside the one that is compared. */
class Texts {
  readonly names: ReadonlyMap<string, string>;
  readonly uri: string;
  /** What the machine is called in the texts that are tried. */
  readonly machine: string;
  /** The first side's way to allow one file to use another. */
  readonly side: Side;
  readonly #overlays = new Map<string, Overlay>();
  /** Texts that only one side has. */
  readonly #others = new Map<string, string>();
  readonly #needed = new Set<string>();

  constructor(before: Side, after: Side, was: Assessed, is: Assessed) {
    this.side = before;
    this.uri = before.file.uri;
    const chain = before.file === after.file ? variantBetween(was, is) : undefined;
    this.machine = chain?.machine ?? before.machine;
    for (const name of [...rootsOf(was.tree), ...rootsOf(is.tree)]) this.#needed.add(name);
    const old = new Map(filesOf(before).map((file) => [file.uri, statementsIn(file.parsed)]));
    const fresh = new Map(
      filesOf(after).map((file) => [
        file === after.file ? this.uri : resolveUri(this.uri, pathBeside(file.uri, after.file.uri)),
        file,
      ]),
    );
    this.names = chain ? new Map() : namesBetween(old, fresh, before.machine, after.machine, this.uri);
    for (const name of [...this.#needed]) this.#needed.add(withNames(name, this.names));
    let count = 0;
    for (const uri of new Set([...old.keys(), ...fresh.keys()])) {
      const [one, other] = [old.get(uri), fresh.get(uri)];
      if (!one || !other) {
        const text = other?.parsed.text ?? before.project.file(uri)?.parsed.text ?? '';
        this.#others.set(uri, text);
        // Where both still use it, the file itself has come or gone.
        if (!isWanted(uri, one ? after : before, this.uri)) continue;
        const file: Statement = {
          key: `file ${pathBeside(uri, this.uri)}`,
          head: `file ${pathBeside(uri, this.uri)}`,
          written: text,
          body: [],
          isBlock: false,
        };
        const overlay = new Overlay(one ? [file] : [], one ? [] : [file], count);
        this.#overlays.set(uri, overlay);
        count += overlay.edits.length;
        continue;
      }
      const now = this.#paired(
        statementsIn(parse(withNames(other.parsed.text, this.names))),
        before,
        after,
        uri,
        one,
        chain,
      );
      const overlay = new Overlay(one, now, count);
      for (const entry of uri === this.uri ? (chain?.entries ?? []) : []) {
        const there = chain?.less ? is.tree : was.tree;
        overlay.extra(blockName(entry), chain?.less ?? false, (path) => blockAt(there, path) !== undefined);
      }
      this.#overlays.set(uri, overlay);
      count += overlay.edits.length;
    }
  }

  /** The statements of the second side, where its machine stands in place of the first one's. */
  #paired(
    statements: Statement[],
    before: Side,
    after: Side,
    uri: string,
    old: readonly Statement[],
    chain: unknown,
  ): Statement[] {
    const [from, to] = [after.machine, before.machine];
    if (uri !== this.uri || chain || from === to || this.names.get(from) === to) return statements;
    const own = statements.find(({ key }) => key === from);
    if (!own) return statements;
    const stays = old.some(({ key }) => key === from);
    const named = (text: string) => withNames(text, new Map([[from, to]]));
    const others = statements.filter((each) => each.key !== to && (each !== own || stays));
    return [{ ...own, key: to, head: named(own.head), written: named(own.written) }, ...others];
  }

  /** The edits of what the machine can rest on. */
  edits(): FileEdit[] {
    return [...this.#overlays].flatMap(([uri, { edits }]) =>
      edits.filter(({ path: [item = ''] }) => !this.#isLeftOut(item)).map((edit) => ({ ...edit, uri })),
    );
  }

  /** Another machine of a file that this one does not rest on. What is declared goes by its sort and its name. */
  readonly #isLeftOut = (item: string): boolean => !item.includes(' ') && !this.#needed.has(item);

  /** The texts with some of the edits made, by their URIs. */
  with(chosen: ReadonlySet<number>): Map<string, string> {
    const texts = new Map(this.#others);
    for (const [uri, overlay] of this.#overlays) texts.set(uri, overlay.text(chosen, this.#isLeftOut));
    return texts;
  }
}

/** Does a file of a side use one at this place beside it, that is not there? */
function isWanted(uri: string, side: Side, main: string): boolean {
  return filesOf(side).some(({ uses }) =>
    uses.some((use) => !use.found && resolveUri(main, pathBeside(use.uri, side.file.uri)) === uri),
  );
}

function blockAt(tree: Instance, path: readonly string[]): Instance | undefined {
  return path.reduce<Instance | undefined>((at, name) => at?.called(name), tree);
}

interface Chain {
  /** What the variant says, down to what it is compared with. */
  readonly entries: readonly Entry[];
  /** Is the first of the two the variant, so that what it says is taken back? */
  readonly less: boolean;
  readonly machine: string;
}

/** How one of two machines of a file starts from the other; undefined where neither does. */
function variantBetween(was: Assessed, is: Assessed): Chain | undefined {
  const more = entriesDownTo(is, was);
  if (more) return { entries: more, less: false, machine: is.tree.name };
  const less = entriesDownTo(was, is);
  return less && { entries: less, less: true, machine: was.tree.name };
}

function entriesDownTo(variant: Assessed, base: Assessed): Entry[] | undefined {
  const entries: Entry[] = [];
  for (let at: Entry | undefined = variant.entry; at && !entries.includes(at); ) {
    if (at === base.entry) return entries;
    entries.push(at);
    const next: unknown = at.base?.$type === 'Name' ? variant.scope.find(at.base.text)?.node : undefined;
    at = (next as Entry | undefined)?.$type === 'Entry' ? (next as Entry) : undefined;
  }
  return undefined;
}

/** What the same is called in the second side's texts and in the first's, by the name there now. */
function namesBetween(
  old: ReadonlyMap<string, readonly Statement[]>,
  fresh: ReadonlyMap<string, SourceFile>,
  was: string,
  is: string,
  uri: string,
): Map<string, string> {
  const own = fresh.get(uri)?.parsed.file.items ?? [];
  const isFree = !own.some((item) => item.$type === 'Entry' && blockName(item) === was);
  const names = new Map(was !== is && isFree ? [[is, was]] : []);
  for (const [at, file] of fresh) {
    const before = old.get(at);
    if (!before) continue;
    const after = statementsIn(parse(withNames(file.parsed.text, names)));
    for (const [to, from] of renamedBetween(before, after)) names.set(to, from);
  }
  return names;
}

/** Tries texts with some of the edits made, and tells what fails and what is undecided then. */
class Trials {
  readonly #texts: Texts;
  readonly #edits: readonly FileEdit[];
  readonly #project: Project;
  #present = new Map<string, string>();
  readonly #known = new Map<string, ReadonlyMap<string, string>>();
  #left = mostTrials;

  constructor(texts: Texts, edits: readonly FileEdit[], library: Project['library']) {
    this.#texts = texts;
    this.#edits = edits;
    const { host } = texts.side.project;
    this.#project = new Project(library, { ...host, read: (uri) => this.#present.get(uri) ?? host.read(uri) });
  }

  causesOf(turned: readonly { readonly key: string; readonly state: string }[]): Map<string, number[][]> {
    const causes = new Map<string, number[][]>();
    const all = this.#edits.map(({ id }) => id);
    for (const { key, state } of turned) {
      const isSo = (deep: boolean) => (ids: readonly number[]) => this.#states(ids, deep).get(key) === state;
      const deep = !isSo(false)(all);
      const brings = isSo(deep);
      causes.set(key, brings(all) && !brings([]) ? this.#smallest(all, brings) : []);
    }
    return causes;
  }

  #smallest(all: readonly number[], brings: (ids: readonly number[]) => boolean): number[][] {
    if (all.length <= mostAlone) return smallestSets(all, brings);
    // Of many edits most do not bear on it: those that do are few, and are then tried alone.
    const [few] = smallestSets([...all], (ids) => ids.length > 1 && brings(ids));
    return smallestSets(few ?? all, brings);
  }

  /** By its key, how each thing stands that does not hold, with these edits made; `deep` where the insides of ranges are searched. */
  #states(ids: readonly number[], deep: boolean): ReadonlyMap<string, string> {
    const by = `${deep} ${ids.join()}`;
    const known = this.#known.get(by);
    if (known) return known;
    if (this.#left-- <= 0) return new Map();
    this.#present = this.#texts.with(new Set(ids));
    for (const [uri, text] of this.#present) this.#project.update(uri, text);
    const file = this.#project.file(this.#texts.uri);
    if (file && deep) for (const _ of this.#project.searchDeeper(file));
    const machine = file && this.#project.machines(file).find(({ tree }) => tree.name === this.#texts.machine);
    const states = new Map(machine && [...standings(machine, new Map())].map(([key, { state }]) => [key, state]));
    this.#known.set(by, states);
    return states;
  }
}
