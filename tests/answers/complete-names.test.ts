import { describe, expect, test } from 'vitest';
import {
  checkNames,
  kindNames,
  mayBeAbsent,
  partNames,
  ruleNames,
  typeNames,
} from '../../language/answers/complete-names.ts';
import { plainTree } from '../../language/types/situation.ts';
import { read } from '../support.ts';

const used = `kind hall {
  toplevel
  has lamp*
}
kind lamp {
}
/// A good one.
part small is lamp {
}
rule lamp_dark on lamp {
  holds yes
  error "x"
}
`;
const own = `use "./b.gusset"
kind torch is lamp {
}
part big is torch {
}
/// About torches.
rule torch_dark on torch {
  holds yes
  error "x"
}
hall Base {
  lamp a
  lamp b is big
}
hall H is Base {
}
`;
const { file } = read({ 'a.gusset': own, 'b.gusset': used });
const { scope } = file;
const kind = (name: string) => scope.kindNamed(name) as never;

describe('names', () => {
  test('of kinds: all, or those that start from one, one’s own first', () => {
    expect(kindNames(scope, kind('lamp'))).toMatchObject([
      { label: 'torch', rank: 0, detail: 'is lamp' },
      { label: 'lamp', rank: 1, detail: undefined },
    ]);
    expect(kindNames(scope, undefined, 4).length).toBeGreaterThan(20);
    expect(kindNames(scope, undefined, 4).every(({ rank }) => rank >= 4)).toBe(true);
  });

  test('of parts: of a kind, the nearer file first', () => {
    expect(partNames(scope, kind('lamp'))).toMatchObject([
      { label: 'big', rank: 0, detail: 'torch' },
      { label: 'small', rank: 1, detail: 'lamp', documentation: 'A good one.' },
    ]);
    expect(partNames(scope, kind('torch')).map(({ label }) => label)).toEqual(['big']);
    expect(partNames(scope, undefined).filter(({ rank }) => rank === 2).length).toBeGreaterThan(20);
  });

  test('of rules: all, or those on the block’s kind', () => {
    const ctx = (name: string) => ({ scope, kind: kind(name) }) as never;
    expect(ruleNames(ctx('torch'), true)).toMatchObject([
      { label: 'torch_dark', detail: 'on torch', documentation: 'About torches.' },
      { label: 'lamp_dark', detail: 'on lamp' },
    ]);
    expect(ruleNames(ctx('lamp'), true).map(({ label }) => label)).toEqual(['lamp_dark']);
    expect(ruleNames(ctx('lamp'), false).length).toBeGreaterThan(20);
  });

  test('of what may be said not to be there, blocks that a variant takes over first', () => {
    const [base, variant] = file.parsed.file.items.slice(-2).map((item) => plainTree(item, scope));
    expect(mayBeAbsent({ instance: variant, kind: variant?.kind } as never)).toMatchObject([
      { label: 'a', detail: 'lamp' },
      { label: 'b', detail: 'torch' },
      { label: 'lamp', rank: 1 },
    ]);
    expect(mayBeAbsent({ instance: base } as never)).toEqual([]);
    expect(mayBeAbsent({} as never)).toEqual([]);
  });

  test('of checks, where a record stands in no block: none', () => {
    expect(checkNames({} as never, { scope } as never)).toEqual([]);
  });

  test('of types: quantities, then the language’s own, then kinds', () => {
    const types = typeNames(scope);
    expect(types.find(({ label }) => label === 'Length')).toMatchObject({ rank: 0, detail: 'mm, m' });
    expect(types.filter(({ rank }) => rank === 1 || rank === 2).map(({ label }) => label)).toEqual([
      'YesNo',
      'Text',
      'Date',
      'one of',
      'list of',
      'curve of',
    ]);
    expect(types.find(({ label }) => label === 'torch')?.rank).toBe(3);
  });
});
