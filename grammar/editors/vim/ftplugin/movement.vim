" Settings for descriptions of tower clocks: two spaces, comments with #, folds by indentation.
if exists("b:did_ftplugin")
  finish
endif
let b:did_ftplugin = 1

setlocal expandtab shiftwidth=2 softtabstop=2 autoindent
setlocal comments=:# commentstring=#\ %s formatoptions-=t
setlocal foldmethod=indent foldlevel=99
setlocal suffixesadd=.movement
setlocal include=^\s*include\s\+

let b:undo_ftplugin = "setlocal expandtab< shiftwidth< softtabstop< autoindent< comments< commentstring<"
      \ . " formatoptions< foldmethod< foldlevel< suffixesadd< include<"
