-- Opens a plan in Neovim, lets its own client speak to the server, and writes what came back as JSON.
-- Arguments by environment: FESTOON_NODE, FESTOON_SERVER, FESTOON_FOLDER, FESTOON_RESULT.
local folder = vim.env.FESTOON_FOLDER
vim.cmd('edit ' .. vim.fn.fnameescape(folder .. '/plan.festoon'))
local client = vim.lsp.start_client({
  name = 'festoon',
  cmd = { vim.env.FESTOON_NODE, vim.env.FESTOON_SERVER, '--stdio' },
  root_dir = folder,
})
vim.lsp.buf_attach_client(0, client)

local function diagnostics()
  return vim.diagnostic.get(0)
end
vim.wait(30000, function() return #diagnostics() > 0 end, 20)

local found = {}
for _, each in ipairs(diagnostics()) do
  table.insert(found, { line = each.lnum, code = each.code, source = each.source, severity = each.severity })
end
local params = { textDocument = { uri = vim.uri_from_bufnr(0) }, position = { line = 1, character = 7 } }
local hovers = vim.lsp.buf_request_sync(0, 'textDocument/hover', params, 30000) or {}
local hover = hovers[client] and hovers[client].result and hovers[client].result.contents.value or ''

-- A wrong line goes: the findings must go with it.
vim.api.nvim_buf_set_lines(0, 2, 3, false, {})
local cleared = vim.wait(30000, function() return #diagnostics() == 0 end, 20)

-- Commands of the server: a text that is shown in a buffer, and lines that come into one.
local function command(name)
  local argument = { uri = vim.uri_from_bufnr(0) }
  local params = { command = name, arguments = { argument } }
  local answers = vim.lsp.buf_request_sync(0, 'workspace/executeCommand', params, 60000) or {}
  return answers[client] and answers[client].result
end
vim.cmd('edit ' .. vim.fn.fnameescape(folder .. '/wanting.festoon'))
vim.lsp.buf_attach_client(0, client)
local papers = command('festoon.papers')
local planned = command('festoon.plan')
local text = table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), '\n')

local result = { found = found, hover = hover, cleared = cleared, papers = papers, planned = planned, text = text }
vim.fn.writefile({ vim.json.encode(result) }, vim.env.FESTOON_RESULT)
vim.lsp.stop_client(client)
vim.cmd('qall!')
