import { describe, expect, test } from 'vitest';
import { blockTableOf } from '../../language/answers/block-table.ts';
import { pathOfCell, showCell, valuesOf } from '../../language/compute/show-cell.ts';
import { open } from './fixtures.ts';

/** A machine with two priced currencies, a cable, wires on both kinds of current, two motors of one part, and belts of two lengths. */
const text = `part wire_silicone is wire {
  area = 1 mm^2
  insulation = silicone
  price_by_metre = 1.20 EUR
}

part motor_bought is nema17_40mm {
  price = 11 EUR
}

machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet {
    frame_earth = frame_bond
  }
  wire frame_bond {
    area = 1.5 mm^2
    length = 0.3 m
  }
  wire supply_earth {
    area = 1 mm^2
    length = 0.5 m
  }
  cord lead {
    area = 0.75 mm^2
    length = 1.5 m
    price = 3 USD
  }
  supply psu is supply_24v_350w {
    price = 30 EUR
  }
  circuit mains_side {
    wire {
      area = 1 mm^2
      length = 0.4 m
    }
    path = [inlet, lead, wire, psu]
    earth = supply_earth
  }
  fan * 3 is fan_24v_40mm
  load a {
    voltage = 24 V
    power = 12 W
  }
  circuit one {
    wire is wire_silicone {
      length = 0.9 m
    }
    path = [psu, wire, a]
  }
  load b {
    voltage = 24 V
    power = 12 W
  }
  wire out is wire_silicone {
    length = 0.6 m
  }
  wire home is wire_silicone {
    length = 0.7 m
  }
  circuit two {
    path = [psu, out, b]
    way_back = [home]
  }
  moving_bed motion {
    carriage_mass = 400 g
    x {
      travel = 200 mm
      wanted_speed = 100 mm/s
      wanted_acceleration = 1000 mm/s^2
      belt_drive {
        motor is motor_bought
        belt is belt_2mm_6
        pulley is pulley_2mm_20
        span = 340 mm
      }
      guide is rail_12mm {
        length = 260 mm
        carrier = section_20x20
      }
    }
    y {
      travel = 200 mm
      wanted_speed = 100 mm/s
      wanted_acceleration = 1000 mm/s^2
      belt_drive {
        motor is motor_bought
        belt is belt_2mm_6
        pulley is pulley_2mm_20
        span = 360 mm
        carriage_length = 80 mm
      }
      guide * 2 is rod_8mm {
        length = 320 mm
      }
    }
    z {
      travel = 200 mm
      wanted_speed = 10 mm/s
      wanted_acceleration = 100 mm/s^2
      screw_drive {
        motor * 2 is nema23_56mm
        screw * 2 is screw_8x2 {
          length = 300 mm
        }
      }
      guide * 2 is rod_8mm {
        length = 400 mm
      }
    }
  }
  levelling {
    levelling_screw * 4 is corner_nylon
    supports = 150 mm x 150 mm
  }
}
`;

const { project, file } = open(text);
const [machine] = project.machines(file);
if (!machine) throw new Error('no machine');
const cells = new Map([...valuesOf(machine)].map(({ cell }) => [pathOfCell(cell, machine), cell]));
const cell = (path: string) => cells.get(path) ?? expect.fail(`no ${path}`);
const shown = (path: string) => showCell(cell(path), machine);
const table = (path: string) => blockTableOf(cell(path), machine) ?? expect.fail(`${path} is no table`);
/** The row of a block, by heading. */
function row(path: string, block: string): Record<string, string> {
  const { heading, rows } = table(path);
  const found = rows.find(([name]) => name === block) ?? expect.fail(`${block} is not in ${path}`);
  return Object.fromEntries(heading.flatMap((head, i) => (found[i] ? [[head, found[i]]] : [])));
}

describe('the parts list', () => {
  test('reads without a mistake', () => {
    expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  });

  test('names each sort once, with how many there are, what they cost and what they weigh', () => {
    expect(row('parts.lines', 'motion.x.belt_drive.motor')).toEqual({
      '': 'motion.x.belt_drive.motor',
      is: 'motor_bought',
      with: 'flange 31 mm, holding torque 40 N·cm, rated current 1.7 A, shaft diameter 5 mm',
      quantity: '2',
      to_order: '2',
      cost: '11 EUR',
      total_cost: '22 EUR',
      total_mass: '560 g',
    });
    expect(row('parts.lines', 'fan').quantity).toBe('3');
    expect(row('parts.lines', 'levelling.levelling_screw').quantity).toBe('4');
    const names = table('parts.lines').rows.map(([name]) => name);
    expect(names).not.toContain('motion.y.belt_drive.motor');
    expect(names).not.toContain('out');
  });

  // L = 2 C + pi d for two pulleys of 20 teeth of 2 mm: 2 * 340 + 40 = 720; less 60 that the carriage takes, and 8 teeth in the
  // clamp at each end: 692 mm. The other: 760 - 80 + 32 = 712 mm. Both come from one roll.
  test('belts are as long as their way, less the carriage, and what the clamps hold', () => {
    const belt = row('parts.lines', 'motion.x.belt_drive.belt');
    expect([belt.quantity, belt.piece, belt.total_length]).toEqual(['2', '692 mm', '1.4 m']);
    // 8.4 g/m by 1.404 m.
    expect(belt.total_mass).toBe('11.8 g');
  });

  test('what comes in its length is told by its length', () => {
    const [short, long] = ['y', 'z'].map((axis) => row('parts.lines', `motion.${axis}.guide`));
    expect([short?.quantity, short?.piece]).toEqual(['2', '320 mm']);
    expect([long?.quantity, long?.piece]).toEqual(['2', '400 mm']);
  });

  // Both conductors of 0.9 m; 0.6 m out; 0.7 m home through a wire of its own: white, as the negative.
  test('wires are told by colour and size, with the length of all conductors', () => {
    const conductors = table('parts.conductors').rows.map((cells) => cells.slice(1).join(', '));
    expect(conductors).toEqual([
      'green yellow, 1.5 mm², pvc, 1, 300 mm, 1',
      'green yellow, 1 mm², pvc, 1, 500 mm, 1',
      'brown, 1 mm², pvc, 1, 400 mm, 1',
      'blue, 1 mm², pvc, 1, 400 mm, 1',
      'red, 1 mm², silicone, 2, 1.5 m, 2',
      'white, 1 mm², silicone, 2, 1.6 m, 2',
    ]);
    expect(row('parts.lines', 'lead').piece).toBe('1.5 m');
  });

  // Five are needed and two are there: three are left, which is two packs of two.
  test('what lies in the drawer is not ordered, and packs are bought whole', () => {
    const drawer = open(
      'machine Drawer {\n  ambient = 20 degC\n  motor * 5 is nema17_40mm {\n    owned = 2\n    pack = 2\n  }\n}\n',
    );
    const [one] = drawer.project.machines(drawer.file);
    const lines = one && [...valuesOf(one)].find(({ cell }) => pathOfCell(cell, one) === 'parts.lines')?.cell;
    const { heading, rows } = (one && lines && blockTableOf(lines, one)) ?? expect.fail('no list');
    const at = (name: string) => rows.find(([block]) => block === 'motor')?.[heading.indexOf(name)];
    expect(['quantity', 'to_order', 'packs'].map(at)).toEqual(['5', '3', '2']);
  });

  // 2 * 0.9 m + 0.6 m + 0.7 m = 3.1 m at 1.20 EUR; 30 + 22 + 3.72 EUR, and 3 USD by themselves.
  test('a price by the metre follows the length, and each currency has its own sum', () => {
    expect(shown('one.wire.cost')).toBe('2.16 EUR');
    expect(shown('parts.costs')).toBe('[3 USD, 55.72 EUR]');
    expect(shown('cost')).toMatch(/without a stated rate/);
    expect(table('parts.unpriced').rows.map(([name]) => name)).toContain('motion.x.belt_drive.belt');
    expect(table('parts.unpriced').rows.map(([name]) => name)).not.toContain('motion.x.belt_drive.motor');
  });

  // Four for each motor: two of size 17 with M3, two of size 23 with M5; a rail of 260 mm with one each 25 mm: 10.
  test('screws and nuts where they follow', () => {
    expect([shown('parts.screws_m3'), shown('parts.screws_m5'), shown('parts.slot_nuts')]).toEqual(['18', '8', '10']);
    expect(shown('parts.levelling_nuts')).toBe('4');
    // What there is none of is no line of a list.
    expect(shown('parts.hot_end_nuts')).toBe('not known');
  });
});

test('spares are ordered besides what is built in, and what is printed is told by its filament, mass and length', () => {
  const { project, file } = open(
    `machine Drawer {
  ambient = 20 degC
  motor * 5 is nema17_40mm { owned = 2
    spares = 1 }
  printed_part foot { filament = petg
    volume = 12 cm^3 }
  printed_part lid { filament = pla
    mass = 62 g }
  printed_part unknown { filament = pla }
}
`,
  );
  const [machine] = project.machines(file);
  if (!machine) throw new Error('the text has no machine');
  const told = (path: string) => {
    const found = [...valuesOf(machine)].find(({ cell }) => pathOfCell(cell, machine) === path);
    return found && showCell(found.cell, machine);
  };
  expect(told('motor.to_order')).toBe('4');
  // Data sheets of PETG: 1.27 g/cm^3, of PLA 1.24 (from memory): 12 cm^3 weigh 15.2 g, 62 g are 50 cm^3.
  expect(told('foot.mass')).toBe('15.2 g');
  // A strand of 1.75 mm has 2.405 mm^2: 12 cm^3 are 4.99 m, 50 cm^3 are 20.8 m.
  expect(told('foot.total_filament')).toBe('4.99 m');
  expect(told('lid.total_filament')).toBe('20.8 m');
  expect(told('unknown.total_filament')).toBe('not known');
  const cell = [...valuesOf(machine)].find(({ cell }) => pathOfCell(cell, machine) === 'parts.printed')?.cell;
  const table = cell && blockTableOf(cell, machine);
  expect(table?.rows.map(([name]) => name)).toEqual(['foot', 'lid', 'unknown']);
});

test('limit switches that nothing more is said of are one sort by their contact; one with a price of its own is another', () => {
  const { project, file } = open(
    `machine Drawer {
  ambient = 20 degC
  limit_switch first
  limit_switch second
  limit_switch opening { contact = normally_open }
  limit_switch dear { price = 3 EUR }
}
`,
  );
  const [machine] = project.machines(file);
  const lines = machine && [...valuesOf(machine)].find(({ cell }) => pathOfCell(cell, machine) === 'parts.lines')?.cell;
  const { heading, rows } = (machine && lines && blockTableOf(lines, machine)) ?? expect.fail('no list');
  expect(rows.map((row) => [row[0], row[heading.indexOf('quantity')]])).toEqual([
    ['first', '2'],
    ['opening', '1'],
    ['dear', '1'],
  ]);
});
