/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

json_t *statement_json(struct desk_call *call, const struct query *query, struct store_values *values,
                       struct fault *fault) {
    json_t *value = NULL;
    if (!store_run_json(call->session, query, values, &value, fault))
        return NULL;
    return value == NULL ? json_null() : value;
}

bool statement_found(struct desk_call *call, const struct query *query, struct store_values *values,
                     bool *found, struct fault *fault) {
    struct store_rows rows = {0};
    if (!store_run(call->session, query, values, &rows, fault))
        return false;
    *found = rows_count(&rows) > 0;
    rows_free(&rows);
    return true;
}

bool statement_for(struct desk_call *call, const struct query *query, int64_t id, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, id);
    return store_run_nothing(call->session, query, &values, fault);
}

json_t *statement_json_for(struct desk_call *call, const struct query *query, int64_t id,
                           struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, id);
    return statement_json(call, query, &values, fault);
}

json_t *statement_json_of(struct desk_call *call, const struct query *query, int64_t id,
                          struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, id);
    return statement_json(call, query, &values, fault);
}

json_t *statement_document(struct desk_call *call, const struct query *query, json_t *wanted,
                           struct fault *fault) {
    if (wanted == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, wanted);
    json_t *document = statement_json(call, query, &values, fault);
    json_decref(wanted);
    return document;
}
