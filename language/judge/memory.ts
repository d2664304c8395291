import type { Cell } from '../compute/cell.ts';
import type { Instance } from '../machine/tree.ts';
import type { Candidate } from './candidates.ts';
import type { Answer } from './joint.ts';

/** Where something is chosen, and what could stand there. */
export interface Place {
  /** The path of the block. */
  readonly path: string;
  /** The value's name; empty where the block's part is open. */
  readonly name: string;
  readonly candidates: readonly Candidate[];
}

/** An answer, what decided it, choices and numbers, and the cells that gave it, as they stood in a revision. */
interface Given extends Answer {
  readonly by: readonly number[];
  readonly cells: readonly Cell[];
  readonly at: number;
}

/** Answers by the choices and numbers that decided them, and by what stands there: whatever stands in the others, they are the same. */
type Answers = Map<string, { readonly by: readonly number[]; readonly answers: Map<string, Given> }>;

/** So many answers are kept by the same choices and numbers: of these there is no end of values. */
const mostKept = 2000;

/** What failed with some candidates, and what else was looked at with them. */
interface Looked {
  readonly at: number;
  readonly failing: ReadonlySet<Cell>;
  readonly others: ReadonlySet<Cell>;
}

/** What is known of a machine whose choices were solved, for when they are solved again after an edit: all that the edit does not reach. */
export class Memory {
  #places: readonly unknown[] = [];
  readonly #given = new Map<string, Answers>();
  #looked = new Map<string, Looked>();
  #before = new Map<string, Looked>();

  /** Begins to solve the choices of these places. What was known of others tells nothing of them. */
  begin(places: readonly Place[]): void {
    const now = places.flatMap(whatStandsFor);
    if (now.length !== this.#places.length || now.some((each, i) => each !== this.#places[i])) this.forget();
    this.#places = now;
    this.#before = this.#looked;
    this.#looked = new Map();
  }

  /** Forgets all, where the machine is computed anew. */
  forget(): void {
    this.#given.clear();
    this.#before.clear();
    this.#looked.clear();
  }

  /** What was answered with these candidates and numbers, if no edit has reached it since. */
  recall(key: string, standing: readonly (number | undefined)[]): Answer | undefined {
    for (const { by, answers } of this.#given.get(key)?.values() ?? []) {
      const known = answers.get(standingIn(by, standing));
      if (known?.cells.every(({ edited }) => edited <= known.at)) return known;
    }
    return undefined;
  }

  remember(key: string, standing: readonly (number | undefined)[], answer: Given): void {
    const { by } = answer;
    const given: Answers = this.#given.get(key) ?? new Map();
    this.#given.set(key, given);
    const same = given.get(by.join()) ?? { by, answers: new Map() };
    given.set(by.join(), same);
    if (same.answers.size >= mostKept) same.answers.clear();
    same.answers.set(standingIn(by, standing), answer);
  }

  /** What was seen the last time that the choices were solved, and this was asked: did something fail, if no edit has reached it since? */
  lookedAt(question: string): (cell: Cell) => boolean | undefined {
    const before = this.#before.get(question);
    return (cell) => {
      if (!before || cell.edited > before.at) return undefined;
      if (before.failing.has(cell)) return true;
      return before.others.has(cell) ? false : undefined;
    };
  }

  /** Notes what fails where this is asked, and what else was looked at, as of a revision. */
  noteLooked(question: string, looked: Looked): void {
    this.#looked.set(question, looked);
  }
}

/** What may stand in a place, told apart by the texts that say it. What the machine's own text says over each, an edit reaches as any other. */
function whatStandsFor({ path, name, candidates }: Place): unknown[] {
  const texts = candidates.flatMap(({ text, value, part }) => {
    if (!part) return [text];
    const layers = (value as Instance).all().flatMap((instance) => instance.layers);
    return [text, value, ...layers.map((layer) => layer.node)];
  });
  return [path, name, ...texts];
}

function standingIn(choices: readonly number[], standing: readonly (number | undefined)[]): string {
  return choices.map((choice) => standing[choice]).join();
}
