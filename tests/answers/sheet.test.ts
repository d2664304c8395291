// What stands on the sheet of a machine, under which heading and in which order.
import { describe, expect, test } from 'vitest';
import { pathsToldFirst, sheetOf } from '../../language/answers/sheet.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { machineIn, read } from '../support.ts';

const kinds = `/// A thing with kinds of its own.
kind hall {
  toplevel
  /// What it costs.
  cost: Price = sum(c.price for c in every crate)
  crates: list of crate = each(c for c in every crate) {
    shown load
  }
  report "Crates", crates
  report "Settings"
  report "Later"
  headline cost
  has crate*
  has lid?
}
kind crate {
  price: Price
  /// What it carries.
  load: Mass
  size: Length?
  beside: list of crate = each(c for c in every crate where c != self)
  report "Settings", load
  report "Settings", size, beside
  report "Empty", size
  /// It stands
  check stands {
    when load > 2 kg
    repeat shake
    uncover "Take the lid off"
    how "Shake it"
  }
  /// It is full
  check filled {
    step last
    how "Fill it with {load}"
  }
  /// It is nailed
  check nailed {
    step at_first
    how "Nail it"
    caution "Pinching."
  }
}
kind packing {
  place: Ratio
  order place
}
/// First of all
part at_first is packing { place = 1 }
/// At the end
part last is packing { place = 2 }
kind shaking {}
/// Each day
part shake is shaking
kind lid {
  opens: Length?
  kept_under: list of crate = each(c for c in every crate) {
    shown load
  }
  report "Later", opens
  report "Kept", kept_under
  expects given(opens), "How far?"
}
rule crate_overloaded on crate {
  holds load <= 10 kg
  error "{name} carries {load}"
  caution "It falls on your foot."
  remedy "carry less"
}
`;
const text = (lines: string) => `${kinds}/// A hall by the sea.\nhall H {\n${lines}\n}\n`;
const sheet = (lines: string) => sheetOf(machineIn(text(lines)));
const part = (lines: string, heading: string) =>
  sheet(lines).sections.find((section) => section.heading === heading)?.parts;
const two =
  '  crate a {\n    price = 3 EUR\n    load = 9 kg\n  }\n  crate b {\n    price = 4 EUR\n    load = 2 kg\n    size = 2 m\n  }';

describe('a sheet', () => {
  test('has the headings in the order in which the tree meets them, and none that is empty', () => {
    expect(sheet(two)).toMatchObject({ machine: 'H', about: 'A hall by the sea.' });
    expect(sheet(two).sections.map(({ heading }) => heading)).toEqual([
      'At a glance',
      'Weakest points',
      'Crates',
      'Settings',
      'Empty',
      'Assembly',
      'Maintenance',
      'Why it is so',
    ]);
    // A kind says where what is not its own stands.
    const order = text(two).replace('report "Settings"\n', 'report "Maintenance"\n  report "Settings"\n');
    expect(
      sheetOf(machineIn(order))
        .sections.map(({ heading }) => heading)
        .slice(2),
    ).toEqual(['Crates', 'Maintenance', 'Settings', 'Empty', 'Assembly', 'Why it is so']);
  });

  test('tells what a value comes to, what it is, and where it is said', () => {
    const [rows] = part(two, 'At a glance') ?? [];
    expect(rows).toMatchObject({ is: 'rows', rows: [{ label: 'cost', shown: '7 EUR', about: 'What it costs.' }] });
    const { file } = read(text('  crate a {\n    load = 9 kg\n  }'));
    const one = '  crate a {\n    load = 9 kg\n  }';
    const [row] = ((part(one, 'Settings') ?? [])[0] as unknown as { rows: { place: never; formula?: never }[] }).rows;
    const { start, end } = rangeOf(row?.place as never);
    expect(file.parsed.text.slice(start, end)).toBe('9 kg');
    expect(row?.formula).toBeUndefined();
  });

  test('tells at a glance what the machine comes to, and each block in it of whose kind there is one', () => {
    const told = (blocks: string) =>
      sheetOf(
        machineIn(`kind hall {
  toplevel
  width: Length
  headline width
  has lamp*
  has gate*
}
kind lamp {
  power: Power
  headline power
}
kind gate {
  span: Length
  headline span
}
hall H {
  width = 4 m
${blocks}}
`),
      ).sections.flatMap(({ heading, parts }) =>
        heading === 'At a glance'
          ? parts.map((each) => (each.is === 'rows' ? [each.block, each.rows.map(({ label }) => label)] : each))
          : [],
      );
    const [lamp, gates] = ['  lamp l {\n    power = 5 W\n  }\n', '  gate * 2 {\n    span = 1 m\n  }\n'];
    expect(told(lamp)).toEqual([
      [undefined, ['width']],
      ['l', ['power']],
    ]);
    expect(told(lamp + gates)).toEqual([
      [undefined, ['width']],
      ['l', ['power']],
    ]);
    expect(told(lamp + lamp.replace('l {', 'm {'))).toEqual([[undefined, ['width']]]);
  });

  test('shows a list whose declaration says what of it as a table, any other as a value', () => {
    expect(part(two, 'Crates')).toMatchObject([
      {
        is: 'table',
        // The heading says so already.
        label: '',
        heading: ['', 'load'],
        rows: [{ texts: ['a', '9 kg'] }, { texts: ['b', '2 kg'] }],
      },
    ]);
    expect(part('  crate a {\n    load = 9 kg\n  }', 'Settings')).toMatchObject([
      { is: 'rows', block: 'a', rows: [{ label: 'load', shown: '9 kg' }] },
    ]);
  });

  test('tells where each number of a table is said; where it is the only quantity, its share of the greatest', () => {
    const [table] = (part(two, 'Crates') ?? []) as unknown as { rows: { places: never[]; bar?: number }[] }[];
    const { file } = read(text(two));
    const { start, end } = rangeOf(table?.rows[0]?.places[1] as never);
    expect(file.parsed.text.slice(start, end)).toBe('9 kg');
    expect(table?.rows.map(({ bar }) => bar)).toEqual([1, 2 / 9]);
    // Of two quantities neither is drawn, nor is one that is not known everywhere.
    const bars = (lines: string, heading: string) =>
      ((part(lines, heading) ?? [])[0] as unknown as { rows: { bar?: number }[] }).rows.map(({ bar }) => bar);
    expect(bars(two, 'Settings')).toEqual([undefined, undefined]);
    expect(bars(two.replace('    load = 2 kg\n', ''), 'Crates')).toEqual([undefined, undefined]);
  });

  test('tells lists of several blocks that are the same value in one table, block by block', () => {
    const racks = `kind rack {
  toplevel
  has shelf*
  report "Shelves"
}
kind shelf {
  has box*
  boxes: list of box = each(b for b in every box of self) {
    shown load
  }
  report "Shelves", boxes
}
kind box {
  load: Mass
}
rack R {
  shelf low { box a { load = 4 kg } }
  shelf high {
    box b { load = 1 kg }
    box c { load = 2 kg }
  }
}
`;
    const [shelves] = sheetOf(machineIn(racks)).sections;
    expect(shelves).toMatchObject({
      heading: 'Shelves',
      parts: [
        {
          label: 'boxes',
          together: 'of',
          heading: ['', 'load', 'of'],
          rows: [
            { texts: ['low.a', '4 kg', 'low'], bar: 1 },
            { texts: ['high.b', '1 kg', 'high'], bar: 0.5 },
            { texts: ['high.c', '2 kg', 'high'], bar: 1 },
          ],
        },
      ],
    });
    expect(shelves?.parts).toHaveLength(1);
  });

  test('has bars for values of one quantity that a block reports, and for no others', () => {
    const two = (more: string) => `kind pot {
  toplevel
  bed: Power default 100 W
  tool: Power default 40 W
  ${more}
}
pot P {
}
`;
    const rows = (more: string) =>
      ((sheetOf(machineIn(two(more))).sections[0]?.parts ?? [])[0] as unknown as { rows: { bar?: number }[] }).rows.map(
        ({ bar }) => bar,
      );
    expect(rows('report "Energy", bed, tool')).toEqual([1, 0.4]);
    expect(rows('length: Length default 1 m\n  report "Energy", bed, tool, length')).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect(rows('report "Energy", bed')).toEqual([undefined]);
  });

  test('calls a list of another block than the machine by its path', () => {
    const kept = part(`${two}\n  lid {\n    opens = 1 m\n  }`, 'Kept');
    expect(kept).toMatchObject([{ is: 'table', label: 'lid.kept under' }]);
  });

  test('shows several blocks of a kind in one table, with what some of them have; lists are told without brackets', () => {
    expect(part(two, 'Settings')).toMatchObject([
      {
        is: 'table',
        label: 'crate',
        heading: ['', 'load', 'size', 'beside'],
        rows: [{ texts: ['a', '9 kg', '', 'b'] }, { texts: ['b', '2 kg', '2 m', 'a'] }],
      },
    ]);
  });

  test('leaves the brackets of a text, which is no list', () => {
    const noted = sheetOf(
      machineIn(text('  note = "[old] hall"').replace('  headline cost', '  note: Text\n  headline note')),
    );
    const [rows] = noted.sections.find(({ heading }) => heading === 'At a glance')?.parts ?? [];
    expect(rows).toMatchObject({ rows: [{ label: 'note', shown: '[old] hall' }] });
  });

  test('says why something is not known', () => {
    expect(part('  crate a {\n    load = 9 kg\n  }', 'At a glance')).toMatchObject([
      { rows: [{ label: 'cost', shown: 'not known: a.price is not given' }] },
    ]);
  });

  test('tells findings with their caution and way out, requirements with their margin, what is not said and what is open', () => {
    const lines =
      '  crate a {\n    price = 3 EUR\n    load = 12 kg\n  }\n  crate b {\n    price = 4 EUR\n    load = ?\n  }\n  lid {\n  }\n  require cost <= 14 EUR';
    expect(part(lines, 'Findings')).toMatchObject([
      {
        notes: [
          {
            severity: 'error',
            title: 'crate overloaded',
            text: 'a carries 12 kg',
            caution: 'It falls on your foot.',
            more: ['carry less'],
          },
        ],
      },
    ]);
    expect(part(lines, 'Requirements')).toMatchObject([
      { rows: [{ label: 'cost <= 14 EUR', margin: 0.5, shown: 'holds: 7 EUR, 50 % to spare' }] },
    ]);
    const asked = part(lines, 'Not said yet')?.flatMap((each) => (each.is === 'notes' ? each.notes : [])) ?? [];
    expect(asked.map(({ title, text }) => `${title}: ${text}`)).toContainEqual(
      expect.stringContaining('lid.opens: How far?'),
    );
    expect(part(lines, 'Open choices')).toMatchObject([{ notes: [{ title: 'b.load' }] }]);
  });

  test('tells the gravest findings first, and what follows from one behind it', () => {
    const more = `rule crate_dear on crate {
  holds price <= 1 EUR
  advice "{name} is dear"
}
rule crate_sways on crate {
  holds load <= 5 kg
  warning "{name} sways"
  follows crate_overloaded of self
}
`;
    const lines =
      '  crate a {\n    price = 3 EUR\n    load = 2 kg\n  }\n  crate b {\n    price = 1 EUR\n    load = 12 kg\n  }';
    const [found] =
      sheetOf(machineIn(more + text(lines))).sections.find(({ heading }) => heading === 'Findings')?.parts ?? [];
    expect(found?.is === 'notes' && found.notes.map(({ text }) => text)).toEqual([
      'b carries 12 kg',
      'b sways',
      'a is dear',
    ]);
  });

  test('tells what each part was decided by, with both numbers and where the rule comes from', () => {
    const why = part(two, 'Why it is so') as unknown as { rows: { texts: string[] }[] }[];
    expect(why[0]?.rows.map(({ texts }) => texts)).toEqual([
      ['a', 'crate', 'crate overloaded', 'load 9 kg', 'at most 10 kg', '10 % to spare', ''],
    ]);
    const sourced = text(two).replace(
      '  remedy "carry less"',
      '  source practice "what boards bear"\n  remedy "carry less"',
    );
    const section = sheetOf(machineIn(sourced)).sections.find(({ heading }) => heading === 'Why it is so');
    expect(((section?.parts ?? []) as unknown as typeof why)[0]?.rows[0]?.texts.at(-1)).toBe(
      'what boards bear (common practice, no published source)',
    );
  });

  test('tells the same of a rule that compares the other way round: which is asked for is said, not guessed', () => {
    const told = (holds: string) => {
      const sheet = sheetOf(
        machineIn(
          text(two)
            .replace('holds load <= 10 kg', `holds ${holds}`)
            .replace('kind crate {', 'kind crate {\n  bears: Mass default 10 kg'),
        ),
      );
      const [why] = sheet.sections.find(({ heading }) => heading === 'Why it is so')?.parts ?? [];
      return why?.is === 'table' ? why.rows.map(({ texts }) => texts.slice(3, 6)) : [];
    };
    expect(told('bears >= load')).toEqual([['bears 10 kg', 'at least 9 kg (load)', '11 % to spare']]);
    expect(told('load < 10 kg')).toEqual([['load 9 kg', 'less than 10 kg', '10 % to spare']]);
    // A path reads as words.
    expect(told('self.bears >= self.load')).toEqual([
      ['self bears 10 kg', 'at least 9 kg (self load)', '11 % to spare'],
    ]);
    // A number is the limit wherever it stands.
    expect(told('10 kg > load')).toEqual(told('load < 10 kg'));
    expect(told('8 kg <= load')).toEqual([['load 9 kg', 'at least 8 kg', '13 % to spare']]);
  });

  test('ranks the weakest points', () => {
    expect(part(two, 'Weakest points')).toMatchObject([
      {
        rows: [
          {
            label: 'a: crate overloaded',
            shown: 'load 9 kg, must be at most 10 kg: 10 % to spare',
            margin: expect.closeTo(0.1, 9),
          },
        ],
      },
    ]);
  });
});

const built = `kind trial_stage {
  place: Ratio
  order place
}
/// Before anything else
part early is trial_stage { place = 1 }
/// Once it runs
part late is trial_stage { place = 2 }
kind lathe {
  toplevel
  speed: Frequency default 5 Hz
  /// It runs
  check runs {
    stage late
    how "Let {name} run at {speed}"
    lowest 10 degC
    highest 30 degC
    with speed
  }
  /// Its jaws are held
  check held {
    stage early
    how "Turn them by hand"
    caution "Pinching."
  }
}
lathe L {
`;
const handed = (lines: string) => sheetOf(machineIn(`${built}${lines}}\n`)).sections;

describe('what is recorded of a machine that was built', () => {
  test('is to be made stage by stage, with what is expected, what to mind, and a box', () => {
    expect(handed('').find(({ heading }) => heading === 'Commissioning')?.parts).toMatchObject([
      {
        is: 'checks',
        label: 'Before anything else',
        items: [
          {
            title: 'Its jaws are held',
            how: 'Turn them by hand',
            caution: 'Pinching.',
            blocks: [{ label: 'L', made: '☐' }],
          },
        ],
      },
      {
        label: 'Once it runs',
        items: [
          {
            title: 'It runs',
            how: 'Let L run at 5 Hz',
            expected: '10 °C to 30 °C',
            blocks: [{ label: 'L', made: '☐' }],
          },
        ],
      },
    ]);
  });

  test('is filled in where it was made, and open again where it no longer counts', () => {
    const made = (record: string, more = '') => {
      const parts = handed(`${more}  ${record}\n`).find(({ heading }) => heading === 'Commissioning')?.parts ?? [];
      return parts.flatMap((each) => (each.is === 'checks' ? each.items : [])).at(-1)?.blocks[0]?.made;
    };
    const record = 'checked runs at 20 degC on 2026-03-02 with [speed = 5 Hz]';
    expect(made(record)).toBe('☑ 20 °C 2026-03-02');
    expect(made(record, '  speed = 6 Hz\n')).toBe('☐ made with other values than there are now 20 °C 2026-03-02');
    expect(made(record.replace('20 degC', '40 degC'))).toBe('☐ not what is expected 40 °C 2026-03-02');
  });

  test('tells what was set beside what the design says', () => {
    expect(handed('').map(({ heading }) => heading)).not.toContain('Set in the controller');
    const set = (value: string) =>
      handed(`  set speed = ${value} on 2026-03-02\n`).find(({ heading }) => heading === 'Set in the controller');
    expect(set('5 Hz')?.parts).toMatchObject([
      { rows: [{ texts: ['speed', '5 Hz', '5 Hz', 'agrees', '2026-03-02'] }] },
    ]);
    expect(set('7 Hz')?.parts).toMatchObject([
      { rows: [{ texts: ['speed', '7 Hz', '5 Hz', 'differs', '2026-03-02'] }] },
    ]);
  });

  test('tells what is looked after, by how often; of several blocks that are looked after alike once', () => {
    const three = two.replace('load = 2 kg', 'load = 5 kg');
    expect(part(three, 'Maintenance')).toMatchObject([
      {
        label: 'Each day',
        items: [
          {
            title: 'It stands',
            how: 'Shake it',
            uncover: 'Take the lid off',
            blocks: [{ label: 'a', made: '' }, { label: 'b' }],
          },
        ],
      },
    ]);
    expect(part(two, 'Maintenance')).toMatchObject([{ items: [{ blocks: [{ label: 'a' }] }] }]);
    expect(part('', 'Maintenance')).toBeUndefined();
  });

  test('tells how it is put together, step by step, before it is put to use', () => {
    expect(part(two, 'Assembly')).toMatchObject([
      {
        label: 'First of all',
        items: [{ title: 'It is nailed', caution: 'Pinching.', blocks: [{ label: 'a', made: '☐' }, { label: 'b' }] }],
      },
      { label: 'At the end', items: [{ how: 'Fill it with 9 kg' }, { how: 'Fill it with 2 kg' }] },
    ]);
  });

  test('what was set stands beside what the design says, in rows and in tables', () => {
    const one = `  crate a {\n    load = 9 kg\n    set load = 8 kg on 2026-03-02\n  }`;
    expect(part(one, 'Settings')).toMatchObject([{ rows: [{ shown: '9 kg; set to 8 kg on 2026-03-02' }] }]);
    const both = `${one}\n  crate b {\n    load = 2 kg\n  }`;
    expect(part(both, 'Settings')).toMatchObject([
      { rows: [{ texts: ['a', '9 kg; set to 8 kg on 2026-03-02', 'b'] }, { texts: ['b', '2 kg', 'a'] }] },
    ]);
  });
});

describe('where it comes from', () => {
  const pot = `kind pot {
  toplevel
  wall: Length default 2 mm {
    source practice "as pots are"
  }
  width: Length default 100 mm {
    source read "ISO 1"
  }
  height: Length = width + wall {
    source defined "their sum"
  }
  weight: Mass? = 2 kg/m * height {
    source recalled "a potter's rule"
  }
  headline height
}
pot P {
  require height <= 200 mm
  require weight >= 0.1 kg
}
`;
  const machine = () => machineIn(pot);

  test('lists the sources of what is told first, what is least sure first, without what is true by definition', () => {
    const section = sheetOf(machine()).sections.find(({ heading }) => heading === 'Sources');
    expect(section?.parts.flatMap((each) => (each.is === 'table' ? each.rows.map(({ texts }) => texts) : []))).toEqual([
      ["a potter's rule", 'from memory, to be checked', 'pot’s weight'],
      ['as pots are', 'common practice, no published source', 'pot’s wall'],
      ['ISO 1', 'read in the source itself', 'pot’s width'],
    ]);
  });

  test('asks for the numbers that are told first: what the kind heads with, and what requirements compare', () => {
    expect(pathsToldFirst(machine())).toEqual(['height', 'weight']);
  });

  test('tells what each of them rests on, where that was found out', () => {
    const most = {
      path: 'wall',
      by: 'share',
      from: '1.6 mm',
      to: '2.4 mm',
      atFrom: '101.6 mm',
      atTo: '102.4 mm',
      moved: 0.0008,
    } as const;
    const source = { standing: 'practice', text: 'as pots are' } as const;
    const { sections } = sheetOf(machine(), [{ path: 'height', shown: '102 mm', most, source, others: 1 }]);
    const [table] = sections.find(({ heading }) => heading === 'What it rests on')?.parts ?? [];
    expect(table).toMatchObject({
      rows: [
        {
          texts: [
            'height',
            '102 mm',
            'wall',
            'as pots are (common practice, no published source)',
            '1.6 mm to 2.4 mm',
            '101.6 mm to 102.4 mm',
            '1',
          ],
        },
      ],
    });
    expect(sheetOf(machine()).sections.map(({ heading }) => heading)).not.toContain('What it rests on');
  });
});
