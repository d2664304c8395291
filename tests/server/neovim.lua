-- Opens the file named by GUSSET_FILE with neovim's own language client, waits for diagnostics, asks for one hover, and
-- prints both as JSON. Run with: nvim --headless --clean -c 'luafile neovim.lua'
local function fail(text)
  io.stderr:write(text .. '\n')
  vim.cmd('cquit 1')
end

local function main()
  vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.GUSSET_FILE))
  local client = vim.lsp.start_client({
    name = 'gusset',
    cmd = { vim.env.GUSSET_NODE, vim.env.GUSSET_PROGRAM, 'serve', '--stdio' },
    root_dir = vim.fn.fnamemodify(vim.env.GUSSET_FILE, ':h'),
    -- Without it this version sends the file's type, which it does not know.
    get_language_id = function() return 'gusset' end,
  })
  if not client then return fail('the server did not start') end
  vim.lsp.buf_attach_client(0, client)
  if not vim.wait(30000, function() return #vim.diagnostic.get(0) > 0 end, 20) then return fail('no diagnostics came') end
  local diagnostics = {}
  for _, found in ipairs(vim.diagnostic.get(0)) do
    table.insert(diagnostics, {
      line = found.lnum + 1, column = found.col + 1, severity = found.severity, message = found.message,
    })
  end
  local position = { line = tonumber(vim.env.GUSSET_LINE) - 1, character = tonumber(vim.env.GUSSET_COLUMN) - 1 }
  local params = { textDocument = { uri = vim.uri_from_bufnr(0) }, position = position }
  local answers = vim.lsp.buf_request_sync(0, 'textDocument/hover', params, 10000) or {}
  local answer = answers[client] or {}
  if answer.err then return fail('hover: ' .. vim.inspect(answer.err)) end
  local hover = answer.result and answer.result.contents.value or ''
  io.stdout:write(vim.fn.json_encode({ diagnostics = diagnostics, hover = hover }) .. '\n')
  vim.lsp.stop_client(client)
  vim.wait(5000, function() return vim.lsp.client_is_stopped(client) end, 20)
  vim.cmd('qall!')
end

local well, problem = pcall(main)
if not well then fail(problem) end
