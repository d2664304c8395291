import type { Body, Entry, Item } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { isBlock } from '../../language/machine/tree.ts';
import { type Line, variantWith } from './statements.ts';

// How near to its limit a rule's example comes.

/** A rule counts as held at its limit where this share more, or less, of the number breaks it. */
export const beyond = 0.02;

/** The plain numbers and sizes in a machine's text, each with how a multiple of it is given. */
function numbersIn(body: Body | undefined, blocks: readonly string[] = []): ((by: number) => Line)[] {
  return (body?.members ?? []).flatMap((member) => {
    if (member.$type !== 'Entry') return [];
    if (isBlock(member)) return numbersIn(member.body, [...blocks, headOf(member)]);
    const scaled = member.equals && member.value ? scaledIn(textOf(member.value)) : undefined;
    return scaled ? [(by: number) => ({ blocks, text: `${member.first.text} = ${scaled(by)}` })] : [];
  });
}

/** A number with its unit, or a size, as it is written; undefined for anything else. */
function scaledIn(text: string): ((by: number) => string) | undefined {
  const sides = text.split(' x ').map((side) => /^(-?[\d.]+)( \S+)?$/.exec(side));
  return sides.includes(null)
    ? undefined
    : (by) => sides.map((side) => `${Number(side?.[1]) * by}${side?.[2] ?? ''}`).join(' x ');
}

const headOf = (entry: Entry) => [entry.first.text, entry.name?.text].filter(Boolean).join(' ');

const isBarely = (item: Item): item is Entry => item.$type === 'Entry' && /^Barely/.test(item.name?.text ?? '');

/** Of each machine that holds a rule at its limit, one a little above its number and one a little below. */
export function beyondLimits(text: string): string {
  const machines = parse(text).file.items.filter(isBarely);
  return machines
    .flatMap(({ first, name, body }) => {
      const at = name?.text ?? '';
      const [given] = numbersIn(body);
      if (!given) return [];
      return [
        variantWith(first.text, `Above_${at}`, at, [given(1 + beyond)]),
        variantWith(first.text, `Below_${at}`, at, [given(1 - beyond)]),
      ];
    })
    .join('\n');
}
