/** What a function of the language takes and gives, for the checks. */
export type FunctionShape =
  /** Quantities of one sort, or a list of them; gives one of them. */
  | 'one of its arguments'
  /** A quantity; gives one of the same sort. */
  | 'same as its argument'
  | 'number to number'
  | 'angle to number'
  | 'number to angle'
  | 'root'
  | 'temperature to difference'
  | 'list to element'
  | 'to list'
  /** Lists of one sort; gives one of them all. */
  | 'lists to list'
  | 'truth'
  | 'count'
  | 'value to truth';

/** A function that belongs to the language itself. Everything else is declared in the library. */
export interface LanguageFunction {
  readonly doc: string;
  readonly shape: FunctionShape;
}

const declared = {
  min: { doc: 'The least of its arguments, or of a list.', shape: 'one of its arguments' },
  max: { doc: 'The greatest of its arguments, or of a list.', shape: 'one of its arguments' },
  sum: {
    doc: 'The sum over a list or a question; blocks that stand for several count as often. Where something is not given, at least the rest.',
    shape: 'one of its arguments',
  },
  count: { doc: 'How many there are, blocks that stand for several counted as often.', shape: 'count' },
  any: { doc: 'Yes if it is so for at least one.', shape: 'truth' },
  all: { doc: 'Yes if it is so for every one.', shape: 'truth' },
  first: { doc: 'The first of a list; not given where there is none.', shape: 'list to element' },
  last: { doc: 'The last of a list; not given where there is none.', shape: 'list to element' },
  each: { doc: 'The list of what comes out for each.', shape: 'to list' },
  chain: { doc: 'The lists as one, each after the one before it.', shape: 'lists to list' },
  position: {
    doc: 'Which one of the list or the question it is, counted from 1: `position(c for c in every circuit where c == self)`.',
    shape: 'count',
  },
  the: { doc: 'The only one there is. None, or two, is a mistake that names them.', shape: 'list to element' },
  given: { doc: 'Yes if this was given.', shape: 'value to truth' },
  absolute: {
    doc: 'The absolute temperature, in kelvin, as radiation needs it.',
    shape: 'temperature to difference',
  },
  abs: { doc: 'The value without its sign.', shape: 'same as its argument' },
  sqrt: { doc: 'The square root.', shape: 'root' },
  exp: { doc: 'e to the power of a number.', shape: 'number to number' },
  ln: { doc: 'The natural logarithm.', shape: 'number to number' },
  sin: { doc: 'The sine of an angle.', shape: 'angle to number' },
  cos: { doc: 'The cosine of an angle.', shape: 'angle to number' },
  tan: { doc: 'The tangent of an angle.', shape: 'angle to number' },
  asin: { doc: 'The angle, from -90 to 90 deg, that has this sine.', shape: 'number to angle' },
  floor: { doc: 'The whole number below.', shape: 'number to number' },
  ceil: { doc: 'The whole number above.', shape: 'number to number' },
  round: { doc: 'The nearest whole number.', shape: 'number to number' },
} as const satisfies Record<string, LanguageFunction>;

export type FunctionName = keyof typeof declared;

/** The language's own functions by name. */
export const languageFunctions: Readonly<Record<FunctionName, LanguageFunction>> = declared;

export function isFunctionName(name: string): name is FunctionName {
  return Object.hasOwn(declared, name);
}
