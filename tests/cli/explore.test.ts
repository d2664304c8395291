import { afterAll, expect, test } from 'vitest';
import { Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());
folder.write({
  'a room.gusset': `${shelf}
shelf left {
  load = 3 kg { varies 10 % }
  limit = 4 kg .. 5 kg
  require press <= 30 N
}
`,
});
const run = (...args: string[]) => folder.run(...args);

test('the greatest value with which nothing fails, and what stops it', async () => {
  const { status, out } = await run('furthest', 'a room.gusset', 'left', 'greatest', 'load');
  expect(status).toBe(0);
  expect(out).toMatch(
    /^greatest load: 3\.05 kg proposed, the greatest that holds: further on, press <= 30 N would not hold/,
  );
  expect(
    JSON.parse((await run('furthest', 'a room.gusset', 'left', 'greatest', 'load', '--format', 'json')).out),
  ).toMatchObject({
    text: '3.05 kg',
    stops: [{ rule: 'requirement', path: '' }],
  });
  expect((await run('furthest', 'a room.gusset', 'left', 'most', 'load')).err).toContain('expected greatest or least');
  expect((await run('furthest', 'a room.gusset', 'left', 'greatest', 'lod')).err).toBe(
    'gusset: Left has no value lod that could be given.\n'.replace('Left', 'Left'),
  );
});

test('what moves a value, as bars', async () => {
  const { out } = await run('influence', 'a room.gusset', 'left', 'reserve');
  const lines = out.split('\n');
  expect(lines[0]).toBe('What moves reserve');
  expect(lines[1]).toMatch(/^limit +4 kg → 5 kg +range +.* █{24}$/);
  expect(lines[2]).toMatch(/^load +2\.7 kg → 3\.3 kg +tolerance +.* █+$/);
  expect((await run('influence', 'a room.gusset', 'left', 'left.press', '--by', '5 %')).out).toContain('pull');
  expect((await run('influence', 'a room.gusset', 'left', 'pull')).out).toContain(
    'No range and no tolerance moves pull',
  );
});

test('what moves a value by less than is shown is only counted', async () => {
  const own = new Folder().write({
    'h.gusset': `kind hall {
  toplevel
  wide: Length
  thick: Length
  all: Length = wide + thick {
    source defined "both"
  }
}
hall H {
  wide = 90 m .. 95 m
  thick = 1 mm .. 2 mm
}
`,
  });
  const { out } = await own.run('influence', 'h.gusset', 'H', 'all');
  expect(out).toMatch(/^What moves all\nwide +90 m → 95 m .*\n1 other by less than is shown\.\n$/);
  own.remove();
});

test('how a value spreads, and which share meets a requirement', async () => {
  const args = ['spread', 'a room.gusset', 'left', 'press', '--draws', '200'];
  const { status, out } = await run(...args);
  expect(status).toBe(0);
  expect(out).toMatch(/^press, of 200 machines drawn with the seed 1\n {2}as it is written {2}29\.4 N\n/);
  expect(out).toContain('at worst          26.5 to 32.4 N');
  expect(out).toMatch(/\n {2}[\d.]+ % {2}press <= 30 N {2}not at worst\n$/);
  expect((await run(...args)).out).toBe(out);
  expect((await run(...args, '--seed', '2')).out).not.toBe(out);
  expect(JSON.parse((await run(...args, '--format', 'json')).out).samples).toHaveLength(200);
  expect((await run('spread', 'a room.gusset', 'right', 'press')).err).toContain('has no machine called right');
});

test('how far a number can go before something turns', async () => {
  const { status, out } = await run('around', 'a room.gusset', 'left', 'load');
  expect(status).toBe(0);
  expect(out).toMatch(
    /^load is 3 kg\. From .* to 3\.05 kg no verdict changes\. .*At 3\.06 kg: press <= 30 N fails\.\n$/,
  );
  const json = JSON.parse((await run('around', 'a room.gusset', 'left', 'load', '--format', 'json')).out);
  expect(json).toMatchObject({ path: 'load', more: { next: { text: '3.06 kg', turns: ['press <= 30 N fails'] } } });
  expect((await run('around', 'a room.gusset', 'left', 'limit')).err).toContain('has no number limit');
});
