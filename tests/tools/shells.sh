#!/bin/sh
# shells.sh: proves that the completions for bash offer what fits, and that those for zsh and fish,
# and the colours for vim, are read without complaint where these are there.
# SPDX-License-Identifier: MIT
set -u

broken=0
wrong() {
    echo "shells: $*" >&2
    broken=1
}
# offers WORD FORBIDDEN LINE...: the line's last word is completed; WORD is offered, FORBIDDEN is not.
offers() {
    got=$(bash -c '
        . docs/shell/baronet.bash
        COMP_WORDS=("${@:3}") COMP_CWORD=$(($# - 3))
        _baronet 2>&1
        printf "%s\n" "${COMPREPLY[@]}"' bash "$@")
    printf '%s\n' "$got" | grep -qxF -e "$1" || wrong "bash: no $1 after: $*: $got"
    printf '%s\n' "$got" | grep -qxF -e "$2" && wrong "bash: $2 after: $*"
    :
}
if command -v bash >/dev/null; then
    offers states check baronet st
    offers --version --state baronet --
    offers --units --event baronet check --
    offers --event --state baronet play --
    offers imperial json baronet rates --units ''
    offers json metric baronet rates netlists/camper.air --as j
    offers easy bend baronet rates netlists/camper.air --state ''
    offers rest easy baronet rates --state ''
    offers holiday easy baronet rates netlists/camper.air --case ''
    offers netlists/camper.air netlists/README.md baronet rates netlists/
fi
if command -v zsh >/dev/null; then
    zsh -n docs/shell/_baronet || wrong "zsh does not read docs/shell/_baronet"
fi
if command -v fish >/dev/null; then
    fish -n docs/shell/baronet.fish || wrong "fish does not read docs/shell/baronet.fish"
    got=$(HOME=$(mktemp -d) fish --no-config -c 'source docs/shell/baronet.fish
        complete -C "baronet rates netlists/camper.air --state e"' 2>&1)
    printf '%s\n' "$got" | grep -q '^easy' || wrong "fish: no easy: $got"
fi
if command -v vim >/dev/null && vim --version | grep -q '+syntax'; then
    got=$(vim -e -s -u NONE -i NONE -c 'set runtimepath^=docs/vim' -c 'syntax on' \
        -c 'edit netlists/rear.air' -c 'set syntax=baronet' \
        -c 'for at in [[1,1],[2,11],[2,21],[2,25],[1,12],[8,45]] | verbose echo synIDattr(synID(at[0],at[1],1),"name") | endfor' \
        -c 'quit!' 2>&1 | tr -d '\r' | tr '\n' ' ')
    wanted=" baronetKeyword baronetAttribute baronetNumber baronetUnit baronetText baronetComment"
    [ "$got" = "$wanted" ] || wrong "vim: $got, not $wanted"
fi
exit $broken
