/* A stock-take that comes to nothing. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

static json_t *drop(struct desk_call *call, const struct stock_take *take, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, take->id);
    store_text(&values, "dropped");
    if (!store_run_nothing(call->session, &query_count_step, &values, fault))
        return NULL;
    json_t *answer = json_pack("{s:I, s:s}", "stock_take", (json_int_t)take->id, "state", "dropped");
    if (answer == NULL)
        fault_memory(fault);
    return count_told(call, "count.dropped", answer, fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    struct stock_take take;
    char reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    count_read(&form);
    form_text_or(&form, "reason", reason, sizeof reason, "not wanted any more");
    if (!form_close(&form) || !desk_reason(call, reason, fault) || !count_find(call, &take, fault))
        return NULL;
    return drop(call, &take, fault);
}

const struct desk_verb desk_verb_count_drop = {
    "count.drop", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Drops a stock-take that is not approved; nothing of it is booked, what was entered stays on record.",
    run};
