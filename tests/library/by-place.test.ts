// What differs by where a machine stands: how views stand, wire sizes, what devices are called.
import { describe, expect, test } from 'vitest';
import { connectionsOf } from '../../language/answers/connections.ts';
import { drawingOf } from '../../language/answers/drawing.ts';
import { sheetOf } from '../../language/answers/sheet.ts';
import { laddersOf } from '../../language/answers/wiring.ts';
import { cellOf } from '../../language/compute/cell.ts';
import { showAlongside, showCell } from '../../language/compute/show-cell.ts';
import { dueChecksOf, upkeepOf } from '../../language/judge/commissioning.ts';
import { machineIn, shown } from '../support.ts';

const machine = (place: string) =>
  machineIn(`machine M {
  ambient = 20 degC
  mains = 120 V
${place}
  inlet is inlet_10a { residual_current = 30 mA }
  supply psu is supply_24v_350w
  portal_frame frame {
    column = section_20x40
    height = 400 mm
    width = 360 mm
    depth = 420 mm
  }
  board controller is board_4_axis
  bed {
    target = 60 degC
    plate { size = 230 mm x 230 mm }
    sensor is ntc_100k { input = controller.bed_input }
  }
  heater pad {
    voltage = 24 V
    power = 40 W
  }
  circuit mains_side {
    wire {
      area = 2.5 mm^2
      length = 1 m
    }
    path = [inlet, wire, psu]
  }
  require frame.height <= 500 mm
  circuit warm {
    wire {
      area = 0.75 mm^2
      length = 1 m
    }
    path = [psu, wire, pad]
  }
}
`);
const here = machine('');
const there = machine('  mains_colours = nec');

describe('where the codes of North America hold', () => {
  test('a drawing is in third-angle projection, elsewhere in first-angle', () => {
    expect(drawingOf(there)?.isThirdAngle).toBe(true);
    expect(drawingOf(here)?.isThirdAngle).toBe(false);
  });

  // ASTM B258 (from memory): no. 12 is 3.31 mm^2, no. 14 2.08 mm^2; no. 18 is 0.823 mm^2, no. 20 0.519 mm^2.
  test('a wire has the number of the gauge that is at least as thick, elsewhere none', () => {
    expect(shown(there, 'mains_side.wire.out_conductor.gauge')).toBe('12');
    expect(shown(there, 'warm.wire.out_conductor.gauge')).toBe('18');
    expect(shown(here, 'warm.wire.out_conductor.gauge')).toBe('not known');
  });

  test('stands beside the area in the wiring plan and in the list of connections', () => {
    const wires = (of: typeof here) =>
      laddersOf(of).flatMap(({ rungs }) =>
        rungs.flatMap(({ out }) => out.flatMap(({ cores, told }) => (cores ? [told] : []))),
      );
    expect(wires(there)).toEqual([
      ['2.5 mm² · AWG 12', '1 m'],
      ['0.75 mm² · AWG 18', '1 m'],
    ]);
    expect(wires(here)).toEqual([
      ['2.5 mm²', '1 m'],
      ['0.75 mm²', '1 m'],
    ]);
    const gauges = (of: typeof here) => connectionsOf(of).flatMap(({ told, wire }) => (wire ? [told.gauge] : []));
    expect(gauges(there)).toEqual(['AWG 12', 'AWG 12', 'AWG 18', 'AWG 18']);
    expect(new Set(gauges(here))).toEqual(new Set(['']));
  });

  test('the device that opens when current leaks goes by the word that is usual there', () => {
    const words = (of: typeof here) =>
      [...dueChecksOf(of), ...upkeepOf(of)].flatMap(({ how }) => (how.includes('test button') ? [how] : []));
    expect(words(there)).toHaveLength(2);
    for (const how of words(there)) expect(how).toContain('the test button of the GFCI before');
    for (const how of words(here)) expect(how).toContain('the test button of the residual current device before');
  });

  // NIST SP 811, appendix B.8: a foot is 0.3048 m: two metres are 6.56 feet.
  test('wire is bought by the foot, elsewhere by the metre', () => {
    const bought = (of: typeof here) =>
      ['feet', 'metres'].map((unit) => shown(of, `mains_side.wire.out_conductor.${unit}`));
    expect(bought(there)).toEqual(['4', 'not known']);
    expect(bought(here)).toEqual(['not known', '1']);
  });

  test('what the lost earth of an inlet meets is called by that word too', () => {
    expect(shown(there, 'inlet.earth_lost.stopped_by')).toMatch(/^the GFCI of 30 mA/);
    expect(shown(here, 'inlet.earth_lost.stopped_by')).toMatch(/^the residual current device of 30 mA/);
  });

  // NIST SP 811, appendix B.8: an inch is 25.4 mm, t/°C = (t/°F - 32)/1.8; so 400 mm are 15.7 in, and 20 °C 68 °F.
  test('the sheet tells lengths in inches and temperatures in degrees Fahrenheit beside, elsewhere in neither', () => {
    const told = (of: typeof here) =>
      JSON.stringify(
        sheetOf(of).sections.flatMap(({ parts }) => parts),
        ['rows', 'texts'],
      );
    expect(told(there)).toContain('400 mm (15.7 in)');
    expect(told(here)).toContain('400 mm');
    expect(told(here)).not.toContain('(15.7 in)');
    // A rule's limit, what a check is to read, a requirement and a dimension tell them too.
    const text = (of: typeof here, heading: string) =>
      JSON.stringify(sheetOf(of).sections.find((section) => section.heading === heading)?.parts, [
        'rows',
        'shown',
        'items',
        'expected',
        'texts',
      ]);
    for (const heading of ['Requirements', 'Weakest points', 'Commissioning']) {
      expect(text(there, heading), heading).toMatch(/°F\)|in\)/);
      expect(text(here, heading), heading).not.toMatch(/°F|in\)/);
    }
    expect(text(there, 'Requirements')).toContain('400 mm (15.7 in), ');
    expect(drawingOf(there)?.unitBeside).toEqual({ symbol: 'in', factor: 0.0254 });
    expect(drawingOf(here)).not.toHaveProperty('unitBeside');
    const room = (of: typeof here) => {
      const cell = cellOf(of.tree, 'ambient');
      return cell && `${showCell(cell, of)}${showAlongside(cell, of)}`;
    };
    expect(room(there)).toBe('20 °C (68 °F)');
    expect(room(here)).toBe('20 °C');
  });
});
