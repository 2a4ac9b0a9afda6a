/* A stock-take begins. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

static void read_names(struct form *form, const char *name, size_t size) {
    const json_t *names = form_array(form, name, 0, COUNT_TAKES);
    for (size_t i = 0; i < json_array_size(names); i++) {
        const char *text = json_string_value(json_array_get(names, i));
        if (text == NULL || json_string_length(json_array_get(names, i)) >= size)
            form_wrong(form, name, "wrong-type", "Name each place by its code, of at most %zu letters.",
                       size - 1);
    }
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    read_names(&form, "bins", SCAN_FIELD);
    read_names(&form, "places", STOCK_CODE);
    form_integer_or(&form, "percent", 0, 1000, 0);
    form_integer_or(&form, "value", 0, 1000000000, 0);
    if (json_array_size(json_object_get(call->body, "bins")) +
            json_array_size(json_object_get(call->body, "places")) ==
        0)
        form_wrong(&form, "bins", "missing-field",
                   "Name the bins, or places of the rack, that are to be counted.");
    if (!form_close(&form) || !desk_reason(call, "a stock-take begins", fault))
        return NULL;
    if (!statement_for(call, &query_count_lock_opening, call->workshop, fault))
        return NULL;
    return desk_read(call, &query_count_open, "stock_takes", fault);
}

const struct desk_verb desk_verb_count_open = {
    "count.open", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Begins a stock-take of each of the bins, or places of the rack; one at a time for each place.", run};
