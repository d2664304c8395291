import { existsSync } from 'node:fs';
import { join } from 'node:path';
import vm from 'node:vm';
import { build } from 'esbuild';
import { describe, expect, test } from 'vitest';
import { circles, floors, importsThatRunUp, roof, wrongImports } from './directions.ts';
import { codeBlocks, problemsIn } from './documents.ts';
import { unusedExports } from './exports.ts';
import { grammarWords, libraryNames, spelledNames } from './names.ts';
import { filesOf, root } from './sources.ts';

const code = filesOf('.', '.ts').filter(({ path }) => /^(language|server|client)\//.test(path));

describe('client looks to server, server to language, never back', () => {
  test('no import goes the wrong way', () => {
    expect(code.length).toBeGreaterThan(20);
    expect(wrongImports(code)).toEqual([]);
  });

  test('an import that goes the wrong way is found', () => {
    const wrong = [
      { path: 'language/names/x.ts', text: "import type { Y } from '../../server/y.ts';" },
      { path: 'language/x.ts', text: "const fs = await import('node:fs');" },
      { path: 'language/x.ts', text: "export * from 'path';" },
      { path: 'server/cli/x.ts', text: "import { z } from '../../client/z.ts';" },
      { path: 'client/x.ts', text: "import { z } from '../tests/z.ts';" },
    ];
    expect(wrongImports(wrong)).toHaveLength(wrong.length);
    expect(wrongImports([{ path: 'server/x.ts', text: "import 'node:fs'; import '../language/y.ts';" }])).toEqual([]);
  });
});

describe('each floor of the language rests on those below it', () => {
  const language = code.filter(({ path }) => path.startsWith('language/'));

  test('no import runs up, and no file leads back to itself, types counted', () => {
    expect(importsThatRunUp(language)).toEqual([]);
    expect(circles(language)).toEqual([]);
  });

  test('every folder of TypeScript is a floor', () => {
    const folders = new Set(language.flatMap(({ path }) => /^language\/([^/]+)\//.exec(path)?.[1] ?? []));
    expect([...folders].sort()).toEqual([...floors, roof].sort());
  });

  test('what runs up or round is found', () => {
    const wrong = [
      { path: 'language/names/a.ts', text: "import type { B } from '../types/b.ts';" },
      { path: 'language/types/b.ts', text: "import { c } from './c.ts';" },
      { path: 'language/types/c.ts', text: "import type { D } from './d.ts';" },
      { path: 'language/types/d.ts', text: "import type { B } from './b.ts';" },
      { path: 'language/types/e.ts', text: "import type { B } from './b.ts';" },
      { path: 'language/f.ts', text: "import { G } from './explore/g.ts';" },
      { path: 'language/explore/g.ts', text: "import type { B } from '../types/b.ts';" },
    ];
    expect(importsThatRunUp(wrong)).toEqual([
      'language/names/a.ts imports language/types/b.ts',
      'language/f.ts imports language/explore/g.ts',
    ]);
    expect(circles(wrong)).toEqual(['language/types/b.ts', 'language/types/c.ts', 'language/types/d.ts']);
  });
});

describe('what a file exports another one needs', () => {
  /** Looked into by tests alone. */
  const forTests = [
    'language/grammar/format.ts isTorn',
    'language/types/check.ts undocumented',
    'server/features/semantic-tokens.ts tokenTypes',
    'server/features/semantic-tokens.ts tokenModifiers',
    'server/project-file.ts readProjectFile',
    'server/project-file.ts projectFilesFor',
  ];

  test('no export is imported by no other file, but for those that tests look into', () => {
    expect(unusedExports(code)).toEqual(forTests);
    const withTests = [...code, ...filesOf('tests', '.ts')];
    expect(unusedExports(code, withTests)).toEqual([]);
    // Every file is read, on a machine that may have other things to do.
  }, 180_000);

  test('one that nobody imports is found', () => {
    const a =
      'export const one = 1, two = 2;\nexport function three() {}\nexport type Four = 4;\nconst five = 5;\nexport { five };';
    const b = "import { one as uno, type Four } from './a.ts';\nexport { five } from './a.ts';";
    const named = (path: string, text: string) => ({ path, text });
    expect(unusedExports([named('x/a.ts', a), named('x/b.ts', b)])).toEqual(['x/a.ts two', 'x/a.ts three']);
    expect(unusedExports([named('x/a.ts', a), named('y/c.ts', "import * as all from '../x/a.ts';")])).toEqual([]);
    expect(unusedExports([named('x/a.ts', a), named('y/c.ts', "await import('../x/a.ts');")])).toEqual([]);
  });
});

describe('the language runs in a browser worker', () => {
  const bundle = (contents: string) =>
    build({
      stdin: { contents, resolveDir: root, loader: 'ts' },
      bundle: true,
      write: false,
      platform: 'browser',
      format: 'iife',
      globalName: 'language',
      logLevel: 'silent',
    });

  test('all of it bundles for a browser and starts where there is no Node', async () => {
    const files = filesOf('language', '.ts');
    const imports = files.map(({ path }, i) => `export * as m${i} from './${path}';`);
    const { outputFiles } = await bundle(imports.join('\n'));
    const context = vm.createContext({ TextEncoder, TextDecoder, URL, queueMicrotask, setTimeout, clearTimeout });
    const modules = vm.runInContext(`${outputFiles[0]?.text}; language`, context);
    expect(Object.keys(modules)).toHaveLength(files.length);
  });

  test("a module of Node's own is refused", async () => {
    await expect(bundle("import { readFileSync } from 'node:fs'; readFileSync('x');")).rejects.toThrow('node:fs');
  });
});

describe('knowledge stays in the library', () => {
  const names = libraryNames(filesOf('language/library', '.gusset'));
  const grammar = filesOf('language/grammar', '.langium')[0]?.text ?? '';
  const words = grammarWords(grammar);

  test('no name of a kind, part, rule, function or table is spelled in TypeScript', () => {
    expect(names.size).toBeGreaterThan(50);
    expect(words.size).toBeGreaterThan(30);
    const ownNames = new Set([...names].filter((name) => !words.has(name)));
    expect(code.flatMap((file) => spelledNames(file, ownNames))).toEqual([]);
  });

  test('a name that is spelled is found', () => {
    const text = [
      "import { x } from './bed';",
      "const a = 'bed', b = `bed.size`, c = 'the bed is fine', d = { bed: 1 };",
      // biome-ignore lint/suspicious/noTemplateCurlyInString: the text of a program
      'const e = `rule too_hot breaks at ${a}`;',
    ].join('\n');
    expect(spelledNames({ path: 'a.ts', text }, new Set(['bed', 'too_hot']))).toEqual([
      'a.ts:2: "bed"',
      'a.ts:2: "bed"',
      'a.ts:3: "too_hot"',
    ]);
  });
});

describe('what the documentation shows is valid', () => {
  const pages = filesOf('.', '.md');
  const blocks = pages.flatMap(codeBlocks);

  test('every code block reads, names and computes without a problem', () => {
    expect(blocks.length).toBeGreaterThan(0);
    expect(blocks.flatMap(problemsIn)).toEqual([]);
  });

  test('a code block that does not read is found at its line', () => {
    const page = (value: string) => ({
      path: 'a.md',
      text: `x\n\`\`\`gusset\nmachine A {\n  ambient = ${value}\n}\n\`\`\`\n`,
    });
    const at = (value: string) => codeBlocks(page(value)).flatMap(problemsIn);
    expect(at('20 degC')).toEqual([]);
    expect(at('= 3 A')).toContainEqual(expect.stringMatching(/^a\.md:4: /));
    expect(at('3 A')).toEqual([expect.stringMatching(/^a\.md:4: /)]);
  });

  test('every path a page names exists', () => {
    const missing = pages.flatMap(({ path, text }) =>
      [...text.matchAll(/`((?:language|server|client|tests|examples)\/[\w./-]+)`/g)]
        .map((match) => match[1] ?? '')
        .filter((named) => !/generated|dist|NAME/.test(named) && !existsSync(join(root, named)))
        .map((named) => `${path} names ${named}`),
    );
    expect(missing).toEqual([]);
  });
});
