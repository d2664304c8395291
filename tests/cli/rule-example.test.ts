import { expect, test } from 'vitest';
import { ruleExamples } from '../../language/library/generated/manual.ts';
import { shownExample } from '../../server/cli/rule-example.ts';

test('what is found and what differs is shown, with the blocks around it; the rest is left out', () => {
  const text = `/// A kind.
kind pot is heater { }

machine Breaks {
  ambient = 20 degC
  supply psu is supply_24v_450w
  bed {
    target = 115 degC
    //       ^^^^^^^^ some_rule: too hot
    plate {
      size = 230 mm x 230 mm
      thickness = 3 mm
    }
    sensor is ntc_100k
  }
  circuit a { path = [psu, bed.heater] }
  fan { power = 3 W }
}

machine Keeps is Breaks {
  bed {
    target = 100 degC
    plate { thickness = 4 mm }
  }
  circuit a { path = [psu] }
}
`;
  const { breaks, keeps } = shownExample(text);
  expect(breaks).toBe(`machine Breaks {
  …
  bed {
    target = 115 degC
    //       ^^^^^^^^ some_rule: too hot
    plate {
      …
      thickness = 3 mm
    }
    …
  }
  circuit a { path = [psu, bed.heater] }
  …
}`);
  expect(keeps).toBe(text.slice(text.indexOf('machine Keeps')).trimEnd());
});

test('of every rule both are shown, and less than the whole of the first', () => {
  const all = ruleExamples.map(({ rule, text }) => ({ rule, text, ...shownExample(text) }));
  expect(all.filter(({ breaks, keeps }) => !breaks.includes('^') || !keeps).map(({ rule }) => rule)).toEqual([]);
  const lines = (text: string) => text.split('\n').length;
  const shown = all.reduce((sum, { breaks, keeps }) => sum + lines(breaks) + lines(keeps), 0);
  expect(shown).toBeLessThan(0.6 * all.reduce((sum, { text }) => sum + lines(text), 0));
});
