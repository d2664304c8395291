import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { diskProject, TextPlaces } from '../../server/cli/files.ts';
import { Page } from '../../server/cli/page.ts';
import { referencePages } from '../../server/cli/reference.ts';
import { read } from '../support.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

test('a kind is told with its values, a rule with its message, and each has one page', () => {
  const project = diskProject('/');
  const io = { out: () => {}, err: () => {}, cwd: '/', colours: false, width: 80 };
  const { scope } = read(`/// A barn.  It is wide.
kind barn {
  toplevel
  /// From wall to wall.
  width: Length
}
/// It is wide.
rule barn_wide on barn {
  holds width > 3 m
  error "{name} is {width}: a cart does not go in"
}
`).file;
  const pages = referencePages(scope, () => new Page(io, TextPlaces.onDisk(project, '/')));
  const page = (name: string) => pages.filter((each) => each.name === name);
  expect(page('barn')).toEqual([
    expect.objectContaining({ section: 'kind', about: 'A barn.', text: expect.stringContaining('From wall to wall') }),
  ]);
  expect(page('barn_wide')).toEqual([
    expect.objectContaining({ section: 'rule', text: expect.stringContaining('a cart does not go in') }),
  ]);
  expect(new Set(pages.map(({ name }) => name.toLowerCase())).size).toBe(pages.length);
});

test('all of the library is written, each page is in the index, and no link leads nowhere', async () => {
  expect(await folder.run('explain', '--all')).toMatchObject({ status: 2 });
  expect(await folder.run('explain', '--all', '--out', 'pages', 'wire')).toMatchObject({ status: 2 });
  const { status, out } = await folder.run('explain', '--all', '--out', 'pages');
  const files = readdirSync(join(folder.path, 'pages'));
  expect([status, out]).toEqual([
    0,
    `${files.length - 1} pages were written into pages; begin with ${join('pages', 'index.html')}\n`,
  ]);
  expect(files.length).toBeGreaterThan(800);
  const text = (name: string) => readFileSync(join(folder.path, 'pages', name), 'utf8');
  const links = (name: string) => [...text(name).matchAll(/href="([^"]+)"/g)].map(([, to]) => to as string);
  expect([...text('index.html').matchAll(/<h2>(.*)<\/h2>/g)].map(([, each]) => each).slice(0, 2)).toEqual([
    'kind',
    'constant',
  ]);
  expect(new Set(links('index.html'))).toEqual(new Set(files));
  for (const name of ['wire.html', 'wire_overloaded.html', 'units.html'])
    expect(links(name).filter((to) => !files.includes(to))).toEqual([]);
  expect(links('wire_overloaded.html')).toContain('wire.html');
  expect(text('wire.html')).toContain('Area of its copper');
  expect(text('units.html')).toContain('degC');
});
