/* A movement that was a mistake is taken back. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *undo(struct desk_call *call, struct fault *fault) {
    json_t *parts = desk_read(call, &query_stock_undo_lock, "entry", fault);
    json_t *entries = parts == NULL ? NULL : desk_read(call, &query_stock_undo_entries, "entry", fault);
    json_t *answer = entries == NULL ? NULL : stock_change_by(call, parts, entries, fault);
    json_decref(entries);
    json_decref(parts);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    form_integer(&form, "entry", 1, INT64_MAX);
    form_text(&form, "reason", reason, sizeof reason);
    return form_close(&form) && desk_reason(call, reason, fault) ? undo(call, fault) : NULL;
}

const struct desk_verb desk_verb_stock_undo = {
    "stock.undo", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Takes a movement of stock back by a counter-entry; of a move both its ends.", run};
