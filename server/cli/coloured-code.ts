import { Lexer, type Token } from '../../language/grammar/lexer.ts';
import { clauses, declarationWords, operandWords } from '../../language/grammar/words.ts';

/** Words that statements begin with, or that join values. */
const words: ReadonlySet<string> = new Set([...declarationWords, ...operandWords, ...Object.keys(clauses)]);

/** A text in the language as HTML, coloured by the classes that pages of Markdown commonly have colours for. */
export function colouredCode(text: string): string {
  return `<pre><code class="hljs">${pieces(text).join('')}</code></pre>`;
}

/** Markdown with the code of this language in it coloured. */
export function withColouredCode(markdown: string): string {
  return markdown.replace(/^```gusset[^\n]*\n([\s\S]*?)^```$/gm, (_, code: string) => colouredCode(code.trimEnd()));
}

function pieces(text: string): string[] {
  const lexer = new Lexer(text);
  const found: string[] = [];
  let at = 0;
  for (;;) {
    const token = lexer.read(at, false);
    found.push(between(text.slice(at, token.start)));
    if (token.kind === 'end') return found;
    found.push(coloured(token, text));
    at = Math.max(token.end, at + 1);
  }
}

/** Blanks, and the comments in them. */
function between(text: string): string {
  return text
    .split(/(\/\/[^\n]*)/)
    .map((piece) => (piece.startsWith('//') ? marked('comment', piece) : escaped(piece)))
    .join('');
}

function coloured(token: Token, text: string): string {
  const written = text.slice(token.start, token.end);
  if (token.kind === 'number') return marked('number', written);
  if (token.kind === 'string') return marked('string', written);
  if (token.kind === 'word' && words.has(written)) return marked('keyword', written);
  return escaped(written);
}

function marked(as: string, text: string): string {
  return `<span class="hljs-${as}">${escaped(text)}</span>`;
}

/** Blank lines would end a piece of HTML in Markdown. */
function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('\n', '&#10;');
}
