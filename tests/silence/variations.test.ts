import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Body, Declaration, Entry } from '../../language/grammar/generated/ast.ts';
import { type AstNode, childrenOf, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { Project, type SourceFile } from '../../language/project.ts';
import { seed } from '../runner/seed.ts';
import { saidOf } from './deletions.ts';
import { library, read, ruleMachines, type Source } from './sources.ts';

// The same machine, said otherwise, is found to be the same.

const machines = [...ruleMachines('Breaks'), ...ruleMachines('Keeps')];

/** What the rules say of a text; `beside` is a file that it uses. */
function verdictsOf(text: string, beside = '') {
  const files = new Map([
    ['file:///a.gusset', text],
    ['file:///b.gusset', beside],
  ]);
  const project = new Project(library, { read: (uri) => files.get(uri) });
  const file = project.file('file:///a.gusset') as SourceFile;
  const mistakes = project
    .mistakes(file)
    .filter(({ severity }) => severity === 'error')
    .map(({ message }) => message);
  const verdicts = [...saidOf(project, [file]).verdicts].map(([key, { verdict }]) => `${key}: ${verdict}`);
  return { project, file, said: [...mistakes, ...verdicts.toSorted()] };
}

interface Change {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}
interface Variation {
  readonly changes: readonly Change[];
  /** What a file says that the text then uses. */
  readonly beside?: string;
}

function applied(text: string, changes: readonly Change[]): string {
  return changes
    .toSorted((a, b) => b.start - a.start)
    .reduce((now, { start, end, text: by }) => now.slice(0, start) + by + now.slice(end), text);
}

/** Says a drawn text otherwise, as `vary` does at the places that it knows, and compares; at least `least` times. */
function alike(
  vary: (file: SourceFile, project: Project, pick: number) => Variation | undefined,
  runs: number,
  least: number,
) {
  let varied = 0;
  fc.assert(
    fc.property(fc.nat({ max: machines.length - 1 }), fc.nat({ max: 1_000_000 }), (at, pick) => {
      const { name, uri } = machines[at] as Source;
      const text = read(uri);
      const { file, project, said } = verdictsOf(text);
      const variation = vary(file, project, pick);
      if (!variation) return;
      varied++;
      const { changes, beside } = variation;
      const other = (beside === undefined ? '' : 'use "./b.gusset"\n') + applied(text, changes);
      expect(verdictsOf(other, beside).said, `${name}\n${other}`).toEqual(said);
    }),
    { seed, numRuns: runs },
  );
  expect(varied).toBeGreaterThanOrEqual(least);
}

const chosen = <T>(list: readonly T[], pick: number): T | undefined => list[pick % Math.max(1, list.length)];

function allIn(node: AstNode): AstNode[] {
  return [node, ...childrenOf(node).flatMap(allIn)];
}

const entriesIn = (file: SourceFile) =>
  file.parsed.file.items
    .filter((item) => item.$type === 'Entry')
    .flatMap(allIn)
    .filter((node): node is Entry => node.$type === 'Entry');

/** The declaration that a name stands for, where it is a part. */
function partNamed(name: string | undefined, file: SourceFile): Declaration | undefined {
  const node = name === undefined ? undefined : file.scope.find(name)?.node;
  return node?.$type === 'Declaration' && node.what === 'part' ? node : undefined;
}

const plain = /^(-?[\d.]+( [\w/*^()%]+)?|yes|no)$/;

/** The values of a body, where there is nothing else in it and each is a number, or yes or no. */
function plainValues(body: Body | undefined): Map<string, string> | undefined {
  const found = new Map<string, string>();
  for (const member of body?.members ?? []) {
    if (member.$type === 'Source') continue;
    if (member.$type !== 'Entry' || !member.equals || !member.value || !plain.test(textOf(member.value)))
      return undefined;
    found.set(member.first.text, textOf(member.value));
  }
  return found;
}

const block = (values: ReadonlyMap<string, string>) =>
  `{\n${[...values].map(([name, value]) => `${name} = ${value}\n`).join('')}}`;

describe('a text is judged alike', () => {
  test('with its statements in another order', () => {
    alike(
      (file, _, pick) => {
        const bodies = entriesIn(file).flatMap(({ body }) => (body && body.members.length > 1 ? [body] : []));
        const members = chosen(bodies, pick)?.members;
        if (!members) return undefined;
        const texts = members.map(textOf);
        const turned = [
          ...texts.slice(1 + (pick % (texts.length - 1))),
          ...texts.slice(0, 1 + (pick % (texts.length - 1))),
        ];
        return { changes: members.map((member, i) => ({ ...rangeOf(member), text: turned[i] as string })) };
      },
      30,
      25,
    );
  }, 120_000);

  test('in other units', () => {
    const other: Readonly<Record<string, readonly [unit: string, factor: number]>> = {
      mm: ['m', 1e-3],
      g: ['kg', 1e-3],
      A: ['mA', 1e3],
      W: ['kW', 1e-3],
      'mm^2': ['cm^2', 1e-2],
    };
    alike(
      (file) => {
        const quantities = entriesIn(file).flatMap(({ value }) => (value ? allIn(value) : []));
        const changes = quantities.flatMap((node) => {
          const [number = '', unit = ''] = node.$type === 'Quantity' ? textOf(node).split(' ') : [];
          const [to, factor] = other[unit] ?? [];
          const text = to && `${Number((Number(number) * (factor as number)).toPrecision(12))} ${to}`;
          return text ? [{ ...rangeOf(node), text }] : [];
        });
        return changes.length > 0 ? { changes } : undefined;
      },
      20,
      15,
    );
  }, 120_000);

  test('with a default written out', () => {
    alike(
      (file, project, pick) => {
        const places = project.machines(file).flatMap(({ tree }) =>
          tree.all().flatMap((instance) => {
            const body = instance.layers.find(({ body }) => body && allIn(file.parsed.file).includes(body))?.body;
            return [...instance.kind.members.values()].flatMap(({ role, node, name }) => {
              const value = node.$type === 'Entry' && role === 'default' && node.value ? textOf(node.value) : '';
              const isSaid = instance.layers.some((layer) =>
                layer.body?.members.some((m) => m.$type === 'Entry' && m.first.text === name),
              );
              return body && plain.test(value) && !isSaid ? [{ body, text: `${name} = ${value}` }] : [];
            });
          }),
        );
        const place = chosen(places, pick);
        if (!place) return undefined;
        const at = rangeOf(place.body).end - 1;
        return { changes: [{ start: at, end: at, text: `\n${place.text}\n` }] };
      },
      25,
      20,
    );
  }, 120_000);

  test('with a part written out where it is used', () => {
    alike(
      (file, _, pick) => {
        const uses = entriesIn(file).flatMap((entry) => {
          const part = entry.base ? partNamed(textOf(entry.base), file) : undefined;
          const [values, own] = [plainValues(part?.body), plainValues(entry.body)];
          const kind = part?.base?.text;
          return part && values && own && kind && file.scope.kindNamed(kind) && !entry.count
            ? [{ entry, kind, values, own }]
            : [];
        });
        const use = chosen(uses, pick);
        if (!use) return undefined;
        const name = (use.entry.name ?? use.entry.first).text;
        return {
          changes: [
            { ...rangeOf(use.entry), text: `${use.kind} ${name} ${block(new Map([...use.values, ...use.own]))}` },
          ],
        };
      },
      30,
      15,
    );
  }, 120_000);

  test('with a block moved to a part of another file', () => {
    alike(
      (file, _, pick) => {
        const blocks = entriesIn(file).flatMap((entry) => {
          const base = entry.base
            ? textOf(entry.base)
            : file.scope.kindNamed(entry.first.text) && entry.name
              ? entry.first.text
              : '';
          const values = plainValues(entry.body);
          // A machine of a site starts from a machine, and no part does.
          const isPart = file.scope.kindNamed(base) || partNamed(base, file);
          return entry.body && values && values.size > 0 && isPart && !entry.count ? [{ entry, base, values }] : [];
        });
        const found = chosen(blocks, pick);
        if (!found) return undefined;
        const { entry, base, values } = found;
        const head = [entry.first.text, entry.name?.text].filter(Boolean).join(' ');
        return {
          changes: [{ ...rangeOf(entry), text: `${head} is moved_away` }],
          beside: `part moved_away is ${base} ${block(values)}\n`,
        };
      },
      60,
      15,
    );
  }, 120_000);
});
