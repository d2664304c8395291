// A sheet as Markdown, as it was looked at when it was right.
import { expect, test } from 'vitest';
import { markdownOf } from '../../../server/sheet/markdown.ts';
import { hostile } from './sample.ts';

const written = `# Finch

A \\<b>small\\</b> one. | # no heading \\* no list

## At a glance

| of | what | value |
| - | - | - |
| | cost | 7 EUR |
| bed.heater | power | =cmd() |

## Findings

Read them.

- **error: too hot**: \\</section>\\<script>alert(1)\\</script> **Caution:** Fire & burns. (set \\\`a\\\` to 3) a.gusset:3
- **cost**: \\[not]\\(a-link)

## Parts list

### lines

| | price | is |
| - | - | - |
| a\\|b | +3 EUR | loose |
| @c | "x", y | held |

Not given: c.price

## Warming up

### bed

| time (min) | plate, least (°C) | plate, greatest (°C) | print side (°C) |
| - | - | - | - |
| 0 | 20 | 25 | 20 |
| 1 | 35 | 40 | 35 |
| 2 | 50 | 55 | 50 |
| 3 | 65 | 70 | 65 |
| 4 | 80 | 85 | 80 |
| target | 80 °C | | |
| limit | 82 °C | | |
| ready | 3 to 3.5 min | | |

## Checks

### With the plug \\<b>pulled\\</b>

| | what | comes off first | how | expected | made | mind |
| - | - | - | - | - | - | - |
| \\<i>pad\\</i> | It \\<b>holds\\</b> | | Write \\\`a = <3>\\\` | at most 0.1 Ω | ☐ | \\</ul>Fire. |
| plate | It \\<b>holds\\</b> | | Write \\\`a = <3>\\\` | at most 0.1 Ω | ☑ 0.06 Ω 2026-03-02 | \\</ul>Fire. |
| screw | =turned() | Take the \\\`lid off | Turn it | | | |

## Wiring

### 1 \\<b>inlet\\</b> 230 V

| number | begins at | way out | way back | earth | told |
| - | - | - | - | - | - |
| 1.1 | \\<b>inlet\\</b> | pad: 230 V, 700 W | | plate_earth: 1 mm^2 | current 3 A |
| | spare | free | | | |
`;

test('a sheet with something of each sort', () => {
  expect(markdownOf(hostile)).toBe(written);
});
