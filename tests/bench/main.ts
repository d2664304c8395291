// `npm run bench`: how long answers take, beside other language servers on the same blocks in the same run.
//
//   npm run bench [-- SUBJECT …]     only some of: gusset, typescript, yaml; `choices` times open choices alone, `sheet` the sheet
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type Editor, peakMemory, within } from './editor.ts';
import { LspEditor } from './lsp.ts';
import { milliseconds, quantile, summary, table } from './statistics.ts';
import { TypeScriptEditor } from './tsserver.ts';
import { editPlace, firstMachine, grown, type Machine, schemaOf, typesOf, workload } from './workload.ts';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const program = join(root, 'dist', 'gusset.js');
const yamlServer = join(here, 'node_modules', 'yaml-language-server', 'bin', 'yaml-language-server');
const stock = 'stock.gusset';
const example = firstMachine(readFileSync(join(here, 'machine.gusset'), 'utf8'));

/** What is edited: many machines below each other, and one large machine. */
const texts: readonly { title: string; machine: Machine; lines: number }[] = [
  { title: '', machine: example, lines: 100 },
  { title: '', machine: example, lines: 400 },
  { title: ', one machine', machine: grown(example, 400), lines: 1 },
  { title: '', machine: example, lines: 1000 },
  { title: '', machine: example, lines: 10_000 },
];
const smallFiles = 1000;
const warmUp = 15;
const edits = 60;
const keystrokes = 60;
const keystrokeInterval = 30;
const starts = 7;
/** So many open choices in a whole machine are solved. */
const openChoices = [10, 35];
/** What 95 of 100 completions must take at most, in ms, in any of the texts: more than that is felt while typing. */
const longestCompletion = 50;

type Spelling = 'gusset' | 'typescript' | 'yaml';

interface Subject {
  readonly name: string;
  readonly spelling: Spelling;
  readonly ending: string;
  editor(folder: string): Editor;
}

const yamlSettings = (folder: string) => ({
  yaml: {
    validate: true,
    schemaStore: { enable: false },
    schemas: { [pathToFileURL(join(folder, 'schema.json')).toString()]: ['*.yaml'] },
  },
});

const yamlEditor = (folder: string, preload: readonly string[]) =>
  new LspEditor({
    command: 'node',
    args: [...preload, yamlServer, '--stdio'],
    language: 'yaml',
    settings: yamlSettings(folder),
    values: false,
  });

const subjects: readonly Subject[] = [
  {
    name: 'gusset',
    spelling: 'gusset',
    ending: '.gusset',
    editor: () =>
      new LspEditor({
        command: 'node',
        args: [program, 'serve', '--stdio'],
        language: 'gusset',
        settings: {},
        values: true,
      }),
  },
  {
    name: 'typescript',
    spelling: 'typescript',
    ending: '.ts',
    editor: () => new TypeScriptEditor(join(root, 'node_modules', 'typescript', 'lib', 'tsserver.js')),
  },
  { name: 'yaml', spelling: 'yaml', ending: '.yaml', editor: (folder) => yamlEditor(folder, []) },
  {
    name: 'yaml, no wait',
    spelling: 'yaml',
    ending: '.yaml',
    editor: (folder) => yamlEditor(folder, ['--require', join(here, 'no-wait.cjs')]),
  },
];

const pause = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

/** A folder with what all spellings need beside the machines. Removed when the work is done. */
async function inFolder<T>(machine: Machine, work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-bench-'));
  try {
    writeFileSync(join(folder, stock), readFileSync(join(here, stock), 'utf8'));
    writeFileSync(join(folder, 'kinds.ts'), typesOf(machine));
    writeFileSync(join(folder, 'schema.json'), JSON.stringify(schemaOf(machine)));
    const compilerOptions = { strict: true, noEmit: true, module: 'esnext', moduleResolution: 'bundler', types: [] };
    const options = { ...compilerOptions, allowImportingTsExtensions: true, target: 'es2023' };
    writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions: options }));
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

interface EditTimes {
  readonly lines: number;
  readonly problems: number;
  readonly diagnostics: number[];
  readonly values: number[];
  readonly typing: number[];
  readonly completion: number[];
  readonly completions: number;
}

/** Single edits, then typing, then completion, in one file of about so many lines. */
function timeEdits(subject: Subject, machine: Machine, lines: number): Promise<EditTimes> {
  return inFolder(machine, async (folder) => {
    const text = workload(machine, lines, stock)[subject.spelling];
    const path = join(folder, `machines${subject.ending}`);
    writeFileSync(path, text);
    const editor = subject.editor(folder);
    try {
      await editor.start(folder);
      await editor.open(path, text);
      const place = editPlace(text);
      const times = {
        diagnostics: [] as number[],
        values: [] as number[],
        typing: [] as number[],
        completion: [] as number[],
      };
      for (let i = 0; i < warmUp + edits; i++) {
        const edit = { at: { line: place.line, column: place.column }, length: 1, text: String(1 + (i % 2)) };
        const { diagnostics, values } = await editor.edit(path, edit);
        if (i < warmUp) continue;
        times.diagnostics.push(diagnostics);
        if (values !== undefined) times.values.push(values);
      }
      const problems = editor.problems(path);
      times.typing.push(...(await type(editor, path, place)));
      let completions = 0;
      for (let i = 0; i < warmUp + edits; i++) {
        const { ms, items } = await editor.complete(path, { line: place.line, column: place.key + 2 });
        if (i >= warmUp) times.completion.push(ms);
        completions = items;
      }
      return { lines: text.split('\n').length, problems, completions, ...times };
    } finally {
      await editor.stop();
    }
  });
}

/** Digits put in and taken out again at a steady pace; each keystroke's time until the text with it has been answered. */
async function type(
  editor: Editor,
  path: string,
  { line, column }: { line: number; column: number },
): Promise<number[]> {
  const answers: Promise<number>[] = [];
  const begin = performance.now();
  for (let i = 0; i < keystrokes; i++) {
    await pause(Math.max(0, begin + i * keystrokeInterval - performance.now()));
    const puts = i % 8 < 4;
    const edit = puts ? { length: 0, text: String(1 + (i % 4)) } : { length: 1, text: '' };
    answers.push(
      editor.edit(path, { at: { line, column: column + 1 }, ...edit }).then((a) => a.values ?? a.diagnostics),
    );
  }
  return Promise.all(answers);
}

/** From the server's start to the first diagnostics of a small file. */
async function timeStarts(subject: Subject): Promise<number[]> {
  const times: number[] = [];
  for (let i = 0; i < starts; i++) {
    await inFolder(example, async (folder) => {
      const text = workload(example, 1, stock)[subject.spelling];
      const path = join(folder, `machine${subject.ending}`);
      writeFileSync(path, text);
      const editor = subject.editor(folder);
      const begin = performance.now();
      try {
        await editor.start(folder);
        await editor.open(path, text);
        times.push(performance.now() - begin);
      } finally {
        await editor.stop();
      }
    });
  }
  return times;
}

/** Many small files opened at once: until the last has its diagnostics, and the memory held. */
function timeMany(subject: Subject): Promise<{ ms: number; memory: number }> {
  return inFolder(example, async (folder) => {
    const text = workload(example, 1, stock)[subject.spelling];
    const paths = Array.from({ length: smallFiles }, (_, i) => join(folder, `machine_${i}${subject.ending}`));
    for (const path of paths) writeFileSync(path, text);
    const editor = subject.editor(folder);
    const begin = performance.now();
    try {
      await editor.start(folder);
      await Promise.all(paths.map((path) => editor.open(path, text)));
      return { ms: performance.now() - begin, memory: editor.memory() };
    } finally {
      await editor.stop();
    }
  });
}

/** A command from start to end, with the most memory it held. */
async function timeCommand(
  args: readonly string[],
  cwd: string,
): Promise<{ ms: number; memory: number; status: number }> {
  const begin = performance.now();
  const child = spawn('node', args, { cwd, stdio: 'ignore' });
  let memory = 0;
  const watch = setInterval(() => {
    try {
      memory = Math.max(memory, peakMemory(child));
    } catch {
      // It has just ended; the last look stands.
    }
  }, 20);
  const status = await within(
    300,
    args.join(' '),
    new Promise<number>((resolve) => child.once('exit', (code) => resolve(code ?? -1))),
  );
  clearInterval(watch);
  return { ms: performance.now() - begin, memory, status };
}

function timeCommandLine(): Promise<{
  one: number[];
  compiler: number[];
  many: { ms: number; memory: number; status: number };
}> {
  return inFolder(example, async (folder) => {
    const { gusset, typescript } = workload(example, 1, stock);
    writeFileSync(join(folder, 'machine.gusset'), gusset);
    writeFileSync(join(folder, 'machine.ts'), typescript);
    const compilerProgram = join(root, 'node_modules', 'typescript', 'lib', 'tsc.js');
    const one: number[] = [];
    const compiler: number[] = [];
    for (let i = 0; i < starts; i++) {
      const { ms, status } = await timeCommand([program, 'check', 'machine.gusset'], folder);
      if (status !== 0 && status !== 1) throw new Error(`gusset check ended with ${status}`);
      one.push(ms);
      compiler.push((await timeCommand([compilerProgram, '-p', '.'], folder)).ms);
    }
    for (let i = 0; i < smallFiles; i++) writeFileSync(join(folder, `machine_${i}.gusset`), gusset);
    return { one, compiler, many: await timeCommand([program, 'check', '.'], folder) };
  });
}

/** What is opened of a machine: what carries current and moves first, then what it sits on. */
const openable = [
  /^( +(?:fuse|relay|motor|belt|pulley|cutoff|connector|switch|sensor|heater|nozzle|guide)(?: \* \d)?(?: \w+)? is |.*\barea = )(?:[a-z]\w*|[\d.]+ mm\^2)/gm,
  /^( +(?:inlet|supply|plate|surface|adhesive|insulation|gear_train|drive_gear|heat_break|heat_sink|cartridge|fan|light|screw|levelling_screw|bed_probe)(?: \* \d)?(?: \w+)? is )[a-z]\w*/gm,
];

/** A whole machine in which so many parts and wire sizes are open choices. */
function opened(text: string, count: number): string {
  let left = count;
  let open = text.slice(0, text.indexOf('\n}\n', text.indexOf('\nmachine ')) + 3);
  for (const pattern of openable)
    open = open.replace(pattern, (all, before) => (left > 0 && left-- > 0 ? `${before}?` : all));
  if (left > 0) throw new Error(`The machine has only ${count - left} parts and sizes to open`);
  return open;
}

interface ChoiceTimes {
  readonly first: number;
  readonly diagnostics: number[];
  readonly proposals: number[];
  readonly command: number[];
}

/** From the edit of a machine with so many open choices to its first diagnostics, and to the proposals. */
async function timeChoices(count: number): Promise<ChoiceTimes> {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-bench-'));
  try {
    const text = opened(readFileSync(join(here, 'choices.gusset'), 'utf8'), count);
    const path = join(folder, 'machine.gusset');
    writeFileSync(path, text);
    const editor = (subjects[0] as Subject).editor(folder);
    const times = { diagnostics: [] as number[], proposals: [] as number[], command: [] as number[] };
    let first = 0;
    try {
      await editor.start(folder);
      first = await editor.open(path, text);
      const lines = text.split('\n');
      const line = lines.findIndex((each) => / length = 0\.\d+ m$/.test(each));
      const column = (lines[line] as string).indexOf('0.') + 2;
      for (let i = 0; i < warmUp; i++) {
        const edit = { at: { line, column }, length: 1, text: String(8 + (i % 2)) };
        const { diagnostics, values = diagnostics } = await editor.edit(path, edit);
        if (i < 5) continue;
        times.diagnostics.push(diagnostics);
        times.proposals.push(values);
      }
    } finally {
      await editor.stop();
    }
    for (let i = 0; i < 3; i++)
      times.command.push((await timeCommand([program, 'check', 'machine.gusset'], folder)).ms);
    return { first, ...times };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function prepare(wanted: readonly Subject[]): void {
  if (wanted.some(({ spelling }) => spelling === 'gusset') && !existsSync(program)) {
    throw new Error('dist/gusset.js is missing: npm run build');
  }
  if (wanted.some(({ spelling }) => spelling === 'yaml') && !existsSync(yamlServer)) {
    const { status } = spawnSync('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'], {
      cwd: here,
      stdio: 'inherit',
    });
    if (status !== 0) throw new Error('The YAML server cannot be installed: the npm registry must be reachable');
  }
}

async function bench(wanted: readonly Subject[]): Promise<void> {
  prepare(wanted);
  const results: Record<string, unknown> = {};
  console.log(
    `${cpus().length} cores (${cpus()[0]?.model.trim()}), Node ${process.version}. Median / 95th percentile, ms.\n`,
  );

  const slow: string[] = [];
  const rows: string[][] = [];
  for (const { title, machine, lines } of texts) {
    for (const subject of wanted) {
      const times = await timeEdits(subject, machine, lines);
      results[`${subject.name}, ${times.lines} lines${title}`] = times;
      const { diagnostics, values, typing, completion } = times;
      const late = quantile(completion, 0.95);
      if (subject.spelling === 'gusset' && late > longestCompletion)
        slow.push(`${times.lines} lines${title}: completion ${milliseconds(late)}`);
      const counts = `${times.problems}, ${times.completions}`;
      rows.push([
        `${times.lines} lines${title}: ${subject.name}`,
        ...[diagnostics, values, typing, completion].map(summary),
        counts,
      ]);
      console.error(`  ${rows.at(-1)?.join('  ')}`);
    }
  }
  const head = [
    'edit to',
    'diagnostics',
    'and inline values',
    `typing, every ${keystrokeInterval} ms`,
    'completion',
    'problems, items',
  ];
  console.log(`${table(head, rows)}\n`);

  const whole: string[][] = [];
  for (const subject of wanted) {
    const first = await timeStarts(subject);
    const many = await timeMany(subject);
    Object.assign(results, { [`${subject.name} start`]: first, [`${subject.name} many`]: many });
    whole.push([subject.name, summary(first), milliseconds(many.ms), `${many.memory.toFixed(0)} MB`]);
    console.error(`  ${whole.at(-1)?.join('  ')}`);
  }
  console.log(`${table(['server', 'start to first diagnostics', `${smallFiles} files`, 'memory'], whole)}\n`);

  if (wanted.some(({ spelling }) => spelling === 'gusset')) {
    const { one, compiler, many } = await timeCommandLine();
    Object.assign(results, { 'command line': { one, compiler, many } });
    const commands = [
      ['gusset check, one machine', summary(one), '-'],
      ['tsc, the same as a typed object', summary(compiler), '-'],
      [`gusset check, ${smallFiles} files`, milliseconds(many.ms), `${many.memory.toFixed(0)} MB`],
    ];
    console.log(`${table(['command line, cold', 'ms', 'memory'], commands)}\n`);
  }
  if (wanted.some(({ spelling }) => spelling === 'gusset')) {
    await benchChoices(results);
    slow.push(...(await benchSheet(results)));
  }
  mkdirSync(join(root, '.cache'), { recursive: true });
  writeFileSync(join(root, '.cache', 'bench.json'), JSON.stringify(results));
  console.log('All samples are in .cache/bench.json.');
  if (slow.length > 0) throw new Error(`Slower than it is to be (95th percentile, ms): ${slow.join('; ')}`);
}

/** How long open choices of a whole machine take. */
async function benchChoices(results: Record<string, unknown>): Promise<void> {
  const solved: string[][] = [];
  for (const count of openChoices) {
    const times = await timeChoices(count);
    results[`${count} open choices`] = times;
    const { first, diagnostics, proposals, command } = times;
    solved.push([`${count}`, milliseconds(first), ...[diagnostics, proposals, command].map(summary)]);
    console.error(`  ${solved.at(-1)?.join('  ')}`);
  }
  const head = [
    'open choices',
    'opened to diagnostics',
    'edit to diagnostics',
    'and to proposals',
    'gusset check, cold',
  ];
  console.log(`${table(head, solved)}\n`);
}

/** How long nothing is typed before the extension asks for a sheet (ms), and between two edits of whoever watches it. */
const beforeSheet = 20;
const betweenEdits = 250;
/** So many edits are made in a row with the sheet open, and as many with it closed, by turns. */
const inARow = 10;
const turns = 12;
/** How long after the diagnostics an edit's sheet is to be there (ms), and how much later the diagnostics may be with it open than without. */
const sheetAfter = 100;
const laterWithSheet = 5 / 100;

interface SheetTimes {
  /** From asking to the first sheet, once the diagnostics are there. */
  readonly first: number;
  /** From an edit to its diagnostics, by turns. */
  readonly closed: number[];
  readonly open: number[];
  /** From an edit's diagnostics to its sheet, what the extension waits first counted. */
  readonly after: number[];
  /** How much of it is sent (KB): the sections that changed. */
  readonly sent: number[];
}

/** Edits of an example with its sheet open and closed, by turns in one run, as the extension asks for it: what is asked before is given up. */
async function timeSheet(name: string, what: RegExp): Promise<SheetTimes> {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-bench-'));
  const editor = subjects[0]?.editor(folder) as LspEditor;
  const times: SheetTimes = { first: 0, closed: [], open: [], after: [], sent: [] };
  try {
    for (const each of [name, 'workshop-stock'])
      writeFileSync(join(folder, `${each}.gusset`), readFileSync(join(root, 'examples', `${each}.gusset`)));
    const path = join(folder, `${name}.gusset`);
    const text = readFileSync(path, 'utf8');
    const uri = pathToFileURL(path).toString();
    const lines = text.split('\n');
    const line = lines.findIndex((each) => what.test(each));
    const column = (lines[line]?.length ?? 0) - (what.exec(lines[line] ?? '')?.[1]?.length ?? 0);
    let known: Record<string, string> = {};
    let given = { cancel() {} };
    const sheet = async () => {
      given.cancel();
      const asked = editor.ask('gusset/sheet', { uri, known });
      given = asked;
      const answer = (await asked.answer) as { sections: { id: string; state: string; html?: string }[] } | undefined;
      if (answer?.sections) known = Object.fromEntries(answer.sections.map(({ id, state }) => [id, state]));
      return JSON.stringify(answer ?? '').length / 1000;
    };
    let digit = 0;
    const edit = () => editor.edit(path, { at: { line, column }, length: 1, text: String(1 + (digit++ % 5)) });
    await editor.start(folder);
    await editor.open(path, text);
    for (let i = 0; i < warmUp; i++) await edit();
    const began = performance.now();
    await sheet();
    Object.assign(times, { first: performance.now() - began });
    for (let turn = 0; turn < turns; turn++) {
      const isOpen = turn % 2 === 1;
      for (let i = 0; i < inARow; i++) {
        const begin = performance.now();
        const { diagnostics } = await edit();
        // What the turn before has left to do is not this one's.
        if (i > 1) times[isOpen ? 'open' : 'closed'].push(diagnostics);
        if (isOpen) setTimeout(() => void sheet(), beforeSheet);
        await pause(Math.max(0, begin + betweenEdits - performance.now()));
      }
      if (!isOpen) continue;
      await sheet();
      for (let i = 0; i < inARow; i++) {
        await edit();
        const told = performance.now();
        await pause(beforeSheet);
        times.sent.push(await sheet());
        times.after.push(performance.now() - told);
      }
    }
    return times;
  } finally {
    await editor.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What is edited while the sheet is open: something that little rests on, and what much of the machine is computed from. */
const watched: readonly { readonly title: string; readonly name: string; readonly what: RegExp }[] = [
  { title: 'Kestrel, the length of a wire', name: 'kestrel', what: / length = 0\.(\d m)$/ },
  { title: 'Heron, the price of energy', name: 'heron', what: / kilowatt_hour = 0\.(\d\d? EUR)$/ },
  { title: 'Heron, the speed of an axis', name: 'heron', what: / wanted_speed = (\d+ mm\/s)$/ },
];

/** How long the sheet takes, and what it takes of the time until an edit is answered. Returns what is too slow. */
async function benchSheet(results: Record<string, unknown>): Promise<string[]> {
  const rows: string[][] = [];
  const slow: string[] = [];
  for (const { title, name, what } of watched) {
    const times = await timeSheet(name, what);
    results[`sheet, ${title}`] = times;
    const { first, closed, open, after, sent } = times;
    const later = quantile(open, 0.95) / quantile(closed, 0.95) - 1;
    if (quantile(after, 0.95) > sheetAfter)
      slow.push(`${title}: its sheet after ${milliseconds(quantile(after, 0.95))}`);
    if (later > laterWithSheet)
      slow.push(`${title}: diagnostics ${(100 * later).toFixed(0)} % later with the sheet open`);
    rows.push([
      title,
      milliseconds(first),
      ...[closed, open, after].map(summary),
      `${quantile(sent, 0.5).toFixed(0)} KB`,
    ]);
    console.error(`  ${rows.at(-1)?.join('  ')}`);
  }
  const head = [
    'edit of',
    'first sheet',
    'to diagnostics, closed',
    'with the sheet open',
    'from there to the sheet',
    'sent',
  ];
  console.log(`${table(head, rows)}\n`);
  return slow;
}

const names = process.argv.slice(2);
const wanted = subjects.filter(({ spelling }) => names.length === 0 || names.includes(spelling));
try {
  if (names.join() === 'choices') await benchChoices({});
  else if (names.join() === 'sheet') console.log((await benchSheet({})).join('\n') || 'As fast as it is to be.');
  else await bench(wanted);
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exit(1);
}
