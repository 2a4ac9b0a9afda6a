/* One order, whole. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char number[48];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text(&form, "order", number, sizeof number);
    form_boolean_or(&form, "full", false);
    return form_close(&form) ? desk_answer_of(call, &query_order_show, "order", fault) : NULL;
}

const struct desk_verb desk_verb_order_show = {
    "order.show", ROLE_ANY, DESK_READS,
    "One order with its windows, pieces, kits, what is short, and its history.", run};
