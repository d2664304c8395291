import { sayings } from './mistake.ts';
import { capital, didYouMean, listed } from './sentence.ts';

/** Statements that do not belong where they stand, and places where one is missing. */
export const placingTable = {
  not_here: {
    why: 'Each statement has its place: kinds declare, rules judge, blocks give values. Elsewhere it would have no effect.',
    mend: 'Move it to where it belongs, or take it out.',
    says: {
      block: (word: string) => `${word} belongs in a kind or a rule, not in a block.`,
      kind: (word: string) => `${word} does not belong in a kind.`,
      rule: (word: string) => `${word} does not belong in a rule.`,
      check: (word: string, what: string) => `${word} does not belong in a ${what}.`,
      part: (word: string) =>
        `${word} is a record of the machine that was built: it belongs in a machine, not in a part.`,
      head: (what: string, name: string) =>
        `${what} says nothing of a value that is given: in a block write ${name} = … and no more.`,
      given: (word: string, name: string, takes: readonly string[]) =>
        `${word} says nothing of a value that is given: below ${name} = … stand ${listed(takes)}.`,
      more: (said: readonly string[], name: string, target: string, part: string) =>
        `${listed(said)} would be lost: ${name} = ${target} points at ${target} as it is. Declare one of your own, part ${part} is ${target} { … }, and write ${name} = ${part}.`,
      step: (name: string) => `${name} is a step, which belongs under a formula, and there is none here.`,
    },
  },
  type_in_block: {
    why: 'What a value is, its kind declares once for all blocks; a block gives it.',
    mend: 'Write = and the value. For a value of your own, declare a kind that has it.',
    says: (name: string) => `In a block, ${name} is given a value with =; its type is declared by the kind.`,
  },
  computed_value: {
    why: 'A value that is computed from others would contradict them if it were given as well.',
    mend: 'Give what it is computed from. What was measured can be used in place of what is computed.',
    says: (name: string) =>
      `${name} is computed. To set what was measured beside it, write: measured ${name} = … on DATE in place.`,
  },
  block_expected: {
    why: 'It has values of its own, so that it is a block and no value.',
    mend: 'Write it as a block.',
    says: (name: string, part = 'PART') => `${name} is a block: write ${name} { … } or ${name} is ${part}.`,
  },
  unknown_absence: {
    why: 'What is said to be not there is something that could be: else a slip of the pen would pass for a decision.',
    mend: 'Write the name of a block or a value that the kind may be without, or that comes from what this starts from.',
    says: (owner: string, name: string, near?: string) =>
      `${capital(owner)} has nothing called ${name}, and what it starts from gives no such block: there is nothing to be without.${didYouMean(near)}`,
  },
  never_absent: {
    why: 'The rules cannot do without it, whatever the machine is like.',
    mend: 'Give it its value.',
    says: (name: string, why: string) =>
      `${name} ${why}, and is never not there: give it its value, such as ${name} = …`,
  },
  several_meant: {
    why: 'Where a block says more of what is there already, it has to be plain of which.',
    mend: 'Write the name of the one that is meant.',
    says: (kind: string, there: readonly string[]) =>
      `Which ${kind} is meant is not said: there are ${listed(there)} already. Write ${there
        .slice(0, 8)
        .map((one) => `${kind} ${one}`)
        .join(' or ')}, or give this one a name of its own.`,
  },
  wrong_place: {
    why: 'What a block is judged by follows from where it stands.',
    mend: 'Move it into a block that takes it.',
    says: {
      in: (what: string, holder: string, places: readonly string[]) =>
        `${capital(what)} cannot stand in ${holder}.${places.length ? ` It stands in ${listed(places)}.` : ''}`,
      alone: (what: string, places: readonly string[]) =>
        `${capital(what)} does not stand alone in a file: it stands in ${places.length ? places.join(' or ') : 'a block of another kind'}.`,
    },
  },
  wrong_count: {
    why: 'A block stands for one thing, or for several that are alike.',
    mend: 'Write a whole number from 1, behind the name.',
    says: {
      whole: () => 'How many there are is a whole number, such as * 2.',
      name: (name: string, text: string) =>
        `How many there are is a bare number, and ${name} stands behind it as if it were a unit. A name stands before it: ${text}.`,
    },
  },
  other_kind: {
    why: 'The kind before a name says what the block is. One that contradicts what the block already is would leave it open which rules it is judged by.',
    mend: 'Write its own kind; what it starts from is changed with is.',
    says: (name: string, is: string, why: string, kind: string) => {
      const head = kind === name ? name : `${kind} ${name}`;
      return `${name} is ${is}, and ${why}. To say more of it, write ${head}; what it starts from is changed with is, as in ${head} is PART.`;
    },
  },
  two_in_one_role: {
    why: 'There is one place for such a block; with two it is not said which of them the rules speak of.',
    mend: 'Take one of them away, or say more of the one that is there.',
    says: (holder: string, kind: string, names: readonly string[], more: readonly string[]) =>
      `${capital(holder)} has one ${kind}, and here ${listed(names)} are each one. ${
        more.length
          ? `To say more of what is there already, write ${listed(more)}; to put this in its place, take that away first, by no and its name.`
          : 'Take one of them away.'
      }`,
  },
  wrong_part: {
    why: 'A part brings the values of its kind, and another kind has others.',
    mend: 'Choose a part of the kind that is expected.',
    says: (part: string, is: string, expected: string) => `${part} is ${is}; expected ${expected}.`,
  },
  kind_after_is: {
    why: 'There is one way to write each block: its kind, its name, and behind is the part that it starts from.',
    mend: 'Write the kind before the name.',
    says: (kind: string, text: string) =>
      `${kind} is a kind, and stands before the name: ${text}. Behind is stands a part, or what changes the kind of a block that is there already.`,
  },
  not_given: {
    severity: 'note',
    why: 'Nothing is wrong yet: what rests on it is listed as not decided, and is not passed.',
    mend: 'Give it once it is known, or write ? to have it proposed.',
    says: (missing: readonly string[]) =>
      `Not given yet: ${listed(missing)}. What depends on ${missing.length > 1 ? 'them' : 'it'} is not known.`,
  },
  missing_type: {
    why: 'Whoever gives the value has to know what it is: a power, a length, a text.',
    mend: 'Write a colon and the type behind the name.',
    says: {
      inKind: (name: string) =>
        `A kind declares what ${name} is: write its type after a colon, such as ${name}: Power.`,
      declared: (what: string, name: string) =>
        `A ${what} says what it is: write its type after a colon, such as ${what} ${name}: Length = ….`,
    },
  },
  missing_base: {
    why: 'A part has the values of the kind that it starts from.',
    mend: 'Write is and the kind.',
    says: (name: string) => `A part says what it starts from: part ${name} is KIND { … }.`,
  },
  missing_kind: {
    why: 'A rule looks at every block of one kind.',
    mend: 'Write on and the kind.',
    says: () => 'A rule says what it is about: rule NAME on KIND { … }.',
  },
  missing_holds: {
    why: 'A rule without a condition could not be broken.',
    mend: 'Write holds and what must be so.',
    says: () => 'A rule says what must be so, such as holds current <= capacity.',
  },
  missing_question: {
    why: 'Where a kind expects something, whoever has not said it yet is asked for it in words.',
    mend: 'Write the condition, a comma, and the question in quotes.',
    says: () =>
      'expects says what is to be given, and the question in words where it is not: expects given(feed), "What feeds it?"',
  },
  missing_heading: {
    why: 'What a kind reports stands on the sheet of a machine under a heading; kinds that share one stand together.',
    mend: 'Write the heading in quotes, then the values, with commas between them.',
    says: () => 'report says under which heading, and then what: report "Heating up", heat_up, target',
  },
  bad_symbol: {
    why: 'A symbol is drawn in wiring plans as an SVG path, in a box of 40 by 20 through whose middle the line goes.',
    mend: 'Write the path in quotes, beginning with M; then, if you like, its letters in quotes, and values to stand beside it.',
    says: () => 'symbol says how it is drawn, as an SVG path: symbol "M0 10h40 M8 4h24v12h-24z", "F", rated_current',
  },
  half_plan: {
    why: 'Wiring plans and drawings are made from what kinds say of it: what current flows through, what is a wire, what has leads of its own, and where it stands.',
    mend: 'Name values of the kind in this order.',
    says: {
      rung: () =>
        'rung says its heading, then lists of blocks that current flows through out and back, the wire that earths, and the marks of both ends: rung "Wiring", path, back_through, earth, out_mark, back_mark, current',
      cores: () =>
        'cores says first the colours of the way out and of the way back: cores colour_out, colour_back, area, length',
      lead: () => 'lead says first to which block, or blocks, its leads go: lead input',
      alongside: () =>
        'alongside names the value that lists in which units more numbers are shown on the sheet: alongside units_beside',
      terminated: () =>
        'terminated names the text that says how the end of a wire at it is made, and those of its pins on the way out and back, where it has some: terminated wire_end, pin_out, pin_back',
      shape: () =>
        'shape says its heading, where its left side, front and underside are, its width, depth and height, how far it moves right, back and up, and whether it is solid, round, and dimensioned: shape "Drawing", left, front, under, wide, deep, high, goes_right, goes_back, goes_up, solid, round, sized',
    },
  },
  half_check: {
    why: 'Whoever builds the machine works through its checks one by one: each has to say when it is due, and what is to be done. What is looked for when something is amiss has to say by what it is known, and how often it is met.',
    mend: 'Write what is missing.',
    says: {
      stage: (name: string) =>
        `${name} does not say at which stage it is made: write stage and the name of one; step, for what is done while it is put together; or repeat, for what is done again and again.`,
      how: (name: string) => `${name} does not say how it is done: write how and the words in quotes.`,
      shows: (name: string) =>
        `${name} does not say when it shows: write shows and a condition, such as shows needed > available.`,
      alters: (name: string) =>
        `${name} does not say what it makes of a value: write alters, the value, and what it is then, such as alters tension = 20 % * tension .. 70 % * tension.`,
      odds: (name: string) =>
        `${name} does not say how often it is met: write odds and a share, such as odds 5 %, and its source.`,
    },
  },
  no_reading: {
    why: 'What a check reads is compared with its lowest and highest; one without either is made or not.',
    mend: 'Take at and the value away.',
    says: (name: string) =>
      `The check of ${name} reads no value: it is made, or it is not. Leave out what stands behind at.`,
  },
  missing_message: {
    why: 'Whoever breaks a rule has to read what is wrong.',
    mend: 'Write error, warning or advice, and the message in quotes.',
    says: () => 'A rule has a message: error, warning or advice, and a text.',
  },
  roles_overlap: {
    why: 'A block goes by its kind to the role that takes it. Where two take it, neither is meant.',
    mend: 'Give one of the roles a name of its own.',
    says: (kind: string, role: string, wider: string) =>
      `${capital(kind)} has the roles ${role} and ${wider}, and a block of kind ${role} could fill either: give one of them a name of its own, as in has NAME: ${wider}.`,
  },
  wrong_row: {
    why: 'A row is found by its keys, one for each argument of the table.',
    mend: 'Write as many keys as the table has arguments.',
    says: (keys: number, has: number) =>
      `This table is looked up by ${keys} ${keys === 1 ? 'key' : 'keys'}; this row has ${has}.`,
  },
  closed_units: {
    why: 'Units are the same in every design, or numbers of one could not be read in another.',
    mend: 'Write the value in a unit that there is.',
    says: (what: string) => `Units and dimensions are the library's: a ${what} cannot be declared here.`,
  },
} as const;

export const placing = sayings(placingTable);
