/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"

#include "desk/statement.h"

static bool is_printed(struct desk_call *call, const char *kind, bool *printed, struct fault *fault) {
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
    json_t *answer = statement_json(call, &query_print_enqueue, &values, fault);
    if (answer != NULL)
        json_object_set_new(answer, "kind", json_string(kind));
    return answer;
}

static bool ask(struct desk_call *call, const char *kind, const json_t *items, json_t *answers,
                struct fault *fault) {
    bool printed;
    if (!is_printed(call, kind, &printed, fault))
        return false;
    json_t *answer = printed ? enqueue(call, kind, items, fault)
                             : json_pack("{s:s, s:n, s:i, s:[], s:s}", "kind", kind, "station", "labels", 0,
                                         "jobs", "why", "No station prints this kind of label.");
    if (answer == NULL)
        return printed ? false : fault_memory(fault);
    call->wakes_printers |= printed;
    return json_array_append_new(answers, answer) == 0 || fault_memory(fault);
}

bool labels_ask(struct desk_call *call, const char *kind, json_t *items, json_t *answers,
                struct fault *fault) {
    if (items == NULL)
        return false;
    bool good = json_array_size(items) == 0 || ask(call, kind, items, answers, fault);
    json_decref(items);
    return good;
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
