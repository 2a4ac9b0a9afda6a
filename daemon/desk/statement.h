/* Short ways to run a statement, for verbs made of several.
 *
 *     struct store_values values = {0};
 *     store_integer(&values, plan);
 *     json_t *dropped = statement_json(call, &query_plan_drop, &values, fault);
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_STATEMENT_H
#define ELLWAND_DESK_STATEMENT_H

#include "desk/verb.h"

/* The one JSON value of a statement's one row; JSON null when the row or its value is not there. A new
 * reference; NULL and fault when it fails. */
json_t *statement_json(struct desk_call *call, const struct query *query, struct store_values *values,
                       struct fault *fault) MUST_CHECK;

/* Whether the statement gave a row, in *found. */
bool statement_found(struct desk_call *call, const struct query *query, struct store_values *values,
                     bool *found, struct fault *fault) MUST_CHECK;

/* Statements whose only parameter is one id: run it; run it and say whether it gave a row; take its JSON. */
bool statement_for(struct desk_call *call, const struct query *query, int64_t id,
                   struct fault *fault) MUST_CHECK;
json_t *statement_json_for(struct desk_call *call, const struct query *query, int64_t id,
                           struct fault *fault) MUST_CHECK;

/* Statements of ($1 workshop, $2 id). */
json_t *statement_json_of(struct desk_call *call, const struct query *query, int64_t id,
                          struct fault *fault) MUST_CHECK;

/* The JSON answer of a statement that takes ($1 workshop, $2 `wanted`), which is taken over (NULL: no memory). A new
 * reference; NULL and fault when it fails. */
json_t *statement_document(struct desk_call *call, const struct query *query, json_t *wanted,
                           struct fault *fault);

#endif
