# baronet.bash: completion for bash.
# Made from the program's tables by `make docs`; do not edit.

# Names that the netlist on the command line gives with a keyword.
_baronet_names() {
    local word
    for word in "${COMP_WORDS[@]:2}"; do
        case $word in
        *.air) sed -n "s/^$1[[:space:]]\{1,\}\([A-Za-z][A-Za-z0-9_-]*\).*/\1/p" "$word" 2>/dev/null ;;
        esac
    done
}

_baronet() {
    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} options=
    COMPREPLY=()
    if [ "$COMP_CWORD" = 1 ]; then
        COMPREPLY=($(compgen -W 'check rates stroke times response ride play faults states parts vary size spread report draw --help --version' -- "$current"))
        return
    fi
    case $before in
    --state)
        COMPREPLY=($(compgen -W "rest $(_baronet_names state)" -- "$current"))
        return ;;
    --case)
        COMPREPLY=($(compgen -W " $(_baronet_names case)" -- "$current"))
        return ;;
    --units)
        COMPREPLY=($(compgen -W 'metric imperial si' -- "$current"))
        return ;;
    --as)
        COMPREPLY=($(compgen -W 'text csv json xml svg html' -- "$current"))
        return ;;
    --out)
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -f -- "$current"))
        return ;;
    --motion)
        COMPREPLY=($(compgen -W "heave pitch roll warp $(_baronet_names motion)" -- "$current"))
        return ;;
    --level)
        COMPREPLY=($(compgen -W 'instant settled parked' -- "$current"))
        return ;;
    --points)
        :
        return ;;
    --swing)
        :
        return ;;
    --bend)
        :
        return ;;
    --from)
        :
        return ;;
    --to)
        :
        return ;;
    --road-class)
        COMPREPLY=($(compgen -W 'A B C D E F G H' -- "$current"))
        return ;;
    --speed)
        :
        return ;;
    --event)
        COMPREPLY=($(compgen -W " $(_baronet_names event)" -- "$current"))
        return ;;
    --plot)
        :
        return ;;
    --drop)
        :
        return ;;
    --change)
        :
        return ;;
    --from-list)
        :
        return ;;
    --of)
        :
        return ;;
    --want)
        :
        return ;;
    --share)
        :
        return ;;
    --runs)
        :
        return ;;
    --seed)
        :
        return ;;
    --workers)
        :
        return ;;
    --write)
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -f -- "$current"))
        return ;;
    --show)
        COMPREPLY=($(compgen -W 'bores pressures bores,pressures' -- "$current"))
        return ;;
    esac
    case ${COMP_WORDS[1]} in
    check) options='--state --case --units --as --out --swing --help' ;;
    rates) options='--state --case --units --as --out --swing --help' ;;
    stroke) options='--state --case --units --as --out --motion --level --points --swing --plot --help' ;;
    times) options='--state --case --units --as --out --swing --bend --help' ;;
    response) options='--state --case --units --as --out --motion --points --swing --from --to --road --plot --help' ;;
    ride) options='--state --case --units --as --out --swing --road-class --speed --help' ;;
    play) options='--case --units --as --out --points --swing --event --plot --help' ;;
    faults) options='--state --case --units --as --out --swing --drop --help' ;;
    states) options='--state --case --units --as --out --all --swing --help' ;;
    parts) options='--units --as --out --help' ;;
    vary) options='--state --case --units --as --out --points --swing --plot --change --from-list --of --by-ratio --share --workers --help' ;;
    size) options='--state --case --units --as --out --swing --change --from-list --want --workers --write --replace --help' ;;
    spread) options='--state --case --units --as --out --swing --change --from-list --of --share --runs --seed --workers --help' ;;
    report) options='--state --case --units --as --out --swing --help' ;;
    draw) options='--state --case --units --as --out --show --help' ;;
    esac
    case $current in
    -*) COMPREPLY=($(compgen -W "$options" -- "$current")) ;;
    *)
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -f -X '!*.air' -- "$current") $(compgen -d -- "$current")) ;;
    esac
}

complete -F _baronet baronet
