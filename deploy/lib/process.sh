# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# Processes by their id alone. A file NAME.pid holds "PID STARTTIME": the start time tells a process from a later
# one that was given the same id, and a zombie that nobody reaps (usual in containers) counts as ended.

# process_field PID NUMBER: field NUMBER of /proc/PID/stat, counted as proc(5) does from 3 (state) on.
process_field() {
    local line
    line=$(cat "/proc/$1/stat" 2>/dev/null) || return 1
    local -a fields
    read -ra fields <<<"${line##*) }"
    printf '%s' "${fields[$(($2 - 3))]}"
}

process_remember() { # PIDFILE PID
    printf '%s %s\n' "$2" "$(process_field "$2" 22)" >"$1"
}

process_lives() { # PIDFILE
    local pid started
    read -r pid started 2>/dev/null <"$1" || return 1
    [ "$(process_field "$pid" 22)" = "$started" ] && [ "$(process_field "$pid" 3)" != Z ]
}

process_ended() {
    ! process_lives "$1"
}

# process_stop PIDFILE [SIGNAL]: sends SIGNAL (TERM), waits 10 s, then kills. The file is gone afterwards.
process_stop() {
    local pid
    if process_lives "$1"; then
        read -r pid _ <"$1"
        kill "-${2:-TERM}" "$pid" 2>/dev/null || :
        wait_until 10 process_ended "$1" || kill -KILL "$pid" 2>/dev/null || :
        wait_until 5 process_ended "$1" || :
    fi
    rm -f "$1"
}

# session_end SESSION [SIGNAL]: signals every process of that session: what a server or a command left behind.
session_end() {
    local stat pid
    for stat in /proc/[0-9]*/stat; do
        pid=${stat#/proc/}
        pid=${pid%/stat}
        if [ "$(process_field "$pid" 6)" = "$1" ]; then
            kill "-${2:-KILL}" "$pid" 2>/dev/null || :
        fi
    done
}

# process_launch PIDFILE LOG COMMAND...: starts a server in its own session, so that a Ctrl-C meant for the script
# reaches it only through the script, and its children can be found again by that session.
process_launch() {
    local pidfile=$1 log=$2 pid
    shift 2
    # A subshell has no job control: there setsid need not fork, and $! is the server itself.
    pid=$(
        setsid "$@" </dev/null >>"$log" 2>&1 &
        printf '%s' $!
    )
    process_remember "$pidfile" "$pid"
}

# tree_end PID: ends that process and those it started, and waits for them. Whoever made a session of its own is left to
# its parent, which is told and cleans up.
tree_end() {
    local -a family=("$1")
    local stat pid next=0 session
    session=$(process_field "$1" 6) || return 0
    while [ "$next" -lt "${#family[@]}" ]; do
        for stat in /proc/[0-9]*/stat; do
            pid=${stat#/proc/}
            pid=${pid%/stat}
            if [ "$(process_field "$pid" 4)" = "${family[$next]}" ] && [ "$(process_field "$pid" 6)" = "$session" ]; then
                family+=("$pid")
            fi
        done
        next=$((next + 1))
    done
    kill -TERM "${family[@]}" 2>/dev/null || :
    for pid in "${family[@]}"; do
        wait_until 30 process_gone "$pid" || :
    done
}

process_gone() { # PID
    local state
    state=$(process_field "$1" 3) || return 0
    [ "$state" = Z ]
}
