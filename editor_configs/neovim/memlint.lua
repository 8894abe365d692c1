-- memlint for Neovim 0.11 and newer.
vim.lsp.config("memlint", {
  cmd = { "memlint", "serve" },
  filetypes = { "verilog", "systemverilog", "vhdl" },
  root_markers = { "memlint.toml", ".git" },
})
vim.lsp.enable("memlint")

-- What each memory costs, at the end of its line.
vim.api.nvim_create_autocmd("LspAttach", {
  group = vim.api.nvim_create_augroup("memlint", {}),
  callback = function(event)
    local client = vim.lsp.get_client_by_id(event.data.client_id)
    if client and client.name == "memlint" then
      vim.lsp.inlay_hint.enable(true, { bufnr = event.buf })
    end
  end,
})
