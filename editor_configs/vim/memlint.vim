" memlint for Vim 8.2 and newer, through the plugin YouCompleteMe.
let g:ycm_language_server = get(g:, 'ycm_language_server', []) + [{
      \ 'name': 'memlint',
      \ 'cmdline': ['memlint', 'serve'],
      \ 'filetypes': ['verilog', 'systemverilog', 'vhdl'],
      \ 'project_root_files': ['memlint.toml'],
      \ }]

" What each memory costs, at the end of its line (Vim 9.0.214 and newer).
let g:ycm_enable_inlay_hints = 1
