" Sprue in Vim and Neovim: put this file into the `plugin` folder. Written from the words of the language.
if exists('g:loaded_sprue') | finish | endif
let g:loaded_sprue = 1

function! s:syntax() abort
  if exists('b:current_syntax') | return | endif
  syntax case match
  syntax match sprueNumber "\<\d[0-9_]*\%(\.\d[0-9_]*\)\=\%([eE][-+]\=\d\+\)\=%\="
  syntax match sprueDate "\<\d\{4}-\d\d-\d\d\>"
  syntax region sprueString start=+"+ skip=+\\.+ end=+"+ oneline
  syntax match sprueComment "#.*$" contains=@Spell
  syntax match sprueDoc "##.*$" contains=@Spell
  syntax keyword sprueStatement use dimension unit countable currency exchange function abstract kind ledger listing chart audience show scenario correlate expect report post require caution final headline basis
  syntax keyword sprueInner in to places rows like with over when dated out private add remove zero within as from on until x for all whose where the if then else and or not otherwise is of
  syntax keyword sprueType date flag text whole choice point series table curve one optional many list set
  syntax keyword sprueAggregate sum greatest least count any every first last
  syntax keyword sprueFunction min max abs ceil floor round sqrt exp ln log10 months_after given
  syntax keyword sprueValue yes no unknown this owner next previous
  syntax keyword sprueFact triangular pert uniform normal quote invoice measured handbook estimate assumed
  highlight default link sprueNumber Number
  highlight default link sprueDate Number
  highlight default link sprueString String
  highlight default link sprueComment Comment
  highlight default link sprueDoc SpecialComment
  highlight default link sprueStatement Statement
  highlight default link sprueInner Keyword
  highlight default link sprueType Type
  highlight default link sprueAggregate Function
  highlight default link sprueFunction Function
  highlight default link sprueValue Constant
  highlight default link sprueFact Special
  let b:current_syntax = 'sprue'
endfunction

augroup sprue
  autocmd!
  autocmd BufRead,BufNewFile *.sprue setfiletype sprue
  autocmd FileType sprue setlocal commentstring=#\ %s comments=:##,:# shiftwidth=2 expandtab
  autocmd Syntax sprue call s:syntax()
augroup END
