import { expect, test } from 'vitest';
import { ownFindings } from '../../language/judge/own-findings.ts';
import { mistakeKinds } from '../../language/mistakes/all.ts';
import { library } from '../support.ts';

test('what no rule finds has a code that no rule, no mistake and nothing else of the library has', () => {
  expect(Object.keys(ownFindings)).toHaveLength(10);
  for (const [code, { why, mend }] of Object.entries(ownFindings)) {
    for (const text of [why, mend]) expect(text).toMatch(/^[A-Z].{10,}[.]$/);
    expect(mistakeKinds.has(code)).toBe(false);
    expect(library.scope.find(code)).toBeUndefined();
  }
});
