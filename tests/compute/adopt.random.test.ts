import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project, readLibrary } from '../../language/project.ts';
import { snapshot } from '../snapshot.ts';

const library = readLibrary(libraryFiles);
const folder = new URL('../../examples/', import.meta.url);
const uriOf = (name: string) => `file:///examples/${name}`;

/** A machine of the examples, with the files that it uses. */
const whole = ['heron.gusset', 'workshop-stock.gusset', 'own-kind.gusset'].map(
  (name) => [uriOf(name), readFileSync(new URL(name, folder), 'utf8')] as const,
);

/** Short files with one of everything: ranges, choices, rules, requirements, acceptances, measurements, a variant. */
const small = [
  [
    uriOf('rig.gusset'),
    `use "./stock.gusset"
use "./kinds.gusset"
machine Rig {
  ambient = 10 degC .. 30 degC
  drum left is big_drum {
    load = 2 kg .. 3 kg
    accept drum_bends at 2.5 mm because "seldom full"
  }
  drum right * 2 {
    width = ?
    load = 1 kg
    measured sag = 1.2 mm on 2026-03-02
    tag * 2 { price = 2 EUR }
  }
  require left.sag <= 4 mm
  require cost <= 20 EUR
}
machine Rig_two is Rig {
  no right
  drum left {
    load = 4 kg
  }
}
`,
  ],
  [
    uriOf('stock.gusset'),
    `use "./kinds.gusset"
part big_drum is drum {
  width = 200 mm
  price = 12 EUR
  tag is tag_small
}
part tag_small is tag {
  price = 1 EUR
}
rate 1 EUR = 1.1 USD on 2026-03-02
`,
  ],
  [
    uriOf('kinds.gusset'),
    `sizes widths: Length = [50 mm, 100 mm, 200 mm] {
  source practice "drums"
}
/// A drum.
kind drum is component {
  inside machine
  width: Length {
    sizes widths
  }
  load: Mass
  limit: Temperature default 25 degC
  sag: Length = load * 9.81 m/s^2 / soft {
    source defined "a test"
  }
  soft: Stiffness default 1 N/mm
  rim(at: Count): Length = width * at {
    source defined "a test"
  }
  has tag*
  tags: Count = count(t for t in every tag of self) {
    source defined "a test"
  }
  headline sag, tags
}
/// A tag.
kind tag is component {
}
rule drum_bends on drum {
  when load > 0 kg
  holds load <= width / 100 mm * 1 kg
  warning "{name} holds {load} on {width}"
  source practice "a test"
  at width
  remedy width
}
rule drum_warm on drum {
  holds ambient <= limit
  error "{name}: {ambient} of {limit}"
  source defined "a test"
  follows drum_bends of self
}
`,
  ],
].map(([uri, text]) => [uri as string, text as string] as const);

/** An edit of one of several files, by fractions so that it fits any text. */
const edit = fc.record({
  file: fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
  at: fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
  what: fc.oneof(
    fc.record({ do: fc.constant('delete line' as const) }),
    fc.record({ do: fc.constant('double line' as const) }),
    fc.record({ do: fc.constant('change number' as const), by: fc.constantFrom('0.5', '3', '24', '100', '?') }),
    fc.record({
      do: fc.constant('rename' as const),
      by: fc.constantFrom('bed', 'wire', 'plate_230', 'x', 'ambient', 'drum', 'load'),
    }),
    fc.record({
      do: fc.constant('insert' as const),
      by: fc.constantFrom('}', '{', '\n', ' = ', 'remove sheet\n', 'area = ?\n', '"', '// '),
    }),
    fc.record({
      do: fc.constant('insert line' as const),
      by: fc.constantFrom(
        'fan another',
        'sheet is glass_pane',
        'wire wire { area = 1 mm^2 }',
        'ambient = 10 degC .. 40 degC',
        'load = 1 kg .. 9 kg',
        'drum another is big_drum { load = 9 kg }',
        'width = ?',
      ),
    }),
    fc.record({ do: fc.constant('undo' as const) }),
  ),
});
type Edit = typeof edit extends fc.Arbitrary<infer T> ? T : never;

function applied(text: string, { at, what }: Edit, original: string): string {
  const lines = text.split('\n');
  const line = Math.floor(at * lines.length);
  switch (what.do) {
    case 'delete line':
      return lines.toSpliced(line, 1).join('\n');
    case 'double line':
      return lines.toSpliced(line, 0, lines[line] as string).join('\n');
    case 'insert line':
      return lines.toSpliced(line, 0, what.by).join('\n');
    case 'change number':
      return replaceNth(text, /\b\d+(\.\d+)?\b/g, at, what.by);
    case 'rename':
      return replaceNth(text, /\b[a-z]\w+\b/g, at, what.by);
    case 'insert': {
      const offset = Math.floor(at * text.length);
      return text.slice(0, offset) + what.by + text.slice(offset);
    }
    default:
      return original;
  }
}

function replaceNth(text: string, pattern: RegExp, at: number, by: string): string {
  const found = [...text.matchAll(pattern)];
  const match = found[Math.floor(at * found.length)];
  return match ? text.slice(0, match.index) + by + text.slice(match.index + match[0].length) : text;
}

/** What a project says of all files, one after another. */
function everything(project: Project, now: ReadonlyMap<string, string>): string[] {
  return [...now].flatMap(([uri, text]) => snapshot(project, project.update(uri, text)));
}

/** A file's text, and those of the files that it names, however far: nothing else can change what is said of it. */
function rootsOf(uri: string, now: ReadonlyMap<string, string>): string {
  const seen = new Set([uri]);
  for (const each of seen)
    for (const other of now.keys()) if (now.get(each)?.includes(other.split('/').at(-1) as string)) seen.add(other);
  return [...seen].map((each) => `${each}\n${now.get(each)}`).join('\n');
}

/** What a new project says of all files, one after another; of what it would read as it read it before, as it said then. */
function saidAnew(now: ReadonlyMap<string, string>, before: Map<string, string[]>): string[] {
  const fresh = new Project(library, { read: (uri) => now.get(uri) });
  return [...now].flatMap(([uri, text]) => {
    const roots = rootsOf(uri, now);
    const said = before.get(roots) ?? snapshot(fresh, fresh.update(uri, text));
    before.set(roots, said);
    return said;
  });
}

test.each([
  ['short files with one of everything', small, Number(process.env.FUZZ_RUNS ?? 200)],
  // Fewer: conversations between an editor and the server compare the same files (tests/server/conversation.test.ts).
  ['a machine of the examples', whole, Number(process.env.FUZZ_RUNS ?? 12)],
])(
  'after any edits a project says what a new one says of the same texts: %s',
  { timeout: 600_000 },
  (_of, files, numRuns) => {
    const original = new Map(files);
    const uris = [...original.keys()];
    const before = new Map<string, string[]>();
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
        const now = new Map(original);
        const project = new Project(library, { read: (uri) => now.get(uri) });
        everything(project, now);
        for (const change of edits) {
          const uri = uris[Math.floor(change.file * uris.length)] as string;
          now.set(uri, applied(now.get(uri) as string, change, original.get(uri) as string));
          project.update(uri, now.get(uri) as string);
          expect(everything(project, now)).toEqual(saidAnew(now, before));
        }
      }),
      { numRuns },
    );
  },
);
