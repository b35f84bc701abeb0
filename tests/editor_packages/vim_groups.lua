-- Prints, for every place asked for ("line byte-column" a row, from 1), the name of the syntax group there.
local file, asked, answer = arg_file, arg_asked, arg_answer
vim.cmd("edit " .. vim.fn.fnameescape(file))
local out = {}
for row in io.lines(asked) do
  local line, column = row:match("(%d+) (%d+)")
  local id = vim.fn.synID(tonumber(line), tonumber(column), 1)
  table.insert(out, vim.fn.synIDattr(id, "name"))
end
local to = io.open(answer, "w")
to:write(table.concat(out, "\n"), "\n")
to:close()
