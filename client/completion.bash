# shellcheck shell=bash disable=SC2154
# SPDX-License-Identifier: Apache-2.0
# Completion of `ellwand` in bash. The build puts the tables of commands and options before it (deploy/manual).

# Sets `command` to the one that WORDS begin with, "" while there is none. Two words are tried before one.
_ellwand_command() { # WORD WORD
    command=""
    if [ -n "${2:-}" ] && [ -n "${_ellwand_options["$1 $2"]+known}" ]; then
        command="$1 $2"
    elif [ -n "${1:-}" ] && [ -n "${_ellwand_options["$1"]+known}" ]; then
        command=$1
    fi
}

# Sets `known` to the options that may stand after these words, `kind` to what OPTION takes: FILE, VALUE or nothing.
_ellwand_kind() { # OPTION WORD WORD
    local command option
    _ellwand_command "${@:2}"
    known=$_ellwand_common
    [ -z "$command" ] || known="${_ellwand_options["$command"]} $known"
    kind=""
    for option in $known; do
        case $option in
            "$1=FILE") kind=FILE ;;
            "$1=") kind=VALUE ;;
        esac
    done
}

# The words of commands that may stand after WORD, or at the start without one.
_ellwand_next() { # [WORD]
    local name
    for name in "${!_ellwand_options[@]}"; do
        if [ $# = 0 ]; then
            printf '%s\n' "${name%% *}"
        elif [ "${name% *}" = "$1" ] && [ "$name" != "$1" ]; then
            printf '%s\n' "${name#* }"
        fi
    done
}

_ellwand() {
    local word=${COMP_WORDS[COMP_CWORD]} waiting="" known kind command next="" i
    local -a words=()
    # bash takes --name=value apart at the '='.
    for ((i = 1; i < COMP_CWORD; i++)); do
        if [ "${COMP_WORDS[i]}" = "=" ]; then
            continue
        elif [ -n "$waiting" ]; then
            waiting=""
        elif [[ ${COMP_WORDS[i]} == -* ]]; then
            _ellwand_kind "${COMP_WORDS[i]}" "${words[@]:0:2}"
            waiting=$kind
        else
            words+=("${COMP_WORDS[i]}")
        fi
    done
    _ellwand_kind "" "${words[@]:0:2}"
    _ellwand_command "${words[@]:0:2}"
    COMPREPLY=()
    if [ -n "$waiting" ]; then
        [ "$word" != "=" ] || word=""
        [ "$waiting" != FILE ] || mapfile -t COMPREPLY < <(compgen -f -- "$word")
        return
    elif [[ $word == -* ]]; then
        next=${known//=FILE/=}
    elif [ ${#words[@]} = 0 ] || { [ ${#words[@]} = 1 ] && [ -z "$command" ]; }; then
        next=$(_ellwand_next "${words[@]}")
    elif [ -n "${_ellwand_files["$command"]+known}" ]; then
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
    fi
    [ -z "$next" ] || mapfile -t COMPREPLY < <(compgen -W "$next" -- "$word" | sort -u)
    # After an option that takes a value one goes on typing.
    if [[ ${#COMPREPLY[@]} == 1 && ${COMPREPLY[0]} == *= ]]; then
        compopt -o nospace 2>/dev/null || :
    fi
}
complete -o filenames -F _ellwand ellwand
