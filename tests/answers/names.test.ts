import { expect, test } from 'vitest';
import { namesIn } from '../../language/answers/names.ts';
import { read } from '../support.ts';

const text = `kind hall {
  toplevel
  has lamp*
  width: Length default 1 m
  rim(by: Length): Length = width + by
}
kind lamp {
  power: Power
}
hall H {
  lamp a {
    power = 2 W
  }
  width = rim(by: 3 mm)
  require nothing > 1
}
rule r on hall {
  holds any(l.power > 1 W for l in every lamp)
  error "{width} wide"
}
`;

test('every name and unit of an item, in the order of the text, with what it means', () => {
  const { file } = read(text);
  const names = (i: number) =>
    namesIn(file.parsed.file.items[i] as never, file).map(
      ({ range, found }) => `${text.slice(range.start, range.end)}: ${found?.sort ?? '-'}`,
    );
  expect(names(2)).toEqual([
    'hall: kind',
    'H: block',
    'lamp: kind',
    'a: block',
    'power: value',
    'W: unit',
    'width: value',
    'rim: value',
    'by: argument',
    'mm: unit',
    'nothing: -',
  ]);
  expect(names(3)).toEqual([
    'r: rule',
    'hall: kind',
    'any: builtin',
    'l: local',
    'power: value',
    'W: unit',
    'l: local',
    'lamp: kind',
    'width: value',
  ]);
});
