import { expect, test } from 'vitest';
import { kinds, proposals } from './hall.ts';

test('clauses name values, kinds, sizes and units', () => {
  const inKind = (line: string) => proposals(`${kinds}kind k is hall {\n  ${line}\n}\n`).map(({ label }) => label);
  expect(inKind('headline <|>')).toEqual(expect.arrayContaining(['deep', 'mode']));
  expect(inKind('headline <|>')).not.toEqual(expect.arrayContaining(['rim']));
  expect(inKind('symbol "M0 10h40", "F", <|>')).toEqual(inKind('headline <|>'));
  expect(inKind('inside <|>')).toEqual(expect.arrayContaining(['hall', 'lamp']));
  expect(inKind('w: Length {\n    sizes <|>\n  }')).toContain('widths');
  expect(inKind('w: Mass {\n    shown <|>\n  }').slice(0, 2)).toEqual(['g', 'kg']);
  expect(inKind('w: list of lamp = [] {\n    shown <|>\n  }')).toEqual(['power']);
});
