/* One request: who asks, whether it was answered before, the verb, the answer.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/inner.h"

#include <stdlib.h>
#include <string.h>

enum { EVERYTHING_MS = 180000 };

struct answering {
    struct desk *desk;
    const struct desk_request *request;
    const struct desk_verb *verb;
    const char *body_text; /* closed by NUL, for the store */
    struct desk_call call;
    json_t *result;
};

static const struct desk_verb *find_verb(const char *name) {
    for (size_t i = 0; i < desk_verb_count; i++)
        if (strcmp(name, desk_verb_table[i]->name) == 0)
            return desk_verb_table[i];
    return NULL;
}

static unsigned read_roles(const char *text) {
    static const struct {
        const char *name;
        enum desk_role role;
    } roles[] = {{"desk", ROLE_DESK}, {"saw", ROLE_SAW}, {"stores", ROLE_STORES}, {"manager", ROLE_MANAGER}};
    unsigned found = 0;
    for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++)
        if (strstr(text, roles[i].name) != NULL)
            found |= roles[i].role;
    return found;
}

static bool admit(struct answering *answering, struct store_session *session, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, answering->desk->workshop);
    store_text(&values, answering->request->key_name);
    if (!store_run(session, &query_key_roles, &values, &rows, fault))
        return false;
    unsigned roles = rows_count(&rows) == 1 ? read_roles(rows_text(&rows, 0, 0)) : 0;
    rows_free(&rows);
    if (roles == 0)
        return fault_set(fault, "key-disabled", answering->request->key_name,
                         "This key has been disabled; ask a manager for another.");
    if ((roles & answering->verb->roles) == 0)
        return fault_set(fault, "not-allowed", answering->verb->name,
                         "The key %s has no role that may do this; ask a manager.",
                         answering->request->key_name);
    answering->call.roles = roles;
    return true;
}

static void fill_request(struct store_values *values, const struct answering *answering) {
    store_integer(values, answering->desk->workshop);
    store_text(values, answering->request->key_name);
    store_text(values, answering->request->request_id);
    store_text(values, answering->verb->name);
    store_text(values, answering->body_text);
}

/* The answer that was given before. */
static bool repeat_answer(struct answering *answering, struct store_session *session, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    fill_request(&values, answering);
    if (!store_run(session, &query_request_stored, &values, &rows, fault))
        return false;
    bool same = rows_count(&rows) == 1 && strcmp(rows_text(&rows, 0, 0), "t") == 0;
    if (same)
        answering->result = rows_json(&rows, 0, 1);
    rows_free(&rows);
    if (!same)
        return fault_set(fault, "request-id-reused", answering->request->request_id,
                         "This request id was used for something else; give each request an id of its own.");
    return answering->result != NULL || fault_memory(fault);
}

static bool store_answer(struct answering *answering, struct store_session *session, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, answering->desk->workshop);
    store_text(&values, answering->request->key_name);
    store_text(&values, answering->request->request_id);
    store_json(&values, answering->result);
    return store_run_later(session, &query_request_finish, &values, fault);
}

static bool run_verb(struct answering *answering, struct fault *fault) {
    answering->result = answering->verb->run(&answering->call, fault);
    catalogue_lease_return(&answering->call.lease);
    return answering->result != NULL;
}

static bool change_once(struct answering *answering, struct store_session *session, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    fill_request(&values, answering);
    if (!store_run(session, &query_request_begin, &values, &rows, fault))
        return false;
    bool fresh = rows_count(&rows) == 1;
    rows_free(&rows);
    if (!fresh)
        return repeat_answer(answering, session, fault);
    return run_verb(answering, fault) && store_answer(answering, session, fault);
}

static void forget_answer(struct answering *answering) {
    json_decref(answering->result);
    answering->result = NULL;
    free(answering->call.written);
    answering->call.written = NULL;
}

/* The whole of one try; may run again from the start. */
static bool work(struct store_session *session, void *state, struct fault *fault) {
    struct answering *answering = state;
    forget_answer(answering);
    answering->call.wakes_planner = answering->call.wakes_printers = false;
    answering->call.session = session;
    if (!store_identity(session, answering->request->key_name, answering->request->request_id, fault) ||
        !admit(answering, session, fault))
        return false;
    /* The reason of whatever follows, until the verb or the person gives a better one. */
    if (desk_changes(answering->verb) && !desk_reason(&answering->call, answering->verb->name, fault))
        return false;
    return desk_changes(answering->verb) ? change_once(answering, session, fault)
                                         : run_verb(answering, fault);
}

static bool transact(struct answering *answering, struct fault *fault) {
    struct store *store = answering->desk->store;
    int64_t deadline = answering->request->deadline_ms;
    switch (answering->verb->effect) {
    case DESK_READS:
        return store_reading(store, deadline, work, answering, fault);
    case DESK_READS_EVERYTHING:
        return store_reading(store, store_deadline(EVERYTHING_MS), work, answering, fault);
    case DESK_CHANGES_UNDER_LOCKS:
        return store_locking(store, deadline, work, answering, fault);
    case DESK_CHANGES_MUCH:
        return store_locking(store, store_deadline(EVERYTHING_MS), work, answering, fault);
    case DESK_CHANGES:
        break;
    }
    return store_transaction(store, deadline, work, answering, fault);
}

static bool answer_body(struct answering *answering, json_t *body, struct fault *fault) {
    struct desk *desk = answering->desk;
    answering->verb = find_verb(answering->request->verb);
    if (answering->verb == NULL)
        return fault_set(fault, "unknown-verb", answering->request->verb,
                         "There is no such verb; `ellwandd verbs` lists them all.");
    if (!json_is_object(body))
        return fault_set(fault, "wrong-type", "", "The body must be an object { }.");
    answering->call = (struct desk_call){
        .desk = desk, .workshop = desk->workshop, .key_name = answering->request->key_name, .body = body};
    if (!transact(answering, fault))
        return false;
    if (answering->call.wakes_planner)
        wake_ring(&desk->planner_wake);
    if (answering->call.wakes_printers)
        wake_ring(&desk->printer_wake);
    return true;
}

static char *error_text(const struct fault *fault) {
    json_t *error =
        json_pack("{s:s, s:s, s:s}", "code", fault->code, "message", fault->message, "where", fault->where);
    char *text = error == NULL ? NULL : json_dumps(error, JSON_COMPACT);
    json_decref(error);
    return text;
}

/* The reply; what the database wrote is handed on as it is. */
static char *answer_text(struct answering *answering) {
    char *written = answering->call.written;
    answering->call.written = NULL;
    return written != NULL ? written : json_dumps(answering->result, DOCUMENT_COMPACT);
}

bool desk_answer(struct desk *desk, const struct desk_request *request, char **reply) {
    struct fault fault = {0};
    struct answering answering = {.desk = desk, .request = request};
    char *text = strndup(request->body, request->body_size);
    json_t *body = request->body_size == 0
                       ? json_object()
                       : document_read(request->body, request->body_size, &document_large, &fault);
    answering.body_text = text;
    bool good =
        body != NULL && (text != NULL || fault_memory(&fault)) && answer_body(&answering, body, &fault);
    *reply = good ? answer_text(&answering) : error_text(&fault);
    forget_answer(&answering);
    json_decref(body);
    free(text);
    if (*reply == NULL) {
        good = false;
        *reply =
            strdup("{\"code\":\"out-of-memory\",\"message\":\"There is not enough memory.\",\"where\":\"\"}");
    }
    return good;
}
