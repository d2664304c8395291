// Texts as they are while someone types: each is checked to its end, and what is not yet there is said.
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary } from '../../language/project.ts';

const library = readLibrary(libraryFiles);

test.each(['mm*', 'mm/', 'mm^', 'mm^-', '-', '(mm', 'W/(m*', 'mm, '])('a unit in a clause: shown %s', (unit) => {
  const project = new Project(library, { read: () => undefined });
  const text = `kind gauge {\n  toplevel\n  width: Length {\n    shown ${unit}\n  }\n}\n\ngauge A {\n  width = 3 mm\n}\n`;
  const file = project.update('file:///a.gusset', text);
  const mistakes = project.mistakes(file).map(({ code, start }) => [code, file.lines.position(start).line]);
  expect(mistakes).toEqual([[expect.stringMatching(/^(missing|unclosed)/), 3]]);
  expect(project.machines(file).map(({ tree }) => tree.name)).toEqual(['A']);
});
