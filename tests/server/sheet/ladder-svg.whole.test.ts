// A ladder as a picture, tag by tag, as it was looked at when it was right.
import { toHtml } from 'hast-util-to-html';
import { expect, test } from 'vitest';
import { laddersSvg } from '../../../server/sheet/ladder-svg.ts';
import { hostile } from './sample.ts';

const drawn = `<svg class="ladder" viewBox="0 0 460 204" width="560" height="248" role="group" aria-label="1 <b>inlet</b>" fill="none" stroke="var(--text)" stroke-width="1.1" font-size="11" font-family="inherit">
<g data-place="a.gusset:3:5">
<title>&#x3C;b>inlet&#x3C;/b>
</title>
<rect x="8" y="8" width="444" height="54">
</rect>
<text x="46" y="25" text-anchor="start" fill="var(--text)" stroke="none" font-weight="600" font-size="12">&#x3C;b>inlet&#x3C;/b>
</text>
<text x="422" y="25" text-anchor="end" fill="var(--text)" stroke="none" font-weight="600" font-size="12">1</text>
<text x="46" y="40" text-anchor="start" fill="var(--quiet)" stroke="none">230 V</text>
<text x="46" y="54" text-anchor="start" fill="var(--quiet)" stroke="none">earth: plate_earth</text>
<text x="22" y="53" text-anchor="middle" fill="var(--text)" stroke="none">L</text>
<path d="M19 62a3 3 0 1 0 6 0a3 3 0 1 0 -6 0" fill="var(--back)">
</path>
<text x="438" y="53" text-anchor="middle" fill="var(--text)" stroke="none">N</text>
<path d="M435 62a3 3 0 1 0 6 0a3 3 0 1 0 -6 0" fill="var(--back)">
</path>
</g>
<g data-place="a.gusset:3:5">
<title>1.1 warm</title>
<text x="46" y="84" text-anchor="start" fill="var(--text)" stroke="none" font-weight="600" font-size="12">1.1 warm</text>
<text x="414" y="84" text-anchor="end" fill="var(--quiet)" stroke="none">current 3 A</text>
</g>
<polyline points="46,130 313.8,130">
</polyline>
<g data-place="a.gusset:3:5">
<title>bed.pad</title>
<text x="363.9" y="102" text-anchor="middle" fill="var(--text)" stroke="none">E pad</text>
<text x="363.9" y="115" text-anchor="middle" fill="var(--quiet)" stroke="none">230 V · 700 W</text>
<polyline points="313.8,130 343.9,130">
</polyline>
<polyline points="313.8,130 343.9,130" stroke-opacity="0" stroke-width="10">
</polyline>
<path d="M0 10h40" transform="translate(363.9 130) translate(-20 -10)">
</path>
<rect width="40" height="20" fill="transparent" stroke="none" transform="translate(363.9 130) translate(-20 -10)">
</rect>
<polyline points="383.9,130 414,130">
</polyline>
<polyline points="383.9,130 414,130" stroke-opacity="0" stroke-width="10">
</polyline>
</g>
<polyline points="22,130 46,130">
</polyline>
<path d="M19.6 130a2.4 2.4 0 1 0 4.8 0a2.4 2.4 0 1 0 -4.8 0" fill="var(--text)" stroke="none">
</path>
<polyline points="414,130 438,130">
</polyline>
<path d="M435.6 130a2.4 2.4 0 1 0 4.8 0a2.4 2.4 0 1 0 -4.8 0" fill="var(--text)" stroke="none">
</path>
<polyline points="363.9,140 363.9,157">
</polyline>
<path d="M20 1v7M13 8h14M16 11.5h8M18.5 15h3M11 9a9 9 0 1 0 18 0a9 9 0 1 0 -18 0" transform="translate(363.9 167) translate(-20 -10)">
</path>
<text x="172.1" y="162" text-anchor="start" fill="var(--text)" stroke="none">plate_earth</text>
<g>
<rect x="246.1" y="155" width="6" height="6" fill="green" stroke="none">
</rect>
<rect x="252.1" y="155" width="6" height="6" fill="yellow" stroke="none">
</rect>
<rect x="246.1" y="155" width="12" height="6" stroke="var(--mark)" stroke-width="0.7">
</rect>
</g>
<text x="264.1" y="162" text-anchor="start" fill="var(--quiet)" stroke="none">green yellow</text>
<text x="172.1" y="176" text-anchor="start" fill="var(--quiet)" stroke="none">1 mm^2</text>
<polyline points="22,65 22,130" stroke-width="1.9">
</polyline>
<polyline points="438,65 438,130" stroke-width="1.9">
</polyline>
</svg>`;

test('a source with a rung', () => {
  const ladder = hostile.sections.flatMap(({ parts }) => parts).find(({ is }) => is === 'ladder');
  const pictures = laddersSvg(ladder as Parameters<typeof laddersSvg>[0]).map((each) => toHtml(each));
  expect(pictures.join('').replaceAll('><', '>\n<')).toBe(drawn);
});
