/* Statements against a schema without running them. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_SYSTEM_STORE_EXPLAIN_H
#define ELLWAND_TESTS_SYSTEM_STORE_EXPLAIN_H

#include "store/query.h"

#include <libpq-fe.h>
#include <stdbool.h>

/* Not the owner's, who alone runs them in `ellwandd migrate` and `ellwandd workshop`. */
bool is_daemons(const struct query *query);
/* Whether EXPLAIN takes it. */
bool can_be_explained(const struct query *query);
bool prepare(PGconn *link, const struct query *query);
/* Explains a prepared one with nulls: checks rights as running it would, and changes nothing. */
bool explain(PGconn *link, const struct query *query);
/* Clears the result. */
bool succeeded(PGresult *result);
/* With the search path of the daemon's sessions, and plans that hold for any values: nothing is computed from nulls. */
PGconn *connect_as(const char *conninfo);

#endif
