import { Lexer, type Token } from '../../language/grammar/lexer.ts';
import { clauses, declarationWords, operandWords } from '../../language/grammar/words.ts';

/** Words that statements begin with, or that join values. */
const words: ReadonlySet<string> = new Set([...declarationWords, ...operandWords, ...Object.keys(clauses)]);

/** A text in the language as HTML, coloured by the classes that pages of Markdown commonly have colours for. */
export function colouredCode(text: string): string {
  return `<pre><code class="hljs">${pieces(text).join('')}</code></pre>`;
}

/** Markdown with the code of this language in it coloured, and changes of it: the colours that pages have for those can hardly be read. */
export function withColouredCode(markdown: string): string {
  return markdown.replace(/^```(gusset|diff)[^\n]*\n([\s\S]*?)^```$/gm, (_, language: string, code: string) =>
    language === 'diff' ? changedCode(code.trimEnd()) : colouredCode(code.trimEnd()),
  );
}

/** What is added stands in bold, and what goes is struck through, each behind its sign. */
function changedCode(text: string): string {
  const lines = text.split('\n').map((line) => {
    const code = (line[0] ?? '') + pieces(line.slice(1)).join('');
    if (line.startsWith('+')) return `<strong>${code}</strong>`;
    return line.startsWith('-') ? `<del>${code}</del>` : code;
  });
  return `<pre><code class="hljs">${lines.join('&#10;')}</code></pre>`;
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
