import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());
const read = (name = 'a.gusset') => readFileSync(join(folder.path, name), 'utf8');

const kinds = `/// A gauge.
kind gauge {
  toplevel
  /// What it is set to.
  setting: Current
  /// What it is meant to have.
  wanted: Current
  /// Did somebody look?
  seen: YesNo default yes
}

/// It is set as it is meant to be.
rule gauge_set_wrong on gauge {
  holds abs(setting - wanted) <= 10 % * wanted
  warning "set to {setting}"
  source practice "a test"
  at setting
  remedy setting = wanted
}

/// Somebody looked at it.
rule gauge_unseen on gauge {
  holds seen
  warning "nobody looked at it"
  source practice "a test"
  remedy seen = yes once "it was looked at"
}
`;
const gauge = (name: string, lines: string) => `gauge ${name} {\n${lines}}\n`;
const wrong = gauge('A', '  setting = 1 A // as found\n  wanted = 2 A\n');

describe('check --fix', () => {
  test('writes what is proven, tells it, and goes on to what is left', async () => {
    folder.write({ 'a.gusset': kinds + wrong });
    const { status, out } = await folder.run('check', '--fix', 'a.gusset');
    expect(read()).toBe(kinds + wrong.replace('1 A', '2 A'));
    expect(out).toContain('a.gusset: 1 change\n  A, gauge_set_wrong: Set setting to 2 A\n');
    expect(out).not.toContain('set to 1 A');
    expect(status).toBe(0);
  });

  test('changes nothing when it is done again', async () => {
    const before = read();
    expect((await folder.run('check', '--fix', 'a.gusset')).out).not.toContain('change');
    expect(read()).toBe(before);
  });

  test('does not say for anybody what has to be done first', async () => {
    const unseen = kinds + gauge('A', '  setting = 2 A\n  wanted = 2 A\n  seen = no\n');
    folder.write({ 'a.gusset': unseen });
    const { out } = await folder.run('check', '--fix', 'a.gusset');
    expect(read()).toBe(unseen);
    expect(out).toContain('Way out: set seen to yes, once it was looked at.');
  });

  test('leaves what would break a variant in another file that is given', async () => {
    const variant = 'use "./a.gusset"\ngauge B is A {\n  wanted = 1 A\n}\n';
    folder.write({ 'a.gusset': kinds + wrong, 'b.gusset': variant });
    await folder.run('check', '--fix', 'a.gusset', 'b.gusset');
    expect([read(), read('b.gusset')]).toEqual([kinds + wrong, variant]);
  });

  test('is safe where the file has other mistakes, and keeps its line ends and its mark', async () => {
    const broken = `\ufeff${kinds}${wrong}gauge C {\n  setting = 3 W\n  colour = {\n`.replaceAll('\n', '\r\n');
    folder.write({ 'a.gusset': broken });
    await folder.run('check', '--fix', 'a.gusset');
    expect(read()).toBe(broken.replace('setting = 1 A', 'setting = 2 A'));
  });

  test('ends new lines as the file does, and lets comments and the order stand', async () => {
    const text = kinds.replace('setting: Current\n', 'setting: Current default 1 A\n');
    const before = `${text}gauge B {\n  // the second\n  wanted = 1 A\n}\n\ngauge A {\n  // the first\n  wanted = 2 A // wanted\n}\n`;
    folder.write({ 'a.gusset': before.replaceAll('\n', '\r\n') });
    const { out, status } = await folder.run('check', '--fix', 'a.gusset');
    expect(out).toContain('a.gusset: 1 change\n');
    const mended = before.replace('// wanted\n', '// wanted\n  setting = 2 A\n').replaceAll('\n', '\r\n');
    expect([read(), status]).toEqual([mended, 0]);
    const again = await folder.run('check', '--fix', 'a.gusset');
    expect([read(), again.status]).toEqual([mended, 0]);
    expect(again.out).not.toContain('change');
  });

  test('ends as the check of what is left does', async () => {
    const fatal = kinds.replace('warning "nobody', 'error "nobody');
    folder.write({ 'a.gusset': fatal + wrong.replace('wanted = 2 A', 'wanted = 2 A\n  seen = no') });
    const { out, status } = await folder.run('check', '--fix', 'a.gusset');
    expect(out).toContain('a.gusset: 1 change\n');
    expect(status).toBe((await folder.run('check', 'a.gusset')).status);
    expect(status).not.toBe(0);
  });

  test('does not overwrite what was changed meanwhile', async () => {
    folder.write({ 'a.gusset': kinds + wrong });
    const { replaceUnlessChanged } = await import('../../server/cli/replace.ts');
    const full = join(folder.path, 'a.gusset');
    const text = read();
    writeFileSync(full, `${text}// more\n`);
    expect(replaceUnlessChanged(full, text, 'nothing')).toBe(false);
    expect(read()).toBe(`${text}// more\n`);
  });

  test('tells it beside, where JSON is printed', async () => {
    folder.write({ 'a.gusset': kinds + wrong });
    const { out, err } = await folder.run('check', '--fix', '--format', 'json', 'a.gusset');
    expect(err).toContain('Set setting to 2 A');
    expect(JSON.parse(out).findings).toEqual([]);
  });
});
