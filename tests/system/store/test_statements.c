/* Every statement of sql/queries against the schema of sql/migrations, as the daemon's role.
 * SPDX-License-Identifier: Apache-2.0 */
#include "explain.h"
#include "place.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdio.h>

Test(statements, each_is_prepared_and_allowed_for_the_daemon) {
    place_migrated("statements");
    PGconn *link = connect_as(place_clerk("statements"));
    int wrong = 0;
    for (size_t i = 0; i < queries_count; i++) {
        const struct query *query = queries[i];
        if (!prepare(link, query) ||
            (can_be_explained(query) && is_daemons(query) && !explain(link, query))) {
            fprintf(stderr, "%s: %s", query->name, PQerrorMessage(link));
            wrong++;
            continue;
        }
        PGresult *result = PQdescribePrepared(link, query->name);
        cr_expect_eq(PQnparams(result), query->parameters, "%s has %d parameters, not %d", query->name,
                     PQnparams(result), query->parameters);
        PQclear(result);
    }
    PQfinish(link);
    cr_assert_gt(queries_count, 100);
    cr_assert_eq(wrong, 0, "%d statements do not fit the schema or the daemon's rights", wrong);
}
