# SPDX-License-Identifier: Apache-2.0
# Completion of `ellwand` in bash: source this file, or put it into /usr/share/bash-completion/completions/ellwand.

_ellwand() {
    local word=${COMP_WORDS[COMP_CWORD]} before=() candidates i
    for ((i = 1; i < COMP_CWORD; i++)); do
        case ${COMP_WORDS[i]} in
            -* | =) ;;
            *) [ "${COMP_WORDS[i - 1]}" = "=" ] || before+=("${COMP_WORDS[i]}") ;;
        esac
    done
    COMPREPLY=()
    if [[ $word == -* ]]; then
        candidates=$("${COMP_WORDS[0]}" "${before[@]:0:2}" --help 2>/dev/null | grep -o -- '--[a-z-]*')
    elif [ ${#before[@]} -lt 2 ]; then
        # The first words of all commands, or the second words of those that begin with what is there.
        candidates=$("${COMP_WORDS[0]}" --commands 2>/dev/null | if [ ${#before[@]} = 0 ]; then
            cut -d ' ' -f 1
        else
            sed -n "s/^${before[0]//[^a-z-]/} //p"
        fi)
    fi
    mapfile -t COMPREPLY < <(compgen -W "${candidates:-}" -- "$word" | sort -u)
    # Anything else is a file.
    [ -n "${candidates:-}" ] || mapfile -t COMPREPLY < <(compgen -f -- "$word")
}
complete -o filenames -F _ellwand ellwand
