/** A quantity by the powers of its base quantities; what the tests reckon with, apart from the project's own dimensions. */
export interface Powers {
  readonly length: number;
  readonly time: number;
  readonly current: number;
}

export type Sort = 'truth' | 'choice' | 'text' | 'point' | 'difference' | Powers;

/** A random expression, what it comes to in SI units, and how many literals stand in it. */
export interface Sample {
  readonly text: string;
  readonly value: number | boolean | string;
}

const units = { length: ['mm', 0.001], time: ['s', 1], current: ['mA', 0.001] } as const;
const none: Powers = { length: 0, time: 0, current: 0 };

/** Numbers from 0 to 1, the same for the same seed (a linear congruential generator, Numerical Recipes). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** What a unit of these powers is written as: `mm^2*s^-1`. */
function unitText(powers: Powers): string {
  const parts = Object.entries(powers).flatMap(([base, power]) =>
    power === 0 ? [] : [`${units[base as keyof Powers][0]}${power === 1 ? '' : `^${power}`}`],
  );
  return parts.join('*');
}

function factor(powers: Powers): number {
  return Object.entries(powers).reduce((f, [base, power]) => f * units[base as keyof Powers][1] ** power, 1);
}

function isPowers(sort: Sort): sort is Powers {
  return typeof sort === 'object';
}

/** What the library calls quantities of these powers. */
export function declaredName(sort: Sort): string | undefined {
  if (sort === 'truth') return 'YesNo';
  if (sort === 'choice') return 'one of wide, narrow';
  if (sort === 'text') return 'Text';
  if (sort === 'point') return 'Temperature';
  if (sort === 'difference') return 'TemperatureDifference';
  const { length, time, current } = sort;
  const names: Record<string, string> = {
    '1,0,0': 'Length',
    '2,0,0': 'Area',
    '0,1,0': 'Time',
    '0,0,1': 'Current',
    '1,-1,0': 'Speed',
    '1,-2,0': 'Acceleration',
    '0,0,0': 'Ratio',
  };
  return names[`${length},${time},${current}`];
}

export const sorts: readonly Sort[] = [
  'truth',
  'choice',
  'text',
  'point',
  'difference',
  none,
  { length: 1, time: 0, current: 0 },
  { length: 2, time: 0, current: 0 },
  { length: 0, time: 1, current: 0 },
  { length: 0, time: 0, current: 1 },
  { length: 1, time: -1, current: 0 },
  { length: 1, time: -2, current: 0 },
];

/** Writes random expressions. Where `wrongAt` is the number of a literal, that one is of another sort. */
export class Writer {
  literals = 0;
  readonly random: () => number;
  readonly wrongAt: number;
  constructor(random: () => number, wrongAt = -1) {
    this.random = random;
    this.wrongAt = wrongAt;
  }

  #pick<T>(list: readonly T[]): T {
    return list[Math.floor(this.random() * list.length)] as T;
  }

  write(sort: Sort, depth: number): Sample {
    if (depth <= 0) return this.#literal(sort);
    if (sort === 'truth') return this.#truth(depth);
    if (this.random() < 0.15) return this.#conditional(sort, depth);
    if (sort === 'text' || sort === 'choice') return this.#literal(sort);
    if (sort === 'point') return this.#point(depth);
    if (sort === 'difference') return this.#difference(depth);
    return this.#quantity(sort, depth);
  }

  #literal(sort: Sort): Sample {
    const isWrong = this.literals++ === this.wrongAt;
    const written = isWrong ? this.#otherThan(sort) : sort;
    const number = 1 + Math.floor(this.random() * 9);
    if (written === 'truth') return { text: number > 5 ? 'yes' : 'no', value: number > 5 };
    if (written === 'choice') return { text: number > 5 ? 'wide' : 'narrow', value: number > 5 ? 'wide' : 'narrow' };
    if (written === 'text') return { text: `"t${number}"`, value: `t${number}` };
    if (written === 'point') return { text: `${number} degC`, value: number + 273.15 };
    if (written === 'difference') return { text: `${number} K`, value: number };
    const unit = unitText(written);
    return { text: unit ? `${number} ${unit}` : `${number}`, value: number * factor(written) };
  }

  /** A sort that cannot stand for another: none of the same powers, and no bare number, which is told apart by its own check. */
  #otherThan(sort: Sort): Sort {
    const unit = isPowers(sort) ? unitText(sort) : undefined;
    const isOther = (each: Sort) => (isPowers(each) ? !['', unit].includes(unitText(each)) : each !== sort);
    return this.#pick(sorts.filter(isOther));
  }

  #conditional(sort: Sort, depth: number): Sample {
    const [asked, then, other] = [this.#truth(depth - 1), this.write(sort, depth - 1), this.write(sort, depth - 1)];
    return {
      text: `(if ${asked.text} then ${then.text} else ${other.text})`,
      value: asked.value ? then.value : other.value,
    };
  }

  #truth(depth: number): Sample {
    const choose = this.random();
    if (depth <= 0 || choose < 0.2) return this.#literal('truth');
    if (choose < 0.4) {
      const inner = this.#truth(depth - 1);
      return { text: `(not ${inner.text})`, value: !inner.value };
    }
    if (choose < 0.6) {
      const [a, b] = [this.#truth(depth - 1), this.#truth(depth - 1)];
      const and = this.random() < 0.5;
      return {
        text: `(${a.text} ${and ? 'and' : 'or'} ${b.text})`,
        value: and ? a.value && b.value : a.value || b.value,
      };
    }
    const sort = this.#pick(sorts.filter((each) => isPowers(each) || each === 'point' || each === 'difference'));
    const [a, b] = [this.write(sort, depth - 1), this.write(sort, depth - 1)];
    const near = Math.abs((a.value as number) - (b.value as number)) < 1e-6 * Math.abs(a.value as number);
    return { text: `(${a.text} > ${b.text})`, value: !near && a.value > b.value };
  }

  #point(depth: number): Sample {
    const [a, b] = [this.write('point', depth - 1), this.write('difference', depth - 1)];
    const [x, y] = [a.value as number, b.value as number];
    return this.random() < 0.5
      ? { text: `(${a.text} + ${b.text})`, value: x + y }
      : { text: `(${a.text} - ${b.text})`, value: x - y };
  }

  #difference(depth: number): Sample {
    if (this.random() < 0.4) {
      const [a, b] = [this.write('point', depth - 1), this.write('point', depth - 1)];
      return { text: `(${a.text} - ${b.text})`, value: (a.value as number) - (b.value as number) };
    }
    const [a, b] = [this.write('difference', depth - 1), this.write('difference', depth - 1)];
    return { text: `(${a.text} + ${b.text})`, value: (a.value as number) + (b.value as number) };
  }

  #quantity(sort: Powers, depth: number): Sample {
    const choose = this.random();
    if (choose < 0.3) {
      const operator = this.#pick(['+', '-'] as const);
      const [a, b] = [this.write(sort, depth - 1), this.write(sort, depth - 1)];
      const [x, y] = [a.value as number, b.value as number];
      return { text: `(${a.text} ${operator} ${b.text})`, value: operator === '+' ? x + y : x - y };
    }
    if (choose < 0.6) return this.#product(sort, depth);
    if (choose < 0.75) {
      const name = this.#pick(['min', 'max'] as const);
      const [a, b] = [this.write(sort, depth - 1), this.write(sort, depth - 1)];
      const pick = name === 'min' ? Math.min : Math.max;
      return { text: `${name}(${a.text}, ${b.text})`, value: pick(a.value as number, b.value as number) };
    }
    if (choose < 0.85) {
      const [a, b] = [this.write(sort, depth - 1), this.write(sort, depth - 1)];
      return { text: `sum([${a.text}, ${b.text}])`, value: (a.value as number) + (b.value as number) };
    }
    const inner = this.write(sort, depth - 1);
    return { text: `same(of: ${inner.text})`, value: inner.value };
  }

  #product(sort: Powers, depth: number): Sample {
    const base = this.#pick(['length', 'time', 'current'] as const);
    const one = { ...none, [base]: 1 };
    const rest = { ...sort, [base]: sort[base] - 1 };
    // Of what has no name nothing is written but a literal of its unit.
    const [a, b] = [this.write(one, depth - 1), this.write(rest, depth - 1)];
    return { text: `(${a.text} * ${b.text})`, value: (a.value as number) * (b.value as number) };
  }
}
