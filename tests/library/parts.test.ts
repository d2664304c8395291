import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Declaration, Entry, Expression } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import { type Rule, rulesOn } from '../../language/judge/rule.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { definitionOf } from '../../language/machine/definition.ts';
import { buildPart, type Instance } from '../../language/machine/tree.ts';
import { namesIn } from '../../language/names/kind.ts';
import { Project, type SourceFile } from '../../language/project.ts';
import { starts } from '../../language/starts.ts';
import { fixture, library } from './fixtures.ts';

/** What a part of the library is left without, by kind and value, and why. */
const left: readonly (readonly [value: string, reason: string])[] = [
  ['cutoff.limit', 'how hot it may get once it is open is not on every data sheet'],
  ['relay.separation', 'the wires of whoever builds it count too'],
  ['relay.output_at', 'which terminal of it an output is joined to is for whoever wires it'],
  ['supply.selector', 'whoever builds it sets the switch'],
  ['supply.earthed', 'whoever builds it joins it to the earth, or does not'],
  ['thermocouple_k.copper_from', 'where its wires end is for whoever builds it to say'],
  ['gear_train.claimed', 'what is claimed stands on the one that was bought'],
  ['guide.length', 'bars are cut to length'],
  ['rod_guide.rated_tipping', 'a bushing on one rod turns around it'],
  ['rod_guide.rated_nodding', 'how far apart its bushings sit is for whoever builds it'],
  ['cable_chain.length', 'links are put together as long as it has to be'],
  ['sensor.limit', 'it bears what it reads'],
  ...['adapter', 'drive_gear', 'heat_break', 'heat_sink', 'finned_body', 'pulley', 'lead_screw', 'section'].map(
    (kind) => [`${kind}.limit`, 'metal: no place in a printer is too hot for it'] as const,
  ),
];

/** Assemblies are whole only with what the machine around them says: they are tried in the machines to begin with. */
const assemblies = libraryFiles.find(({ name }) => name.endsWith('/assemblies.gusset'))?.text ?? '';

const parts = library.scope.parts().flatMap(({ node }) => {
  const part = buildPart(node as Declaration, library.scope);
  return part && !assemblies.includes(`part ${part.name} is`) ? [part] : [];
});

test('each assembly is in a machine to begin with, in an example, or in another that is', () => {
  const names = [...assemblies.matchAll(/^part (\w+) is/gm)].map(([, name]) => name as string);
  const folder = new URL('../../examples/', import.meta.url);
  const examples = readdirSync(folder).map((name) => readFileSync(new URL(name, folder), 'utf8'));
  const machines = [...starts.map(({ text }) => text), ...examples].join('\n');
  expect(names.length).toBeGreaterThan(10);
  const bodies = new Map(
    [...assemblies.matchAll(/^part (\w+) is(.*\n(?:[ }].*\n)*)/gm)].map(([, name = '', body = '']) => [name, body]),
  );
  const used = new Set<string>();
  const texts = [machines];
  for (const text of texts) {
    const found = names.filter((name) => !used.has(name) && new RegExp(`(?: is|^) ${name}\\b`).test(text));
    for (const name of found) {
      used.add(name);
      texts.push(bodies.get(name) ?? '');
    }
  }
  expect(names.filter((name) => !used.has(name))).toEqual([]);
});

/** Values of a block that a rule on it reads, however far, and that nobody says: relations to other blocks are left out. */
function wantedBy({ when, holds }: Rule, block: Instance): string[] {
  const names = new Set([...when, ...holds].flatMap(namesIn));
  const wanted: string[] = [];
  for (const name of names) {
    const member = block.member(name);
    if (!member || member.role === 'child' || member.type.is === 'instance' || member.type.is === 'list') continue;
    const { origin, expression } = definitionOf(block, member);
    if (expression) for (const other of namesIn(expression)) names.add(other);
    else if (origin === 'missing' && !block.saysNo(name)) wanted.push(name);
  }
  return wanted;
}

const isLeft = ({ kind }: Instance, name: string) =>
  left.filter(([value]) => {
    const [wanted, of] = value.split('.');
    return of === name && kind.isA(library.scope.kindNamed(wanted as string));
  });

test('each part says what the rules on it read of it, or there is a reason', () => {
  const used = new Set<unknown>();
  const wanted = parts.flatMap((part) =>
    rulesOn(part.kind, library.scope).flatMap((rule) =>
      wantedBy(rule, part).flatMap((name) => {
        const reasons = isLeft(part, name);
        for (const reason of reasons) used.add(reason);
        return reasons.length > 0 ? [] : [`${part.name}.${name} for ${rule.name}`];
      }),
    ),
  );
  expect(parts.length).toBeGreaterThan(150);
  expect(wanted).toEqual([]);
  expect(left.filter((reason) => !used.has(reason)).map(([value]) => value)).toEqual([]);
});

describe('in place of another of its kind in a machine that works', () => {
  const root = new URL('../../', import.meta.url);
  const project = new Project(library, { read: (uri) => readFileSync(new URL(uri), 'utf8') });
  // The smallest first: each part is put into the first of them that has a place for it.
  const kept = [
    'filter_overloaded',
    'liner_too_hot',
    'hot_end_sensor_out_of_range',
    'spool_drags_too_much',
    'chain_too_short',
  ].map((rule) => project.update(`file:///${rule}.gusset`, fixture(rule, 'Keeps') ?? ''));
  const adapted = `machine Held {
  ambient = 20 degC
  extruder {
    hot_end {
      target = 240 degC
      adapter is groove_to_plate
      liner is ptfe_liner
      sleeve is silicone_sleeve
    }
  }
  connector plug is crimp_2_5mm
  bolt screw is bolt_m3
  threaded_insert bush is insert_m3
  slot_nut nut is slot_nut_m5_6mm
  ball_bearing idler is bearing_5x16x5
}
`;
  // The last one says each of its parts itself, where the examples take assemblies.
  const examples = ['examples/petrel', 'examples/heron', 'examples/kestrel', 'tests/bench/choices'].map(
    (name) => new URL(`${name}.gusset`, root),
  );
  const opened = [...kept, ...examples.map(({ href }) => project.update(href, readFileSync(new URL(href), 'utf8')))];
  // No example has its hot end on an adapter, or a liner in it; sleeves and plugs come with assemblies, and screws with nobody.
  opened.push(project.update('file:///held.gusset', adapted));

  interface Role {
    readonly file: SourceFile;
    readonly named: AstNode;
    /** What is asked of a part that takes its place. */
    readonly kind: Instance['kind'];
  }

  /** Every name of a part in the examples, with the kind that is wanted there. */
  const roles = opened.flatMap((file): Role[] =>
    project.machines(file).flatMap(({ tree }) =>
      tree.all().flatMap((block) =>
        block.layers.flatMap(({ node, body, scope }): Role[] => {
          const entry = node.$type === 'Entry' ? (node as Entry) : undefined;
          const own = (body?.members ?? []).flatMap((member): Role[] => {
            const value = member.$type === 'Entry' && member.equals ? named(member.value) : undefined;
            const type = member.$type === 'Entry' ? block.member(member.first.text)?.type : undefined;
            return value && type?.is === 'instance' && type.kind && isHere(value, file)
              ? [{ file, named: value, kind: type.kind }]
              : [];
          });
          const base = entry?.base && isHere(entry, file) ? entry.base : undefined;
          const slot = block.holder?.member(entry?.first.text ?? '');
          const kind =
            scope.kindNamed(entry?.first.text ?? '') ?? (slot?.type.is === 'instance' ? slot.type.kind : undefined);
          return base && kind ? [...own, { file, named: base, kind }] : own;
        }),
      ),
    ),
  );

  function named(value: Expression | undefined): AstNode | undefined {
    return value?.$type === 'Reference' && library.scope.find(value.name.text)?.node.$type === 'Declaration'
      ? value
      : undefined;
  }
  function isHere(node: AstNode, file: SourceFile): boolean {
    let at: AstNode | undefined = node;
    while (at?.$container) at = at.$container;
    return at === file.parsed.file;
  }

  /** Values that some rule is undecided for want of; which blocks are there is not the part's to say. */
  const waited = (file: SourceFile) =>
    project
      .machines(file)
      .flatMap(({ tree, assessment }) =>
        assessment.notSaid
          .filter(
            ({ undecided, instance, name }) => undecided.length > 0 && instance.member(name)?.type.is !== 'instance',
          )
          .map((each) => `${tree.name}.${pathOfNotSaid(each)}`),
      );

  test('none leaves a rule undecided for want of a value', () => {
    const placed: string[] = [];
    const found = parts.flatMap((part) => {
      const role = roles.find(({ kind }) => part.kind.isA(kind));
      if (!role) return [];
      placed.push(part.name);
      const { file, named: at } = role;
      const { text } = file.parsed;
      const { start, end } = rangeOf(at);
      const other = project.update(
        file.uri.replace('.gusset', '_other.gusset'),
        text.slice(0, start) + part.name + text.slice(end),
      );
      const before = waited(file);
      return waited(other).flatMap((path) => (before.includes(path) ? [] : [`${part.name}: ${path}`]));
    });
    expect(found).toEqual([]);
    // When something is to be done is put into no machine.
    const moments = ['commissioning_stage', 'assembly_step', 'interval'];
    const left = parts.filter(({ name, kind }) => !placed.includes(name) && !moments.includes(kind.name));
    expect(left.map(({ name }) => name)).toEqual([]);
  }, 600_000);
});
