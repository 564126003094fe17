autocmd BufRead,BufNewFile *.air setfiletype baronet
