// Another editor: neovim's own language client, over `gusset serve --stdio`, draws what `gusset check` says.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';

const program = join(import.meta.dirname, '../../dist/gusset.js');

// A misspelt key, and a number without its unit.
const flawed = `machine Wren {
  ambient = 20 degC
  bed {
    target = 60 degC
    heater {
      power = 250 W
      voltage = 24
      areaa = 0.05 m^2
    }
  }
}
`;
const line = (text: string) => flawed.split('\n').findIndex((each) => each.includes(text)) + 1;

let folder: string;
let file: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-neovim-'));
  file = join(folder, 'wren.gusset');
  writeFileSync(file, flawed);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Shown {
  diagnostics: { line: number; column: number; severity: number; message: string }[];
  hover: string;
}

/** What the README tells to write into neovim's own settings, of the one that versions before 0.11 take. */
function recipe(): string {
  const readme = readFileSync(join(import.meta.dirname, '../../README.md'), 'utf8');
  const found = [...readme.matchAll(/```lua\n([\s\S]*?)```/g)].map(([, lua = '']) => lua);
  const [lua = ''] = found.filter((each) => each.includes('start_client'));
  expect(lua).toContain("'node', '/path/to/gusset/dist/gusset.js'");
  return lua.replace("'node', '/path/to/gusset/dist/gusset.js'", () =>
    JSON.stringify([process.execPath, program]).slice(1, -1),
  );
}

/** Opens the file twice, as the recipe has it: how many servers run, and what is found in the file. */
const asked = `
vim.cmd('edit other.gusset')
vim.cmd('edit wren.gusset')
vim.wait(30000, function() return #vim.diagnostic.get(0) > 0 end, 20)
local lines = vim.tbl_map(function(found) return found.lnum + 1 end, vim.diagnostic.get(0))
io.stdout:write(vim.fn.json_encode({ kind = vim.bo.filetype, servers = #vim.lsp.get_active_clients(), lines = lines }))
vim.lsp.stop_client(vim.lsp.get_active_clients())
vim.wait(5000, function() return #vim.lsp.get_active_clients() == 0 end, 20)
vim.cmd('qall!')
`;

function openInNeovim(): Shown {
  const script = join(import.meta.dirname, 'neovim.lua');
  const { status, stdout, stderr, error } = spawnSync('nvim', ['--headless', '--clean', '-c', `luafile ${script}`], {
    cwd: folder,
    encoding: 'utf8',
    timeout: 60_000,
    env: {
      ...process.env,
      HOME: folder,
      GUSSET_FILE: file,
      GUSSET_NODE: process.execPath,
      GUSSET_PROGRAM: program,
      GUSSET_LINE: String(line('heater {')),
      GUSSET_COLUMN: '6',
    },
  });
  if (status !== 0) throw new Error(`neovim ended with ${status}: ${error?.message ?? ''}${stderr}`);
  return JSON.parse(stdout);
}

test("neovim's client shows the diagnostics and a hover", { timeout: 90_000 }, () => {
  const { diagnostics, hover } = openInNeovim();
  const at = (text: string) => diagnostics.filter((each) => each.line === line(text)).map((each) => each.message);
  expect(at('voltage = 24')).toEqual([expect.stringMatching(/unit/)]);
  expect(at('areaa')).toEqual([expect.stringMatching(/area/)]);
  expect(hover).toMatch(/heater/);

  const checked = spawnSync(process.execPath, [program, 'check', file, '--format', 'json'], { encoding: 'utf8' });
  expect(checked.status).toBe(1);
  const findings: { line: number; column: number; message: string }[] = JSON.parse(checked.stdout).findings;
  for (const { line, column, message } of findings)
    expect(diagnostics).toContainEqual(
      expect.objectContaining({ line, column, message: expect.stringContaining(message) }),
    );
});

test('what the README tells to write there starts one server for all files', { timeout: 90_000 }, () => {
  writeFileSync(join(folder, 'init.lua'), recipe());
  writeFileSync(join(folder, 'ask.lua'), asked);
  writeFileSync(join(folder, 'other.gusset'), 'part mine is blade_15a\n');
  const { stdout, stderr } = spawnSync('nvim', ['--headless', '-u', 'init.lua', '-c', 'luafile ask.lua'], {
    cwd: folder,
    encoding: 'utf8',
    timeout: 60_000,
    env: { ...process.env, HOME: folder },
  });
  expect(stderr).toBe('');
  const { kind, servers, lines } = JSON.parse(stdout);
  expect({ kind, servers }).toEqual({ kind: 'gusset', servers: 1 });
  expect(lines).toContain(line('voltage = 24'));
});
