// Requirements as test cases, as programs for continuous integration read them.
import { DOMParser } from 'linkedom';
import { afterAll, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const text = `kind crate {
  toplevel
  load: Mass
  bears: Mass?
}
crate A {
  load = 12 kg
  require load <= 10 kg
  require load < 13 kg
  require load < bears
}
crate B {
  load = 1 kg
}
`;

test('a suite for each machine, a case for each requirement: failed with its numbers, skipped where it cannot be decided', async () => {
  folder.write({ 'a&b.gusset': text });
  const { out, status } = await folder.run('check', '--format', 'junit', 'a&b.gusset');
  expect(status).toBe(0);
  expect(out).toMatch(/^<\?xml version="1.0" encoding="UTF-8"\?>\n/);
  // The parser leaves references in attributes of XML as they stand.
  const read = (value: string | null | undefined) => value?.replaceAll('&lt;', '<').replaceAll('&amp;', '&');
  const document = new DOMParser().parseFromString(out, 'text/xml');
  const counts = (selector: string) =>
    ['tests', 'failures', 'errors', 'skipped'].map((name) => document.querySelector(selector)?.getAttribute(name));
  expect(counts('testsuites')).toEqual(['3', '1', '0', '1']);
  expect(
    [...document.querySelectorAll('testsuite')].map((each) => [
      each.getAttribute('name'),
      read(each.getAttribute('file')),
    ]),
  ).toEqual([
    ['A', 'a&b.gusset'],
    ['B', 'a&b.gusset'],
  ]);
  const cases = [...document.querySelectorAll('testcase')];
  expect(
    cases.map((each) => [read(each.getAttribute('name')), each.getAttribute('line'), each.firstElementChild?.tagName]),
  ).toEqual([
    ['load <= 10 kg', '8', 'failure'],
    ['load < 13 kg', '9', undefined],
    ['load < bears', '10', 'skipped'],
  ]);
  expect(document.querySelector('failure')?.getAttribute('message')).toContain('12 kg');
});
