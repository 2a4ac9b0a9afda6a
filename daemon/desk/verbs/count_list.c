/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"open", "counted", "approved", "dropped", NULL};
    struct form form;
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_integer_or(&form, "before", 1, INT64_MAX, 1);
    form_integer_or(&form, "limit", 1, 1000, 100);
    return form_close(&form) ? desk_answer_of(call, &query_count_list, "stock_takes", fault) : NULL;
}

const struct desk_verb desk_verb_count_list = {
    "count.list", ROLE_STORES | ROLE_MANAGER, DESK_READS,
    "The stock-takes under way, or those in one state, newest first.", run};
