import { sayings } from './mistake.ts';

/** A character that means nothing, in words: one that is not seen is told by its number. */
function meaningless(character: string): string {
  if (!/[\p{C}\p{Z}]/u.test(character)) return `${character} means nothing here.`;
  return `Here is an invisible character, ${numberOf(character)}, that means nothing.`;
}

function numberOf(character: string): string {
  return `U+${character.codePointAt(0)?.toString(16).toUpperCase().padStart(4, '0')}`;
}

/** Texts that cannot be read as they stand. */
export const spellingTable = {
  stray_text: {
    why: 'A file is made of declarations and machines, a block of statements; each begins with a word. What begins otherwise belongs to nothing.',
    mend: 'Begin the line with the name of what it gives a value to, or take it out.',
    says: {
      meaningless,
      inFile: (text: string) => `${text} cannot begin a statement. Expected a declaration, such as "machine Heron {".`,
      inBlock: (text: string) =>
        `${text} cannot begin a statement. Expected a name, such as "power = 250 W" or "wire {".`,
      brace: (line: string) => `A { stands at the end of the line whose block it opens: "${line} {".`,
      braceAlone: () => 'A { stands at the end of a line that names what its block is of, such as "wire {".',
      beforeEquals: () => 'Expected a name before the =, such as power = 250 W.',
    },
  },
  stray_close: {
    why: 'Brackets come in pairs. One that closes nothing ends a block too early, and what stands below it is read in the wrong place.',
    mend: 'Take it away, or write the one that it was meant to close.',
    says: (text: string, opening: string) =>
      `This ${text} closes nothing: there is one too many, or a ${opening} is missing before it.`,
  },
  other_comment: {
    why: 'There is one way to write a comment, so that every tool reads the same text as said.',
    mend: 'Begin each line of it with //.',
    says: {
      block: () => 'A comment begins with //, and ends with its line.',
      line: () => 'A comment begins with //.',
    },
  },
  unexpected: {
    why: 'A statement ends with its line. What stands behind its end would be passed over.',
    mend: 'Give it a line of its own, or take it out.',
    says: {
      meaningless,
      another: (word: string) => `Each statement has its own line: ${word} begins another.`,
      list: () => 'A list stands in brackets, such as [a, b].',
      beforeBrace: (text: string) => `${text} was not expected here: a block begins behind its name.`,
      rest: (text: string) => `${text} was not expected here: a statement ends with its line.`,
    },
  },
  spelling: {
    severity: 'advice',
    why: 'A sign of mathematics or of a word processor whose meaning is plain, but that is not how it is written here.',
    mend: 'Write it as the message says; the fix does, and so does formatting.',
    says: {
      lineEnd: () => 'A statement ends with its line: no ; is needed.',
      twoOnOneLine: () => 'One statement stands on one line: a new line is needed here, not a ;.',
      quotes: (instead: string) => `Texts stand in straight double quotes: ${instead}.`,
      instead: (instead: string, found: string) => `Write ${instead} for ${found}.`,
    },
  },
  old_word: {
    why: 'The language has one word for each thing; this one said the same once.',
    mend: 'Write the word of today; the fix does.',
    says: {
      remove: () => 'What is deliberately not there is said by no, whether a base gives it or not.',
    },
  },
  missing_brace: {
    why: 'Lines that stand further in belong to the line above them, whose block has to be opened for that.',
    mend: 'Write { at the end of the line above, or move the lines out.',
    says: () => 'Expected { at the end of this line, for what stands below it.',
  },
  unclosed_block: {
    why: 'Without its closing brace a block has no end, and whatever stands below would belong to it.',
    mend: 'Write } on a line of its own where the block ends.',
    says: () => 'The block that begins here is not closed: its } is missing.',
  },
  unclosed_bracket: {
    why: 'What an opening bracket begins ends with its closing one; without it nobody can say which values belong to it.',
    mend: 'Write the closing bracket.',
    says: (open: string, close: string) => `This ${open} is not closed: its ${close} is missing.`,
  },
  hidden_character: {
    severity: 'warning',
    why: 'It is not seen, and turns the order in which what follows is shown, or is an order to a terminal: what is read is not what is said.',
    mend: 'Take it out; the fix does. Letters that are written from the right need none of them.',
    says: (character: string) =>
      `Here is an invisible character, ${numberOf(character)}: what is read here may not be what is said.`,
  },
  unclosed_text: {
    why: 'A text stands between two double quotes on one line.',
    mend: 'Write " at its end.',
    says: () => 'This text is not closed: a " is missing at its end.',
  },
  too_deep: {
    why: 'Nesting is limited, so that no text exhausts the computer.',
    mend: 'Give what is inside a name of its own, and use that.',
    says: {
      blocks: (most: number) => `Blocks are nested more than ${most} deep here.`,
      expression: () => 'This expression is nested too deep.',
      type: () => 'This type is nested too deep.',
    },
  },
  too_long: {
    why: 'The length of one expression is limited, so that no text exhausts the computer.',
    mend: 'Give parts of it names of their own, and join those.',
    says: (most: number) => `This expression joins more than ${most} operands: give parts of it names of their own.`,
  },
  missing_text: {
    why: 'What people are to read, and the path of a file, stand in double quotes.',
    mend: 'Write the text in double quotes.',
    says: {
      of: (what: string) => `Expected ${what}.`,
      file: () => 'Expected a file in quotes, such as use "./stock.gusset".',
    },
  },
  missing_name: {
    why: 'What is said here is about something, and that goes by its name.',
    mend: 'Write the name.',
    says: {
      of: (what: string) => `Expected ${what}.`,
      beforeIs: (what: string) => `Expected the name of the ${what} before "is".`,
    },
  },
  missing_joint: {
    why: 'Between two names stands how they belong together: a rule is on a kind, a part or a kind is what it starts from.',
    mend: 'Write the word between the two names.',
    says: {
      between: (joint: string, example: string) => `Expected "${joint}" between the two names: ${example}.`,
      other: (joint: string, found: string, example: string) => `Expected "${joint}", not ${found}: ${example}.`,
    },
  },
  missing_mark: {
    why: 'The mark tells where one thing ends and the next begins.',
    mend: 'Write the mark.',
    says: {
      of: (mark: string, where: string) => `Expected ${mark} ${where}.`,
      argument: (name: string) => `An argument is given with a colon, not with =: ${name}: ….`,
      afterName: (name: string) => `Expected a colon between ${name} and its value.`,
    },
  },
  missing_comma: {
    why: 'Elements of a list and arguments of a call are told apart by commas.',
    mend: 'Write a comma between the two.',
    says: (text: string) => `Expected a comma before ${text}.`,
  },
  missing_date: {
    why: 'A rate and a record belong to a day: a year on, they may be different.',
    mend: 'Write on and the day, the year first.',
    says: {
      day: () => 'Expected the day it was taken: on 2026-03-02.',
      form: () => 'Expected a date, written as 2026-03-02.',
    },
  },
  no_such_day: {
    why: 'What is recorded happened on a day that there was.',
    mend: 'Write the day, the year first, then the month and the day of the month.',
    says: {
      month: (date: string, month: string) =>
        `${date} is no date: months go from 01 to 12, not to ${month}. Write year-month-day.`,
      day: (date: string, days: number) => `${date} is no date: that month has the days 01 to ${days}.`,
      ahead: (date: string, today: string) =>
        `${date} lies ahead: today is ${today}. A record says what was done; write the day on which it was.`,
    },
  },
  missing_value: {
    why: 'Where a value is begun, one has to follow. A value that is not known yet is left out altogether, or is ? to have one proposed.',
    mend: 'Write a number with its unit, a name, or ?.',
    says: {
      meaningless: (character: string) => `${meaningless(character)} Expected a value, such as 24 V or a name.`,
      before: (mark: string) => `A value is missing before this ${mark}.`,
      after: (operator: string) => `A value is missing after "${operator}", such as 24 V or a name.`,
      of: (name: string, mark: string) => `The value of ${name} is missing after the ${mark}.`,
      declared: (what: string, name: string) =>
        `A ${what} has a value: write = and what it is behind ${name} and its type.`,
      here: () => 'Expected a value here: a number with its unit, a name, or ? to let the tool propose one.',
    },
  },
  missing_member: {
    why: 'A dot leads into what stands before it, to something that goes by a name.',
    mend: 'Write the name of a value or a block behind the dot, or take the dot away.',
    says: () => 'Expected the name of a value or a block after the dot.',
  },
  missing_then: {
    why: 'A condition and what it decides are told apart by then.',
    mend: 'Write then between the condition and the value.',
    says: () => 'Expected "then" after the condition: if C then A else B.',
  },
  missing_else: {
    why: 'A value has to be something in any case, so that both are said: what holds if it is so, and what if not.',
    mend: 'Write else and the other value.',
    says: () => 'Expected "else" and what holds otherwise: if C then A else B.',
  },
  missing_in: {
    why: 'A question goes through something: every block of a kind, or a list.',
    mend: 'Write in, and what is gone through.',
    says: () => 'Expected "in" and what is gone through: for m in every motor.',
  },
  missing_list: {
    why: 'What belongs together, such as all that a choice is among, stands in brackets.',
    mend: 'Write it in brackets, or take the word before it away.',
    says: {
      choice: () => 'Expected what is to be chosen among, in brackets: ? of [a, b].',
      record: () => 'Expected the values that it was checked with, in brackets: with [voltage = 24 V].',
    },
  },
  missing_of: {
    why: 'A consequence names the rule that is its root and the block where that rule is broken.',
    mend: 'Write of and the block.',
    says: () => 'Expected "of" and the block where that rule is broken.',
  },
  missing_reason: {
    why: 'Whoever reads the design later has to see why a finding was accepted.',
    mend: 'Write because and the reason in quotes.',
    says: () => 'An acceptance says why: because "measured 55 degC after an hour".',
  },
  missing_standing: {
    why: 'A source says how good it is, since what rests on memory alone is not to be trusted as a standard is.',
    mend: 'Write one of the words before the text.',
    says: (standings: string) => `Expected how good the source is: ${standings}.`,
  },
  missing_equals: {
    why: 'A value is given with an equals sign; a name and a value without it could be two things.',
    mend: 'Write = between them.',
    says: {
      between: () => 'Expected = between the name and its value.',
      isValue: (name: string) => `${name} is a value: expected = and what it is.`,
    },
  },
  missing_count: {
    why: 'Behind * stands how many of the block there are.',
    mend: 'Write a whole number.',
    says: () => 'Expected how many, such as motor * 2.',
  },
  decimal_comma: {
    why: 'A comma stands between two values, so that decimals have a point.',
    mend: 'Write a point.',
    says: (text: string) => `Decimals are written with a point: ${text}.`,
  },
  tight_unit: {
    severity: 'advice',
    why: 'A number and its unit are two words, as the SI writes them.',
    mend: 'Write a blank between them; the fix does, and so does formatting.',
    says: (text: string) => `Write a blank between the number and its unit: ${text}.`,
  },
  unit_once: {
    severity: 'advice',
    why: 'Each side of a size is a length of its own, with its unit.',
    mend: 'Write the unit behind each; the fix does, and so does formatting.',
    says: (text: string) => `Each side has its own unit: ${text}.`,
  },
  word_before_unit: {
    why: 'A value is a number and its unit, and nothing between them. What is said of it besides is a comment, or a value of its own.',
    mend: 'Take out what stands between them.',
    says: (text: string) => `Between a number and its unit stands nothing: ${text}.`,
  },
  range_in_words: {
    why: 'A range stands between two points and two values; a word there, or a dash, could be a unit or a difference.',
    mend: 'Write .. between both ends, each with its own unit.',
    says: (range: string) => `Between the ends of a range stand two points, and no word: ${range}.`,
  },
  leading_point: {
    why: 'A point without a digit before it is easily overlooked, and .5 read as 5.',
    mend: 'Write 0 before the point.',
    says: (text: string) => `A number begins with a digit: ${text}.`,
  },
  single_equals: {
    why: 'One = gives a value, two compare: a condition that gave a value would always hold.',
    mend: 'Write == between the two values.',
    says: () => 'Two values are compared with ==; a single = gives a value.',
  },
  double_equals: {
    why: 'Two = compare, one gives a value: a value is given here.',
    mend: 'Write a single =.',
    says: (name: string) => `The value of ${name} is given with a single =.`,
  },
  colon_for_equals: {
    why: 'A colon stands between a name and its type, which a kind declares; a value is given with =.',
    mend: 'Write = for the colon.',
    says: (name: string) => `The value of ${name} is given with =, not with a colon.`,
  },
  declaration_inside: {
    why: 'Kinds, rules and the like hold for the whole file, and stand where they are found: at its top.',
    mend: 'Move it out of the block.',
    says: (word: string) => `A ${word} is declared at the top of a file, not inside a block.`,
  },
} as const;

export const spelling = sayings(spellingTable);
