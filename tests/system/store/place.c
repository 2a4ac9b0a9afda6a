/* SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include "common/text.h"
#include "store/migrate.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdio.h>
#include <stdlib.h>

static const char *conninfo(const char *user, const char *name) {
    static char texts[8][256];
    static int next;
    char *text = texts[next++ % 8];
    snprintf(text, sizeof texts[0], "host=%s port=%s user=%s dbname=%s", getenv("PGHOST"), getenv("PGPORT"),
             user, name);
    return text;
}

const char *place_owner(const char *name) {
    return conninfo(getenv("PGUSER"), name);
}

const char *place_clerk(const char *name) {
    return conninfo("clerk", name);
}

static void keep_quiet(void *state, const PGresult *notice) {
    (void)state;
    (void)notice;
}

void place_sql(const char *database, char value[256], const char *format, ...) {
    char text[4096];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    PGconn *link = PQconnectdb(place_owner(database));
    PQsetNoticeReceiver(link, keep_quiet, NULL);
    PGresult *result = PQexec(link, text);
    ExecStatusType status = PQresultStatus(result);
    cr_assert(status == PGRES_TUPLES_OK || status == PGRES_COMMAND_OK, "%s: %s", text, PQerrorMessage(link));
    if (value != NULL)
        text_copy(value, 256, PQntuples(result) > 0 ? PQgetvalue(result, 0, 0) : "");
    PQclear(result);
    PQfinish(link);
}

void place_empty(const char *name) {
    cr_assert_not_null(getenv("ELLWAND_SERVICES"), "Run this through tests/system/store/with-cluster.");
    place_sql("postgres", NULL, "drop database if exists %s with (force)", name);
    place_sql("postgres", NULL, "create database %s template template0", name);
}

void place_migrated(const char *name) {
    struct fault fault;
    place_empty(name);
    cr_assert(migrate_run(place_owner(name), NULL, NULL, &fault), "%s: %s", fault.where, fault.message);
    place_sql("postgres", NULL,
              "do $$ begin create role clerk login in role ellwand_daemon; exception when duplicate_object "
              "then end $$");
}

void place_server(const char *function) {
    char command[512];
    snprintf(command, sizeof command, "bash -c 'set -euo pipefail; . \"$ELLWAND_SERVICES\"; %s'", function);
    cr_assert_eq(system(command), 0, "%s failed", function);
}

struct store *place_store(const char *database, int connections) {
    struct store_options options = {.conninfo = place_clerk(database), .connections = connections};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault), "%s", fault.message);
    return store;
}

bool place_run(struct store *store, int timeout_ms, const struct query *query, struct store_values *values,
               char value[256], struct fault *fault) {
    struct store_session *session = store_borrow(store, store_deadline(timeout_ms), fault);
    if (session == NULL) {
        if (values != NULL)
            store_values_clear(values);
        return false;
    }
    struct store_rows rows = {0};
    bool good = store_run(session, query, values, &rows, fault);
    if (good && value != NULL)
        text_copy(value, 256, rows_text(&rows, 0, 0));
    rows_free(&rows);
    store_return(store, &session);
    return good;
}

int64_t place_since(int64_t since) {
    return store_deadline(0) - since;
}
