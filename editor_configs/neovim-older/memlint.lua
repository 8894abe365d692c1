-- memlint for Neovim 0.7 to 0.10: no plugin is needed. These versions show findings, hovers and code
-- actions; 0.10 shows costs at the end of the line too.
local group = vim.api.nvim_create_augroup("memlint", {})
local clients = {} -- by root folder

local function root_of(file)
  local folder = vim.fn.fnamemodify(file, ":p:h")
  local found = vim.fn.findfile("memlint.toml", vim.fn.escape(folder, " ,;") .. ";")
  return found == "" and folder or vim.fn.fnamemodify(found, ":p:h")
end

vim.api.nvim_create_autocmd("FileType", {
  group = group,
  pattern = { "verilog", "systemverilog", "vhdl" },
  callback = function(event)
    if vim.bo[event.buf].buftype ~= "" then
      return
    end
    local root = root_of(vim.api.nvim_buf_get_name(event.buf))
    clients[root] = clients[root]
      or vim.lsp.start_client({
        name = "memlint",
        cmd = { "memlint", "serve" },
        root_dir = root,
        on_exit = function()
          clients[root] = nil
        end,
        on_attach = function(_, buffer)
          vim.keymap.set("n", "K", vim.lsp.buf.hover, { buffer = buffer, desc = "memlint: hover" })
          vim.keymap.set("n", "gra", vim.lsp.buf.code_action, { buffer = buffer, desc = "memlint: actions" })
          if vim.lsp.inlay_hint then
            vim.lsp.inlay_hint.enable(true, { bufnr = buffer })
          end
        end,
      })
    if clients[root] then
      vim.lsp.buf_attach_client(event.buf, clients[root])
    end
  end,
})
