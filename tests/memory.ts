// What is kept over a day of edits: `npm run memory -- 10000`, or `npm run memory -- 1000 heron wren`. Prints how much memory is held at the
// same text after each tenth of the edits; ends with 1 where the last is more than a twentieth above the first.
import { readdirSync, readFileSync } from 'node:fs';
import { argv, exit } from 'node:process';
import { getHeapSpaceStatistics } from 'node:v8';
import { readUsed } from '../server/disk.ts';
import { codeLenses } from '../server/features/code-lens.ts';
import { diagnostics } from '../server/features/diagnostics.ts';
import { inlayHints } from '../server/features/inlay-hints.ts';
import { readInlineSettings } from '../server/settings.ts';
import { Workspace } from '../server/workspace.ts';

const most = 0.05;
const folder = new URL('../examples/', import.meta.url);
const settings = readInlineSettings(undefined);

/** Numbers that look random, the same ones in each run. */
function numbers(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

const ownKind = (n: number) => `
/// A kind of the file's own.
kind weighed_${n % 3} {
  toplevel
  /// What it weighs.
  weight: Mass default ${n + 1} kg
}

/// It is not too heavy.
rule weighed_too_heavy on weighed_${n % 3} {
  holds weight <= ${n} kg
  warning "{weight} is too heavy"
  source defined "as written"
}
weighed_${n % 3} Stone {
}
`;

/** The text with one edit of those that people make: another number, a line more or less, a kind and a rule of one's own. */
function edited(text: string, random: (below: number) => number, n: number): string {
  const lines = text.split('\n');
  const at = random(lines.length);
  const line = lines[at] as string;
  switch (random(5)) {
    case 0:
      return text + ownKind(n);
    case 1:
      return [...lines.slice(0, at), `${line} // ${n}`, ...lines.slice(at + 1)].join('\n');
    case 2:
      return [...lines.slice(0, at), ...lines.slice(at + 1)].join('\n');
    case 3:
      return [...lines.slice(0, at), line, line, ...lines.slice(at + 1)].join('\n');
    default:
      return [...lines.slice(0, at), line.replace(/\d+/, String(1 + random(400))), ...lines.slice(at + 1)].join('\n');
  }
}

/** What the engine makes of a program as it warms up: machine code, which comes to its end by itself. */
const ofCode = /code|trusted/;

/** Memory in use for data, in bytes, once all that nothing leads to is let go. */
function held(): number {
  const { gc } = globalThis as { gc?: () => void };
  if (!gc) throw new Error('start it by `npm run memory`, which lets it tidy up');
  gc();
  const ofData = getHeapSpaceStatistics().filter(({ space_name }) => !ofCode.test(space_name));
  return ofData.reduce((sum, { space_used_size }) => sum + space_used_size, 0);
}

/** Edits a file so often, each time asking for what an editor shows, with every second edit undone. Prints what is held. */
function measure(name: string, edits: number): boolean {
  const workspace = new Workspace(readUsed);
  const uri = new URL(`${name}.gusset`, folder).href;
  const text = readFileSync(new URL(uri), 'utf8');
  const show = (now: string) => {
    workspace.open(uri, now);
    const file = workspace.file(uri);
    if (!file) throw new Error(`${uri} is not there`);
    diagnostics(file, workspace);
    codeLenses(file, workspace);
    inlayHints(file, { from: 0, to: file.lines.position(now.length).line }, settings, workspace);
  };
  const random = numbers(20260302);
  const kept: number[] = [];
  const tenth = 2 * Math.ceil(edits / 20);
  const begin = performance.now();
  for (let n = 1; n <= edits; n++) {
    show(n % 2 === 0 ? text : edited(text, random, n));
    // Each time at the text as it was at first.
    if (n % tenth === 0) kept.push(held());
  }
  const growth = (kept.at(-1) as number) / (kept[0] as number) - 1;
  const each = ((performance.now() - begin) / edits).toFixed(0);
  const megabytes = kept.map((bytes) => (bytes / 1e6).toFixed(1)).join(', ');
  console.log(
    `${name}: ${edits} edits of ${each} ms, MB after each tenth: ${megabytes}; ${(growth * 100).toFixed(1)} %`,
  );
  return growth <= most;
}

const [edits = '10000', ...wanted] = argv.slice(2);
const all = readdirSync(folder).flatMap((file) => (file.endsWith('.gusset') ? [file.replace('.gusset', '')] : []));
const flat = (wanted.length > 0 ? wanted : all).map((name) => measure(name, Number(edits)));
exit(flat.every(Boolean) ? 0 : 1);
