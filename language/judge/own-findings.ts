/** What is found by no rule, and has a code of its own. */
export type OwnFinding =
  | 'requirement'
  | 'not_computable'
  | 'nothing_fits'
  | 'safety_not_judged'
  | 'said_not_there'
  | 'record_lapsed'
  | 'reading_outside'
  | 'record_rests_on_nothing'
  | 'set_otherwise'
  | 'not_checked';

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
  safety_not_judged: {
    why: 'Rules about the safety of people wait for values that are not said. A machine may be unfinished; but what could not be judged was not found to be safe.',
    mend: 'Say what the message names. What is asked, and for how many rules, stands under Not said yet.',
  },
  said_not_there: {
    why: 'The design says that something is deliberately not there, and elsewhere what makes it be there. What is said to be absent is no longer asked for, so that the two must agree.',
    mend: 'Take the statement out that is wrong.',
  },
  record_lapsed: {
    why: 'A record says that something was checked, with values that are others now. What was found then says nothing of the machine as it is.',
    mend: 'Check it again and write the new day; leave out what stands behind with, and it is written anew.',
  },
  reading_outside: {
    why: 'What a check read is not what the design expects, with its tolerance. It is an error where people can be hurt.',
    mend: 'Find out why, mend it, check it again, and record what is read then.',
  },
  record_rests_on_nothing: {
    why: 'A record does not say which values something was checked with: it would still count when they change.',
    mend: 'Let them be written: the fix of the finding does, and so does gusset check --fix.',
  },
  set_otherwise: {
    why: 'A value was set in the controller to something else than the design comes to, beyond what is rounded away as it is written.',
    mend: 'Set the controller to what the design says and record that, or change the design.',
  },
  not_checked: {
    why: 'The program failed on this file, through a mistake of its own: nothing is said of its machines, so that nothing must be taken from their silence.',
    mend: 'Report the file and the message. The other files are checked all the same.',
  },
};
