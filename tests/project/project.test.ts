import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { Project } from '../../language/project.ts';
import { snapshot } from '../snapshot.ts';
import { bench, library } from '../support.ts';

// What is computed in pieces, with whatever happens between them, comes to what is computed in one go.

const example = (name: string) => readFileSync(new URL(`../../examples/${name}.gusset`, import.meta.url), 'utf8');
const uri = 'file:///a.gusset';
const open = bench.replace('psu is supply_24v_450w', 'psu is ?').replace('area = 2.5 mm^2', 'area = ?');

const atOnce = (text: string) => {
  const project = new Project(library, { read: () => undefined });
  return snapshot(project, project.update(uri, text));
};

/** Computes a text in pieces that grow. Returns how many it took. */
function inPieces(project: Project, text: string, first: number, most = Number.POSITIVE_INFINITY): number {
  const file = project.update(uri, text);
  let pieces = 1;
  for (let steps = first; pieces < most && !project.computes(file, Math.floor(steps)); steps *= 1.2) pieces++;
  return pieces;
}

describe('what is computed in pieces', () => {
  test.each<[string, string, number]>([
    ['a bench', bench, 10],
    ['with open choices of a part and a value', open, 100],
    ['an example', example('wren'), 500],
    ['the flawed one', example('magpie'), 500],
  ])('comes to the same: %s', (_, text, first) => {
    const project = new Project(library, { read: () => undefined });
    expect(inPieces(project, text, first)).toBeGreaterThan(5);
    expect(snapshot(project, project.update(uri, text))).toEqual(atOnce(text));
  });

  test('takes no more than is allowed, and goes on from what is kept', () => {
    const project = new Project(library, { read: () => undefined });
    const file = project.update(uri, bench);
    expect(project.computes(file, 200)).toBe(false);
    expect(inPieces(project, bench, 200)).toBeGreaterThan(2);
    expect(project.computes(file, 0)).toBe(true);
    project.update(uri, bench.replace('250 W', '251 W'));
    expect(project.computes(file, 0)).toBe(false);
  });

  test.each([1, 3, 6])('is thrown away by an edit in the middle of it, after %i pieces', (pieces) => {
    for (const [before, after] of [
      [bench, bench.replace('250 W', '100 W .. 260 W')],
      [open, open.replace('250 W', '300 W')],
      [open, bench],
      [bench, open],
      [bench, bench.replace('plate {', 'plate two {')],
    ] as const) {
      const project = new Project(library, { read: () => undefined });
      inPieces(project, before, 40, pieces);
      inPieces(project, after, 40, pieces);
      expect(snapshot(project, project.update(uri, after))).toEqual(atOnce(after));
      inPieces(project, before, 40, pieces);
      expect(snapshot(project, project.update(uri, before))).toEqual(atOnce(before));
    }
  });
});
