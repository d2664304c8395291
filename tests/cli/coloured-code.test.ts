import { expect, test } from 'vitest';
import { colouredCode, withColouredCode } from '../../server/cli/coloured-code.ts';

test('words of the language, numbers with their units, texts and comments are coloured, names are not', () => {
  expect(colouredCode('rule a on bed { // why\n  when x < 3 mm\n  error "hot"')).toBe(
    '<pre><code class="hljs"><span class="hljs-keyword">rule</span> a on bed { <span class="hljs-comment">// why</span>&#10;  <span class="hljs-keyword">when</span> x &lt; <span class="hljs-number">3 mm</span>&#10;  <span class="hljs-keyword">error</span> <span class="hljs-string">"hot"</span></code></pre>',
  );
});

test('nothing of a text is lost, whatever stands in it', () => {
  const text = 'a & b > c\n\n"open\n  é § // <i>\n';
  const plain = colouredCode(text)
    .replace(/<[^>]*>/g, '')
    .replaceAll('&#10;', '\n')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&');
  expect(plain).toBe(text);
});

test('in Markdown only code of the language is coloured', () => {
  const markdown = 'Text.\n\n```gusset\nbed {\n\n}\n```\n\n```sh\nls\n```\n';
  expect(withColouredCode(markdown)).toBe(
    'Text.\n\n<pre><code class="hljs">bed {&#10;&#10;}</code></pre>\n\n```sh\nls\n```\n',
  );
});

test('of a change, what is added stands out, and what goes is struck through', () => {
  expect(withColouredCode('```diff\n   bed {\n-    power = 80\n+    power = 80 W // <\n   }\n```\n')).toBe(
    '<pre><code class="hljs">   bed {&#10;<del>-    power = <span class="hljs-number">80</span></del>&#10;<strong>+    power = <span class="hljs-number">80 W</span> <span class="hljs-comment">// &lt;</span></strong>&#10;   }</code></pre>\n',
  );
});
