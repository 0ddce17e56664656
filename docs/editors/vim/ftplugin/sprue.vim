" How Sprue is written.
if exists('b:did_ftplugin') | finish | endif
let b:did_ftplugin = 1
setlocal commentstring=#\ %s comments=:##,:# shiftwidth=2 expandtab
let b:undo_ftplugin = 'setlocal commentstring< comments< shiftwidth< expandtab<'
