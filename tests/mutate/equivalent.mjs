// Changes that no test can notice, for they change nothing that anyone sees: `was` became `is`, and `why` nothing changes.
export const equivalent = [
  {
    file: 'language/units/dimension.ts',
    was: 'b.powers.size === 0',
    is: 'false',
    why: 'a shortcut: without it the same dimension is found',
  },
  {
    file: 'language/units/units.ts',
    was: 'prefix === symbol',
    is: 'false',
    why: 'the same spelling is tried a second time',
  },
  {
    file: 'language/units/units.ts',
    was: "m.$type === 'Clause'",
    is: 'true',
    why: 'only clauses have a keyword',
  },
  {
    file: 'language/names/type.ts',
    was: "type.of.is === 'instance'",
    is: 'true',
    why: 'no other type has a kind',
  },
  {
    file: 'language/values/span.ts',
    was: 'a.low <= 0',
    is: 'false',
    why: 'a root or a logarithm of what may be nothing has a slope without end, which no span takes either',
  },
  {
    file: 'language/values/span.ts',
    was: 'low <= 0',
    is: 'low < 0',
    why: 'the square of nothing is nothing',
  },
  {
    file: 'language/values/span.ts',
    was: 'each.high >= low - slack',
    is: 'each.high > low - slack',
    why: 'only where two are apart by the slack to the last bit',
  },
  {
    file: 'language/compute/evaluate-functions.ts',
    was: 'first?.comprehension',
    is: 'first.comprehension',
    why: 'a call without arguments has a mistake in it, and is not computed',
  },
  {
    file: 'language/compute/evaluate-calls.ts',
    was: 'binding.member.parameters.length > 0',
    is: 'true',
    why: 'a call of what takes no arguments has a mistake in it, and is not computed',
  },
  {
    file: 'language/compute/machine.ts',
    was: 'cell.definition.spoiled !== spoiled || holdsFault(cell)',
    is: 'true',
    why: 'what is as before is looked at once more',
  },
  {
    file: 'language/values/operators.ts',
    was: 'a.high !== undefined && b.low !== undefined',
    is: 'true',
    why: 'a comparison with what is not there is false',
  },
  {
    file: 'language/values/operators.ts',
    was: 'a.high !== undefined',
    is: 'true',
    why: 'a comparison with what is not there is false',
  },
  {
    file: 'language/numerics/network.ts',
    was: '!(Math.abs(pivot[c] as number) > 0)',
    is: 'false',
    why: 'what is divided by nothing is no number, and never comes to rest: the fault is the same',
  },
];
