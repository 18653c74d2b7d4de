-- Parses texts with a Tree-sitter grammar and asks its query for colours; writes what came back as JSON.
-- Arguments by environment: FESTOON_PARSER (a shared object), FESTOON_QUERY, FESTOON_TEXTS (a list), FESTOON_RESULT.
local function read(path)
  local file = assert(io.open(path, 'rb'))
  local text = file:read('*a')
  file:close()
  return text
end

-- The names of these three differ from release to release.
local treesitter = vim.treesitter
if treesitter.language and treesitter.language.add then
  treesitter.language.add('festoon', { path = vim.env.FESTOON_PARSER })
else
  treesitter.require_language('festoon', vim.env.FESTOON_PARSER)
end
local parse_query = treesitter.query and treesitter.query.parse or treesitter.parse_query
local query = parse_query('festoon', read(vim.env.FESTOON_QUERY))

-- Rows of the first and last character of what does not fit the grammar.
local function errors(node, found)
  if node:type() == 'ERROR' or node:missing() then
    local first, _, last = node:range()
    table.insert(found, { first, last })
  elseif node:has_error() then
    for child in node:iter_children() do errors(child, found) end
  end
  return found
end

local results = {}
for _, text in ipairs(vim.json.decode(read(vim.env.FESTOON_TEXTS))) do
  local root = treesitter.get_string_parser(text, 'festoon'):parse()[1]:root()
  local captures = {}
  for id, node in query:iter_captures(root, text, 0, -1) do
    local _, _, first = node:start()
    local _, _, last = node:end_()
    local name = query.captures[id]
    -- The others only help a pattern.
    if not vim.startswith(name, '_') then table.insert(captures, { name, first, last }) end
  end
  table.insert(results, { errors = errors(root, {}), captures = captures })
end
vim.fn.writefile({ vim.json.encode(results) }, vim.env.FESTOON_RESULT)
vim.cmd('qall!')
