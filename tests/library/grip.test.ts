import { expect, test } from 'vitest';
import { seed } from '../runner/seed.ts';
import { library, ruleExample } from './fixtures.ts';
import { changesOf, isNoticed, type RuleChange } from './grip.ts';

/** Of the rules one in so many is changed, from where the seed begins; all of them by `npm run grip`. */
const oneIn = 24;
const rules = library.scope.rules().filter((_, i) => i % oneIn === seed % oneIn);

test('what is dropped from a rule, or moved in it, is noticed by its example: the share', () => {
  const changes = rules.flatMap(({ node }) => changesOf(node));
  const missed = changes.filter((change) => !isNoticed(change, ruleExample(change.rule) ?? ''));
  const share = (100 * (changes.length - missed.length)) / changes.length;
  console.log(
    `${share.toFixed(0)} % of ${changes.length} changes of ${rules.length} rules are noticed by their examples; not:\n` +
      missed.map(({ rule, what }) => `  ${rule}: ${what}`).join('\n'),
  );
  expect(changes.length).toBeGreaterThan(20);
  expect(missed.length).toBeLessThan(changes.length);
}, 600_000);

test('a limit that moves is noticed by the machine that barely holds it, and by nobody without that', () => {
  const rule = 'adhesive_too_hot';
  const node = library.scope.rules().find((each) => each.node.name?.text === rule)?.node;
  const text = ruleExample(rule) ?? '';
  const without = text.slice(0, text.indexOf('machine Barely'));
  const moves = (node ? changesOf(node) : []).filter(({ what }: RuleChange) => / [*+-] [\d.]+( K)?$/.test(what));
  expect(moves.length).toBe(2);
  expect(moves.map((change) => isNoticed(change, text))).toEqual([true, true]);
  expect(moves.map((change) => isNoticed(change, without))).toContain(false);
});
