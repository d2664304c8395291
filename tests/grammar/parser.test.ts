import { describe, expect, test } from 'vitest';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { type AstNode, childrenOf, Lines, spellingOf, textOf } from '../../language/grammar/syntax.ts';
import { Project } from '../../language/project.ts';
import { library } from '../library/fixtures.ts';

const machine = `/// A field kit.
use "./stock.gusset"

part spare_mat is heater {
  power = 60 W
  voltage = 24 V
  size = 120 mm x 120 mm
}

machine Wren {
  ambient = 10 degC .. 30 degC

  supply psu is supply_24v_450w
  board controller is board_4_axis

  bed {
    target = 60 degC
    plate {
      size = 120 mm x 120 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    heater {
      power = 60 W
      voltage = 24 V
    }
    cutoff is bimetal_120c
  }

  circuit bed_power {
    fuse is blade_5a
    wire {
      area = 1 mm^2
      length = 0.8 m
      insulation = silicone
    }
    path = [psu, fuse, wire, bed.cutoff, bed.heater]
  }

  require bed.warm_up(to: 60 degC) <= 6 min
  accept fuse_near_limit at 2.5 A because "measured cold"
  measured bed_power.current = 2.4 A on 2026-03-02
}

machine Wren_tall is Wren {
  ambient = 15 degC .. 25 degC
}
`;

interface Case {
  /** What is replaced, and by what. */
  from: string;
  to: string;
  /** The text that is marked, and its line, from 1. */
  at: string;
  line: number;
  message: string;
  /** The line, or the file's end from it on, after the quick fix. */
  fixed?: string;
  /** What the mistake itself takes away from the file, by path; `*` and what is in it. */
  lost?: string[];
}

// The eleven of the throw-away language that the grammar's shape was chosen with, in this language's words.
const eleven: Case[] = [
  { from: 'length = 0.8 m', to: 'length =', at: '=', line: 34, message: 'The value of length is missing after the =.' },
  {
    from: 'length = 0.8 m',
    to: 'len',
    at: 'len',
    line: 34,
    message: 'There is no kind called len.',
    lost: ['Wren.bed_power.wire.length'],
  },
  {
    from: 'length = 0.8 m',
    to: 'length 0.8 m',
    at: '0.8 m',
    line: 34,
    message: 'Expected = between the name and its value.',
    fixed: 'length = 0.8 m',
  },
  {
    from: 'length = 0.8 m',
    to: 'length = 0.8 m; moves = yes',
    at: ';',
    line: 34,
    message: 'One statement stands on one line: a new line is needed here, not a ;.',
    fixed: 'length = 0.8 m',
  },
  { from: 'length = 0.8 m', to: 'length = 0.8 m §', at: '§', line: 34, message: '§ means nothing here.' },
  {
    from: 'because "measured cold"',
    to: 'because "measured cold',
    at: '"measured cold',
    line: 41,
    message: 'This text is not closed: a " is missing at its end.',
    fixed: 'accept fuse_near_limit at 2.5 A because "measured cold"',
  },
  {
    from: 'silicone\n    }\n',
    to: 'silicone\n',
    at: '{',
    line: 32,
    message: 'The block that begins here is not closed: its } is missing.',
    fixed: 'wire {',
  },
  {
    from: 'wire {\n',
    to: 'wire\n',
    at: 'wire',
    line: 32,
    message: 'Expected { at the end of this line, for what stands below it.',
    fixed: 'wire {',
  },
  {
    from: 'silicone\n    }\n',
    to: 'silicone\n    }\n    }\n',
    at: '}',
    line: 37,
    message: 'This } closes nothing: there is one too many, or a { is missing before it.',
    fixed: '',
  },
  { from: 'bed.heater]', to: 'bed.heater', at: '[', line: 37, message: 'This [ is not closed: its ] is missing.' },
  {
    from: 'length = 0.8 m',
    to: 'length = 0.8 m *',
    at: '*',
    line: 34,
    message: 'A value is missing after "*", such as 24 V or a name.',
  },
  {
    from: 'bed.cutoff, bed',
    to: 'bed., bed',
    at: '.',
    line: 37,
    message: 'Expected the name of a value or a block after the dot.',
  },
];

const ten: Case[] = [
  {
    from: 'length = 0.8 m',
    to: '= 0.8 m',
    at: '=',
    line: 34,
    message: 'Expected a name before the =, such as power = 250 W.',
    lost: ['Wren.bed_power.wire.length'],
  },
  {
    from: 'fuse, wire',
    to: 'fuse wire',
    at: 'wire',
    line: 37,
    message: 'Expected a comma before wire.',
    fixed: 'path = [psu, fuse, wire, bed.cutoff, bed.heater]',
  },
  {
    from: 'length = 0.8 m',
    to: 'length == 0.8 m',
    at: '==',
    line: 34,
    message: 'The value of length is given with a single =.',
    fixed: 'length = 0.8 m',
  },
  {
    from: '<= 6 min',
    to: '≤ 6 min',
    at: '≤',
    line: 40,
    message: 'Write <= for ≤.',
    fixed: 'require bed.warm_up(to: 60 degC) <= 6 min',
  },
  {
    from: 'to: 60 degC',
    to: 'to 60 degC',
    at: '60 degC',
    line: 40,
    message: 'Expected a colon between to and its value.',
    fixed: 'require bed.warm_up(to: 60 degC) <= 6 min',
  },
  { from: 'to: 60 degC)', to: 'to: 60 degC', at: '(', line: 40, message: 'This ( is not closed: its ) is missing.' },
  {
    from: 'length = 0.8 m\n      ',
    to: 'length = 0.8 m ',
    at: 'insulation',
    line: 34,
    message: 'Each statement has its own line: insulation begins another.',
    fixed: 'length = 0.8 m',
  },
  {
    from: '/// A field',
    to: '# A field',
    at: '# A field kit.',
    line: 1,
    message: 'A comment begins with //.',
    fixed: '// A field kit.',
  },
  {
    from: 'spare_mat is heater',
    to: 'spare_mat heater',
    at: 'heater',
    line: 4,
    message: 'Expected "is" between the two names: part spare_mat is heater.',
    fixed: 'part spare_mat is heater {',
  },
  {
    from: 'plate {\n',
    to: 'plate is {\n',
    at: '{',
    line: 18,
    message: 'Expected the part or kind it starts from, or ? to let the tool propose one.',
  },
];

const more: Case[] = [
  {
    from: 'power = 60 W\n  v',
    to: 'power: 60 W\n  v',
    at: ':',
    line: 5,
    message: 'The value of power is given with =, not with a colon.',
    fixed: 'power = 60 W',
  },
  {
    from: '<= 6 min',
    to: '= 6 min',
    at: '=',
    line: 40,
    message: 'Two values are compared with ==; a single = gives a value.',
  },
  {
    from: 'because "measured cold"',
    to: 'because ""',
    at: '""',
    line: 41,
    message: 'An acceptance says why: because "measured 55 degC after an hour".',
  },
  {
    from: 'at 2.5 A because "measured cold"',
    to: 'at 2.5 A',
    at: '2.5 A',
    line: 41,
    message: 'An acceptance says why: because "measured 55 degC after an hour".',
  },
  {
    from: '"measured cold"',
    to: "'measured cold'",
    at: "'measured cold'",
    line: 41,
    message: 'Texts stand in straight double quotes: "measured cold".',
    fixed: 'accept fuse_near_limit at 2.5 A because "measured cold"',
  },
  { from: ' on 2026-03-02', to: '', at: '2.4 A', line: 42, message: 'Expected the day it was taken: on 2026-03-02.' },
  {
    from: 'degC .. 30 degC',
    to: 'degC ..',
    at: '..',
    line: 11,
    message: 'A value is missing after "..", such as 24 V or a name.',
  },
  {
    from: 'use "./stock.gusset"',
    to: 'use ./stock.gusset',
    at: './stock.gusset',
    line: 2,
    message: 'Expected a file in quotes, such as use "./stock.gusset".',
    fixed: 'use "./stock.gusset"',
  },
  {
    from: 'machine Wren {',
    to: 'machine Wren',
    at: 'Wren',
    line: 10,
    message: 'Expected { at the end of this line, for what stands below it.',
    fixed: 'machine Wren {',
  },
  {
    from: 'part spare_mat is',
    to: 'part is',
    at: 'is',
    line: 4,
    message: 'Expected the name of the part before "is".',
    lost: ['spare_mat*', 'part*'],
  },
  {
    from: 'length = 0.8 m',
    to: 'length = 0.8 m;',
    at: ';',
    line: 34,
    message: 'A statement ends with its line: no ; is needed.',
    fixed: 'length = 0.8 m',
  },
  {
    from: 'length = 0.8 m',
    to: 'length = (0.8 m))',
    at: ')',
    line: 34,
    message: 'This ) closes nothing: there is one too many, or a ( is missing before it.',
    fixed: 'length = (0.8 m)',
  },
  {
    from: 'target = 60 degC',
    to: '/* warm */ target = 60 degC',
    at: '/* warm */',
    line: 17,
    message: 'A comment begins with //, and ends with its line.',
  },
  { from: 'fuse, wire', to: 'fuse, , wire', at: ',', line: 37, message: 'A value is missing before this comma.' },
  {
    from: 'Wren_tall is Wren {\n  ambient = 15 degC .. 25 degC\n}\n',
    to: 'Wren_tall is Wren {\n  ambient = 15 degC .. 25 degC\n',
    at: '{',
    line: 45,
    message: 'The block that begins here is not closed: its } is missing.',
    fixed: 'machine Wren_tall is Wren {',
  },
];

// Quantities. The last three are found by the checker, which knows the units; the others where the text is read.
const quantities: Case[] = [
  {
    from: 'voltage = 24 V\n  s',
    to: 'voltage = 24V\n  s',
    at: '24V',
    line: 6,
    message: 'Write a blank between the number and its unit: 24 V.',
    fixed: 'voltage = 24 V',
  },
  {
    from: '2.5 A',
    to: '2,5 A',
    at: '2,5 A',
    line: 41,
    message: 'Decimals are written with a point: 2.5 A.',
    fixed: 'accept fuse_near_limit at 2.5 A because "measured cold"',
  },
  {
    from: '0.8 m',
    to: '.8 m',
    at: '.8 m',
    line: 34,
    message: 'A number begins with a digit: 0.8 m.',
    fixed: 'length = 0.8 m',
  },
  { from: '1 mm^2', to: '1 mm²', at: '1 mm²', line: 33, message: 'Write 1 mm^2 for 1 mm².', fixed: 'area = 1 mm^2' },
  {
    from: 'voltage = 24 V\n  s',
    to: 'voltage = 24 v\n  s',
    at: '24 v',
    line: 6,
    message: 'v is not a unit; did you mean V?',
    fixed: 'voltage = 24 V',
  },
  {
    from: '1 mm^2',
    to: '1 mm2',
    at: '1 mm2',
    line: 33,
    message: 'mm2 is not a unit; did you mean mm^2?',
    fixed: 'area = 1 mm^2',
  },
  {
    from: '3 mm',
    to: '10 mm*x',
    at: '10 mm*x',
    line: 20,
    message: 'x is not a unit. Without blanks mm*x reads as one unit; to multiply, write 10 mm * x.',
    fixed: 'thickness = 10 mm * x',
  },
  {
    from: 'size = 120 mm x 120 mm\n}',
    to: 'size = 120 x 120 mm\n}',
    at: '120',
    line: 7,
    message: 'Each side has its own unit: 120 mm.',
    fixed: 'size = 120 mm x 120 mm',
  },
];

/** What a file says: each declaration, block and value by its path, with its value's text. */
function said(text: string): Map<string, string> {
  const found = new Map<string, string>();
  const walk = (node: AstNode, path: string) => {
    const { first, name, value, base, target, rule } = node as unknown as Record<string, { text?: string } & AstNode>;
    const own = name?.text ?? first?.text ?? target ?? rule;
    const isStatement = node.$container?.$type === 'Body' || node.$container?.$type === 'SpecFile';
    const here =
      isStatement && own ? `${path}${path && '.'}${typeof own === 'string' ? own : (own.text ?? textOf(own))}` : path;
    if (here !== path) found.set(here, [base, value].map((part) => (part ? textOf(part) : '')).join('|'));
    else if (isStatement) found.set(`${path}:${node.$type}`, textOf(node));
    for (const child of childrenOf(node)) if (child.$type !== 'Name') walk(child, here);
  };
  walk(parse(text).file, '');
  return found;
}

/** Values of the line that was changed may differ. */
function saidBut(text: string, changed: Case): Map<string, string> {
  const found = said(text);
  for (const path of [...found.keys()]) {
    for (const lost of changed.lost ?? []) {
      if (path === lost || (lost.endsWith('*') && path.startsWith(lost.slice(0, -1)))) found.delete(path);
    }
  }
  return found;
}

function mistakes(text: string) {
  const project = new Project(library, { read: (uri) => (uri.endsWith('stock.gusset') ? '' : undefined) });
  return project.mistakes(project.update('file:///kit/wren.gusset', text)).filter((m) => m.severity !== 'note');
}

test('the machine without a mistake has none', () => {
  expect(mistakes(machine)).toEqual([]);
  expect(said(machine).size).toBeGreaterThan(30);
});

const all = [...eleven, ...ten, ...more, ...quantities];

describe('one mistake in a machine', () => {
  test.each(all)('$to', (one) => {
    const broken = machine.replace(one.from, () => one.to);
    expect(broken).not.toBe(machine);
    const [mistake, ...others] = mistakes(broken);
    expect(others).toEqual([]);
    expect(mistake?.message).toBe(one.message);
    const lines = new Lines(broken);
    expect(broken.slice(mistake?.start, mistake?.end)).toBe(one.at);
    expect(lines.position(mistake?.start ?? 0).line + 1).toBe(one.line);
  });

  test.each(all)('$to: everything else is kept', (one) => {
    const broken = machine.replace(one.from, () => one.to);
    const [before, after] = [saidBut(machine, one), saidBut(broken, one)];
    const changedLines = new Set(broken.split('\n').filter((line) => !machine.split('\n').includes(line)));
    const isChanged = (path: string) =>
      [...changedLines].some((line) => line.includes(path.split(/[.:]/).pop() ?? path));
    for (const [path, value] of before) {
      if (isChanged(path) || /Requirement|Acceptance|Measurement|:Use/.test(path))
        expect([...after.keys()]).toContain(path);
      else expect(`${path} ${after.get(path)}`).toBe(`${path} ${value}`);
    }
  });

  test.each(all.filter(({ fixed }) => fixed !== undefined))('$to: its quick fix', (one) => {
    const broken = machine.replace(one.from, () => one.to);
    const fix = mistakes(broken)[0]?.fixes[0];
    let mended = broken;
    for (const edit of fix?.edits ?? []) mended = mended.slice(0, edit.start) + edit.text + mended.slice(edit.end);
    expect(spellingOf(parse(mended))).toEqual([]);
    expect(mended.split('\n')[one.line - 1]?.trim()).toBe(one.fixed);
  });
});

test('an entry is an entry whatever follows it', () => {
  const [item] = parse('machine Wren {\n  len\n}\n').file.items as Entry[];
  expect(item?.body?.members.map(({ $type }) => $type)).toEqual(['Entry']);
});

test('a formula may go by a word of the language, and a condition may begin with a bracket', () => {
  const text = `kind k {
  base(after: Time): Time = after
}
rule r on k {
  when (a) and (b)
  holds (a == c)
}
`;
  expect(spellingOf(parse(text))).toEqual([]);
  const members = (parse(text).file.items as Entry[]).map(({ body }) => body?.members.map(({ $type }) => $type));
  expect(members).toEqual([['Entry'], ['Clause', 'Clause']]);
});

describe('what other languages write is told with how it is written here, and mended by its fix', () => {
  const told = (text: string) => {
    const { items, loose } = parse(text);
    return [
      ...items.flatMap((item) =>
        item.mistakes.map((m) => ({
          ...m,
          start: m.start + item.start,
          fixes: m.fixes.map((fix) => ({
            ...fix,
            edits: fix.edits.map((e) => ({ ...e, start: e.start + item.start, end: e.end + item.start })),
          })),
        })),
      ),
      ...loose,
    ];
  };
  const mended = (text: string) => {
    let now = text;
    for (const edit of (told(text)[0]?.fixes[0]?.edits ?? []).toReversed())
      now = now.slice(0, edit.start) + edit.text + now.slice(edit.end);
    return now;
  };

  test.each([
    ['15 to 30 degC', '15 degC .. 30 degC'],
    ['15 degC to 30 degC', '15 degC .. 30 degC'],
    ['2 to 4', '2 .. 4'],
    ['1 mm to 2 * 3 mm', '1 mm .. 2 * 3 mm'],
  ])('a range in words: %s', (words, range) => {
    const text = `machine M {\n  a = ${words}\n  b = 1 mm\n}\n`;
    expect(told(text).map(({ code, message }) => [code, message])).toEqual([
      ['range_in_words', `Between the ends of a range stand two points, and no word: ${range}.`],
    ]);
    expect(mended(text)).toBe(text.replace(words, range));
    // What is meant is read all the same.
    const [first, second] = ((parse(text).file.items[0] as Entry).body?.members ?? []) as Entry[];
    expect(first?.value).toMatchObject({ $type: 'Binary', operator: '..' });
    expect(second?.first?.text).toBe('b');
  });

  test.each([
    ['a call that takes an argument of that name', 'f(to: 30 degC)'],
    ['a unit of that name', '15 to'],
  ])('the word alone is none: %s', (_, value) => {
    expect(told(`machine M {\n  a = ${value}\n}\n`).map(({ code }) => code)).toEqual([]);
  });

  test('a brace on a line of its own opens the block all the same', () => {
    const text = 'machine M // the first\n{\n  bed\n  {\n    target = 60 degC\n  }\n  a = 1 mm\n}\nmachine N {\n}\n';
    expect(told(text).map(({ code, message }) => [code, message])).toEqual([
      ['stray_text', 'A { stands at the end of the line whose block it opens: "machine M {".'],
      ['stray_text', 'A { stands at the end of the line whose block it opens: "bed {".'],
    ]);
    expect(mended(mended(text))).toBe(
      'machine M { // the first\n  bed {\n    target = 60 degC\n  }\n  a = 1 mm\n}\nmachine N {\n}\n',
    );
    const [first, second] = parse(text).file.items as Entry[];
    expect(first?.body?.members).toHaveLength(2);
    expect(second?.name?.text).toBe('N');
  });

  test('words between a name and its brace do not lose the block', () => {
    const text = 'machine M on Home { // at home\n  bed main of glass {\n    target = 60 degC\n  }\n}\n';
    expect(told(text).map(({ message }) => message)).toEqual([
      'on Home was not expected here: a block begins behind its name.',
      'of glass was not expected here: a block begins behind its name.',
    ]);
    expect(mended(mended(text))).toBe('machine M { // at home\n  bed main {\n    target = 60 degC\n  }\n}\n');
    const [bed] = (parse(text).file.items[0] as Entry).body?.members ?? [];
    expect((bed as Entry).body?.members).toHaveLength(1);
  });

  test('words in another line below, before a brace of their own, are none of them', () => {
    const text = 'machine one two three\n\nmachine M {\n  a b {\n  }\n}\n';
    const { file } = parse(text);
    expect(
      spellingOf(parse(text))
        .map(({ message }) => message)
        .join(),
    ).not.toContain('a block begins behind its name');
    expect(file.items.map((item) => (item as Entry).body?.members.length)).toEqual([undefined, 1]);
  });

  test('a block of its own on the same line is none of such words', () => {
    expect(told('machine M {\n  a = 1 mm bed {\n  }\n}\n').map(({ code }) => code)).toEqual(['unexpected']);
  });

  test('a brace that belongs to no line is told as that', () => {
    expect(told('{\n}\n').map(({ message }) => message)[0]).toContain('names what its block is of');
  });
});
