-- Opens a file in Neovim with the language server and writes down what its own client got, as JSON.
-- Given in the environment: SERVER (JSON list, the command), FILE, OUT.
local server = vim.fn.json_decode(vim.env.SERVER)
local found = {}

local function run()
  vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.FILE))
  local buffer = vim.api.nvim_get_current_buf()
  local root = vim.fn.fnamemodify(vim.env.FILE, ':h')
  local client = vim.lsp.start_client({ cmd = server, name = 'countwheel', root_dir = root,
    capabilities = vim.lsp.protocol.make_client_capabilities() })
  vim.lsp.buf_attach_client(buffer, client)
  assert(vim.wait(30000, function() return #vim.diagnostic.get(buffer) > 0 end, 20), 'no diagnostics')
  found.diagnostics = vim.diagnostic.get(buffer)

  local function ask(method, params)
    local answers = assert(vim.lsp.buf_request_sync(buffer, method, params, 30000), method)
    for _, answer in pairs(answers) do
      assert(not answer.err, vim.inspect(answer.err))
      return answer.result
    end
  end
  local function at(words, on)
    for row, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
      local start = string.find(line, words, 1, true)
      if start then
        vim.api.nvim_win_set_cursor(0, { row, start - 1 + on })
        return vim.lsp.util.make_position_params(0, 'utf-16')
      end
    end
    error('not there: ' .. words)
  end

  found.hover = ask('textDocument/hover', at('arbor centre', 7))
  found.completion = ask('textDocument/completion', at('es ', 2))
  local params = at('arbor centre', 7)
  params.newName = 'middle'
  vim.lsp.util.apply_workspace_edit(ask('textDocument/rename', params), 'utf-16')
  found.renamed = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
  vim.cmd('undo')
  for row, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    if line == 'es ' then vim.api.nvim_buf_set_lines(buffer, row - 1, row, false, {}) break end
  end
  vim.lsp.util.apply_text_edits(
    ask('textDocument/formatting', vim.lsp.util.make_formatting_params({ tabSize = 2, insertSpaces = true })),
    buffer, 'utf-16')
  found.formatted = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
end

local ok, fault = pcall(run)
if not ok then found.fault = tostring(fault) end
vim.fn.writefile({ vim.fn.json_encode(found) }, vim.env.OUT)
vim.cmd('qall!')
