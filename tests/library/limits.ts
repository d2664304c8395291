import type { Body, Entry, Quantity } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { isBlock } from '../../language/machine/tree.ts';
import { Project, type readLibrary } from '../../language/project.ts';
import { foundIn, library } from './fixtures.ts';
import { wholeText } from './rule-examples.ts';

type Library = ReturnType<typeof readLibrary>;

// How near to its limit a rule's example comes.

/** A number that a machine gives, and the blocks that it stands in. */
export interface Given {
  readonly blocks: readonly string[];
  readonly name: string;
  readonly number: number;
  readonly unit: string;
}

/** A rule counts as held at its limit where this share more, or less, of the number breaks it. */
export const beyond = 0.02;

/** The plain numbers in a machine's text, those of the last text first. */
export function numbersIn(body: Body | undefined, blocks: readonly string[] = []): Given[] {
  return (body?.members ?? []).flatMap((member) => {
    if (member.$type !== 'Entry') return [];
    if (isBlock(member)) return numbersIn(member.body, [...blocks, headOf(member)]);
    if (!member.equals || member.value?.$type !== 'Quantity') return [];
    const { number, unit = '' }: Quantity = member.value;
    return [{ blocks, name: member.first.text, number: Number(number), unit }];
  });
}

const headOf = (entry: Entry) => [entry.first.text, entry.name?.text].filter(Boolean).join(' ');

const machineNamed = (text: string, name: string) =>
  parse(text).file.items.find((item): item is Entry => item.$type === 'Entry' && item.name?.text === name);

/** A machine that is `Keeps` with a number of it given anew. */
export function variant({ blocks, name, unit }: Given, number: number, called: string, base = 'Keeps'): string {
  const value = `${name} = ${number}${unit ? ` ${unit}` : ''}`;
  const nested = [...blocks].reverse().reduce((inner, block) => `${block} { ${inner} }`, value);
  const { first } = machineNamed(`machine ${called} { }`, called) as Entry;
  return `${textOf(first)} ${called} is ${base} {\n  ${nested}\n}\n`;
}

/** What a rule says of one machine of a text; undefined where the text has a mistake. */
export function saysOf(text: string, called: string, rules: Library = library) {
  const project = new Project(rules, { read: () => undefined });
  const file = project.update('file:///limit.gusset', text);
  if (project.mistakes(file).some(({ severity }) => severity !== 'note')) return undefined;
  const machine = project.machines(file).find(({ tree }) => tree.name === called);
  return machine && foundIn(machine.assessment.findings, file).map(({ rule }) => rule);
}

/** A number with three digits, on the side that a rule holds on. */
function rounded(number: number, away: boolean): number {
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - 2);
  const steps = away ? Math.ceil(number / step - 1e-9) : Math.floor(number / step + 1e-9);
  return Number((steps * step).toPrecision(3));
}

/** So many numbers of an example are tried. */
const mostTried = 12;
const factors = [1.25, 0.8, 2, 0.5, 5, 0.2];

/** The machine that holds a rule at its limit, by halving over a number of its example; undefined where none leads there. */
export function barely(rule: string, text: string): string | undefined {
  const own = numbersIn(machineNamed(text, 'Keeps')?.body);
  const all = numbersIn(machineNamed(wholeText(text, 'Keeps') ?? '', 'Keeps')?.body);
  const others = all.filter((a) => !own.some((b) => b.name === a.name && b.blocks.length === a.blocks.length));
  for (const given of [...own, ...others].slice(0, mostTried)) {
    const at = limitOf(rule, text, given);
    if (at !== undefined) return variant(given, at, 'Barely');
  }
  return undefined;
}

function limitOf(rule: string, text: string, given: Given): number | undefined {
  const says = (number: number) => saysOf(`${text}\n${variant(given, number, 'Barely')}`, 'Barely');
  const fails = (number: number) => says(number)?.includes(rule) ?? false;
  const keeps = (number: number) => says(number)?.includes(rule) === false;
  if (!(given.number > 0) || !keeps(given.number)) return undefined;
  const factor = factors.find((f) => fails(given.number * f));
  if (factor === undefined) return undefined;
  let [holds, broken] = [given.number, given.number * factor];
  for (let i = 0; i < 12; i++) {
    const middle = Math.sqrt(holds * broken);
    if (fails(middle)) broken = middle;
    else holds = middle;
  }
  const at = rounded(holds, factor < 1);
  const further = at * (factor > 1 ? 1 + beyond : 1 - beyond);
  return keeps(at) && fails(further) ? at : undefined;
}

/** Does the last machine hold a rule so barely that a little more, or a little less, of its number breaks it? */
export function isAtLimit(rule: string, text: string, rules: Library = library): boolean {
  const [given] = numbersIn(machineNamed(text, 'Barely')?.body);
  if (!given) return false;
  const alone = wholeText(text, 'Barely');
  const fails = (number: number) => {
    const name = 'Beyond';
    return saysOf(`${alone}\n${variant(given, number, name, 'Barely')}`, name, rules)?.includes(rule) ?? false;
  };
  return fails(given.number * (1 + beyond)) || fails(given.number * (1 - beyond));
}
