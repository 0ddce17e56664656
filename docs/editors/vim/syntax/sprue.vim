" Colors of Sprue for Vim and Neovim. Written from the words of the language.
if exists('b:current_syntax') | finish | endif
syntax case match
syntax match sprueNumber "\<\d[0-9_]*\%(\.\d[0-9_]*\)\=\%([eE][-+]\=\d\+\)\=%\="
syntax match sprueDate "\<\d\{4}-\d\d-\d\d\>"
syntax match sprueStatement +\%(\%(^\|[{,]\|\<\%(abstract\|final\|headline\|basis\)\>\)\s*\)\@<=\<\%(use\|dimension\|unit\|countable\|currency\|exchange\|function\|abstract\|kind\|ledger\|listing\|chart\|audience\|show\|scenario\|correlate\|expect\|report\|post\|require\|caution\|final\|replaceable\|headline\|basis\)\>\%(\s*[:.]\)\@!+
syntax match sprueInner +[./*^]\@1<!\<\%(in\|to\|places\|percent\|rows\|like\|with\|over\|when\|dated\|out\|private\|add\|remove\|zero\|within\|as\|from\|on\|until\|x\|for\|all\|whose\|where\|the\|if\|then\|else\|and\|or\|not\|otherwise\|is\|of\)\>\%(\s*:\)\@!+
syntax match sprueType +[./*^]\@1<!\<\%(date\|flag\|text\|whole\|choice\|point\|series\|table\|curve\|one\|optional\|many\|list\|set\)\>\%(\s*:\)\@!+
syntax match sprueAggregate +[./*^]\@1<!\<\%(sum\|greatest\|least\|count\|any\|every\|first\|last\)\>\%(\s*(\)\@=+
syntax match sprueFunction +[./*^]\@1<!\<\%(min\|max\|abs\|ceil\|floor\|round\|sqrt\|exp\|ln\|log10\|months_after\|given\)\>\%(\s*(\)\@=+
syntax match sprueValue +[./*^]\@1<!\<\%(yes\|no\|unknown\|this\|owner\|next\|previous\)\>\%(\s*:\)\@!+
syntax match sprueFact +[./*^]\@1<!\<\%(triangular\|pert\|uniform\|normal\|quote\|invoice\|measured\|handbook\|estimate\|assumed\)\>\%(\s*:\)\@!+
syntax region sprueString start=+"+ skip=+\\.+ end=+"+ oneline
syntax match sprueComment "#.*$" contains=@Spell
syntax match sprueDoc "##.*$" contains=@Spell
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
