/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"

#include "desk/statement.h"

bool labels_printed_here(struct desk_call *call, const char *kind, bool *printed, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, kind);
    json_t *answer = statement_json(call, &query_print_printed_here, &values, fault);
    *printed = json_is_true(answer);
    json_decref(answer);
    return answer != NULL;
}

static json_t *enqueue(struct desk_call *call, const char *kind, const json_t *items, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, kind);
    store_json(&values, items);
    store_null(&values);
    json_t *answer = statement_json(call, &query_print_enqueue, &values, fault);
    if (answer != NULL)
        json_object_set_new(answer, "kind", json_string(kind));
    return answer;
}

static bool add(json_t *answers, json_t *answer, struct fault *fault) {
    return (answer != NULL && json_array_append_new(answers, answer) == 0) || fault_memory(fault);
}

static bool ask(struct desk_call *call, const char *kind, const json_t *items, bool needed, json_t *answers,
                struct fault *fault) {
    bool printed;
    if (!labels_printed_here(call, kind, &printed, fault))
        return false;
    if (printed) {
        json_t *answer = enqueue(call, kind, items, fault);
        call->wakes_printers = true;
        return answer != NULL && add(answers, answer, fault);
    }
    return !needed || add(answers,
                          json_pack("{s:s, s:n, s:i, s:[], s:s}", "kind", kind, "station", "labels", 0,
                                    "jobs", "why", "No station prints this kind of label."),
                          fault);
}

static bool ask_for(struct desk_call *call, const char *kind, json_t *items, bool needed, json_t *answers,
                    struct fault *fault) {
    if (items == NULL)
        return false;
    bool good = json_array_size(items) == 0 || ask(call, kind, items, needed, answers, fault);
    json_decref(items);
    return good;
}

bool labels_ask(struct desk_call *call, const char *kind, json_t *items, json_t *answers,
                struct fault *fault) {
    return ask_for(call, kind, items, true, answers, fault);
}

bool labels_ask_if_printed(struct desk_call *call, const char *kind, json_t *items, json_t *answers,
                           struct fault *fault) {
    return ask_for(call, kind, items, false, answers, fault);
}

bool labels_ask_rack(struct desk_call *call, const json_t *ids, json_t *answers, struct fault *fault) {
    static const char *const kinds[] = {"bar", "offcut"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct store_values values = {0};
        store_integer(&values, call->workshop);
        store_json(&values, ids);
        store_text(&values, kinds[i]);
        json_t *items = statement_json(call, &query_rack_labels, &values, fault);
        if (!labels_ask(call, kinds[i], items, answers, fault))
            return false;
    }
    return true;
}

bool labels_refuse_void(struct desk_call *call, struct fault *fault) {
    struct store_values values = {0};
    store_json(&values, call->body);
    return store_run_nothing(call->session, &query_label_refuse_void, &values, fault);
}
