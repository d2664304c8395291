import { describe, expect, test } from 'vitest';
import { declaredName, FileNames } from '../../language/names/scope.ts';
import { library, mistakesIn, read } from '../support.ts';

const used = `/// A crate.
kind crate {
  shared air: Temperature default 20 degC
  mode: one of sluggish, very_fast
}
kind drum {
}
constant reach: Length = 1 m
constant depth: Length = 1 m
part small is crate {
}
sizes widths: Length = [narrow = 1 m, wide = 2 m]
rule crate_dry on crate {
  holds air > 0 degC
  error "wet"
}
rate 1 EUR = 1.5 USD on 2026-03-02
`;
const own = `use "./b.gusset"
use "./c.gusset"
kind drum {
  shared dust: Ratio default 1
}
constant reach: Length = 2 m
constant reach: Length = 3 m
part own_part is drum {
}
rule drum_full on drum {
  holds dust < 2
  error "dusty"
}
`;
const second = `constant depth: Length = 5 m
sizes others: Length = [wide = 3 m, 4 m]
`;
const { file, project } = read({ 'a.gusset': own, 'b.gusset': used, 'c.gusset': second });
const { scope } = file;
const [b, c] = ['b', 'c'].map((name) => project.files.get(`file:///${name}.gusset`)?.scope);

describe('a name is looked for', () => {
  test('in its own file first, then in those it uses in their order, then in the library', () => {
    expect(scope.find('reach')?.scope).toBe(scope);
    expect(scope.find('depth')?.scope).toBe(b);
    expect(scope.find('balance')?.scope).toBe(library.scope);
    expect(scope.find('nothing_of_that_name')).toBeUndefined();
    expect(scope.kindNamed('drum')?.scope).toBe(scope);
    expect(scope.kindNamed('crate')?.scope).toBe(b);
    expect(scope.kindNamed('machine')?.scope).toBe(library.scope);
    expect(scope.kindNamed('reach')).toBeUndefined();
    expect(scope.find('crate')).toBeUndefined();
    expect(scope.sizeNamed('wide')).toMatchObject({ scope: b, index: 1 });
    expect(scope.sizeNamed('nothing_of_that_name')).toBeUndefined();
    expect(scope.visible()).toEqual([scope, b, c, library.scope]);
  });

  test('of two of one name the first counts', () => {
    const node = scope.find('reach')?.node;
    expect(node?.$type === 'Declaration' && node.value).toMatchObject({ number: '2' });
  });

  test('what a used file uses is not handed on', () => {
    const chain = read({ 'a.gusset': 'use "./b.gusset"\n', 'b.gusset': 'use "./c.gusset"\n', 'c.gusset': second });
    expect(chain.file.scope.find('depth')).toBeUndefined();
  });
});

describe('all that is visible', () => {
  test('kinds, rules and parts, one’s own first', () => {
    const names = scope.kinds().map((kind) => kind.name);
    expect(names.slice(0, 3)).toEqual(['drum', 'crate', 'drum']);
    expect(names).toContain('machine');
    expect(
      scope
        .rules()
        .slice(0, 2)
        .map(({ node }) => node.name?.text),
    ).toEqual(['drum_full', 'crate_dry']);
    const parts = scope.parts();
    expect(parts.slice(0, 2).map(({ node }) => declaredName(node as never))).toEqual(['own_part', 'small']);
    expect(parts.every(({ node }) => node.$type === 'Declaration' && node.what === 'part')).toBe(true);
  });

  test('of parts of one name the one that it leads to, and none where it leads to something else', () => {
    const small = 'part small is crate {\n}\npart only is crate {\n}\n';
    const { file } = read({
      'a.gusset': `use "./b.gusset"\nuse "./c.gusset"\n${small.replace('only', 'other')}constant only: Length = 1 m\n`,
      'b.gusset': `kind crate {\n}\n${small}`,
      'c.gusset': small,
    });
    const own = file.scope.parts().filter(({ scope }) => scope !== library.scope);
    expect(own.map(({ node, scope }) => [declaredName(node as never), scope === file.scope])).toEqual([
      ['small', true],
      ['other', true],
    ]);
  });

  test('what kinds share, of each file by itself', () => {
    const sharing = (of: typeof scope) =>
      ['dust', 'air', 'ambient'].filter((name) => of.sharedMember(name)?.name === name);
    expect(sharing(scope)).toEqual(['dust']);
    expect(b && sharing(b)).toEqual(['air']);
    expect(sharing(library.scope)).toEqual(['ambient']);
  });

  test('words of choices', () => {
    const isWord = ['sluggish', 'very_fast', 'mode', 'crate', 'ac'].map((word) => scope.isChoiceWord(word));
    expect(isWord).toEqual([true, true, false, false, true]);
    expect(c?.isChoiceWord('sluggish')).toBe(false);
  });

  test('exchange rates, from both sides by one number', () => {
    expect(b?.own.rates(scope.system)).toEqual([{ from: 'EUR', to: 'USD', factor: 1.5 }]);
    expect(
      read('rate 2 USD = 1 EUR on 2026-03-02\nrate 1 mm = 1 EUR on 2026-03-02\n').file.scope.own.rates(scope.system),
    ).toEqual([{ from: 'USD', to: 'EUR', factor: 0.5 }]);
  });
});

test('words of a choice are found however they are laid out', () => {
  const { scope: laidOut } = read('kind k {\n  mode: one  of glum,gay ,grim,\n    gruff\n}\n').file;
  expect(['glum', 'gay', 'grim'].every((word) => laidOut.isChoiceWord(word))).toBe(true);
});

test('what stands alone is declared, and only sizes have names within', () => {
  const { scope: halls } = read(
    'kind hall {\n  toplevel\n}\nhall H {\n}\nhall {\n}\nconstant c: list of Length = [short = 1 m, 2 m]\nsizes s: Length = [long = 3 m]\n',
  ).file;
  expect(halls.find('H')?.node).toMatchObject({ $type: 'Entry', name: { text: 'H' } });
  expect(halls.find('hall')?.node).toMatchObject({ $type: 'Entry' });
  expect(halls.sizeNamed('short')).toBeUndefined();
  expect(halls.sizeNamed('long')).toMatchObject({ index: 0 });
});

test('what an item declares goes by its name, or by the kind that it is of', () => {
  const { items } = read('kind k {\n}\nhall H {\n}\nhall {\n}\nrate 1 EUR = 2 USD on 2026-03-02\n').file.parsed.file;
  expect(items.map(declaredName)).toEqual(['k', 'H', 'hall', undefined]);
});

test('a rate that is half typed is none', () => {
  for (const half of [
    'rate 1 EUR = \n',
    'rate x = 2 USD on 2026-03-02\n',
    'rate 1 EUR = 2 m on 2026-03-02\n',
    'rate 1 m = 2 EUR\n',
  ])
    expect(read(half).file.scope.own.rates(scope.system), half).toEqual([]);
});

test('a scope lives as long as its file; what it keeps is made anew by an edit', () => {
  const { file: edited, project: of } = read('kind a {\n}\nconstant x: Length = 1 m\n');
  const { scope: kept } = edited;
  const [kind, version] = [kept.kindNamed('a'), kept.version];
  let made = 0;
  const once = () => kept.once('key', () => ++made);
  expect([once(), once()]).toEqual([1, 1]);
  of.update(edited.uri, 'kind a {\n}\nconstant x: Length = 2 m\n');
  expect(edited.scope).toBe(kept);
  expect(kept.version).toBe(version + 1);
  expect(once()).toBe(2);
  of.update(edited.uri, 'kind a {\n  w: Length\n}\nconstant x: Length = 2 m\n');
  expect(kept.kindNamed('a')).not.toBe(kind);
  expect(kept.kindNamed('a')?.members.has('w')).toBe(true);
});

test('a kind that starts from one that changes is made anew, though its own text is as before', () => {
  const below = 'kind b is a {\n  v: Length\n}\n';
  const { file: edited, project: of } = read(`${below}kind a {\n}\n`);
  expect([...(edited.scope.kindNamed('b')?.members.keys() ?? [])]).toEqual(['v']);
  of.update(edited.uri, `${below}kind a {\n  w: Length\n}\n`);
  expect([...(edited.scope.kindNamed('b')?.members.keys() ?? [])]).toEqual(['w', 'v']);
});

test('where only a machine changes, kinds are kept', () => {
  const kinds = 'kind hall {\n  toplevel\n  w: Length\n}\n';
  const { file: edited, project: of } = read(`${kinds}hall H {\n  w = 1 m\n}\n`);
  const kind = edited.scope.kindNamed('hall');
  of.update(edited.uri, `${kinds}hall H {\n  w = 2 m\n}\n`);
  expect(edited.scope.kindNamed('hall')).toBe(kind);
});

test('units, dimensions and prefixes are no names of a file', () => {
  const names = new FileNames([...library.files.values()].map(({ file: parsed }) => parsed));
  expect(['mm', 'Length', 'kilo', 'k'].map((name) => names.declared.has(name))).toEqual([false, false, false, false]);
  expect(names.declared.has('balance')).toBe(true);
  expect(names.kinds.has('machine')).toBe(true);
});

test('an expression with a mistake in it is known as such until the mistake is mended', () => {
  const kinds = 'kind hall {\n  toplevel\n  w: Length\n  v: Length = w\n}\n';
  const { file: edited, project: of } = read(`${kinds}hall H {\n  w = 1 s\n}\n`);
  const given = () => {
    const item = edited.parsed.file.items[1];
    const entry = item?.$type === 'Entry' ? item.body?.members[0] : undefined;
    return entry?.$type === 'Entry' ? entry.value : undefined;
  };
  of.mistakes(edited);
  expect(edited.scope.isSpoiled(given() as never)).toBe(true);
  const text = `${kinds}hall H {\n  w = 1 m\n}\n`;
  of.update(edited.uri, text);
  expect(mistakesIn(text)).toEqual([]);
  of.mistakes(edited);
  expect(edited.scope.isSpoiled(given() as never)).toBe(false);
});
