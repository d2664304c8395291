// Plots as pictures, tag by tag and to a tenth, as they were looked at when they were right.
import { expect, test } from 'vitest';
import { svgOf } from '../../../server/sheet/svg.ts';
import { hostile } from './sample.ts';

type Plot = Parameters<typeof svgOf>[0];
const warming = hostile.sections.flatMap(({ parts }) => parts).find(({ is }) => is === 'plot') as Plot;
const points = (...all: [number, number, number][]) => all.map(([x, low, high]) => ({ x, low, high }));
const band = (label: string, ...all: [number, number, number][]) => ({
  label,
  about: '',
  points: points(...all),
  place: null,
});
/** Four curves well above nothing, a mark at one place, one at each edge, and labels that would lie below the picture. */
const four: Plot = {
  is: 'plot',
  block: '',
  x: { label: 'share', unit: '' },
  y: { label: 'temperature', unit: 'K' },
  bands: [
    band('one', [10, 300, 300], [14, 310, 310]),
    band('two', [10, 290, 295], [12, 291, 292], [14, 292, 292]),
    band('three', [10, 290, 290], [14, 291, 291]),
    band('four', [10, 289, 289], [14, 290, 290]),
  ],
  marks: [
    { label: 'least', axis: 'x', low: 10, high: 10, shown: '10', place: null },
    { label: 'middle', axis: 'x', low: 11, high: 11, shown: '11', place: null },
    { label: 'the very most that there can be', axis: 'x', low: 14, high: 14, shown: '14', place: null },
    { label: 'cold', axis: 'y', low: 289, high: 289, shown: '289 K', place: null },
  ],
} as never;
/** To a tenth, without lines of the grid and the axes. */
const lines = (svg: string) =>
  svg
    .replace(/-?\d+\.\d+/g, (number) => String(Number(Number(number).toFixed(1))))
    .replace(/<g[^>]*>(?:<(?:line|path)[^>]*(?:y1="[\d.]+" x2="[\d.]+" x1="56"|L0,6"[^>]*|L-6,0"[^>]*) \/>)+<\/g>/g, '')
    .replaceAll('><', '>\n<');

const drawnWarming = `<svg aria-label="Warm" role="img" viewBox="0 0 560 264" height="264" width="560" text-anchor="middle" font-size="11" font-family="inherit" fill="currentColor">
<g transform="translate(0,9)" font-variant="tabular-nums">
<text transform="translate(56,226)" y="0.7em">0</text>
<text transform="translate(100.3,226)" y="0.7em">0.5</text>
<text transform="translate(144.5,226)" y="0.7em">1</text>
<text transform="translate(188.8,226)" y="0.7em">1.5</text>
<text transform="translate(233,226)" y="0.7em">2</text>
<text transform="translate(277.3,226)" y="0.7em">2.5</text>
<text transform="translate(321.5,226)" y="0.7em">3</text>
<text transform="translate(365.8,226)" y="0.7em">3.5</text>
<text transform="translate(410,226)" y="0.7em">4</text>
</g>
<g transform="translate(0,35)">
<text transform="translate(233,226)">time in min</text>
</g>
<g transform="translate(-9,0)" font-variant="tabular-nums" text-anchor="end">
<text transform="translate(56,226)" y="0.3em">0</text>
<text transform="translate(56,181.2)" y="0.3em">20</text>
<text transform="translate(56,136.3)" y="0.3em">40</text>
<text transform="translate(56,91.5)" y="0.3em">60</text>
<text transform="translate(56,46.6)" y="0.3em">80</text>
</g>
<g transform="translate(-53,0)">
<text transform="translate(56,125) rotate(-90)" y="0.7em">temperature in °C</text>
</g>
<g data-place="a.gusset:3:5">
<title>target</title>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,77.4)" y="0.3em">target 80 °C</text>
</g>
</g>
<g data-place="a.gusset:3:5">
<title>limit</title>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,49.4)" y="0.3em">limit 82 °C</text>
</g>
</g>
<g data-place="a.gusset:3:5">
<title>ready</title>
<g stroke-dasharray="4 3" stroke="var(--mark)">
<line y2="226" y1="24" x2="321.5" x1="321.5" />
<line y2="226" y1="24" x2="365.8" x1="365.8" />
</g>
<g stroke-opacity="0" stroke-width="10" stroke="var(--mark)">
<line y2="226" y1="24" x2="321.5" x1="321.5" />
<line y2="226" y1="24" x2="365.8" x1="365.8" />
</g>
<g transform="translate(0,-9)" fill="var(--text)">
<text transform="translate(365.8,24)" y="0.3em">ready 3 to 3.5 min</text>
</g>
</g>
<g data-place="a.gusset:3:5">
<title>plate</title>
<g pointer-events="none" fill-opacity="0.2" fill="var(--curve-1)">
<path d="M56,169.9L144.5,136.3L233,102.7L321.5,69.1L410,35.4L410,46.6L321.5,80.3L233,113.9L144.5,147.5L56,181.2Z" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke="var(--curve-1)" fill="none">
<path d="M56,181.2L144.5,147.5L233,113.9L321.5,80.3L410,46.6" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke-opacity="0" stroke-width="10" stroke="var(--mark)" fill="none">
<path d="M56,181.2L144.5,147.5L233,113.9L321.5,80.3L410,46.6" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-1)" fill="none">
<path d="M56,169.9L144.5,136.3L233,102.7L321.5,69.1L410,35.4" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke-opacity="0" stroke-width="10" stroke="var(--mark)" fill="none">
<path d="M56,169.9L144.5,136.3L233,102.7L321.5,69.1L410,35.4" />
</g>
<g fill="transparent">
<circle r="7" cy="169.9" cx="56">
<title>plate 20 to 25 °C at 0 min</title>
</circle>
<circle r="7" cy="136.3" cx="144.5">
<title>plate 35 to 40 °C at 1 min</title>
</circle>
<circle r="7" cy="102.7" cx="233">
<title>plate 50 to 55 °C at 2 min</title>
</circle>
<circle r="7" cy="69.1" cx="321.5">
<title>plate 65 to 70 °C at 3 min</title>
</circle>
<circle r="7" cy="35.4" cx="410">
<title>plate 80 to 85 °C at 4 min</title>
</circle>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,35.4)" y="0.3em">plate</text>
</g>
</g>
<g data-place="a.gusset:3:5">
<title>print side</title>
<g stroke-dasharray="7 3" stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-2)" fill="none">
<path d="M56,181.2L233,113.9L410,46.6" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke-opacity="0" stroke-width="10" stroke="var(--mark)" fill="none">
<path d="M56,181.2L233,113.9L410,46.6" />
</g>
<g fill="transparent">
<circle r="7" cy="181.2" cx="56">
<title>print side 20 °C at 0 min</title>
</circle>
<circle r="7" cy="113.9" cx="233">
<title>print side 50 °C at 2 min</title>
</circle>
<circle r="7" cy="46.6" cx="410">
<title>print side 80 °C at 4 min</title>
</circle>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,63.4)" y="0.3em">print side</text>
</g>
</g>
</svg>`;

const drawnFour = `<svg aria-label="Four" role="img" viewBox="0 0 560 264" height="264" width="560" text-anchor="middle" font-size="11" font-family="inherit" fill="currentColor">
<g transform="translate(0,9)" font-variant="tabular-nums">
<text transform="translate(56,226)" y="0.7em">10</text>
<text transform="translate(100.3,226)" y="0.7em">10.5</text>
<text transform="translate(144.5,226)" y="0.7em">11</text>
<text transform="translate(188.8,226)" y="0.7em">11.5</text>
<text transform="translate(233,226)" y="0.7em">12</text>
<text transform="translate(277.3,226)" y="0.7em">12.5</text>
<text transform="translate(321.5,226)" y="0.7em">13</text>
<text transform="translate(365.8,226)" y="0.7em">13.5</text>
<text transform="translate(410,226)" y="0.7em">14</text>
</g>
<g transform="translate(0,35)">
<text transform="translate(233,226)">share</text>
</g>
<g transform="translate(-9,0)" font-variant="tabular-nums" text-anchor="end">
<text transform="translate(56,216.9)" y="0.3em">290</text>
<text transform="translate(56,171.6)" y="0.3em">295</text>
<text transform="translate(56,126.2)" y="0.3em">300</text>
<text transform="translate(56,80.8)" y="0.3em">305</text>
<text transform="translate(56,35.4)" y="0.3em">310</text>
</g>
<g transform="translate(-53,0)">
<text transform="translate(56,125) rotate(-90)" y="0.7em">temperature in K</text>
</g>
<g stroke-dasharray="4 3" stroke="var(--mark)">
<line y2="226" y1="24" x2="144.5" x1="144.5" />
</g>
<g stroke-dasharray="4 3" stroke="var(--mark)">
<line y2="226" y1="24" x2="410" x1="410" />
</g>
<g stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-1)" fill="none">
<path d="M56,126.2L410,35.4" />
</g>
<g fill="transparent">
<circle r="7" cy="126.2" cx="56">
<title>one 300 K at 10</title>
</circle>
<circle r="7" cy="35.4" cx="410">
<title>one 310 K at 14</title>
</circle>
</g>
<g pointer-events="none" fill-opacity="0.2" fill="var(--curve-2)">
<path d="M56,171.6L233,198.8L410,198.8L410,198.8L233,207.8L56,216.9Z" />
</g>
<g stroke-dasharray="7 3" stroke-linecap="round" stroke-linejoin="round" stroke="var(--curve-2)" fill="none">
<path d="M56,216.9L233,207.8L410,198.8" />
</g>
<g stroke-dasharray="7 3" stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-2)" fill="none">
<path d="M56,171.6L233,198.8L410,198.8" />
</g>
<g fill="transparent">
<circle r="7" cy="171.6" cx="56">
<title>two 290 to 295 K at 10</title>
</circle>
<circle r="7" cy="198.8" cx="233">
<title>two 291 to 292 K at 12</title>
</circle>
<circle r="7" cy="198.8" cx="410">
<title>two 292 K at 14</title>
</circle>
</g>
<g stroke-dasharray="2 3" stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-3)" fill="none">
<path d="M56,216.9L410,207.8" />
</g>
<g fill="transparent">
<circle r="7" cy="216.9" cx="56">
<title>three 290 K at 10</title>
</circle>
<circle r="7" cy="207.8" cx="410">
<title>three 291 K at 14</title>
</circle>
</g>
<g stroke-dasharray="9 3 2 3" stroke-linecap="round" stroke-linejoin="round" stroke-width="2" stroke="var(--curve-1)" fill="none">
<path d="M56,226L410,216.9" />
</g>
<g fill="transparent">
<circle r="7" cy="226" cx="56">
<title>four 289 K at 10</title>
</circle>
<circle r="7" cy="216.9" cx="410">
<title>four 290 K at 14</title>
</circle>
</g>
<g pointer-events="none" fill="var(--text)">
<circle r="3.5" cy="126.2" cx="56" />
<circle r="3.5" cy="171.6" cx="56" />
<circle r="3.5" cy="216.9" cx="56" />
<circle r="3.5" cy="226" cx="56" />
<circle r="3.5" cy="103.5" cx="144.5" />
<circle r="3.5" cy="185.2" cx="144.5" />
<circle r="3.5" cy="214.7" cx="144.5" />
<circle r="3.5" cy="223.7" cx="144.5" />
<circle r="3.5" cy="35.4" cx="410" />
<circle r="3.5" cy="198.8" cx="410" />
<circle r="3.5" cy="207.8" cx="410" />
<circle r="3.5" cy="216.9" cx="410" />
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,35.4)" y="0.3em">one</text>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,198.8)" y="0.3em">two</text>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,212.8)" y="0.3em">three</text>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,226.8)" y="0.3em">four</text>
</g>
<g transform="translate(6,0)" text-anchor="start" fill="var(--text)">
<text transform="translate(410,240.8)" y="0.3em">cold 289 K</text>
</g>
<g transform="translate(0,-9)" text-anchor="start" fill="var(--text)">
<text transform="translate(56,24)" y="0.3em">least 10</text>
</g>
<g transform="translate(0,-9)" fill="var(--text)">
<text transform="translate(144.5,24)" y="0.3em">middle 11</text>
</g>
<g transform="translate(0,-9)" fill="var(--text)">
<text transform="translate(410,24)" y="0.3em">the very most that there can be 14</text>
</g>
</svg>`;

test('two curves with their bands, marks, and what is told where it is pointed at', () => {
  expect(lines(svgOf(warming, 'Warm'))).toBe(drawnWarming);
});

test('four curves, told apart by their dashes, and marks up to both edges', () => {
  expect(lines(svgOf(four, 'Four'))).toBe(drawnFour);
});
