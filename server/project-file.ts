// The file in which a project says how grave it takes the findings of some rules: never of those that are about people's safety.
import type { Declaration } from '../language/grammar/generated/ast.ts';
import type { Weight, Weights } from '../language/judge/weights.ts';
import { didYouMean, nearest } from '../language/mistakes/sentence.ts';
import type { Scope } from '../language/names/scope.ts';
import type { Refusal } from '../language/project.ts';
import { clausesOf } from '../language/units/units.ts';
import { folderOf, isWithin, projectFileName } from './reach.ts';

/** Something wrong in such a file, from one offset to another. */
export interface ProjectMistake {
  readonly start: number;
  readonly end: number;
  readonly message: string;
}

/** What such a file says, as far as it can be read. */
export interface ProjectFile {
  readonly uri: string;
  readonly text: string;
  readonly weights: Weights;
  readonly mistakes: readonly ProjectMistake[];
}

/** What reading one needs to know of rules. */
export interface KnownRules {
  /** The declaration of a rule; undefined where none is known by that name. */
  find(name: string): Declaration | undefined;
  names(): readonly string[];
}

const graveWords = ['error', 'warning', 'advice'] as const satisfies Weight['severity'][];
const form = `{ "rules": { "NAME": { "severity": "advice", "because": "…" } } }`;

/** Reads a project file. What is wrong in it has no effect and is told; all else holds. */
export function readProjectFile(uri: string, text: string, rules: KnownRules): ProjectFile {
  const weights = new Map<string, Weight>();
  const mistakes: ProjectMistake[] = [];
  const tell = (place: Pick<ProjectMistake, 'start' | 'end'>, message: string) => mistakes.push({ ...place, message });
  const content = jsonIn(text, tell);
  if (content !== undefined) {
    const entries = entriesIn(content, text, tell);
    for (const [name, said] of entries) {
      const place = placeOf(['rules', name], text);
      const weight = weightIn(name, said, (key) => placeOf(key ? ['rules', name, key] : ['rules', name], text), tell);
      const why = whyNot(name, rules);
      if (why) tell(place, why);
      else if (weight) weights.set(name, weight);
    }
  }
  return { uri, text, weights, mistakes };
}

type Tell = (place: Pick<ProjectMistake, 'start' | 'end'>, message: string) => void;

function jsonIn(text: string, tell: Tell): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    const [, line, column] = /line (\d+) column (\d+)/.exec(String(error)) ?? [];
    const before = text.split('\n').slice(0, Number(line) - 1);
    const start = line ? before.join('\n').length + Math.min(before.length, 1) + Number(column) - 1 : text.length;
    tell({ start, end: start }, `This is not JSON. Expected ${form}.`);
    return undefined;
  }
}

/** What is said of each rule. */
function entriesIn(content: unknown, text: string, tell: Tell): [string, unknown][] {
  if (!isObject(content) || (content.rules !== undefined && !isObject(content.rules))) {
    tell({ start: 0, end: text.length }, `A project file says how grave findings of rules are: expected ${form}.`);
    return [];
  }
  for (const key of Object.keys(content))
    if (key !== 'rules') tell(placeOf([key], text), `"${key}" means nothing here. A project file says "rules" alone.`);
  return Object.entries((content.rules as Record<string, unknown> | undefined) ?? {});
}

function weightIn(name: string, said: unknown, place: (key?: string) => Place, tell: Tell): Weight | undefined {
  if (!isObject(said)) {
    tell(place(), `How grave is ${name}, and why? Expected { "severity": "advice", "because": "…" }.`);
    return undefined;
  }
  const { severity, because, ...rest } = said;
  for (const key of Object.keys(rest))
    tell(place(key), `"${key}" means nothing here. Of a rule are said "severity" and "because".`);
  const grave = graveWords.find((word) => word === severity);
  if (!grave) tell(place(severity === undefined ? undefined : 'severity'), notGrave(severity));
  const isReason = typeof because === 'string' && because.trim() !== '';
  if (!isReason)
    tell(
      place(because === undefined ? undefined : 'because'),
      `Why is ${name} taken otherwise than its rule says? Write it behind "because": it is told with each finding.`,
    );
  return grave && isReason ? { severity: grave, because: because as string } : undefined;
}

function notGrave(severity: unknown): string {
  const expected = `Expected ${graveWords.map((word) => `"${word}"`).join(', ')}.`;
  if (severity === undefined) return `How grave is it? "severity" is missing. ${expected}`;
  return `${JSON.stringify(severity)} is no severity. ${expected} No rule can be left out: what is only advice does not stop a check.`;
}

/** Why a project cannot say of something how grave it is; undefined where it can. */
function whyNot(name: string, rules: KnownRules): string | undefined {
  const rule = rules.find(name);
  if (!rule)
    return `There is no rule ${name}.${didYouMean(nearest(name, rules.names()), ' gusset explain NAME tells of rules.')}`;
  if (clausesOf(rule, 'caution').length === 0) return undefined;
  return `${name} is about people’s safety: it stays as grave as its rule says, and no project changes that. Accept a finding where it stands, with a reason; it is listed and counted all the same.`;
}

type Place = Pick<ProjectMistake, 'start' | 'end'>;

/** Where a key stands that a reader of JSON has found; the start of the text for one that is spelled in another way. */
function placeOf(keys: readonly string[], text: string): Place {
  let [start, end] = [0, 0];
  for (const key of keys) {
    // A quote within a string of JSON stands behind a backslash, so that what is matched is no part of one.
    const quoted = JSON.stringify(key);
    const found = new RegExp(`${quoted.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}\\s*:`, 'g');
    found.lastIndex = end;
    const match = found.exec(text);
    if (!match) return { start, end };
    [start, end] = [match.index, match.index + quoted.length];
  }
  return { start, end };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Where the project file of a file may lie, the nearest first: beside it, and above up to the outermost of the folders that it lies in. */
export function projectFilesFor(uri: string, folders: readonly string[]): string[] {
  const found: string[] = [];
  if (!uri.includes('/')) return found;
  const around = folders.map((folder) => folder.replace(/\/?$/, '/')).filter((folder) => isWithin(uri, folder));
  const outermost = Math.min(folderOf(uri).length, ...around.map((folder) => folder.length));
  for (let folder = folderOf(uri); folder.length >= outermost; folder = folderOf(folder.slice(0, -1)))
    found.push(folder + projectFileName);
  return found;
}

/** The project files of the files of a project, read when they are first asked for. */
export class ProjectFiles {
  readonly #read: (uri: string) => string | Refusal | undefined;
  readonly #rules: (uri: string) => KnownRules;
  readonly #known = new Map<string, ProjectFile | undefined>();

  /** `rules` are those that a project file may speak of. */
  constructor(read: (uri: string) => string | Refusal | undefined, rules: (uri: string) => KnownRules) {
    this.#read = read;
    this.#rules = rules;
  }

  /** The nearest project file of a file; undefined where there is none. */
  of(uri: string, folders: readonly string[]): ProjectFile | undefined {
    for (const each of projectFilesFor(uri, folders)) {
      if (!this.#known.has(each)) this.#known.set(each, this.#readOne(each));
      const known = this.#known.get(each);
      if (known) return known;
    }
    return undefined;
  }

  /** All that have been asked for and are there. */
  all(): ProjectFile[] {
    return [...this.#known.values()].flatMap((file) => file ?? []);
  }

  /** Forgets what was read, so that it is read again. */
  forget(): void {
    this.#known.clear();
  }

  #readOne(uri: string): ProjectFile | undefined {
    const text = this.#read(uri);
    if (text === undefined) return undefined;
    if (typeof text === 'string') return readProjectFile(uri, text, this.#rules(uri));
    return {
      uri,
      text: '',
      weights: new Map(),
      mistakes: [{ start: 0, end: 0, message: `This file is not read: ${text.refused}.` }],
    };
  }
}

/** The rules that the library declares, and of what it does not those of further files. */
export function rulesOf(library: Scope, others: () => Iterable<{ readonly scope: Scope }>): KnownRules {
  const scopes = function* () {
    yield library;
    for (const { scope } of others()) yield scope;
  };
  return {
    find: (name) => {
      for (const scope of scopes()) {
        const rule = scope.own.rules.find((node) => node.name?.text === name);
        if (rule) return rule;
      }
      return undefined;
    },
    names: () => [...scopes()].flatMap((scope) => scope.own.rules.flatMap(({ name }) => name?.text ?? [])),
  };
}
