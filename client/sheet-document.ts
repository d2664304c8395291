/// <reference lib="dom" />
// What the view of a machine's sheet does in its document: puts in place what the server says of its sections, and tells where one wants
// to go. Nothing is put together here: sections come as HTML in which all texts are escaped.

/** What the view is told. */
export interface ToView {
  readonly machine: string;
  readonly about: string;
  readonly mind: string;
  readonly sections: readonly { readonly id: string; readonly heading: string; readonly html?: string }[];
  /** The place under the cursor, as far as its line: `file:///a.gusset:3`. */
  readonly at?: string;
}

/** What it says: that it is there and shows nothing yet, or where one wants to go. */
export type FromView = { readonly is: 'empty' } | { readonly is: 'followed'; readonly place: string };

/** Shows a sheet; sections that have not changed stay as they are, with what is unfolded in them. */
export function show(document: Document, { machine, about, mind, sections, at }: ToView): void {
  const place = (id: string) => document.getElementById(id) as HTMLElement;
  place('title').textContent = machine;
  place('about').textContent = about;
  place('mind').textContent = mind;
  place('links').replaceChildren(
    ...sections.map(({ id, heading }) => {
      const [item, link] = [document.createElement('li'), document.createElement('a')];
      link.href = `#${id}`;
      link.textContent = heading;
      item.append(link);
      return item;
    }),
  );
  const holder = place('sections');
  const before = new Map([...holder.children].map((each) => [each.getAttribute('data-id'), each]));
  holder.replaceChildren(
    ...sections.map(({ id, html }) => {
      const section = before.get(id) ?? document.createElement('div');
      section.setAttribute('data-id', id);
      section.setAttribute('role', 'region');
      section.setAttribute('aria-labelledby', id);
      if (html !== undefined) replace(section, html);
      return section;
    }),
  );
  mark(document, at);
}

function replace(section: Element, html: string): void {
  const open = [...section.querySelectorAll('details')].map((each) => each.open);
  section.innerHTML = html;
  for (const [i, each] of [...section.querySelectorAll('details')].entries()) each.open = open[i] ?? false;
  for (const each of section.querySelectorAll('[data-place]')) {
    each.setAttribute('role', 'link');
    each.setAttribute('tabindex', isFirst(each) ? '0' : '-1');
    if (each.tagName.toLowerCase() === 'g') each.setAttribute('aria-label', nameOf(each));
    // A picture with links in it is no longer one thing to a screen reader.
    each.parentElement?.closest('svg')?.setAttribute('role', 'group');
  }
}

/** What is read of a link in a picture: what it shows, and what stands there. */
function nameOf(link: Element): string {
  const [own, texts] = [link.querySelector('title'), link.querySelectorAll('text')];
  return [...new Set([own, ...texts].map((each) => each?.textContent ?? ''))].filter(Boolean).join(', ');
}

/** In a drawing one link is reached by the tab key, and the others from it by arrows. */
function isFirst(link: Element): boolean {
  const drawing = link.parentElement?.closest('svg');
  return !drawing || drawing.querySelector('[data-place]') === link;
}

const steps: Readonly<Record<string, number>> = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

/** Moves from link to link within a drawing. */
function step(event: KeyboardEvent): void {
  const link = (event.target as Element).closest?.('svg [data-place]');
  const by = steps[event.key];
  if (!link || by === undefined) return;
  const all = [...(link.closest('svg')?.querySelectorAll<SVGElement>('[data-place]') ?? [])];
  const next = all[all.indexOf(link as SVGElement) + by];
  if (!next) return;
  event.preventDefault();
  link.setAttribute('tabindex', '-1');
  next.setAttribute('tabindex', '0');
  next.focus();
}

/** Marks what is said on a line of a file. */
export function mark(document: Document, at: string | undefined): void {
  for (const each of document.querySelectorAll('[data-place]')) {
    const isHere = at !== undefined && (each.getAttribute('data-place') ?? '').startsWith(`${at}:`);
    if (isHere) each.setAttribute('aria-current', 'true');
    else each.removeAttribute('aria-current');
  }
}

/** Tells where one wants to go, by the mouse or by the keyboard. */
export function follow(document: Document, tell: (message: FromView) => void): void {
  const go = (event: Event) => {
    const place = (event.target as Element).closest?.('[data-place]')?.getAttribute('data-place');
    if (place) tell({ is: 'followed', place });
  };
  document.addEventListener('click', go);
  document.addEventListener('keydown', (event) => {
    if (event.key === 'Enter' || event.key === ' ') go(event);
    else step(event);
  });
}
