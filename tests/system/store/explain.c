/* SPDX-License-Identifier: Apache-2.0 */
#include "explain.h"

#include "store/queries.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

bool is_daemons(const struct query *query) {
    return query != &query_migration_create_schema && query != &query_migration_create_table &&
           query != &query_migration_insert && query != &query_workshop_save;
}

bool prepare(PGconn *link, const struct query *query) {
    return succeeded(PQprepare(link, query->name, query->text, 0, NULL));
}

bool can_be_explained(const struct query *query) {
    static const char *const starts[] = {"select", "insert", "update", "delete", "with", "values"};
    for (size_t i = 0; i < sizeof starts / sizeof starts[0]; i++)
        if (strncmp(query->text, starts[i], strlen(starts[i])) == 0)
            return true;
    return false;
}

bool succeeded(PGresult *result) {
    ExecStatusType status = PQresultStatus(result);
    PQclear(result);
    return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
}

bool explain(PGconn *link, const struct query *query) {
    char text[256];
    int length = snprintf(text, sizeof text, "explain execute %s", query->name);
    for (int i = 0; i < query->parameters; i++)
        length += snprintf(text + length, sizeof text - (size_t)length, "%snull%s", i == 0 ? "(" : ", ",
                           i + 1 == query->parameters ? ")" : "");
    return succeeded(PQexec(link, text));
}

PGconn *connect_as(const char *conninfo) {
    PGconn *link = PQconnectdb(conninfo);
    cr_assert_eq(PQstatus(link), CONNECTION_OK, "%s", PQerrorMessage(link));
    cr_assert(succeeded(PQexec(link, "set search_path = ellwand, pg_temp")) &&
              succeeded(PQexec(link, "set plan_cache_mode = force_generic_plan")));
    return link;
}
