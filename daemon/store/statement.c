/* Running a query in a session. SPDX-License-Identifier: Apache-2.0 */
#include "store/pool.h"

#include "store/queries.h"

bool session_run(struct store_session *session, const struct query *query, struct store_values *values,
                 struct store_rows *rows, struct fault *fault) {
    struct store_values none = {0};
    const char *texts[STORE_VALUES];
    PGresult *result = NULL;
    session->verdict = REFUSAL_FINAL;
    if (values == NULL)
        values = &none;
    bool good = store_values_texts(values, query->parameters, query->name, texts, fault) &&
                connection_run(&session->connection, query, texts, session->deadline, &result,
                               &session->verdict, fault);
    store_values_clear(values);
    if (good)
        rows->result = result;
    return good;
}

bool session_queue(struct store_session *session, const struct query *query, struct store_values *values,
                   struct fault *fault) {
    struct store_values none = {0};
    struct store_rows rows = {0};
    const char *texts[STORE_VALUES];
    bool queued = false;
    session->verdict = REFUSAL_FINAL;
    if (values == NULL)
        values = &none;
    bool good = store_values_texts(values, query->parameters, query->name, texts, fault) &&
                connection_queue(&session->connection, query, texts, &queued, &session->verdict, fault);
    if (good && !queued)
        good = session_run(session, query, values, &rows, fault);
    store_values_clear(values);
    rows_free(&rows);
    return good;
}

/* The fault that stuck, if one did. */
static bool is_over(const struct store_session *session, struct store_values *values, struct fault *fault) {
    if (!session->transaction || !session->failed)
        return false;
    if (values != NULL)
        store_values_clear(values);
    *fault = session->first;
    return true;
}

static bool keep_fault(struct store_session *session, bool good, const struct fault *fault) {
    if (!good && session->transaction) {
        session->failed = true;
        session->first = *fault;
    }
    return good;
}

bool store_run(struct store_session *session, const struct query *query, struct store_values *values,
               struct store_rows *rows, struct fault *fault) {
    return !is_over(session, values, fault) &&
           keep_fault(session, session_run(session, query, values, rows, fault), fault);
}

bool store_run_later(struct store_session *session, const struct query *query, struct store_values *values,
                     struct fault *fault) {
    if (!session->transaction)
        return store_run_nothing(session, query, values, fault);
    return !is_over(session, values, fault) &&
           keep_fault(session, session_queue(session, query, values, fault), fault);
}

bool store_run_nothing(struct store_session *session, const struct query *query, struct store_values *values,
                       struct fault *fault) {
    struct store_rows rows = {0};
    bool good = store_run(session, query, values, &rows, fault);
    rows_free(&rows);
    return good;
}

bool store_run_one(struct store_session *session, const struct query *query, struct store_values *values,
                   struct store_rows *rows, struct fault *fault) {
    struct store_rows found = {0};
    if (!store_run(session, query, values, &found, fault))
        return false;
    int count = rows_count(&found);
    if (count == 1) {
        *rows = found;
        return true;
    }
    rows_free(&found);
    return count == 0 ? fault_set(fault, "not-found", query->name, "There is none like this.")
                      : fault_set(fault, "internal", query->name, "One row was expected, not %d.", count);
}

bool store_run_json(struct store_session *session, const struct query *query, struct store_values *values,
                    json_t **json, struct fault *fault) {
    struct store_rows rows = {0};
    if (!store_run(session, query, values, &rows, fault))
        return false;
    bool null = rows_is_null(&rows, 0, 0);
    json_t *read = null ? NULL : rows_json(&rows, 0, 0);
    rows_free(&rows);
    if (!null && read == NULL)
        return fault_memory(fault);
    *json = read;
    return true;
}

bool store_identity(struct store_session *session, const char *key_name, const char *request_id,
                    struct fault *fault) {
    struct store_values values = {0};
    store_text(&values, key_name);
    store_text(&values, request_id);
    return store_run_later(session, &query_session_identity, &values, fault);
}
