/* Orders by due date, page by page. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"taken", "held", "packed", "dispatched", "cancelled", NULL};
    char after[48];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_boolean_or(&form, "open", false);
    form_boolean_or(&form, "late", false);
    form_text_or(&form, "after", after, sizeof after, "");
    form_integer_or(&form, "limit", 1, 500, 100);
    return form_close(&form) ? desk_answer_of(call, &query_order_list, "orders", fault) : NULL;
}

const struct desk_verb desk_verb_order_list = {
    "order.list", ROLE_ANY, DESK_READS,
    "Orders by due date, a page at a time: all, those of one state, open or late ones.", run};
