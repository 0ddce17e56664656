autocmd BufRead,BufNewFile *.sprue setfiletype sprue
