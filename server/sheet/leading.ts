import { s } from 'hastscript';
import type { Place } from './data.ts';

type Element = Exclude<ReturnType<typeof s>, { type: 'root' }>;

/** Where something in a picture leads. */
export interface Leading {
  readonly place?: Place | null;
  /** What it shows, in full. */
  readonly title?: string;
}

/** A place in a text, as an attribute. */
export function placeText({ file, line, column }: Place): string {
  return `${file}:${line}:${column}`;
}

/** What is drawn, as elements: neighbours that lead to one place are one link, which is named by what they show. */
export function linked<T extends Leading>(all: readonly T[], drawn: (each: T) => Element[]): Element[] {
  return neighbours(all).flatMap((own) => {
    const { place, title = '' } = own[0] as T;
    const elements = own.flatMap(drawn);
    return place ? s('g', { 'data-place': placeText(place) }, [s('title', title), ...elements]) : elements;
  }) as Element[];
}

function neighbours<T extends Leading>(all: readonly T[]): T[][] {
  const groups: T[][] = [];
  for (const each of all) {
    const last = groups.at(-1)?.[0];
    if (last?.place && each.place && keyOf(last) === keyOf(each)) groups.at(-1)?.push(each);
    else groups.push([each]);
  }
  return groups;
}

function keyOf({ place, title }: Leading): string {
  return `${place && placeText(place)} ${title}`;
}

/** A fine line is hard to hit: over it, unseen, lies a wide one. */
export function hitLine(points: string, strokeWidth: number): Element {
  return s('polyline', { points, strokeOpacity: 0, strokeWidth }) as Element;
}
