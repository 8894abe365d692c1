" What a user sees, in Vim with YouCompleteMe: loaded in place of a .vimrc. $CONFIG is the configuration,
" $FILE the file to open.
set nocompatible nomore hidden noswapfile encoding=utf-8 viminfo=
filetype plugin on
let g:ycm_always_populate_location_list = 1
" The system's, which the plugin's own server belongs to.
let g:ycm_server_python_interpreter = '/usr/bin/python3'
source $CONFIG
packadd youcompleteme

let s:seen = {}

function! s:until(what, holds) abort
  let l:start = reltime()
  while !eval(a:holds)
    if reltimefloat(reltime(l:start)) > 60
      throw 'waited in vain for ' . a:what
    endif
    sleep 50m
  endwhile
endfunction

function! S_findings() abort
  return map(getloclist(0), {_, one -> [one.lnum, one.text]})
endfunction

" What stands on the screen behind declarations.
function! S_hints() abort
  redraw
  let l:rows = map(range(1, &lines), {_, row -> join(map(range(1, &columns), {_, at -> screenstring(row, at)}), '')})
  return filter(map(l:rows, {_, text -> trim(matchstr(text, '; \zs.* full.*'))}), {_, text -> !empty(text)})
endfunction

function! s:work() abort
  edit $FILE
  call s:until('findings', '!empty(S_findings())')
  let s:seen.findings = S_findings()
  if has('patch-9.0.214')
    call s:until('a hint', '!empty(S_hints())')
    let s:seen.hints = S_hints()
  endif
  call search('\<counts \[')
  let s:seen.hover = youcompleteme#GetCommandResponse('GetHover')
endfunction

function! s:go() abort
  try
    call s:work()
  catch
    let s:seen.error = v:exception . ' at ' . v:throwpoint
  endtry
  call writefile([json_encode(s:seen)], $SEEN)
  qall!
endfunction

autocmd VimEnter * ++nested call s:go()
