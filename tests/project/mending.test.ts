import { expect, test } from 'vitest';
import { copyOfProject, mend } from '../../language/mending.ts';
import { read } from '../support.ts';

const kinds = `sizes planks: Length = [10 mm, 20 mm]
kind hall {
  toplevel
  width: Length
  depth: Length default 1 m
  least: Length default 2 m
  swept: YesNo default yes
  plank: Length? {
    sizes planks
  }
}
rule hall_narrow on hall {
  holds width >= least
  error "narrow"
  source defined "a test"
  remedy width = least
}
rule hall_flat on hall {
  holds depth >= width / 4
  warning "flat"
  source defined "a test"
  remedy depth = width / 4
}
rule hall_dusty on hall {
  holds swept
  warning "dusty"
  source defined "a test"
  remedy swept = yes once "it was swept"
}
rule hall_low on hall {
  holds least > 0 m
  warning "low"
  source defined "a test"
}
`;
function mended(machines: string, more: Record<string, string> = {}) {
  const { project, file } = read({ 'a.gusset': kinds + machines, ...more });
  for (const name of Object.keys(more)) project.file(`file:///${name}`);
  const steps = [...mend(file.uri, project)];
  const text = project.file(file.uri)?.parsed.text.slice(kinds.length);
  return { text, made: steps.flatMap((step) => (step ? [`${step.path}: ${step.rule}`] : [])) };
}

test('changes are made one after the other, each on the text that those before it made', () => {
  const { text, made } = mended('hall H {\n  width = 1 m\n  least = 4 m\n}\nhall I {\n  width = 8 m\n}\n');
  expect(made).toEqual(['H: hall_narrow', 'I: hall_flat']);
  expect(text).toBe('hall H {\n  width = 4 m\n  least = 4 m\n}\nhall I {\n  width = 8 m\n  depth = 2 m\n}\n');
  expect(mended(text as string).made).toEqual([]);
});

test('what brings about another finding is no change that mends, unless together with what mends that', () => {
  const both = mended('hall H {\n  width = 1 m\n  least = 8 m\n}\n');
  expect(both.made).toEqual(['H: hall_narrow']);
  expect(both.text).toBe('hall H {\n  width = 8 m\n  least = 8 m\n  depth = 2 m\n}\n');
});

test('what somebody has to do first, what was accepted and what has no change for it are left', () => {
  for (const left of [
    'hall H {\n  width = 3 m\n  swept = no\n}\n',
    'hall H {\n  width = 1 m\n  accept hall_narrow at 1 m because "so"\n}\n',
    'hall H {\n  width = 3 m\n  least = 0 m\n}\n',
  ])
    expect(mended(left)).toEqual({ text: left, made: [] });
});

test('what can be mended is, though what stands before it cannot', () => {
  const { text, made } = mended(
    'hall H {\n  width = 8 m\n  depth = 4 m\n  swept = no\n}\nhall I {\n  width = 8 m\n  swept = no\n}\n',
  );
  expect(made).toEqual(['I: hall_flat']);
  expect(text).toContain('depth = 2 m');
});

test('rules come before requirements, in whichever machine these stand', () => {
  const { made } = mended(
    'hall H {\n  width = 4 m\n  plank = 10 mm\n  require plank >= 15 mm\n}\nhall I {\n  width = 1 m\n}\n',
  );
  expect(made).toEqual(['I: hall_narrow', 'H: requirement']);
});

test('what would break a machine that starts from it in another file is left', () => {
  const hall = 'hall H {\n  width = 1 m\n}\n';
  const variant = (least: string) => ({ 'b.gusset': `use "./a.gusset"\nhall V is H {\n  ${least}\n}\n` });
  expect(mended(hall, variant('least = 2 m')).made).toEqual(['H: hall_narrow']);
  expect(mended(hall, variant('least = 1 m\n  depth = 0.3 m')).made).toEqual([]);
});

test('a copy of a project is changed by itself, with what uses the file', () => {
  const { project, file } = read({
    'a.gusset': `${kinds}hall H {\n  width = 1 m\n}\n`,
    'b.gusset': 'use "./a.gusset"\n',
    'c.gusset': '',
  });
  for (const name of ['b', 'c']) project.file(`file:///${name}.gusset`);
  const copy = copyOfProject(project, file.uri);
  expect([...copy.files.keys()].toSorted()).toEqual(['file:///a.gusset', 'file:///b.gusset']);
  for (const _ of mend(file.uri, copy));
  expect(copy.file(file.uri)?.parsed.text).toContain('width = 2 m');
  expect(project.file(file.uri)?.parsed.text).toContain('width = 1 m');
});

test('a copy has the texts as they were edited, and reads from where the first reads what that has not read', () => {
  const { project, file } = read({
    'a.gusset': `use "./d.gusset"\n${kinds}hall H {\n  width = 1 m\n}\n`,
    'b.gusset': 'use "./a.gusset"\n',
    'd.gusset': 'constant far: Length = 1 m\n',
    'e.gusset': 'constant near: Length = 1 m\n',
  });
  project.file('file:///b.gusset');
  project.update('file:///d.gusset', 'constant far: Length = 2 m\n');
  const copy = copyOfProject(project, file.uri);
  expect(copy.file('file:///d.gusset')?.parsed.text).toContain('2 m');
  expect(copy.file('file:///e.gusset')?.parsed.text).toContain('near');
  expect(copy.mistakes(copy.file(file.uri) as never)).toEqual([]);
});
