import { describe, expect, test } from 'vitest';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { read } from '../support.ts';
import { beam, yard } from './yard.ts';

/** What is marked for each finding of the last machine of a text. */
function marked(text: string): string[] {
  const { project, file } = read(text);
  const machine = project.machines(file).at(-1);
  return (machine?.assessment.findings ?? []).map(({ rule, places }) => {
    const marks = places.map((place) => {
      const { start, end } = rangeOf(place);
      return file.parsed.text.slice(start, end);
    });
    return `${rule}: ${marks.join(', ')}`;
  });
}

describe('a finding marks', () => {
  test('the value that its rule names, where it is given', () => {
    expect(marked(yard(beam('a', 'load = 120 N')))).toEqual(['beam_bends: 120 N']);
  });

  test('the name of the block, where its rule names no value', () => {
    expect(marked(yard(beam('a', 'load = 1 N\ndepth = 30 mm')))).toEqual(['beam_thin: a']);
  });

  test('in a variant what the variant says: the value that the rule names, or its own block', () => {
    const base = yard(beam('a', 'load = 90 N'));
    const grown = `${base}yard Z is Y {\n  beam a {\n    load = 130 N\n  }\n}\n`;
    expect(marked(grown)).toEqual(['beam_bends: 130 N']);
    const weaker = `${base}yard Z is Y {\n  beam a {\n    good_for = 80 N\n  }\n}\n`;
    expect(marked(weaker)).toEqual(['beam_bends: a']);
  });
});
