import type { IToken, TokenType, TokenVocabulary } from 'chevrotain';
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  DefaultLexer,
  DefaultTokenBuilder,
  DefaultValueConverter,
  EmptyFileSystem,
  type Grammar,
  inject,
  type LangiumCoreServices,
  type LexerResult,
} from 'langium';
import { GussetGeneratedModule, GussetGeneratedSharedModule } from '../../language/grammar/generated/module.ts';

/** Words that join two values, and so are no units. */
const joining = /^(?:x|and|or|not|if|then|else|for|where|is|otherwise|on|because|default)$/;

/** The grammar's tokens, and what it says of them in words: keywords may be names, units stand right behind numbers. */
class Tokens extends DefaultTokenBuilder {
  override buildTokens(grammar: Grammar): TokenVocabulary {
    const tokens = super.buildTokens(grammar) as TokenType[];
    const named = (name: string) => tokens.find((token) => token.name === name) as TokenType;
    const [word, unit, number] = [named('WORD'), named('UNIT'), named('NUMBER')];
    for (const token of tokens)
      if (/^[a-z]+$/.test(token.name)) Object.assign(token, { CATEGORIES: [word], LONGER_ALT: word });
    const pattern = new RegExp((unit.PATTERN as RegExp).source, 'y');
    unit.PATTERN = (text: string, offset: number, matched: IToken[]) => {
      const last = matched.at(-1);
      if (last?.tokenType !== number || /\n/.test(text.slice(last.startOffset, offset))) return null;
      pattern.lastIndex = offset;
      const found = pattern.exec(text);
      return found && !joining.test(found[0]) ? found : null;
    };
    unit.LINE_BREAKS = false;
    return [unit, ...tokens.filter((token) => token !== unit)];
  }
}

/** Within brackets a line's end is a blank. */
class LinesInBrackets extends DefaultLexer {
  override tokenize(text: string): LexerResult {
    const result = super.tokenize(text);
    const open: string[] = [];
    const tokens = result.tokens.filter((token) => {
      if (/^[([{]$/.test(token.image)) open.push(token.image);
      if (/^[)\]}]$/.test(token.image)) open.pop();
      return token.tokenType.name !== 'NL' || (open.at(-1) ?? '{') === '{';
    });
    return { ...result, tokens };
  }
}

/** Texts keep their quotes. */
class AsWritten extends DefaultValueConverter {
  override convert(input: string): string {
    return input;
  }
}

const shared = inject(createDefaultSharedCoreModule(EmptyFileSystem), GussetGeneratedSharedModule);
const services: LangiumCoreServices = inject(createDefaultCoreModule({ shared }), GussetGeneratedModule, {
  parser: {
    TokenBuilder: () => new Tokens(),
    Lexer: (all: LangiumCoreServices) => new LinesInBrackets(all),
    ValueConverter: () => new AsWritten(),
  },
});
shared.ServiceRegistry.register(services);

export const grammar: Grammar = services.Grammar;

/** What Langium's own parser, made from the grammar, reads. */
export function oracle(text: string): { file: unknown; errors: string[] } {
  const { value, lexerErrors, parserErrors } = services.parser.LangiumParser.parse(text);
  return { file: plain(value), errors: [...lexerErrors, ...parserErrors].map(({ message }) => message) };
}

/** A syntax tree as plain data: without places, and without what is not there. */
export function plain(node: unknown): unknown {
  if (Array.isArray(node)) return node.map(plain);
  if (typeof node !== 'object' || node === null) return node;
  const kept = Object.entries(node)
    .filter(([key, value]) => key === '$type' || (!key.startsWith('$') && value !== undefined && value !== false))
    .filter(([, value]) => !(Array.isArray(value) && value.length === 0));
  return Object.fromEntries(kept.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, value]) => [key, plain(value)]));
}
