import { expect, test } from 'vitest';
import { markdownOf } from '../../../server/sheet/markdown.ts';
import { hostile } from './sample.ts';

const text = markdownOf(hostile);

test('a sheet as Markdown shows names and texts as they are, and reads none of them', () => {
  expect(text.split('\n').filter((line) => line.startsWith('#'))).toEqual([
    '# Finch',
    '## At a glance',
    '## Findings',
    '## Parts list',
    '### lines',
    '## Warming up',
    '### bed',
    '## Checks',
    '### With the plug \\<b>pulled\\</b>',
    '## Wiring',
    '### 1 \\<b>inlet\\</b> 230 V',
  ]);
  expect(text).toContain('A \\<b>small\\</b> one. | # no heading \\* no list');
  expect(text).toContain('\\</section>\\<script>alert(1)\\</script>');
  expect(text).toContain('\\[not]\\(a-link)');
  expect(text).toContain('| a\\|b | +3 EUR | loose |');
});

test('a note has its caution, its way out and its place', () => {
  expect(text).toContain('- **error: too hot**:');
  expect(text).toContain('**Caution:** Fire & burns. (set \\`a\\` to 3) a.gusset:3');
});

test('what is not given is said', () => {
  expect(text).toContain('Not given: c.price');
});

test('and once, and what is noted stands in its list alone, in no table', () => {
  expect(text.split('Not given:')).toHaveLength(2);
  expect(text.split('error: too hot')).toHaveLength(2);
  expect(text).not.toContain('| severity');
});
