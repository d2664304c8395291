import { describe, expect, test } from 'vitest';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { occurrencesIn, occurrencesOf, sourceOf } from '../../language/answers/occurrences.ts';
import { read } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 1 m
  twice_width: Length = 2 * width
}
kind lamp {
  width: Length default 2 m
}
`;
const machine = `use "./b.gusset"
hall H {
  lamp a {
    width = 3 m
  }
  width = 4 m
  require width > a.width and twice_width > 1 m
}
`;
const { project, file } = read({ 'a.gusset': machine, 'b.gusset': kinds });

const at = (marked: string) => {
  const offset = machine.indexOf(marked);
  const [meaning] = meaningsAt(file, offset);
  if (!meaning) throw new Error(`${marked} means nothing`);
  return meaning;
};
/** The places of what a text's beginning means, each with its file and its line; declarations with a star. */
const places = (marked: string) =>
  occurrencesOf(at(marked), project)
    .filter(({ file: of }) => !of.isLibrary)
    .map(({ file: of, range, declares }) => {
      const { line, character } = of.lines.position(range.start);
      return `${of.uri.at(-8)}${line + 1}:${character + 1}${declares ? '*' : ''}`;
    });

describe('every place that names the same thing', () => {
  test('and none that only spells it so', () => {
    expect(places('width = 4 m')).toEqual(['a6:3', 'a7:11', 'b4:3*', 'b5:29']);
    expect(places('width = 3 m')).toEqual(['a4:5', 'a7:21', 'b8:3*']);
    expect(places('twice_width')).toEqual(['a7:31', 'b5:3*']);
  });

  test('a kind, a block, a unit', () => {
    expect(places('hall H')).toEqual(['a2:1', 'b1:6*']);
    expect(places('a {')).toEqual(['a3:8*', 'a7:19']);
    expect(places('m\n  }')).toEqual(['a4:15', 'a6:13', 'a7:47', 'b4:27', 'b8:27']);
  });
});

test('in one file, and the file that a node stands in', () => {
  expect(occurrencesIn(file, at('width = 4 m'))).toHaveLength(2);
  expect(sourceOf(file.parsed.file.items[1] as never, project)).toBe(file);
  expect(sourceOf(at('m\n  }').declarations[0] as never, project)?.isLibrary).toBe(true);
});
