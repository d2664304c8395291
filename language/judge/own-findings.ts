/** What is found by no rule, and has a code of its own. */
export type OwnFinding = 'requirement' | 'not_computable' | 'nothing_fits' | 'not_checked';

/** Of each: why it is found, and what to do. */
export const ownFindings: Readonly<Record<OwnFinding, { readonly why: string; readonly mend: string }>> = {
  requirement: {
    why: 'A require of the design does not hold with the values that it has. The limit is the builder’s own, and no rule of the library.',
    mend: 'Change what the message names with its numbers, or require what can be had.',
  },
  not_computable: {
    why: 'A value is given, or worth showing, and cannot be: a division by zero, a place outside a table, values that lead back to themselves. It is an error where a rule about the safety of people waits for it.',
    mend: 'Look at the value that the message names: at its formula, and at what goes into it.',
  },
  nothing_fits: {
    why: 'Of all that could stand in place of a ? each breaks something grave. The machine is judged with what comes nearest.',
    mend: 'Change one of the values that the message says would have to give, or offer other parts.',
  },
  not_checked: {
    why: 'The program failed on this file, through a mistake of its own: nothing is said of its machines, so that nothing must be taken from their silence.',
    mend: 'Report the file and the message. The other files are checked all the same.',
  },
};
