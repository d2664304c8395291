import { sayings } from './mistake.ts';
import { capital, listed } from './sentence.ts';

/** Values that are not what their place asks for. */
export const typingTable = {
  wrong_type: {
    why: 'Each place takes one sort of value: a quantity, a block, a text, a yes or no, a list. Another one cannot be computed with.',
    mend: 'Write a value of the sort that is expected.',
    says: {
      expected: (expected: string, actual: string, hint = '') => `Expected ${expected}, this is ${actual}${hint}.`,
      arithmetic: (actual: string) => `Arithmetic needs a quantity, this is ${actual}.`,
      sides: () => 'A size is made of lengths: 230 mm x 230 mm.',
      range: (actual: string) => `A range lies between two quantities; this is ${actual}.`,
      order: (actual: string) => `Only quantities can be compared by size; this is ${actual}.`,
      comparison: (one: string, other: string) => `${capital(one)} cannot be compared with ${other}.`,
      list: (actual: string) => `After in stands a list; this is ${actual}.`,
      kind: (actual: string) => `Only a block is of a kind; this is ${actual}. Compare values with == .`,
      element: (actual: string) => `Only a list has numbered elements; this is ${actual}.`,
      question: (text: string, actual: string) =>
        `A question goes through every block of a kind, or through a list; ${text} is ${actual}.`,
      argument: (name: string, needs: string, actual: string) => `${name} needs ${needs}, this is ${actual}.`,
      put: (actual: string) => `Only into a list can something be put; this is ${actual}.`,
      truth: (name: string, actual: string) => `${name} asks whether something is so; this is ${actual}.`,
      given: (name: string) => `${name} asks of one value by its name whether it is given: ${name}(current_limit).`,
    },
  },
  wrong_dimension: {
    why: 'Quantities of different dimensions are never the same: a length is no current, whatever their numbers.',
    mend: 'Look at which value of the formula has another dimension than was meant. Where only a factor is missing, the message names it.',
    says: {
      expected: (expected: string, actual: string, hint: string) => `Expected ${expected}, this is ${actual}${hint}`,
      sum: (what: string, adds: boolean, to: string) =>
        `${capital(what)} cannot be ${adds ? 'added to' : 'subtracted from'} ${to}.`,
      shown: (unit: string, of: string, what: string) =>
        `${unit} is a unit of ${of}, and what is shown in it is ${what}.`,
      argument: (name: string, needs: string, actual: string) => `${name} needs ${needs}, this is ${actual}.`,
      price: (factor: string) => `Expected a price, this is a price times ${factor}: an amount of money stands alone.`,
      pricesMultiplied: () => 'A price cannot be multiplied by a price.',
      dividedByPrice: () => 'Nothing can be divided by a price but another price.',
      pricePower: () => 'A price cannot be raised to a power.',
      exponent: () => 'A power is a plain number, such as 2 or (1/4).',
      power: () => 'A quantity with a unit can only be raised to a plain number, such as 2 or (1/4).',
    },
  },
  wrong_quantity: {
    why: 'Two quantities can share a dimension and still differ: a torque is no energy, a speed of rotation no frequency.',
    mend: 'Write the quantity that is meant, in a unit of its own.',
    says: (expected: string, actual: string, units: string) =>
      `Expected ${expected}, this is ${actual}: they are not the same.${units ? ` Write it in ${units}.` : ''}`,
  },
  missing_unit: {
    why: 'A bare number says nothing of its size: 24 may be volts or amperes.',
    mend: 'Write the unit after the number.',
    says: {
      number: (expected: string, example: string) =>
        `Expected ${expected}, this is a bare number${example ? `: write it with its unit, such as ${example}` : ': write its unit after the number'}.`,
      end: (whole: string) => `A range is written with two points, and each end has its own unit: ${whole}.`,
    },
  },
  point_for_difference: {
    why: 'A difference of temperature has no zero of its own: 40 degC is a point on the scale, 40 K is how far two points lie apart.',
    mend: 'Write a difference in K, or take one point from another.',
    says: () => 'Expected a difference of temperature, in K; this is a point on the scale, in degC.',
  },
  difference_for_point: {
    why: 'A temperature is a point on the scale; a difference, in K, only tells how far two of them lie apart.',
    mend: 'Write the temperature in degC, or add the difference to a point.',
    says: () => 'Expected a temperature, in degC; this is a difference, in K.',
  },
  point_arithmetic: {
    why: 'Points on a temperature scale can be taken from each other, and a difference added to them. Twice 20 degC means nothing.',
    mend: 'Compute with differences, or with absolute(…) where a law of nature asks for the absolute temperature.',
    says: {
      product: () =>
        'A point of temperature cannot be multiplied or divided: subtract another point first, or use absolute(…).',
      negative: () =>
        'A point of temperature has no negative: subtract it from another point, or use a difference in K.',
      sum: () => 'Two points of temperature cannot be added. A rise is a difference, in K: 60 degC + 20 K.',
      difference: () => 'A point of temperature cannot be taken from a difference: write the point first.',
    },
  },
  percent_added: {
    why: 'A percentage is a ratio of something, and does not say of what: added to volts it has no meaning.',
    mend: 'Multiply by the whole.',
    says: (whole: string) => `A percentage is a ratio and is multiplied, not added: write ${whole}.`,
  },
  unlike: {
    why: 'Either of them may be what comes out, so that both must be of one sort.',
    mend: 'Write the same sort of value in both places.',
    says: (what: string, second: string, first: string) =>
      `${what} must be alike: this is ${second}, what stands before is ${first}.`,
  },
  wrong_way_round: {
    why: 'A range goes upwards; one whose low end is above its high end holds nothing.',
    mend: 'Exchange its ends.',
    says: (range: string) => `A range goes from its low end to its high end: ${range}.`,
  },
  out_of_range: {
    why: 'Far outside of what the kind was made for its formulas say nothing, and a slip of a power of ten is more likely.',
    mend: 'Look at the number and its unit.',
    says: (name: string, low: string, high: string) => `${name} is meant to be between ${low} and ${high}.`,
  },
  not_whole: {
    severity: 'warning',
    why: 'Teeth, motors and fuses come whole.',
    mend: 'Write a whole number.',
    says: (name: string, text: string) => `${name} is a count, and ${text} is no whole number.`,
  },
  too_large: {
    why: 'Beyond 1.8e308 there are no numbers to compute with.',
    mend: 'Write it in a larger unit.',
    says: (number: string) => `${number} is too large to compute with.`,
  },
  unit_spelling: {
    severity: 'advice',
    why: 'A unit has one spelling, so that a text can be searched.',
    mend: 'Write it so; the fix does.',
    says: (written: string, found: string) => `Write ${written} for ${found}.`,
  },
  not_callable: {
    why: 'Only functions, tables and formulas with arguments take any.',
    mend: 'Take the brackets away; to multiply, write *.',
    says: (text: string, what: string) => `${text} takes no arguments: it is ${what}.`,
  },
  wrong_argument: {
    why: 'Arguments are told apart by their names; one that nothing takes would be passed over.',
    mend: 'Write the call as the message shows it.',
    says: {
      twice: (name: string, argument: string) => `${name} is given ${argument} twice.`,
      named: (name: string, argument: string, takes: string) => `${name} has no argument ${argument}; write ${takes}.`,
      many: (name: string, count: number, takes: string) =>
        `${name} takes ${count} ${count === 1 ? 'argument' : 'arguments'}: ${takes}.`,
      unnamed: (name: string) => `${name} takes its argument without a name: ${name}(…).`,
      one: (name: string) => `${name} takes one argument.`,
    },
  },
  missing_argument: {
    why: 'Without it nothing can be computed.',
    mend: 'Write the argument.',
    says: {
      one: (name: string) => `${name} needs an argument: ${name}(…).`,
      others: (name: string, left: readonly string[], takes: string) =>
        `${name} also needs ${listed(left)}; write ${takes}.`,
    },
  },
  bad_braces: {
    why: 'Braces in a text hold an expression whose value is shown there.',
    mend: 'Write an expression between them, or \\{ for a brace that is to be read.',
    says: (text: string) => `${text} is not an expression: write {current}, or \\{ for a brace.`,
  },
  not_drawn: {
    why: 'Curves under one heading are drawn in one plot. With them goes what has a place on one of its axes.',
    mend: 'Report it under a heading of its own.',
    says: (name: string, curve: string) => `${name} cannot be drawn with ${curve}: it has no place on either axis.`,
  },
  wrong_rate: {
    why: 'Currencies are never added without a rate that says what one is worth in the other.',
    mend: 'Write an amount of one currency on each side.',
    says: (text: string) =>
      `A rate is between two currencies, and ${text} is none: rate 1 EUR = 1.08 USD on 2026-03-02.`,
  },
} as const;

export const typing = sayings(typingTable);
