/* A manager wants it counted again. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

static json_t *again(struct desk_call *call, const struct stock_take *take, const char *what,
                     struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, take->id);
    store_text(&values, take->rack ? "all" : what);
    if (!store_run_nothing(call->session, &query_count_again, &values, fault))
        return NULL;
    json_t *answer = json_pack("{s:I, s:s, s:I}", "stock_take", (json_int_t)take->id, "state", "open",
                               "round", (json_int_t)take->round + 1);
    if (answer == NULL)
        fault_memory(fault);
    return count_told(call, "count.recount", answer, fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const whats[] = {"different", "all", NULL};
    struct form form;
    struct stock_take take;
    char reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    count_read(&form);
    int what = form_choice_or(&form, "what", whats, 0);
    form_text_or(&form, "reason", reason, sizeof reason, "to be counted again");
    if (!form_close(&form) || !desk_reason(call, reason, fault) || !count_find(call, &take, fault) ||
        !count_must_be(&take, "counted", fault))
        return NULL;
    return again(call, &take, whats[what], fault);
}

const struct desk_verb desk_verb_count_recount = {
    "count.recount", ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Asks for another count of what differs, or of all, instead of approving it.", run};
