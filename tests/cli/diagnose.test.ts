import { afterAll, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());
const course = (rise: number, lag: number) =>
  [
    'time (s); hot (degC)',
    ...Array.from({ length: 13 }, (_, i) => `${i * 50};${(20 + rise * (1 - Math.exp((-i * 50) / lag))).toFixed(2)}`),
  ].join('\n');
const kettle = `/// Something that warms.
kind kettle {
  toplevel
  /// How warm the room is.
  room: Temperature
  /// How much it warms in the end.
  rise: TemperatureDifference { varies 20 % }
  /// How slow it is.
  lag: Time default 100 s { varies 30 % }
  /// How hot it is after a time.
  at_time(after: Time): Temperature = room + rise * (1 - exp(-after / lag)) {
    source defined "Newton's law of cooling"
  }
  /// Its course.
  course: curve of Time, Temperature = sampled(of: at_time, from: 0 s, to: 10 min) { source defined "its course" }
  /// How hot it gets.
  end: Temperature = room + rise { source defined "their sum" }
  /// It boils over
  symptom boils { shows end > 130 degC }
  /// Its lid is off
  defect open {
    alters rise = 20 % * rise .. 60 % * rise
    odds 5 %
    how "Look at {name}"
    reads end
  }
}
kettle k {
  room = 20 degC
  rise = 80 K
}
`;
folder.write({
  'a kettle.gusset': kettle,
  'run.csv': course(90, 120),
  'one.csv': course(72, 100),
  'far.csv': course(20, 100),
  'bad.csv': '0, 20\n1; a\n',
});
const run = (...args: string[]) => folder.run('diagnose', 'a kettle.gusset', 'k', ...args);

test('causes are told in order, each with what is otherwise, what comes of it, and how it is looked at', async () => {
  const { status, out } = await run('end = 55 degC');
  expect(status).toBe(0);
  expect(out).toMatch(/^end 55 °C: computed 100 °C\nWhat explains it, most likely first\n1\. Its lid is off\n/);
  expect(out).toContain(
    '    rise 34.9 K instead of 80 K: 54.9 °C\n    Look at k: 54.9 °C if it is so, 100 °C as it is written\n',
  );
  expect(out).toMatch(/\n3 inputs, ranges and defects were tried|\n2 inputs, ranges and defects were tried/);
});

test('where nothing explains it, it says so', async () => {
  expect((await run('boils')).out).toMatch(
    /^boils: computed it does not show, 30 % from where it does\nNothing explains it alone; what comes nearest\n1\. rise: how much it warms in the end, within its tolerance\n/,
  );
});

test('what the design shows already needs no cause, and a path that is mistyped is told as it was written', async () => {
  folder.write({ 'hot.gusset': kettle.replace('end > 130 degC', 'end > 30 degC') });
  const { out } = await folder.run('diagnose', 'hot.gusset', 'k', 'boils');
  expect(out).toMatch(
    /^boils: computed it shows, as it is written already\nNothing has to be otherwise for that: the design itself explains it/,
  );
  const slip = await run('k_own.ende = 55 degC');
  expect(slip.err).toMatch(/^gusset: k_own\.ende = 55 degC: .*[^.?][.?]\n$/);
});

test('symptoms are listed, and all of it comes as data', async () => {
  expect((await run('--symptoms')).out).toMatch(/^boils +It boils over +k\n$/);
  expect(JSON.parse((await run('end = 55 degC', '--format', 'json')).out).causes[0]).toMatchObject({
    path: 'open',
    by: 'defect',
  });
  expect(JSON.parse((await run('--symptoms', '--format', 'json')).out)).toHaveLength(1);
});

test('the least sets of defects with which a symptom shows', async () => {
  const { out } = await run('boils', '--together', '2');
  expect(out).toMatch(/^k: It boils over\n {2}Not by any 2 of the \d defects that bear on it\.\n/);
  const cooler = folder.write({ 'cool.gusset': kettle.replace('end > 130 degC', 'end < 60 degC') });
  expect((await cooler.run('diagnose', 'cool.gusset', 'k', 'boils', '--together', '1')).out).toContain(
    '\n  if its lid is off\n',
  );
  expect(JSON.parse((await run('boils', '--together', '1', '--format', 'json')).out)).toMatchObject([
    { path: 'k', already: false },
  ]);
  expect((await run('--together', '1')).err).toBe('gusset: Of which symptom? Name one.\n');
});

test('a recorded curve, with the records to write', async () => {
  const { out } = await run('course', '--recorded', 'run.csv');
  expect(out).toMatch(
    /^course: 13 points, off by [\d.]+ K as it is computed\nThe two inputs that explain it best: off by 0\.\d+ K then\n/,
  );
  expect(out).toMatch(/\n {2}measured rise = (89|90|91)(\.\d)? K on \d{4}-\d\d-\d\d in place\n/);
  expect(out).toMatch(/\n {2}measured lag = (2|1\.9\d|2\.0\d) min on|\n {2}measured lag = 1[12]\d s on/);
  expect((await run('course', '--recorded', 'one.csv')).out).toContain('\nOne input explains it: off by ');
  expect((await run('k.course', '--recorded', 'far.csv')).out).toContain('\nMuch is left: ask for defects as well');
  expect(JSON.parse((await run('course', '--recorded', 'run.csv', '--format', 'json')).out)).toMatchObject({
    points: 13,
  });
});

test('what cannot be asked is a mistake in the call', async () => {
  const wrong = async (...args: string[]) => {
    const { status, err } = await run(...args);
    expect(status).toBe(2);
    return err;
  };
  expect(await wrong()).toMatch(/^gusset: Nothing was measured of k that differs/);
  expect(await wrong('steams')).toBe('gusset: K has no symptom called steams. It has boils.\n');
  expect(await wrong('course', '--recorded', 'none.csv')).toMatch(/none\.csv cannot be read/);
  expect(await wrong('course', '--recorded', 'bad.csv')).toBe(
    'gusset: bad.csv, line 2: expected two numbers, found 1; a.\n',
  );
  expect(await wrong('--recorded', 'run.csv')).toMatch(/Of which curve was that recorded/);
});
