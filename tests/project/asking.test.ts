import { expect, test } from 'vitest';
import { complete } from '../../language/answers/complete.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { read, shown } from '../support.ts';

const text = `kind drum {
  inside hall
  drive: one of slow, fast
  width: Length
  held: Length = if drive == fast then width * 2 else width {
    source defined "a test"
  }
}
kind hall {
  toplevel
  shared slow: Length default 7 mm
  widest: Length = max(d.held for d in every drum) {
    source defined "a test"
  }
}
hall H {
  drum a {
    drive = slow
    width = slow
  }
  drum b {
    drive = fast
    width = a.held + slow
  }
  require widest <= 30 mm
}
`;

const values = (ask: (project: Project, file: SourceFile) => void) => {
  const { project, file } = read(text);
  ask(project, file);
  const [machine] = project.machines(file);
  return ['a.width', 'a.held', 'b.width', 'b.held', 'widest'].map((path) => machine && shown(machine, path));
};

test('what is asked of a text, in whatever order, changes no value in it', () => {
  const plain = values(() => {});
  expect(plain).toEqual(['7 mm', '7 mm', '14 mm', '28 mm', '28 mm']);
  const asked = values((project, file) => {
    for (let at = text.length; at >= 0; at -= 3) complete(file, at);
    project.mistakes(file);
    for (let at = 0; at < text.length; at += 5) complete(file, at);
  });
  expect(asked).toEqual(plain);
});
