# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# What a person reads while a script works.

say() {
    printf '%s\n' "$*"
}

# fail MESSAGE [LOG]: the message and, where a log is named, its last lines; ends the script with status 1.
fail() {
    printf '\n%s\n' "$1" >&2
    if [ -n "${2:-}" ] && [ -s "$2" ]; then
        printf 'The last lines of its log:\n' >&2
        tail -n 20 "$2" | sed 's/^/    /' >&2
    fi
    exit 1
}

# quietly LOG WHAT COMMAND...: runs the command with its output in LOG; shows it only when the command fails.
quietly() {
    local log=$1 what=$2
    shift 2
    mkdir -p "$(dirname "$log")"
    "$@" >"$log" 2>&1 || fail "$what failed." "$log"
}

# wait_until SECONDS COMMAND...: tries the command ten times a second until it succeeds; false when time is up.
wait_until() {
    local tries=$(($1 * 10))
    shift
    until "$@" >/dev/null 2>&1; do
        tries=$((tries - 1))
        [ "$tries" -gt 0 ] || return 1
        sleep 0.1
    done
}
