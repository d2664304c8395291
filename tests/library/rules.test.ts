import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { isSource, type Source } from '../../language/grammar/generated/ast.ts';
import { type AstNode, childrenOf, contentOf } from '../../language/grammar/syntax.ts';
import type { Finding } from '../../language/judge/finding.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { buildPart, Instance } from '../../language/machine/tree.ts';
import type { Assessed } from '../../language/project.ts';
import { checkDeclaration, undocumented } from '../../language/types/check.ts';
import { checkInstance } from '../../language/types/check-blocks.ts';
import type { NodeMistake } from '../../language/types/tell.ts';
import { expected, foundIn, judged, keeps, library, ruleExample, underlined } from './fixtures.ts';
import { judgedUnstopped, judges, unstopped } from './judged-faults.ts';
import { isFurther, saidTwice } from './rule-examples.ts';

const rules = library.scope.rules().map(({ node }) => node.name?.text ?? '');

describe('the library', () => {
  test('has no mistake in its names, units and types', () => {
    const problems: string[] = [];
    const report = (problem: NodeMistake) => problems.push(`${problem.code}: ${problem.message}`);
    for (const parsed of library.files.values()) {
      for (const item of parsed.file.items) {
        if (item.$type !== 'Declaration') continue;
        checkDeclaration(item, library.scope, report, true);
        const part = item.what === 'part' ? buildPart(item, library.scope) : undefined;
        if (part) checkInstance(part, item, report);
      }
    }
    expect(problems).toEqual([]);
  });

  test('documents every declaration, and gives every rule, table, function and derived value its source', () => {
    const items = [...library.files.values()].flatMap((parsed) => parsed.file.items);
    const lacks = items.flatMap((item) => (item.$type === 'Declaration' ? undocumented(item) : []));
    expect(lacks).toEqual([]);
  });

  test('has no line of more than 120 characters, but for a text, which stands on one line', () => {
    const isText = (line: string) => /^\s*(?:\w+ ){0,2}(?:= )?"(?:[^"\\]|\\.)*"$/.test(line);
    const wide = libraryFiles.flatMap(({ text }) => text.split('\n')).filter((line) => line.length > 120);
    expect(wide.filter((line) => !isText(line))).toEqual([]);
  });

  test('has at least the twenty rules that were asked for', () => {
    expect(rules.length).toBeGreaterThanOrEqual(20);
    expect(new Set(rules).size).toBe(rules.length);
  });

  test('lets no rule that rests on practice or memory alone be an error, unless people can be hurt', () => {
    const unsure = library.scope.rules().flatMap(({ node }) => {
      const members = node.body?.members ?? [];
      const isError = members.some((m) => m.$type === 'Message' && m.severity === 'error');
      const hasCaution = members.some((m) => m.$type === 'Clause' && m.keyword === 'caution');
      const sources = members.filter((m) => m.$type === 'Source');
      const isWeak = sources.every((m) => m.standing === 'practice' || m.standing === 'recalled');
      return isError && isWeak && !hasCaution ? [node.name?.text] : [];
    });
    expect(unsure).toEqual([]);
  });
});

/** Each rule's name with its message and its caution, as they are written. */
const spoken = library.scope.rules().map(({ node }) => {
  const members = node.body?.members ?? [];
  const message = members.find((m) => m.$type === 'Message')?.text;
  const caution = members.find((m) => m.$type === 'Clause' && m.keyword === 'caution');
  const words = caution?.$type === 'Clause' ? caution.values[0] : undefined;
  return {
    name: node.name?.text ?? '',
    message: message ? contentOf(message) : '',
    caution: words?.$type === 'Text' ? contentOf(words) : '',
  };
});

test('what speaks of burning, glowing, charring or too much heat shows a caution', () => {
  const hot = spoken.filter(({ message }) => /\b(burns?|glows?|chars?|too hot)\b/.test(message));
  expect(hot.length).toBeGreaterThanOrEqual(10);
  expect(hot.filter(({ caution }) => !caution).map(({ name }) => name)).toEqual([]);
});

test('what tells of a fuse or a cutoff that opens in use says never to bridge it', () => {
  const opens = spoken.filter(({ message }) => /opens? (in normal use|on some days)/.test(message));
  expect(opens.length).toBeGreaterThan(3);
  expect(opens.filter(({ caution }) => !caution.includes('never bridge')).map(({ name }) => name)).toEqual([]);
});

test('what protects the less, the larger it is, says so: no way out lets it grow', () => {
  const guarding = (kind: string) => library.scope.kindNamed(kind)?.guarding;
  expect(guarding('fuse')).toEqual(['rated_current']);
  expect(guarding('blade_fuse')).toEqual(['rated_current']);
  expect(guarding('cutoff')).toEqual(['opens_at']);
  expect(guarding('self_limiting_cartridge')).toEqual(['switches_at']);
  expect(guarding('site')).toEqual(['breaker', 'residual_current']);
  expect(guarding('inlet')).toEqual(['residual_current']);
});

/** Rules that ask whether a part is connected. A fixture is a piece of a machine: only their own connect all there is. */
const connecting = [...library.files].flatMap(([uri, { file }]) =>
  uri.endsWith('/feeding_rules.gusset')
    ? file.items.flatMap((item) => (item.$type === 'Declaration' ? [item.name?.text ?? ''] : []))
    : [],
);

test('there are rules that ask whether a part is connected', () => {
  expect(rules).toEqual(expect.arrayContaining(connecting));
  expect(connecting.length).toBeGreaterThanOrEqual(4);
});

/** What is found in a machine at something on mains, with a caution, consequences included. */
function cautionedOnMains({ assessment, engine }: Assessed): Finding[] {
  const readFrom = (instance: Instance, name: string) => {
    const cell = cellOf(instance, name);
    return cell && engine.value(cell);
  };
  const isOnMains = ({ instance }: Finding) => {
    const feed = readFrom(instance, 'feed');
    return readFrom(feed instanceof Instance ? feed : instance, 'current_kind') === 'ac';
  };
  const all = (finding: Finding): Finding[] => [finding, ...finding.consequences.flatMap(all)];
  return assessment.findings.flatMap(all).filter((finding) => finding.caution && isOnMains(finding));
}

let foundOnMains = 0;
const faultsSeen = new Set<string>();

/** The machines that hold a part of a rule, each with what the comment before it tells. */
const furtherIn = (text: string) =>
  [...text.matchAll(/(?:^\/\/ (.*)\n)?^\w+ (\w+) is \w+ \{$/gm)]
    .map(([, comment = '', name = '']) => ({ name, comment }))
    .filter(({ name }) => isFurther(name));

describe.each(rules)('rule %s', (rule) => {
  const text = ruleExample(rule) ?? '';
  const now = judged(text);
  const { project, file, machines } = now;

  test('has an example without a mistake in its text, and with nothing said twice', () => {
    expect(saidTwice(text)).toEqual([]);
    expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  });

  test('is broken by it where that is underlined, and there is nothing else', () => {
    expect(expected(text).map((underline) => underline.rule)).toContain(rule);
    // As `npm run underline` writes it.
    expect(text).toBe(underlined(now));
  });

  test('is kept by what its example says against it, and so is every other rule', () => {
    const keeping = machines.filter(({ tree }) => tree.name === 'Keeps');
    expect(keeping.length).toBe(1);
    for (const { assessment } of keeping) {
      expect(foundIn(assessment.findings, file)).toEqual([]);
      const undecided = assessment.undecided.map((u) => u.rule);
      expect(undecided.filter((u) => !connecting.includes(u) || u === rule)).toEqual([]);
      expect(assessment.held).toBeGreaterThan(0);
    }
  });

  // Our own rule of safety: whatever can hurt people there defers to those who may decide and do it.
  test('where it is found on mains, says that local codes and a licensed electrician decide', () => {
    const found = machines.filter((machine) => !keeps(machine)).flatMap(cautionedOnMains);
    const defers = ({ caution = '' }: Finding) =>
      /licensed electrician/.test(caution) && /[Ll]ocal codes/.test(caution);
    expect(found.filter((finding) => !defers(finding)).map((finding) => finding.rule)).toEqual([]);
    foundOnMains += found.length;
  });

  test('where a fault that has rules of its own is stopped by nothing, one of them tells it, and where it is kept, none happens', () => {
    const told = machines.filter((machine) => !keeps(machine)).map(judgedUnstopped);
    expect(told.flatMap(({ silent }) => silent)).toEqual([]);
    for (const { seen } of told) for (const name of seen) faultsSeen.add(name);
    const kept = machines.filter(({ tree }) => tree.name === 'Keeps');
    expect(kept.flatMap((machine) => unstopped(machine).map(({ label }) => label))).toEqual([]);
  });

  test('is kept at its limit, not asked, broken otherwise, or as a consequence, where its example says so', () => {
    const assessments = new Map(machines.map(({ tree, assessment }) => [tree.name, assessment]));
    /** What the rule's findings in a machine follow from; one that is a finding of its own follows from nothing. */
    const saysOf = (name: string) =>
      foundIn(assessments.get(name)?.findings ?? [], file).flatMap((f) => (f.rule === rule ? [f.follows] : []));
    expect(furtherIn(text).filter(({ name }) => !assessments.has(name))).toEqual([]);
    for (const { name, comment } of furtherIn(text)) {
      const [role] = name.split('_');
      expect(assessments.get(name)?.undecided.map((each) => each.rule)).not.toContain(rule);
      if (role === 'Breaks') expect(saysOf(name)).toContain(undefined);
      else if (role === 'Follows')
        expect(`Follows ${[...new Set(saysOf(name))].filter(Boolean).join(', ')}.`).toBe(comment);
      else expect(saysOf(name)).toEqual([]);
      if (role === 'Barely') expect([...saysOf(`Above_${name}`), ...saysOf(`Below_${name}`)]).not.toEqual([]);
    }
  });
});

test('each fault that has rules of its own happens somewhere, and there are findings on mains', () => {
  expect(Object.keys(judges).filter((name) => !faultsSeen.has(name))).toEqual([]);
  expect(foundOnMains).toBeGreaterThan(20);
});

test('rules about safety are held at their limits', () => {
  const atLimits = rules.filter((rule) => / Barely is /.test(ruleExample(rule) ?? ''));
  expect(atLimits.length).toBeGreaterThanOrEqual(150);
});

describe('sources', () => {
  const sourcesIn = (node: AstNode): Source[] =>
    isSource(node) ? [node] : childrenOf(node).flatMap((child) => sourcesIn(child));
  const all = [...library.files.values()].flatMap(({ file }) =>
    sourcesIn(file).map(({ standing, text }) => ({ standing, text: text ? contentOf(text) : '' })),
  );

  // A standard or a law with its number, a book with its author and table, a paper with its year; or a data sheet, and of what.
  const canBeFound =
    /\b(?:IEC|ISO|EN|NEC|UL|NEMA|ASTM|DIN|ANSI|MIL|SAE|BS|IEEE|NAVEDTRA)\b.*\d|\b1[5-9]\d\d\b|\b20[0-2]\d\b|^[A-Z]\S+(?: (?:and )?[A-Z]\S+)*, [A-Z]|^(?:read in )?data sheets? of |Association, typical values/;
  const vague =
    /\b(?:a|an|some|the) [\w' ]*(?:page|guide|tutorial|manual|catalogue)s?\b|makers?'s?|supplier|distributor|trader/;

  test('what was read or is quoted can be looked up', () => {
    const cited = all.filter(({ standing }) => standing === 'read' || standing === 'quoted');
    expect(cited.length).toBeGreaterThan(100);
    expect(cited.filter(({ text }) => !canBeFound.test(text) || vague.test(text))).toEqual([]);
  });
});
