import { expect, test } from 'vitest';
import { meaningsAt, symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesOf } from '../../language/answers/occurrences.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { read } from '../support.ts';

const text = `kind trial_stage {
  place: Ratio
  order place
}
part early is trial_stage { place = 1 }
kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  check runs {
    stage early
    how "Let it run at {speed}"
    with speed, part
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
}
kind fine_lathe is lathe {
  check runs {
    stage early
    how "Let it run slowly"
  }
}
lathe L {
  chuck left
  checked runs on 2026-03-02 with [speed = 5 Hz]
  set speed = 5 Hz on 2026-03-02
  set left.jaws = 3 on 2026-03-02
}
fine_lathe F {
  checked runs on 2026-03-02
}
`;
const { project, file } = read(text);

/** The lines in which what stands at a piece of the text is named. */
function places(piece: string): number[] {
  const offset = text.indexOf(piece) + piece.indexOf('|');
  const at = piece.includes('|') ? text.indexOf(piece.replace('|', '')) + piece.indexOf('|') : offset;
  const meaning = symbolAt(file, at);
  if (!meaning) return [];
  return occurrencesOf(meaning, project).map(({ range }) => file.lines.position(range.start).line + 1);
}

test('a check is one thing, wherever it is declared, declared anew and recorded', () => {
  const line = (piece: string) => text.slice(0, text.indexOf(piece)).split('\n').length;
  const runs = [
    line('check runs {'),
    line('  check runs {\n    stage early\n    how "Let it run slowly'),
    line('checked runs on 2026-03-02 with'),
    line('  checked runs on 2026-03-02\n'),
  ];
  expect(places('check |runs {')).toEqual(runs);
  expect(places('checked |runs on')).toEqual(runs);
  expect(symbolAt(file, text.indexOf('runs on'))?.sort).toBe('check');
});

test('a value is one thing in a kind, in what a check rests on, in words, and in records', () => {
  expect(places('  |speed: Frequency')).toEqual([9, 12, 13, 28, 29]);
  expect(places('[|speed = 5')).toEqual([9, 12, 13, 28, 29]);
  expect(places('left.|jaws')).toEqual([18, 30]);
  expect(places('set |left')).toEqual([27, 30]);
});

test('a stage is the part of its name; the word part is the language’s own', () => {
  const [stage] = meaningsAt(file, text.indexOf('early\n    how'));
  expect(stage?.sort).toBe('part');
  expect(textOf(stage?.identity as never)).toContain('place = 1');
  const [word] = meaningsAt(file, text.indexOf('part\n  }'));
  expect(word?.sort).toBe('builtin');
});
