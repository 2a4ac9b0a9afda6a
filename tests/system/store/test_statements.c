/* Every statement of sql/queries against the schema of sql/migrations, as the daemon's role.
 * SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdio.h>
#include <string.h>

/* What the owner alone does, in `ellwandd migrate` and `ellwandd workshop`. */
static bool is_owners(const struct query *query) {
    return query == &query_migration_create_schema || query == &query_migration_create_table ||
           query == &query_migration_insert || query == &query_workshop_save;
}

/* Whether EXPLAIN takes it: it then checks rights as running it would, and changes nothing. */
static bool can_be_explained(const struct query *query) {
    static const char *const starts[] = {"select", "insert", "update", "delete", "with", "values"};
    for (size_t i = 0; i < sizeof starts / sizeof starts[0]; i++)
        if (strncmp(query->text, starts[i], strlen(starts[i])) == 0)
            return true;
    return false;
}

static bool succeeded(PGresult *result) {
    ExecStatusType status = PQresultStatus(result);
    PQclear(result);
    return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
}

static bool explain(PGconn *link, const struct query *query) {
    char text[256];
    int length = snprintf(text, sizeof text, "explain execute %s", query->name);
    for (int i = 0; i < query->parameters; i++)
        length += snprintf(text + length, sizeof text - (size_t)length, "%snull%s", i == 0 ? "(" : ", ",
                           i + 1 == query->parameters ? ")" : "");
    return succeeded(PQexec(link, text));
}

static PGconn *connect_as(const char *conninfo) {
    PGconn *link = PQconnectdb(conninfo);
    cr_assert_eq(PQstatus(link), CONNECTION_OK, "%s", PQerrorMessage(link));
    cr_assert(succeeded(PQexec(link, "set search_path = ellwand, pg_temp")));
    return link;
}

Test(statements, each_is_prepared_and_allowed_for_the_daemon) {
    place_migrated("statements");
    PGconn *link = connect_as(place_clerk("statements"));
    /* Plans that hold for any values: nothing is computed from our nulls. */
    cr_assert(succeeded(PQexec(link, "set plan_cache_mode = force_generic_plan")));
    int wrong = 0;
    for (size_t i = 0; i < queries_count; i++) {
        const struct query *query = queries[i];
        PGresult *result = PQprepare(link, query->name, query->text, 0, NULL);
        bool prepared = PQresultStatus(result) == PGRES_COMMAND_OK;
        PQclear(result);
        if (!prepared || (can_be_explained(query) && !is_owners(query) && !explain(link, query))) {
            fprintf(stderr, "%s: %s", query->name, PQerrorMessage(link));
            wrong++;
            continue;
        }
        result = PQdescribePrepared(link, query->name);
        cr_expect_eq(PQnparams(result), query->parameters, "%s has %d parameters, not %d", query->name,
                     PQnparams(result), query->parameters);
        PQclear(result);
    }
    PQfinish(link);
    cr_assert_gt(queries_count, 20);
    cr_assert_eq(wrong, 0, "%d statements do not fit the schema or the daemon's rights", wrong);
}

Test(statements, the_owners_are_refused_to_the_daemon) {
    place_migrated("owners");
    PGconn *link = connect_as(place_clerk("owners"));
    cr_expect_not(succeeded(PQexec(link, "create schema other")));
    cr_expect_not(succeeded(PQexec(link, "create table ellwand.other (id integer)")));
    cr_expect_not(
        succeeded(PQexec(link, "insert into migration (number, name, checksum) values (9999, 'x', 'x')")));
    cr_expect_not(succeeded(PQexec(link, "create temporary table other (id integer)")));
    PQfinish(link);
}
