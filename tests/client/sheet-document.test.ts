// What runs inside the view of a sheet, on a document without a browser.
import { parseHTML } from 'linkedom';
import { beforeEach, describe, expect, test } from 'vitest';
import { follow, mark, show, type ToView } from '../../client/sheet-document.ts';

let document: Document;
let window: { Event: typeof Event };
beforeEach(() => {
  const page = parseHTML(
    '<!doctype html><body><h1 id="title"></h1><p id="about"></p><ul id="links"></ul><div id="sections"></div><p id="mind"></p></body>',
  );
  document = page.document as unknown as Document;
  window = page.window as never;
});

const costs = {
  id: 'costs',
  heading: 'Costs',
  html: '<h2 id="costs">Costs</h2><span data-place="file:///a.gusset:3:5">3 EUR</span>',
};
const sizes = {
  id: 'sizes',
  heading: 'Sizes',
  html: '<h2 id="sizes">Sizes</h2><details><summary>As numbers</summary></details>',
};
const sheet = (sections: ToView['sections'], at?: string): ToView => ({
  machine: 'Larch',
  about: 'A <shed>.',
  mind: 'It may still fall down.',
  sections,
  ...(at && { at }),
});
const section = (id: string) => document.querySelector(`[data-id="${id}"]`);

describe('the view of a sheet', () => {
  test('shows what it is told, texts as they are, with links to the sections', () => {
    show(document, sheet([costs, sizes]));
    expect(document.getElementById('title')?.textContent).toBe('Larch');
    expect(document.getElementById('about')?.innerHTML).toBe('A &lt;shed&gt;.');
    expect(document.getElementById('mind')?.textContent).toBe('It may still fall down.');
    const links = [...document.querySelectorAll('#links a')].map((each) => [
      each.getAttribute('href'),
      each.textContent,
    ]);
    expect(links).toEqual([
      ['#costs', 'Costs'],
      ['#sizes', 'Sizes'],
    ]);
    expect(section('costs')?.getAttribute('aria-labelledby')).toBe('costs');
    expect(section('costs')?.textContent).toContain('3 EUR');
  });

  test('leaves what has not changed as it is, in its new order, and takes away what is gone', () => {
    show(document, sheet([costs, sizes]));
    const before = section('sizes');
    show(
      document,
      sheet([
        { id: 'sizes', heading: 'Sizes' },
        { ...costs, html: costs.html.replace('3 EUR', '4 EUR') },
      ]),
    );
    expect(section('sizes')).toBe(before);
    expect([...document.querySelectorAll('[data-id]')].map((each) => each.getAttribute('data-id'))).toEqual([
      'sizes',
      'costs',
    ]);
    expect(section('costs')?.textContent).toContain('4 EUR');
    show(document, sheet([{ id: 'costs', heading: 'Costs' }]));
    expect(section('sizes')).toBeNull();
  });

  test('keeps open what was unfolded in a section that has changed', () => {
    show(document, sheet([sizes]));
    const details = section('sizes')?.querySelector('details') as HTMLDetailsElement;
    details.open = true;
    show(document, sheet([{ ...sizes, html: `${sizes.html}<p>more</p>` }]));
    expect(section('sizes')?.querySelector('details')?.open).toBe(true);
    expect(section('sizes')?.querySelector('p')).not.toBeNull();
  });

  test('marks what is said on the line of the cursor, and of no line that only begins alike', () => {
    show(document, sheet([costs], 'file:///a.gusset:3'));
    const place = () => section('costs')?.querySelector('[data-place]')?.getAttribute('aria-current');
    expect(place()).toBe('true');
    mark(document, 'file:///a.gusset:33');
    expect(place()).toBeFalsy();
    mark(document, 'file:///a.gusset:3');
    expect(place()).toBe('true');
    mark(document, undefined);
    expect(place()).toBeFalsy();
  });

  test('leads to places by mouse and keyboard, and only from where there is one', () => {
    const told: unknown[] = [];
    follow(document, (message) => told.push(message));
    show(document, sheet([costs]));
    const place = section('costs')?.querySelector('[data-place]') as Element;
    expect([place.getAttribute('role'), place.getAttribute('tabindex')]).toEqual(['link', '0']);
    const happens = (on: Element, type: string, key?: string) =>
      on.dispatchEvent(Object.assign(new window.Event(type, { bubbles: true }), { key }));
    happens(place, 'click');
    happens(place, 'keydown', 'Enter');
    happens(place, 'keydown', 'x');
    happens(document.getElementById('title') as Element, 'click');
    expect(told).toEqual(Array(2).fill({ is: 'followed', place: 'file:///a.gusset:3:5' }));
  });

  test('a symbol leads by what it is called, a picture of links is a group, and a bar is reached by the tab key', () => {
    const told: unknown[] = [];
    follow(document, (message) => told.push(message));
    const picture =
      '<svg role="img"><g data-place="a:1:1"><title>bed.fuse</title><text>15 A</text><path d="M0 0" /></g></svg>';
    const bar = '<svg role="img" aria-label="to spare: 4 %" data-place="a:2:1"><rect /></svg>';
    show(document, sheet([{ id: 'plan', heading: 'Plan', html: picture + bar }]));
    const [fuse, spare] = [...document.querySelectorAll('[data-place]')] as [Element, Element];
    const of = (each: Element, ...names: string[]) => names.map((name) => each.getAttribute(name));
    expect(of(fuse, 'role', 'tabindex', 'aria-label')).toEqual(['link', '0', 'bed.fuse, 15 A']);
    expect(of(spare, 'role', 'tabindex', 'aria-label')).toEqual(['link', '0', 'to spare: 4 %']);
    expect(fuse.parentElement?.getAttribute('role')).toBe('group');
    for (const inner of [fuse.querySelector('path'), spare.querySelector('rect')])
      inner?.dispatchEvent(new window.Event('click', { bubbles: true }));
    expect(told).toEqual(['a:1:1', 'a:2:1'].map((place) => ({ is: 'followed', place })));
  });

  test('in a drawing one link is reached by the tab key, and the others from it by arrows', () => {
    follow(document, () => undefined);
    const html = '<svg><text data-place="a:1:1">one</text><text data-place="a:2:1">two</text></svg>';
    show(document, sheet([{ id: 'plan', heading: 'Plan', html }]));
    const [one, two] = [...document.querySelectorAll('[data-place]')] as [SVGElement, SVGElement];
    const stops = () => [one, two].map((each) => each.getAttribute('tabindex'));
    expect(stops()).toEqual(['0', '-1']);
    const focused: string[] = [];
    for (const each of [one, two]) each.focus = () => focused.push(each.textContent ?? '');
    const press = (on: Element, key: string) =>
      on.dispatchEvent(Object.assign(new window.Event('keydown', { bubbles: true }), { key }));
    press(one, 'ArrowRight');
    expect(stops()).toEqual(['-1', '0']);
    press(two, 'ArrowDown');
    press(two, 'ArrowUp');
    expect(stops()).toEqual(['0', '-1']);
    expect(focused).toEqual(['two', 'one']);
  });
});
