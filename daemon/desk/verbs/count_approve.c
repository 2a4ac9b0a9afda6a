/* A manager takes what was counted into the books. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/rack_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

/* Statements of ($1 workshop, $2 stock-takes). */
static json_t *of_takes(struct desk_call *call, const struct query *query, const json_t *takes,
                        struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, takes);
    return statement_json(call, query, &values, fault);
}

static bool done(json_t *answer) {
    bool good = answer != NULL;
    json_decref(answer);
    return good;
}

/* Books the differences of bins. The answer is that of stock_change_by. */
static json_t *book_bins(struct desk_call *call, const json_t *takes, struct fault *fault) {
    json_t *named = of_takes(call, &query_count_differing, takes, fault);
    json_t *parts = named == NULL ? NULL : of_takes(call, &query_reservation_lock_parts, named, fault);
    json_t *entries = parts != NULL && done(of_takes(call, &query_count_approve, takes, fault))
                          ? of_takes(call, &query_count_entries, takes, fault)
                          : NULL;
    json_t *answer = entries == NULL ? NULL : stock_change_by(call, parts, entries, fault);
    json_decref(entries);
    json_decref(parts);
    json_decref(named);
    return answer;
}

/* And those of the rack; new offcuts get their labels. */
static bool book_rack(struct desk_call *call, const json_t *takes, json_t *answer, struct fault *fault) {
    json_t *rack = of_takes(call, &query_count_rack, takes, fault);
    json_t *labels = json_array();
    bool good = rack != NULL && rack_arrival_label(call, json_object_get(rack, "made"), labels, fault);
    if (good &&
        (json_object_set(answer, "rack", rack) != 0 || json_object_set(answer, "labels", labels) != 0))
        good = fault_memory(fault);
    json_decref(labels);
    json_decref(rack);
    return good;
}

static json_t *approve(struct desk_call *call, const json_t *takes, struct fault *fault) {
    if (!done(of_takes(call, &query_count_lock_counted, takes, fault)))
        return NULL;
    json_t *answer = book_bins(call, takes, fault);
    if (answer == NULL)
        return NULL;
    if (book_rack(call, takes, answer, fault) &&
        desk_announce(call, "count.approved", json_pack("{s:O}", "stock_takes", takes), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    const json_t *takes = form_array(&form, "stock_takes", 1, COUNT_TAKES);
    for (size_t i = 0; i < json_array_size(takes); i++)
        if (!json_is_integer(json_array_get(takes, i)))
            form_wrong(&form, "stock_takes", "wrong-type", "Name each by its number.");
    form_text_or(&form, "reason", reason, sizeof reason, "found by a stock-take");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    return approve(call, takes, fault);
}

const struct desk_verb desk_verb_count_approve = {
    "count.approve", ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Approves what others counted: the differences are booked, and kits that lose parts get others.", run};
