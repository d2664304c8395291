// What runs in a living page, on a document without a browser.
import { parseHTML } from 'linkedom';
import { beforeEach, describe, expect, test } from 'vitest';
import { live } from '../../client/living-document.ts';
import { livingPageOf } from '../../server/sheet/html.ts';
import { library } from '../support.ts';

const text = `kind slat {
  toplevel
  inside shelf
  /// How thick it is.
  thick: Length
  /// What it bears.
  bears: Force = 1 N/mm^2 * thick ^ 2 { source defined "so be it" }
}
part thin_slat is slat { thick = 5 mm }
part stout_slat is slat { thick = 20 mm }
/// Bears what lies on it.
rule breaks on shelf {
  holds load <= slat.bears
  error "{name} breaks"
}
/// A shelf.
kind shelf {
  toplevel
  has slat
  /// What lies on it.
  load: Force
  /// What is left.
  left: Force = slat.bears - load { source defined "the rest" }
  headline left
  report "At a glance", left, load
}
shelf s {
  load = 60 N
  slat is thin_slat { thick = 10 mm }
}
`;
let document: Document;
let window: { Event: typeof Event };
let later: (() => void)[] = [];
beforeEach(async () => {
  const living = {
    uri: 'given:/a.gusset',
    text,
    machine: 's',
    over: ['load = 50 N .. 150 N step 10 N', 'slat is [thin_slat, stout_slat]'],
  };
  const sheet = { machine: 's', about: '', sections: [{ heading: 'At a glance', parts: [] }] };
  const page = parseHTML(await livingPageOf(sheet, living, ''));
  document = page.document as unknown as Document;
  window = page.window as never;
  later = [];
  live(document, living, library, (work) => {
    later = [work];
  });
});
const byId = (id: string) => document.getElementById(id) as HTMLElement;
const move = (label: string, value: string) => {
  const id = [...document.querySelectorAll('label')].find((each) => each.textContent === label)?.getAttribute('for');
  const control = byId(id as string) as HTMLInputElement;
  if (control.localName === 'input') control.value = value;
  const option = [...control.querySelectorAll('option')].find((each) => each.value === value);
  if (option) option.selected = true;
  control.dispatchEvent(new window.Event('input'));
  for (const work of later.splice(0)) work();
};
const said = () => [byId('moved-status').textContent, byId('moved').textContent];

describe('a living page', () => {
  test('begins with what is written, and names each input that can be moved', () => {
    expect([...document.querySelectorAll('#moving label')].map((each) => each.textContent)).toEqual(['slat', 'load']);
    expect(byId('moved-status').textContent).toBe('As it is written.');
    const slider = document.querySelector('input') as HTMLInputElement;
    expect([slider.getAttribute('max'), slider.value, slider.getAttribute('aria-valuetext')]).toEqual([
      '10',
      '1',
      '60 N',
    ]);
    expect([...document.querySelectorAll('option')].map((each) => each.textContent)).toEqual([
      'as it is written: thin_slat',
      'thin_slat',
      'stout_slat',
    ]);
  });

  test('an input that is moved tells what comes of it, and the sheet follows', () => {
    move('load', '6');
    expect(said()[0]).toBe('1 newly fails, 0 no longer do.');
    expect(said()[1]).toContain('breaks fails. s breaks');
    expect(said()[1]).toContain('left40 N-10 N');
    expect(byId('at-a-glance').parentElement?.textContent).toMatch(/110\sN/);
    expect(document.querySelector('input')?.getAttribute('aria-valuetext')).toBe('110 N');
  });

  test('parts are moved beside values, and all goes back to what is written', () => {
    move('load', '6');
    move('slat', '1');
    expect(said()[0]).toBe('0 newly fail, 0 no longer do.');
    expect(byId('at-a-glance').parentElement?.textContent).toMatch(/290\sN/);
    (document.querySelector('button') as HTMLElement).click();
    for (const work of later.splice(0)) work();
    expect(said()).toEqual(['As it is written.', '']);
    expect(byId('at-a-glance').parentElement?.textContent).toMatch(/60\sN/);
  });

  test('what failed as it is written and no longer does is told as that', () => {
    move('slat', '0');
    expect(said()[0]).toBe('1 newly fails, 0 no longer do.');
    expect(said()[1]).toContain('left40 N-35 N');
  });
});
