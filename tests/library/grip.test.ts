import { describe, expect, test } from 'vitest';
import { seed } from '../runner/seed.ts';
import { library, ruleExample } from './fixtures.ts';
import { changesOf, missedOf } from './grip.ts';

const exampleOf = (rule: string) => ruleExample(rule) ?? '';

/** Of the rules one in so many is changed, from where the seed begins; all of them by `npm run grip`. */
const oneIn = 6;
const rules = library.scope.rules().filter((_, i) => i % oneIn === seed % oneIn);
/** What is noticed of any sixth, in per cent, at the least. */
const least = 90;

test('what is dropped from a rule, or moved in it, is noticed by its example: the share', () => {
  const tried = rules.map(({ node }) => changesOf(node));
  const missed = tried.flatMap((changes) => missedOf(changes, exampleOf));
  const count = tried.flat().length;
  const share = (100 * (count - missed.length)) / count;
  console.log(
    `${share.toFixed(0)} % of ${count} changes of ${rules.length} rules are noticed by their examples; not:\n` +
      missed.map(({ rule, of, what }) => `  ${rule}: ${of}: ${what}`).join('\n'),
  );
  expect(count).toBeGreaterThan(100);
  expect(share).toBeGreaterThan(least);
}, 600_000);

describe('a limit that moves', () => {
  const rule = 'adhesive_too_hot';
  const node = library.scope.rules().find((each) => each.node.name?.text === rule)?.node;
  const text = exampleOf(rule);
  const limits = (node ? changesOf(node) : []).filter(({ of }) => of === 'limit');

  test('is noticed by the machine that barely holds it', () => {
    expect(limits.length).toBe(2);
    expect(missedOf(limits, () => text)).toEqual([]);
  });

  test('is noticed by nobody without that', () => {
    const without = text.slice(0, text.indexOf('machine Barely'));
    expect(missedOf(limits, () => without)).not.toEqual([]);
  });
});
