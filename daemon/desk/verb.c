/* What every verb may use. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

#include "common/text.h"
#include "desk/inner.h"
#include "takeoff/catalogue.h"

#include <string.h>

/* Names what the body asked for under `what`, where it is one thing. */
static void not_here(const json_t *body, const char *what, struct fault *fault) {
    const json_t *asked = json_object_get(body, what);
    char thing[64];
    text_copy(thing, sizeof thing, what);
    for (char *at = thing; (at = strchr(at, '_')) != NULL;)
        *at = '-';
    if (json_is_string(asked))
        fault_set(fault, "not-found", what, "There is no %s %.80s here; check its name or number.", thing,
                  json_string_value(asked));
    else if (json_is_integer(asked))
        fault_set(fault, "not-found", what, "There is no %s %" JSON_INTEGER_FORMAT " here; check its number.",
                  thing, json_integer_value(asked));
    else
        fault_set(fault, "not-found", what, "There is no such thing here; check the name or number.");
}

/* The one value that `query` gives for the body; false and fault when there is none. */
static bool ask(struct desk_call *call, const struct query *query, const char *what, struct store_rows *rows,
                struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    if (!store_run(call->session, query, &values, rows, fault))
        return false;
    if (rows_count(rows) > 0 && !rows_is_null(rows, 0, 0))
        return true;
    rows_free(rows);
    not_here(call->body, what, fault);
    return false;
}

json_t *desk_read(struct desk_call *call, const struct query *query, const char *what, struct fault *fault) {
    struct store_rows rows = {0};
    if (!ask(call, query, what, &rows, fault))
        return NULL;
    json_t *answer = rows_json(&rows, 0, 0);
    if (answer == NULL)
        fault_memory(fault);
    rows_free(&rows);
    return answer;
}

json_t *desk_answer_of(struct desk_call *call, const struct query *query, const char *what,
                       struct fault *fault) {
    struct store_rows rows = {0};
    if (!ask(call, query, what, &rows, fault))
        return NULL;
    call->written = strdup(rows_text(&rows, 0, 0));
    rows_free(&rows);
    if (call->written != NULL)
        return json_null();
    fault_memory(fault);
    return NULL;
}

bool desk_reason(struct desk_call *call, const char *reason, struct fault *fault) {
    if (reason[0] == '\0')
        return true;
    struct store_values values = {0};
    store_text(&values, reason);
    return store_run_later(call->session, &query_session_reason, &values, fault);
}

bool desk_announce(struct desk_call *call, const char *topic, json_t *body, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, topic);
    store_json(&values, body);
    bool good = body != NULL ? store_run_later(call->session, &query_event_announce, &values, fault)
                             : fault_memory(fault);
    json_decref(body);
    return good;
}

static struct catalogue_lease *load_catalogue(struct desk_call *call, int64_t version, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    if (!store_run(call->session, &query_catalogue_export, &values, &rows, fault))
        return NULL;
    json_t *document = rows_count(&rows) == 1 ? rows_json(&rows, 0, 0) : NULL;
    rows_free(&rows);
    if (document == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct catalogue *catalogue = catalogue_read(document, fault);
    json_decref(document);
    if (catalogue == NULL)
        return NULL;
    struct catalogue_lease *lease = catalogue_cache_put(call->desk->catalogues, version, catalogue);
    if (lease == NULL)
        fault_memory(fault);
    return lease;
}

const struct catalogue *desk_catalogue(struct desk_call *call, int64_t *version, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    if (!store_run(call->session, &query_catalogue_version, &values, &rows, fault))
        return NULL;
    bool loaded = rows_count(&rows) == 1;
    *version = loaded ? rows_integer(&rows, 0, 0) : 0;
    rows_free(&rows);
    if (!loaded) {
        fault_set(fault, "no-catalogue", "",
                  "No catalogue is loaded yet; a manager loads one with `ellwand catalogue import`.");
        return NULL;
    }
    catalogue_lease_return(&call->lease);
    call->lease = catalogue_cache_find(call->desk->catalogues, *version);
    if (call->lease == NULL)
        call->lease = load_catalogue(call, *version, fault);
    return call->lease == NULL ? NULL : catalogue_lease_get(call->lease);
}

char *desk_verbs(void) {
    static const char *const roles[] = {"desk", "saw", "stores", "manager"};
    json_t *list = json_array();
    for (size_t i = 0; i < desk_verb_count; i++) {
        const struct desk_verb *verb = desk_verb_table[i];
        json_t *names = json_array();
        for (size_t role = 0; role < 4; role++)
            if (verb->roles & (1u << role))
                json_array_append_new(names, json_string(roles[role]));
        json_array_append_new(list, json_pack("{s:s, s:o, s:b, s:s}", "verb", verb->name, "roles", names,
                                              "changes", desk_changes(verb), "summary", verb->summary));
    }
    char *text = json_dumps(list, JSON_INDENT(1));
    json_decref(list);
    return text;
}
