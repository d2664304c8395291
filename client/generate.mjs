// Writes client/generated/gusset.tmLanguage.json, the colours an editor shows before the server answers. Its keywords are
// read from the grammar, so that nothing is listed twice. Run by `npm run generate`.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { argv } from 'node:process';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const grammarFile = join(here, '..', 'language', 'grammar', 'gusset.langium');
const target = join(here, 'generated', 'gusset.tmLanguage.json');

/** The grammar's parser rules: name and body. Terminals are left out: they hold no words. */
function rulesOf(grammar) {
  const text = grammar.replace(/^\s*\/\/.*$/gm, '').replace(/^(hidden )?terminal.*$/gm, '');
  const rules = [...text.matchAll(/^(?:entry |infix )?(\w+)(?: (?:infers|on) \w+)?:([\s\S]*?);\s*$/gm)];
  return rules.map(([, name, body]) => ({ name, body }));
}

const wordsIn = (text) => [...text.matchAll(/'([a-z]+)'/g)].map(([, word]) => word);

/** The words a rule may begin with: its first literal, or the alternatives of its first group. */
function headsOf(body) {
  const rest = body.trim().replace(/^\w+\?='\w+'\?\s*/, '');
  const [, group] = /^(?:\w+\+?=)?(\([^()]*\)|'[a-z]+')/.exec(rest) ?? [];
  return group && !/\w+=/.test(group) ? wordsIn(group) : [];
}

/** The rules that are alternatives of the given rule. */
function alternativesOf(rules, name) {
  const body = rules.find((rule) => rule.name === name)?.body ?? '';
  return body.split('|').map((part) => part.trim());
}

const sorted = (words) => [...new Set(words)].sort();

/**
 * Sorts the grammar's keywords by where they stand. `lines`: for each statement the words it begins with, and those that are
 * keywords further on in its line only; `types`: before "of"; `constants`: as values; `words`: anywhere.
 */
export function keywordsOf(grammar) {
  const rules = rulesOf(grammar);
  const statements = new Set([...alternativesOf(rules, 'Item'), ...alternativesOf(rules, 'Member')]);
  const found = { lines: [], types: [], constants: [], words: [] };
  for (const { name, body } of rules) {
    const heads = headsOf(body);
    const others = wordsIn(body).filter((word) => !heads.includes(word));
    if (statements.has(name) && heads.length > 0) {
      found.lines.push({ rule: name, heads: sorted(heads), inner: sorted(others) });
    } else if (name.endsWith('Type')) found.types.push(...heads);
    else if (name === 'Truth') found.constants.push(...heads);
    else found.words.push(...heads, ...others);
  }
  const { types, constants, words } = found;
  const lines = found.lines.map((line) => ({ ...line, inner: line.inner.filter((word) => !words.includes(word)) }));
  return { lines, types: sorted(types), constants: sorted(constants), words: sorted(words) };
}

const anyOf = (words) => `(?:${words.join('|')})`;
// A word is a keyword at a line's beginning only where no name could stand: `at a` is a clause, `at = 3 A` is a value.
const notAName = '(?=\\s+[^\\s=:*{]|\\s*(?:$|//))';
const name = '[\\p{L}_][\\p{L}\\p{N}_]*';
const number = '[0-9]+(?:\\.[0-9]+)?(?:[eE][-+]?[0-9]+)?';
const unit = '[A-Za-z%µΩ°][A-Za-z0-9%µΩ°*/^()-]*';

const before = '(?<![.\\p{L}\\p{N}_])';
const after = '(?![\\p{L}\\p{N}_])(?!\\s*[=:.(])';
const wordsNamed = (scope, words) => ({ name: scope, match: `${before}${anyOf(words)}${after}` });

const comments = [
  { name: 'comment.line.documentation.gusset', match: '///.*$' },
  { name: 'comment.line.double-slash.gusset', match: '//.*$' },
];

const text = {
  name: 'string.quoted.double.gusset',
  begin: '"',
  end: '"|$',
  patterns: [
    { name: 'constant.character.escape.gusset', match: '\\\\.' },
    { name: 'variable.other.placeholder.gusset', match: '\\{[^{}"]*\\}' },
  ],
};

/** `rule NAME on KIND`: the declared name is coloured, and so are the words of this statement alone. */
function linePattern({ rule, heads, inner }) {
  const declares = rule === 'Declaration';
  const begin = declares
    ? `^\\s*(${anyOf(heads)})\\s+(${name})(?=\\s*(?:$|[(:={]|//)|\\s+[a-z]+\\s)`
    : `^\\s*(?:(shared)\\s+)?(${anyOf(heads)})\\b${notAName}`;
  const beginCaptures = declares
    ? { 1: { name: 'keyword.other.declaration.gusset' }, 2: { name: 'entity.name.type.gusset' } }
    : { 1: { name: 'storage.modifier.gusset' }, 2: { name: 'keyword.other.statement.gusset' } };
  const words = inner.length > 0 ? [wordsNamed('keyword.other.statement.gusset', inner)] : [];
  return { begin, beginCaptures, end: '$', patterns: [...words, { include: '#expressions' }] };
}

const lineStart = [
  { match: `^\\s*(shared)\\s+(?=${name})`, captures: { 1: { name: 'storage.modifier.gusset' } } },
  // `KIND NAME is PART {`: a block begins with the name of its kind.
  {
    match: `^\\s*(${name})(?=(?:\\s+${name})?(?:\\s*\\*\\s*[0-9]+)?\\s*(?:\\bis\\s+(?:${name}|\\?)\\s*)?\\{)`,
    captures: { 1: { name: 'entity.name.type.gusset' } },
  },
  {
    match: `^\\s*(${name})(?=(?:\\s+${name})?(?:\\s*\\*\\s*[0-9]+)?\\s+is\\s)`,
    captures: { 1: { name: 'entity.name.type.gusset' } },
  },
  { match: `^\\s*(${name})(?=\\s*[=:(])`, captures: { 1: { name: 'variable.other.property.gusset' } } },
];

function expressionPatterns({ types, constants, words }) {
  const notAWord = `(?!${anyOf(words)}(?![\\p{L}\\p{N}_*/^]))`;
  return [
    ...comments,
    text,
    { name: 'constant.numeric.date.gusset', match: '\\b[0-9]{4}-[0-9]{2}-[0-9]{2}\\b' },
    {
      match: `(?<![\\p{L}\\p{N}_])(${number}) ?${notAWord}(${unit})`,
      captures: { 1: { name: 'constant.numeric.gusset' }, 2: { name: 'keyword.other.unit.gusset' } },
    },
    { name: 'constant.numeric.gusset', match: `(?<![\\p{L}\\p{N}_])${number}` },
    {
      match: `${before}(is)\\s+(${name})`,
      captures: { 1: { name: 'keyword.other.word.gusset' }, 2: { name: 'variable.other.constant.gusset' } },
    },
    // A dimension after a colon; it begins with a capital, which a named argument's value does not.
    { match: '(:|->)\\s*(\\p{Lu}[\\p{L}\\p{N}_]*)', captures: { 2: { name: 'entity.name.type.gusset' } } },
    { name: 'keyword.other.word.gusset', match: `${before}${anyOf(types)}(?=\\s+of\\b)` },
    wordsNamed('constant.language.gusset', constants),
    wordsNamed('keyword.other.word.gusset', words),
    { name: 'keyword.operator.open.gusset', match: '\\?' },
    { name: 'entity.name.function.gusset', match: `${name}(?=\\()` },
    { name: 'variable.other.gusset', match: name },
    { name: 'keyword.operator.gusset', match: '\\.\\.|[-+*/^]|[=!<>]=|[<>=]' },
  ];
}

/** The colouring grammar, as VS Code and others read it. */
export function textMateGrammar(grammar) {
  const keywords = keywordsOf(grammar);
  return {
    name: 'Gusset',
    scopeName: 'source.gusset',
    patterns: [...comments, ...keywords.lines.map(linePattern), ...lineStart, { include: '#expressions' }],
    repository: { expressions: { patterns: expressionPatterns(keywords) } },
  };
}

if (argv[1] === fileURLToPath(import.meta.url)) {
  const grammar = textMateGrammar(readFileSync(grammarFile, 'utf8'));
  mkdirSync(dirname(target), { recursive: true });
  writeFileSync(target, `${JSON.stringify(grammar, null, 2)}\n`);
  console.log(`colours: ${grammar.patterns.length} patterns from the grammar's keywords`);
}
