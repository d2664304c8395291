/// <reference lib="dom" />
// What a living page does in its document: inputs that can be moved, and what the checker in the page computes of them. Nothing leaves it.
import { type Differences, differences, type State } from '../language/answers/compare.ts';
import { sheetOf } from '../language/answers/sheet.ts';
import { Sweep } from '../language/explore/sweeping.ts';
import { Project, type readLibrary } from '../language/project.ts';
import { dataOf } from '../server/sheet/data.ts';
import type { Living } from '../server/sheet/html.ts';
import { idOf, sectionHtml } from '../server/sheet/html.ts';

/** What moves by a smaller share is not told. */
const least = 0.005;
/** So many values are told of. */
const mostValues = 16;

/** Does something a little later, and gives up what was to be done before. */
export type Later = (work: () => void) => void;

const stands: Readonly<Record<State, string>> = {
  fails: 'fails',
  accepted: 'is accepted',
  undecided: 'is not decided',
  holds: 'holds',
  unasked: 'does not apply',
  absent: 'is not there',
};

/** Brings a page to life: puts controls in place of the note that it has none, and answers each move. */
export function live(
  document: Document,
  { text, uri, machine, over }: Living,
  library: ReturnType<typeof readLibrary>,
  later: Later,
): void {
  const begin = () => {
    const project = new Project(library, { read: () => undefined });
    return new Sweep({ project, file: project.update(uri, text), machine }, over, []);
  };
  const sweep = begin();
  // In a project of its own, where nothing moves it.
  const written = begin().judgedAt([]);
  const at: (number | undefined)[] = sweep.axes.map(() => undefined);
  const place = (id: string) => document.getElementById(id) as HTMLElement;
  const make = <K extends keyof HTMLElementTagNameMap>(name: K, text = '', attributes: Record<string, string> = {}) => {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };

  const show = () => {
    const now = sweep.judgedAt(at);
    tell(differences(written, now, new Map(), least));
    for (const section of dataOf(sheetOf(now), () => undefined).sections) {
      const shown = place(idOf(section.heading))?.parentElement;
      if (shown) shown.innerHTML = sectionHtml(section);
    }
  };
  const tell = ({ turns, values }: Differences) => {
    const moved = at.some((stop) => stop !== undefined);
    const worse = turns.filter(({ after, follows }) => after === 'fails' && !follows).length;
    const better = turns.filter(({ before: was, follows }) => was === 'fails' && !follows).length;
    place('moved-status').textContent = moved
      ? `${worse} newly ${worse === 1 ? 'fails' : 'fail'}, ${better} no longer ${better === 1 ? 'does' : 'do'}.`
      : 'As it is written.';
    const list = make('ul', '', { class: 'notes' });
    for (const { code, path, after, message, severity } of turns.filter(({ follows }) => !follows)) {
      const item = make('li', '', after === 'fails' ? { class: severity } : {});
      item.append(make('strong', path ? `${path}: ${code}` : code), ` ${stands[after]}. ${message}`);
      list.append(item);
    }
    const table = make('table', '', { class: 'rows' });
    const heading = make('tr');
    for (const text of ['value', 'as it is written', 'now']) heading.append(make('th', text, { scope: 'col' }));
    table.append(heading);
    for (const { path, before: was, after: is } of values.slice(0, mostValues)) {
      const row = make('tr');
      row.append(make('th', path, { scope: 'row' }), make('td', was ?? 'not known'), make('td', is ?? 'not known'));
      table.append(row);
    }
    place('moved').replaceChildren(...(turns.length > 0 ? [list] : []), ...(values.length > 0 ? [table] : []));
  };

  const controls = sweep.axes.map((axis, i) => {
    const id = `move-${i}`;
    const said = make('span', axis.now);
    const settle = (stop: number | undefined) => {
      at[i] = stop;
      const shown = stop === undefined ? axis.now : (axis.stops[stop]?.shown ?? '');
      said.textContent = shown;
      if (control.localName === 'input') control.setAttribute('aria-valuetext', shown);
    };
    const isList = axis.isPart || axis.stops.some(({ isComputed }) => !isComputed);
    const control = isList
      ? make('select', '', { id })
      : make('input', '', { id, type: 'range', min: '0', max: String(axis.stops.length - 1), step: '1' });
    const reset = () => {
      if (control.localName === 'input') control.value = String(axis.nearest);
      const first = control.querySelector('option');
      if (first) first.selected = true;
      settle(undefined);
    };
    if (isList) {
      control.append(make('option', `as it is written: ${axis.now}`, { value: '' }));
      for (const [n, stop] of axis.stops.entries()) control.append(make('option', stop.shown, { value: String(n) }));
    }
    reset();
    control.addEventListener('input', () => {
      settle(control.value === '' ? undefined : Number(control.value));
      place('moved-status').textContent = 'Computing …';
      later(show);
    });
    const row = make('p');
    row.append(make('label', axis.path, { for: id }), ' ', control, ' ', said);
    return { row, reset };
  });
  const back = make('button', 'As it is written', { type: 'button' });
  back.addEventListener('click', () => {
    for (const { reset } of controls) reset();
    later(show);
  });
  place('moving').replaceChildren(...controls.map(({ row }) => row), back);
  place('moved-status').textContent = 'As it is written.';
}
