autocmd BufNewFile,BufRead *.movement setfiletype movement
