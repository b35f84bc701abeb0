-- Starts the compiler's language server for descriptions in Neovim. In init.lua:
--
--   require("movement").setup()                                        -- the command is on the path
--   require("movement").setup({ command = "/path/to/clock/.venv/bin/countwheel" })
local M = {}
local told = false
local clients = {} -- by folder, where Neovim does not look after that itself

local function start(command, buffer)
  if vim.fn.executable(command) == 0 then
    if not told then
      told = true
      vim.notify("The command " .. command .. " was not found, so nothing is checked while you write.", vim.log.levels.WARN)
    end
    return
  end
  local file = vim.api.nvim_buf_get_name(buffer)
  if file == "" then
    return
  end
  local folder = vim.fn.fnamemodify(file, ":p:h")
  local config = { name = "countwheel", cmd = { command, "language-server" }, root_dir = folder }
  if vim.lsp.start then -- Neovim 0.8 and later
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  if not clients[folder] or not vim.lsp.get_client_by_id(clients[folder]) then
    clients[folder] = vim.lsp.start_client(config)
  end
  if clients[folder] then
    vim.lsp.buf_attach_client(buffer, clients[folder])
  end
end

--- Starts the language server for every description that is opened from now on.
--- `options.command`: the command, or where it lies; `countwheel` where nothing is said.
function M.setup(options)
  local command = vim.fn.expand((options or {}).command or "countwheel")
  vim.api.nvim_create_autocmd("FileType", {
    group = vim.api.nvim_create_augroup("movement_language_server", { clear = true }),
    pattern = "movement",
    callback = function(event)
      start(command, event.buf)
    end,
  })
end

return M
