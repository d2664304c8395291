// The same machine in three spellings, line for line: Gusset, a typed object in TypeScript, and YAML with a JSON schema.
// The other two only check names and the form of values; they compute nothing.

export interface Workload {
  readonly gusset: string;
  readonly typescript: string;
  readonly yaml: string;
}

type Line =
  | { is: 'blank' }
  | { is: 'comment'; text: string }
  | { is: 'open'; kind: string; name: string; from: string }
  | { is: 'close' }
  | { is: 'block'; kind: string; name: string; from: string }
  | { is: 'value'; name: string; value: string }
  | { is: 'require'; text: string };

/** Reads one line of formatted Gusset. Errors: a line of a form that the example machine does not have. */
function readLine(text: string): Line {
  const line = text.trim().replace(/ +\/\/ .*$/, '');
  if (line === '') return { is: 'blank' };
  if (line.startsWith('//')) return { is: 'comment', text: line.replace(/^\/+ ?/, '') };
  if (line === '}') return { is: 'close' };
  if (line.startsWith('require ')) return { is: 'require', text: line.slice('require '.length) };
  const [, key, given] = /^(\w+) = (.+)$/.exec(line) ?? [];
  if (key && given) return { is: 'value', name: key, value: given };
  const [, kind, name, from, opens] = /^(\w+)(?: (?!is )(\w+))?(?: is (\w+))?( \{)?$/.exec(line) ?? [];
  if (!kind) throw new Error(`The benchmark cannot say this line in other languages: ${text}`);
  return { is: opens ? 'open' : 'block', kind, name: name ?? kind, from: from ?? '' };
}

/** A machine of a file: its name, and its lines from its documentation to its closing brace. */
export interface Machine {
  readonly name: string;
  readonly lines: readonly string[];
}

/** The first machine of a formatted file. */
export function firstMachine(text: string): Machine {
  const lines = text.split('\n');
  const first = lines.findIndex((line) => line.startsWith('machine '));
  const last = lines.indexOf('}', first);
  const name = /^machine (\w+)/.exec(lines[first] ?? '')?.[1];
  if (!name || last < 0) throw new Error('The example begins with no machine');
  return { name, lines: lines.slice(first, last + 1) };
}

/** A machine grown to so many lines: its blocks again and again, each copy feeding its own. */
export function grown(machine: Machine, lines: number): Machine {
  const blocks = childBlocks(machine);
  const names = blocks.map(({ name }) => name);
  const copies: string[] = [];
  for (let n = 2; machine.lines.length + copies.length < lines; n++) {
    const renamed = new RegExp(`(?<=[[ ])(${names.join('|')})(?=[\\], .]|$)`, 'g');
    for (const { kind, name, body } of blocks) {
      const [head = '', ...rest] = body;
      const named = head.trimStart().startsWith(`${kind} ${name}`)
        ? kind + head.slice(2 + kind.length + 1 + name.length)
        : head.slice(2);
      copies.push(`  ${kind} ${name}_${n}${named.slice(kind.length)}`);
      copies.push(...rest.map((line) => (line.includes(' = ') ? line.replace(renamed, `$1_${n}`) : line)), '');
    }
  }
  return { name: machine.name, lines: [...machine.lines.slice(0, -1), '', ...copies, '}'] };
}

/** The blocks directly in a machine, each with its lines. */
function childBlocks({ lines }: Machine): { kind: string; name: string; body: string[] }[] {
  const blocks: { kind: string; name: string; body: string[] }[] = [];
  let open: string[] | undefined;
  for (const text of lines.slice(1, -1)) {
    const line = readLine(text);
    if (open) open.push(text);
    else if (line.is === 'block' || line.is === 'open') {
      const body = [text];
      blocks.push({ kind: line.kind, name: line.name, body });
      if (line.is === 'open') open = body;
    }
    if (text === '  }') open = undefined;
  }
  return blocks;
}

/** Machines below each other until there are so many lines; at least one. */
export function workload(machine: Machine, lines: number, stock: string): Workload {
  const count = Math.max(1, Math.round((lines - 2) / (machine.lines.length + 1)));
  const names = Array.from({ length: count }, (_, i) => `${machine.name}_${i + 1}`);
  const spell = (head: string, one: (name: string) => string) => `${[head, '', ...names.map(one)].join('\n')}\n`;
  return {
    gusset: spell(`use "./${stock}"`, (name) => inGusset(machine, name)),
    typescript: spell("import type { Kinds } from './kinds.ts';", (name) => inTypeScript(machine, name)),
    yaml: spell('# the kinds are in the schema', (name) => inYaml(machine, name)),
  };
}

function inGusset({ name, lines }: Machine, newName: string): string {
  return [...lines.map((line) => (line.startsWith(`machine ${name}`) ? line.replace(name, newName) : line)), ''].join(
    '\n',
  );
}

const indentOf = (line: string) => /^ */.exec(line)?.[0] ?? '';

function inTypeScript(machine: Machine, newName: string): string {
  let requirements = 0;
  const say = (line: Line, depth: number): string => {
    switch (line.is) {
      case 'blank':
        return '';
      case 'comment':
        return `// ${line.text}`;
      case 'open':
        return depth === 0
          ? `export const ${newName}: Kinds['${line.kind}'] = {`
          : `${line.name}: { from: '${line.from}',`;
      case 'close':
        return depth === 1 ? '};' : '},';
      case 'block':
        return `${line.name}: { from: '${line.from}' },`;
      case 'value':
        return `${line.name}: ${list(line.value)?.map(quoted) ?? quoted(line.value)},`.replace(
          /: (".*",".*"),$/,
          ': [$1],',
        );
      case 'require':
        return `require_${++requirements}: ${quoted(line.text)},`;
    }
  };
  return spellLines(machine, say);
}

function inYaml(machine: Machine, newName: string): string {
  let requirements = 0;
  const say = (line: Line, depth: number): string => {
    switch (line.is) {
      case 'blank':
      case 'close':
        return '';
      case 'comment':
        return `# ${line.text}`;
      case 'open':
        return depth === 0 ? `${newName}:` : `${line.name}: # from ${line.from}`;
      case 'block':
        return `${line.name}: { from: ${line.from} }`;
      case 'value':
        return `${line.name}: ${line.value}`;
      case 'require':
        return `require_${++requirements}: ${quoted(line.text)}`;
    }
  };
  return spellLines(machine, say);
}

function spellLines({ lines }: Machine, say: (line: Line, depth: number) => string): string {
  let depth = 0;
  const spelled = lines.map((text) => {
    const line = readLine(text);
    const said = indentOf(text) + say(line, depth);
    if (line.is === 'open') depth++;
    if (line.is === 'close') depth--;
    return said.trimEnd();
  });
  return [...spelled, ''].join('\n');
}

const quoted = (text: string) => JSON.stringify(text);
const list = (value: string) => /^\[(.*)\]$/.exec(value)?.[1]?.split(', ');

/** What a value looks like: a number with its unit, a range or a size of such, a list, or a word. */
type Form = { numbers: readonly string[]; joined: string } | 'list' | 'text';

function formOf(value: string): Form {
  if (list(value)) return 'list';
  const joined = value.includes(' .. ') ? ' .. ' : value.includes(' x ') ? ' x ' : '';
  const units = (joined ? value.split(joined) : [value]).map((part) => /^-?[\d.]+ (\S+)$/.exec(part)?.[1]);
  return units.every((unit) => unit !== undefined) ? { numbers: units, joined } : 'text';
}

interface Kind {
  readonly values: Map<string, Form>;
  readonly blocks: Map<string, string>;
  requirements: number;
}

/** What blocks of each kind hold, gathered from the machine. */
function kindsOf({ lines }: Machine): Map<string, Kind> {
  const kinds = new Map<string, Kind>();
  const known = (name: string): Kind => {
    const kind = kinds.get(name) ?? { values: new Map(), blocks: new Map(), requirements: 0 };
    kinds.set(name, kind);
    return kind;
  };
  const within: Kind[] = [];
  for (const line of lines.map(readLine)) {
    const holder = within.at(-1);
    if (line.is === 'value') holder?.values.set(line.name, formOf(line.value));
    else if (line.is === 'require' && holder) holder.requirements++;
    else if (line.is === 'close') within.pop();
    else if (line.is === 'open' || line.is === 'block') {
      const kind = known(line.kind);
      holder?.blocks.set(line.name, line.kind);
      if (line.is === 'open') within.push(kind);
    }
  }
  return kinds;
}

/** The types that the TypeScript spelling imports. */
export function typesOf(machine: Machine): string {
  const typeOf = (form: Form): string => {
    if (form === 'list') return 'readonly string[]';
    if (form === 'text') return 'string';
    return `\`${form.numbers.map((unit) => `\${number} ${unit}`).join(form.joined)}\``;
  };
  const kinds = [...kindsOf(machine)].map(([name, kind]) => {
    const values = [...kind.values].map(([key, form]) => `    ${key}?: ${typeOf(form)};`);
    const blocks = [...kind.blocks].map(([key, of]) => `    ${key}?: Kinds['${of}'];`);
    const requirements = Array.from({ length: kind.requirements }, (_, i) => `    require_${i + 1}?: string;`);
    return [`  ${name}: {`, '    from?: string;', ...values, ...blocks, ...requirements, '  };'].join('\n');
  });
  return `export interface Kinds {\n${kinds.join('\n')}\n}\n`;
}

/** The JSON schema that the YAML spelling is checked against. */
export function schemaOf(machine: Machine): unknown {
  const schemaOfForm = (form: Form): unknown => {
    if (form === 'list') return { type: 'array', items: { type: 'string' } };
    if (form === 'text') return { type: ['string', 'boolean'] };
    const numbers = form.numbers.map((unit) => `-?[0-9.]+ ${unit.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}`);
    return { type: 'string', pattern: `^${numbers.join(form.joined.replaceAll('.', '\\.'))}$` };
  };
  const definitions = [...kindsOf(machine)].map(([name, kind]) => {
    const values = [...kind.values].map(([key, form]) => [key, schemaOfForm(form)] as const);
    const blocks = [...kind.blocks].map(([key, of]) => [key, { $ref: `#/definitions/${of}` }] as const);
    const requirements = Array.from({ length: kind.requirements }, (_, i) => [`require_${i + 1}`, { type: 'string' }]);
    const properties = Object.fromEntries([['from', { type: 'string' }], ...values, ...blocks, ...requirements]);
    return [name, { type: ['object', 'null'], properties, additionalProperties: false }];
  });
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    definitions: Object.fromEntries(definitions),
    type: 'object',
    additionalProperties: { $ref: '#/definitions/machine' },
  };
}

/** Where the benchmark edits a text: the last digit of the length that the machine in the middle gives, and that line's key. */
export function editPlace(text: string): { line: number; column: number; key: number } {
  const lines = text.split('\n');
  const places = lines.flatMap((line, at) => {
    const match = /^\s+length(?::| =) "?\d\.(?=\d )/.exec(line);
    return match ? [{ line: at, column: match[0].length, key: line.indexOf('length') }] : [];
  });
  const middle = places[Math.floor(places.length / 2)];
  if (!middle) throw new Error('No line of the benchmark gives a length');
  return middle;
}
