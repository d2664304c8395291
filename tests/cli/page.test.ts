import { expect, test } from 'vitest';
import { diskProject, TextPlaces } from '../../server/cli/files.ts';
import { onOneLine, Page, sourceInWords } from '../../server/cli/page.ts';

const project = diskProject('/');
const page = (width = 30) =>
  new Page({ out: () => {}, err: () => {}, cwd: '/', colours: false, width }, TextPlaces.onDisk(project, '/'));
const kind = project.library.scope.kindNamed('machine')?.node as never;

test('a title says where what it names is declared', () => {
  expect(`${page().title('a title')}`).toBe('a title\n');
  expect(`${page().title('a title', kind)}`).toMatch(/^a title\nlibrary:\w+\/\w+\.gusset:\d+:1\n$/);
  expect(page().placeOf(kind)).toMatch(/^library:/);
});

test('prose, rows, lists and code stand apart, and what is empty is left out', () => {
  const text = page()
    .title('t')
    .prose('one two three four five six seven\neight')
    .prose('')
    .rows([
      ['label', 'what it says, on more than a line'],
      ['none', undefined],
      ['other', 'short'],
    ])
    .rows([['none', '']])
    .list('heading', ['  a', '  b'])
    .list('nothing', [])
    .code('code', 'kind k {\n\n}\n')
    .code('none', undefined);
  expect(`${text}`).toBe(`t

one two three four five six
seven eight

  label       what it says, on
              more than a line
  other       short

heading
  a
  b

code
  kind k {

  }
`);
});

test('a source in words, and a formula on one line', () => {
  expect(sourceInWords({ standing: 'read', text: 'a book' })).toBe('a book (read in the source itself)');
  expect(sourceInWords({ standing: 'recalled', text: 'a book' })).toBe('a book (from memory, to be checked)');
  expect(onOneLine('max(\n  a,\n  b\n) + [ c ]')).toBe('max(a, b) + [c]');
});
