// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the texts of the code
// Changes to language/compute that no test can notice: what was, what became of it (of several the reason is one), why nothing changes, and
// where the same text stands elsewhere too, a part of the line.
const of = (name, changes) =>
  changes.flatMap(([was, is, why, on]) =>
    [is].flat().map((each) => ({ file: `language/compute/${name}.ts`, was, is: each, why, ...(on && { on }) })),
  );

export const ofCompute = [
  ...of('proof', [
    ['node?.$type', 'node.$type', 'a verdict is one on a condition that is written'],
    ['node !== undefined', 'true', 'a verdict is one on a condition that is written'],
    ["node?.$type === 'Binary'", 'true', 'nothing else has one of these operators'],
    ["node?.$type !== 'Binary'", 'false', 'nothing else has one of these operators'],
    [
      '!isSpanOrNumber(left) || !isSpanOrNumber(right)',
      ['!isSpanOrNumber(left) && !isSpanOrNumber(right)', 'false'],
      'two sides are of one type, and what is no number has no slopes to take a difference of',
    ],
  ]),
  ...of('records', [
    ["node.$type !== 'Checked'", 'false', 'what was set names no check, and so has none'],
    [
      "''",
      '"Stryker was here!"',
      'no value and no check goes by half a name, whichever it is',
      "node.check?.text ?? ''",
    ],
    ["''", '"Stryker was here!"', 'no value goes by half a name, whichever it is', '.text ?? '],
    [
      "node.$type !== 'Setting' || !node.value",
      "node.$type !== 'Setting' && !node.value",
      'what was checked names no value, and so sets none',
    ],
    ['node.check?.text', 'node.check.text', 'what is read as a record names something'],
    ["node.$type !== 'Setting' || !node.value", 'false', 'of what has no value nothing is known to be set'],
    ['[]', '["Stryker was here"]', 'where what is set has no value, there is a mistake', 'isMissing(set)'],
    ['target.name?.text', 'target.name.text', 'what refers to something names it'],
    ['target.member?.text', 'target.member.text', 'the parser puts a name where one is missing'],
    [
      'element.name?.text',
      'element.name.text',
      'a list with an element that has no name has a mistake, and is not looked into',
    ],
    ['cell.member?.shown', 'cell.member.shown', 'a value that a check rests on is one that its kind declares'],
    ['part?.name?.text', 'part?.name.text', 'a block starts from a part by its name'],
    ['instance.part?.name?.text', 'instance.part?.name.text', 'a block starts from a part by its name'],
    ["type.is === 'list'", 'true', 'several values are the value of a list'],
    ['low && high', 'true', 'an end of a range is a number, and can be written'],
    [
      'low && high && `${low} .. ${high}`',
      ['low && high || `${low} .. ${high}`', 'true'],
      'an end of a range is a number, and can be written',
    ],
    [
      "node.$type === 'Group' && node.inner",
      "node.$type === 'Group' || node.inner",
      'only what stands in brackets has something in it',
    ],
    ["node.$type === 'Group'", 'true', 'only what stands in brackets has something in it'],
    [
      "typeof then === 'number'",
      'true',
      'what is set is of the type of the value, so that one number is compared with another',
    ],
    [
      "typeof now === 'number'",
      'true',
      'what is set is of the type of the value, so that one number is compared with another',
    ],
    [
      "typeof then === 'number' && typeof now === 'number'",
      "typeof then === 'number' || typeof now === 'number'",
      'what is set is of the type of the value, so that one number is compared with another',
    ],
    [
      'Array.isArray(then) && Array.isArray(now)',
      'Array.isArray(then) || Array.isArray(now)',
      'what is set is of the type of the value',
    ],
    [
      '[]',
      '["Stryker was here"]',
      'what is no node is no quantity either: a list that is not written out agrees by what it comes to',
      "node.$type === 'List'",
    ],
    [
      "node.$type === 'Binary' && node.operator === '..'",
      "node.$type === 'Binary' || node.operator === '..'",
      'of all that is written with two sides only `..` gives a range',
    ],
    ["node.$type === 'Binary'", 'true', 'nothing else is written with `..`'],
    ["node.operator === '..'", 'true', 'of all that is written with two sides only `..` gives a range'],
    [
      'left !== undefined && right !== undefined',
      ['left !== undefined || right !== undefined', 'true'],
      'what lacks a side comes to no range',
    ],
    ['left !== undefined', 'true', 'what lacks a side comes to no range'],
    ['right !== undefined', 'true', 'what lacks a side comes to no range'],
    [
      'Math.abs((now - zero) / factor) < 1e-9',
      'Math.abs((now - zero) / factor) <= 1e-9',
      'no value is a billionth to the last bit',
    ],
    [
      'Math.abs((now - zero) / factor - number) <= step * (0.5 + 1e-6)',
      'Math.abs((now - zero) / factor - number) < step * (0.5 + 1e-6)',
      'no value is off by that much to the last bit',
    ],
    [
      'Math.abs(each - (b[i] as number)) <= rounding * Math.abs(each)',
      'Math.abs(each - (b[i] as number)) < rounding * Math.abs(each)',
      'what is the same was found to be so before, and no price is off by that much to the last bit',
    ],
    [
      '[]',
      '["Stryker was here"]',
      'a word is near to no other, whatever stands for it',
      'return value instanceof Money',
    ],
    ["node.$type !== 'Setting'", 'false', 'what was checked names no value, and so sets none'],
  ]),
];
