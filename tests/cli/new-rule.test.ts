// A rule to begin with, and two machines to try it on, written into a file that is not there yet.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import type { Report } from '../../server/cli/schema.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const written = (name: string) => readFileSync(join(folder.path, name), 'utf8');

describe('a rule to begin with', () => {
  test('is on its kind, with machines that hold what it needs', async () => {
    const { status, out, err } = await folder.run('new', '--rule', 'plate_too_soft', '--on', 'plate');
    expect([status, err]).toEqual([0, '']);
    expect(out).toContain('gusset explain plate --whole');
    const text = written('plate_too_soft.gusset');
    expect(text).toContain('\nrule plate_too_soft on plate {\n');
    expect(text).toContain(
      'machine Breaks {\n  // ambient = …\n  // bed {\n  //   plate {\n  //     size = …\n  //     thickness = …\n  //     material = …\n  //   }\n  // }\n}\n',
    );
    expect(text.split('\n').length).toBeLessThanOrEqual(36);
  });

  test('what may be of many sorts says which it is', async () => {
    await folder.run('new', 'mine', '--rule', 'fan_too_loud', '--on', 'fan');
    expect(written('mine.gusset')).toMatch(/^ {2}\/\/ fan my_fan \{$/m);
  });

  test.each(['machine', 'belt', 'component'])(
    'on %s checks as it stands, and finds nothing but what is not given yet',
    async (kind) => {
      await folder.run('new', `on_${kind}`, '--rule', `rule_on_${kind}`, '--on', kind);
      const { status, out } = await folder.run('check', '--format', 'json', `on_${kind}.gusset`);
      const { findings, machines }: Report = JSON.parse(out);
      expect([status, findings.filter(({ code }) => code !== 'not_given')]).toEqual([0, []]);
      expect(machines.map(({ name }) => name)).toEqual(['Breaks', 'Keeps']);
    },
  );

  test('once filled in, it is broken by the one machine and kept by the other', async () => {
    await folder.run('new', '--rule', 'room_too_warm', '--on', 'machine');
    const text = written('room_too_warm.gusset')
      .replace('holds yes // VALUE <= LIMIT', 'holds ambient <= 30 degC')
      .replace('{name} …', 'The room of {name} is too warm')
      .replace('  // ambient = …', '  ambient = 31 degC')
      .replace('  // …', '  ambient = 30 degC');
    folder.write({ 'room_too_warm.gusset': text });
    const { out } = await folder.run('check', '--format', 'json', 'room_too_warm.gusset');
    const { findings }: Report = JSON.parse(out);
    expect(findings.map(({ code, machine }) => [code, machine])).toEqual([['room_too_warm', 'Breaks']]);
  });
});

test.each([
  [['--rule', 'too_hot'], 'On which kind is the rule? Write --on KIND'],
  [['--rule', 'too_hot', '--on', 'platte'], 'There is no kind platte. Did you mean plate?'],
  [['--rule', 'Too-Hot', '--on', 'plate'], 'such as plate_too_hot; Too-Hot is no such name.'],
  [['--rule', 'wire_overloaded', '--on', 'wire'], 'wire_overloaded is declared in the library already'],
])('%j is refused: %s', async (args, message) => {
  const { status, out, err } = await folder.run('new', ...args);
  expect([status, out]).toEqual([2, '']);
  expect(err).toContain(message);
});

test('what is there already is left alone', async () => {
  folder.write({ 'kept.gusset': '// three evenings of work\n' });
  const { status, err } = await folder.run('new', 'kept', '--rule', 'too_hot', '--on', 'plate');
  expect([status, err]).toEqual([2, 'gusset: kept.gusset is there already; nothing was written.\n']);
  expect(written('kept.gusset')).toBe('// three evenings of work\n');
});
