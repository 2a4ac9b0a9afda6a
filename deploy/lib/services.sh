# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# A private PostgreSQL 15, a private print scheduler and a printer program below $SERVICES_DIR, a short directory of
# /tmp (paths of Unix sockets are limited to 107 bytes). Works as root and as a plain user, any number side by side.
# PostgreSQL and the scheduler listen on Unix sockets only; the printer program listens on a loopback port.
# Every function below needs $SERVICES_DIR and $DEPLOY_DIR alone, so that a test may stop, kill and start each service.

# shellcheck source=deploy/lib/printer-attributes.sh
. "$DEPLOY_DIR/lib/printer-attributes.sh"

POSTGRES_PROGRAMS=/usr/lib/postgresql/15/bin
LABEL_QUEUE=labels
# The label stocks of the demonstration workshop, width by height in mm.
LABEL_SIZES=(100x50 62x29 89x36 210x297)

# ---- PostgreSQL

# PostgreSQL refuses to run as root: there it runs as the user postgres, which its package made.
as_postgres() {
    if [ "$(id -u)" = 0 ]; then
        (cd / && setpriv --reuid=postgres --regid=postgres --init-groups "$@")
    else
        "$@"
    fi
}

postgres_prepare() {
    local cluster=$SERVICES_DIR/postgres
    mkdir -m 700 "$cluster" "$SERVICES_DIR/sock"
    if [ "$(id -u)" = 0 ]; then
        chown postgres:postgres "$cluster"
        # Root's clients pass through; nobody else but PostgreSQL itself has business here.
        chown postgres:postgres "$SERVICES_DIR/sock"
    fi
    quietly "$SERVICES_DIR/log/initdb.log" "Making the database cluster" as_postgres \
        "$POSTGRES_PROGRAMS/initdb" -D "$cluster" -U "$PGUSER" -A trust -E UTF8 --locale=C.UTF-8 --no-sync
    # Nothing here outlives the directory, so nothing waits for the disk; a killed server loses nothing by that.
    as_postgres tee -a "$cluster/postgresql.conf" >/dev/null <<CONFIGURATION
listen_addresses = ''
unix_socket_directories = '$SERVICES_DIR/sock'
port = $PGPORT
fsync = off
full_page_writes = off
shared_buffers = 64MB
max_connections = 100
CONFIGURATION
}

postgres_answers() {
    "$POSTGRES_PROGRAMS/pg_isready" -q && psql -qXAtd postgres -c 'select 1' | grep -qx 1
}

postgres_start() {
    local pid
    postgres_clear
    # The log is opened by root and handed on: PostgreSQL's user need not reach it.
    (as_postgres "$POSTGRES_PROGRAMS/pg_ctl" -D "$SERVICES_DIR/postgres" -W -s start) \
        </dev/null >>"$SERVICES_DIR/log/postgres.log" 2>&1 ||
        fail "PostgreSQL did not start." "$SERVICES_DIR/log/postgres.log"
    wait_until 30 postgres_answers ||
        fail "PostgreSQL did not answer within 30 s." "$SERVICES_DIR/log/postgres.log"
    pid=$(as_postgres head -n 1 "$SERVICES_DIR/postgres/postmaster.pid")
    process_remember "$SERVICES_DIR/postgres.pid" "$pid"
}

# After a kill the lock files may name a process nobody has reaped: PostgreSQL takes that for a running server.
postgres_clear() {
    if process_ended "$SERVICES_DIR/postgres.pid"; then
        rm -f "$SERVICES_DIR/postgres/postmaster.pid" "$SERVICES_DIR/sock"/.s.PGSQL.*
    fi
}

postgres_stop() { # fast: clients are cut off, the data is written
    process_stop "$SERVICES_DIR/postgres.pid" INT
}

postgres_kill() {
    local pid
    read -r pid _ <"$SERVICES_DIR/postgres.pid"
    kill -KILL "$pid"
    wait_until 10 process_ended "$SERVICES_DIR/postgres.pid"
    # Its children notice the death and end; the data directory is free once they have.
    wait_until 10 postgres_children_gone ||
        fail "Processes of the killed PostgreSQL still run." "$SERVICES_DIR/log/postgres.log"
}

postgres_children_gone() {
    local stat pid
    for stat in /proc/[0-9]*/cwd; do
        if [ "$(readlink "$stat" 2>/dev/null)" = "$SERVICES_DIR/postgres" ]; then
            pid=${stat#/proc/}
            [ "$(process_field "${pid%/cwd}" 3)" = Z ] || return 1
        fi
    done
}

# ---- the printer program

printer_answers() {
    ipptool -q "ipp://localhost:$1/ipp/print" "$DEPLOY_DIR/services/printer.test"
}

printer_prepare() {
    local printer=$SERVICES_DIR/printer
    mkdir -p "$printer/spool" "$printer/out" "$printer/ctl"
    sed "s#@DIR@#$printer#g" "$DEPLOY_DIR/services/dbus.conf" >"$printer/dbus.conf"
    cp "$DEPLOY_DIR/services/print-command" "$printer/print-command"
    chmod 755 "$printer/print-command"
    printer_attributes "${LABEL_SIZES[@]}" >"$printer/attributes.conf"
    bus_start
}

# The printer program ends at once when it reaches no message bus.
bus_start() {
    local printer=$SERVICES_DIR/printer
    ! process_lives "$SERVICES_DIR/dbus.pid" || return 0
    rm -f "$printer/bus.sock"
    process_launch "$SERVICES_DIR/dbus.pid" "$SERVICES_DIR/log/dbus.log" \
        dbus-daemon --config-file="$printer/dbus.conf" --nofork --nopidfile
    wait_until 30 test -S "$printer/bus.sock" || fail "The message bus did not start." "$SERVICES_DIR/log/dbus.log"
}

printer_launch() { # PORT
    local printer=$SERVICES_DIR/printer
    process_launch "$SERVICES_DIR/printer.pid" "$SERVICES_DIR/log/printer.log" \
        env DBUS_SYSTEM_BUS_ADDRESS="unix:path=$printer/bus.sock" PRINTER_CONTROL="$printer/ctl" \
        PRINTER_OUT="$printer/out" ippeveprinter -r off -n localhost -p "$1" -d "$printer/spool" \
        -D "file://$printer/out" -c "$printer/print-command" -a "$printer/attributes.conf" labels
}

# printer_settled PORT: it answers, or it has ended (the port was taken: it ends at once).
printer_settled() {
    process_ended "$SERVICES_DIR/printer.pid" || printer_answers "$1"
}

# The first start picks a port at random below the range the kernel hands out, and another when that one is taken;
# the printer program itself is the judge, so two scripts that pick the same one do not meet. Later starts keep it.
printer_start() {
    local port_file=$SERVICES_DIR/printer/port port attempt
    for attempt in 1 2 3 4 5 6 7 8; do
        if [ -f "$port_file" ]; then
            port=$(cat "$port_file")
        else
            port=$((20000 + RANDOM % 12000))
        fi
        bus_start
        printer_launch "$port"
        wait_until 30 printer_settled "$port" || break
        if process_lives "$SERVICES_DIR/printer.pid"; then
            printf '%s\n' "$port" >"$port_file"
            return 0
        fi
        sleep "0.$attempt"
    done
    fail "The printer program does not answer." "$SERVICES_DIR/log/printer.log"
}

printer_stop() {
    process_stop "$SERVICES_DIR/printer.pid"
}

printer_kill() {
    process_stop "$SERVICES_DIR/printer.pid" KILL
}

# ---- the print scheduler

cups_answers() {
    lpstat -r | grep -q 'is running'
}

cups_prepare() {
    local cups=$SERVICES_DIR/cups user=lp group=lp file
    if [ "$(id -u)" != 0 ]; then
        user=$(id -un)
        group=$(id -gn)
    fi
    mkdir -p "$cups"/etc/ppd "$cups"/etc/ssl "$cups"/spool/tmp "$cups"/cache "$cups"/state/certs "$cups"/log "$cups"/doc
    for file in cupsd.conf cups-files.conf; do
        sed -e "s#@DIR@#$cups#g" -e "s#@USER@#$user#g" -e "s#@GROUP@#$group#g" \
            "$DEPLOY_DIR/services/$file" >"$cups/$file"
    done
    cp "$DEPLOY_DIR/services/local.convs" "$cups/etc/local.convs"
    quietly "$SERVICES_DIR/log/cups.log" "Checking the print scheduler's configuration" \
        cupsd -t -c "$cups/cupsd.conf" -s "$cups/cups-files.conf"
}

cups_start() {
    local cups=$SERVICES_DIR/cups
    process_launch "$SERVICES_DIR/cups.pid" "$SERVICES_DIR/log/cups.log" \
        cupsd -f -c "$cups/cupsd.conf" -s "$cups/cups-files.conf"
    wait_until 15 cups_answers || fail "The print scheduler did not answer within 15 s." "$cups/log/error_log"
}

# A killed scheduler leaves its backends running, and they go on calling the printer: they share its session.
cups_end() { # SIGNAL
    local session=""
    read -r session _ 2>/dev/null <"$SERVICES_DIR/cups.pid" || :
    process_stop "$SERVICES_DIR/cups.pid" "$1"
    [ -z "$session" ] || session_end "$session"
    rm -f "$SERVICES_DIR/cups/cups.sock"
}

cups_stop() {
    cups_end TERM
}

cups_kill() {
    cups_end KILL
}

# The scheduler answers lpadmin before it has asked the printer what it can do: the queue is ready with its PPD.
cups_add_queue() {
    quietly "$SERVICES_DIR/log/queue.log" "Making the label queue" lpadmin -p "$LABEL_QUEUE" -E -m everywhere \
        -v "ipp://localhost:$(cat "$SERVICES_DIR/printer/port")/ipp/print" -o printer-error-policy=retry-current-job
    wait_until 15 test -s "$SERVICES_DIR/cups/etc/ppd/$LABEL_QUEUE.ppd" ||
        fail "The label queue was not ready within 15 s." "$SERVICES_DIR/cups/log/error_log"
}

# ---- all of them

# services_address: sets what clients of the services in $SERVICES_DIR need.
services_address() {
    export PGHOST=$SERVICES_DIR/sock PGPORT=5432 PGUSER=app PGDATABASE=ellwand
    export CUPS_SERVER=$SERVICES_DIR/cups/cups.sock
    export ELLWAND_TEST_QUEUE=$LABEL_QUEUE ELLWAND_TEST_PRINTER_DIR=$SERVICES_DIR/printer
    export ELLWAND_SERVICES=$SERVICES_DIR/services.sh
    # Settings of the caller's own that would lead a client elsewhere.
    unset PGSERVICE PGSERVICEFILE PGPASSFILE PGOPTIONS PGHOSTADDR PGSSLMODE PRINTER LPDEST IPP_PORT
}

# services_start: makes $SERVICES_DIR and starts everything in it. The caller has set a trap on services_end.
services_start() {
    # mkdir fails where the name is taken. 711: PostgreSQL and print backends, which run as other users, pass through.
    SERVICES_DIR=/tmp/ell.$SRANDOM
    until mkdir -m 711 "$SERVICES_DIR" 2>/dev/null; do
        [ -w /tmp ] || fail "/tmp cannot be written; sockets need a directory there."
        SERVICES_DIR=/tmp/ell.$SRANDOM
    done
    export SERVICES_DIR
    mkdir "$SERVICES_DIR/log"
    services_address
    cat >"$SERVICES_DIR/services.sh" <<FUNCTIONS
# Source this to stop, kill and start the services: postgres_stop, postgres_kill, postgres_start; the same for
# cups_ and printer_.
SERVICES_DIR='$SERVICES_DIR'
DEPLOY_DIR='$DEPLOY_DIR'
. "\$DEPLOY_DIR/lib/say.sh"
. "\$DEPLOY_DIR/lib/process.sh"
. "\$DEPLOY_DIR/lib/services.sh"
FUNCTIONS
    postgres_prepare
    postgres_start
    quietly "$SERVICES_DIR/log/createdb.log" "Making the database" createdb -T template0 "$PGDATABASE"
    printer_prepare
    printer_start
    cups_prepare
    cups_start
    cups_add_queue
}

# services_end: stops everything and removes the directory; harmless where nothing was started.
services_end() {
    [ -n "${SERVICES_DIR:-}" ] && [ -d "$SERVICES_DIR" ] || return 0
    cups_stop
    printer_stop
    process_stop "$SERVICES_DIR/dbus.pid"
    postgres_stop
    rm -rf "$SERVICES_DIR"
}
