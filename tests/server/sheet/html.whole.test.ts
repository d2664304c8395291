// Pages as they were looked at when they were right, tag by tag; of pictures, which have tests of their own, that they are there.
import { expect, test } from 'vitest';
import type { SectionData } from '../../../server/sheet/data.ts';
import { columnsPage, livingPageOf, pageOf, sectionHtml } from '../../../server/sheet/html.ts';
import { hostile } from './sample.ts';

const place = { file: 'shop/a.gusset', line: 7, column: 2 };
const own: SectionData[] = [
  {
    heading: 'Rows & bars',
    about: 'How to read them.',
    parts: [
      {
        is: 'rows',
        block: 'a.b_c',
        rows: [
          { label: 'short_by', shown: '3 kg', margin: -0.5, place },
          { label: 'none left', shown: '0 kg', margin: 0, place: null, formula: place },
          { label: 'share', shown: '2 kg of 0.5 m', bar: 0.5, place },
          { label: 'plain', shown: '[a, b]', about: 'What it is.', place: null },
        ],
      },
    ],
  },
  {
    heading: 'Tables',
    parts: [
      {
        is: 'table',
        label: 'wide',
        about: '',
        heading: ['', 'by', 'colour', 'length', 'of'],
        rows: [
          { texts: ['a', 'wire', 'red', '3 mm', 'low'], place, places: [undefined, place], bar: 0.25 } as never,
          { texts: ['b', '', '', '', ''], place: null },
        ],
        missing: ['a.x_y', 'b.z'],
        together: 'of',
        below: { colour: 'by', length: 'of' },
      },
    ],
  },
  {
    heading: 'Notes',
    parts: [{ is: 'notes', notes: [{ severity: 'warning', title: 'a `b', text: 'Set `x` to `3 mm', place: null }] }],
  },
];

/** What is a block on a line of its own, without pictures and styles. */
const lines = (html: string) =>
  html
    .replace(/<svg[\s\S]*?<\/svg>/g, (svg) => (svg.length < 400 ? svg : '<svg/>'))
    .replace(/<style>[\s\S]*<\/style>/, '<style/>')
    .replace(/sha256-[\w+/=]+/g, 'sha256-…')
    .replace(/<(?=(?:tr|h[123]|p|li|div|table|figure|details|svg|main|nav|script|body|head|meta|title)\b)/g, '\n<')
    .replaceAll('\u00a0', '~')
    .trim();
const row = (shown: string) => ({ is: 'rows' as const, rows: [{ label: 'cost', shown, place: null }] });
const living = { uri: 'given:/a', text: 'kind <a>', machine: 'M', over: ['x'] };
const small = { machine: 'M', about: 'Small.', sections: [{ heading: 'Cost of it', parts: [row('1 EUR')] }] };

const ofSections = `<h2 id="at-a-glance">At a glance</h2>
<table class="rows"><tbody>
<tr><th scope="row" title="What &#x22;it&#x22; costs.">cost</th><td><span title="a.gusset:3" data-place="a.gusset:3:5">7~EUR</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="to spare: 25 %" data-place="a.gusset:3:5"><rect x="0.5" y="0.5" width="99" height="7" fill="none" stroke="var(--line)"></rect><rect width="25" height="8" fill="var(--curve-1)"></rect><rect width="100" height="8" fill="transparent"></rect></svg></td></tr></tbody></table>
<h3>bed.<wbr>heater</h3>
<table class="rows"><tbody>
<tr><th scope="row">power</th><td><span>=cmd()</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="short by 200 %"><rect x="0.5" y="0.5" width="99" height="7" fill="none" stroke="var(--line)"></rect><rect width="100" height="8" fill="var(--error)"></rect></svg></td></tr></tbody></table>


<h2 id="findings">Findings</h2>
<p class="about">Read them.</p><ul class="notes">
<li class="error"><span class="severity">error</span> <strong><span title="a.gusset:3" data-place="a.gusset:3:5">too hot</span></strong> &#x3C;/section>&#x3C;script>alert(1)&#x3C;/script>
<p class="caution"><strong>Caution: </strong>Fire &#x26; burns.</p><ul>
<li>set <code>a</code> to 3</li></ul></li>
<li class=""><strong><span>cost</span></strong> [not](a-link)</li></ul>


<h2 id="parts-list">Parts list</h2>
<h3>lines</h3>
<p class="about">Each once.</p>
<div class="scroll slim" tabindex="0" role="group" aria-label="Table">
<table><thead>
<tr><td></td><th scope="col">price</th></tr></thead><tbody>
<tr><th class="together" scope="rowgroup" colspan="2"><span>loose</span></th></tr>
<tr><th scope="row"><span title="a.gusset:3" data-place="a.gusset:3:5">a|b</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">+3~EUR</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="50 % of the greatest" data-place="a.gusset:3:5"><rect width="50" height="8" fill="var(--curve-1)"></rect><rect width="100" height="8" fill="transparent"></rect></svg></td></tr></tbody><tbody>
<tr><th class="together" scope="rowgroup" colspan="2"><span>held</span></th></tr>
<tr><th scope="row"><span>@c</span></th><td>"x",~y</td></tr></tbody></table></div>
<p class="about">Not given: c.<wbr>price</p>


<h2 id="warming-up">Warming up</h2>
<figure>
<h3>bed</h3>
<svg/><figcaption>
<p class="about"><span title="a.gusset:3" data-place="a.gusset:3:5">plate</span>: <span>The &#x3C;plate>.</span></p>
<p class="about"><span title="a.gusset:3" data-place="a.gusset:3:5">print side</span></p>
<p class="about">target <span title="a.gusset:3" data-place="a.gusset:3:5">80~°C</span>, limit <span title="a.gusset:3" data-place="a.gusset:3:5">82~°C</span>, ready <span title="a.gusset:3" data-place="a.gusset:3:5">3~to 3.5~min</span></p></figcaption>
<details><summary>As numbers</summary>
<div class="scroll" tabindex="0" role="group" aria-label="Table">
<table><thead>
<tr><th scope="col">time (min)</th><th scope="col"><span title="a.gusset:3" data-place="a.gusset:3:5">plate, least (°C)</span></th><th scope="col"><span title="a.gusset:3" data-place="a.gusset:3:5">plate, greatest (°C)</span></th><th scope="col"><span title="a.gusset:3" data-place="a.gusset:3:5">print side (°C)</span></th></tr></thead><tbody>
<tr><th scope="row"><span>0</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">20</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">25</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">20</span></td></tr>
<tr><th scope="row"><span>1</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">35</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">40</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">35</span></td></tr>
<tr><th scope="row"><span>2</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">50</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">55</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">50</span></td></tr>
<tr><th scope="row"><span>3</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">65</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">70</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">65</span></td></tr>
<tr><th scope="row"><span>4</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">80</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">85</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">80</span></td></tr>
<tr><th scope="row"><span title="a.gusset:3" data-place="a.gusset:3:5">target</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">80~°C</span></td><td></td><td></td></tr>
<tr><th scope="row"><span title="a.gusset:3" data-place="a.gusset:3:5">limit</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">82~°C</span></td><td></td><td></td></tr>
<tr><th scope="row"><span title="a.gusset:3" data-place="a.gusset:3:5">ready</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">3~to 3.5~min</span></td><td></td><td></td></tr></tbody></table></div></details></figure>


<h2 id="checks">Checks</h2>
<h3>With the plug &#x3C;b>pulled&#x3C;/b></h3><ul class="checks">
<li>
<p><strong><span title="a.gusset:3" data-place="a.gusset:3:5">It &#x3C;b>holds&#x3C;/b></span></strong><span class="expected"> expected: <span title="a.gusset:3" data-place="a.gusset:3:5">at most 0.1~Ω</span></span></p><ul class="boxes">
<li>☐ <span title="a.gusset:3" data-place="a.gusset:3:5">&#x3C;i>pad&#x3C;/i></span><span class="blank" aria-hidden="true"></span></li>
<li>☑ <span>plate</span> 0.06~Ω 2026-03-02</li></ul>
<p>Write <code>a = &#x3C;3></code></p>
<p class="caution"><strong>Caution: </strong>&#x3C;/ul>Fire.</p></li>
<li>
<p><strong><span>=turned()</span></strong></p><ul class="boxes">
<li><span title="a.gusset:3" data-place="a.gusset:3:5">screw</span></li></ul>
<p><em>First: </em>Take the \`lid off</p>
<p>Turn it</p></li></ul>


<h2 id="wiring">Wiring</h2>
<figure>
<svg/><figcaption>
<p class="about"><span title="a.gusset:3" data-place="a.gusset:3:5">E~heater</span>: <span title="a.gusset:3" data-place="a.gusset:3:5">power</span></p></figcaption>
<details><summary>As a table</summary>
<div class="scroll" tabindex="0" role="group" aria-label="Table">
<table><thead>
<tr><th scope="col">number</th><th scope="col">begins at</th><th scope="col">way out</th><th scope="col">way back</th><th scope="col">earth</th><th scope="col">told</th></tr></thead><tbody>
<tr><th scope="row"><span title="a.gusset:3" data-place="a.gusset:3:5">1.1</span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">&#x3C;b>inlet&#x3C;/b></span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">pad: 230~V, 700~W</span></td><td></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">plate_<wbr>earth: 1~mm^2</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">current 3~A</span></td></tr>
<tr><th scope="row"><span></span></th><td><span title="a.gusset:3" data-place="a.gusset:3:5">spare</span></td><td><span title="a.gusset:3" data-place="a.gusset:3:5">free</span></td><td></td><td></td><td></td></tr></tbody></table></div></details></figure>


<h2 id="rows-bars">Rows &#x26; bars</h2>
<p class="about">How to read them.</p>
<h3>a.<wbr>b_<wbr>c</h3>
<table class="rows"><tbody>
<tr><th scope="row">short_<wbr>by</th><td><span title="a.gusset:7" data-place="shop/a.gusset:7:2">3~kg</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="short by 50 %" data-place="shop/a.gusset:7:2"><rect x="0.5" y="0.5" width="99" height="7" fill="none" stroke="var(--line)"></rect><rect width="50" height="8" fill="var(--error)"></rect><rect width="100" height="8" fill="transparent"></rect></svg></td></tr>
<tr><th scope="row"><span title="a.gusset:7" data-place="shop/a.gusset:7:2">none left</span></th><td><span>0~kg</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="to spare: 0 %"><rect x="0.5" y="0.5" width="99" height="7" fill="none" stroke="var(--line)"></rect><rect width="0" height="8" fill="var(--curve-1)"></rect></svg></td></tr>
<tr><th scope="row">share</th><td><span title="a.gusset:7" data-place="shop/a.gusset:7:2">2~kg of 0.5~m</span></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="50 % of the greatest" data-place="shop/a.gusset:7:2"><rect width="50" height="8" fill="var(--curve-1)"></rect><rect width="100" height="8" fill="transparent"></rect></svg></td></tr>
<tr><th scope="row" title="What it is.">plain</th><td><span>[a, b]</span></td><td class="bar"></td></tr></tbody></table>


<h2 id="tables">Tables</h2>
<h3>wide</h3>
<div class="scroll slim" tabindex="0" role="group" aria-label="Table">
<table><thead>
<tr><td></td><th scope="col">by</th></tr></thead><tbody>
<tr><th class="together" scope="rowgroup" colspan="2"><span>low</span>
<div class="below">3~mm</div></th></tr>
<tr><th scope="row"><span title="a.gusset:7" data-place="shop/a.gusset:7:2">a</span></th><td><span title="a.gusset:7" data-place="shop/a.gusset:7:2">wire</span>
<div class="below">red</div></td><td class="bar">
<svg viewBox="0 0 100 8" width="100" height="8" role="img" aria-label="25 % of the greatest" data-place="shop/a.gusset:7:2"><rect width="25" height="8" fill="var(--curve-1)"></rect><rect width="100" height="8" fill="transparent"></rect></svg></td></tr></tbody><tbody>
<tr><th scope="row"><span>b</span></th><td></td></tr></tbody></table></div>
<p class="about">Not given: a.<wbr>x_<wbr>y, b.<wbr>z</p>


<h2 id="notes">Notes</h2><ul class="notes">
<li class="warning"><span class="severity">warning</span> <strong><span>a \`b</span></strong> Set <code>x</code> to \`3~mm</li></ul>`;

const ofPage = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src &#x27;none&#x27;; style-src &#x27;sha256-…&#x27;; base-uri &#x27;none&#x27;; form-action &#x27;none&#x27;">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>M: machine sheet</title><style/></head>
<body>
<main>
<h1>M</h1>
<p class="about">Small.</p>
<nav aria-label="Sections"><ul>
<li><a href="#cost-of-it">Cost of it</a></li></ul></nav>
<div class="part" role="region" aria-labelledby="cost-of-it">
<h2 id="cost-of-it">Cost of it</h2>
<table class="rows"><tbody>
<tr><th scope="row">cost</th><td><span>1~EUR</span></td></tr></tbody></table></div>
<p class="about">These are values computed from what the text of the machine says. They do not mean that a design is safe. On mains, local codes and a licensed electrician decide.</p></main></body></html>`;

const ofLiving = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src &#x27;none&#x27;; style-src &#x27;sha256-…&#x27;; script-src &#x27;sha256-…&#x27;; base-uri &#x27;none&#x27;; form-action &#x27;none&#x27;">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>M: machine sheet</title><style/></head>
<body>
<main>
<h1>M</h1>
<p class="about">Small.</p>
<nav aria-label="Sections"><ul>
<li><a href="#cost-of-it">Cost of it</a></li></ul></nav>
<div class="part" role="region" aria-labelledby="what-can-be-moved">
<h2 id="what-can-be-moved">What can be moved</h2>
<p class="about">Each is moved by mouse, finger or arrow keys; all below is computed anew on this page, which sends nothing anywhere.</p>
<div id="moving">
<p class="about">The checker on this page is getting ready. Without scripts nothing can be moved.</p></div>
<p id="moved-status" role="status"></p>
<div id="moved"></div></div>
<div class="part" role="region" aria-labelledby="cost-of-it">
<h2 id="cost-of-it">Cost of it</h2>
<table class="rows"><tbody>
<tr><th scope="row">cost</th><td><span>1~EUR</span></td></tr></tbody></table></div>
<p class="about">These are values computed from what the text of the machine says. They do not mean that a design is safe. On mains, local codes and a licensed electrician decide.</p></main>
<script id="machine-text" type="application/json">{"uri":"given:/a","text":"kind \\u003ca>","machine":"M","over":["x"]}</script>
<script>run()</script></body></html>`;

const ofColumns = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src &#x27;none&#x27;; style-src &#x27;sha256-…&#x27;; base-uri &#x27;none&#x27;; form-action &#x27;none&#x27;">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>A, B</title><style/></head>
<body>
<main class="columns">
<div class="beside">
<h1>A</h1>
<h1>B</h1></div><ul class="notes">
<li>it is new</li></ul>
<details class="part"><summary>Cost of it: the same in both</summary>
<h2 id="cost-of-it">Cost of it</h2>
<table class="rows"><tbody>
<tr><th scope="row">cost</th><td><span>1~EUR</span></td></tr></tbody></table></details>
<div class="beside">
<div class="part" role="region" aria-label="New, A">
<p class="about">New: not there</p></div>
<div class="part" role="region" aria-label="New, B">
<h2 id="new">New</h2>
<p class="about">More.</p>
<table class="rows"><tbody>
<tr><th scope="row">cost</th><td><span>2</span></td></tr></tbody></table></div></div>
<p class="about">These are values computed from what the text of the machine says. They do not mean that a design is safe. On mains, local codes and a licensed electrician decide.</p></main></body></html>`;

test('each sort of part', () => {
  expect(lines([...hostile.sections, ...own].map(sectionHtml).join('\n\n'))).toBe(ofSections);
});

test('a page, and a living one', async () => {
  expect(lines(await pageOf(small))).toBe(ofPage);
  expect(lines(await livingPageOf(small, living, 'run()'))).toBe(ofLiving);
});

test('two in columns', async () => {
  const more = { ...small, sections: [...small.sections, { heading: 'New', about: 'More.', parts: [row('2')] }] };
  expect(lines(await columnsPage({ title: 'A', sheet: small }, { title: 'B', sheet: more }, ['it is new']))).toBe(
    ofColumns,
  );
});
