import { afterAll, describe, expect, test } from 'vitest';
import { projectFileName } from '../../server/reach.ts';
import { Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const thin = 'use "./kinds.gusset"\nshelf left {\n  load = 1 kg\n  limit = 5 kg\n  thickness = 12 mm\n}\n';
const project = (rules: unknown) => ({ [projectFileName]: JSON.stringify({ rules }, null, 2) });
const write = (rules: unknown, text = thin) =>
  folder.write({ 'shop/kinds.gusset': shelf, 'shop/a.gusset': text, ...project(rules) });

describe('the project file of checked files', () => {
  test('says how grave findings are: they are told with the reason, and counted at each run', async () => {
    write({ shelf_sags: { severity: 'error', because: 'it carries paint' } });
    const graver = await folder.run('check', 'shop/a.gusset');
    expect(graver.status).toBe(1);
    expect(graver.out).toContain('error  shelf_sags');
    expect(graver.out).toMatch(/In this project it counts as an error, by its rule as a warning: it carries\s+paint\./);
    expect(graver.out).toMatch(
      new RegExp(`\\n${projectFileName}: 1 finding counts otherwise than by its rule: 1 as an error\\.\\n$`),
    );
    write({ shelf_sags: { severity: 'advice', because: 'a cellar' } });
    expect(await folder.run('check', '--strict', 'shop/a.gusset')).toMatchObject({ status: 0 });
    const { findings } = JSON.parse((await folder.run('check', '--format', 'json', 'shop/a.gusset')).out);
    expect(findings[0]).toMatchObject({
      severity: 'advice',
      weighed: { severity: 'advice', byRule: 'warning', because: 'a cellar' },
    });
    write({}, thin.replace('12 mm', '18 mm'));
    expect((await folder.run('check', 'shop/a.gusset')).out).toContain(
      `${projectFileName}: 0 findings count otherwise than by their rules.\n`,
    );
  });

  test('is refused where it is wrong, at its place', async () => {
    write({ shelf_sag: { severity: 'advice', because: 'x' }, shelf_overloaded: { severity: 'advice', because: 'x' } });
    for (const command of ['check', 'report']) {
      const { status, err } = await folder.run(
        command,
        'shop/a.gusset',
        ...(command === 'report' ? ['--out', 'o'] : []),
      );
      expect([command, status]).toEqual([command, 2]);
      expect(err).toContain(`${projectFileName}:3:5: There is no rule shelf_sag. Did you mean shelf_sags?`);
      expect(err).toContain(`${projectFileName}:7:5: shelf_overloaded is about people’s safety`);
    }
  });

  test('knows rules of files beside that are not checked', async () => {
    write({ shelf_sags: { severity: 'advice', because: 'a cellar' } }, 'machine Other {\n}\n');
    expect((await folder.run('check', 'shop/a.gusset')).status).toBe(0);
  });
});
