-- memlint for Neovim 0.11 and newer.
vim.lsp.config("memlint", {
  cmd = { "memlint", "serve" },
  filetypes = { "verilog", "systemverilog", "vhdl" },
  root_markers = { "memlint.toml", ".git" },
})
vim.lsp.enable("memlint")

local group = vim.api.nvim_create_augroup("memlint", {})

-- One of the server's commands about the file in the window; `show` gets its answer.
local function ask(client, command, show)
  local params = { command = command, arguments = { vim.uri_from_bufnr(0) } }
  client:request("workspace/executeCommand", params, function(problem, answer)
    if problem then
      vim.notify("memlint: " .. problem.message, vim.log.levels.ERROR)
    elseif answer then
      show(answer)
    end
  end)
end

vim.api.nvim_create_autocmd("LspAttach", {
  group = group,
  callback = function(event)
    local client = vim.lsp.get_client_by_id(event.data.client_id)
    if not client or client.name ~= "memlint" then
      return
    end
    local buffer = event.buf

    -- What each memory costs, at the end of its line.
    vim.lsp.inlay_hint.enable(true, { bufnr = buffer })

    -- What units and instances take, at the end of theirs; once now, and again when something was changed.
    vim.lsp.codelens.refresh({ bufnr = buffer })
    vim.api.nvim_create_autocmd({ "BufEnter", "InsertLeave", "BufWritePost" }, {
      group = group,
      buffer = buffer,
      callback = function()
        vim.lsp.codelens.refresh({ bufnr = buffer })
      end,
    })

    -- Words of an intent as you write it. Leave this out where a plugin completes.
    vim.bo[buffer].completeopt = "menuone,noselect,popup"
    vim.lsp.completion.enable(true, client.id, buffer, { autotrigger = true })

    vim.api.nvim_buf_create_user_command(buffer, "MemlintConfiguration", function()
      ask(client, "memlint.whichConfiguration", function(answer)
        vim.notify(answer.message)
      end)
    end, { desc = "Which configuration, device and top is this file judged by?" })
    vim.api.nvim_buf_create_user_command(buffer, "MemlintOverview", function()
      ask(client, "memlint.overview", function() end)
    end, { desc = "Show the page about the project of this file" })
  end,
})
