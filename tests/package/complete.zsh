# What zsh itself offers at the end of each command line: complete.zsh SCRIPT LINE..., one word a line, after each
# command line one that says [done]. Runs an interactive shell on a terminal of its own, with only this completion, and
# writes down what reaches compadd.
zmodload zsh/zpty
script=$1
shift
found=$(mktemp)
zpty shell "zsh -f -i"
zpty -w shell "PS1= FOUND=$found; autoload -Uz compinit; compinit -u -D; source ${(q)script}"
zpty -w shell 'compadd() { local -a got; builtin compadd -A got "$@"; print -rl -- $got >> $FOUND; builtin compadd "$@"; }'
zpty -w shell 'finish() { zle list-choices; print -r -- "[done]" >> $FOUND; zle kill-buffer; }; zle -N finish; bindkey "^T" finish'
for line in "$@"; do
  : > $found
  zpty -n -w shell "$line"$'\x14'
  for try in {1..1000}; do
    grep -q '^\[done\]$' $found && break
    sleep 0.01
  done
  grep . $found
done
zpty -d shell
rm -f $found
