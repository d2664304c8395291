import fc from 'fast-check';
import { type Grammar, GrammarAST } from 'langium';

type AbstractElement = GrammarAST.AbstractElement;

/** Samples of each terminal. Names are plain here: which words of the language may be names is tested by itself. */
const terminals: Readonly<Record<string, readonly string[]>> = {
  WORD: ['a', 'bb', 'c_3', 'Größe', '_x'],
  NUMBER: ['0', '7', '2.5', '1e3', '2e-3', '1000'],
  UNIT: ['V', 'mm^2', 'W/(m*K)', 's^-1', 'µm', '%', 'kg*m^2/s^2'],
  STRING: ['""', '"text"', '"{a} and \\"b\\""', '"// no comment"'],
  DATE: ['2026-03-02', '1999-12-31'],
  NL: ['\n', '\n\n', ' // comment\n'],
};

/** How many tokens an element takes at least, so that a nesting that is deep enough can be brought to an end. */
function shortest(grammar: Grammar): (element: AbstractElement) => number {
  const rules = new Map<string, number>();
  const of = (element: AbstractElement): number => {
    if (element.cardinality === '?' || element.cardinality === '*') return 0;
    if (GrammarAST.isAlternatives(element)) return Math.min(...element.elements.map(of));
    if (GrammarAST.isGroup(element)) return element.elements.reduce((sum, part) => sum + of(part), 0);
    if (GrammarAST.isAssignment(element)) return of(element.terminal);
    if (GrammarAST.isRuleCall(element)) return rules.get(element.rule.$refText) ?? 1;
    return GrammarAST.isAction(element) ? 0 : 1;
  };
  for (const rule of grammar.rules) if (GrammarAST.isParserRule(rule)) rules.set(rule.name, 1000);
  for (let changed = true; changed; ) {
    changed = false;
    for (const rule of grammar.rules) {
      if (!GrammarAST.isParserRule(rule)) continue;
      const least = of(rule.definition);
      if (least < (rules.get(rule.name) as number)) {
        rules.set(rule.name, least);
        changed = true;
      }
    }
  }
  return of;
}

/**
 * Random sentences of a rule of the grammar, as their tokens. The deeper a sentence is nested, the more it prefers what ends
 * soonest, so that each stays short.
 */
export function sentences(
  grammar: Grammar,
  entry: string,
  names = terminals.WORD as readonly string[],
): fc.Arbitrary<string[]> {
  const least = shortest(grammar);
  const rules = new Map(grammar.rules.map((rule) => [rule.name, rule]));
  const write = (random: () => number, out: string[]) => {
    const pick = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)] as T;
    const repeated = (element: AbstractElement, depth: number): number => {
      // The grammar lets these out for someone who is typing; a whole text has them.
      const typed = GrammarAST.isAssignment(element) && /^(?:value|member)$/.test(element.feature);
      const least = element.cardinality === '+' || typed ? 1 : 0;
      if (element.cardinality === '?') return Math.max(least, random() < 2 / (2 + depth) ? 1 : 0);
      return Math.max(least, Math.floor((random() * 12) / (3 + depth)));
    };
    const one = (element: AbstractElement, depth: number): void => {
      if (GrammarAST.isAlternatives(element)) {
        const shortestOf = Math.min(...element.elements.map(least));
        const usable = depth > 12 ? element.elements.filter((part) => least(part) === shortestOf) : element.elements;
        many(pick(usable), depth);
      } else if (GrammarAST.isGroup(element)) for (const part of element.elements) many(part, depth);
      else if (GrammarAST.isAssignment(element)) many(element.terminal, depth);
      else if (GrammarAST.isKeyword(element)) out.push(element.value);
      else if (GrammarAST.isRuleCall(element)) called(element.rule.$refText, depth);
    };
    const called = (name: string, depth: number) => {
      const rule = rules.get(name);
      if (GrammarAST.isParserRule(rule)) many(rule.definition, depth + 1);
      else out.push(pick(name === 'WORD' ? names : (terminals[name] as readonly string[])));
    };
    const many = (element: AbstractElement, depth: number) => {
      const times = element.cardinality ? repeated(element, depth) : 1;
      for (let n = 0; n < times && out.length < 300; n++) one(element, depth);
    };
    called(entry, 0);
  };
  return fc.integer().map((seed) => {
    const out: string[] = [];
    write(randomOf(seed), out);
    return out;
  });
}

/** Numbers from 0 to 1 that follow from a seed (xorshift; Marsaglia 2003). */
function randomOf(seed: number): () => number {
  let state = (seed | 0) ^ 0x9e3779b9 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
