import { sayings } from './mistake.ts';
import { capital, didYouMean, listed } from './sentence.ts';

/** Names that mean nothing where they stand, or two things. */
export const namingTable = {
  unknown_name: {
    why: 'A name means a value or a block of this one, what the blocks around share, or what a file declares. Nothing of these goes by it.',
    mend: 'Write the name of something that is there, or declare it.',
    says: {
      called: (name: string, where: string, near?: string) => `Nothing is called ${name}${where}.${didYouMean(near)}`,
      unit: (written: string, meant: string) =>
        `A unit stands behind its number, with all that it is divided by: ${meant}, not ${written}.`,
    },
  },
  unknown_kind: {
    why: 'What a block is judged by follows from its kind, so that the kind must be one that is declared.',
    mend: 'Write the name of a kind that is there, declare one, or use the file that does.',
    says: {
      named: (name: string, near?: string) => `There is no kind called ${name}.${didYouMean(near)}`,
      afterIs: () => 'After is stands the name of a kind, such as wire.',
    },
  },
  unknown_part: {
    why: 'A block starts from a part or a kind that is declared: its values are taken from there.',
    mend: 'Write the name of one that is there, declare it, or use the file that does.',
    says: {
      part: (name: string, near?: string) =>
        `There is no part called ${name}.${didYouMean(near, ' Declare it, or use the file that does.')}`,
      among: () => 'A block starts from a part: what is chosen among here are the names of parts.',
      kindOrPart: (name: string, near?: string) => `There is no kind or part called ${name}.${didYouMean(near)}`,
    },
  },
  unknown_value: {
    why: 'A kind says which values its blocks have; one that nothing reads would be said in vain.',
    mend: 'Write the name of a value that the kind has, or declare it in a kind of your own.',
    says: {
      in: (owner: string, name: string, near?: string) =>
        `${capital(owner)} has no value called ${name}.${didYouMean(near)}`,
      given: (owner: string, name: string, takes: readonly string[], near?: string) =>
        `${capital(owner)} has no value called ${name}.${didYouMean(near, takes.length ? ` It can be given ${listed(takes)}.` : '')}`,
      rested: (check: string, name: string, rests: readonly string[]) =>
        `The check of ${check} does not rest on ${name}: ${rests.length ? `it rests on ${listed(rests)}, each written as NAME = VALUE` : 'it rests on no value, so leave it out'}.`,
    },
  },
  unknown_member: {
    why: 'A dot leads to a value or a block of what stands before it, and there is none of that name.',
    mend: 'Write the name of one that is there.',
    says: {
      ofBlock: (owner: string, name: string, has: readonly string[], near?: string) =>
        `${capital(owner)} has nothing called ${name}.${didYouMean(near, has.length ? ` It has ${listed(has)}.` : ' It has no values or blocks.')}`,
      ofSize: (count: number, sides: readonly string[], name: string) =>
        `A size of ${count} sides has ${listed(sides)}, not ${name}.`,
      ofValue: (what: string, name: string) => `${capital(what)} has no parts of its own, so there is no .${name}.`,
    },
  },
  unknown_choice: {
    why: 'The kind says which words may stand here.',
    mend: 'Write one of them.',
    says: (options: readonly string[], name: string) =>
      `Expected one of ${listed(options, 20)}; ${name} is none of them.`,
  },
  unknown_rule: {
    why: 'What is accepted, or follows from something else, is named by its rule; an acceptance of a rule that there is not would never count.',
    mend: 'Write the name of the rule as the finding shows it.',
    says: (name: string, near?: string) => `There is no rule called ${name}.${didYouMean(near)}`,
  },
  unknown_check: {
    why: 'A record says that something was checked. What can be checked on a block, and how, its kind declares: a record of anything else would be of no use to anyone.',
    mend: 'Write the name of a check that the kind declares, or the block that it is declared for.',
    says: (owner: string, name: string, can: readonly string[], near?: string) =>
      `${name} is nothing that can be checked on ${owner}.${didYouMean(near, can.length ? ` What can be: ${listed(can)}.` : ' Its kind declares no check.')}`,
  },
  unknown_type: {
    why: 'A type is a quantity that is measured, a kind of block, a text, a yes or no, a date, or a list, curve or choice of these.',
    mend: 'Write the name of a quantity or a kind.',
    says: (name: string, near?: string) => `${name} is neither a quantity nor a kind.${didYouMean(near)}`,
  },
  unknown_sizes: {
    why: 'A value that comes in standard sizes names the set that they stand in.',
    mend: 'Write the name of a set of sizes, or declare one.',
    says: (name: string) => `There are no sizes called ${name}.`,
  },
  unknown_unit: {
    why: 'Numbers are computed in units, so that each must be one whose size is known.',
    mend: 'Write a unit as the SI or the trade does.',
    says: {
      unknown: (unit: string, writtenIn = '') => `${unit} is not a unit Gusset knows.${writtenIn}`,
      meant: (unit: string, suggestion: string) => `${unit} is not a unit; did you mean ${suggestion}?`,
      product: (part: string, unit: string, product: string) =>
        `${part} is not a unit. Without blanks ${unit} reads as one unit; to multiply, write ${product}.`,
    },
  },
  ambiguous: {
    why: 'A name has one meaning. Where two things go by it, whoever reads the text may take either.',
    mend: 'Give the block another name.',
    says: (name: string, one: string, other: string) =>
      `${name} could mean ${one} or ${other} here: give the block another name.`,
  },
  clash: {
    why: 'A name has one meaning: were it declared twice, each file might mean another one.',
    mend: 'Give one of them another name.',
    says: {
      library: (name: string) => `The library already has ${name}: give this one another name.`,
      used: (name: string) => `A file used here already declares ${name}: give one of them another name.`,
      bothUsed: (names: readonly string[]) =>
        `${names.slice(0, 3).join(', ')} ${names.length > 1 ? 'are' : 'is'} declared in two files that are used here; the first one counts.`,
      choice: (name: string) => `${name} already means something else here: give this choice another name.`,
      word: (name: string) =>
        `${name} is a word of the language, so that nothing can be read by it as a name: give this one another name.`,
    },
  },
  said_twice: {
    why: 'What is said twice can differ, and only one of the two can count.',
    mend: 'Take one of them away, or give it a name of its own.',
    says: {
      inFile: (name: string) => `${name} is already declared in this file; the first one counts.`,
      inKind: (name: string) => `${name} is already declared in this kind; the first one counts.`,
      inBlock: (name: string) => `${name} is already said in this block; the first one counts.`,
      step: (name: string) => `${name} is an argument or a step already: give this step another name.`,
      record: (name: string) => `${name} is recorded twice: leave the later record, and take the other away.`,
      absent: (name: string) => `${name} is given in this block, and said to be not there: take one of the two away.`,
    },
  },
  ring: {
    why: 'What starts from itself, contains itself or is computed from itself never comes to an end.',
    mend: 'Break the ring: let one of them start from something else.',
    says: {
      starts: (name: string, way: string) => `${name} starts from itself: ${way}.`,
      through: (name: string, through: string) => `${name} starts from itself, through ${through}.`,
      contains: (name: string) => `This never ends: ${name} contains itself here.`,
      formulas: (way: string) => `These formulas lead back to themselves: ${way}.`,
      files: (way: string) => `These files use each other in a ring: ${way}.`,
      file: () => 'A file cannot use itself.',
    },
  },
  language_version: {
    why: 'A file says by which version of the language it is to be read, so that a later one is told at once and not line by line.',
    mend: 'Write the version as a whole number above all else, `gusset 1`; for a later one take a Gusset that knows it.',
    says: {
      later: (written: string, known: number) =>
        `This file is written in version ${written} of the language, and this Gusset reads version ${known}: take a later Gusset, or expect what it does not know.`,
      whole: (known: number) => `The version of the language is a whole number from 1 up: gusset ${known}.`,
      first: () => 'The version of the language stands above all else in a file.',
    },
  },
  deprecated: {
    severity: 'advice',
    why: 'It still works, and something better has taken its place: a later version may do without it.',
    mend: 'Write what takes its place; the fix does.',
    says: {
      by: (name: string, successor: string) => `${name} is no longer to be used: write ${successor}.`,
      gone: (name: string) => `${name} is no longer to be used, and nothing takes its place.`,
    },
  },
  missing_file: {
    why: 'What the file declares is needed here.',
    mend: 'Correct the path, or make the file. A path is read from the folder of this file.',
    says: (path: string) => `There is no file ${path} beside this one.`,
  },
  refused_file: {
    why: 'Only files of this design are read: reading a text must not lead anywhere on the computer.',
    mend: 'Move the file into the folder of the design.',
    says: (path: string, why: string) => `${path} is not read: ${why}.`,
  },
} as const;

export const naming = sayings(namingTable);
