import type { SheetData } from '../../../server/sheet/data.ts';

const place = { file: 'a.gusset', line: 3, column: 5 };

/** A sheet with something of each sort on it, whose names and texts try to be read as something else. */
export const hostile: SheetData = {
  machine: 'Finch',
  about: 'A <b>small</b> one. | # no heading\n* no list',
  sections: [
    {
      heading: 'At a glance',
      parts: [
        {
          is: 'rows',
          rows: [{ label: 'cost', shown: '7 EUR', about: 'What "it" costs.', margin: 0.25, place }],
        },
        { is: 'rows', block: 'bed.heater', rows: [{ label: 'power', shown: '=cmd()', margin: -2, place: null }] },
      ],
    },
    {
      heading: 'Findings',
      about: 'Read them.',
      parts: [
        {
          is: 'notes',
          notes: [
            {
              severity: 'error',
              title: 'too hot',
              text: '</section><script>alert(1)</script>',
              caution: 'Fire & burns.',
              more: ['set `a` to 3'],
              place,
            },
            { title: 'cost', text: '[not](a-link)', place: null },
          ],
        },
      ],
    },
    {
      heading: 'Parts list',
      parts: [
        {
          is: 'table',
          label: 'lines',
          about: 'Each once.',
          heading: ['', 'price', 'is'],
          rows: [
            { texts: ['a|b', '+3 EUR', 'loose'], place, places: [null, place], bar: 0.5 },
            { texts: ['@c', '"x", y', 'held'], place: null },
          ],
          missing: ['c.price'],
          together: 'is',
        },
      ],
    },
    {
      heading: 'Warming up',
      parts: [
        {
          is: 'plot',
          block: 'bed',
          x: { label: 'time', unit: 'min' },
          y: { label: 'temperature', unit: '°C' },
          bands: [
            {
              label: 'plate',
              about: 'The <plate>.',
              points: [0, 1, 2, 3, 4].map((x) => ({ x, low: 20 + 15 * x, high: 25 + 15 * x })),
              place,
              formula: null,
            },
            {
              label: 'print side',
              about: '',
              points: [0, 2, 4].map((x) => ({ x, low: 20 + 15 * x, high: 20 + 15 * x })),
              place,
            },
          ],
          marks: [
            { label: 'target', axis: 'y', low: 80, high: 80, shown: '80 °C', place },
            { label: 'limit', axis: 'y', low: 82, high: 82, shown: '82 °C', place },
            { label: 'ready', axis: 'x', low: 3, high: 3.5, shown: '3 to 3.5 min', place },
          ],
        },
      ],
    },
    {
      heading: 'Checks',
      parts: [
        {
          is: 'checks',
          label: 'With the plug <b>pulled</b>',
          items: [
            {
              title: 'It <b>holds</b>',
              how: 'Write `a = <3>`',
              formula: place,
              expected: 'at most 0.1 Ω',
              caution: '</ul>Fire.',
              blocks: [
                { label: '<i>pad</i>', made: '☐', place },
                { label: 'plate', made: '☑ 0.06 Ω 2026-03-02', place: null },
              ],
            },
            {
              title: '=turned()',
              how: 'Turn it',
              formula: null,
              uncover: 'Take the `lid off',
              blocks: [{ label: 'screw', made: '', place }],
            },
          ],
        },
      ],
    },
    {
      heading: 'Wiring',
      parts: [
        {
          is: 'ladder',
          number: '1',
          name: '<b>inlet</b>',
          told: ['230 V'],
          isBoard: false,
          fedBy: '',
          marks: ['L', 'N'],
          trunk: [],
          rungs: [
            {
              number: '1.1',
              name: 'warm',
              told: ['current 3 A'],
              marks: ['L', 'N'],
              terminal: '',
              begins: place,
              out: [],
              load: {
                name: 'pad',
                label: 'bed.pad',
                letters: 'E',
                told: ['230 V', '700 W'],
                symbol: 'M0 10h40',
                isBoth: false,
                goesOn: '',
                place,
              },
              back: [],
              earth: {
                name: 'plate_earth',
                label: 'plate_earth',
                letters: '',
                told: ['1 mm^2'],
                symbol: '',
                cores: { out: 'green yellow', back: '' },
                isBoth: false,
                goesOn: '',
                place: null,
              },
              place,
            },
          ],
          leads: [],
          earths: ['plate_earth'],
          free: [{ name: 'spare', place }],
          legend: [{ letters: 'E', name: 'heater', told: [{ name: 'power', place }], place }],
          place,
        },
      ],
    },
  ],
};
