/* SPDX-License-Identifier: Apache-2.0 */
#include "store/migrate.h"

#include "store/clock.h"
#include "store/connection.h"
#include "store/queries.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { CONNECT_MS = 10000, TURN_MS = 60000, STEP_MS = 600000, CHECK_MS = 10000 };
/* Any number will do, as long as all versions of this program use the same. */
static const char advisory_lock[] = "3557012017";

/* Whether `list` has what row `row` says was applied, and with the same text. */
static bool known(const struct store_rows *applied, int row, const struct migration *list, size_t count,
                  struct fault *fault) {
    int64_t number = rows_integer(applied, row, 0);
    const char *name = rows_text(applied, row, 1);
    for (size_t i = 0; i < count; i++)
        if (list[i].number == number) {
            if (strcmp(list[i].checksum, rows_text(applied, row, 2)) == 0)
                return true;
            return fault_set(fault, "migration-changed", name,
                             "Migration %04" PRId64
                             " %s was applied with another text than this program has. Use the "
                             "program that applied it, or restore the file and add a new migration.",
                             number, name);
        }
    return fault_set(fault, "schema-ahead", name,
                     "The database has migration %04" PRId64
                     " %s, which this program does not know. Use a newer program.",
                     number, name);
}

static bool all_known(const struct store_rows *applied, const struct migration *list, size_t count,
                      struct fault *fault) {
    for (int row = 0; row < rows_count(applied); row++)
        if (!known(applied, row, list, count, fault))
            return false;
    return true;
}

static bool has(const struct store_rows *applied, int number) {
    for (int row = 0; row < rows_count(applied); row++)
        if (rows_integer(applied, row, 0) == number)
            return true;
    return false;
}

/* ---- applying */

static bool run(struct connection *connection, const struct query *query, const char *const *texts,
                int64_t deadline, struct store_rows *rows, struct fault *fault) {
    PGresult *result = NULL;
    enum refusal_verdict verdict;
    if (!connection_run(connection, query, texts, deadline, &result, &verdict, fault))
        return false;
    if (rows != NULL)
        rows->result = result;
    else
        PQclear(result);
    return true;
}

static bool prepare_database(struct connection *connection, struct fault *fault) {
    const char *lock[] = {advisory_lock};
    int64_t deadline = store_deadline(TURN_MS);
    return run(connection, &query_migration_lock, lock, deadline, NULL, fault) &&
           run(connection, &query_migration_create_schema, NULL, deadline, NULL, fault) &&
           run(connection, &query_migration_create_table, NULL, deadline, NULL, fault);
}

/* One that commits by itself would be half applied when its rest fails. */
static bool still_open(const struct connection *connection, struct fault *fault) {
    return PQtransactionStatus(connection->link) == PQTRANS_INTRANS ||
           fault_set(fault, "internal", "",
                     "It ends its own transaction; take `commit` and `rollback` out of it.");
}

static bool apply(struct connection *connection, const struct migration *migration, struct fault *fault) {
    char number[16];
    snprintf(number, sizeof number, "%d", migration->number);
    const char *row[] = {number, migration->name, migration->checksum};
    int64_t deadline = store_deadline(STEP_MS);
    struct fault cause, ignored;
    if (run(connection, &query_session_begin, NULL, deadline, NULL, &cause) &&
        connection_script(connection, migration->name, migration->text, deadline, &cause) &&
        still_open(connection, &cause) &&
        run(connection, &query_migration_insert, row, deadline, NULL, &cause) &&
        run(connection, &query_session_commit, NULL, deadline, NULL, &cause))
        return true;
    if (!connection->spoilt &&
        !run(connection, &query_session_rollback, NULL, store_deadline(1000), NULL, &ignored))
        connection->spoilt = true;
    return fault_set(fault, "migration-failed", migration->name, "Migration %04d %s was not applied. %s",
                     migration->number, migration->name, cause.message);
}

static bool apply_missing(struct connection *connection, const struct migration *list, size_t count,
                          void (*progress)(void *state, int number, const char *name), void *state,
                          struct fault *fault) {
    struct store_rows applied = {0};
    bool good = prepare_database(connection, fault) &&
                run(connection, &query_migration_applied, NULL, store_deadline(CHECK_MS), &applied, fault) &&
                all_known(&applied, list, count, fault);
    for (size_t i = 0; good && i < count; i++) {
        if (has(&applied, list[i].number))
            continue;
        good = apply(connection, &list[i], fault);
        if (good && progress != NULL)
            progress(state, list[i].number, list[i].name);
    }
    rows_free(&applied);
    return good;
}

bool migrate_run_these(const char *conninfo, const struct migration *list, size_t count,
                       void (*progress)(void *state, int number, const char *name), void *state,
                       struct fault *fault) {
    struct store_options options = {.conninfo = conninfo, .application = "ellwandd migrate", .workshop = ""};
    struct connection connection;
    if (!connection_open(&connection, &options, store_deadline(CONNECT_MS), fault))
        return false;
    bool good = apply_missing(&connection, list, count, progress, state, fault);
    connection_close(&connection);
    return good;
}

bool migrate_run(const char *conninfo, void (*progress)(void *state, int number, const char *name),
                 void *state, struct fault *fault) {
    return migrate_run_these(conninfo, migrations, migrations_count, progress, state, fault);
}

/* ---- checking */

static bool behind(struct fault *fault) {
    return fault_set(
        fault, "schema-behind", "database",
        "The database's schema is older than this program; run `ellwandd migrate` as its owner.");
}

static bool check(struct store_session *session, struct fault *fault) {
    struct store_rows rows = {0};
    if (!store_run(session, &query_migration_present, NULL, &rows, fault))
        return false;
    bool present = rows_boolean(&rows, 0, 0);
    rows_free(&rows);
    if (!present)
        return behind(fault);
    if (!store_run(session, &query_migration_applied, NULL, &rows, fault))
        return false;
    bool good = all_known(&rows, migrations, migrations_count, fault);
    for (size_t i = 0; good && i < migrations_count; i++)
        if (!has(&rows, migrations[i].number))
            good = behind(fault);
    rows_free(&rows);
    return good;
}

bool migrate_check(struct store *store, struct fault *fault) {
    struct store_session *session = store_borrow(store, store_deadline(CHECK_MS), fault);
    if (session == NULL)
        return false;
    bool good = check(session, fault);
    store_return(store, &session);
    return good;
}
