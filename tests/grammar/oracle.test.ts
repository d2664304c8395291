import { describe, expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { problemsOf } from '../../language/grammar/syntax.ts';
import { gussetFiles } from './files.ts';
import { oracle, plain } from './oracle.ts';

describe('the hand-written parser reads what the grammar says', () => {
  test.each(gussetFiles)('$name', ({ text }) => {
    const { file, errors } = oracle(text);
    expect(errors).toEqual([]);
    const parsed = parse(text);
    expect(problemsOf(parsed)).toEqual([]);
    expect(plain(parsed.file)).toEqual(file);
  });
});
