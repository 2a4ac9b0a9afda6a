/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], after[STOCK_CODE];
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "part", part, sizeof part, "");
    form_boolean_or(&form, "short", false);
    form_text_or(&form, "after", after, sizeof after, "");
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_stock_list, "part", fault) : NULL;
}

const struct desk_verb desk_verb_stock_list = {
    "stock.list", ROLE_ANY, DESK_READS,
    "Parts by code: on hand, reserved, free, and short of what open kits want; with the bins that hold them.",
    run};
