-- What a user does, in Neovim 0.7 and newer: run with `luafile` after the file was opened.
local seen = { servers = 0, hover = "", text = "" }
local LIMIT = 60000

local function until_(what, holds)
  if not vim.wait(LIMIT, holds, 20) then
    error("waited in vain for " .. what, 0)
  end
end

local function findings()
  return vim.tbl_map(function(one)
    return { one.lnum + 1, one.message }
  end, vim.diagnostic.get(0))
end

local function lines()
  return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, true), "\n") .. "\n"
end

local function hover()
  local function float()
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= "" then
        return window
      end
    end
  end
  vim.lsp.buf.hover()
  until_("a hover", float)
  local window = float()
  local buffer = vim.api.nvim_win_get_buf(window)
  local text = table.concat(vim.api.nvim_buf_get_lines(buffer, 0, -1, true), "\n")
  vim.api.nvim_win_close(window, true)
  return text
end

local function work()
  until_("findings", function()
    return #vim.diagnostic.get(0) > 0
  end)
  seen.findings = findings()
  seen.servers = #(vim.lsp.get_clients or vim.lsp.get_active_clients)()
  vim.fn.search([[\<counts \[]])
  if vim.lsp.inlay_hint then
    until_("a hint", function()
      return #vim.lsp.inlay_hint.get({ bufnr = 0 }) > 0
    end)
    seen.hints = vim.tbl_map(function(one)
      return one.inlay_hint.label
    end, vim.lsp.inlay_hint.get({ bufnr = 0 }))
  end
  seen.hover = hover()

  if vim.fn.exists(":MemlintConfiguration") == 2 then
    vim.notify = function(text)
      seen.judged = text
    end
    vim.cmd("MemlintConfiguration")
    until_("the configuration", function()
      return seen.judged
    end)
  end

  -- The user's choice among the offers.
  vim.ui.select = function(items, options, choose)
    seen.offers = vim.tbl_map(options.format_item, items)
    for _, item in ipairs(items) do
      if options.format_item(item):find("shape 1K x 24", 1, true) then
        return choose(item)
      end
    end
    choose(nil)
  end
  local before = lines()
  vim.lsp.buf.code_action()
  until_("the offers", function()
    return seen.offers
  end)
  until_("the change", function()
    return lines() ~= before
  end)
  seen.text = lines()
  until_("no findings", function()
    return #vim.diagnostic.get(0) == 0
  end)
  seen.after = findings()
end

local done, problem = pcall(work)
if not done then
  seen.error = tostring(problem)
end
vim.fn.writefile({ vim.fn.json_encode(seen) }, vim.env.SEEN)
vim.cmd("qall!")
