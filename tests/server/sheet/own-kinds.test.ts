// A machine of kinds that no library knows: each sort of part of a sheet is there, and what its names and texts try to be read as is text.
import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { sheetOf } from '../../../language/answers/sheet.ts';
import { csvOf } from '../../../server/sheet/csv.ts';
import { dataOf } from '../../../server/sheet/data.ts';
import { dxfOf } from '../../../server/sheet/dxf.ts';
import { pageOf } from '../../../server/sheet/html.ts';
import { markdownOf } from '../../../server/sheet/markdown.ts';
import { machineIn } from '../../support.ts';

const kiln = `kind when_done {
  place: Ratio
  order place
}
/// <b>First</b>
part at_once is when_done { place = 1 }
kind kiln {
  toplevel
  has shelf*
  has tap*
  has line*
  /// What it costs.
  cost: Price default 30 EUR
  heat: Temperature default 900 degC .. 950 degC
  warmth(after: Time): Temperature = 20 degC + after * (heat - 20 degC) / 1 h
  course: curve of Time, Temperature = sampled(of: warmth, from: 0 s, to: 1 h)
  shelves: list of shelf = each(s for s in every shelf) {
    shown load
  }
  note: Text default "=HYPERLINK(1)</td><script>alert(1)</script>"
  headline cost, note
  report "Firing", course, heat
  report "Shelves", shelves
  report "Values to set", cost, note
  report "Plan"
  report "Views"
  /// It is <i>level</i>
  check level {
    step at_once
    how "Lay \`a <b>level</b>\` on it"
  }
  /// It is dry
  check dry {
    stage at_once
    how "Look <script>alert(2)</script>"
    caution "Burns </li>."
  }
  /// It is swept
  check swept {
    repeat at_once
    uncover "Lift the @lid"
    how "Sweep it"
  }
}
kind shelf {
  inside kiln
  load: Mass
  x: Length default 0 mm
  z: Length
  wide: Length default 400 mm
  high: Length default 20 mm
  still: Length default 0 mm
  climbs: Length default 0 mm
  solid: YesNo default yes
  hollow: YesNo default no
  shape "Views", x, x, z, wide, wide, high, still, still, climbs, solid, hollow, solid
  expects given(cover), "Which cover lies on it?"
  cover: Text?
}
kind tap {
  inside kiln
  colour: one of red, white default red
  size: Length default 2 mm
  is_pipe: YesNo default no
  mark: Text default "hot"
  home: Text default "cold"
  symbol "M0 10h40", "V", size
}
kind pipe is tap {
  cores colour, colour, size
}
kind line {
  inside kiln
  path: list of tap
  back: list of tap = path
  earth: tap?
  mark: Text default "hot"
  home: Text default "cold"
  flow: Length default 3 mm
  rung "Plan", path, back, earth, mark, home, flow
}
rule shelf_overloaded on shelf {
  holds load <= 10 kg
  error "{name} carries {load}"
}
kiln Oven {
  shelf low {
    load = 9 kg
    z = 100 mm
  }
  shelf high {
    load = 12 kg
    z = 110 mm
    climbs = 50 mm
  }
  tap boiler
  pipe copper
  tap basin
  line warm { path = [boiler, copper, basin] }
  require cost <= 40 EUR
}
`;
const data = dataOf(sheetOf(machineIn(kiln)), () => undefined);

describe("a machine of a user's own kinds", () => {
  test('is on the sheet with each sort of part, under the headings that its kinds give', () => {
    expect(
      data.sections.map(({ heading, parts }) => [heading, [...new Set(parts.map(({ is }) => is))].join(' ')]),
    ).toEqual([
      ['At a glance', 'rows'],
      ['Findings', 'notes'],
      ['Requirements', 'rows'],
      ['Weakest points', 'rows'],
      ['Not said yet', 'notes'],
      ['Firing', 'plot'],
      ['Shelves', 'table'],
      ['Values to set', 'rows'],
      ['Plan', 'ladder table'],
      ['Views', 'drawing'],
      ['Assembly', 'checks'],
      ['Commissioning', 'checks'],
      ['Maintenance', 'checks'],
      ['Why it is so', 'table'],
    ]);
  });

  test('is a page on which its texts are nothing but texts', async () => {
    const page = await pageOf(data);
    const { document } = parseHTML(page);
    expect(document.querySelectorAll('script, main b, main i, [onclick]')).toHaveLength(0);
    expect(document.querySelector('main')?.textContent).toContain('</td><script>alert(1)</script>');
    expect(document.querySelectorAll('svg').length).toBeGreaterThan(3);
  });

  test('is Markdown, tables and a drawing in which they are nothing else either', () => {
    expect(markdownOf(data)).not.toMatch(/(^|[^\\])<(script|b|i)>/);
    const files = csvOf(data);
    expect(files.find(({ name }) => name.includes('Values'))?.text).toContain(`"'=HYPERLINK(1)`);
    expect(dxfOf(data)).toContain('EOF');
  });

  test('what would be in one place is told, and what each part was decided by', () => {
    const drawing = data.sections.flatMap(({ parts }) => parts.filter((part) => part.is === 'drawing'))[0];
    // Two shelves of 20 mm, of which one begins its way 10 mm above the other.
    expect(drawing?.meetings).toMatchObject([{ one: 'low', other: 'high' }]);
    expect(data.sections.at(-1)?.parts).toMatchObject([
      { rows: [{ texts: ['low', 'shelf', 'shelf overloaded', 'load 9 kg', 'at most 10 kg', '10 % to spare', ''] }] },
    ]);
  });
});
