-- A session of a real client: opens a scenario with the server, asks, and writes what it got, one line an answer.
local out = {}
local function say(name, value) table.insert(out, name .. ': ' .. tostring(value)) end
local function finish()
  vim.fn.writefile(out, vim.env.SPRUE_OUT)
  vim.cmd('qall!')
end

local ok, problem = pcall(function()
  vim.cmd('edit ' .. vim.env.SPRUE_FILE)
  local id = vim.lsp.start_client({ name = 'sprue', cmd = { vim.env.SPRUE, 'serve' }, root_dir = vim.fn.getcwd() })
  vim.lsp.buf_attach_client(0, id)
  local client = vim.lsp.get_client_by_id(id)
  local function wait(what) return vim.wait(10000, what, 20) end
  say('started', wait(function() return client.initialized end))
  local function diagnostics() return vim.diagnostic.get(0) end
  say('diagnostic', wait(function() return #diagnostics() == 1 end) and diagnostics()[1].message:match('^[^\n]*'))
  say('code', diagnostics()[1].code)

  local function ask(method, line, character, more)
    local params = {
      textDocument = { uri = vim.uri_from_bufnr(0) },
      position = { line = line, character = character },
    }
    for key, value in pairs(more or {}) do params[key] = value end
    local answer = vim.lsp.buf_request_sync(0, 'textDocument/' .. method, params, 10000)
    return answer and answer[id] and answer[id].result
  end
  local whole = { start = { line = 0, character = 0 }, ['end'] = { line = 99, character = 0 } }

  say('hover', ask('hover', 1, 8).contents.value:match('a.size = [^`]*'))
  say('definition', ask('definition', 1, 8).range.start.line)
  local labels = {}
  for _, item in ipairs(ask('completion', 2, 8).items) do table.insert(labels, item.label) end
  table.sort(labels)
  say('completion', table.concat(labels, ' '))
  say('actions', #ask('codeAction', 0, 0, { range = whole, context = { diagnostics = {} } }))

  -- Mended by typing; the buffer changes step by step.
  vim.api.nvim_buf_set_lines(0, 3, 4, false, { 'expect a.double = 4 "twice"' })
  say('mended', wait(function() return #diagnostics() == 0 end))
  local hints = {}
  for _, hint in ipairs(ask('inlayHint', 0, 0, { range = whole })) do table.insert(hints, hint.label) end
  say('hints', table.concat(hints, ' '))
  vim.lsp.util.apply_workspace_edit(ask('rename', 1, 4, { newName = 'chest' }), client.offset_encoding)
  say('renamed', vim.fn.getline(4))
  vim.api.nvim_buf_set_lines(0, 2, 3, false, { 'box b {size:3}' })
  vim.lsp.util.apply_text_edits(ask('formatting', 0, 0, { options = { tabSize = 2, insertSpaces = true } }), 0,
    client.offset_encoding)
  say('formatted', vim.fn.getline(3))
  client.stop()
  say('stopped', wait(function() return client.is_stopped() end))
end)
if not ok then say('problem', problem) end
finish()
