import { deprecatedUses } from './answers/deprecated.ts';
import { hiddenIn } from './answers/hidden.ts';
import { adoptTree, rereadStatements } from './compute/adopt.ts';
import { Allowance, IncrementalEngine } from './compute/engine.ts';
import { evaluateCell } from './compute/evaluate-cells.ts';
import type { Machine } from './compute/machine.ts';
import type { Declaration, Entry, Item, SpecFile, Use } from './grammar/generated/ast.ts';
import { parseLazily } from './grammar/lazy.ts';
import { withLineEnds } from './grammar/parser/lines.ts';
import { parse } from './grammar/parser.ts';
import {
  type AstNode,
  contentOf,
  isWithin,
  itemOf,
  Lines,
  misreadIn,
  type ParsedFile,
  rangeOf,
  spellingOf,
} from './grammar/syntax.ts';
import { valuesEdit } from './grammar/values-only.ts';
import { declarationWords, reservedWords } from './grammar/words.ts';
import { type Choice, choose, type MachineWithParts } from './judge/choices.ts';
import { type Assessment, assess, assessUnsolved, searchDeeper, toldOf } from './judge/findings.ts';
import type { KeptNumbers } from './judge/furthest.ts';
import { Memory } from './judge/memory.ts';
import type { Solved } from './judge/solving.ts';
import { hasChoices } from './judge/trials.ts';
import type { Weights } from './judge/weights.ts';
import type { TextFile } from './machine/text-file.ts';
import { blockName, buildPart, buildTree, type Instance, namesPutInto, type PartChoices } from './machine/tree.ts';
import type { Mistake, Wording } from './mistakes/mistake.ts';
import { naming } from './mistakes/naming.ts';
import { placing } from './mistakes/placing.ts';
import { nearest } from './mistakes/sentence.ts';
import { spelling } from './mistakes/spelling.ts';
import { declaredName, FileNames, FileScope, type Scope } from './names/scope.ts';
import { checkDeclaration, checkRate, checkVersion } from './types/check.ts';
import { checkGiven, checkInstance } from './types/check-blocks.ts';
import { checkDays } from './types/check-records.ts';
import { expressionAround, kindInWords, type NodeMistake, nodeMistake, replaceWithNearest } from './types/tell.ts';
import { withArticle } from './units/display.ts';
import { UnitSystem } from './units/units.ts';

/** What a project needs from the outside: the text of files by their URI. */
export interface Host {
  /** The text of a file; undefined if there is none, or why it is not read. */
  read(uri: string): string | Refusal | undefined;
  /** Why a file may not use another one; undefined where it may. Without this, every file may. */
  refuses?(uri: string, from: string): string | undefined;
  /** The day, as in 2026-03-02: records of later days are told. Without this, no day lies ahead. */
  today?(): string;
  /** How grave the findings of some rules are in the project that a file belongs to. Without this, all are as their rules say. */
  weights?(uri: string): Weights | undefined;
}

/** A file that is there and is not read. */
export interface Refusal {
  /** Why, as in "it is a folder". */
  readonly refused: string;
}

/** A machine with all that is said of it. */
export interface Assessed extends Machine {
  readonly assessment: Assessment;
  readonly choices: readonly Choice[];
}

/** By what the numbers of a machine are kept while changes are tried: its name, and which of that name it is. */
function keptBy(entry: Entry, { uri, parsed }: SourceFile): string {
  const name = blockName(entry);
  const alike = parsed.file.items.filter((item) => item.$type === 'Entry' && blockName(item) === name);
  return `${uri} ${name} ${alike.indexOf(entry)}`;
}

/** For the entries that another entry of their file puts into itself as they are, the first that does: they are judged on it. */
function groundsIn({ parsed, scope }: SourceFile): Map<Entry, Entry> {
  const entries = parsed.file.items.filter((item): item is Entry => item.$type === 'Entry');
  const names = new Map(entries.map((entry) => [blockName(entry), entry]));
  const grounds = new Map<Entry, Entry>();
  for (const ground of entries) {
    for (const name of namesPutInto(ground)) {
      const entry = names.get(name);
      if (!entry || entry === ground || grounds.has(entry) || scope.find(name)?.node !== entry) continue;
      grounds.set(entry, ground);
    }
  }
  return grounds;
}

/** One spelling for each URI: editors encode characters of a path that others leave as they are. */
export function canonicalUri(uri: string): string {
  const [, before = '', path = ''] = /^([a-z][\w+.-]*:(?:\/\/[^/]*)?)(.*)$/i.exec(uri) ?? [];
  return before ? before + path.split('/').map(segment).join('/') : uri;
}

function segment(text: string): string {
  try {
    return encodeURIComponent(decodeURIComponent(text));
  } catch {
    return encodeURIComponent(text);
  }
}

/** The URI of a path beside another file, as a `use` writes it. */
export function resolveUri(from: string, path: string): string {
  const [, before = '', folder = ''] = /^([a-z][\w+.-]*:(?:\/\/[^/]*)?)(.*)\/[^/]*$/i.exec(from) ?? [];
  const segments: string[] = path.startsWith('/') ? [] : folder.split('/');
  for (const part of path.split('/')) {
    if (part === '..') segments.pop();
    else if (part !== '.' && part !== '') segments.push(part);
  }
  return canonicalUri(`${before}${segments.join('/').replace(/^(?=[^/])/, '/')}`);
}

/** One file of a project: its text, its names, and the machines in it. */
export class SourceFile implements TextFile {
  parsed: ParsedFile;
  readonly scope: FileScope;
  uses: { node: Use; uri: string; found: boolean; refused?: string }[] = [];
  #lines: Lines | undefined;
  /** Machines by their entry, kept while their text and what it needs stay the same. */
  readonly roots = new Map<Entry, Root>();
  /** What each of them stands on, for those that another puts into itself as they are. */
  grounds: ReadonlyMap<Entry, Entry> = new Map();
  readonly checked = new Map<Item, Checked>();
  usesMistakes: readonly NodeMistake[] = [];
  /** True where something it sees has changed since its machines were built. */
  stale: 'all' | 'trees' | undefined = 'trees';

  readonly uri: string;
  readonly library: FileScope;
  constructor(uri: string, library: FileScope, parsed: ParsedFile, scope?: FileScope) {
    this.uri = uri;
    this.library = library;
    this.parsed = parsed;
    this.scope = scope ?? new FileScope(new FileNames([parsed.file]), [], library.system, library);
  }

  /** Is it one of the library's own files, which are read-only? */
  get isLibrary(): boolean {
    return this.scope === this.library;
  }

  builtTree(item: Item): Instance | undefined {
    return this.stale || item.$type !== 'Entry' ? undefined : this.roots.get(item)?.machine.tree;
  }

  get lines(): Lines {
    if (this.#lines?.text !== this.parsed.text) this.#lines = new Lines(this.parsed.text);
    return this.#lines as Lines;
  }
}

/** What the checks said of an item, and the texts of other items that this rests on. */
interface Checked {
  readonly mistakes: readonly NodeMistake[];
  readonly sources: ReadonlySet<Item>;
  /** Expressions with a mistake in them, which are not computed. */
  readonly spoiled: readonly AstNode[];
}

/** Nothing is said of a machine yet. */
const unsolved = { judged: undefined, solving: undefined, solved: undefined, assessed: undefined };

interface Root {
  /** Its tree and what was computed of it: the same object until more of its text than values changes, or other parts stand in it. */
  machine: Machine;
  /** The parts that stand in place of open ones. */
  parts: PartChoices;
  /** The items of the files that the tree was built from, and of what was chosen among: where one is replaced, the tree is built anew. */
  sources: ReadonlySet<Item>;
  /** What is said of it while its open choices are not solved. */
  judged: Assessed | undefined;
  /** Its open choices, as they are being solved. */
  solving: Generator<void, void> | undefined;
  assessed: Assessed | undefined;
  /** The verdicts that failed when its choices were last solved. */
  told: ReadonlySet<string>;
  /** What was found out while they were solved. */
  readonly memory: Memory;
  /** How they are solved, as this text has it. */
  solved: Solved | undefined;
  /** Is what is said of it searched for inside the ranges as well? */
  searched: boolean;
  /** How grave its findings are in its project. */
  readonly weights: Weights | undefined;
}

/** The declarations that every file sees. */
interface Library {
  readonly scope: FileScope;
  readonly files: ReadonlyMap<string, ParsedFile>;
}

export const libraryScheme = 'gusset-library:';

/** Reads the library from its files. */
export function readLibrary(files: readonly { name: string; text: string }[]): Library {
  const parsed = new Map(files.map(({ name, text }) => [`${libraryScheme}/${name}`, parseLazily(text)] as const));
  const all = [...parsed.values()].map((p) => p.file);
  const declarations = all.flatMap((file) =>
    file.items.filter((item): item is Declaration => item.$type === 'Declaration'),
  );
  const system = new UnitSystem(declarations);
  return { scope: new FileScope(new FileNames(all), [], system, undefined), files: parsed };
}

/**
 * All open files and those they use. Texts go in with `update`; everything else is computed from them by need, and only
 * again where an edit changed something it depends on.
 */
export class Project {
  readonly files = new Map<string, SourceFile>();
  readonly library: Library;
  readonly host: Host;
  constructor(library: Library, host: Host) {
    this.library = library;
    this.host = host;
  }

  /** The file of a URI, read by the host where it is not open; undefined if it cannot be read. */
  file(uri: string): SourceFile | undefined {
    const known = this.files.get(uri) ?? this.#libraryFile(uri);
    if (known) return known;
    const text = this.host.read(uri);
    return typeof text === 'string' ? this.update(uri, text) : undefined;
  }

  #libraryFile(uri: string): SourceFile | undefined {
    const parsed = this.library.files.get(uri);
    if (!parsed) return undefined;
    let file = this.#libraryFiles.get(uri);
    if (!file) {
      file = new SourceFile(uri, this.library.scope, parsed, this.library.scope);
      this.#libraryFiles.set(uri, file);
    }
    return file;
  }
  readonly #libraryFiles = new Map<string, SourceFile>();

  /** Sets the text of a file. */
  update(uri: string, text: string): SourceFile {
    const file = this.files.get(uri);
    if (file && (file.parsed.text === text || file.parsed.text === withLineEnds(text))) return file;
    const parsed = parse(text, file?.parsed);
    if (!file) return this.#add(uri, parsed);
    if (!this.#takesValues(file, parsed)) this.#renew(file, parsed);
    return file;
  }

  /** Takes in an edit that only changed values: blocks and names stay as they are. False where more has changed, and nothing was done. */
  #takesValues(file: SourceFile, parsed: ParsedFile): boolean {
    if (file.stale) return false;
    const edit = valuesEdit(file.parsed, parsed);
    const root = edit && file.roots.get(edit.item);
    if (!edit || !root) return false;
    const holders = [file, ...this.dependents(file.uri)];
    // Where parts were put in place of open ones, the tree is another than the one that the text makes.
    if (holders.some(({ roots }) => [...roots.values()].some(({ parts }) => parts.size > 0))) return false;
    // What is being tried gives way to what stood there before.
    for (const { roots } of holders) for (const { solving } of roots.values()) solving?.return();
    const before = edit.changed.map(({ value }) => value as AstNode);
    const mistakes = (file.checked.get(edit.item)?.mistakes ?? []).filter(
      ({ node }) => !before.some((value) => isWithin(node, value)),
    );
    file.parsed = edit.take();
    for (const entry of edit.changed)
      checkGiven(entry, root.machine.tree, edit.item, (mistake) => {
        if (isWithin(mistake.node, entry.value as AstNode)) mistakes.push(mistake);
      });
    this.#setChecked(file, edit.item, mistakes, root.sources);
    for (const holder of holders) takeValues(holder, edit);
    return true;
  }

  /** Forgets a file, so that it is read again when it is next needed. */
  forget(uri: string): void {
    this.files.delete(uri);
    for (const dependent of this.dependents(uri)) {
      this.#resolveUses(dependent);
      dependent.stale = 'all';
    }
  }

  /**
   * Lets go of what was built and computed of a file's machines: its text, its names and what the checks said of it stay, and the machines
   * are built again, as of a file that is read anew, when they are next asked for.
   */
  letGo(uri: string): void {
    const file = this.files.get(uri);
    if (!file) return;
    for (const { solving } of file.roots.values()) solving?.return();
    file.roots.clear();
    file.stale ??= 'trees';
  }

  #add(uri: string, parsed: ParsedFile): SourceFile {
    const file = new SourceFile(uri, this.library.scope, parsed);
    this.files.set(uri, file);
    this.#resolveUses(file);
    for (const dependent of this.dependents(uri)) {
      this.#resolveUses(dependent);
      dependent.stale = 'all';
    }
    return file;
  }

  #renew(file: SourceFile, parsed: ParsedFile): void {
    const before = file.parsed.file.items;
    file.parsed = parsed;
    const change = changeBetween(before, parsed.file.items);
    for (const item of change.gone) {
      file.checked.delete(item);
      if (item.$type === 'Entry') retire(file, item, parsed);
    }
    file.scope.renew(new FileNames([parsed.file]), file.scope.used, change.reach === 'all');
    if (change.uses) this.#resolveUses(file);
    markStale(file, change.reach);
    for (const dependent of this.dependents(file.uri)) {
      dependent.scope.renew(dependent.scope.own, dependent.scope.used, change.reach === 'all');
      markStale(dependent, change.reach);
    }
  }

  #resolveUses(file: SourceFile): void {
    const nodes = file.parsed.file.items.filter((item): item is Use => item.$type === 'Use' && item.path !== undefined);
    file.uses = nodes.map((node) => ({ node, uri: resolveUri(file.uri, contentOf(node.path)), found: false }));
    const used: FileScope[] = [];
    for (const use of file.uses) {
      const target = this.#use(use, file.uri);
      use.found = target !== undefined;
      if (target && !used.includes(target.scope)) used.push(target.scope);
    }
    file.scope.renew(file.scope.own, used, true);
    file.stale = 'all';
  }

  /** The file that another one uses; where it may not, or it is not read, why is noted. */
  #use(use: SourceFile['uses'][number], from: string): SourceFile | undefined {
    if (use.uri === from) return undefined;
    use.refused = this.host.refuses?.(use.uri, from);
    if (use.refused) return undefined;
    const target = this.file(use.uri);
    if (target) return target;
    const read = this.host.read(use.uri);
    if (typeof read === 'object') use.refused = read.refused;
    return undefined;
  }

  /** A file and those that it uses, however far; the library's are left out. */
  withUsed(file: SourceFile): Set<SourceFile> {
    const all = new Set([file]);
    for (const each of all) {
      for (const use of each.uses) {
        const used = use.found ? this.file(use.uri) : undefined;
        if (used && !used.isLibrary) all.add(used);
      }
    }
    return all;
  }

  /** Files that use a file, however far: a change of it may reach them through what a file between declares. */
  dependents(uri: string): SourceFile[] {
    const found = new Set<SourceFile>();
    for (let wave = [uri]; wave.length > 0; ) {
      const next: string[] = [];
      for (const file of this.files.values()) {
        if (found.has(file) || file.uri === uri || !file.uses.some((use) => wave.includes(use.uri))) continue;
        found.add(file);
        next.push(file.uri);
      }
      wave = next;
    }
    return [...found];
  }

  /** The machines of a file, each with its tree and its open choices solved; those whose kind is not known are left out. */
  machines(file: SourceFile): Assessed[] {
    for (const _ of this.solveChoices(file));
    return this.judged(file);
  }

  /**
   * The machines of a file without waiting for their open choices: what is said of them is what is true whatever will be chosen. It is
   * what `machines` says where there are none, or they are solved.
   */
  judged(file: SourceFile): Assessed[] {
    return this.#rootsOf(file).map((root) => this.#judged(root));
  }

  /** The same with nothing said of them, where what they compute is all that is wanted. */
  computed(file: SourceFile): Machine[] {
    const roots = this.#rootsOf(file);
    return roots.some(({ machine }) => hasChoices(machine)) ? this.machines(file) : roots.map(({ machine }) => machine);
  }

  /** Have all open choices of a file's machines been solved? */
  isSolved(file: SourceFile): boolean {
    return this.#rootsOf(file).every((root) => root.assessed);
  }

  /** Solves the open choices of a file's machines, in steps between which an edit may come. */
  *solveChoices(file: SourceFile): Generator<void> {
    for (const root of this.#rootsOf(file)) {
      while (!root.assessed) {
        root.solving ??= this.#solve(root, file);
        root.solving.next();
        yield;
      }
    }
  }

  /**
   * Takes over how the open choices of a file's machines are solved in another project of the same texts, which is solved first where it is
   * not yet: what was found there is put in place here, and not looked for again.
   */
  takeSolutions(file: SourceFile, other: Project): void {
    const same = other.file(file.uri);
    if (!same || same.parsed.text !== file.parsed.text) return;
    other.machines(same);
    const solved = other.#rootsOf(same).map((root) => root.solved);
    for (const [i, root] of this.#rootsOf(file).entries()) root.solved ??= solved[i];
  }

  /**
   * Keeps what was found for the open numbers of these files' machines, as long as their own texts stay: after edits, only what else is open
   * is chosen anew, until `lookAnew`.
   */
  keepNumbers(files: readonly SourceFile[]): void {
    for (const file of files) {
      for (const [entry, { solved }] of file.roots) if (solved) this.#kept.set(keptBy(entry, file), solved.found);
    }
  }
  readonly #kept = new Map<string, KeptNumbers>();

  /** Keeps no numbers any more, nor what was chosen to suit those that were kept. */
  lookAnew(): void {
    this.#kept.clear();
    for (const { roots } of this.files.values())
      for (const root of roots.values()) if (root.solved?.areKept) Object.assign(root, unsolved, { searched: false });
  }

  #rootsOf(file: SourceFile): Root[] {
    this.#refresh(file);
    return file.parsed.file.items.flatMap((item) => {
      const root = item.$type === 'Entry' ? file.roots.get(item) : undefined;
      return root ? [root] : [];
    });
  }

  /**
   * Computes what is said of a file's machines, but for their open choices, for so many steps. Returns whether they were enough; if not,
   * what was computed by then is kept, and the next call goes on from there.
   */
  computes(file: SourceFile, steps: number): boolean {
    this.#refresh(file);
    return this.suffices(steps, () => this.judged(file));
  }

  /** Lets work on its machines compute for so many steps. Returns whether they were enough; if not, what was computed by then is kept. */
  suffices(steps: number, work: () => unknown): boolean {
    return this.#allowance.suffices(steps, work);
  }
  readonly #allowance = new Allowance();

  /** So many steps were computed up to now. */
  get steps(): number {
    return this.#allowance.spent;
  }

  #judged(root: Root): Assessed {
    if (root.assessed) return root.assessed;
    if (!root.judged) {
      const { machine } = root;
      const isOpen = hasChoices(machine);
      const assessment = isOpen ? assessUnsolved(machine, root.told, root.weights) : assess(machine, [], root.weights);
      root.judged = { ...machine, assessment, choices: [] };
      if (!isOpen) root.assessed = root.judged;
    }
    return root.judged;
  }

  *#solve(root: Root, file: SourceFile): Generator<void, void> {
    try {
      this.#judged(root);
      if (root.assessed) return;
      const { machine, parts, memory, solved } = root;
      const kept = this.#kept.get(keptBy(machine.entry, file));
      const standing: MachineWithParts = { machine, parts, memory, solved, kept };
      let choices: readonly Choice[];
      try {
        choices = yield* choose(standing, (others) => this.#rebuilt(machine, others, file));
      } finally {
        root.machine = standing.machine;
        root.parts = standing.parts;
        root.solved = standing.solved;
      }
      root.assessed = { ...root.machine, assessment: assess(root.machine, choices, root.weights), choices };
      root.told = toldOf(root.assessed);
      root.sources = new Set([...root.sources, ...this.#itemsOf(choices)]);
    } finally {
      root.solving = undefined;
    }
  }

  /** The items of files other than the library's that are chosen among. */
  #itemsOf(choices: readonly Choice[]): Item[] {
    return choices.flatMap(({ candidates }) =>
      candidates.flatMap(({ part }) => (part && part.scope !== this.library.scope ? (itemOf(part.node) ?? []) : [])),
    );
  }

  /**
   * Ends what `machines` begins with the ends of ranges: searches inside them, in steps between which an edit may come. From then
   * on `machines` says what was found, until an edit reaches the machine. Nothing that was found before is taken back.
   */
  *searchDeeper(file: SourceFile): Generator<void> {
    yield* this.solveChoices(file);
    for (const assessed of this.machines(file)) {
      const root = file.roots.get(assessed.entry);
      if (!root || root.searched) continue;
      const { machine } = root;
      yield* searchDeeper(machine);
      root.searched = true;
      root.assessed = { ...assessed, assessment: assess(machine, assessed.choices, root.weights) };
    }
  }

  #rebuilt(machine: Machine, parts: PartChoices, file: SourceFile): Machine | undefined {
    const tree = this.#grown(machine.entry, file, parts);
    return tree && { ...machine, tree, engine: new IncrementalEngine(evaluateCell, this.#allowance) };
  }

  /** The tree of an entry, with what it stands on; undefined if its kind is not known. */
  #grown(entry: Entry, file: SourceFile, parts?: PartChoices): Instance | undefined {
    const tree = buildTree(entry, file.scope, parts);
    const seen = new Set([entry]);
    for (let [at, on] = [tree, file.grounds.get(entry)]; at && on && !seen.has(on); on = file.grounds.get(on)) {
      seen.add(on);
      at.ground = buildTree(on, file.scope);
      at = at.ground;
    }
    return tree;
  }

  /** Brings a file's machines and checks up to date with all texts. */
  #refresh(file: SourceFile): void {
    if (!file.stale || file.isLibrary) return;
    const everything = file.stale === 'all';
    file.stale = undefined;
    if (everything) {
      file.roots.clear();
      for (const { spoiled } of file.checked.values()) file.scope.restore(spoiled);
      file.checked.clear();
    }
    // What is wrong in the files used must be known before anything here is computed from them.
    for (const { uri } of file.uses) {
      const used = this.files.get(uri);
      if (used) this.#refresh(used);
    }
    file.grounds = groundsIn(file);
    const living = new Set([...this.files.values()].map((f) => f.parsed.file));
    const stand = (sources: ReadonlySet<Item>) => [...sources].every((item) => living.has(item.$container as SpecFile));
    for (const item of file.parsed.file.items) {
      if (item.$type === 'Entry' && item.first) this.#refreshRoot(file, item, stand);
      if (item.$type === 'Rate' || item.$type === 'Version') {
        const mistakes: NodeMistake[] = [];
        const report = (mistake: NodeMistake) => mistakes.push(mistake);
        if (item.$type === 'Rate') checkRate(item, file.scope, report);
        else checkVersion(item, item === file.parsed.file.items[0], report);
        this.#setChecked(file, item, mistakes, new Set());
      }
      if (item.$type !== 'Declaration') continue;
      const checked = file.checked.get(item);
      if (!checked || !stand(checked.sources)) this.#checkDeclaration(item, file);
    }
    file.usesMistakes = this.#checkUses(file);
  }

  #refreshRoot(file: SourceFile, entry: Entry, stand: (sources: ReadonlySet<Item>) => boolean): void {
    const root = file.roots.get(entry);
    const isOn = root?.machine.tree.ground?.node === file.grounds.get(entry);
    if (root && isOn && stand(root.sources) && root.machine.engine.holds()) return;
    // What is being tried gives way to what stood there before.
    root?.solving?.return();
    const known = root?.machine;
    const tree = this.#grown(entry, file);
    if (!tree) {
      file.roots.delete(entry);
      this.#setChecked(file, entry, [unknownRoot(entry, file.scope)], new Set());
      return;
    }
    const mistakes: NodeMistake[] = [];
    if (!tree.kind.toplevel) mistakes.push(notAlone(entry, tree));
    checkInstance(tree, entry, (mistake) => mistakes.push(mistake));
    // What stood in place of open choices stays there until they are solved again.
    const parts = stillThere(root?.parts ?? new Map(), file.scope);
    const build = () => (parts.size > 0 ? this.#grown(entry, file, parts) : undefined);
    const standing = build() ?? tree;
    const sources = this.#sourcesOf(standing);
    this.#setChecked(file, entry, mistakes, sources);
    const adopted = known?.engine.holds() ? adoptTree(known.tree, standing) : undefined;
    const kept = known && adopted && known.engine.takeIn(adopted, known.tree) ? known : undefined;
    // What was adopted is no tree of its own any more.
    const fresh = adopted && !kept ? (build() ?? (this.#grown(entry, file) as Instance)) : standing;
    const { tree: grown, engine } = kept ?? {
      tree: fresh,
      engine: new IncrementalEngine(evaluateCell, this.#allowance),
    };
    const machine = { entry, scope: file.scope, tree: grown, engine };
    const { told, memory } = kept && root ? root : { told: new Set<string>(), memory: new Memory() };
    const weights = this.host.weights?.(file.uri);
    file.roots.set(entry, { machine, parts, sources, told, memory, ...unsolved, searched: false, weights });
  }

  #checkDeclaration(node: Declaration, file: SourceFile): void {
    const mistakes: NodeMistake[] = [];
    const report = (mistake: NodeMistake) => mistakes.push(mistake);
    checkDeclaration(node, file.scope, report, false);
    const part = node.what === 'part' ? buildPart(node, file.scope) : undefined;
    if (part) checkInstance(part, node, report);
    this.#setChecked(file, node, mistakes, part ? this.#sourcesOf(part) : new Set());
  }

  /** Keeps what the checks said of an item; what has a mistake in it is not computed. */
  #setChecked(file: SourceFile, item: Item, mistakes: readonly NodeMistake[], sources: ReadonlySet<Item>): void {
    file.scope.restore(file.checked.get(item)?.spoiled ?? []);
    const mistaken = mistakes.filter((mistake) => mistake.severity === 'error');
    const spoiled = mistaken.flatMap((mistake) => expressionAround(mistake.node) ?? []);
    for (const expression of spoiled) file.scope.spoil(expression);
    file.checked.set(item, { mistakes, sources, spoiled });
  }

  /** The items of files other than the library's that a tree was built from. */
  #sourcesOf(tree: Instance): Set<Item> {
    const items = new Set<Item>();
    for (const instance of tree.allWithGround()) {
      for (const layer of instance.layers) {
        const item = layer.scope === this.library.scope ? undefined : itemOf(layer.node);
        if (item) items.add(item);
      }
    }
    return items;
  }

  #checkUses(file: SourceFile): NodeMistake[] {
    const mistakes: NodeMistake[] = [];
    const tell = (node: AstNode, wording: Wording) => mistakes.push(nodeMistake(node, wording));
    for (const { node, uri, found, refused } of file.uses) {
      const path = contentOf(node.path);
      if (uri === file.uri) tell(node.path, naming.ring.file());
      else if (refused) tell(node.path, naming.refused_file(path, refused));
      else if (!found) tell(node.path, naming.missing_file(path));
      else {
        const ring = this.#ring(file, uri);
        if (ring) tell(node.path, naming.ring.files(ring.map(fileName).join(' → ')));
      }
    }
    return [...mistakes, ...this.#clashes(file)];
  }

  #ring(file: SourceFile, uri: string): string[] | undefined {
    const seen = new Set<string>();
    const walk = (at: string): string[] | undefined => {
      if (at === file.uri) return [at];
      if (seen.has(at)) return undefined;
      seen.add(at);
      for (const use of this.files.get(at)?.uses ?? []) {
        const rest = walk(use.uri);
        if (rest) return [at, ...rest];
      }
      return undefined;
    };
    const rest = walk(uri);
    return rest && [file.uri, ...rest];
  }

  /** Names declared twice: in this file, in two files it uses, or in the library as well. */
  #clashes(file: SourceFile): NodeMistake[] {
    const mistakes: NodeMistake[] = [];
    const seen = new Map<string, Item>();
    for (const item of file.parsed.file.items) {
      const name = declaredName(item);
      if (!name) continue;
      const key = item.$type === 'Declaration' && item.what === 'kind' ? `kind ${name}` : name;
      const wording = this.#clash(name, key, seen.has(key), file);
      if (wording) mistakes.push(nodeMistake(nameNode(item), wording));
      seen.set(key, item);
    }
    return [...mistakes, ...this.#clashesOfUsed(file)];
  }

  #clash(name: string, key: string, twice: boolean, file: SourceFile): Wording | undefined {
    if (twice) return naming.said_twice.inFile(name);
    if (reservedWords.has(name)) return naming.clash.word(name);
    if (declares(this.library.scope, key)) return naming.clash.library(name);
    return file.scope.used.some((scope) => declares(scope, key)) ? naming.clash.used(name) : undefined;
  }

  #clashesOfUsed(file: SourceFile): NodeMistake[] {
    const mistakes: NodeMistake[] = [];
    const seen = new Map<string, string>();
    for (const { node, uri } of file.uses) {
      const used = this.files.get(uri);
      if (!used || uri === file.uri) continue;
      const twice: string[] = [];
      for (const name of [
        ...used.scope.own.declared.keys(),
        ...[...used.scope.own.kinds.keys()].map((k) => `kind ${k}`),
      ]) {
        if ((seen.get(name) ?? uri) !== uri) twice.push(name.replace(/^kind /, ''));
        else seen.set(name, uri);
      }
      if (twice.length === 0) continue;
      mistakes.push(nodeMistake(node.path, naming.clash.bothUsed(twice)));
    }
    return mistakes;
  }

  /** Everything wrong with a file's text, in its order: spelling, names, units, types. */
  mistakes(file: SourceFile): Mistake[] {
    this.#refresh(file);
    const spelling = spellingOf(file.parsed);
    const checked = [
      ...file.usesMistakes,
      ...file.parsed.file.items.flatMap((item) => file.checked.get(item)?.mistakes ?? []),
    ];
    const today = this.host.today?.();
    if (today) for (const item of file.parsed.file.items) checkDays(item, today, (mistake) => checked.push(mistake));
    const told = [...checked.map(located), ...deprecatedUses(file)];
    // Outside of comments and texts they are told as what means nothing there.
    const hidden = hiddenIn(file).filter(({ start }) => !spelling.some((told) => told.start === start));
    return [...spelling, ...hidden, ...withoutConsequences(told, file.parsed)].sort((a, b) => a.start - b.start);
  }
}

const unclosed: keyof typeof spelling = 'unclosed_block';

/** Leaves out what is said of a line that could not be read: it was only half understood. */
function withoutConsequences(checked: Mistake[], parsed: ParsedFile): Mistake[] {
  const unreadable = misreadIn(parsed).filter(({ code }) => code !== unclosed);
  if (unreadable.length === 0) return checked;
  const lines = new Lines(parsed.text);
  const unread = new Set(unreadable.map(({ start }) => lines.position(start).line));
  return checked.filter((mistake) => !unread.has(lines.position(mistake.start).line));
}

function located({ code, severity, message, node, fixes }: NodeMistake): Mistake {
  const edits = fixes.map((fix) => ({
    title: fix.title,
    edits: [{ ...fix.range(), text: fix.text }, ...(fix.also?.() ?? [])],
  }));
  return { code, severity, message, ...rangeOf(node), fixes: edits };
}

function fileName(uri: string): string {
  return decodeURIComponent(uri.split('/').pop() ?? uri);
}

function nameNode(item: Item): AstNode {
  if (item.$type === 'Declaration') return item.name ?? item;
  return item.$type === 'Entry' ? (item.name ?? item.first ?? item) : item;
}

function declares(scope: Scope, key: string): boolean {
  return key.startsWith('kind ') ? scope.own.kinds.has(key.slice(5)) : scope.own.declared.has(key);
}

interface Change {
  readonly gone: readonly Item[];
  readonly uses: boolean;
  /** `all` where a kind, a rule or a formula changed, or the names of what is declared; `trees` where only parts or machines did. */
  readonly reach: 'all' | 'trees';
}

function changeBetween(before: readonly Item[], after: readonly Item[]): Change {
  const kept = new Set<Item>(after);
  const old = new Set<Item>(before);
  const gone = before.filter((item) => !kept.has(item));
  const come = after.filter((item) => !old.has(item));
  const formulas = (items: readonly Item[]) =>
    items.some((item) => item.$type === 'Rate' || (item.$type === 'Declaration' && item.what !== 'part'));
  const names = (items: readonly Item[]) => items.map(signature).join('\n');
  const uses = [...gone, ...come].some((item) => item.$type === 'Use');
  // A file that uses others than before has kinds made anew, which those that use it have to know as well.
  const reachesAll = uses || formulas(gone) || formulas(come) || names(gone) !== names(come);
  return { gone, uses, reach: reachesAll ? 'all' : 'trees' };
}

/** What others see of a part or a machine without looking into it. */
function signature(item: Item): string {
  if (item.$type === 'Declaration') return `${item.what} ${item.name?.text} is ${item.base?.text}`;
  if (item.$type !== 'Entry') return item.$type;
  return `${item.first?.text} ${item.name?.text} is ${item.base?.$type === 'Name' ? item.base.text : '?'}`;
}

function markStale(file: SourceFile, reach: 'all' | 'trees'): void {
  file.stale = file.stale === 'all' ? 'all' : reach;
}

/** Hands new values to all that was built from the statements that give them, which stand in one item. */
function takeValues(file: SourceFile, { item, changed }: { item: Item; changed: readonly Entry[] }): void {
  for (const [entry, root] of [...file.roots]) {
    const { tree, engine } = root.machine;
    const grown = root.sources.has(item) ? [tree] : [];
    const cells = rereadStatements([...grown, ...engine.standing.values()], changed);
    if (cells.size === 0) continue;
    Object.assign(root, unsolved, { searched: false });
    if (engine.takeIn({ changed: cells, gone: new Set() }, tree)) continue;
    file.roots.delete(entry);
    markStale(file, 'trees');
  }
}

/** Parts as they are declared now; those that are gone are left out. */
function stillThere(parts: PartChoices, scope: Scope): PartChoices {
  const found = new Map<string, { node: Declaration; scope: Scope }>();
  for (const [path, part] of parts) {
    const now = scope.find(declaredName(part.node) ?? '');
    if (now?.node.$type === 'Declaration' && now.node.what === 'part')
      found.set(path, { node: now.node, scope: now.scope });
  }
  return found;
}

/** Hands what was computed of an edited machine to the text that took its place. */
function retire(file: SourceFile, gone: Entry, parsed: ParsedFile): void {
  const root = file.roots.get(gone);
  if (!root) return;
  file.roots.delete(gone);
  const heir = parsed.file.items.find(
    (item): item is Entry => item.$type === 'Entry' && !file.roots.has(item) && signature(item) === signature(gone),
  );
  if (heir) file.roots.set(heir, root);
}

function unknownRoot(entry: Entry, scope: Scope): NodeMistake {
  const name = entry.first?.text ?? '';
  if (declarationWords.has(name)) return nodeMistake(entry.first, spelling.missing_name.of(`the name of the ${name}`));
  const near = nearest(
    name,
    scope
      .kinds()
      .filter((kind) => kind.toplevel)
      .map((kind) => kind.name),
  );
  return nodeMistake(entry.first, naming.unknown_kind.named(name, near), ...replaceWithNearest(entry.first, near));
}

function notAlone(entry: Entry, tree: Instance): NodeMistake {
  const places = tree.kind.inside.map((name) => withArticle(name.replaceAll('_', ' ')));
  return nodeMistake(entry.name ?? entry.first, placing.wrong_place.alone(kindInWords(tree.kind), places));
}
