import { expect, test } from 'vitest';
import { signatureAt } from '../../language/answers/signature.ts';
import { read } from '../support.ts';

const kinds =
  'kind hall {\n  toplevel\n  width: Length\n  rim(at: Ratio, by: Length): Length = at * by {\n    source defined "a test"\n  }\n}\n';
function signature(marked: string) {
  const text = `${kinds}hall H {\n  width = 3 m\n  ${marked}\n}\n`;
  const { file } = read(text.replace('<|>', ''));
  return signatureAt(file, text.indexOf('<|>'));
}

test('what a call takes, and which of it is being written, by its place or by its name', () => {
  expect(signature('require rim(<|>')).toEqual({
    called: 'rim',
    parameters: [
      { name: 'at', type: expect.stringContaining('ratio') },
      { name: 'by', type: 'a length, in mm or m' },
    ],
    active: 0,
  });
  expect(signature('require rim(0.2, <|>) < 1 m')?.active).toBe(1);
  expect(signature('require rim(by: <|>')?.active).toBe(1);
});

test('nothing outside of a call, and for what nobody declares', () => {
  expect(signature('require <|>')).toBeUndefined();
  expect(signature('require nobody(<|>')).toBeUndefined();
});
