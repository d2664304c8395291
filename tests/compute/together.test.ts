import { expect, test } from 'vitest';
import { machineIn } from '../support.ts';

/** Two rails, each as long as it is warm, and how far they are askew. */
const frame = (second: string) => `kind pair {
  toplevel
  first: Length
  second: Length
  askew: Length = abs(first - second) {
    source defined "a test"
  }
  both: Length = first + second {
    source defined "a test"
  }
}
rule out_of_square on pair {
  holds askew <= 1 mm
  error "{askew} askew"
  source defined "a test"
}
pair P {
  first = 10 mm .. 30 mm
  second = ${second}
  require both <= 40 mm
}
`;

const judged = (second: string) => {
  const { assessment } = machineIn(frame(second));
  return {
    square: !assessment.findings.some(({ rule }) => rule === 'out_of_square'),
    sum: assessment.requirements.map(({ shown, worst }) => [shown, worst]),
  };
};

test('two ranges written out are independent: the worst of both is looked for', () => {
  expect(judged('10 mm .. 30 mm')).toEqual({ square: false, sum: [['60 mm', expect.stringContaining('second')]] });
});

test('a value that names the other is the same quantity, and moves with it', () => {
  expect(judged('first')).toEqual({ square: true, sum: [['60 mm', 'at first 30 mm']] });
});

test('one that is computed from the other moves as its formula says, the other way too', () => {
  expect(judged('40 mm - first')).toEqual({ square: false, sum: [['40 mm', expect.anything()]] });
  expect(judged('first + 0.5 mm').square).toBe(true);
});
