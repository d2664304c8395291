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

  test('in a variant that says nothing of the block itself, what the variant says that it rests on, or the block that it adds', () => {
    const kinds = `kind hall {
  toplevel
  has lamp*
  has fan*
  shared air: Temperature default 20 degC
}
kind lamp {
  warmth: Temperature = air + 10 K
  blown: Count = sum(f.blows for f in every fan)
}
kind fan {
  blows: Count default 1
}
rule lamp_hot on lamp {
  holds warmth < 50 degC
  warning "hot"
  source defined "a test"
}
rule lamp_noisy on lamp {
  holds blown < 1
  warning "noisy"
  source defined "a test"
}
hall H {
  lamp a
}
`;
    expect(marked(`${kinds}hall V is H {\n  air = 45 degC\n}\n`)).toEqual(['lamp_hot: 45 degC']);
    expect(marked(`${kinds}hall V is H {\n  fan f\n}\n`)).toEqual(['lamp_noisy: f']);
  });
});
