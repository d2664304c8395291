import { expect, test } from 'vitest';
import { explainRelated, explainSort } from '../../server/cli/explain-index.ts';
import { diskProject, TextPlaces } from '../../server/cli/files.ts';
import { Page } from '../../server/cli/page.ts';
import { read } from '../support.ts';

const project = diskProject('/');
const page = () =>
  new Page({ out: () => {}, err: () => {}, cwd: '/', colours: false, width: 60 }, TextPlaces.onDisk(project, '/'));
const { scope } = read(`/// A hall.  It is wide.
kind hall {
  toplevel
}
/// A big one.
kind big_hall is hall {
}
kind chair {
  inside hall
}
part great is big_hall {
}
rule hall_wide on hall {
  holds yes
  error "x"
}
constant reach: Length = 1 m
`).file;

test('all there is of one sort, by its word or its plural', () => {
  expect(`${explainSort('kinds', scope, page())}`).toMatch(/^ {2}hall {21} A hall\n {4}big_hall {15} A big one$/m);
  expect(`${explainSort('parts', scope, page())}`).toMatch(/^ {2}big_hall: great$/m);
  expect(`${explainSort('constant', scope, page())}`).toMatch(/^ {2}reach$/m);
  expect(`${explainSort('rule', scope, page())}`).toContain('hall_wide');
  expect(`${explainSort('units', scope, page())}`).toMatch(/\bmm\b|\bm\b/);
  expect(`${explainSort('dimensions', scope, page())}`).toContain('Length');
  expect(explainSort('hall', scope, page())).toBeUndefined();
});

test('what goes with a kind', () => {
  const of = (name: string) => `${explainRelated(scope.kindNamed(name) as never, scope, page())}`;
  expect(of('hall')).toBe(
    'May stand in it as well\n  chair\n\nKinds that start from it\n  big_hall\n\nParts\n  great\n\nRules on it\n  hall_wide\n',
  );
  expect(of('big_hall')).toBe('May stand in it as well\n  chair\n\nParts\n  great\n\nRules on it\n  hall_wide\n');
  expect(of('chair')).toBe('\n');
});
