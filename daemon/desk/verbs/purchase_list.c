/* Purchases, newest first, page by page. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"proposed", "ordered", "received", "cancelled", NULL};
    struct form form;
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_boolean_or(&form, "open", false);
    form_integer_or(&form, "before", 1, INT64_MAX, INT64_MAX);
    form_integer_or(&form, "limit", 1, 500, 100);
    return form_close(&form) ? desk_answer_of(call, &query_purchase_list, "purchases", fault) : NULL;
}

const struct desk_verb desk_verb_purchase_list = {
    "purchase.list", ROLE_STORES | ROLE_MANAGER, DESK_READS,
    "Purchases, newest first, a page at a time: all, those of one state, or the open ones.", run};
